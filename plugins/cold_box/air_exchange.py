"""Cabin air that gets into the box: through the seal, down the drain, and when it is opened.

Vocabulary: ``gap`` is the width of a slot (m) and ``path`` its length through the seal (m),
heights in m from the box's floor, pressures in Pa, flows in m³/s or kg/s. Cold air is heavy: it
runs out low and draws cabin air in high. Plain broadcasting; solvers have a fixed cap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.tables import (
    AIR_VISCOSITY,
    CRACK_LOSS,
    GRAVITY,
    LEAKAGE_PRESSURE,
    OPENING_DISCHARGE,
    VAPOUR_DIFFUSIVITY,
)

Array = NDArray[np.float64]

LEAST_STACK = 1e-7
LEAST_GAP = 1e-6
SOLVER_STEPS = 40
CLOSE_ENOUGH = 1e-10
NEGLIGIBLE = 1e-12
"""kg/s, a tenth of a milligram of air a day."""


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


# --- a slot and a tube: laminar and orifice loss in one law -----------------------------------


@dataclass(frozen=True, slots=True)
class FlowLaw:
    """Δp = laminar · v + square · v²: what a speed v (m/s) costs."""

    laminar: Array
    square: Array

    def speed(self, pressure: ArrayLike) -> Array:
        """m/s at ``pressure`` (Pa); 0 where it is not positive."""
        p = np.maximum(as_array(pressure), 0.0)
        # The root written so that neither end of the blend loses digits.
        root = np.sqrt(self.laminar * self.laminar + 4.0 * self.square * p)
        return 2.0 * p / (self.laminar + root)

    def sum_of_speeds(self, pressure: ArrayLike) -> Array:
        """∫ speed dp from 0 to ``pressure``, in closed form; 0 where it is not positive.

        With r = (1 + 4 s p/l²)^½ the mean speed is (l/2s)(2r + 1)(r - 1)/(3(r + 1)).
        """
        p = np.maximum(as_array(pressure), 0.0)
        x = 4.0 * self.square * p / (self.laminar * self.laminar)
        r = np.sqrt(1.0 + x)
        mean = 2.0 * p / self.laminar * (2.0 * r + 1.0) / (3.0 * (r + 1.0) ** 2)
        return p * mean


def crack_law_baker(gap: ArrayLike, path: ArrayLike, density: ArrayLike) -> FlowLaw:
    """Straight crack: Δp = 12 μ z/d² v + 1.5 ρ/2 v² (Baker, Sharples & Ward 1987).

    Poiseuille flow between plates plus entry and exit. Holds for gaps of about 0.2 to 10 mm and
    pressures to 50 Pa.
    """
    width = np.maximum(as_array(gap), LEAST_GAP)
    laminar = 12.0 * AIR_VISCOSITY * as_array(path) / (width * width)
    return FlowLaw(laminar, 0.5 * CRACK_LOSS * as_array(density))


def tube_law_poiseuille(bore: ArrayLike, length: ArrayLike, density: ArrayLike) -> FlowLaw:
    """Drain tube: Δp = 32 μ L/d² v + 1.5 ρ/2 v² (Hagen-Poiseuille, entry and exit).

    Laminar below Re 2300, which is 1.7 m/s in 20 mm; a box's stack gives half a metre a second.
    """
    width = np.maximum(as_array(bore), LEAST_GAP)
    laminar = 32.0 * AIR_VISCOSITY * as_array(length) / (width * width)
    return FlowLaw(laminar, 0.5 * CRACK_LOSS * as_array(density))


# --- the seal and the drain as one network ----------------------------------------------------


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


@dataclass(frozen=True, slots=True)
class SealFlow:
    """Mass flows (kg/s) through a closed box: in, out, and the part that leaves by the drain."""

    inflow: Array
    outflow: Array
    by_drain: Array


def seal_flow(leaks: Leaks, cabin_density: ArrayLike, box_density: ArrayLike) -> SealFlow:
    """Air driven through seal and drain by the difference of density (kg/m³).

    The pressure across the wall is Δρ g (z_n - z) about a neutral level z_n; flow in above it
    and out below it, each element by its own law integrated over its height, and z_n is where
    the two masses meet (Newton within a bracket; agreement 1e-10). A lid alone has next to no
    height and hardly flows; a lid *and* an open drain are a chimney in series; a door is a pair
    by itself. Where the box is the warmer, the same with the densities exchanged.
    """
    cabin, box = as_array(cabin_density), as_array(box_density)
    shape = np.broadcast_shapes(np.shape(cabin), np.shape(box))
    start = None
    if len(shape) > 1 and shape[-1] > 2:
        # The level hardly moves through a day: find it once for the mean hour, and start there.
        mean_cabin, mean_box = (np.mean(x, axis=-1, keepdims=True) for x in (cabin, box))
        start = _solve(leaks, mean_cabin, mean_box, None)[1]
    return _solve(leaks, cabin, box, start)[0]


def _solve(leaks: Leaks, cabin: Array, box: Array, start: Array | None) -> tuple[SealFlow, Array]:
    """The flow, and the neutral level (m) it was found at; ``start`` is a level to begin with."""
    heavy, light = np.maximum(cabin, box), np.minimum(cabin, box)
    drive = np.maximum((heavy - light) * GRAVITY, LEAST_STACK)
    mean_density = 0.5 * (heavy + light)
    crack = crack_law_baker(leaks.gap, leaks.path, mean_density)
    tube = tube_law_poiseuille(leaks.drain_bore, leaks.drain_length, mean_density)

    # Heights as pressures; the neutral level is the unknown n.
    top, bottom, foot = leaks.top * drive, leaks.bottom * drive, leaks.drain_level * drive
    along = leaks.gap * leaks.edge
    jamb = leaks.gap * leaks.side / np.maximum(top - bottom, 1e-12)
    has_drain = bool(np.any(leaks.drain_area > 0.0))

    low = np.where(leaks.drain_area > 0.0, foot, bottom) if has_drain else bottom
    low = np.broadcast_to(low, np.broadcast_shapes(np.shape(low), np.shape(top)))
    high = top
    level = 0.5 * (low + high) if start is None else start * drive
    inflow = drained = np.zeros_like(level)
    for _ in range(SOLVER_STEPS):
        reach, below = top - level, np.maximum(level - bottom, 0.0)
        at_top, at_below = crack.speed(reach), crack.speed(below)
        inflow = light * (along * at_top + jamb * crack.sum_of_speeds(reach))
        outflow = heavy * (along * at_below + jamb * crack.sum_of_speeds(below))
        slope = light * (along * _slope(crack, at_top) + jamb * at_top)
        slope = slope + heavy * (
            along * np.where(below > 0.0, _slope(crack, at_below), 0.0) + jamb * at_below
        )
        if has_drain:  # only then may the whole seal lie above the level, or anything leave by the drain
            above = np.maximum(bottom - level, 0.0)
            at_above, at_foot = crack.speed(above), tube.speed(level - foot)
            inflow = inflow + light * (along * at_above - jamb * crack.sum_of_speeds(above))
            drained = heavy * leaks.drain_area * at_foot
            outflow = outflow + drained
            within = np.where(above > 0.0, _slope(crack, at_above), 0.0)
            slope = slope + light * (along * within - jamb * at_above)
            slope = slope + heavy * leaks.drain_area * _slope(tube, at_foot)
        surplus = inflow - outflow
        done = ~(np.abs(surplus) > CLOSE_ENOUGH * inflow + NEGLIGIBLE)
        if done.all():
            break
        low, high = np.where(surplus > 0.0, level, low), np.where(surplus > 0.0, high, level)
        guess = level + surplus / np.maximum(slope, 1e-300)
        guess = np.where((guess > low) & (guess < high), guess, 0.5 * (low + high))
        level = np.where(done, level, guess)
    return SealFlow(inflow, outflow, np.broadcast_to(drained, np.shape(inflow))), level / drive


def _slope(law: FlowLaw, speed: Array) -> Array:
    """d(speed)/d(pressure) at a speed."""
    return 1.0 / (law.laminar + 2.0 * law.square * speed)


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
