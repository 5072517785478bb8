"""The host: order by named figures, and one failure that stays one failure."""

import time

import numpy as np
import pytest

from console.boatfile import loads
from console.contract import Answer, Estimate, Given, Need, Question, Section, Urgency
from console.engine import compare, estimate, run_day, run_moment
from console.engine import run as run_module
from tests import toy


def figures(*entries, text="", draws=0):
    return estimate(loads(text, toy.registry(*entries)), draws)


def one(key, gives, function, needs=(), **more):
    """A plugin with one estimate, named by the figure's prefix."""
    made = toy.estimate_of(key, gives, function, needs, **more)
    return toy.plugin(key.split(".")[0], boat_estimates=lambda: [made])


def sentences(outcome):
    return " | ".join(f"{u.plugin} {u.stage} {u.error}" for u in outcome.unwell)


WELL = one("well.a", {"well.a": "K"}, lambda run: {"well.a": 300.0})


def test_an_estimate_runs_after_the_one_whose_figure_it_needs():
    needs = one("aa.f", {"aa.f": "K"}, lambda r: {"aa.f": r.figure("well.a") + 1}, [Need("well.a", "K")])
    assert figures(needs, WELL).figures["aa.f"].value == 301.0


def test_order_is_by_estimate_not_by_plugin():
    first = toy.estimate_of("p.first", {"p.first": "W"}, lambda r: {"p.first": 1.0})
    last = toy.estimate_of(
        "p.last", {"p.last": "W"}, lambda r: {"p.last": r.figure("q.mid") * 2}, [Need("q.mid", "W")]
    )
    mid = one("q.mid", {"q.mid": "W"}, lambda r: {"q.mid": r.figure("p.first") * 3}, [Need("p.first", "W")])
    assert (
        figures(toy.plugin("p", boat_estimates=lambda: [last, first]), mid).figures["p.last"].value == 6.0
    )


def test_a_cycle_is_said_with_its_members_and_the_rest_runs():
    a = one("a.x", {"a.x": "K"}, lambda r: {"a.x": 1.0}, [Need("b.x", "K")])
    b = one("b.x", {"b.x": "K"}, lambda r: {"b.x": 1.0}, [Need("a.x", "K")])
    outcome = figures(a, b, WELL)
    assert "cycle: a.x → b.x → a.x" in sentences(outcome)
    assert outcome.figures["well.a"].value == 300.0


def test_two_givers_of_one_figure_are_refused():
    made = [toy.estimate_of(f"a.{n}", {"a.x": "K"}, lambda r: {"a.x": 1.0}) for n in ("one", "two")]
    outcome = figures(toy.plugin("a", boat_estimates=lambda: made))
    assert "gives a.x, which a.one of a gives too" in sentences(outcome)


def test_a_need_in_another_unit_is_refused():
    wrong = one("a.x", {"a.x": "K"}, lambda r: {"a.x": 1.0}, [Need("well.a", "degC")])
    assert "needs well.a in degC, but well gives it in K" in sentences(figures(wrong, WELL))


def test_a_need_nobody_gives_names_the_missing_plugin():
    wants = one("a.x", {"a.x": "K"}, lambda r: {"a.x": 1.0}, [Need("gone.y", "K")])
    assert "needs gone.y; the plugin gone is not installed" in sentences(figures(wants))


def test_a_need_nobody_gives_uses_its_default_with_its_spread():
    wants = one(
        "a.x",
        {"a.x": "K"},
        lambda r: {"a.x": r.figure("gone.y")},
        [Need("gone.y", "K", "28 degC ± 3 degC")],
    )
    figure = figures(wants, draws=200).figures["a.x"]
    assert figure.value == pytest.approx(301.15)
    assert figure.high - figure.low == pytest.approx(6.0, rel=0.03)


def test_a_default_may_be_a_function_of_the_run():
    default = toy.module(f=lambda run: run.number("tank.volume") * 1000)
    wants = one(
        "a.x",
        {"a.x": "kg"},
        lambda r: {"a.x": r.figure("gone.y")},
        [Need("gone.y", "kg", f"{default.__name__}:f")],
    )
    assert figures(toy.tank(), wants).figures["a.x"].value == pytest.approx(100.0)


def boom(run):
    raise RuntimeError("bang\n[b]")


def hang(run):
    time.sleep(30)


def leave(run):
    raise SystemExit(3)


@pytest.mark.parametrize(
    ("function", "hint"),
    [
        (boom, "RuntimeError: bang [b]"),
        (leave, "SystemExit"),
        (lambda r: {"ill.x": np.nan}, "no finite number"),
        (lambda r: {"ill.x": np.zeros((3, 7))}, "does not fit"),
        (lambda r: {"ill.x": "much"}, "does not fit"),
        (lambda r: {}, "did not give ill.x"),
        (lambda r: {"ill.x": 1.0, "ill.z": 2.0}, "did not announce"),
        (lambda r: None, "TypeError"),
        (lambda r: {"ill.x": r.figure("well.a")}, "not among the needs"),
    ],
)  # fmt: skip
def test_a_plugin_that_returns_nonsense_is_unwell_and_the_rest_is_the_same_to_the_bit(function, hint):
    alone = figures(WELL, toy.tank(), draws=50)
    beside = figures(WELL, toy.tank(), one("ill.x", {"ill.x": "K"}, function), draws=50)
    assert hint in sentences(beside)
    for name, figure in alone.figures.items():
        assert beside.figures[name] == figure


def test_a_plugin_that_hangs_is_abandoned(monkeypatch):
    monkeypatch.setattr(run_module, "LIMIT", 0.2)
    outcome = figures(WELL, one("ill.x", {"ill.x": "K"}, hang))
    assert "did not answer within" in sentences(outcome)
    assert outcome.figures["well.a"].value == 300.0


def test_an_estimate_cannot_change_what_another_one_gets():
    def scribble(run):
        run.figure("well.b")[:] = 0
        return {"ill.x": 1.0}

    giver = one("well.b", {"well.b": "K"}, lambda r: {"well.b": np.full((1, 24), 300.0)})
    outcome = figures(giver, one("ill.x", {"ill.x": "K"}, scribble, [Need("well.b", "K")]))
    assert "read-only" in sentences(outcome)
    assert outcome.figures["well.b"].value == 300.0


def test_an_estimate_cannot_change_its_figures_after_it_gave_them():
    kept = np.full((1, 24), 300.0)
    giver = one("well.b", {"well.b": "K"}, lambda r: {"well.b": kept})
    ran = run_day(loads("", toy.registry(giver)))
    kept[:] = 0
    assert ran.figures["well.b"][0, 0] == 300.0


def test_an_unknown_unit_is_refused():
    assert "not an SI unit" in sentences(figures(one("a.x", {"a.x": "ft"}, lambda r: {"a.x": 1.0})))


def hours_estimate(name, daily, **more):
    return Estimate(
        name,
        f"{toy.module(f=lambda r: {name: np.arange(24.0)}).__name__}:f",
        (),
        (Given(name, "W", "", daily=daily, **more),),
    )


@pytest.mark.parametrize(
    ("daily", "value"), [("mean", 11.5), ("largest", 23.0), ("least", 0.0), ("last", 23.0)]
)
def test_a_days_value_follows_its_rule(daily, value):
    made = toy.plugin("a", boat_estimates=lambda: [hours_estimate("a.x", daily)])
    assert figures(made).figures["a.x"].value == value


def test_a_figure_may_be_read_at_the_hour_another_is_worst():
    peak = toy.module(f=lambda r: {"a.load": np.where(np.arange(24) == 15, 9.0, 1.0)})
    load = Estimate("a.load", f"{peak.__name__}:f", (), (Given("a.load", "W", ""),))
    made = [load, hours_estimate("a.x", "at_worst_hour", worst_of="a.load")]
    assert figures(toy.plugin("a", boat_estimates=lambda: made)).figures["a.x"].value == 15.0


def test_the_same_file_gives_the_same_answer():
    text = '[tank]\nvolume = "120 L ± 10 %"'
    assert (
        figures(toy.tank(), text=text, draws=100).figures
        == figures(toy.tank(), text=text, draws=100).figures
    )


def test_units_in_equal_units_out():
    litres = figures(toy.tank(), text='[tank]\nvolume = "100 L ± 10 L"', draws=64).figures["tank.content"]
    gallons = figures(
        toy.tank(), text='[tank]\nvolume = "26.4172052358 gal ± 2.64172052358 gal"', draws=64
    ).figures["tank.content"]
    assert gallons.low == pytest.approx(litres.low, rel=1e-9)


def test_low_and_high_hold_the_nominal_and_say_so_when_stretched():
    odd = one("a.x", {"a.x": "W"}, lambda r: {"a.x": np.where(np.arange(r.draws)[:, None] == 0, 5.0, 1.0)})
    figure = figures(odd, draws=50).figures["a.x"]
    assert (figure.low, figure.high, figure.edge) == (1.0, 5.0, True)


def test_a_comparison_on_common_draws_holds_the_change_alone():
    boat = loads("", toy.registry(toy.tank()))
    made = compare(boat, boat.with_edit("tank.volume", "200 L ± 20 %"), 200)
    change = next(d for d in made.differences if d.name == "tank.content")
    figure = estimate(boat, 200).figures["tank.content"]
    assert change.change == pytest.approx(figure.value)  # twice the volume: as much again
    assert change.high - change.low == pytest.approx(figure.high - figure.low, rel=0.02)


def test_no_change_is_no_change_in_any_draw():
    boat = loads("", toy.registry(toy.tank()))
    assert all((d.change, d.low, d.high) == (0, 0, 0) for d in compare(boat, boat, 50).differences)


def test_the_input_that_matters_most_is_named_first():
    text = '[tank]\nvolume = "100 L ± 1 %"\nfull = "50 % ± 20 %"'
    card = figures(toy.tank(), text=text, draws=200).cards[0]
    assert (card.drivers[0].path, card.drivers[0].sign) == ("tank.full", 1)


def test_in_the_moment_a_stateful_figure_is_pinned_from_the_day_and_a_condition_replaces_it():
    state = toy.estimate_of(
        "a.state", {"a.state": "K"}, lambda r: {"a.state": 290.0 + np.arange(24.0)}, stateful=True
    )
    now = toy.estimate_of(
        "a.now", {"a.now": "K"}, lambda r: {"a.now": r.figure("a.state") + 1}, [Need("a.state", "K")]
    )
    boat = loads("", toy.registry(toy.plugin("a", boat_estimates=lambda: [state, now])))
    day = run_day(boat, 5)
    assert run_moment(boat, day, 14).figures["a.now"].tolist() == [[305.0]] * 6
    assert run_moment(boat, day, 14, {"a.state": 280.0}).figures["a.now"].tolist() == [[281.0]] * 6


def test_a_table_that_is_not_aboard_runs_no_estimate_and_its_card_says_which_line_adds_it():
    lamp = toy.estimate_of(
        "tank.light",
        {"tank.light": "W"},
        lambda r: {"tank.light": r.number("tank.lamp.power")},
        about="tank.lamp",
    )
    entry = toy.plugin(
        "tank",
        boat_sections=lambda: [Section("tank", "tests.toy:Tank", "The tank")],
        boat_estimates=lambda: [lamp],
        boat_questions=lambda: [
            Question("tank.q", "Lamp?", "tests.toy:answer", ("tank.light",), "tank.lamp", "[tank.lamp]")
        ],
    )
    card = figures(entry).cards[0]
    assert card.answer.urgency is Urgency.NOT_ABOARD
    assert "[tank.lamp]" in card.answer.next
    assert "tank.light" not in figures(entry).figures
    assert figures(entry, text="[tank.lamp]").figures["tank.light"].value == 10.0


def test_an_answer_that_raises_leaves_the_other_cards_right():
    ill = toy.module(f=boom)
    questions = lambda: [  # noqa: E731
        Question("tank.much", "How much?", "tests.toy:answer", ("tank.content",)),
        Question("tank.bad", "Bad?", f"{ill.__name__}:f", ("tank.content",)),
    ]
    cards = {card.question.key: card for card in figures(toy.tank(boat_questions=questions)).cards}
    assert cards["tank.much"].answer.urgency is Urgency.FINE
    assert "Not working" in cards["tank.bad"].answer.verdict


def test_the_worst_news_comes_first():
    made = toy.module(fine=lambda f: Answer("fine", Urgency.FINE), act=lambda f: Answer("act", Urgency.ACT))
    questions = lambda: [Question(f"tank.{k}", k, f"{made.__name__}:{k}", ()) for k in ("fine", "act")]  # noqa: E731
    outcome = figures(toy.tank(boat_questions=questions))
    assert [card.answer.verdict for card in outcome.cards] == ["act", "fine"]
