"""The posterior of a closed-form toy, against brute force that shares nothing with the console."""

import pytest

from console.inference import Consultation
from tests.inference import by_hand, heater

LITRE = 60000
CASES = {
    "a weak flow alone": {"flow": 4 / LITRE},
    "a good flow, a small rise": {"flow": 9 / LITRE, "water_in": 293.15, "water_out": 297.15},
    "a weak flow, a large rise": {"flow": 5 / LITRE, "water_in": 293.15, "water_out": 307.15},
    "two faults": {"flow": 6 / LITRE, "water_in": 293.15, "water_out": 302.15, "look": "dirty"},
    "all is well": {"flow": 9.7 / LITRE, "water_in": 295.15, "water_out": 302.45},
    "nothing but a look": {"look": "dirty"},
    "nothing at all": {},
}


def typed(case):
    """The case as an owner would type it."""
    given = []
    if "flow" in case:
        given.append(("flow", f"{case['flow'] * LITRE:.6f} L/min"))
    given += [(k, f"{case[k] - 273.15:.4f} C") for k in ("water_in", "water_out") if k in case]
    return given + [("look", case["look"]) for _ in range("look" in case)]


@pytest.mark.parametrize("name", CASES)
def test_the_posterior_is_that_of_brute_force_within_the_error_it_states(name):
    found = Consultation(heater.boat(), "still", typed(CASES[name])).settle()
    exact = by_hand.chances(**CASES[name])
    for cause, (chance, error) in found.presence.items():
        assert abs(chance - exact[cause]) <= 4 * error + 0.012, (cause, chance, exact[cause], error)


def test_a_pair_is_told_by_both_its_causes():
    found = Consultation(heater.boat(), "still", typed(CASES["two faults"])).settle()
    both = [w for w in found.presence if found.presence[w][0] > 0.1]
    assert "blocked_pipe" in both
    assert {"coated", "weak_heater"} & set(both)


def test_without_pairs_tried_the_chances_would_be_others():
    exact = by_hand.chances(**CASES["two faults"])
    singles = by_hand.chances(**CASES["two faults"], pairs=False)
    assert abs(exact["coated"] - singles["coated"]) > 0.05


def test_the_stated_error_shrinks_with_more_draws():
    few = Consultation(heater.boat(), "still", typed(CASES["two faults"]), draws=96).settle()
    many = Consultation(heater.boat(), "still", typed(CASES["two faults"]), draws=768).settle()
    assert many.presence["coated"][1] < few.presence["coated"][1]
