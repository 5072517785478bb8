"""The verdict on a repaired seal over 200 invented boxes a row; the table of DEVELOPERS.md."""

from __future__ import annotations

import pytest

from tests.inference.ice_box import HALVED, ROWS, Row
from tests.long.repair_calibration import boat_judged, run

LOGS = 200


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_ranges_hold_and_few_are_told_helped_that_were_not(row: Row) -> None:
    made = run(boat_judged(), row, LOGS)
    assert made.held >= 0.85 * made.logs
    assert made.false_helped <= 0.05 * made.logs
    assert made.right_helped >= 0.9 * made.helped or made.helped < 10 or not row.repaired
    assert made.refused == 0


@pytest.mark.parametrize(("row", "ratio"), [(row, ratio) for row, ratio in HALVED if ratio < 0.5])
def test_a_leak_down_to_a_third_is_mostly_found(row: Row, ratio: float) -> None:
    made = run(boat_judged(), row, LOGS, ratio)
    assert made.right_helped >= 0.4 * made.logs
