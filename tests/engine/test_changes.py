"""Changes switched on, and what they give."""

import numpy as np
import pytest

from console.boatfile import loads
from console.contract import Alter, Change, Effect, Estimate, Given, Need
from console.engine import run_day, run_moment
from console.engine.changes import altered, of_kind, reached
from console.engine.gains import weigh
from console.engine.views import Draws
from console.guard import GuardError
from tests import toy

HOSES = '[tank]\n[[tank.hoses]]\nname = "long one"\npart = "hose"\n[[tank.hoses]]\npart = "pump"\n'


def change(*alters, key="c", **more):
    more.setdefault("effects", (Effect("tank.content", "more"),))
    return Change(key, more.pop("kind", "action"), key.title(), alters, **more)


def boat(*changes, text=""):
    return loads(text, toy.registry(toy.tank(boat_changes=lambda: list(changes))))


def columns(made, draws=64, text=""):
    aboard = boat(made, text=text)
    return altered(Draws(aboard, draws), [("tank", made)])


def test_an_input_may_be_set_scaled_or_moved():
    for how, by, wanted in (("set", "60 L", 0.06), ("scale", "0.5", 0.05), ("add", "20 L", 0.12)):
        made = columns(change(Alter("tank.volume", how, by)))
        assert made.number("tank.volume")[0, 0] == pytest.approx(wanted)


def test_scaling_keeps_the_draws_of_the_input():
    made = columns(change(Alter("tank.volume", "scale", "50 %")))
    assert np.allclose(made.number("tank.volume"), 0.5 * made.before.number("tank.volume"))


def test_a_temperature_is_moved_by_a_difference():
    made = columns(change(Alter("tank.level", "add", "-18 F")))
    assert made.number("tank.level")[0, 0] == pytest.approx(283.15)


def test_what_is_altered_stays_within_the_hard_limits():
    made = columns(change(Alter("tank.volume", "scale", "1000")))
    assert made.number("tank.volume").max() == pytest.approx(5.0)


def test_a_default_that_follows_an_altered_input_follows_it_altered():
    made = columns(change(Alter("tank.volume", "scale", "0.5")))
    assert made.number("tank.weight")[0, 0] == pytest.approx(50.0)


def test_severity_is_one_draw_for_all_it_alters():
    made = columns(
        change(
            Alter("tank.volume", "scale", "severity"),
            Alter("tank.full", "scale", "severity"),
            severity="0.5 ± 0.2",
        )
    )
    one = made.number("tank.volume") / made.before.number("tank.volume")
    other = made.number("tank.full") / made.before.number("tank.full")
    assert np.allclose(one, other)
    assert np.ptp(one[1:]) > 0.1


def test_a_factor_with_a_spread_in_percent_is_a_factor_all_the_same():
    made = columns(change(Alter("tank.volume", "scale", "1.5 ± 60 %")), draws=256)
    factors = made.number("tank.volume") / made.before.number("tank.volume")
    assert factors[0, 0] == pytest.approx(1.5)
    assert factors.max() > 2.0


def test_a_choice_is_set_to_one_of_its_words():
    made = columns(change(Alter("tank.colour", "set", "blue")))
    assert made.boat.inputs["tank.colour"].value == "blue"


def test_a_word_the_choice_does_not_know_is_one_sentence():
    with pytest.raises(GuardError, match="to bleu; did you mean blue"):
        columns(change(Alter("tank.colour", "set", "bleu")))


def test_an_amount_that_cannot_be_read_is_one_sentence():
    with pytest.raises(GuardError, match="is not a unit of volume"):
        columns(change(Alter("tank.volume", "set", "3 bananas")))


def test_an_item_is_found_by_its_part_and_any_by_a_star():
    aboard = boat(text=HOSES)
    assert reached(aboard, "tank.hoses.hose.bore") == "tank.hoses.long_one.bore"
    assert reached(aboard, "tank.hoses.*.bore") == "tank.hoses.long_one.bore"
    assert reached(aboard, "tank.hoses.pump.bore") == "tank.hoses.pump.bore"
    assert reached(aboard, "tank.hoses.sieve.bore") is None


def test_a_change_that_reaches_nothing_aboard_changes_nothing():
    assert columns(change(Alter("tank.lamp.power", "scale", "0.5"))) is None


def test_a_calibration_sees_the_inputs_before_the_change():
    seen = {}

    def look(run):
        seen["both"] = (run.number("tank.volume")[0, 0], run.untouched.number("tank.volume")[0, 0])
        return {"tank.content": run.number("tank.volume")}

    made = toy.estimate_of("tank.content", {"tank.content": "m**3"}, look)
    smaller = change(Alter("tank.volume", "scale", "0.5"))
    aboard = loads(
        "", toy.registry(toy.tank(boat_estimates=lambda: [made], boat_changes=lambda: [smaller]))
    )
    changed = altered(Draws(aboard, 4), [("tank", smaller)])
    run_day(aboard, 4, columns=changed)
    assert seen["both"] == (pytest.approx(0.05), pytest.approx(0.1))


def test_changes_are_chosen_by_kind_and_by_what_is_aboard():
    lamp = change(Alter("tank.lamp.power", "scale", "0.5"), key="lamp", about="tank.lamp")
    cause = change(Alter("tank.volume", "scale", "0.5"), key="leak", kind="cause")
    assert [c.key for _, c in of_kind(boat(lamp, cause), "action")] == []
    assert [c.key for _, c in of_kind(boat(lamp, cause), "cause")] == ["leak"]


# --- gains ----------------------------------------------------------------------------------

MORE = change(Alter("tank.volume", "scale", "1.5"), key="bigger")
FULL = change(Alter("tank.full", "set", "100 %"), key="fill", minutes=5)
WORSE = change(Alter("tank.volume", "scale", "0.5"), key="smaller")
NOTHING = change(Alter("tank.level", "add", "5 F"), key="warmer")


def test_gains_are_ranked_by_what_they_give_and_the_best_two_are_run_together():
    weighed = weigh(boat(MORE, FULL, WORSE, NOTHING), draws=32)
    assert [gain.keys for gain in weighed.gains] == [
        ("tank.fill", "tank.bigger"), ("tank.fill",), ("tank.bigger",)
    ]  # fmt: skip
    both = weighed.gains[0].effects[0]
    assert both.after == pytest.approx(0.15)
    assert both.before == pytest.approx(0.05)


def test_the_range_of_a_gain_is_that_of_the_change_draw_by_draw():
    (gain,) = weigh(boat(MORE), draws=256).gains
    effect = gain.effects[0]
    assert effect.change == pytest.approx(0.025)
    assert effect.low == pytest.approx(0.5 * 0.05 * 0.66, rel=0.2)
    assert effect.sure == 1.0


def test_a_change_nobody_can_read_leaves_the_others_and_is_named():
    weighed = weigh(boat(change(Alter("tank.volume", "set", "ten"), key="bad"), MORE), draws=4)
    assert [gain.keys for gain in weighed.gains] == [("tank.bigger",)]
    assert weighed.unwell[0].stage == "change bad"


# --- taking over ----------------------------------------------------------------------------


def _counting(key, unit, needs=(), path=""):
    calls = []

    def function(run):
        calls.append(key)
        base = sum(run.figure(need.name) for need in needs) if needs else 1.0
        return {key: base * (run.number(path) if path else 1.0)}

    return toy.estimate_of(key, {key: unit}, function, needs), calls


def test_an_estimate_is_run_anew_only_when_something_it_looked_at_changed():
    first, runs_first = _counting("tank.a", "m**3", path="tank.volume")
    second, runs_second = _counting("tank.b", "m**3", [Need("tank.a", "m**3")])
    third, runs_third = _counting("tank.c", "kg", path="tank.weight")
    fourth, runs_fourth = _counting("tank.d", "K", path="tank.level")
    registry = toy.registry(toy.tank(boat_estimates=lambda: [first, second, third, fourth]))
    before = loads("", registry)
    ran = run_day(before, 8)
    after = run_day(before.with_edit("tank.volume", "50 L"), 8, base=ran)
    assert [len(runs) for runs in (runs_first, runs_second, runs_third, runs_fourth)] == [2, 2, 2, 1]
    alone = run_day(before.with_edit("tank.volume", "50 L"), 8)
    assert all(np.array_equal(after.figures[name], alone.figures[name]) for name in alone.figures)


def test_an_estimate_that_failed_is_tried_anew():
    broken = toy.estimate_of("tank.a", {"tank.a": "K"}, lambda run: 1 / 0)
    aboard = loads("", toy.registry(toy.tank(boat_estimates=lambda: [broken])))
    ran = run_day(aboard, 0)
    assert "tank.a" not in run_day(aboard, 0, base=ran).kept


def test_a_moment_runs_only_what_the_wanted_figures_need():
    first, runs_first = _counting("tank.a", "m**3")
    second, runs_second = _counting("tank.b", "m**3", [Need("tank.a", "m**3")])
    other, runs_other = _counting("tank.c", "kg")
    aboard = loads("", toy.registry(toy.tank(boat_estimates=lambda: [first, second, other])))
    day = run_day(aboard, 4)
    ran = run_moment(aboard, day, 3, wanted=("tank.b",))
    assert [len(r) for r in (runs_first, runs_second, runs_other)] == [2, 2, 1]
    assert "tank.c" not in ran.figures


def test_a_run_has_as_many_days_as_the_weather_asks(monkeypatch):
    from console.engine import run as run_module

    monkeypatch.setattr(run_module, "DAYS", "tank.lamp.power")
    last = Estimate("tank.h", f"{toy.module(f=lambda r: {'tank.h': r.hours}).__name__}:f", (),
                    (Given("tank.h", "s", "hour", style="hours", daily="last"),))  # fmt: skip
    aboard = loads('[tank.lamp]\npower = "3 W"\n', toy.registry(toy.tank(boat_estimates=lambda: [last])))
    ran = run_day(aboard)
    assert ran.hours.size == 72
    assert ran.figures["tank.h"][0, -1] == 23.5
