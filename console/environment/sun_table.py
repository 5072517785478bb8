"""The sun of one place and day: where it stands each hour, and its light under a cloudless sky.

Built once with pvlib (0.8 s to import) and stored; a stored day loads with numpy alone.
"""

from __future__ import annotations

import importlib.metadata
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from console.environment.store import Key, load_table, save_table, table_path

Array = NDArray[np.float64]

MAP_VERSION = 1


@dataclass(frozen=True)
class SunDay:
    """24 hourly values at the middle of each hour of the boat's clock, each of shape (24,).

    ``zenith`` and ``azimuth`` in rad (refraction included; clockwise from true north),
    ``clear_direct`` and ``clear_diffuse`` in W/m² under a cloudless sky, ``solar_hour`` the
    apparent solar time, 0..24.
    """

    zenith: Array
    azimuth: Array
    clear_direct: Array
    clear_diffuse: Array
    solar_hour: Array


@lru_cache(maxsize=1)
def _pvlib_version() -> str:
    return importlib.metadata.version("pvlib")


def sun_key(latitude: float, longitude: float, utc_offset: float, day: date) -> Key:
    """What a day's table depends on. Degrees and hours; the place is rounded to 0.1°."""
    return {
        "what": "sun",
        "map": MAP_VERSION,
        "pvlib": _pvlib_version(),
        "latitude": round(latitude, 1) + 0.0,
        "longitude": round(longitude, 1) + 0.0,
        "utc_offset": round(utc_offset * 60.0) / 60.0 + 0.0,
        "day": day.isoformat(),
    }


def build_sun_table(latitude: float, longitude: float, utc_offset: float, day: date) -> Array:
    """Compute a day's table, shape (5, 24), with pvlib. Degrees and hours in.

    Position: NREL's algorithm (Reda and Andreas 2003). Cloudless sky: Ineichen and Perez (2002)
    at sea level, with pvlib's monthly table of Linke turbidity.
    """
    import pandas as pd
    import pvlib

    start = pd.Timestamp(day.isoformat()) - pd.Timedelta(hours=utc_offset)
    times = pd.date_range(start + pd.Timedelta(minutes=30), periods=24, freq="h", tz="UTC")
    position = pvlib.solarposition.get_solarposition(times, latitude, longitude, altitude=0.0)
    zenith = position["apparent_zenith"]
    air_mass = pvlib.atmosphere.get_relative_airmass(zenith)
    turbidity = pvlib.clearsky.lookup_linke_turbidity(times, latitude, longitude)
    extra = pvlib.irradiance.get_extra_radiation(times)
    clear = pvlib.clearsky.ineichen(zenith, air_mass, turbidity, altitude=0.0, dni_extra=extra)
    clock = np.arange(24) + 0.5
    solar = clock - utc_offset + longitude / 15.0 + position["equation_of_time"].to_numpy() / 60.0
    return np.stack(
        [
            np.radians(zenith.to_numpy()),
            np.radians(position["azimuth"].to_numpy()),
            np.nan_to_num(clear["dni"].to_numpy()),
            np.nan_to_num(clear["dhi"].to_numpy()),
            np.mod(solar, 24.0),
        ]
    )


@lru_cache(maxsize=64)
def sun_day(latitude: float, longitude: float, utc_offset: float, day: date) -> SunDay:
    """The sun of a place and day, from the store or built now. Degrees and hours in.

    The place is rounded to 0.1°, so that one table serves a harbour. Read-only arrays.
    """
    key = sun_key(latitude, longitude, utc_offset, day)
    table = load_table(key)
    if table is None or table.shape != (5, 24) or not np.all(np.isfinite(table)):
        table = build_sun_table(
            float(key["latitude"]), float(key["longitude"]), float(key["utc_offset"]), day
        )
        save_table(key, table)
    table.setflags(write=False)
    return SunDay(*table)


def sun_day_is_stored(latitude: float, longitude: float, utc_offset: float, day: date) -> bool:
    """Whether the day's table is in the store (not whether it is sound): cheap."""
    return table_path(sun_key(latitude, longitude, utc_offset, day)).is_file()


def day_of_hottest_month(latitude: float) -> date:
    """The 21st of the hottest month: July north of the line, January south of it.

    The year is fixed, so that the answer does not depend on when it is asked.
    """
    return date(2025, 7 if latitude >= 0 else 1, 21)


def utc_offset_of(timezone: str, longitude: float, day: date) -> float:
    """Hours the boat's clock is ahead of UTC at noon of the day, daylight saving included.

    Without a ``timezone`` (an IANA name) the clock is the sun's: ``longitude`` (degrees) / 15.
    """
    if not timezone:
        return longitude / 15.0
    from datetime import datetime
    from zoneinfo import ZoneInfo

    noon = datetime(day.year, day.month, day.day, 12, tzinfo=ZoneInfo(timezone))
    offset = noon.utcoffset() or timedelta()
    return offset.total_seconds() / 3600.0
