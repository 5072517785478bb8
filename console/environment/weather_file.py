"""Weather files: EPW, TMY2, TMY3 (read by pvlib.iotools) and the owner's own plain CSV.

`read_records` reads a file into records in SI; `console.environment.weather_days` makes whole
days of them. Whatever is wrong with a file becomes one sentence (`WeatherFileError`).

A plain CSV has one row of names and one row per reading: ``time`` (an ISO date and time, on the
boat's clock unless it states its offset), ``temperature F``, and any of ``dew_point F`` or
``humidity %``, ``wind knots``, ``direct_normal W/m2``, ``diffuse W/m2``, ``global W/m2``. The unit
stands behind the name; without one C, m/s, % and W/m2 are taken.
"""

from __future__ import annotations

import csv
import io
import math
import os
import re
import stat
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from console.quantities import QuantityError, parse_measure, shown

Array = NDArray[np.float64]

LARGEST = 20 * 1024 * 1024
"""Bytes of the largest file that is looked at; an EPW year is 1.6 MB."""

COLUMNS = ("temperature", "dew_point", "wind_speed", "direct_normal", "diffuse", "global")
"""Columns of a record: K, K, m/s, W/m², W/m², W/m²; NaN where the file is silent."""

# Outside these a value is taken as missing (the formats write 99.9, 9999, -9900 for it).
_PLAUSIBLE = ((200.0, 335.0), (180.0, 320.0), (0.0, 100.0), (0.0, 1400.0), (0.0, 1400.0), (0.0, 1500.0))


class WeatherFileError(ValueError):
    """A weather file that cannot be used; the message is one clear sentence."""


@dataclass(frozen=True)
class Records:
    """A weather file as it stands, reading by reading.

    ``times`` (naive, on the file's clock) are when each reading was taken, ``values`` has the
    shape (rows, 6) after `COLUMNS`. ``utc_offset`` (h), ``latitude`` and ``longitude`` (degrees)
    are None when the file does not say. ``typical`` marks a typical year: its months come from
    different years, and its sunshine is the mean of the hour before ``times``.
    """

    kind: str
    times: list[datetime]
    values: Array
    utc_offset: float | None
    latitude: float | None
    longitude: float | None
    typical: bool


# --- reading ----------------------------------------------------------------------------------


def read_bytes(path: Path) -> bytes:
    """The file's bytes, when it is an ordinary text file of sane size. `WeatherFileError`."""
    name = shown(path.name)
    try:
        info = os.stat(path)
        if not stat.S_ISREG(info.st_mode):
            raise WeatherFileError(f'The weather file "{name}" is not an ordinary file.')
        if info.st_size > LARGEST:
            raise WeatherFileError(
                f'The weather file "{name}" is too large ({info.st_size / 1e6:.0f} MB; at most 20 MB).'
            )
        with open(path, "rb") as file:
            raw = file.read(LARGEST + 1)
    except WeatherFileError:
        raise
    except FileNotFoundError:
        raise WeatherFileError(f'There is no weather file "{name}".') from None
    except (OSError, ValueError) as error:
        raise WeatherFileError(f'The weather file "{name}" cannot be read ({shown(error)}).') from None
    if len(raw) > LARGEST or b"\0" in raw[:100_000] or not raw.strip():
        raise WeatherFileError(f'The weather file "{name}" is not a text file of weather.')
    return raw


def kind_of(text: str) -> str:
    """Which format a file's text is: ``"EPW"``, ``"TMY2"``, ``"TMY3"`` or ``"CSV"``."""
    first, _, rest = text.partition("\n")
    second = rest.partition("\n")[0]
    if first.startswith("LOCATION,"):
        return "EPW"
    if second.startswith("Date (MM/DD/YYYY)"):
        return "TMY3"
    if re.match(r" ?\d{5} .+ [NS] +\d+ +\d+ +[EW] ", first) and "," not in first:
        return "TMY2"
    return "CSV"


def read_records(path: Path) -> Records:
    """Read a weather file into hourly records in SI. Raises `WeatherFileError`."""
    return parse_records(read_bytes(path), shown(path.name))


def parse_records(raw: bytes, name: str) -> Records:
    """Read a file's bytes; ``name`` is what its errors call it. Raises `WeatherFileError`."""
    text = raw.decode("utf-8-sig", errors="replace")
    kind = kind_of(text)
    reader = {"EPW": _read_epw, "TMY3": _read_tmy3, "TMY2": _read_tmy2, "CSV": _read_csv}[kind]
    try:
        records = reader(text)
    except WeatherFileError as error:
        raise WeatherFileError(f'The weather file "{name}": {error}') from None
    except Exception as error:  # pandas and pvlib raise anything on a broken file
        raise WeatherFileError(
            f'The weather file "{name}" looks like {kind} but cannot be read ({shown(error, 60)}).'
        ) from None
    if not records.times:
        raise WeatherFileError(f'The weather file "{name}" has no rows of weather.')
    values = records.values
    with np.errstate(invalid="ignore"):
        for column, (least, most) in enumerate(_PLAUSIBLE):
            outside = ~((values[:, column] >= least) & (values[:, column] <= most))
            values[outside, column] = np.nan
    if np.mean(np.isfinite(values[:, 0])) < 0.5:
        raise WeatherFileError(f'The weather file "{name}" has no usable temperatures.')
    return records


def _stack(*columns: Any) -> Array:
    return np.stack([np.asarray(column, dtype=float) for column in columns], axis=1)


def _read_epw(text: str) -> Records:
    from pvlib.iotools import read_epw

    data, place = read_epw(io.StringIO(text))
    values = _stack(
        data["temp_air"] + 273.15, data["temp_dew"] + 273.15, data["wind_speed"],
        data["dni"], data["dhi"], data["ghi"],
    )  # fmt: skip
    # pvlib stamps the start of the hour; the formats' "time indicated" is its end.
    times = [stamp.to_pydatetime() + timedelta(hours=1) for stamp in data.index.tz_localize(None)]
    return Records("EPW", times, values, place["TZ"], place["latitude"], place["longitude"], True)


def _read_tmy3(text: str) -> Records:
    from pvlib.iotools import read_tmy3

    data, place = read_tmy3(io.StringIO(text), map_variables=True)
    values = _stack(
        data["temp_air"] + 273.15, data["temp_dew"] + 273.15, data["wind_speed"],
        data["dni"], data["dhi"], data["ghi"],
    )  # fmt: skip
    times = [stamp.to_pydatetime() for stamp in data.index.tz_localize(None)]
    return Records("TMY3", times, values, place["TZ"], place["latitude"], place["longitude"], True)


def _read_tmy2(text: str) -> Records:
    from pvlib.iotools import read_tmy2

    header, _, rows = text.partition("\n")
    # pvlib takes the city for one word; the format gives it 22 columns.
    station = re.match(r" ?(\d{5}) (.+?) +([A-Z]{2}) +(-?\d+ [NS] .*)", header)
    if station:
        header = f" {station[1]} {station[2].replace(' ', '_')} {station[3]} {station[4]}"
    handle, temporary = tempfile.mkstemp(suffix=".tm2")
    try:
        with os.fdopen(handle, "w") as file:
            file.write(header + "\n" + rows)
        data, place = read_tmy2(temporary)
    finally:
        os.unlink(temporary)
    values = _stack(
        data["DryBulb"] / 10 + 273.15, data["DewPoint"] / 10 + 273.15, data["Wspd"] / 10,
        data["DNI"], data["DHI"], data["GHI"],
    )  # fmt: skip
    times = [stamp.to_pydatetime() + timedelta(hours=1) for stamp in data.index.tz_localize(None)]
    return Records("TMY2", times, values, place["TZ"], place["latitude"], place["longitude"], True)


# Name of a CSV's column -> (what it is, its style, the unit without one)
_CSV_NAMES: dict[str, tuple[str, str, str]] = {
    "time": ("time", "", ""), "at": ("time", "", ""), "date": ("time", "", ""),
    "datetime": ("time", "", ""), "timestamp": ("time", "", ""),
    "temperature": ("temperature", "temperature", "C"), "temp": ("temperature", "temperature", "C"),
    "temp_air": ("temperature", "temperature", "C"), "dry_bulb": ("temperature", "temperature", "C"),
    "dew_point": ("dew_point", "temperature", "C"), "dewpoint": ("dew_point", "temperature", "C"),
    "temp_dew": ("dew_point", "temperature", "C"),
    "humidity": ("humidity", "share", "%"), "relative_humidity": ("humidity", "share", "%"),
    "rh": ("humidity", "share", "%"),
    "wind": ("wind_speed", "wind", "m/s"), "wind_speed": ("wind_speed", "wind", "m/s"),
    "direct_normal": ("direct_normal", "irradiance", "W/m2"), "dni": ("direct_normal", "irradiance", "W/m2"),
    "diffuse": ("diffuse", "irradiance", "W/m2"), "dhi": ("diffuse", "irradiance", "W/m2"),
    "diffuse_horizontal": ("diffuse", "irradiance", "W/m2"),
    "global": ("global", "irradiance", "W/m2"), "ghi": ("global", "irradiance", "W/m2"),
    "global_horizontal": ("global", "irradiance", "W/m2"),
}  # fmt: skip


def _csv_column(header: str) -> tuple[str, float, float] | None:
    """What a column is, and the factor and offset that turn its numbers into SI."""
    words = re.sub(r"[()\[\],]", " ", header.strip()).split()
    if not words:
        return None
    # "dew point F" and "dew_point F" are the same; the unit is what stands behind the name.
    for count in (2, 1):
        known = _CSV_NAMES.get("_".join(words[:count]).lower())
        if known and len(words) >= count:
            what, style, unit = known
            if not style:
                return what, 1.0, 0.0
            unit = " ".join(words[count:]) or unit
            try:
                zero, one = (parse_measure(f"{n} {unit}", style).value for n in (0, 1))
            except QuantityError as error:
                raise WeatherFileError(str(error)) from None
            return what, one - zero, zero
    return None


def _number(cell: str) -> float:
    try:
        return float(cell)
    except ValueError:
        return math.nan


def _read_csv(text: str) -> Records:
    rows = csv.reader(io.StringIO(text))
    header = next(rows, [])
    columns: dict[str, tuple[int, float, float]] = {}
    for at, cell in enumerate(header):
        found = _csv_column(cell)
        if found and found[0] not in columns:
            columns[found[0]] = (at, found[1], found[2])
    if "time" not in columns or "temperature" not in columns:
        raise WeatherFileError(
            'it is no EPW, TMY2 or TMY3 file, and a plain CSV needs the columns "time" and "temperature C".'
        )
    times: list[datetime] = []
    cells: list[Sequence[str]] = []
    offset: timedelta | None = None
    for row in rows:
        if len(row) <= columns["time"][0] or not row[columns["time"][0]].strip():
            continue
        try:
            stamp = datetime.fromisoformat(row[columns["time"][0]].strip())
        except ValueError:
            raise WeatherFileError(
                f'"{shown(row[columns["time"][0]])}" in row {rows.line_num} is not an ISO date and'
                ' time such as "2026-07-26 14:00".'
            ) from None
        if stamp.tzinfo is not None:
            offset = stamp.utcoffset() if offset is None else offset
            stamp = (stamp.astimezone(UTC) + (offset or timedelta())).replace(tzinfo=None)
        times.append(stamp)
        cells.append(row)

    def column(name: str) -> Array:
        if name not in columns:
            return np.full(len(cells), np.nan)
        at, factor, zero = columns[name]
        return np.array([_number(r[at]) if at < len(r) else math.nan for r in cells]) * factor + zero

    temperature, dew_point = column("temperature"), column("dew_point")
    if "dew_point" not in columns and "humidity" in columns:
        humidity = np.clip(column("humidity"), 0.01, 1.0)
        good = np.isfinite(humidity) & (temperature > 200.0) & (temperature < 335.0)
        dew_point[good] = air.dew_point(air.humidity_ratio(temperature[good], humidity[good]))
    values = _stack(
        temperature, dew_point, column("wind_speed"),
        column("direct_normal"), column("diffuse"), column("global"),
    )  # fmt: skip
    hours = None if offset is None else offset.total_seconds() / 3600.0
    order = sorted(range(len(times)), key=times.__getitem__)
    return Records("CSV", [times[i] for i in order], values[order], hours, None, None, False)
