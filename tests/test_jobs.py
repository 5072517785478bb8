"""The boat's work list."""

import json

from click.testing import CliRunner

from console.boatfile import loads
from console.commands import cli
from console.contract import Alter, Caution, Change, Effect, Estimate, Given, State
from console.jobs import work_list, work_list_json, work_list_text
from tests import toy

MORE = (Effect("tank.content", "more"),)
CARD = ("tank.much",)


def change(key, factor, **more):
    alters = (Alter("tank.volume", "scale", factor),)
    return Change(key, "action", key.capitalize(), alters, effects=MORE, questions=CARD, **more)


def boat(*changes, **hooks):
    return loads("", toy.registry(toy.tank(boat_changes=lambda: list(changes), **hooks)))


def titles(jobs):
    return [job.gain.title for job in jobs]


def test_jobs_are_ranked_by_what_they_give_for_the_time():
    made = work_list(boat(change("slow", "3", minutes=600), change("quick", "1.3", minutes=15)), "si", 8)
    assert titles(made.afloat) == ["Quick", "Slow"]


def test_jobs_are_split_by_where_and_by_whose_hands():
    made = work_list(
        boat(
            change("mine", "2"), change("out", "2", where="hauled_out"), change("gas", "2", who="licensed")
        ),
        "si",
        8,
    )
    assert titles(made.afloat) == ["Mine"]
    assert titles(made.hauled_out) == ["Out"]
    assert titles(made.licensed) == ["Gas"]


def test_cautions_come_before_the_jobs_and_each_job_names_its_own():
    hazards = lambda: [Caution("deep", "Deep water.", 0), Caution("dry", "Dry land.", 1)]  # noqa: E731
    aboard = boat(change("dive", "2", hazards=("deep",)), change("walk", "1.5"), boat_cautions=hazards)
    text = work_list_text(aboard, work_list(aboard, "si", 8), "si")
    assert "Dry land" not in text
    assert text.index("CAUTION 1: Deep water.") < text.index("Now, afloat") < text.index("caution 1")


def test_what_comes_round_is_listed_soonest_first():
    lasts = {"tank.a": 5.0, "tank.b": 2.0}
    made = toy.module(f=lambda run: {name: days * 86400 for name, days in lasts.items()})
    gives = tuple(Given(name, "s", name, style="days") for name in lasts)
    estimates = lambda: [  # noqa: E731
        Estimate("tank.due", f"{made.__name__}:f", (), gives),
        State("tank.full", "tank.a", "filled", due="tank.a", title="Fill it"),
        State("tank.level", "tank.b", "wiped", due="tank.b", title="Wipe it"),
    ]
    aboard = boat(boat_estimates=estimates)
    listed = work_list(aboard, "si", 8)
    assert [due.title for due in listed.due] == ["Wipe it", "Fill it"]
    assert "Wipe it: in 2.0 days" in work_list_text(aboard, listed, "si")


def test_a_boat_that_nothing_helps_is_told_so():
    aboard = boat(change("worse", "0.5"))
    assert "Nothing that can be worked out here" in work_list_text(aboard, work_list(aboard, "si", 4), "si")


def test_the_json_holds_each_effect_before_and_after():
    aboard = boat(change("bigger", "2"))
    (job,) = work_list_json(aboard, work_list(aboard, "si", 8), "si")["afloat"]
    effect = job["effects"]["tank.content"]
    assert effect["after"] == 2 * effect["before"]


def test_the_command_lists_jobs_of_the_bundled_boat():
    made = CliRunner().invoke(cli, ["jobs", "scenarios/marram.toml", "--draws", "4", "--json"])
    assert made.exit_code == 0, made.output
    assert json.loads(made.output)["afloat"]
