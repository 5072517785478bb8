"""The boat's work list."""

import datetime
import json

import pytest
from click.testing import CliRunner

from console.boatfile import BoatFileError, loads
from console.commands import cli
from console.contract import Alter, Caution, Change, Effect, Estimate, Given, State
from console.jobs import work_list, work_list_json, work_list_text
from console.noted_jobs import noted, with_note
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


def test_what_is_the_owners_own_choice_is_no_job():
    made = work_list(boat(change("cooler", "3", wish=True), change("mine", "2")), "si", 8)
    assert titles(made.afloat) == ["Mine"]


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


# --- what the owner noted -------------------------------------------------------------------


def priced(aboard, **costs):
    for key, cost in costs.items():
        aboard = with_note(aboard, f"tank.{key}", key.capitalize(), "cost", cost)
    return aboard


def test_by_money_what_gives_most_for_its_cost_is_first_and_what_has_none_last():
    aboard = priced(
        boat(change("dear", "3", minutes=15), change("cheap", "2", minutes=15), change("quick", "4")),
        dear="900", cheap="10",
    )  # fmt: skip
    weighed = work_list(aboard, "si", 8)
    assert titles(weighed.afloat) == ["Quick", "Dear", "Cheap"]
    assert titles(work_list(aboard, "si", 8, by="money").afloat) == ["Cheap", "Dear", "Quick"]


def test_a_job_for_nothing_is_first_by_money():
    aboard = priced(boat(change("dear", "3"), change("free", "1.2")), dear="1", free="0")
    assert titles(work_list(aboard, "si", 8, by="money").afloat) == ["Free", "Dear"]


def test_a_cost_is_told_beside_its_job_alone():
    aboard = priced(boat(change("dear", "3"), change("other", "2")), dear="900")
    text = work_list_text(aboard, work_list(aboard, "si", 4), "si")
    assert text.count("cost 900") == 1
    jobs = work_list_json(aboard, work_list(aboard, "si", 4), "si")["afloat"]
    assert [job["cost"] for job in jobs] == [900, None]


def test_the_owners_own_days_are_listed_with_what_the_model_finds_due():
    today = datetime.date.today()
    aboard = with_note(boat(), "", "Grease the [seacocks]", "due", str(today + datetime.timedelta(days=3)))
    aboard = with_note(aboard, "", "Renew the flares", "due", str(today - datetime.timedelta(days=1)))
    made = work_list(aboard, "si", 4)
    assert [due.title for due in made.due] == ["Renew the flares", "Grease the [seacocks]"]
    text = work_list_text(aboard, made, "si")
    assert "Renew the flares: overdue since" in text
    assert "Grease the [seacocks]: in 3 days" in text


def test_what_was_noted_stands_in_the_file_beside_what_was_there_and_is_read_back():
    before = loads("# mine\n[tank]\n", boat().registry)
    after = with_note(before, "tank.dear", 'Dear "x" [kW]', "cost", "900")
    after = with_note(after, "tank.dear", "", "due", "2027-04-01")
    assert after.text.startswith("# mine\n[tank]\n")
    (found,) = noted(loads(after.text, before.registry))
    assert (found.key, found.name, found.cost, str(found.due)) == (
        "tank.dear", 'Dear "x" [kW]', 900, "2027-04-01",
    )  # fmt: skip


def test_a_note_taken_back_leaves_the_other():
    aboard = priced(boat(change("dear", "3")), dear="900")
    aboard = with_note(aboard, "tank.dear", "Dear", "due", "2027-04-01")
    (found,) = noted(with_note(aboard, "tank.dear", "Dear", "cost", " "))
    assert found.cost is None
    assert found.due is not None


@pytest.mark.parametrize(("field", "typed"), [("cost", "forty"), ("cost", "-3"), ("due", "soon")])
def test_a_note_that_is_none_is_refused_in_one_sentence(field, typed):
    with pytest.raises(BoatFileError, match="accepted is"):
        with_note(boat(), "tank.dear", "Dear", field, typed)
