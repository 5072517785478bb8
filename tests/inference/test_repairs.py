"""Before and after: the verdict on a repair, against a posterior worked out on a grid."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from console.inference.logged import days_of, declared
from console.inference.repair_told import verdict_json, verdict_text
from console.inference.repairs import judge
from tests.inference.still import DAY, entry, log_of, still_boat

Z90 = stats.norm.ppf(0.95)
HALF = [10.4, 9.7, 10.9, 10.1, 9.2, 10.6, 9.9, 10.3, 7.7, 5.1, 5.4, 4.8, 5.2, 4.6, 5.3, 5.0]
SAME = [10.4, 9.7, 10.9, 10.1, 9.2, 10.6, 9.9, 10.3, 10.0, 10.1, 9.8, 10.8, 10.2, 9.6, 10.3, 10.0]


def grid(caught, repaired):
    """The exact posterior of the leak and the repair on a fine grid, by another hand.

    Leak log-normal about 10 g/day, the repair log-normal about 0.7; a reading is a Student-t of 4
    degrees about what leaks (plus 1 g/day of openings), one in twenty plainly wrong.
    """
    spread = lambda half: math.asinh(half) / Z90  # noqa: E731
    leak = 10 * np.exp(np.linspace(-5, 5, 801) * spread(0.5))
    ratio = 0.7 * np.exp(np.linspace(-5, 5, 801) * spread(1.6))
    weight = stats.norm.pdf(np.linspace(-5, 5, 801))
    weight = weight / weight.sum()

    def likelihood(mean, value):
        off = (value - mean) / (0.1 * value / Z90)
        t = stats.t(4)
        return 0.95 / 0.85 * t.pdf(off / 0.85) + 0.05 / 8 * t.pdf(off / 8)

    before, after = np.ones_like(leak), np.ones((leak.size, ratio.size))
    both = np.ones_like(leak)
    for day, value in enumerate(caught):
        if day == repaired:
            continue
        if day < repaired:
            before = before * likelihood(leak + 1.0, value)
        else:
            after = after * likelihood(leak[:, None] * ratio[None, :] + 1.0, value)
        both = both * likelihood(leak + 1.0, value)
    joint = (weight * before)[:, None] * weight[None, :] * after
    changed, same = joint.sum(), (weight * both).sum()
    return ratio, joint.sum(axis=0) / changed, same / (same + changed)


def cumulative(values, weights, at):
    return float(np.sum(np.where(np.asarray(values) < at, weights, 0)))


@pytest.mark.parametrize("caught", [HALF, SAME])
def test_the_posterior_is_that_of_a_fine_grid(caught):
    made = judge(still_boat(), log_of(caught, 8))
    ratio, weights, p_same = grid(caught, 8)
    helped = (1 - p_same) * cumulative(ratio, weights, 0.8)
    assert made.probability_helped == pytest.approx(helped, abs=0.03)
    ours = made.after[0] / made.before[0]
    for at in (0.45, 0.5, 0.55, 0.9, 1.0, 1.1):
        assert cumulative(ours, made.after[1], at) == pytest.approx(
            cumulative(ratio, weights, at), abs=0.07
        )


def test_a_halved_leak_helped_and_an_unchanged_one_shows_no_change():
    assert judge(still_boat(), log_of(HALF, 8)).verdict == "helped"
    assert judge(still_boat(), log_of(SAME, 8)).verdict == "no detectable change"


def test_a_doubled_leak_got_worse():
    assert judge(still_boat(), log_of([*SAME[:8], *(2 * v for v in SAME[8:])], 8)).verdict == "got worse"


def test_two_days_cannot_tell_and_say_how_many_more_would():
    made = judge(still_boat(own="± 60 %"), log_of([10.4, 10.0, 6.1, 6.4], 1.5))
    assert made.verdict == "cannot tell yet"
    assert made.days_needed is None or made.days_needed > 0


def test_an_error_typed_beside_a_reading_is_how_well_it_was_taken():
    log = log_of([10.4, 9.7, 10.9, 10.1, 7.0, 6.6, 7.2, 6.8], 3.5)
    rough = type(log)(tuple(replace(e, error=e.value) if e.reading == "caught" else e for e in log.entries))
    assert judge(still_boat(), log).probability_helped > 0.9
    assert judge(still_boat(), rough).probability_helped < 0.8


def test_drier_weather_alone_is_not_taken_for_a_repair():
    damp = [0.6] * 8 + [0.3] * 8
    caught = [value if k < 8 else 1 + (value - 1) * 0.5 for k, value in enumerate(SAME)]
    made = judge(still_boat(), log_of(caught, 8, damp))
    assert made.verdict != "helped"
    parts = {name: value for name, _, value in made.parts[0].made_of}
    assert parts["damp"] == pytest.approx(-4.5e-3 / DAY, rel=0.15)
    assert abs(parts["repair"]) < 0.1 * abs(parts["damp"])


def test_what_only_one_period_shared_is_not_taken_for_a_repair():
    lost = [value if k < 8 else value * 0.7 for k, value in enumerate(SAME)]
    assert judge(still_boat(), log_of(lost, 8)).verdict == "helped"
    assert judge(still_boat(period="± 50 %"), log_of(lost, 8)).verdict == "cannot tell yet"


def test_a_log_of_one_side_only_cannot_tell():
    made = judge(still_boat(), log_of(SAME[:6], 8))
    assert made.verdict == "cannot tell yet"
    assert any("only before" in flag for flag in made.flags)


def test_a_log_without_the_repair_is_one_sentence():
    with pytest.raises(ValueError, match='add the event "repair"'):
        judge(still_boat(), type(log_of(SAME, 8))(log_of(SAME, 8).entries[:-1]))


def test_the_same_log_in_another_order_gives_the_same_verdict():
    log = log_of(HALF, 8)
    turned = type(log)(tuple(reversed(log.entries)))
    one, other = judge(still_boat(), log), judge(still_boat(), turned)
    assert one.change == other.change


# --- days -----------------------------------------------------------------------------------


def days(log, boat=None):
    boat = boat or still_boat()
    states = [state for _, state in boat.registry.states]
    return days_of(boat, log, declared(boat, "still"), states, log.events("repair")[0].at)


def test_a_jug_is_of_the_days_since_it_was_emptied():
    made = days(log_of([10.0] * 8, 20, None, entry(0.5, "emptied", event=True), entry(4, "jug", 0.035)))
    jug = next(each for each in made.evidence if each.reading.name == "jug")
    assert jug.weights.sum() == pytest.approx(3.5 * DAY)
    assert jug.weights[0] == pytest.approx(0.0)
    assert jug.weights[4] == pytest.approx(0.5 * DAY)


def test_the_first_jug_of_unknown_age_is_left_out_and_said_so():
    made = days(log_of([10.0] * 8, 20, None, entry(4, "jug", 0.035)))
    assert not [each for each in made.evidence if each.reading.name == "jug"]
    assert "nobody logged when it was last emptied" in made.left_out[0]


def test_a_condition_between_two_days_lies_between_them():
    log = log_of([10.0] * 5, 20, [], entry(0, "damp", 0.4), entry(4, "damp", 0.8))
    assert days(log).pins["still.damp"] == pytest.approx([0.4, 0.5, 0.6, 0.7, 0.8])


def test_the_day_of_the_repair_is_neither_before_nor_after():
    made = days(log_of([10.0] * 5, 2))
    assert sorted({each.later for each in made.evidence}) == [0.0, 1.0]
    assert len(made.evidence) == 4


def test_a_state_grows_from_one_reset_to_the_next():
    crusted = judge(still_boat("[still]\nleak = \"100 g/day ± 10 %\"\n"),
                    log_of([101, 101, 101, 91, 101, 101, 101, 91], 4, None, entry(4, "scraped", event=True),
                           entry(0, "scraped", event=True)))  # fmt: skip
    assert crusted.verdict == "no detectable change"
    assert any("scraped at the time of the repair" in flag for flag in crusted.flags)


# --- told -----------------------------------------------------------------------------------


def test_the_json_has_the_names_scripts_rely_on():
    boat = still_boat()
    made = verdict_json(boat, judge(boat, log_of(HALF, 8)), "si")
    assert made["verdict"] == "helped"
    assert set(made) >= {
        "probability_helped", "change", "explained_by", "smallest_detectable_change", "days_needed",
        "missing", "flags",
    }  # fmt: skip
    assert made["change"]["low"] < made["change"]["value"] < made["change"]["high"]
    assert "repair" in made["explained_by"]["caught"]["parts"]


def test_the_text_says_the_verdict_first():
    boat = still_boat()
    assert "It helped" in verdict_text(boat, judge(boat, log_of(HALF, 8)), "us").splitlines()[0]
