"""Logged cleanings and timed fills narrow how fast this boat's strainer shuts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from console.boatfile import Boat
from console.engine.run import run_day
from console.inference.fitting import fit
from console.logbook import read_csv

BOAT = """
[site]
seawater_temperature = "27 degC"
[raw_water]
container = "10 L"
fill_time = "40 s"
[[raw_water.line]]
part = "strainer"
blocked = "0 % ± 0 %"
"""
TRUE_PACE = 2.2


def four_weeks(boat: Boat, folder: Path) -> Path:
    """Four weeks of a boat that fouls faster than usual, cleaned each week, the bucket timed between."""
    rate = float(run_day(boat).daily("raw_water.blocking_rate")[0]) * TRUE_PACE * 86400
    lines = ["at,reading,value,unit,note"]
    for number in range(28):
        day, since = date(2026, 6, 1) + timedelta(days=number), number % 7
        if since == 0:
            lines.append(f"{day}T08:00,cleaned_strainer,,,")
        if since in (1, 3, 5, 6):
            shut = boat.with_edit("raw_water.line.strainer.blocked", f"{min(100 * rate * since, 99):.3f} %")
            seconds = float(run_day(shut).daily("raw_water.fill_time")[0])
            lines.append(f"{day}T12:00,fill_time,{seconds:.1f},s,")
    path = folder / "log.csv"
    path.write_text("\n".join([*lines, ""]), "utf-8")
    return path


def test_a_log_of_cleanings_and_fills_finds_the_boats_own_pace(
    read: Callable[[str], Boat], tmp_path: Path
) -> None:
    boat = read(BOAT)
    found = {
        one.path: one for one in fit(boat, read_csv(four_weeks(boat, tmp_path), boat), "climate").inputs
    }
    pace = found["raw_water.fouling_pace"]
    assert pace.after[1] < TRUE_PACE < pace.after[2]
    assert pace.after[0] == pytest.approx(TRUE_PACE, rel=0.25)
    # Without a log it is known to a factor of two either way.
    assert pace.before[2] / pace.before[1] > 3.5 > 2.2 > pace.after[2] / pace.after[1]
    # The day it is due follows, and is known better.
    narrowed = boat.with_edit("raw_water.fouling_pace", pace.text("si"))
    before, after = (run_day(one, 200).daily("raw_water.days_to_clean") for one in (boat, narrowed))
    assert after[0] < 0.6 * before[0]
    assert after[1:].std() / after[1:].mean() < 0.75 * before[1:].std() / before[1:].mean()
