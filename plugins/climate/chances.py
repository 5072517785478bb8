"""How likely an owner sees each look of the air conditioner, draw by draw, from its figures.

All widths here are judgement: common practice, no source. No entry is ever impossible, for an
owner may misread, and a row adds to one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.climate.signs import risen

Array = NDArray[np.float64]

FLOOR = 0.01

UNREAD = 0.15
"""Share of stops whose code the owner cannot tell."""

TRIPS_BY_DAY = 5.0
"""K that the condensing temperature of a reading lies below that of the day's worst hour."""


def _rows(*columns: Array | float) -> Array:
    """Columns as (draws, choices), each at least `FLOOR`, rows adding to one."""
    made = np.stack(np.broadcast_arrays(*(np.asarray(c, dtype=np.float64) for c in columns)), axis=-1)
    made = np.maximum(made.reshape(-1, len(columns)), 0.0)
    made = made / np.maximum(made.sum(axis=-1, keepdims=True), 1e-12)
    shares: Array = FLOOR + (1.0 - len(columns) * FLOOR) * made
    return shares


def _mean(run: Run, name: str) -> Array:
    means: Array = run.figure(f"climate.{name}").mean(axis=-1, keepdims=True)
    return means


def airflow(run: Run) -> Array:
    """strong, weak, none, uneven: by the share of its air, and by what of that the ducts take."""
    share, ducts = _mean(run, "airflow_share"), _mean(run, "duct_share")
    still = 1.0 - risen(share, 0.10, 0.02)
    weak = 1.0 - risen(share, 0.64, 0.06)
    uneven = 1.0 - risen(ducts, 0.72, 0.06)
    moves = 1.0 - still
    return _rows(
        moves * (1.0 - weak) * (1.0 - uneven), moves * weak * (1.0 - 0.75 * uneven), still,
        moves * (0.04 + 0.75 * uneven),
    )  # fmt: skip


def evaporator_frost(run: Run) -> Array:
    """none, part, all: by the share of the coil's face under ice or frosting over."""
    share = _mean(run, "frost_share")
    some, whole = risen(share, 0.15, 0.04), risen(share, 0.68, 0.06)
    return _rows(1.0 - some, some * (1.0 - whole), whole)


def trip(run: Run) -> Array:
    """none, high_pressure, low_pressure, voltage, freeze, unknown: by how near each switch is.

    Over the days before the reading the sea, the sun and the dock were worse than now, so that a
    switch tripped which now is some way off.
    """
    high = np.maximum(
        risen(TRIPS_BY_DAY - _mean(run, "high_pressure_margin"), 0.0, 1.5), _mean(run, "trip.high_pressure")
    )
    low = np.maximum(
        risen(1.0 - _mean(run, "low_pressure_margin"), 0.0, 1.0), _mean(run, "trip.low_pressure")
    )
    volts = np.maximum(risen(0.86 - _mean(run, "voltage_share"), 0.0, 0.02), _mean(run, "trip.voltage"))
    # Not every controller has a sensor on the coil.
    frozen = 0.35 * risen(_mean(run, "frost_share"), 0.6, 0.08)
    low = low * (1.0 - high)
    none = (1.0 - high) * (1.0 - low) * (1.0 - volts) * (1.0 - frozen)
    read, stops = 1.0 - UNREAD, 1.0 - none
    return _rows(
        none, read * high, read * low, read * volts, read * frozen * (1.0 - high), UNREAD * stops + 0.02
    )


def runs(run: Run) -> Array:
    """continuous, cycling, short_cycling: by load over capacity, and by starts an hour.

    A thermostat on a hot panel asks for cold without end.
    """
    hot = _mean(run, "panel_temperature") - _mean(run, "cabin_temperature")
    short = risen(_mean(run, "starts_per_hour"), 6.0, 0.8)
    always = np.maximum(risen(_mean(run, "load_share"), 0.95, 0.05), risen(hot, 2.2, 0.5))
    return _rows((1.0 - short) * always, (1.0 - short) * (1.0 - always), short)


def worst_time(run: Run) -> Array:
    """always, afternoon, night, evening: by when the load is more than it gives.

    High-pressure switches open in the heat of the afternoon. Low volts come with the dock's
    evening. An owner who lacks nothing names any time, most often the afternoon.
    """
    gives = np.maximum(_mean(run, "unit_capacity"), 1.0)
    noon, evening, night = (
        risen(_mean(run, f"load_{part}") / gives, 0.97, 0.06) for part in ("afternoon", "evening", "night")
    )
    hot = risen(2.0 * TRIPS_BY_DAY - _mean(run, "high_pressure_margin"), 0.0, 2.0)
    hot = hot * (1.0 - _mean(run, "trip.high_pressure"))
    weak_dock = 1.0 - risen(_mean(run, "voltage_share"), 0.92, 0.02)
    noon = np.maximum(noon, hot)
    return _rows(
        night + 0.1, noon * (1.0 - night) + 0.25, 0.03,
        0.3 * evening * (1.0 - noon) + 0.7 * weak_dock + 0.05,
    )  # fmt: skip
