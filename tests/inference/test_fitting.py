"""What a log says of the boat itself."""

import numpy as np
import pytest

from console.inference.fitting import fit
from tests.inference.still import entry, log_of, still_boat

DAYS = [16.4, 15.2, 16.1, 15.8, 16.6, 15.9, 16.2, 15.7]


def without_repair(log):
    return type(log)(tuple(e for e in log.entries if e.reading != "repair"))


def test_an_input_comes_out_where_the_readings_put_it():
    made = fit(still_boat(), without_repair(log_of(DAYS, 99)), "still")
    (leak,) = [each for each in made.inputs if each.path == "still.leak"]
    # 16 g a day caught, one of which is openings.
    assert leak.after[0] * 86400 * 1e3 == pytest.approx(15.0, rel=0.03)
    assert leak.after[2] - leak.after[1] < 0.3 * (leak.before[2] - leak.before[1])


def test_what_the_readings_do_not_tell_of_is_left_alone():
    made = fit(still_boat(), without_repair(log_of(DAYS, 99)), "still")
    assert [each.path for each in made.inputs] == ["still.leak"]


def test_only_what_came_after_the_last_repair_counts():
    log = log_of([30.0] * 4 + DAYS, 3.9)
    (leak,) = fit(still_boat(), log, "still").inputs
    assert leak.after[0] * 86400 * 1e3 == pytest.approx(15.0, rel=0.05)


def test_the_text_can_be_put_into_the_boat_file():
    boat = still_boat("[still]\n")
    (leak,) = fit(boat, without_repair(log_of(DAYS, 99)), "still").inputs
    narrowed = boat.with_edit(leak.path, leak.text("si")).inputs[leak.path].measure
    assert narrowed.value == pytest.approx(leak.after[0], rel=0.01)
    assert narrowed.half_si == pytest.approx(0.5 * (leak.after[2] - leak.after[1]), rel=0.1)


def test_an_empty_log_is_one_sentence():
    with pytest.raises(ValueError, match="no reading that could tell"):
        fit(still_boat(), without_repair(log_of([], 1)), "still")


def test_the_interval_holds_the_truth_as_often_as_it_says():
    random = np.random.default_rng(4)
    held = 0
    for _ in range(40):
        truth = 10 * np.exp(random.normal() * np.arcsinh(0.5) / 1.645)
        caught = (truth + 1) * np.exp(random.normal(0, 0.1 / 1.645, 5))
        found = fit(still_boat(), without_repair(log_of(list(caught), 99)), "still").inputs
        low, high = found[0].after[1:]
        held += low <= truth * 1e-3 / 86400 <= high
    assert 31 <= held <= 40


def test_a_jug_of_several_days_counts_for_all_of_them():
    log = log_of([], 99, None, entry(0, "emptied", event=True), entry(10, "jug", 0.160))
    (leak,) = fit(still_boat(), without_repair(log), "still").inputs
    assert leak.after[0] * 86400 * 1e3 == pytest.approx(15.0, rel=0.1)
