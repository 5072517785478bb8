"""The dock's device: what flows to ground, and how likely it goes in each state of the boat's switches.

Stateless: each state is a thing the owner can set with the branch breakers alone. Arrays broadcast
(draws, steps); amps; chances 0..1.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

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

USUAL_CONTACT = 0.014
"""Ohm of its contacts there."""

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


@dataclass(frozen=True)
class Switched:
    """One state of the switches: what flows, what leaks, the start among it, and whether at this post."""

    current: Array
    leakage: Array
    start: Array
    here: bool = True


def trips(run: Run) -> Figures:
    """Leakage with everything on, and the chance of a trip in each state of the switches.

    The air conditioner at its largest of the steps, so that each figure is one number of the boat.
    """
    breaker = run.number("power.shore.post_breaker", USUAL_BREAKER)
    strength = run.number("power.leakage.device_strength")
    amps = run.figure("climate.unit_current").max(axis=-1, keepdims=True)
    start = run.figure("climate.start_current").max(axis=-1, keepdims=True) * run.number(
        "power.start_ratio"
    )
    heated, together = _listed(run)
    everything = together + amps + run.number("power.unlisted_current")
    light = np.minimum(everything, LIGHT * breaker)
    states = _states(run, amps, start, heated, together, everything, light)
    over, ground, chance = _chances(run, list(states.values()), breaker, strength)
    by_over, by_ground = _first(list(states), over, ground)
    return {
        "power.leakage_current": states["all_on"].leakage,
        "power.ground_trip": by_ground,
        "power.overcurrent_trip": by_over,
        "power.plug_heat": np.square(light) * run.number("power.shore.contact_resistance", USUAL_CONTACT),
        **{f"power.trip_chance.{name}": chance[i] for i, name in enumerate(states)},
    }


ON_THE_WAY = ("main_off", "branches_off", "heater_alone", "unit_starts", "unit_alone", "all_on")
"""The states one after the other from all off to all on."""


def _first(names: list[str], over: Array, ground: Array) -> tuple[Array, Array]:
    """Chance that the first to go on the way is the breaker, and that it is the ground-fault device."""
    left = np.ones_like(over[0])
    by_over, by_ground = np.zeros_like(left), np.zeros_like(left)
    for name in ON_THE_WAY:
        i, g = over[names.index(name)], ground[names.index(name)]
        by_over = by_over + left * i * (1.0 - g / 2)
        by_ground = by_ground + left * g * (1.0 - i / 2)
        left = left * (1.0 - i) * (1.0 - g)
    return by_over, by_ground


def _states(
    run: Run, amps: Array, start: Array, heated: Array, together: Array, everything: Array, light: Array
) -> dict[str, Switched]:
    wet = run.number("power.leakage.cord")
    cord = DRY_SHARE * wet
    joined = run.number("power.leakage.neutral_joined")
    heater, unit = run.number("power.leakage.heater"), run.number("power.leakage.compressor")
    filters = run.number("power.leakage.appliances")
    none = np.zeros_like(amps)

    def leaked(current: Array, *parts: Array) -> Array:
        """With the main on: cord, filters, what is named, and what a joined neutral sends to ground."""
        return np.asarray(cord + filters + sum(parts) + joined * (current + DOCK_NEUTRAL_CURRENT))

    all_on, begins = leaked(everything, heater, unit), (start + together) * (start > 0)
    return {
        "main_off": Switched(none, cord, none),
        "branches_off": Switched(none, leaked(none), none),
        "heater_alone": Switched(heated, leaked(heated, heater), none),
        "unit_starts": Switched(none, leaked(none), start),
        "unit_alone": Switched(amps, leaked(amps, unit), none),
        "light_load": Switched(light, leaked(light), none),
        "all_on": Switched(everything, all_on, begins),
        "main_off_wet": Switched(none, wet, none),
        "other_post": Switched(everything, all_on, begins, here=False),
    }


def _chances(
    run: Run, states: list[Switched], breaker: Array, strength: Array
) -> tuple[Array, Array, Array]:
    """Of each state, (states, draws, 1): by too much current, by current to ground, and in all."""
    shape = (len(states), run.draws, 1)

    def stacked(parts: Iterable[Array | float]) -> Array:
        made = np.empty(shape)
        for row, part in zip(made, parts, strict=True):
            row[:] = part
        return made

    left = stacked(strength if state.here else 1.0 for state in states)
    rating, device = breaker * left, run.number("power.leakage.device") * left
    by_load = overload_trip_chance(stacked(s.current for s in states), rating)
    by_start = start_trip_chance(stacked(s.start for s in states), rating)
    leaked = stacked(s.leakage for s in states)
    ground = run.number("power.leakage.protected") * residual_trip_chance(leaked, device)
    by_itself = WORN_TRIPS * _logistic((WORN_STRENGTH - left) / WORN_WIDTH)
    over = 1.0 - (1.0 - by_load) * (1.0 - by_start)
    return over, ground, np.asarray(1.0 - (1.0 - over) * (1.0 - ground) * (1.0 - by_itself))


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
