"""The two cards: what they say of a boat, and that the pictures agree with the figures."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from console.contract import Answer, Bars, Curve, Urgency, WaterLine
from console.engine.estimate import Found
from console.engine.run import Ran
from console.registry import Registry
from plugins.raw_water.questions import is_water_getting_through
from plugins.raw_water.strainer_question import when_is_strainer_due
from tests.plugins.raw_water.conftest import FULL_LINE, Runner

LINE = "raw_water.line"
CLEAN = {
    f"{LINE}.intake.blocked": "0 %", f"{LINE}.strainer.blocked": "0 %", f"{LINE}.pump.wear": "0 %",
    f"{LINE}.condenser.scale": "0 mm",
}  # fmt: skip


AVERAGE = '[raw_water]\nwater = "average"\n'
"""A line the owner has, of which nothing else is known."""


def flow_card(ran: Ran) -> Answer:
    return is_water_getting_through(Found(ran, "us"))


def strainer_card(ran: Ran) -> Answer:
    return when_is_strainer_due(Found(ran, "us"))


def picture(answer: Answer, kind: type) -> object:
    return next(one for one in answer.pictures if isinstance(one, kind))


def test_a_clean_line_is_well(run: Runner) -> None:
    answer = flow_card(run("", 0, CLEAN))
    assert answer.verdict == "The water is getting through."
    assert answer.urgency is Urgency.FINE
    assert "bucket" in answer.next


@pytest.mark.parametrize(
    ("path", "value", "words", "hazard"),
    [
        (
            "seacock_to_strainer.open_width",
            "9 %",
            "most of it is lost at the kinked hose",
            "wet_mains_pump",
        ),
        ("strainer.blocked", "96 %", "most of it is lost in the strainer", "below_waterline"),
        ("intake.blocked", "86 %", "most of it is lost at the intake", "marina_diving"),
        ("seacock.open_share", "36 %", "most of it is lost at the seacock", "below_waterline"),
        ("pump.wear", "45 %", "most of it is lost at the pump", "below_waterline"),
        ("pump.suction_air", "8 %", "most of it is lost to air in the pump", "dry_pump"),
        ("condenser.scale", "3.2 mm", "most of it is lost to scale in the coil", "descaling_acid"),
    ],
)
def test_the_verdict_names_the_fault_and_the_hazard_of_its_job(
    run: Runner, path: str, value: str, words: str, hazard: str
) -> None:
    answer = flow_card(run("", 0, CLEAN | {f"{LINE}.{path}": value}))
    assert words in answer.verdict
    assert answer.verdict.startswith("Flow is down to about")
    assert answer.urgency in (Urgency.ACT, Urgency.WATCH)
    assert hazard in answer.hazards


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"pump.stopped": "100 %"}, "the pump stands still"),
        ({"pump.air": "100 %"}, "the pump is full of air"),
        ({"pump.suction_air": "20 %"}, "the pump has lost its prime"),
        ({"seacock.open_share": "0 %"}, "it is lost at the seacock"),
        ({"condenser.height": "9 m"}, "cannot start it over the high spots"),
    ],
)
def test_no_water_is_said_first_and_why(run: Runner, changes: dict[str, str], words: str) -> None:
    answer = flow_card(run("", 0, CLEAN | {f"{LINE}.{path}": value for path, value in changes.items()}))
    assert answer.verdict.startswith("No water is getting through")
    assert words in answer.verdict
    assert answer.urgency is Urgency.ACT


def test_the_verdict_is_as_sure_as_the_draws_agree(run: Runner) -> None:
    ran = run("", 400, {f"{LINE}.seacock_to_strainer.open_width": "12 % ± 6 %"})
    answer = flow_card(ran)
    shares = ran.daily("raw_water.flow_share")[1:]
    below = answer.urgency is not Urgency.FINE
    assert answer.sure == pytest.approx(np.mean((shares < 0.75) == below))
    assert answer.sure >= 0.5


@pytest.mark.parametrize("text", [AVERAGE, FULL_LINE, '[raw_water]\nfill_time = "60 s"\n'])
def test_the_drawn_line_takes_the_pumps_head_and_no_more(run: Runner, text: str) -> None:
    ran = run(text, 60)
    drawn = picture(flow_card(ran), WaterLine)
    assert isinstance(drawn, WaterLine)
    assert sum(part.loss for part in drawn.parts) == pytest.approx(drawn.head_available, rel=1e-6)
    assert drawn.flow == pytest.approx(ran.daily("raw_water.flow")[0])
    bars = picture(flow_card(ran), Bars)
    assert isinstance(bars, Bars)
    assert sum(bar.value for bar in bars.bars) == pytest.approx(drawn.head_available, rel=1e-6)


def test_the_reasons_shares_add_up_to_the_whole(run: Runner) -> None:
    shares = [reason.share for reason in flow_card(run(FULL_LINE)).reasons if reason.share is not None]
    assert sum(shares) == pytest.approx(1.0, abs=0.02)


def test_the_curves_cross_at_the_flow_that_is_said(run: Runner) -> None:
    ran = run("", 0, {f"{LINE}.pump.wear": "0 %"})
    curve = picture(flow_card(ran), Curve)
    assert isinstance(curve, Curve)
    pump, line = (np.array(one.values) for one in curve.series[:2])
    flow = float(ran.daily("raw_water.flow")[0])
    at = [float(np.interp(flow, curve.x, one)) for one in (pump, line)]
    assert at[0] == pytest.approx(at[1], rel=0.01)


def test_the_baskets_curve_meets_the_limit_on_the_day_that_is_said(run: Runner) -> None:
    ran = run(AVERAGE, 100)
    curve = picture(strainer_card(ran), Curve)
    assert isinstance(curve, Curve)
    day = float(ran.daily("raw_water.days_to_clean")[0])
    assert float(np.interp(day, curve.x, curve.series[0].values)) == pytest.approx(0.75, abs=0.02)


def test_a_packed_strainer_is_due_now(run: Runner) -> None:
    answer = strainer_card(run("", 0, CLEAN | {f"{LINE}.strainer.blocked": "97 %"}))
    assert answer.verdict == "The strainer is due now."
    assert answer.urgency is Urgency.ACT
    assert "below_waterline" in answer.hazards


def test_a_kink_is_not_blamed_on_the_strainer(run: Runner) -> None:
    kinked = {f"{LINE}.seacock_to_strainer.open_width": "8 %"}
    assumed = {path: value for path, value in CLEAN.items() if "strainer" not in path}
    answer = strainer_card(run(AVERAGE, 0, assumed | kinked))
    assert "the strainer is not why" in answer.verdict
    assert "pinches the hose" in answer.next
    assert {"below_waterline", "wet_mains_pump"} <= set(answer.hazards)
    # Looked at and found clean, it is said outright.
    assert strainer_card(run("", 0, CLEAN | kinked)).verdict.endswith(
        "of clean: the blockage is elsewhere."
    )


def test_a_clean_basket_is_due_in_a_range_of_days(run: Runner) -> None:
    answer = strainer_card(run(AVERAGE, 200))
    assert answer.verdict.startswith("The strainer is due in about")
    assert "by growth alone" in answer.verdict
    assert any("cannot be foreseen" in reason.text for reason in answer.reasons)


@pytest.mark.parametrize("text", [AVERAGE, FULL_LINE])
def test_no_screen_text_bears_a_key_or_the_word_draws(run: Runner, text: str) -> None:
    ran = run(text, 50)
    for answer in (flow_card(ran), strainer_card(ran)):
        for words in (answer.verdict, answer.next, *(reason.text for reason in answer.reasons)):
            assert "raw_water" not in words
            assert "_" not in words
            assert "draws of" not in words


def test_every_hazard_that_is_named_is_declared(registry: Registry) -> None:
    from plugins.raw_water.words import FAULTS

    named = {key for fault in FAULTS.values() for key in fault.hazards}
    named |= {key for _, reading in registry.readings for key in reading.hazards}
    assert named <= set(registry.cautions)
    assert registry.cautions["below_waterline"].rank == 0
    assert registry.cautions["marina_diving"].rank == 0
    assert registry.cautions["wet_mains_pump"].rank == 0


def test_the_hazards_before_the_step_are_those_of_the_step(run: Runner) -> None:
    soon = strainer_card(run("", 0, CLEAN | {f"{LINE}.strainer.blocked": "80 %"}))
    assert "due in about" in soon.verdict
    assert "Clean the strainer's basket" in soon.next
    assert {"below_waterline", "wet_mains_pump"} <= set(soon.hazards)
    later = strainer_card(run(AVERAGE))
    assert "bowl weekly" in later.next
    assert "seacock_left_open" in later.hazards


def test_less_than_a_day_is_not_said_as_a_fraction_of_one(run: Runner) -> None:
    ran = run("", 0, CLEAN)
    shut = float(ran.daily("raw_water.blocked_at_limit")[0]) * 100 - 0.5
    answer = strainer_card(run("", 0, CLEAN | {f"{LINE}.strainer.blocked": f"{shut:.3f} %"}))
    assert answer.verdict == "The strainer is due within a day, by growth alone."


def test_where_the_strainer_is_not_why_no_share_of_it_is_said_to_be(run: Runner) -> None:
    answer = strainer_card(run("", 0, CLEAN | {f"{LINE}.pump.air": "100 %"}))
    said = " ".join(reason.text for reason in answer.reasons)
    assert answer.verdict == "The basket is clean and no water comes: the blockage is elsewhere."
    assert "the flow is down to" not in said
    assert "brings the day nearer" not in said


def test_a_high_spot_is_not_put_down_to_a_narrow_hose_nor_a_day_named(run: Runner) -> None:
    ran = run("", 0, CLEAN | {f"{LINE}.condenser.height": "9 m"})
    answer = flow_card(ran)
    assert "highest spot" in answer.next
    assert not any("per ton" in reason.text for reason in answer.reasons)
    assert strainer_card(ran).verdict.startswith("Cannot be told")


@pytest.mark.parametrize("card", [flow_card, strainer_card])
def test_a_bucket_beyond_the_bare_pump_is_doubted(run: Runner, card: Callable[[Ran], Answer]) -> None:
    label = '[[raw_water.line]]\npart = "pump"\nmax_flow = "30 L/min"\n'
    quick = '[raw_water]\ncontainer = "10 L"\nfill_time = "%s"\n'
    assert card(run(quick % "4 s" + label)).verdict.startswith("Does not add up")
    assert not card(run(quick % "30 s" + label)).verdict.startswith("Does not add up")


def test_a_day_that_freezes_warns_of_water_left_standing(run: Runner) -> None:
    cold = (
        '[weather]\nhigh = "2 C"\nlow = "-6 C"\ndew_point = "-7 C"\n[site]\nseawater_temperature = "3 C"\n'
    )
    assert "freezing_water" in flow_card(run(cold + AVERAGE)).hazards
    assert "freezing_water" not in flow_card(run(AVERAGE)).hazards


def test_every_caution_is_shown_by_something(registry: Registry) -> None:
    """A hazard nobody names would never reach the screen."""
    from plugins.raw_water import questions, strainer_question, words
    from plugins.raw_water.cautions import CAUTIONS

    text = "".join(
        Path(module.__file__ or "").read_text("utf-8") for module in (questions, strainer_question, words)
    )
    text += "".join(key for _, reading in registry.readings for key in reading.hazards)
    assert [caution.key for caution in CAUTIONS if caution.key not in text] == []


def test_an_unlooked_at_strainer_is_the_first_step_when_a_bucket_is_slow(run: Runner) -> None:
    slow = run("", 0, {"raw_water.fill_time_now": "90 s"})
    for answer in (flow_card(slow), strainer_card(slow)):
        assert answer.next.startswith("Look at the strainer first")
        assert {"below_waterline", "wet_mains_pump"} <= set(answer.hazards)
        assert "not why" not in answer.verdict
    seen = run("", 0, {"raw_water.fill_time_now": "90 s", f"{LINE}.strainer.blocked": "0 %"})
    for answer in (flow_card(seen), strainer_card(seen)):
        assert answer.next.startswith("Part the line in two")
    assert "the blockage is elsewhere" in strainer_card(seen).verdict


def test_a_pump_above_the_water_is_no_pump_to_rely_on(run: Runner) -> None:
    dry = flow_card(run("", 0, {f"{LINE}.pump.depth": "-6 in"}))
    assert dry.urgency is Urgency.WATCH
    assert "keeps its prime" in dry.verdict
    assert "below the waterline" in dry.next
    assert "dry_pump" in dry.hazards
    assert flow_card(run("", 0, {f"{LINE}.pump.depth": "6 in"})).urgency is Urgency.FINE


def test_nobody_is_sent_to_time_a_bucket_under_the_water(run: Runner) -> None:
    under = flow_card(run("", 0, {f"{LINE}.overboard.height": "-6 in"}))
    assert "no bucket" in under.next
    assert "Time the bucket" in flow_card(run("")).next


def test_a_slower_dock_that_leaves_less_head_than_the_lift_is_told_as_that(run: Runner) -> None:
    changed = {f"{LINE}.pump.max_head": "6 ft", f"{LINE}.overboard.height": "5 ft"}
    assert "No water" not in flow_card(run("", 0, changed)).verdict
    slow = flow_card(run("", 0, changed | {f"{LINE}.pump.supply_frequency": "50 Hz"}))
    assert (
        slow.verdict
        == "No water is getting through: the pump's head is less than the lift to the overboard."
    )


def test_a_fault_that_ate_the_baskets_reserve_comes_before_the_basket(run: Runner) -> None:
    kinked = {f"{LINE}.seacock_to_strainer.open_width": "14 %", f"{LINE}.strainer.blocked": "60 %"}
    answer = strainer_card(run(AVERAGE, 0, CLEAN | kinked))
    assert "due in about" in answer.verdict or "within a day" in answer.verdict
    assert "pinches the hose" in answer.next
    assert "lasts longer" in answer.next
