"""The day's weather at the boat, hour by hour: the console's own estimate."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from console.environment.design_day import (
    humidity_ratio_of_held_dew_point,
    sunshine_under_cloud,
    temperature_daily_range_ashrae,
)
from console.environment.sun_table import (
    SunDay,
    day_of_hottest_month,
    sun_day,
    sun_day_is_stored,
    utc_offset_of,
)
from console.environment.weather_days import (
    FileDay,
    FileWeather,
    chosen_days,
    day_of_number,
    day_on_boat_clock,
    file_is_stored,
    file_weather,
)
from console.properties import air

if TYPE_CHECKING:
    from console.contract import Array, Run


@dataclass(frozen=True)
class Whereabouts:
    """A place in degrees, the clock's hours ahead of UTC, the day."""

    latitude: float
    longitude: float
    utc_offset: float
    day: date


def _degrees(run: Run, path: str) -> float:
    # One sun for all draws: a place is known to far better than the sun's light is.
    return math.degrees(float(run.number(path).flat[0]))


def _stated_day(run: Run) -> date | None:
    day = run.value("weather.date", None)
    return day if isinstance(day, date) else None


def days_asked(run: Run) -> int:
    """How many days in a row the run is of."""
    return max(1, round(float(run.number("weather.days", 1.0).flat[0])))


def whereabouts(
    run: Run, weather: FileWeather | None = None, days: int = 1
) -> list[tuple[Whereabouts, int]]:
    """Place, clock and date of each different day of a run; with a weather file also its index there.

    A design day is one, however often it is repeated. The sunshine of a weather file belongs to the
    file's own place, so its sun is taken there. Raises `WeatherFileError`.
    """
    latitude, longitude = _degrees(run, "site.latitude"), _degrees(run, "site.longitude")
    zone, day = run.text("site.timezone", ""), _stated_day(run)
    if weather is None:
        day = day or day_of_hottest_month(latitude)
        return [(Whereabouts(latitude, longitude, utc_offset_of(zone, longitude, day), day), 0)]
    if math.isfinite(weather.latitude) and math.isfinite(weather.longitude):
        latitude, longitude = weather.latitude, weather.longitude
    found = []
    for passed, index in enumerate(chosen_days(weather, day, days)):
        # The sun of the stated year; the file's own where none is stated.
        here = day + timedelta(days=passed) if day else day_of_number(int(weather.days[index]))
        if zone or not math.isfinite(weather.utc_offset):
            offset = utc_offset_of(zone, longitude, here)
        else:
            offset = weather.utc_offset
        found.append((Whereabouts(latitude, longitude, offset, here), index))
    return found


def weather_of_run(run: Run) -> FileWeather | None:
    """The run's weather file, or None for a design day. Raises `WeatherFileError`."""
    named = run.text("weather.file", "")
    return file_weather(Path(named)) if named else None


def weather_day(run: Run) -> Mapping[str, Array]:
    """The figures ``weather.*`` of a design day, or of the days of a weather file.

    A run of more than a day repeats the design day, or goes on in the file. Raises
    `console.environment.weather_file.WeatherFileError` with one sentence.
    """
    weather = weather_of_run(run)
    # The day is reckoned at the middle of its hours; a finer step takes its hour's.
    slot = np.floor(run.hours).astype(int) % 24
    # A clock that goes back has passed midnight.
    past = np.concatenate([[0], np.cumsum(np.diff(run.hours) < 0.0)])
    made = []
    for where, index in whereabouts(run, weather, int(past[-1]) + 1):
        sun = sun_day(where.latitude, where.longitude, where.utc_offset, where.day)
        given = None if weather is None else day_on_boat_clock(weather, index, where.utc_offset)
        made.append(_figures(run, sun, given))
    if len(made) == 1:
        if slot.size == 24 and np.all(slot == np.arange(24)):
            return made[0]
        return {k: v if v.shape[-1] == 1 else v[..., slot] for k, v in made[0].items()}
    step = past * 24 + slot
    return {name: _in_a_row([day[name] for day in made])[..., step] for name in made[0]}


def _in_a_row(days: list[Array]) -> Array:
    """Figures of one day each, one after the other, (draws, 24 times days)."""
    rows = max((each.shape[0] for each in days if each.ndim > 1), default=1)
    return np.concatenate([np.broadcast_to(each, (rows, 24)) for each in days], axis=-1)


def _dew_point(run: Run) -> Array:
    if not run.given("weather.dew_point"):
        high = run.number("weather.high")
        if run.has("weather.wet_bulb"):
            wet_bulb = np.minimum(run.number("weather.wet_bulb"), high)
            ratio = air.humidity_ratio_from_wet_bulb(high, wet_bulb)
            return np.asarray(air.dew_point(np.maximum(ratio, 1e-4)))
        if run.has("weather.humidity"):
            return np.asarray(air.dew_point(air.humidity_ratio(high, run.number("weather.humidity"))))
    return run.number("weather.dew_point")


def _figures(run: Run, sun: SunDay, given: FileDay | None) -> dict[str, Array]:
    if given is None:
        temperature = temperature_daily_range_ashrae(
            run.number("weather.high"), run.number("weather.low"), sun.solar_hour
        )
        dew_point, wind = _dew_point(run), run.number("weather.wind")
    else:
        temperature = given.temperature + run.number("weather.warmer_here")
        # The same vapour in warmer air: the dew point does not shift with the station.
        dew_point = given.dew_point if _whole(given.dew_point) else _dew_point(run)
        wind = (
            given.wind_speed * run.number("weather.wind_here")
            if _whole(given.wind_speed)
            else run.number("weather.wind")
        )
    dew_point = np.minimum(dew_point, temperature)
    direct, diffuse, on_level = _sunshine(run, sun, given)
    return {
        "weather.outdoor_temperature": temperature,
        "weather.outdoor_humidity_ratio": humidity_ratio_of_held_dew_point(temperature, dew_point),
        "weather.outdoor_dew_point": dew_point,
        "weather.wind_speed": wind,
        "weather.direct_normal": direct,
        "weather.diffuse_horizontal": diffuse,
        "weather.global_horizontal": on_level,
        "weather.sun_zenith": sun.zenith,
        "weather.sun_azimuth": sun.azimuth,
        "weather.seawater_temperature": run.number("site.seawater_temperature"),
    }


def _whole(column: Array) -> bool:
    return bool(np.all(np.isfinite(column)))


def _sunshine(run: Run, sun: SunDay, given: FileDay | None) -> tuple[Array, Array, Array]:
    """Direct, diffuse and global (W/m²): the file's own, or split from its global, or by the sky."""
    cos_zenith = np.maximum(np.cos(sun.zenith), 0.0)
    if given is not None and _whole(given.direct_normal) and _whole(given.diffuse_horizontal):
        direct = np.where(cos_zenith > 0.0, given.direct_normal, 0.0)
        return direct, given.diffuse_horizontal, direct * cos_zenith + given.diffuse_horizontal
    if given is not None and _whole(given.global_horizontal):
        cloudless = sun.clear_direct * cos_zenith + sun.clear_diffuse
        clearness = given.global_horizontal / np.maximum(cloudless, 1.0)
        return sunshine_under_cloud(sun.clear_direct, sun.clear_diffuse, sun.zenith, clearness)
    return sunshine_under_cloud(
        sun.clear_direct, sun.clear_diffuse, sun.zenith, run.number("weather.clearness")
    )


# --- building ahead ---------------------------------------------------------------------------


def needs_building(run: Run) -> bool:
    """Whether the weather of this run is yet to be built (a second or so, with pvlib). Cheap.

    ``run`` is anything that answers for the inputs. A weather file that cannot be read needs no
    building: the run itself says what is wrong with it.
    """
    named = run.text("weather.file", "")
    try:
        if named and not file_is_stored(Path(named)):
            return True
        places = whereabouts(run, weather_of_run(run), days_asked(run))
    except ValueError:
        return False
    return not all(
        sun_day_is_stored(where.latitude, where.longitude, where.utc_offset, where.day)
        for where, _ in places
    )
