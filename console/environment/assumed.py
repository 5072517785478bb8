"""What is assumed of boat, place and day where the file is silent, from what it does say.

Each is a function of the run's inputs, SI in and out, shape (draws, 1): the spread that belongs
to it is declared beside the field.
"""

from __future__ import annotations

import math
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from console.environment.design_day import SKY_CLEARNESS
from console.environment.sun_table import day_of_hottest_month, utc_offset_of

if TYPE_CHECKING:
    from console.contract import Array, Run

BEAM_SHARE = 0.33
"""Beam over length of older 30-40 ft sailing boats; common practice, no source."""

# Surface water of the warmest month by latitude (degrees, °C): zonal means after the World Ocean
# Atlas, from memory, good to about 1.5 °C; a shallow harbour runs a degree or two above.
SUMMER_SEA: tuple[tuple[float, ...], tuple[float, ...]] = (
    (0.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0),
    (28.5, 28.5, 27.5, 22.5, 16.0, 11.0, 6.0),
)

# How much colder the coldest month's surface water is (degrees, K), and when it is warmest, month and
# day north of the line: zonal means after the World Ocean Atlas, from memory, good to about 2 K.
SEA_RANGE: tuple[tuple[float, ...], tuple[float, ...]] = (
    (0.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0),
    (1.5, 4.0, 7.0, 9.0, 7.0, 6.0, 4.0),
)
WARMEST_SEA = (8, 10)

# Air over a sheltered summer anchorage: common practice, no source.
HIGH_OVER_SEA = 4.0
DAILY_RANGE = 7.0
DEW_POINT_UNDER_LOW = 1.5
HIGHEST_ASSUMED_DEW_POINT = 299.15


def beam_of_length(run: Run) -> Array:
    """Beam (m) from length."""
    return BEAM_SHARE * run.number("boat.length")


def longitude_of_timezone(run: Run) -> Array:
    """Longitude (rad): the meridian of the zone's standard time; 0 without a time zone."""
    zone = run.text("site.timezone", "")
    if not zone:
        return np.zeros((1, 1))
    # Standard time is the lesser offset of the year's two halves.
    hours = min(utc_offset_of(zone, 0.0, day_of_hottest_month(sign)) for sign in (1.0, -1.0))
    return np.full((1, 1), math.radians(15.0 * hours) if abs(hours) <= 12.0 else math.pi)


def seawater_temperature_of_latitude(run: Run) -> Array:
    """Seawater temperature (K) from latitude, `SUMMER_SEA`; on a stated day colder by the season.

    A cosine over the year between the warmest water and `SEA_RANGE` below it.
    """
    latitude = np.degrees(run.number("site.latitude"))
    warmest = np.interp(np.abs(latitude), *SUMMER_SEA) + 273.15
    day = run.value("weather.date", None)
    if not isinstance(day, date):
        return np.asarray(warmest)
    after = (day - date(day.year, *WARMEST_SEA)).days + np.where(latitude < 0, 182.6, 0.0)
    past = 0.5 * (1.0 - np.cos(2.0 * np.pi * after / 365.25))
    return np.asarray(warmest - past * np.interp(np.abs(latitude), *SEA_RANGE))


def high_over_seawater(run: Run) -> Array:
    """The day's high (K) of a settled summer day, from the seawater's temperature."""
    return run.number("site.seawater_temperature") + HIGH_OVER_SEA


def low_under_high(run: Run) -> Array:
    """The day's low (K) from its high."""
    return run.number("weather.high") - DAILY_RANGE


def dew_point_under_low(run: Run) -> Array:
    """Dew point (K) of coastal air from the day's low, at most 26 °C."""
    return np.minimum(run.number("weather.low") - DEW_POINT_UNDER_LOW, HIGHEST_ASSUMED_DEW_POINT)


def clearness_of_sky(run: Run) -> Array:
    """Share of a cloudless day's sunshine that the sky leaves, `SKY_CLEARNESS`."""
    return np.full((1, 1), SKY_CLEARNESS[run.text("weather.sky", "hazy")])
