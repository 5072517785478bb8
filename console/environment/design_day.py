"""A design day: the day's high, low, dew point and sky spread over its hours. Pure functions.

Temperatures in kelvin, angles in radians, irradiances in W/m², shares 0..1. Arrays broadcast
(axes draws, hours). No function raises; each says where it clamps.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.environment.sun import SOLAR_CONSTANT
from console.properties import air

Array = NDArray[np.float64]

# Share of the daily range to take off the day's high at 1, 2 ... 24 o'clock.
# ASHRAE Handbook Fundamentals 2009 (and later), chapter "Climatic design information", table
# "Fraction of daily temperature range": from memory. The hours are taken as solar time.
DAILY_RANGE_FRACTION: tuple[float, ...] = (
    0.88, 0.92, 0.95, 0.98, 1.00, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13,
    0.05, 0.00, 0.00, 0.06, 0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82,
)  # fmt: skip

# What a day's sky leaves of a cloudless day's sunshine. Cloud by Kasten and Czeplak, Solar Energy
# 24 (1980) 177-189: 1 - 0.75 (eighths/8)^3.4, at 0, 5, 7 and 8 eighths (formula from memory;
# measured at Hamburg). Haze: common practice, no source.
SKY_CLEARNESS: dict[str, float] = {
    "clear": 1.0, "hazy": 0.90, "partly_cloudy": 0.85, "cloudy": 0.52, "overcast": 0.25,
}  # fmt: skip


def temperature_daily_range_ashrae(high: ArrayLike, low: ArrayLike, solar_hour: ArrayLike) -> Array:
    """Outdoor temperature (K) at each solar hour (0..24) of a day with this high and low (K).

    T = high - fraction(hour)·(high - low), the fractions read linearly between whole hours.
    A low above the high is taken as the high. The high falls at 14 to 15 h, the low at 5 h.

    Source: `DAILY_RANGE_FRACTION`.
    """
    top = np.asarray(high, dtype=float)
    swing = np.maximum(top - np.asarray(low, dtype=float), 0.0)
    fraction = np.interp(
        np.asarray(solar_hour, dtype=float), np.arange(1.0, 25.0), DAILY_RANGE_FRACTION, period=24.0
    )
    return np.asarray(top - fraction * swing)


def humidity_ratio_of_held_dew_point(temperature: ArrayLike, dew_point: ArrayLike) -> Array:
    """Humidity ratio (kg/kg dry air) with the dew point (K) held through the day.

    Where the air is colder than the dew point it is saturated: the excess has fallen as dew.
    """
    return np.asarray(air.saturation_humidity_ratio(np.minimum(temperature, dew_point)))


def diffuse_fraction_erbs(clearness_index: ArrayLike) -> Array:
    """Share of the sunshine on the level that is diffuse, 0..1.

    ``clearness_index`` is the sunshine on the level over that above the atmosphere, 0..1.
    Source: Erbs, Klein and Duffie, Solar Energy 28 (1982) 293-302; hourly, 31 to 42° north.
    """
    k = np.clip(np.asarray(clearness_index, dtype=float), 0.0, 1.0)
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.80, middle, 0.165))


def sunshine_under_cloud(
    clear_direct_normal: ArrayLike,
    clear_diffuse_horizontal: ArrayLike,
    sun_zenith: ArrayLike,
    clearness: ArrayLike,
) -> tuple[Array, Array, Array]:
    """Direct normal, diffuse and global sunshine (W/m²) when cloud leaves ``clearness`` of it.

    ``clearness`` (0..1) is the share of a cloudless sky's sunshine on the level. The beam falls
    faster than the whole: its share of the whole falls as Erbs's correlation falls from the
    cloudless clearness index to the clouded one, so that at clearness 1 the cloudless values
    come back exactly. Direct·cos(zenith) + diffuse is the global.
    """
    cos_zenith = np.maximum(np.cos(np.asarray(sun_zenith, dtype=float)), 0.0)
    beam = np.asarray(clear_direct_normal, dtype=float)
    share = np.clip(np.asarray(clearness, dtype=float), 0.0, 1.0)
    clear_global = beam * cos_zenith + np.asarray(clear_diffuse_horizontal, dtype=float)
    index = clear_global / (SOLAR_CONSTANT * np.maximum(cos_zenith, 0.065))
    kept = (1.0 - diffuse_fraction_erbs(index * share)) / (1.0 - diffuse_fraction_erbs(index) + 1e-12)
    direct = beam * share * np.minimum(kept, 1.0)
    on_level = clear_global * share
    return direct, np.maximum(on_level - direct * cos_zenith, 0.0), on_level
