"""Four weeks of a strainer's log, fitted; the suite fits a few days.

pytest tests/long
"""

from __future__ import annotations

from pathlib import Path

import pytest

from console.boatfile.boat import loads
from console.engine.run import run_day
from console.inference.fitting import fit
from console.logbook import read_csv
from console.registry import discover
from tests.plugins.raw_water.test_fouling_fit import BOAT, logged_weeks

TRUE_PACE = 2.2


def test_a_log_of_cleanings_and_fills_finds_the_boats_own_pace(tmp_path: Path) -> None:
    boat = loads(BOAT, discover({"BOAT_CONSOLE_PLUGINS": "raw_water"}))
    found = {
        one.path: one
        for one in fit(boat, read_csv(logged_weeks(boat, tmp_path, TRUE_PACE), boat), "climate").inputs
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
