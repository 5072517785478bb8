"""Defaults that follow from other inputs, computed on the draws: functions of the run's inputs, SI."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power.tables import (
    BANK_DEFAULTS,
    CORD_RATINGS,
    DOCK_VOLTAGE_120,
    DOCK_VOLTAGE_230,
    IEC_INLETS,
    SPLIT,
)

Array = NDArray[np.float64]

_AREAS = np.array([area for area, _ in CORD_RATINGS])
_RATINGS = np.array([rating for _, rating in CORD_RATINGS])


def is_230(run: Run) -> bool:
    """Whether the dock is of the 230 V kind: by its stated volts, else its inlet, else the unit's.

    A 16, 32 or 63 A inlet is a 230 V one; two legs are always two 120 V ones.
    """
    if run.text("power.shore.legs", "one") == "two":
        return False
    if run.given("power.shore.voltage"):
        return bool(run.number("power.shore.voltage")[0, 0] > SPLIT)
    if run.given("power.shore.inlet_current"):
        rating = float(run.number("power.shore.inlet_current")[0, 0])
        return any(abs(rating - iec) < 0.5 for iec in IEC_INLETS)
    return run.given("climate.voltage") and bool(run.number("climate.voltage")[0, 0] > SPLIT)


def shore_voltage(run: Run) -> float:
    """Volts at the post, one leg, while the dock is busy."""
    return DOCK_VOLTAGE_230 if is_230(run) else DOCK_VOLTAGE_120


def inlet_current(run: Run) -> float:
    """The usual inlet: 16 A at 230 V, 30 A at 120 V, 50 A with two legs."""
    if run.text("power.shore.legs", "one") == "two":
        return 50.0
    return 16.0 if is_230(run) else 30.0


def post_breaker(run: Run) -> Array | float:
    """The post's breaker is its socket's size, but behind a 16 A socket of 230 V often 10 A."""
    rating = run.number("power.shore.inlet_current")
    return np.where(np.abs(rating - 16.0) < 0.5, 10.0, rating) if is_230(run) else rating


def main_breaker(run: Run) -> Array:
    """The boat's main breaker is its inlet's size."""
    return run.number("power.shore.inlet_current")


def cord_area(run: Run) -> Array:
    """The thinnest cord sold for the inlet's rating."""
    rating = run.number("power.shore.inlet_current")
    place = np.minimum(np.searchsorted(_RATINGS, rating - 1e-6), _RATINGS.size - 1)
    return np.asarray(_AREAS[place])


def cord_rating(run: Run) -> Array:
    """The rating a cord of this area is sold with; below the thinnest of the table, its own."""
    area = run.number("power.shore.cord_gauge")
    place = np.searchsorted(_AREAS, area * 1.005) - 1
    return np.asarray(_RATINGS[np.maximum(place, 0)])


def _by_chemistry(run: Run, what: str) -> float:
    return BANK_DEFAULTS[run.text("power.bank.chemistry", "lead")][what]


def usable_share(run: Run) -> float:
    """45 % of a lead bank, 80 % of a lithium one."""
    return _by_chemistry(run, "usable")


def peukert_exponent(run: Run) -> float:
    """1.2 for lead, nearly 1 for lithium."""
    return _by_chemistry(run, "peukert")


def charge_efficiency(run: Run) -> float:
    """Of the amp-hours put in, what comes out again: 85 % lead, 96 % lithium."""
    return _by_chemistry(run, "efficiency")
