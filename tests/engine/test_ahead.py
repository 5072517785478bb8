"""The days ahead: states that grow, what is due, upkeep."""

import json

import numpy as np
import pytest
from click.testing import CliRunner

from console.boatfile import loads
from console.commands import cli
from console.contract import Estimate, Given, State
from console.engine.ahead import ahead
from console.season import season_json, season_text
from tests import toy

DAY = 86400.0


def filling(run):
    """A tenth of a tank a day; due when it is full."""
    full = run.number("tank.full")
    rate = 0.1 / DAY + 0 * full
    return {"tank.rate": rate, "tank.left": np.maximum(1.0 - full, 0.0) / rate}


def boat(text='[tank]\nfull = "20 %"\n'):
    made = toy.module(f=filling).__name__
    gives = (
        Given("tank.rate", "1/s", "rate", style="share_per_day"),
        Given("tank.left", "s", "left", style="days"),
    )
    hooks = lambda: [  # noqa: E731
        Estimate("tank.fill", f"{made}:f", (), gives),
        State("tank.full", "tank.rate", "emptied", due="tank.left", title="Empty it"),
    ]
    return loads(text, toy.registry(toy.tank(boat_estimates=hooks)))


def test_a_state_grows_by_its_rate_and_no_farther_than_it_can():
    made = ahead(boat(), 12, 4)
    assert made.at.tolist() == list(range(13))
    assert made.states["tank.full"][0] == pytest.approx([min(0.2 + 0.1 * day, 1.0) for day in range(13)])


def test_it_is_due_when_the_rate_brings_it_there():
    assert ahead(boat(), 3, 4).due["tank.full"][0] == pytest.approx(8 * DAY)
    assert ahead(boat(), 20, 4).due["tank.full"][0] == pytest.approx(8 * DAY)


def test_with_upkeep_it_is_put_back_whenever_it_is_due():
    made = ahead(boat(), 28, 0, upkeep=True)
    assert made.states["tank.full"].max() <= 1.0
    assert made.done["tank.full"][0] in (2, 3)
    assert made.states["tank.full"][0, -1] < 1.0


def test_a_long_time_is_stepped_by_several_days_and_ends_on_the_last():
    made = ahead(boat('[tank]\nfull = "0 %"\n'), 100, 0)
    assert made.at.size <= 15
    assert made.at[-1] == 100


def test_the_draws_of_a_state_keep_their_order():
    made = ahead(boat('[tank]\nfull = "20 % ± 10 %"\n'), 4, 32)
    first, last = made.states["tank.full"][1:, 0], made.states["tank.full"][1:, -1]
    assert np.array_equal(np.argsort(first), np.argsort(last))


def test_what_is_due_comes_first_in_the_text():
    text = season_text(boat(), ahead(boat(), 4, 8), "si")
    assert "Empty it: in 8.0 days" in text.splitlines()[2]
    assert "every day with the same weather" in text


def test_the_json_has_every_day_with_its_range():
    made = season_json(boat(), ahead(boat(), 4, 8), "si")
    assert made["states"]["tank.full"]["value"] == pytest.approx([20, 30, 40, 50, 60])
    assert len(made["figures"]["tank.left"]["low"]) == 5


def test_the_command_steps_the_bundled_boat():
    made = CliRunner().invoke(
        cli, ["ahead", "scenarios/glasswort.toml", "--days", "3", "--draws", "4", "--json"]
    )
    assert made.exit_code == 0, made.output
    assert json.loads(made.output)["days"] == [0, 1, 2, 3]
