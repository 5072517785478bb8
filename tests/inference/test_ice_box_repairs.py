"""The verdict on a repaired seal, over invented ice boxes that share nothing with the model judging them.

The full counts are in ``tests/long``; here are as many as a quick run bears, with fixed seeds.
"""

from __future__ import annotations

import datetime

import pytest

from console.boatfile import Boat, loads
from console.inference.prescription import plan_log
from console.inference.repairs import Verdict, judge
from console.logbook.entry import Entries, Entry
from console.registry import discover
from tests.inference.ice_box import ROWS, START, Period, Row, log_of_box
from tests.long.repair_calibration import Tally, boat_judged, run

LOGS = 8


@pytest.fixture(scope="module")
def boat() -> Boat:
    return boat_judged()


def judged(boat: Boat, row: Row, seed: int = 904, ratio: float = 1.0, without: str = "") -> Verdict:
    log = log_of_box(row, seed, ratio).entries
    return judge(boat, Entries(tuple(e for e in log.entries if e.reading != without)))


def row_named(words: str) -> Row:
    return next(row for row in ROWS if words in row.name)


@pytest.mark.parametrize("words", ["noise and rounding", "melt lost after"])
def test_ranges_hold_the_truth_and_nothing_is_claimed_that_is_not_so(boat: Boat, words: str) -> None:
    made = run(boat, row_named(words), LOGS)
    assert made.held >= 0.8 * made.logs
    assert made.false_helped <= 1
    assert made.refused == 0


def test_a_leak_brought_down_to_a_third_is_found_more_often_than_not(boat: Boat) -> None:
    made: Tally = run(boat, Row("down to 30 %"), LOGS, 0.3)
    assert made.right_helped >= 0.3 * LOGS
    assert made.worse == 0


def test_a_changed_latent_heat_moves_the_posterior(boat: Boat, monkeypatch: pytest.MonkeyPatch) -> None:
    from plugins.cold_box import frost

    was = frost.deposit_heat
    row = Row("amp-hours alone", melt=False)
    before = judged(boat, row, ratio=0.2)
    monkeypatch.setattr(frost, "deposit_heat", lambda air, surface: 8.0 * was(air, surface))
    after = judged(boat, row, ratio=0.2)
    assert abs(before.probability_helped - after.probability_helped) > 0.02


# --- what to mind ---------------------------------------------------------------------------


def test_a_moved_set_point_is_told_and_reckoned_apart(boat: Boat) -> None:
    made = judged(boat, Row("moved", moved=Period(set_point=1.7)))
    assert any("set-point changed on 08 Jun" in flag for flag in made.flags)
    amps = next(part for part in made.parts if part.reading == "amp_hours_per_day")
    assert any(name == "set_point" and value < 0 for name, _, value in amps.made_of)
    assert made.verdict != "helped"


def test_a_defrost_at_the_time_of_the_repair_is_told(boat: Boat) -> None:
    assert any("defrosted at the time of the repair" in flag for flag in judged(boat, Row("usual")).flags)


def test_a_box_too_warm_for_food_is_told(boat: Boat) -> None:
    made = judged(boat, Row("warm", moved=Period(set_point=4.0)))
    assert any("food safety" in flag and "40 °F" in flag for flag in made.flags)
    assert not any("food safety" in flag for flag in judged(boat, Row("usual")).flags)


def test_a_party_week_is_told_and_allowed_for(boat: Boat) -> None:
    made = judged(boat, Row("party", moved=Period(openings=2.5)))
    assert any(flag.startswith("times it was opened") and "allowed for" in flag for flag in made.flags)


def test_humidity_nobody_read_is_told_missing_and_makes_nothing_surer(boat: Boat) -> None:
    row = Row("usual", covered=True, melt_period=0.05)
    told, untold = judged(boat, row, 904, 0.3), judged(boat, row, 904, 0.3, without="cabin_humidity")
    assert "cabin_humidity" in untold.missing
    assert any("cabin humidity was not logged" in flag for flag in untold.flags)
    assert untold.probability_helped < told.probability_helped + 0.05


def test_days_on_which_the_sun_hid_the_draw_are_told(boat: Boat) -> None:
    log = log_of_box(Row("usual"), 904, 1.0).entries.entries
    amps = [k for k, e in enumerate(log) if e.reading == "amp_hours_per_day"]
    low = {k: 0.2 for k in amps[8:10]}
    entries = tuple(
        Entry(e.at, e.reading, float(e.value) * low[k], "", "") if k in low else e
        for k, e in enumerate(log)
    )
    assert any("the sun had hidden" in flag for flag in judge(boat, Entries(entries)).flags)


def test_one_side_without_a_defrost_is_told(boat: Boat) -> None:
    log = log_of_box(Row("usual"), 904, 1.0).entries.entries
    kept = tuple(e for e in log if e.reading != "defrosted")
    made = judge(boat, Entries(kept))
    assert any("only after the repair" in flag for flag in made.flags)
    assert any("nobody logged when it was last defrosted" in why for why in made.left_out)


def test_flags_speak_the_owner_s_units(boat: Boat) -> None:
    log = log_of_box(Row("moved", moved=Period(set_point=1.7)), 904, 1.0).entries
    assert any("°F" in flag for flag in judge(boat, log, system="us").flags)


# --- odd logs -------------------------------------------------------------------------------


def test_a_repair_before_this_one_shuts_its_days_out(boat: Boat) -> None:
    log = log_of_box(Row("usual"), 904, 1.0).entries.entries
    earlier = Entry(START + datetime.timedelta(days=3), "repair", "seal", "seal", "", event=True)
    made = judge(boat, Entries((*log, earlier)))
    assert made.log.days[0] >= earlier.at.date()
    assert any("beyond another repair" in why for why in made.left_out)


def test_readings_of_another_season_are_left_out(boat: Boat) -> None:
    log = log_of_box(Row("usual"), 904, 1.0).entries.entries
    old = tuple(
        Entry(START - datetime.timedelta(days=200 + k), "amp_hours_per_day", 3.0, "", "") for k in range(9)
    )
    made = judge(boat, Entries((*old, *log)))
    assert len(made.log.days) < 20
    assert any("9 readings from other seasons" in why for why in made.left_out)


def test_a_box_warmer_than_the_file_says_it_is_set_is_not_taken_to_run_flat_out(boat: Boat) -> None:
    """The file's set-point is 4 °C; the box was kept at 8 all along, and nobody said so."""
    row = Row("warm", was=Period(set_point=4.0), moved=Period(set_point=4.0))
    log = tuple(e for e in log_of_box(row, 904, 1.0).entries.entries if e.reading != "set_point")
    made = judge(boat, Entries(log))
    assert made.size > 100
    assert made.verdict != "helped"
    assert made.log.sets["cold_box.set_point"].mean() > 280.0


# --- beforehand -----------------------------------------------------------------------------


def test_the_prescription_asks_for_melt_water_first_and_for_a_week(boat: Boat) -> None:
    made = plan_log(boat, "seal")
    assert made.asked[0].reading.name == "melt_water"
    assert {each.name for each in made.first} == {"drain_plugged", "food_covered"}
    assert made.days >= 7
    assert {"cabin_temperature", "cabin_humidity"} <= {each.reading.name for each in made.asked}


def test_more_days_and_a_larger_gain_are_never_harder_to_see(boat: Boat) -> None:
    made = plan_log(boat, "seal")
    for one, more in zip(made.outlooks, made.outlooks[1:], strict=False):
        assert more.sure >= one.sure - 0.02
    assert all(each.finds_most >= each.finds for each in made.outlooks)


def test_the_prescription_for_the_water_line_needs_few_days() -> None:
    boat = loads('[raw_water]\ncontainer = "10 L"\nfill_time = "40 s"\n', discover())
    made = plan_log(boat, "line")
    assert made.enough
    assert made.outlooks[0].finds_most > 0.9
    assert made.asked[0].reading.name in ("fill_time", "raw_water_flow")


def test_a_boat_without_anything_to_repair_is_one_sentence() -> None:
    with pytest.raises(ValueError, match="nothing aboard"):
        plan_log(loads('[boat]\nname = "Bare"\n', discover({}, [])))
