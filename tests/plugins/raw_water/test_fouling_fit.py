"""Logged cleanings and timed fills narrow how fast this boat's strainer shuts.

Four whole weeks are fitted in tests/long.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

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


def logged_weeks(
    boat: Boat,
    folder: Path,
    pace: float,
    days: int = 28,
    every: int = 7,
    timed: tuple[int, ...] = (1, 3, 5, 6),
) -> Path:
    """Days of a boat that fouls at a pace, cleaned ``every`` so many, the bucket timed between."""
    rate = float(run_day(boat).daily("raw_water.blocking_rate")[0]) * pace * 86400
    lines = ["at,reading,value,unit,note"]
    for number in range(days):
        day, since = date(2026, 6, 1) + timedelta(days=number), number % every
        if since == 0:
            lines.append(f"{day}T08:00,cleaned_strainer,,,")
        if since in timed:
            shut = boat.with_edit(
                "raw_water.line.strainer.blocked", f"{min(100 * rate * (since + 4 / 24), 99):.3f} %"
            )
            seconds = float(run_day(shut).daily("raw_water.fill_time")[0])
            lines.append(f"{day}T12:00,fill_time,{seconds:.1f},s,")
    path = folder / "log.csv"
    path.write_text("\n".join([*lines, ""]), "utf-8")
    return path


def test_two_cleanings_and_a_few_fills_move_the_pace_toward_the_true_one(
    read: Callable[[str], Boat], tmp_path: Path
) -> None:
    boat, pace = read(BOAT), 2.2
    log = read_csv(logged_weeks(boat, tmp_path, pace, days=14), boat)
    found = {one.path: one for one in fit(boat, log, "climate").inputs}["raw_water.fouling_pace"]
    # Only a basket nearly shut tells on the bucket: a few fills move the pace, they do not settle it.
    assert found.after[1] < pace < found.after[2]
    assert found.after[0] > 1.2 * found.before[0]
