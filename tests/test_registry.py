"""Plugins are found, guarded and switched one by one."""

import sys

import pytest

from console import contract
from console.contract import Caution, Estimate, Given, Join, Question, Section, hookimpl
from console.guard import GuardError, guarded
from console.registry import discover
from tests import toy


def troubles(registry):
    return " | ".join(f"{u.plugin} {u.stage} {u.error}" for u in registry.failures)


def raising(error):
    def load():
        raise error

    return load


def test_a_plugin_that_cannot_be_imported_is_one_record_and_the_rest_is_loaded():
    registry = toy.registry(toy.FoundEntry("ill", raising(ImportError("no such thing"))), toy.tank())
    assert "ill import ImportError: no such thing" in troubles(registry)
    assert registry.loaded() == {"tank"}


def test_an_import_that_leaves_the_program_is_contained():
    assert "SystemExit" in troubles(toy.registry(toy.FoundEntry("ill", raising(SystemExit(1)))))


def test_a_hook_that_raises_while_yielding_takes_only_itself_away():
    def half():
        yield Section("tank", "tests.toy:Tank", "The tank")
        raise ValueError("half way")

    registry = toy.registry(toy.tank(boat_sections=half))
    assert "ValueError: half way" in troubles(registry)
    assert registry.estimates
    assert ("tank" in {s.key for _, s in registry.sections}) is False


def test_a_misspelt_hook_is_named_with_the_nearest_one():
    made = toy.module(boat_qestions=hookimpl(lambda: []))
    assert "boat_qestions is no hook of the console; did you mean boat_questions?" in troubles(
        toy.registry(toy.FoundEntry("ill", lambda: made))
    )


@pytest.mark.parametrize(
    ("hook", "record"),
    [
        ("boat_estimates", Estimate("x", "m:f", (), (Given("climate.load", "W", ""),))),
        ("boat_sections", Section("climate", "m:T", "")),
        ("boat_questions", Question("climate.q", "", "m:f", ())),
        ("boat_estimates", Question("ill.q", "", "m:f", ())),
        ("boat_cautions", "careful"),
    ],
)
def test_a_record_that_is_not_the_plugins_to_give_is_refused(hook, record):
    registry = toy.registry(toy.plugin("ill", **{hook: lambda: [record]}))
    assert len(registry.failures) == 1
    assert registry.failures[0].plugin == "ill"


def test_a_stranger_of_a_built_ins_name_is_not_loaded():
    stranger = toy.plugin(
        "tank", home="a-stranger", boat_sections=lambda: [Section("tank", "x:Y", "theirs")]
    )
    registry = toy.registry(stranger, toy.FoundEntry("tank", toy.tank().load, "boat-console"))
    assert [s.title for _, s in registry.sections if s.key == "tank"] == ["The tank"]
    assert "a-stranger also calls its plugin tank" in troubles(registry)


def test_the_environment_chooses_what_is_loaded():
    registry = toy.registry(toy.tank(), toy.plugin("other"), environ={"BOAT_CONSOLE_PLUGINS": "other"})
    assert registry.loaded() == {"other"}
    assert registry.installed() == {"other", "tank"}


def test_choosing_a_plugin_that_is_not_installed_is_said():
    registry = toy.registry(toy.tank(), environ={"BOAT_CONSOLE_PLUGINS": "tonk"})
    assert "names tonk, which is not installed; did you mean tank?" in troubles(registry)


def test_a_hazard_declared_twice_is_kept_once():
    one = toy.plugin("a", boat_cautions=lambda: [Caution("mains", "first", 0)])
    two = toy.plugin("b", boat_cautions=lambda: [Caution("mains", "second", 0)])
    assert toy.registry(one, two).cautions["mains"].text == "first"


def test_a_plugin_may_join_anothers_question():
    join = toy.plugin("a", boat_questions=lambda: [Join("tank.much", "m:f")])
    assert [j.question for _, j in toy.registry(join).joins] == ["tank.much"]


def test_strict_mode_shows_the_author_the_error(monkeypatch):
    monkeypatch.setenv("BOAT_CONSOLE_STRICT", "1")
    with pytest.raises(ZeroDivisionError):
        guarded("x", "y", lambda: 1 / 0)


def test_a_hang_is_abandoned_and_the_next_call_works():
    import time

    with pytest.raises(GuardError, match="did not answer"):
        guarded("x", "y", lambda: time.sleep(20), limit=0.1)
    assert guarded("x", "y", lambda: 5) == 5


def test_every_hook_of_the_contract_is_known_to_the_registry():
    specs = [n for n in vars(contract.Hooks) if n.startswith("boat_")]
    assert tuple(specs) == contract.HOOK_NAMES


def test_the_built_in_plugins_are_found_as_any_other_and_are_well():
    registry = discover({})
    assert {"climate", "cold_box", "raw_water", "power"} <= registry.loaded()
    assert [u for u in registry.failures] == []


def test_the_installed_console_is_this_one():
    import console

    assert "boat files" in (console.__doc__ or "")
    assert sys.modules["console"].__file__.endswith("console/__init__.py")
