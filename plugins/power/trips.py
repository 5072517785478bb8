"""The dock's device: what flows to ground, and how likely it goes in each state of the boat's switches.

Stateless: each state is a thing the owner can set with the branch breakers alone. Arrays broadcast
(draws, steps); amps; chances 0..1.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.contract import Run
from plugins.power import consumers, loads
from plugins.power.tables import (
    DOCK_NEUTRAL_CURRENT,
    DRY_SHARE,
    HOLD_MULTIPLE,
    HOLD_WIDTH,
    MEALS,
    RESIDUAL_BAND,
    RESIDUAL_WIDTH,
    START_MULTIPLE,
    START_WIDTH,
    WORN_STRENGTH,
    WORN_TRIPS,
    WORN_WIDTH,
)

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

USUAL_BREAKER = 30.0
"""Amps of a post's breaker where no shore inlet is described."""

LIGHT = 0.4
"""Of the breaker's rating: a load no sound one minds."""

_DAY: Array = np.arange(24, dtype=np.float64) + 0.5


def _logistic(x: Array) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(x, -40.0, 40.0))))


def residual_trip_chance(leakage: ArrayLike, rating: ArrayLike) -> Array:
    """Chance that a residual-current device of ``rating`` A goes at ``leakage`` A.

    Never below half its rating, always at its rating (IEC 61008-1): a logistic in the logarithm about
    0.75 of it, which gives 7 % at a half and 87 % at the whole.
    """
    ratio = np.maximum(np.asarray(leakage, dtype=float), 1e-9) / np.asarray(rating, dtype=float)
    return _logistic(np.log(ratio / RESIDUAL_BAND) / RESIDUAL_WIDTH)


def overload_trip_chance(current: ArrayLike, rating: ArrayLike) -> Array:
    """Chance that a breaker of ``rating`` A goes within the hour at ``current`` A.

    A logistic in the logarithm about 1.15 times the rating: 12 % at the rating (warm, in the sun), 97 %
    at 1.45 (IEC 60898: none at 1.13 and all at 1.45 at 30 °C; UL 489: all at 1.35; from memory).
    """
    ratio = np.maximum(np.asarray(current, dtype=float), 1e-9) / np.asarray(rating, dtype=float)
    return _logistic(np.log(ratio / HOLD_MULTIPLE) / HOLD_WIDTH)


def start_trip_chance(current: ArrayLike, rating: ArrayLike) -> Array:
    """Chance that a start's moment of ``current`` A trips a breaker of ``rating`` A (5 to 10 times)."""
    ratio = np.maximum(np.asarray(current, dtype=float), 1e-9) / np.asarray(rating, dtype=float)
    return _logistic(np.log(ratio / START_MULTIPLE) / START_WIDTH)


def trips(run: Run) -> Figures:
    """Leakage with everything on, and the chance of a trip in each state of the switches."""
    breaker = run.number("power.shore.post_breaker", USUAL_BREAKER)
    strength = run.number("power.leakage.device_strength")
    holds = breaker * strength
    device = run.number("power.leakage.device") * strength
    guard = run.number("power.leakage.protected")
    worn = WORN_TRIPS * _logistic((WORN_STRENGTH - strength) / WORN_WIDTH)

    wet = run.number("power.leakage.cord")
    cord = DRY_SHARE * wet
    joined = run.number("power.leakage.neutral_joined")
    own = run.number("power.leakage.appliances")
    heater, unit = run.number("power.leakage.heater"), run.number("power.leakage.compressor")
    amps = run.figure("climate.unit_current")
    begins = run.figure("climate.start_current") * run.number("power.start_ratio")
    heated, together = _listed(run)
    everything = together + amps + run.number("power.unlisted_current")
    light = np.minimum(everything, LIGHT * breaker)

    def leaked(current: ArrayLike, *parts: Array) -> Array:
        """With the main on: cord, filters, what is named, and what a joined neutral sends to ground."""
        return cord + own + sum(parts) + joined * (np.asarray(current) + DOCK_NEUTRAL_CURRENT)

    def chance(current: ArrayLike, leakage: Array, of_start: ArrayLike = 0.0, here: bool = True) -> Array:
        rating, limit, nuisance = (holds, device, worn) if here else (breaker, device / strength, 0.0)
        keeps = 1.0 - guard * residual_trip_chance(leakage, limit)
        keeps = keeps * (1.0 - overload_trip_chance(current, rating))
        return np.asarray(1.0 - keeps * (1.0 - start_trip_chance(of_start, rating)) * (1.0 - nuisance))

    all_on = leaked(everything, heater, unit)
    states = {
        "main_off": chance(0.0, cord),
        "branches_off": chance(0.0, leaked(0.0)),
        "heater_alone": chance(heated, leaked(heated, heater)),
        "unit_starts": chance(0.0, leaked(amps, unit) * (begins > 0), begins),
        "unit_alone": chance(amps, leaked(amps, unit)),
        "light_load": chance(light, leaked(light)),
        "all_on": chance(everything, all_on, begins + together),
        "all_wet": chance(everything, all_on - cord + wet, begins + together),
        "other_post": chance(everything, all_on, begins + together, here=False),
    }
    ground = guard * residual_trip_chance(all_on, device)
    over = 1.0 - (1.0 - overload_trip_chance(everything, holds)) * (
        1.0 - start_trip_chance(begins + together, holds)
    )
    return {
        "power.leakage_current": all_on,
        "power.ground_trip": ground,
        "power.overcurrent_trip": over,
        "power.plug_heat": np.square(light) * run.number("power.shore.contact_resistance", 0.014),
        **{f"power.trip_chance.{name}": value for name, value in states.items()},
    }


def _listed(run: Run) -> tuple[Array, Array]:
    """Amps of the listed elements (the water heater), and the most of all listed things at once in a day."""
    nominal = consumers.nominal_leg(run)
    amps: list[Array] = []
    on: list[Array] = []
    heated = np.zeros((1, 1))
    for path in run.items("power.load"):
        if run.text(f"{path}.where", "shore") != "shore":
            continue
        current = consumers.running_power(run, path) / nominal
        if run.text(f"{path}.kind", "electronics") == "heater":
            heated = np.maximum(heated, current)
        amps.append(current)
        on.append(loads.timetable(consumers.listed_hours(run, path), _DAY, 3600.0)[1])
    if run.text("power.galley_fuel", "electric") == "electric" and run.has("power.shore"):
        meal = consumers.galley(run)
        amps.append(meal.power * np.any(meal.share > 0) / nominal)
        on.append(loads.timetable(MEALS, _DAY, 3600.0)[1])
    if not amps:
        return heated, heated
    return heated, loads.largest_together(amps, on).max(axis=-1, keepdims=True)
