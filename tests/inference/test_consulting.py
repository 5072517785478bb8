"""What a consultation holds whatever is read: order, units, monotony, wrong readings, too few."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.inference import Consultation, ReadingError
from tests.inference import heater

WEAK = [("flow", "5 L/min"), ("water_in", "20 C"), ("water_out", "33 C")]
CLEAR = [("flow", "3 L/min"), ("water_in", "20 C"), ("water_out", "43 C"), ("look", "dirty")]


def chances(given, **more):
    found = Consultation(heater.boat(), "still", given, **more).settle()
    return {key: chance for key, (chance, _) in found.presence.items()}


def test_the_order_of_the_readings_changes_nothing():
    every = {tuple(sorted(chances(order).items())) for order in itertools.permutations(CLEAR)}
    assert len(every) == 1


def test_readings_told_one_by_one_settle_where_told_at_once_would():
    told = Consultation(heater.boat(), "still")
    told.result()
    for name, text in CLEAR:
        told.add(name, text)
        told.result()
    at_once = Consultation(heater.boat(), "still", reversed(CLEAR)).settle()
    assert told.settle().presence == at_once.presence


def test_a_reading_taken_back_is_as_if_it_had_never_been():
    told = Consultation(heater.boat(), "still", CLEAR)
    told.result()
    told.remove("look")
    assert told.settle().presence == Consultation(heater.boat(), "still", CLEAR[:-1]).settle().presence


def test_the_units_of_the_readings_change_nothing():
    metric = chances([("flow", "5 L/min"), ("water_in", "20 C"), ("water_out", "33 C")])
    us = chances([("flow", "1.3208602617907427 gpm"), ("water_in", "68 F"), ("water_out", "91.4 F")])
    for cause, chance in metric.items():
        assert us[cause] == pytest.approx(chance, abs=1e-6)


def test_seconds_with_a_container_are_a_flow():
    boat = heater.boat()
    large = Consultation(boat, "still", [("fill_time", "100 s"), ("container", "10 L")]).settle()
    small = Consultation(boat, "still", [("fill_time", "50 s"), ("container", "5 L")]).settle()
    inline = Consultation(boat, "still", [("fill_time", "50 s for 5 L")]).settle()
    assert large.verdict == "blocked_pipe"
    assert inline.presence == small.presence
    assert small.presence["blocked_pipe"][0] == pytest.approx(large.presence["blocked_pipe"][0], abs=0.01)


@settings(max_examples=12)
@given(flow=st.floats(3.0, 9.0), step=st.floats(0.2, 1.5))
def test_a_flow_moved_toward_a_blocked_pipe_alone_never_lowers_its_chance(flow, step):
    less, more = (chances([("flow", f"{f:.4f} L/min")])["blocked_pipe"] for f in (flow, flow + step))
    assert less >= more - 0.02


def test_one_reading_off_by_its_own_error_does_not_swap_a_clear_leader():
    for flow in ("2.85 L/min", "3.15 L/min"):
        assert max(chances([("flow", flow), *CLEAR[1:]]).items(), key=lambda kv: kv[1])[0] == "blocked_pipe"


def test_one_plainly_wrong_reading_among_good_ones_does_not_carry_the_verdict():
    good = [("flow", "10 L/min"), ("fill_time", "60 s"), ("water_in", "20 C"), ("water_out", "27.2 C")]
    wrong = [("flow", "5 L/min"), *good[1:], ("look", "clear")]
    assert chances(wrong)["blocked_pipe"] < 0.5


def test_readings_that_no_cause_explains_are_challenged_before_any_verdict():
    found = Consultation(
        heater.boat(), "still", [("flow", "14 L/min"), ("water_in", "20 C"), ("water_out", "45 C")]
    ).settle()
    assert found.challenged is not None
    assert set(found.challenged.readings) == {"flow", "water_out"}
    assert found.verdict == "cannot tell"
    assert found.next_reading is not None
    assert found.next_reading.again
    assert found.next_reading.reading.name in found.challenged.readings


def test_readings_that_fit_are_not_challenged():
    assert Consultation(heater.boat(), "still", WEAK).settle().challenged is None


def test_with_no_reading_it_cannot_tell_and_says_what_to_look_at():
    found = Consultation(heater.boat(), "still").settle()
    assert found.verdict == "cannot tell"
    assert found.next_reading is not None


def test_what_is_likely_beforehand_is_no_verdict():
    stated = heater.boat('[still]\nblocked = "55 % ± 5 %"')
    found = Consultation(stated, "still", [("lately", "storm"), ("water_in", "20 C")]).settle()
    assert found.presence["blocked_pipe"][0] > 0.5
    assert found.verdict == "cannot tell"


def test_a_single_cause_known_is_refused_for_there_is_nothing_to_weigh_it_against():
    lonely = heater.boat(causes=heater.CAUSES[:1])
    with pytest.raises(ReadingError, match="too little"):
        Consultation(lonely, "still", [("flow", "5 L/min")]).settle()


def test_what_the_owner_cannot_take_is_not_asked():
    asked = Consultation(heater.boat(), "still").settle().next_reading
    assert asked is not None
    other = Consultation(heater.boat(), "still", cannot=[asked.reading.name]).settle().next_reading
    assert other is None or other.reading.name != asked.reading.name


def test_a_stiff_valve_bars_the_look_and_the_job_that_open_the_pipe():
    given = [("flow", "5 L/min"), ("valve", "stiff")]
    found = Consultation(heater.boat(), "still", given)
    free, barred = found.open_readings()
    assert "look" in barred
    assert "look" not in free
    assert found.settle().next_action is None
    free_valve = Consultation(heater.boat(), "still", [("flow", "5 L/min"), ("valve", "free")]).settle()
    assert free_valve.next_action is not None


def test_causes_no_reading_left_can_part_are_said_to_look_the_same():
    given = [("flow", "10 L/min"), ("water_in", "20 C"), ("water_out", "24.4 C"), ("look", "clear")]
    found = Consultation(heater.boat(), "still", given).settle()
    keys = {frozenset(group.keys) for group in found.inseparable}
    assert frozenset({"weak_heater", "coated"}) in keys


def test_an_event_moves_the_odds_as_it_says():
    before = chances([])
    after = chances([("lately", "storm")])
    odds = after["blocked_pipe"] / (1 - after["blocked_pipe"])
    assert odds > 3 * before["blocked_pipe"] / (1 - before["blocked_pipe"])


def test_several_events_may_be_told():
    both = Consultation(heater.boat(), "still", [("lately", "storm"), ("lately", "service")])
    assert [each.choice for each in both.taken] == ["service", "storm"]


def test_a_fault_the_file_states_is_not_good_order():
    stated = heater.boat('[still]\nblocked = "55 % ± 5 %"')
    found = Consultation(stated, "still", [("flow", "4.5 L/min")]).settle()
    assert found.verdict == "blocked_pipe"


def test_one_run_is_split_in_two_by_a_figure_of_each_draw():
    short = chances([("flow", "10 L/min"), ("water_in", "20 C"), ("water_out", "25.4 C")])
    well = chances([("flow", "10 L/min"), ("water_in", "20 C"), ("water_out", "28.6 C")])
    assert short["too_small"] / short["all_well"] > well["too_small"] / well["all_well"]


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("flwo", "5 L/min", "did you mean flow"),
        ("flow", "5 gal", "not a unit of flow"),
        ("flow", "-2 L/min", "more than nothing"),
        ("flow", "", "is not a flow"),
        ("water_out", "33", "has no unit"),
        ("water_out", "330 C", "no temperature found aboard"),
        ("look", "dirti", "did you mean dirty"),
        ("look", "wet", "accepted is clear, dirty"),
    ],
)
def test_what_cannot_be_taken_is_refused_in_one_sentence(name, text, says):
    with pytest.raises(ReadingError) as refusal:
        Consultation(heater.boat(), "still", [(name, text)])
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_the_same_reading_with_two_values_is_refused():
    with pytest.raises(ReadingError, match="twice"):
        Consultation(heater.boat(), "still", [("flow", "5 L/min"), ("flow", "6 L/min")])


def test_an_unknown_complaint_is_refused_with_the_nearest():
    with pytest.raises(ReadingError, match="did you mean still"):
        Consultation(heater.boat(), "stil", [])


def test_new_evidence_runs_the_model_no_more(monkeypatch):
    told = Consultation(heater.boat(), "still", WEAK[:1])
    told.settle()

    def refuse(*_):
        raise AssertionError("the model was run")

    monkeypatch.setattr(told.forward, "run", refuse)
    told.add("look", "dirty")
    assert told.result().presence["blocked_pipe"][0] > 0.5


def test_a_new_condition_is_answered_at_once_on_few_rows():
    told = Consultation(heater.boat(), "still", WEAK[:1])
    told.settle()
    told.add("water_in", "20 C")
    found = told.result()
    assert not found.settled
    assert all(block.size <= 128 for block in told._rows.blocks.values())
    assert told.settle().settled
