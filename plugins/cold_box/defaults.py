"""Defaults that follow from other inputs, computed on the draws; and the cabin without a climate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air
from console.properties.refrigerants import refrigerant
from plugins.cold_box.compressor import usual_power
from plugins.cold_box.tables import CONDUCTIVITY, USUAL_DROP, USUAL_VOLTS

Array = NDArray[np.float64]

USUAL_WATTS = 63.0
"""W: 5 A at 12.6 V; 3 to 6 A running is told. Titles withheld: owners' logs and articles."""

MOST_HUMID = 0.98


def drain_open_share(run: Run) -> Array:
    """All of it when the drain is open, else none."""
    return np.full((run.draws, 1), 1.0 if run.text("cold_box.drain") == "open" else 0.0)


def opening_width(run: Run) -> Array:
    """Lids are some three quarters of the box, doors four fifths. Common practice, no source."""
    share = 0.8 if run.text("cold_box.opening") == "door" else 0.75
    return share * run.number("cold_box.inside.length")


def opening_height(run: Run) -> Array:
    """As `opening_width`, of the box's width (lid) or depth (door)."""
    if run.text("cold_box.opening") == "door":
        return 0.8 * run.number("cold_box.inside.depth")
    return 0.75 * run.number("cold_box.inside.width")


def lid_insulation(run: Run) -> Array:
    """Half the walls' in a lid, two thirds in a door. Common practice, no source."""
    share = 2.0 / 3.0 if run.text("cold_box.opening") == "door" else 0.5
    return share * run.number("cold_box.insulation")


def dry_conductivity(run: Run) -> Array:
    """By kind of insulation."""
    return np.full((run.draws, 1), CONDUCTIVITY[run.text("cold_box.insulation_kind")])


def battery_voltage(run: Run) -> Array:
    """A system in use stands some 7 % above its name, at the battery."""
    return USUAL_VOLTS / (1.0 - USUAL_DROP) * run.number("cold_box.compressor.voltage")


def feed_voltage(run: Run) -> Array:
    """The battery's, less what a sound feed drops."""
    return (1.0 - USUAL_DROP) * run.number("cold_box.compressor.battery_voltage")


def cut_out_voltage(run: Run) -> Array:
    """10.6 V of 12: units cut out at 10.4 to 11.5 V. From memory."""
    return 10.6 / 12.0 * run.number("cold_box.compressor.voltage")


def running_current(run: Run) -> Array:
    """From the rated cooling when there is one, else that of a usual small compressor."""
    volts = USUAL_VOLTS * run.number("cold_box.compressor.voltage")
    capacity = "cold_box.compressor.capacity"
    if not run.has(capacity):
        return USUAL_WATTS / volts
    fluid = refrigerant(run.text("cold_box.compressor.refrigerant"))
    rating = run.text("cold_box.compressor.capacity_at")
    efficiency = run.number("cold_box.compressor.efficiency")
    return usual_power(fluid, run.number(capacity), rating, efficiency) / volts


def cabin_temperature(run: Run) -> Array:
    """Cabin air (K) when nobody models it: outdoors and a little more."""
    return run.figure("weather.outdoor_temperature") + run.number("cold_box.cabin_rise", 2.0)


def cabin_humidity(run: Run) -> Array:
    """Relative humidity (0..1) of a cabin that holds the outdoor air's water."""
    wet = air.relative_humidity(cabin_temperature(run), run.figure("weather.outdoor_humidity_ratio"))
    return np.clip(wet, 0.0, MOST_HUMID)
