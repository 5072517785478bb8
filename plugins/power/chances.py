"""Chances of what the owner sees when the dock's device goes: functions of figures alone.

Each gives (draws, choices), floored at `FLOOR` and summing to one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power.tables import CONTACT_HOT, CONTACT_WARM

Array = NDArray[np.float64]

FLOOR = 0.01


def _rows(*chances: Array) -> Array:
    columns = np.broadcast_arrays(*(np.asarray(each)[:, :1] for each in chances))
    made = np.maximum(np.concatenate(columns, axis=-1), FLOOR)
    return np.asarray(made / made.sum(axis=-1, keepdims=True))


def _trips(run: Run, state: str) -> Array:
    return run.figure(f"power.trip_chance.{state}")


def _test(run: Run, state: str) -> Array:
    chance = _trips(run, state)
    return _rows(chance, 1.0 - chance)


def trip_when(run: Run) -> Array:
    """The first step on the way from all off to all on at which it goes; else no pattern."""
    left = np.ones_like(_trips(run, "all_on"))
    found: list[Array] = []
    starts = 1.0 - (1.0 - _trips(run, "unit_starts")) * (1.0 - _trips(run, "unit_alone"))
    ways = (
        *(_trips(run, s) for s in ("main_off", "branches_off", "heater_alone")),
        starts,
        _trips(run, "all_on"),
    )
    for chance in ways:
        found.append(left * chance)
        left = left * (1.0 - chance)
    # What goes only in the wet, or by itself, has no pattern for who did not look at the sky.
    return _rows(*found, 0.05 + left)


def trip_device(run: Run) -> Array:
    """A plain breaker, one that looks for current to ground, or one device for both."""
    over, ground = run.figure("power.overcurrent_trip"), run.figure("power.ground_trip")
    told = 0.7 / np.maximum(over + ground, 0.05)
    return _rows(over * told, ground * told, np.full_like(over, 0.3))


def trip_weather(run: Run) -> Array:
    """Only in the wet: what wetting cord and inlet adds to the chance of a trip with all off aboard."""
    only = np.maximum(_trips(run, "main_off_wet") - _trips(run, "main_off"), 0.0)
    return _rows(0.8 * only, 0.8 * (1.0 - only), np.full_like(only, 0.2))


def plug_feel(run: Run) -> Array:
    """Cool, warm or hot by the heat in plug and inlet."""
    heat = np.log(np.maximum(run.figure("power.plug_heat"), 1e-6))
    warm, hot = (
        1.0 / (1.0 + np.exp(-(heat - np.log(limit)) / 0.4)) for limit in (CONTACT_WARM, CONTACT_HOT)
    )
    return _rows(1.0 - warm, warm - hot, hot)


def main_off(run: Run) -> Array:
    """Trips or holds with the main off."""
    return _test(run, "main_off")


def branches_off(run: Run) -> Array:
    """Trips or holds with every branch off."""
    return _test(run, "branches_off")


def heater_alone(run: Run) -> Array:
    """Trips or holds with the water heater alone."""
    return _test(run, "heater_alone")


def unit_alone(run: Run) -> Array:
    """Trips at its start, trips while it runs, or holds."""
    start, runs = _trips(run, "unit_starts"), _trips(run, "unit_alone")
    return _rows(start, (1.0 - start) * runs, (1.0 - start) * (1.0 - runs))


def light_load(run: Run) -> Array:
    """Trips or holds under a light load."""
    return _test(run, "light_load")


def other_post(run: Run) -> Array:
    """Trips or holds on another post."""
    return _test(run, "other_post")
