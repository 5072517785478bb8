"""Building a run's sun and weather ahead of it, in a process of its own.

pvlib takes up to some seconds to import from a cold disk; a screen that did it itself would
stutter, and a guarded estimate would run out of its time.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from console.environment.estimates import days_asked, needs_building, weather_of_run, whereabouts
from console.environment.sun_table import sun_day
from console.environment.weather_days import file_weather
from console.environment.weather_file import WeatherFileError

if TYPE_CHECKING:
    from console.contract import Run

LONGEST = 120.0
"""Seconds the child may take; then the building is done here."""


def build(run: Run) -> None:
    """Build and store what the run's weather needs, here and now. `WeatherFileError`."""
    for where, _ in whereabouts(run, weather_of_run(run), days_asked(run)):
        sun_day(where.latitude, where.longitude, where.utc_offset, where.day)


def build_in_child(run: Run) -> None:
    """As `build`, with pvlib imported by a child process alone. Call it from a worker thread.

    Should the child fail, or the cache not be writable, the building is done here all the same.
    Raises `console.environment.weather_file.WeatherFileError`.
    """
    named = run.text("weather.file", "")
    if not needs_building(run):
        return
    if named:
        _child("weather", named)
    if needs_building(run):
        places = [where for where, _ in whereabouts(run, weather_of_run(run), days_asked(run))]
        dated = [part for where in places for part in (repr(where.utc_offset), where.day.isoformat())]
        _child("sun", repr(places[0].latitude), repr(places[0].longitude), *dated)
    build(run)


def weather_problem(run: Run) -> str:
    """One sentence on what is wrong with the run's weather file or its day; nothing if it is sound.

    A file not seen before is read, by a child process.
    """
    try:
        if run.text("weather.file", ""):
            build_in_child(run)
            whereabouts(run, weather_of_run(run), days_asked(run))
    except WeatherFileError as error:
        return str(error)
    return ""


def _child(*arguments: str) -> bool:
    root = str(Path(__file__).parents[2])
    paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-m", "console.environment", *arguments],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            timeout=LONGEST,
            check=False,
        )
    except (OSError, ValueError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0


def main(arguments: list[str]) -> int:
    """What the child does: ``weather FILE`` or ``sun LATITUDE LONGITUDE (UTC_OFFSET DAY)...``."""
    from datetime import date

    try:
        match arguments:
            case ["weather", path]:
                file_weather(Path(path))
            case ["sun", latitude, longitude, *dated] if dated and len(dated) % 2 == 0:
                for utc_offset, day in zip(dated[::2], dated[1::2], strict=True):
                    sun_day(float(latitude), float(longitude), float(utc_offset), date.fromisoformat(day))
            case _:
                return 2
    except WeatherFileError:
        return 1  # whoever asked will find the same, and say so
    return 0
