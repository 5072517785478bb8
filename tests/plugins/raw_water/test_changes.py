"""Causes, jobs and the repair: each does to the line what its name says, and is shown with its cautions."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from console.boatfile import Boat
from console.contract import Change
from console.engine.changes import altered, reached
from console.engine.gains import weigh
from console.engine.run import Ran, run_day
from console.registry import Registry
from plugins.raw_water.changes import ACTIONS, CAUSES, CHANGES, REPAIRS
from tests.plugins.raw_water.conftest import FULL_LINE, Runner

Read = Callable[[str], Boat]
LINE = "raw_water.line"
AVERAGE = '[raw_water]\nwater = "average"\n'
PUMP_BEFORE_STRAINER = "".join(
    f'[[raw_water.line]]\npart = "{part}"\n'
    for part in ("intake", "hose", "pump", "hose", "strainer", "condenser", "hose", "overboard")
)
NAMES = (
    "clogged_strainer", "fouled_intake", "seacock_part_shut", "kinked_hose", "air_lock", "suction_air_leak",
    "worn_pump", "dead_pump", "intermittent_pump", "scaled_condenser",
)  # fmt: skip


def named(key: str) -> Change:
    return next(change for change in CHANGES if change.key == key)


def with_change(read: Read, text: str, key: str, draws: int = 120) -> tuple[Ran, Ran]:
    boat = read(text)
    before = run_day(boat, draws)
    columns = altered(before.draws, [("raw_water", named(key))])
    assert columns is not None
    after = run_day(columns.boat, draws, columns=columns)
    assert not after.unwell
    return before, after


def test_the_causes_are_those_a_diagnosis_asks_for(registry: Registry) -> None:
    assert {change.key for change in CAUSES} == set(NAMES)
    assert {change.complaint for change in CAUSES} == {"climate"}
    assert [c for owner, c in registry.changes if owner == "raw_water"] == list(CHANGES)


@pytest.mark.parametrize("text", ["", FULL_LINE, PUMP_BEFORE_STRAINER])
@pytest.mark.parametrize("change", CHANGES, ids=lambda change: f"{change.kind}-{change.key}")
def test_every_alter_reaches_an_input_even_when_the_file_is_silent(
    read: Read, text: str, change: Change
) -> None:
    boat = read(text)
    for alter in change.alters:
        assert reached(boat, alter.path) in boat.inputs


@pytest.mark.parametrize(
    "key", [name for name in NAMES if name not in ("scaled_condenser", "intermittent_pump")]
)
@pytest.mark.parametrize("text", [AVERAGE, PUMP_BEFORE_STRAINER])
def test_a_cause_begins_below_what_is_healthy(read: Read, text: str, key: str) -> None:
    before, after = with_change(read, text, key)
    sick = after.daily("raw_water.flow_share")[1:]
    assert np.percentile(sick, 90) < 0.82
    assert np.all(sick <= before.daily("raw_water.flow_share")[1:] + 1e-9)
    # A fault is none of the clean line's.
    assert after.daily("raw_water.clean_flow") == pytest.approx(before.daily("raw_water.clean_flow"))


@pytest.mark.parametrize(
    ("key", "figure", "sign"),
    [
        ("clogged_strainer", "basket_shut", 1), ("clogged_strainer", "suction_margin", -1),
        ("fouled_intake", "gush_share", -1), ("seacock_part_shut", "gush_share", -1),
        ("seacock_part_shut", "seacock_opening", -1), ("kinked_hose", "narrowest_hose", -1),
        ("air_lock", "pump_air", 1), ("suction_air_leak", "drawn_air", 1), ("worn_pump", "pump_wear", 1),
        ("worn_pump", "start_margin", -1), ("dead_pump", "pump_still", 1), ("intermittent_pump", "pump_still", 1),
        ("intermittent_pump", "flow", -1), ("scaled_condenser", "scale_resistance", 1), ("scaled_condenser", "flow", -1),
        ("clogged_strainer", "fill_time", 1), ("dead_pump", "flow", -1),
    ],
)  # fmt: skip
def test_a_cause_moves_what_gives_it_away(read: Read, key: str, figure: str, sign: int) -> None:
    before, after = with_change(read, AVERAGE, key, 60)
    change = after.daily(f"raw_water.{figure}") - before.daily(f"raw_water.{figure}")
    assert sign * change.mean() > 0
    assert np.mean(sign * change > 0) > 0.9


def test_scale_keeps_the_heat_and_lets_the_water_by(read: Read) -> None:
    # Trade: "scaled condenser coil: flow normal, amps high" (a service firm's fault list).
    _, after = with_change(read, AVERAGE, "scaled_condenser")
    assert np.median(after.daily("raw_water.flow_share")[1:]) > 0.8
    assert np.percentile(after.daily("raw_water.scale_resistance")[1:], 5) > 4e-4


def test_a_kink_of_unknown_place_mostly_leaves_the_gush_strong(read: Read) -> None:
    # Trade: a kinked hose shows a strong gush at the strainer; one before it a weak one.
    _, after = with_change(read, AVERAGE, "kinked_hose", 300)
    gush = after.daily("raw_water.gush_share")[1:]
    assert 0.05 < np.mean(gush < 0.5) < 0.35


def test_weights_are_those_of_a_call_to_a_boat_that_cools_poorly() -> None:
    # Strainer 30 in a hundred, through-hull, seacock and hose 15, air lock and pump 13, coil 10: from memory.
    weight = {change.key: change.prior for change in CAUSES}
    assert weight["clogged_strainer"] == max(weight.values()) == pytest.approx(0.30)
    assert sum(
        weight[key] for key in ("fouled_intake", "seacock_part_shut", "kinked_hose")
    ) == pytest.approx(0.15)
    pump = ("air_lock", "suction_air_leak", "worn_pump", "dead_pump", "intermittent_pump")
    assert sum(weight[key] for key in pump) == pytest.approx(0.13)
    assert weight["scaled_condenser"] == pytest.approx(0.10)


def test_events_make_likelier_what_they_bring() -> None:
    odds = {change.key: change.odds for change in CAUSES}
    for event, cause in (
        ("launched", "air_lock"), ("stowed", "kinked_hose"), ("storm", "clogged_strainer"), ("grounded", "fouled_intake"),
    ):  # fmt: skip
        assert odds[cause][event] == max(each.get(event, 1.0) for each in odds.values()) > 1
    assert odds["clogged_strainer"]["cleaned_strainer"] < 0.5
    known = {
        "launched",
        "sailed",
        "stowed",
        "serviced",
        "cleaned_strainer",
        "idle_weeks",
        "moved_berth",
        "storm",
        "grounded",
    }
    assert {event for each in odds.values() for event in each} <= known


def test_every_change_names_declared_cautions_and_a_reading_as_proof(registry: Registry) -> None:
    readings = {reading.name for _, reading in registry.readings} | {"unit_current"}
    for change in CHANGES:
        assert set(change.hazards) <= set(registry.cautions)
        assert change.hazards, change.key
        assert not change.proof[0] or change.proof[0] in readings
    for change in CAUSES:
        assert change.remedy
        assert change.why
        assert change.proof[0]


@pytest.mark.parametrize("word", ["seacock shut", "lid off", "hose off", "loosen"])
def test_who_opens_the_line_is_cautioned_and_switches_the_breaker_off_first(word: str) -> None:
    for change in (*CAUSES, *ACTIONS):
        if word in change.remedy.lower():
            assert {"below_waterline", "wet_mains_pump"} <= set(change.hazards), change.key
            assert "breaker" in change.remedy.lower() or "from inside" in change.remedy.lower(), change.key


def test_a_stiff_valve_is_never_forced_and_no_one_dives_in_a_marina() -> None:
    assert "without force" in named("seacock_part_shut").remedy
    assert "Do not dive" in named("fouled_intake").remedy
    assert "marina_diving" in named("fouled_intake").hazards
    assert "dry_pump" in named("air_lock").hazards
    assert named("dead_pump").who == named("intermittent_pump").who == "licensed"


# --- jobs -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "job"),
    [
        ({"strainer.blocked": "96 %"}, "clean_strainer"), ({"intake.blocked": "85 %"}, "clear_intake"),
        ({"seacock.open_share": "40 %"}, "open_seacock"), ({"pump_to_unit.open_width": "9 %"}, "straighten_hoses"),
        ({"pump.air": "30 %"}, "let_air_out"), ({"pump.suction_air": "8 %"}, "seal_suction"),
        ({"pump.wear": "50 %"}, "renew_pump"), ({"condenser.scale": "2 mm"}, "descale_coil"),
    ],
)  # fmt: skip
def test_the_job_for_a_fault_gives_back_the_most(read: Read, fault: dict[str, str], job: str) -> None:
    boat = read(AVERAGE)
    for path, value in fault.items():
        boat = boat.with_edit(f"{LINE}.{path}", value)
    cheap = [gain for gain in weigh(boat, "raw_water.flow", 0, pairs=False).gains if gain.minutes < 200]
    assert cheap[0].keys == (f"raw_water.{job}",)
    assert cheap[0].effects[0].name == "raw_water.flow"


def test_a_bigger_hose_a_lower_outlet_and_a_hose_without_humps_help(read: Read) -> None:
    boat = read('[raw_water]\nbore = "1 in"\n')
    for path, value in (
        ("overboard.height", "4 ft"), ("condenser.height", "4 ft"), ("pump_to_unit.hump", "3 ft"), ("pump.max_flow", "6 gpm"),
        ("pump_to_unit.dip", "2 ft"),
    ):  # fmt: skip
        boat = boat.with_edit(f"{LINE}.{path}", value)
    found = {gain.keys[0].split(".")[1] for gain in weigh(boat, "raw_water.flow", 0, pairs=False).gains}
    assert {"larger_hose", "lower_outlet", "lay_hoses_rising"} <= found


def test_a_job_is_not_fitted_away_by_the_bucket_that_was_timed_before(read: Read) -> None:
    for bucket in ("fill_time", "fill_time_now"):
        text = f'[raw_water]\n{bucket} = "60 s"\n'
        before, after = with_change(read, text, "larger_hose", 0)
        assert after.daily("raw_water.flow")[0] > 1.01 * before.daily("raw_water.flow")[0]


def test_the_best_two_that_are_told_are_the_best_two_by_trial(read: Read) -> None:
    text = AVERAGE
    boat = read(text)
    for path, value in (
        ("strainer.blocked", "96 %"),
        ("pump_to_unit.open_width", "8 %"),
        ("pump.wear", "15 %"),
    ):
        boat = boat.with_edit(f"{LINE}.{path}", value)
    ran = run_day(boat)
    (pair,) = [name for name in ran.figures if name.startswith("raw_water.regain_both.")]
    assert pair == "raw_water.regain_both.strainer_and_kink"
    both = weigh(boat, "raw_water.flow", 0).gains
    tried = next(gain for gain in both if len(gain.keys) == 2)
    flows = ran.daily("raw_water.flow")[0]
    mended = boat.with_edit(f"{LINE}.strainer.blocked", "0 %").with_edit(
        f"{LINE}.pump_to_unit.open_width", "100 %"
    )
    by_hand = run_day(mended).daily("raw_water.flow")[0]
    assert ran.daily(pair)[0] == pytest.approx(by_hand - flows, rel=1e-6)
    assert tried.effects[0].before == pytest.approx(flows)


# --- the repair -----------------------------------------------------------------------------


def test_a_repair_scales_what_the_line_takes(run: Runner) -> None:
    plain, twice = (run(AVERAGE, 0, {"raw_water.line_loss": value}) for value in ("1", "2"))
    resistance = [float(ran.daily("raw_water.restriction")[0]) for ran in (plain, twice)]
    assert resistance[1] == pytest.approx(2 * resistance[0], rel=1e-6)
    assert twice.daily("raw_water.clean_flow")[0] == pytest.approx(plain.daily("raw_water.clean_flow")[0])
    assert twice.daily("raw_water.flow")[0] < plain.daily("raw_water.flow")[0]


def test_the_repairable_is_less_for_a_line_that_was_mended() -> None:
    (repair,) = REPAIRS
    assert repair.key == "line"
    assert (repair.effects[0].figure, repair.effects[0].better) == ("raw_water.restriction", "less")
    assert repair.complaint == "climate"


def test_a_new_hole_for_the_outlet_is_advised_only_where_it_lies_high(read: Read) -> None:
    def advised(height: str) -> bool:
        boat = read(f'[[raw_water.line]]\npart = "overboard"\nheight = "{height}"\n')
        return any(
            gain.changes[0].key == "lower_outlet" for gain in weigh(boat, draws=0, pairs=False).gains
        )

    assert advised("4 ft")
    assert not advised("8 in")
    assert not advised("2 in")
