"""Cabin air that gets into the box: through the seal, down the drain, and when it is opened.

Vocabulary: ``gap`` is the width of a slot (m) and ``path`` its length through the seal (m),
heights in m from the box's floor, pressures in Pa, flows in m³/s or kg/s. Cold air is heavy: it
runs out low and draws cabin air in high. Plain broadcasting; solvers have a fixed cap.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.network import (
    Vent,
    crack_law_baker,
    orifice_law,
    slot,
    stack_network_flow,
    tube_law_poiseuille,
    vent_at,
)
from plugins.cold_box.tables import (
    DRAUGHT_COEFFICIENT,
    GRAVITY,
    LEAKAGE_PRESSURE,
    OPENING_DISCHARGE,
    VAPOUR_DIFFUSIVITY,
)

Array = NDArray[np.float64]


# --- openings of known size -----------------------------------------------------------------


def air_exchange_gosney_olama(
    width: ArrayLike, height: ArrayLike, cold_density: ArrayLike, warm_density: ArrayLike
) -> Array:
    """Cold air that falls out of an open door, m³/s, once the flow is established.

    0.221 A (1 - ρ_w/ρ_c)^½ (g H)^½ F_m, F_m = [2/(1 + (ρ_c/ρ_w)^⅓)]^1.5 (Gosney & Olama 1975,
    Proc. Inst. Refrig. 72:31; ASHRAE Refrigeration). A vertical opening, cold inside; 0 where
    the box is not the colder. Does not hold for a lid: there the cold air stays.
    """
    height = as_array(height)
    cold, warm = as_array(cold_density), as_array(warm_density)
    drive = np.sqrt(np.maximum(1.0 - warm / cold, 0.0))
    unequal = (2.0 / (1.0 + np.cbrt(cold / warm))) ** 1.5
    return 0.221 * as_array(width) * height * drive * np.sqrt(GRAVITY * height) * unequal


def door_heat_gosney_olama(
    width: ArrayLike,
    height: ArrayLike,
    cold_density: ArrayLike,
    warm_density: ArrayLike,
    cold_enthalpy: ArrayLike,
    warm_enthalpy: ArrayLike,
) -> Array:
    """Heat (W) through an open door: q = exchange · ρ_c · (h_w - h_c); the same source.

    Enthalpies in J per kg of moist air, to go with the density of moist air.
    """
    flow = air_exchange_gosney_olama(width, height, cold_density, warm_density)
    rise = as_array(warm_enthalpy) - as_array(cold_enthalpy)
    return flow * as_array(cold_density) * rise


def air_exchange_brown_solvason(
    width: ArrayLike,
    height: ArrayLike,
    warm: ArrayLike,
    cold: ArrayLike,
    discharge: ArrayLike = OPENING_DISCHARGE,
) -> Array:
    """Exchange through a vertical opening, m³/s: (C_d/3) W H^1.5 (g ΔT/T_m)^½.

    Brown & Solvason 1962, IJHMT 5:859. Temperatures in K; within 2 % of Gosney & Olama for a
    door of half a metre, which is what the box uses.
    """
    warm, cold = as_array(warm), as_array(cold)
    drive = np.maximum(warm - cold, 0.0) / (0.5 * (warm + cold))
    reach = as_array(width) * as_array(height) ** 1.5
    return as_array(discharge) / 3.0 * reach * np.sqrt(GRAVITY * drive)


def stack_flow(
    area: ArrayLike,
    height: ArrayLike,
    difference: ArrayLike,
    temperature: ArrayLike,
    discharge: ArrayLike = OPENING_DISCHARGE,
) -> Array:
    """Stack flow of a pair of openings, m³/s: C_d A (2 g Δh ΔT/T)^½ (ASHRAE Fundamentals).

    ``height`` is from the neutral level to the opening (m).
    """
    head = 2.0 * GRAVITY * as_array(height) * as_array(difference)
    drive = np.sqrt(np.maximum(head / as_array(temperature), 0.0))
    return as_array(discharge) * as_array(area) * drive


def infiltration_lbl(
    leakage_area: ArrayLike,
    stack_coefficient: ArrayLike,
    difference: ArrayLike,
    wind_coefficient: ArrayLike,
    wind: ArrayLike,
) -> Array:
    """Infiltration by effective leakage area: A (C_s ΔT + C_w U²)^½ (ASHRAE Fundamentals ch. 16).

    Units as the coefficients have them: cm², (L/s)²/(cm⁴ K) and (L/s)²/(cm⁴ (m/s)²) give L/s.
    """
    push = as_array(stack_coefficient) * as_array(difference)
    push = push + as_array(wind_coefficient) * as_array(wind) ** 2
    return as_array(leakage_area) * np.sqrt(push)


def effective_leakage_area(
    flow: ArrayLike, pressure: ArrayLike, density: ArrayLike, discharge: ArrayLike = 1.0
) -> Array:
    """Area (m²) of a perfect opening that passes ``flow`` (m³/s): Q (ρ/2Δp)^½/C_d.

    ASHRAE Fundamentals; by convention at 4 Pa with C_d = 1.
    """
    speed = np.sqrt(as_array(density) / (2.0 * as_array(pressure)))
    return as_array(flow) * speed / as_array(discharge)


# --- the seal and the drain as one list of openings ---------------------------------------------


@dataclass(frozen=True, slots=True)
class Leaks:
    """Where a closed box leaks.

    The seal's slot runs along two level edges (``edge``, m each, at ``top`` and ``bottom``, m
    above the floor) and along ``side`` (m in all) between them: a door's jambs, or the slope
    of a lid that does not lie level. All lengths are of the part that fails. The drain ends
    ``drain_level`` m above the floor (below it is negative), ``drain_area`` m², nil when shut.
    """

    edge: Array
    side: Array
    top: Array
    bottom: Array
    gap: Array
    path: Array
    drain_area: Array
    drain_bore: Array
    drain_length: Array
    drain_level: Array
    bare: Leaks | None = None
    """Where the gasket is missing altogether, with a gap of its own; its drain is not counted."""

    @property
    def failing(self) -> Array:
        """m of the seal that fails, all round."""
        return 2.0 * self.edge + self.side

    def parts(self) -> tuple[Leaks, ...]:
        """What fails, and what is missing."""
        return (self,) if self.bare is None else (self, self.bare)

    def longer(self, factor: Array) -> Leaks:
        """The same with ``factor`` times the length of all that fails."""
        bare = None if self.bare is None else self.bare.longer(factor)
        return replace(self, edge=self.edge * factor, side=self.side * factor, bare=bare)

    def vents(self, density: Array) -> list[Vent]:
        """The list of openings; the drain, when any is open, is the last of it."""
        listed: list[Vent] = []
        for part in self.parts():
            crack, along = crack_law_baker(part.gap, part.path, density), part.gap * part.edge
            listed += [
                vent_at(crack, along, part.top),
                vent_at(crack, along, part.bottom),
                slot(crack, part.gap * part.side, part.bottom, part.top),
            ]
        if np.any(self.drain_area > 0.0):
            tube = tube_law_poiseuille(self.drain_bore, self.drain_length, density)
            listed.append(vent_at(tube, self.drain_area, self.drain_level))
        return listed


@dataclass(frozen=True, slots=True)
class SealFlow:
    """Mass flows (kg/s) through a closed box: in, out, and the part that leaves by the drain."""

    inflow: Array
    outflow: Array
    by_drain: Array


def seal_flow(leaks: Leaks, cabin_density: ArrayLike, box_density: ArrayLike) -> SealFlow:
    """Air driven through seal and drain by the difference of density (kg/m³).

    A lid alone has next to no height and hardly flows; a lid *and* an open drain are a chimney
    in series; a door is a pair by itself: all from `network.stack_network_flow`. Where the box
    is the warmer, the same with the densities exchanged.
    """
    cabin, box = as_array(cabin_density), as_array(box_density)
    vents = leaks.vents(0.5 * (cabin + box))
    shape = np.broadcast_shapes(np.shape(cabin), np.shape(box))
    start = None
    if len(shape) > 1 and shape[-1] > 2:
        # The level hardly moves through a day: find it once for the mean hour, and start there.
        mean_cabin, mean_box = (np.mean(x, axis=-1, keepdims=True) for x in (cabin, box))
        start = stack_network_flow(leaks.vents(0.5 * (mean_cabin + mean_box)), mean_cabin, mean_box).level
    made = stack_network_flow(vents, cabin, box, start)
    has_drain = len(vents) % 3 == 1  # three to each part of the seal
    drained = made.each_out[-1] if has_drain else np.zeros_like(made.inflow)
    return SealFlow(made.inflow, made.outflow, drained)


# --- a divider's holes ------------------------------------------------------------------------


def divider_flow(
    hole_area: ArrayLike, apart: ArrayLike, warm_density: ArrayLike, cold_density: ArrayLike
) -> Array:
    """Air (kg/s) that two rows of holes in a divider exchange by weight alone.

    Half of ``hole_area`` (m²) low and half of it ``apart`` (m) higher: cold air spills over by
    the low ones and warm air returns by the high ones. Densities of the two sides in kg/m³.
    """
    warm, cold = as_array(warm_density), as_array(cold_density)
    law = orifice_law(0.5 * (warm + cold))
    half = 0.5 * as_array(hole_area)
    return stack_network_flow([vent_at(law, half, 0.0), vent_at(law, half, apart)], warm, cold).inflow


def seal_leakage_area(
    gap: ArrayLike, path: ArrayLike, failing_length: ArrayLike, density: ArrayLike
) -> Array:
    """Effective leakage area (m²) at 4 Pa of the failing part of a seal."""
    flow = crack_law_baker(gap, path, density).speed(LEAKAGE_PRESSURE)
    flow = flow * as_array(gap) * as_array(failing_length)
    return effective_leakage_area(flow, LEAKAGE_PRESSURE, density)


def diffusion_flow(gap: ArrayLike, path: ArrayLike, failing_length: ArrayLike) -> Array:
    """Still-air exchange through a slot by diffusion alone, m³/s of cabin air: D A/z.

    Heat and vapour diffuse alike in air (Lewis number near 1), so it counts as an exchange.
    """
    area = as_array(gap) * as_array(failing_length)
    return VAPOUR_DIFFUSIVITY * area / as_array(path)


def breathing_flow(volumes_per_second: ArrayLike, air_volume: ArrayLike) -> Array:
    """Air pumped in and out as box air warms and cools and the boat moves, m³/s.

    ``volumes_per_second`` of the box's ``air_volume`` (m³). A 4 K swing thirty times a day is
    0.4 volumes a day; the barometer and motion add to it. Common practice, no source.
    """
    return as_array(volumes_per_second) * as_array(air_volume)


def draught_flow(leaks: Leaks, speed: ArrayLike, density: ArrayLike) -> Array:
    """Cabin air that a draught past the lid or door drives through its seal, m³/s.

    Between the edge it meets and the edge it leaves stand ΔC_p ρ/2 U² of a draught of ``speed``
    (m/s): in by one half of what fails, out by the other, half of that pressure on each, by the
    crack's own law. What fails is taken as spread evenly round the edge. Only a draught that
    lasts counts: a roll of a few seconds moves the air to and fro within the gap.
    """
    air_density = as_array(density)
    half = 0.5 * DRAUGHT_COEFFICIENT * 0.5 * air_density * as_array(speed) ** 2
    flow = np.zeros(())
    for part in leaks.parts():
        through = crack_law_baker(part.gap, part.path, air_density).speed(half)
        flow = flow + through * part.gap * 0.5 * part.failing
    return flow


def stack_and_draught(stack: ArrayLike, draught: ArrayLike) -> Array:
    """Two drives through the same gaps, m³/s: (Q_s² + Q_w²)^½ (Sherman & Grimsrud 1980, the LBL
    model; ASHRAE Fundamentals ch. 16)."""
    return np.hypot(as_array(stack), as_array(draught))


# --- opening it -------------------------------------------------------------------------------


def opening_flow_door(
    openings: ArrayLike, seconds: ArrayLike, exchange: ArrayLike, air_volume: ArrayLike
) -> Array:
    """Mean cabin air let in by opening a door, m³/s.

    ``openings`` per second, each ``seconds`` long, at ``exchange`` (m³/s) at first; the box
    fills in V/exchange seconds, and what one opening swaps never exceeds ``air_volume``:
    V (1 - exp(-exchange · seconds / V)), the exchange dying down as the box fills.
    """
    volume = np.maximum(as_array(air_volume), 1e-9)
    swapped: Array = -volume * np.expm1(-as_array(exchange) * as_array(seconds) / volume)
    return as_array(openings) * swapped


def opening_flow_lid(openings: ArrayLike, swap_share: ArrayLike, air_volume: ArrayLike) -> Array:
    """Mean cabin air let in by lifting a lid, m³/s: each time a share (0..1) of the box's air.

    The cold air stays lying in the box; hands and food stir a part of it out.
    """
    return as_array(openings) * as_array(swap_share) * as_array(air_volume)
