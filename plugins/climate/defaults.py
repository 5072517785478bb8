"""Defaults that follow from other inputs, draw by draw, (draws, 1), SI.

Each is the ``compute`` of a field of the section; the spread is added by the console.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.climate import tables

Array = NDArray[np.float64]

_BTU_H = 0.29307107
_TON = 12_000 * _BTU_H
_CUBIC_FOOT, _FOOT = 0.0283168466, 0.3048
_CFM = _CUBIC_FOOT / 60.0
_GALLON_PER_MINUTE = 6.30902e-5


def power_at_rating(run: Run) -> Array:
    """Electric power of compressor and fan at the rating point, W, from EER or amps."""
    if run.has("climate.eer"):
        return run.number("climate.capacity") / (run.number("climate.eer") * _BTU_H)
    return (
        run.number("climate.current") * run.number("climate.voltage") * run.number("climate.power_factor")
    )


def running_current(run: Run) -> Array:
    """Amps of compressor and fan: from the EER if there is one, else 0.85 A per 1,000 BTU/h at
    115 V all in (owners' readings), less the pump's."""
    volts, factor = run.number("climate.voltage"), run.number("climate.power_factor")
    if run.has("climate.eer"):
        return power_at_rating(run) / (volts * factor)
    all_in = 0.85 * run.number("climate.capacity") / (1000.0 * _BTU_H) * 115.0 / volts
    pump = run.number("climate.pump_power") / (volts * factor)
    return np.maximum(all_in - pump, 0.5 * all_in)


def air_flow(run: Run) -> Array:
    """350 cfm a ton of label capacity (250-450 seen)."""
    return 350.0 * _CFM * run.number("climate.capacity") / _TON


def fan_power(run: Run) -> Array:
    """The blower's watts: 0.5 to 1.2 A at 115 V for the usual sizes, by capacity."""
    return 0.02 * run.number("climate.capacity")


def pump_power(run: Run) -> Array:
    """The seawater pump's watts: about one amp at 115 V beside a 16,000 BTU/h unit."""
    return 70.0 + 0.009 * run.number("climate.capacity")


def label_voltage(run: Run) -> Array:
    """Volts of a label nobody read: 230 where a single leg of the dock has more than 180 V, else 115."""
    one_leg = run.has("power.shore.voltage") and run.text("power.shore.legs", "one") == "one"
    dock = run.number("power.shore.voltage") if one_leg else np.asarray(115.0)
    return np.where(dock > 180.0, 230.0, 115.0)


def dock_frequency(run: Run) -> Array:
    """Frequency of the supply, Hz: 50 where a single leg has more than 180 V, else 60.

    So a 230 V dock is 50 Hz, and 120 V or two legs of it are 60 Hz, as they nearly always are. A
    label that is silent about its frequency is taken to suit the dock. Without shore power aboard
    the label's volts decide.
    """
    if run.has("power.shore.frequency"):
        return run.number("power.shore.frequency")
    ashore = run.has("power.shore.voltage")
    volts = run.number("power.shore.voltage" if ashore else "climate.voltage")
    legs = run.text("power.shore.legs", "one") if ashore else "one"
    return np.where((volts > 180.0) & (legs == "one"), 50.0, 60.0)


def deck_absorptance(run: Run) -> Array:
    """Share of the sun the deck takes up, by its colour."""
    return np.asarray(tables.ABSORPTANCE.get(run.text("boat.deck_colour", "light"), 0.45))


def side_absorptance(run: Run) -> Array:
    """Share of the sun the topsides take up, by their colour."""
    return np.asarray(tables.ABSORPTANCE[run.text("climate.topside_colour", "light")])


def cabin_volume(run: Run) -> Array:
    """27 cubic feet a foot of length."""
    return 27.0 * _CUBIC_FOOT / _FOOT * run.number("boat.length")


def roof_area(run: Run) -> Array:
    """Deck and coach-roof over the cabin: half of length times beam."""
    return 0.5 * run.number("boat.length") * run.number("boat.beam")


def side_area(run: Run) -> Array:
    """Topsides and coach-roof sides of the cabin: two sides, 0.7 of the length, 0.12 of it high."""
    return 2.0 * 0.7 * 0.12 * np.square(run.number("boat.length"))


def hull_area(run: Run) -> Array:
    """Underwater hull below the cabin: 0.45 of length times beam."""
    return 0.45 * run.number("boat.length") * run.number("boat.beam")


def overhead_glass(run: Run) -> Array:
    """Deck hatches: 2 % of length times beam (8 sq ft on a 36-footer)."""
    return 0.02 * run.number("boat.length") * run.number("boat.beam")


def side_glass(run: Run) -> Array:
    """Windows and port-lights of one side: 3 cm of height a metre of length."""
    return 0.03 * run.number("boat.length")


def furnishings_capacity(run: Run) -> Array:
    """Heat capacity of joinery, cushions, stores and water that follow the cabin over a day:
    80 kJ/K a cubic metre (common practice, no source)."""
    return 80e3 * run.number("climate.cabin_volume")


def leakage_area(run: Run) -> Array:
    """Effective leakage area of a shut-up cabin: 9 cm² a cubic metre, some 250 cm² on a 36-footer
    (companionway boards, ventilators, lockers; common practice, no source)."""
    return 9e-4 * run.number("climate.cabin_volume")


def water_flow(run: Run) -> Array:
    """Seawater flow when no raw-water line is computed: 0.28 gal/min per 1,000 BTU/h."""
    return 0.28 * _GALLON_PER_MINUTE * run.number("climate.capacity") / (1000.0 * _BTU_H)


def supply_voltage(run: Run) -> Array:
    """Volts at the unit when nobody computes them: the label's, a little up (117 on 115)."""
    return 1.017 * run.number("climate.voltage")
