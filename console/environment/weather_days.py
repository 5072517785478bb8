"""Whole days of a weather file, on the boat's clock, kept in the store under the file's content."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from console.environment.store import Key, load_table, save_table, table_path
from console.environment.weather_file import COLUMNS, Records, WeatherFileError, parse_records, read_bytes
from console.quantities import shown

Array = NDArray[np.float64]

MAP_VERSION = 1

LONGEST_GAP = 3.0
"""Hours between readings that a straight line may bridge."""

_TYPICAL_YEAR = 2025
_EPOCH = datetime(1900, 1, 1)
_SUN = slice(3, len(COLUMNS))


@dataclass(frozen=True)
class FileWeather:
    """The whole days of a weather file.

    ``days`` (n,) as yyyymmdd, ascending; ``values`` (n, 24, 6) at the middle of each hour of the
    file's own clock, columns `COLUMNS`. A day has all its temperatures; another column may be
    NaN. ``utc_offset`` (h), ``latitude`` and ``longitude`` (degrees) are NaN when the file does
    not say.
    """

    days: NDArray[np.int64]
    values: Array
    utc_offset: float
    latitude: float
    longitude: float


@dataclass(frozen=True)
class FileDay:
    """One day of a weather file on the boat's clock; each (24,), a whole column NaN if silent.

    K, K, m/s, W/m², W/m², W/m².
    """

    day: date
    temperature: Array
    dew_point: Array
    wind_speed: Array
    direct_normal: Array
    diffuse_horizontal: Array
    global_horizontal: Array


def day_of_number(day: int) -> date:
    """The date of a yyyymmdd number."""
    return date(day // 10_000, day // 100 % 100, day % 100)


def _read_at(hours: Array, values: Array, wanted: Array) -> Array:
    """One column by straight lines at ``wanted``; NaN across a gap longer than `LONGEST_GAP`."""
    there = np.isfinite(values)
    if not there.any():
        return np.full(wanted.shape, np.nan)
    hours, values = hours[there], values[there]
    right = np.searchsorted(hours, wanted)
    before = hours[np.clip(right - 1, 0, len(hours) - 1)]
    after = hours[np.clip(right, 0, len(hours) - 1)]
    # Before the first and after the last reading the nearest one stands, for half a gap.
    gap = np.where(after > before, after - before, 2.0 * np.abs(wanted - before))
    gap = np.where((right == 0) | (right == len(hours)), 2.0 * np.abs(wanted - after), gap)
    return np.where(gap <= LONGEST_GAP + 1e-6, np.interp(wanted, hours, values), np.nan)


def days_of(records: Records) -> FileWeather:
    """The records as whole days, read at the middle of each hour of the file's clock.

    Gaps of up to three hours are bridged; a day with a longer gap in its temperature is left
    out. Raises `WeatherFileError` when no day is left.
    """
    starts: list[datetime] = []
    rows: list[int] = []
    hour = timedelta(hours=1 if records.typical else 0)
    for row, stamp in enumerate(records.times):
        start = stamp - hour
        if records.typical:
            if (start.month, start.day) == (2, 29):
                continue
            start = start.replace(year=_TYPICAL_YEAR)
        starts.append(start)
        rows.append(row)
    hours = np.array([(start - _EPOCH) / timedelta(hours=1) for start in starts])
    order = np.argsort(hours, kind="stable")
    hours, values = hours[order], records.values[rows][order]
    first = np.unique(np.floor(hours / 24.0)).astype(np.int64)
    wanted = np.asarray(first[:, None] * 24.0 + np.arange(24) + 0.5, dtype=np.float64).ravel()
    # A typical year's sunshine is the mean of its hour; the rest is read at the hour's end.
    ends = hours + 1.0 if records.typical else hours
    middles = hours + 0.5 if records.typical else hours
    table = np.stack(
        [
            _read_at(middles if column >= _SUN.start else ends, values[:, column], wanted)
            for column in range(len(COLUMNS))
        ],
        axis=1,
    ).reshape(len(first), 24, len(COLUMNS))
    whole = np.all(np.isfinite(table[:, :, 0]), axis=1)
    if not whole.any():
        raise WeatherFileError("it has no whole day with a temperature at least every three hours.")
    dates = [(_EPOCH + timedelta(days=int(n))).date() for n in first[whole]]
    days = np.array([d.year * 10_000 + d.month * 100 + d.day for d in dates], dtype=np.int64)
    place = [
        np.nan if v is None else float(v) for v in (records.utc_offset, records.latitude, records.longitude)
    ]
    return FileWeather(days, table[whole], *place)


# --- the store --------------------------------------------------------------------------------


def _pack(weather: FileWeather) -> Array:
    n = len(weather.days)
    table = np.zeros((n + 1, 1 + 24 * len(COLUMNS)))
    table[0, :3] = weather.utc_offset, weather.latitude, weather.longitude
    table[1:, 0] = weather.days
    table[1:, 1:] = weather.values.reshape(n, -1)
    return table


def _unpack(table: Array) -> FileWeather | None:
    if table.ndim != 2 or table.shape[0] < 2 or table.shape[1] != 1 + 24 * len(COLUMNS):
        return None
    values = table[1:, 1:].reshape(-1, 24, len(COLUMNS))
    return FileWeather(table[1:, 0].astype(np.int64), values, *(float(v) for v in table[0, :3]))


def _key(raw: bytes) -> Key:
    return {"what": "weather", "map": MAP_VERSION, "content": hashlib.sha256(raw).hexdigest()}


@lru_cache(maxsize=8)
def _weather(path: str, modified: int, size: int) -> FileWeather:
    raw = read_bytes(Path(path))
    key = _key(raw)
    table = load_table(key)
    weather = None if table is None else _unpack(table)
    if weather is None:
        name = shown(Path(path).name)
        records = parse_records(raw, name)
        try:
            weather = days_of(records)
        except WeatherFileError as error:
            raise WeatherFileError(f'The weather file "{name}": {error}') from None
        save_table(key, _pack(weather))
    return weather


def file_weather(path: Path) -> FileWeather:
    """The whole days of a weather file, from the store or read now. `WeatherFileError`."""
    try:
        info = os.stat(path)
    except (OSError, ValueError):
        read_bytes(path)  # says in one sentence what is wrong
        raise
    return _weather(str(path), info.st_mtime_ns, info.st_size)


def file_is_stored(path: Path) -> bool:
    """Whether the file's days are in the store. `WeatherFileError` when it cannot be read."""
    return table_path(_key(read_bytes(path))).is_file()


# --- choosing a day ---------------------------------------------------------------------------


def chosen_days(weather: FileWeather, day: date | None, count: int) -> tuple[int, ...]:
    """Indices of ``count`` days in a row of the file, the first as `chosen_day` has it.

    Without a date, those of the highest mean temperature. Raises `WeatherFileError` when the file
    has no so many whole days one after the other.
    """
    if count == 1:
        return (chosen_day(weather, day),)
    numbers = np.array([day_of_number(int(each)).toordinal() for each in weather.days])
    starts = np.flatnonzero(numbers[count - 1 :] - numbers[: max(len(numbers) - count + 1, 0)] == count - 1)
    if day is None and starts.size:
        means = weather.values[:, :, 0].mean(axis=1)
        first = int(starts[np.argmax([means[k : k + count].mean() for k in starts])])
    else:
        first = chosen_day(weather, day)
    if first not in starts:
        since = "" if day is None else f" from {day_of_number(int(weather.days[first])).isoformat()} on"
        raise WeatherFileError(f"The weather file has no {count} whole days in a row{since}.")
    return tuple(range(first, first + count))


def chosen_day(weather: FileWeather, day: date | None) -> int:
    """Index of the file's day: that date, else the same day of another year, else (without a
    date) the day of the highest mean temperature. Raises `WeatherFileError`.
    """
    if day is None:
        return int(np.argmax(weather.values[:, :, 0].mean(axis=1)))
    number = day.year * 10_000 + day.month * 100 + day.day
    exact = np.flatnonzero(weather.days == number)
    if exact.size:
        return int(exact[0])
    month_day = 228 if number % 10_000 == 229 else number % 10_000
    same = np.flatnonzero(np.isin(weather.days % 10_000, (month_day, number % 10_000)))
    if not same.size:
        first, last = (day_of_number(int(weather.days[i])).isoformat() for i in (0, -1))
        raise WeatherFileError(
            f"The weather file has no whole day for {day.isoformat()}; it has {len(weather.days)}"
            f" between {first} and {last}."
        )
    return int(same[-1])


def day_on_boat_clock(weather: FileWeather, index: int, utc_offset: float) -> FileDay:
    """A day of the file at the middle of each hour of a clock ``utc_offset`` h ahead of UTC.

    Where the clocks differ the hours from the day before or after are used, when the file has
    that day, else the day's own hours from its other end.
    """
    day = day_of_number(int(weather.days[index]))
    shift = 0.0 if np.isnan(weather.utc_offset) else utc_offset - weather.utc_offset

    def beside(step: int) -> Array:
        other = index + step
        there = 0 <= other < len(weather.days)
        if there and day_of_number(int(weather.days[other])) - day == timedelta(days=step):
            index_there = other
        else:
            index_there = index
        hours: Array = weather.values[index_there]
        return hours

    three = np.concatenate([beside(-1), weather.values[index], beside(1)])
    clock = np.arange(-24, 48) + 0.5
    wanted = np.arange(24) + 0.5 - shift
    columns = [np.interp(wanted, clock, three[:, column]) for column in range(len(COLUMNS))]
    columns = [c if np.all(np.isfinite(c)) else np.full(24, np.nan) for c in columns]
    return FileDay(day, *columns)
