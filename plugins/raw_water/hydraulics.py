"""Losses of water in pipes, hoses, fittings and screens. Pure functions of arrays, SI.

Every argument may be a number or an array; plain broadcasting. Losses are heads in metres of
the water flowing. K is on the velocity named in each docstring.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import tables
from plugins.raw_water.tables import GRAVITY

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]

_LEAST_REYNOLDS = 1e-3  # below it 64/Re stands in for still water, and nothing overflows
_LEAST_SHARE = 1e-4  # an opening as good as shut


def velocity(flow: ArrayLike, area: ArrayLike) -> Array:
    """Mean velocity (m/s) of ``flow`` (m³/s) through ``area`` (m²)."""
    return np.asarray(np.asarray(flow) / np.asarray(area))


def round_area(bore: ArrayLike) -> Array:
    """Area (m²) of a round bore (m)."""
    return np.asarray(np.pi / 4 * np.square(bore))


def reynolds_number(speed: ArrayLike, bore: ArrayLike, viscosity: ArrayLike) -> Array:
    """Reynolds number of a speed (m/s), a bore (m) and a kinematic viscosity (m²/s)."""
    return np.asarray(np.asarray(speed) * np.asarray(bore) / np.asarray(viscosity))


def friction_factor_churchill(reynolds: ArrayLike, relative_roughness: ArrayLike) -> Array:
    """Darcy friction factor for all regimes, smooth through the transition.

    f = 8[(8/Re)¹² + (A+B)^-1.5]^(1/12), A = {2.457 ln 1/[(7/Re)^0.9 + 0.27 ε/D]}¹⁶,
    B = (37530/Re)¹⁶. Churchill, Chemical Engineering 84(24) 1977, 91-92. Laminar it is 64/Re;
    rough and turbulent it follows Colebrook within a few per cent (ε/D up to 0.05).
    Below Re 0.001 the factor of Re 0.001 is given, so that still water has a finite loss.
    """
    return friction_factor_and_power_churchill(reynolds, relative_roughness)[0]


def friction_factor_and_power_churchill(
    reynolds: ArrayLike, relative_roughness: ArrayLike
) -> tuple[Array, Array]:
    """`friction_factor_churchill` and its slope d ln f / d ln Re (-1 when laminar), for Newton."""
    re = np.maximum(reynolds, _LEAST_REYNOLDS)
    seven = (7.0 / re) ** 0.9
    inside = seven + 0.27 * np.asarray(relative_roughness)
    # x^16 and x^1.5 by squaring and roots: this is the hot spot of the solution
    x = 2.457 * np.log(inside)
    x2 = np.square(x)
    x4 = np.square(x2)
    x8 = np.square(x4)
    a = np.square(x8)
    b = np.square(np.square(np.square(np.square(37_530.0 / re))))
    both = a + b
    turbulent = 1.0 / (both * np.sqrt(both))
    fourth = np.square(np.square(8.0 / re))
    laminar = fourth * fourth * fourth
    total = laminar + turbulent
    # d(a)/d ln Re = 16 x^15 · 2.457 d ln(inside)/d ln Re; d(b)/d ln Re = -16 b. No division by x:
    # it is nothing where the wall is smooth and Re is 7.
    steeper = -24.0 * turbulent / both * (-2.2113 * (x8 * x4 * x2 * x) * seven / inside - b)
    power = (steeper - 12.0 * laminar) / (12.0 * total)
    return np.asarray(8.0 * total ** (1 / 12)), np.asarray(power)


def friction_factor_fully_rough(relative_roughness: ArrayLike) -> Array:
    """Darcy friction factor of fully rough flow, f = 0.25/[log10(ε/D/3.7)]² (von Kármán)."""
    return np.asarray(0.25 / np.square(np.log10(np.asarray(relative_roughness) / 3.7)))


def friction_head(
    friction_factor: ArrayLike, length: ArrayLike, bore: ArrayLike, speed: ArrayLike
) -> Array:
    """Friction loss (m), Darcy-Weisbach: f L/D V²/2g."""
    return np.asarray(
        np.asarray(friction_factor) * np.asarray(length) / np.asarray(bore) * velocity_head(speed)
    )


def velocity_head(speed: ArrayLike) -> Array:
    """V²/2g (m) of a speed (m/s)."""
    return np.asarray(np.square(speed) / (2 * GRAVITY))


def head_per_flow_squared(loss_coefficient: ArrayLike, area: ArrayLike) -> Array:
    """K/2gA², the head (m) of a fitting per flow (m³/s) squared; K on the velocity in ``area``."""
    return np.asarray(np.asarray(loss_coefficient) / (2 * GRAVITY * np.square(area)))


# --- fittings -------------------------------------------------------------------------------


def expansion_loss_borda_carnot(area_ratio: ArrayLike) -> Array:
    """K of a sudden widening on the velocity before it, (1 - a)²; a = small over large area."""
    return np.asarray(np.square(1.0 - np.asarray(area_ratio)))


def contraction_loss_weisbach(area_ratio: ArrayLike) -> Array:
    """K of a sharp-edged narrowing on the velocity after it; a = small over large area.

    The jet contracts to Cc of the narrow area and widens again (Borda-Carnot), (1/Cc - 1)², Cc
    from Weisbach's table. Published methods differ here by a fifth and more: at an area ratio of
    0.16 this gives 0.35, Crane 0.42, Rennels 0.53.
    """
    cc = np.interp(np.asarray(area_ratio), tables.CONTRACTION_AREA_RATIO, tables.CONTRACTION_COEFFICIENT)
    return np.asarray(np.square(1.0 / cc - 1.0))


def elbow_loss_crane(bore: ArrayLike) -> Array:
    """K of a standard 90° elbow on the velocity in the bore (m), 30 f_T. Crane TP-410 p. A-30.

    f_T is that of commercial steel by definition, whatever the hose is made of.
    """
    rough = tables.CRANE_STEEL_ROUGHNESS / np.asarray(bore)
    return np.asarray(tables.ELBOW_90_MULTIPLE * friction_factor_fully_rough(rough))


def mitre_loss_rennels(angle: ArrayLike) -> Array:
    """K of a single mitre bend of ``angle`` (rad), 0.42 sin(θ/2) + 2.56 sin³(θ/2).

    Rennels and Hudson, Pipe Flow (2012); angles up to 150°.
    """
    sine = np.sin(np.asarray(angle) / 2)
    return np.asarray(0.42 * sine + 2.56 * sine**3)


def cock_loss_weisbach(open_share: ArrayLike, bore: ArrayLike) -> Array:
    """K of a quarter-turn seacock on the bore's velocity, by how far its handle stands open (0..1).

    Weisbach's cock table by the angle closed, interpolated in log K, and the body of a wide open
    ball valve (3 f_T, Crane TP-410). Shut from 82° on: K stays at 10⁶, as good as shut.
    """
    angle = np.pi / 2 * (1.0 - np.asarray(open_share))
    log_loss = np.interp(angle, tables.COCK_ANGLE, np.log(tables.COCK_LOSS))
    rough = tables.CRANE_STEEL_ROUGHNESS / np.asarray(bore)
    body = tables.BALL_VALVE_MULTIPLE * friction_factor_fully_rough(rough)
    return np.asarray(np.exp(log_loss) - tables.COCK_LOSS[0] + body)


_LOG_OPEN = np.log(np.concatenate(([_LEAST_SHARE], tables.SCREEN_OPEN_SHARE)))
_LOG_SCREEN = np.log(
    np.concatenate(
        ([tables.SCREEN_LOSS[0] * (tables.SCREEN_OPEN_SHARE[0] / _LEAST_SHARE) ** 2], tables.SCREEN_LOSS)
    )
)


def screen_loss_blevins(open_share: ArrayLike) -> Array:
    """K of a square-edged perforated plate on its approach velocity, by its open share (0..1).

    Blevins, Applied Fluid Dynamics Handbook (1984), 0.05 to 0.9, interpolated in log K over log
    open share. Below 0.05, **outside the printed table**, it goes on as 1/share² (the plate as an
    orifice of a fixed contraction) down to 0.0001, as good as shut; above 0.9 linearly to no loss.
    """
    share = np.clip(open_share, _LEAST_SHARE, 1.0)
    table = np.exp(np.interp(np.log(share), _LOG_OPEN, _LOG_SCREEN))
    last = tables.SCREEN_LOSS[-1]
    return np.asarray(np.where(share > 0.9, last * (1.0 - share) / 0.1, table))


def screen_open_share_blevins(loss_coefficient: ArrayLike) -> Array:
    """The open share (0..1) at which `screen_loss_blevins` is ``loss_coefficient``; its inverse.

    Losses below that of an open share of 0.9 give 0.9 to 1, larger than the table's end 0.0001.
    """
    loss = np.maximum(loss_coefficient, 0.0)
    last = tables.SCREEN_LOSS[-1]
    table = np.exp(np.interp(np.log(np.maximum(loss, last)), _LOG_SCREEN[::-1], _LOG_OPEN[::-1]))
    return np.asarray(np.where(loss < last, 1.0 - 0.1 * loss / last, table))


def grill_loss_blevins(open_share: ArrayLike) -> Array:
    """K of a thick square-edged grill on its approach velocity, [0.5(1-a) + (1-a²)]/a².

    Blevins (1984), as given in the fluids library; kept from dividing by a share under 0.0001.
    """
    a = np.clip(open_share, _LEAST_SHARE, 1.0)
    return np.asarray((0.5 * (1 - a) + (1 - a * a)) / (a * a))


def fouled_entrance_loss(open_share: ArrayLike) -> Array:
    """K of a flush entrance on the bore's velocity when growth leaves ``open_share`` of its area.

    A clean one 0.5 (Crane TP-410). Growth acts as a sharp-edged hole before the bore: the jet
    through it contracts (Weisbach, from still water) and widens to the bore (Borda-Carnot),
    [1/(Cc a) - 1]², less the same at a = 1. Own combination; grows from 0.5 to as good as shut.
    """
    a = np.clip(open_share, _LEAST_SHARE, 1.0)
    cc = tables.CONTRACTION_COEFFICIENT[0]
    grown = np.square(1 / (cc * a) - 1) - (1 / cc - 1) ** 2
    return np.asarray(tables.ENTRANCE_FLUSH + grown)


# --- a flattened hose -----------------------------------------------------------------------


def flattened_area_share(open_width: ArrayLike) -> Array:
    """Area of a flattened hose as a share of the round one, by its open width as a share of bore.

    The wall does not stretch: two half circles joined by straights (a stadium) of the round
    tube's own perimeter, w D apart, enclose w(2 - w) of its area. Plain geometry.
    """
    w = np.clip(open_width, _LEAST_SHARE, 1.0)
    return np.asarray(w * (2.0 - w))


def flattened_hydraulic_diameter(bore: ArrayLike, open_width: ArrayLike) -> Array:
    """4A/P (m) of the flattened hose; the perimeter stays, so it shrinks as the area does."""
    return np.asarray(np.asarray(bore) * flattened_area_share(open_width))


def kink_loss(open_width: ArrayLike) -> Array:
    """K of a short kink on the velocity in the *round* hose, without friction.

    Narrowing (Weisbach), widening again (Borda-Carnot) and the fold itself as a mitre bend
    (Rennels), all on the velocity in the flattened part. The fold's angle is taken to grow from
    none when round to a right angle when shut: own assumption. 1 is no kink and no loss.
    """
    share = flattened_area_share(open_width)
    fold = mitre_loss_rennels(np.pi / 2 * (1.0 - np.clip(open_width, 0.0, 1.0)))
    on_kink = contraction_loss_weisbach(share) + expansion_loss_borda_carnot(share) + fold
    return np.asarray(on_kink / np.square(share))


# --- suction --------------------------------------------------------------------------------


def npsh_available(
    surface_pressure: ArrayLike,
    vapour_pressure: ArrayLike,
    density: ArrayLike,
    depth: ArrayLike,
    loss: ArrayLike,
) -> Array:
    """Net positive suction head (m) at a pump ``depth`` (m) under the free surface.

    (p - p_v)/ρg + depth - loss; pressures in Pa, density in kg/m³, ``loss`` (m) of everything
    before the pump; a pump above the surface has a negative depth. Any text on pumps, such as
    Munson, Young and Okiishi section 12.4.2.
    """
    weight = np.asarray(density) * GRAVITY
    return np.asarray(
        (np.asarray(surface_pressure) - np.asarray(vapour_pressure)) / weight
        + np.asarray(depth)
        - np.asarray(loss)
    )
