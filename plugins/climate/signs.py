"""What an owner sees of the air conditioner while it runs: the air at its return, and its signs.

The return's temperature, humidity, wet bulb and humidity ratio follow one from another in
estimates of their own, so that a reading of any of them takes its place and the rest follows.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air
from console.properties.refrigerants import refrigerant
from plugins.climate import tables
from plugins.climate.aboard import iced_face, target_temperature, water_heat
from plugins.climate.exchange import DRIEST_AIR, FREEZING, air_flow_share, within_air, within_moist
from plugins.climate.load import bilge_air
from plugins.climate.machine import half_glide

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

MOST_LOAD_SHARE = 10.0


def risen(value: Array, middle: float, width: float) -> Array:
    """From 0 well below ``middle`` to 1 well above it, a half there (logistic)."""
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip((value - middle) / width, -60.0, 60.0))))


# --- the air at the return ----------------------------------------------------------------------


def mixed_return(cabin: Array, bilge: Array, from_bilge: Array, recirculated: Array, fall: Array) -> Array:
    """Temperature (or humidity ratio) of the return air, from what it draws in.

    The share ``from_bilge`` comes from the bilge, the rest from the cabin; the share ``recirculated``
    of it is the unit's own supply air, ``fall`` below the return: t = (1-b)·t_c + b·t_b - r/(1-r)·fall.
    Balance of mixing streams of nearly one heat capacity (Cengel and Boles ch. 14).
    """
    drawn = (1.0 - from_bilge) * cabin + from_bilge * bilge
    return np.asarray(drawn - recirculated / (1.0 - recirculated) * fall)


def drawn(run: Run) -> Figures:
    """What the return draws in of cabin, bilge and supply air.

    In a moment ``climate.supply_fall`` is the day's: how far cold supply air that goes straight
    back lowers the split itself is left out.
    """
    figure, number = run.figure, run.number
    cabin = within_air(figure("climate.cabin_temperature"))
    humidity = within_moist(air.humidity_ratio(cabin, np.clip(figure("climate.cabin_humidity"), 0.0, 1.0)))
    bilge, bilge_humidity = bilge_air(
        figure("weather.outdoor_temperature"), figure("weather.outdoor_humidity_ratio"),
        figure("weather.seawater_temperature"), number("climate.bilge_warmth"),
    )  # fmt: skip
    shares = number("climate.return_from_bilge"), number("climate.supply_recirculated")
    temperature = within_air(mixed_return(cabin, bilge, *shares, figure("climate.supply_fall")))
    moisture = mixed_return(humidity, bilge_humidity, *shares, figure("climate.supply_drying"))
    # Mist falls out where warm wet air meets cold.
    moisture = np.minimum(within_moist(moisture), air.saturation_humidity_ratio(temperature))
    return {
        "climate.return_air_temperature": temperature,
        "climate.drawn_temperature": temperature,
        "climate.drawn_humidity_ratio": moisture,
        "climate.drawn_humidity": _relative(temperature, moisture),
        "climate.drawn_wet_bulb": air.wet_bulb(temperature, moisture),
    }


def _relative(temperature: Array, humidity_ratio: Array) -> Array:
    return np.clip(air.relative_humidity(temperature, humidity_ratio), 0.0, 1.0)


def return_humidity(run: Run) -> Figures:
    """Relative humidity of the return air at its temperature."""
    temperature = within_air(run.figure("climate.return_air_temperature"))
    moisture = within_moist(run.figure("climate.drawn_humidity_ratio"))
    return {"climate.return_humidity": _relative(temperature, moisture)}


def return_wet_bulb(run: Run) -> Figures:
    """Wet bulb of the return air from its temperature and relative humidity."""
    temperature = within_air(run.figure("climate.return_air_temperature"))
    humidity = np.clip(run.figure("climate.return_humidity"), 0.0, 1.0)
    moisture = within_moist(air.humidity_ratio(temperature, humidity))
    return {"climate.return_wet_bulb": air.wet_bulb(temperature, moisture)}


def return_moisture(run: Run) -> Figures:
    """Humidity ratio of the return air from its two bulbs.

    A wet bulb read above the dry one is taken as saturated air; one lower than dry air could have, as
    the driest the properties hold.
    """
    temperature = within_air(run.figure("climate.return_air_temperature"))
    wet = np.minimum(within_air(run.figure("climate.return_wet_bulb")), temperature)
    moisture = np.fmax(air.humidity_ratio_from_wet_bulb(temperature, wet), DRIEST_AIR)
    return {"climate.return_humidity_ratio": within_moist(moisture)}


# --- signs --------------------------------------------------------------------------------------


def frost_share(surface: Array, evaporating: Array, iced: Array) -> Array:
    """Share of the coil's face under ice or frosting over.

    All of it where the mean surface (K) is below freezing; where only the boiling refrigerant is,
    the part next to the valve: a half of the face at 4 K below (common practice, no source).
    """
    whole = risen(FREEZING - surface, 0.0, 0.5)
    part = 0.5 * np.clip((FREEZING - evaporating) / 4.0, 0.0, 1.0)
    return np.asarray(iced + (1.0 - iced) * np.maximum(whole, part))


def starts_per_hour(load_share: Array, cold_swing: Array, on_switch: Array) -> Array:
    """Starts of the compressor an hour.

    4·N·r(1-r) at the run share r, with N = 3 an hour at half load (Henderson and Rengarajan 1996,
    from memory). Where the thermostat's own air falls by ``cold_swing`` K as the unit starts, more
    than its differential of about 1.2 K, or a switch cuts it out (``on_switch``, 0..1), only the
    restart delay holds it: some ten an hour (common practice, no source).
    """
    r = np.clip(load_share, 0.0, 1.0)
    well = 4.0 * tables.MOST_STARTS * r * (1.0 - r)
    short = np.maximum(risen(cold_swing, 1.8, 0.3), on_switch)
    return np.asarray(well + (tables.SHORT_STARTS - well) * short)


def falls_short(of_the_day: Array, excess: Array) -> Array:
    """How far the boat is one with more heat than it can carry, 0.02 to 0.98.

    By its day (0..1), or by ``excess`` K of the cabin above the thermostat's target now: from 0 at 1 K to
    0.8 at 5 K, for it may only have been started. Common practice, no source.
    """
    now = 0.8 * np.clip((excess - 1.0) / 4.0, 0.0, 1.0)
    return np.asarray(np.clip(np.maximum(of_the_day, now), 0.02, 0.98))


def signs(run: Run) -> Figures:
    """What water, panel, coil and switches show while the unit runs as it is."""
    figure, number = run.figure, run.number
    sea, rise = figure("weather.seawater_temperature"), figure("climate.seawater_rise")
    flow = figure("raw_water.flow")
    offset, grown = number("climate.thermostat_offset"), figure("climate.ice_share")
    iced = iced_face(run, grown)
    again = number("climate.supply_recirculated")
    boiling, condensing = (
        figure("climate.evaporating_temperature"),
        figure("climate.condensing_temperature"),
    )
    gas = refrigerant(run.text("climate.refrigerant"))
    glide = half_glide(gas, condensing + half_glide(gas, condensing))
    clogged, ducts = number("climate.filter_blocked"), number("climate.duct_restriction")
    capacity = np.maximum(figure("climate.unit_capacity"), 1.0)
    load_share = np.clip(figure("climate.cooling_load") / capacity, 0.0, MOST_LOAD_SHARE)
    cut_out = figure("climate.trip.low_pressure")
    switched = np.maximum(
        np.minimum(4.0 * cut_out * (1.0 - cut_out), 1.0), 0.5 * figure("climate.trip.high_pressure")
    )
    swing = np.maximum(-offset, 0.0) + 0.5 * again / (1.0 - again) * np.maximum(
        figure("climate.supply_fall"), 0.0
    )
    short = falls_short(
        figure("climate.day_short"), figure("climate.cabin_temperature") - target_temperature(run)
    )
    return {
        "climate.falls_short": short,
        "climate.keeps_up": 1.0 - short,
        "climate.seawater_out": sea + rise,
        "climate.panel_temperature": figure("climate.cabin_temperature") + offset,
        "climate.heat_rejected": flow * water_heat(run, sea) * rise,
        # The switch feels the pressure, so the dew temperature of a mixture that glides.
        "climate.high_pressure_margin": number("climate.trip_temperature") - (condensing + glide),
        "climate.low_pressure_margin": boiling - number("climate.low_pressure_trip"),
        "climate.voltage_share": figure("power.supply_voltage") / number("climate.voltage"),
        "climate.duct_share": air_flow_share(clogged, iced, ducts) / air_flow_share(clogged, iced, 0.0),
        "climate.frost_share": frost_share(figure("climate.coil_temperature"), boiling, iced),
        "climate.load_share": load_share,
        "climate.starts_per_hour": starts_per_hour(load_share, swing, switched),
    }  # fmt: skip
