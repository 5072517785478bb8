"""What each action gives, run on a boat that has need of it."""

from __future__ import annotations

from functools import cache

import pytest

from console.boatfile.boat import loads as boat_from
from console.contract import Change
from console.engine.changes import altered, reached
from console.engine.gains import Gain, weigh
from console.engine.run import Ran, run_day
from console.registry import discover
from plugins.climate.actions import ACTIONS, COOL, DAMP, REPAIRS
from plugins.climate.figures import ESTIMATES
from tests.plugins.climate.boats import SUMMER_BOAT, climate_alone, daily, hourly, run

# Short of cooling in the afternoon, dirty, open, damp: everything there is to do helps.
POOR = """capacity = "9500 Btu/h"
current = "8 A"
filter_blocked = "70 %"
duct_restriction = "50 %"
hatch_open = "20 %"
return_from_bilge = "20 %"
glass_curtained = "0 %"
duct_insulation = "1/8 in"
set_point = "76 F"
people = "4"
fan = "always"
cooking_hours = ["15:00-17:00"]
cooking_power = "1000 W"
"""
BY_KEY = {change.key: change for change in (*ACTIONS, *REPAIRS)}


@cache
def poor() -> Ran:
    return run_day(boat_from(SUMMER_BOAT + POOR, climate_alone()), 24)


@cache
def after(key: str) -> Ran:
    columns = altered(poor().draws, [("climate", BY_KEY[key])])
    assert columns is not None
    return run_day(columns.boat, 24, columns=columns)


@pytest.mark.parametrize("change", [*ACTIONS, *REPAIRS], ids=lambda change: change.key)
def test_every_action_alters_inputs_of_a_boat_that_says_nothing_of_them(change: Change) -> None:
    silent = boat_from(SUMMER_BOAT, climate_alone())
    assert change.alters
    assert all(reached(silent, alter.path) for alter in change.alters)


@pytest.mark.parametrize("change", ACTIONS, ids=lambda change: change.key)
def test_every_action_is_judged_by_figures_there_are_and_shows_its_wet_cost(change: Change) -> None:
    given = {each.name for estimate in ESTIMATES for each in estimate.gives}
    judged = [effect.figure for effect in change.effects]
    assert set(judged) <= given
    assert {"climate.dry_margin", "climate.damp_hours"} <= set(judged)
    assert set(change.questions) <= {COOL, DAMP}
    assert change.questions


# Not of this boat: what is cooler by day costs a unit without cooling in hand.
HELPS = [change.key for change in ACTIONS if change.key not in ("cool_ahead", "set_cooler")]


@pytest.mark.parametrize("key", HELPS)
def test_every_action_betters_its_first_figure_in_nearly_every_case(key: str) -> None:
    effect = BY_KEY[key].effects[0]
    moved = after(key).daily(effect.figure) - poor().daily(effect.figure)
    better = moved > 0 if effect.better == "more" else moved < 0
    assert better[0]
    assert better.mean() > 0.75


@pytest.mark.parametrize(
    "key", ["rig_awning", "shut_hatches", "clean_filter", "set_warmer", "cook_outside"]
)
def test_what_relieves_the_unit_leaves_the_cabin_less_far_above_the_set_point(key: str) -> None:
    assert daily(poor(), "shortfall") > 0.5
    assert daily(after(key), "shortfall") < daily(poor(), "shortfall")


def test_cooling_ahead_takes_some_of_the_afternoon_and_costs_power() -> None:
    """A boat that only just falls short, and has cooling in hand at night."""
    lines = 'capacity = "12000 Btu/h"\ncurrent = "10 A"\n'
    plain, ahead = run(lines), run(lines + 'precool = "6 F"\n')
    assert daily(plain, "shortfall") > 0.2
    assert daily(ahead, "shortfall") < daily(plain, "shortfall") - 0.1
    assert daily(ahead, "energy") > daily(plain, "energy")
    night = slice(4, 8)
    assert (
        hourly(ahead, "cabin_temperature")[night] < hourly(plain, "cabin_temperature")[night] - 2.0
    ).all()
    assert hourly(ahead, "surface.grille").min() < hourly(plain, "surface.grille").min()


def test_a_cooler_set_point_makes_the_ducts_colder() -> None:
    plain, cooler = run(), run('set_point = "69 F"\n')
    for surface in ("duct", "grille"):
        assert daily(cooler, f"surface.{surface}") < daily(plain, f"surface.{surface}") - 1.0


def test_the_engine_ranks_the_actions_of_a_card() -> None:
    boat = boat_from(SUMMER_BOAT + POOR, discover({"BOAT_CONSOLE_PLUGINS": "climate"}))
    weighed = weigh(boat, COOL, draws=8, pairs=False)
    assert not weighed.unwell
    gains: list[Gain] = list(weighed.gains)
    assert [g.share for g in gains] == sorted((g.share for g in gains), reverse=True)
    named = {key for g in gains for key in g.keys}
    assert {"climate.rig_awning", "climate.clean_filter", "climate.shut_hatches"} <= named


def test_the_awnings_repair_scales_the_sun_on_the_deck() -> None:
    moved = after("awning").daily("climate.load.roof") - poor().daily("climate.load.roof")
    assert (moved < 0).all()
