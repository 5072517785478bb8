"""A boat of one's own from a few questions, by keys alone and by mouse alone."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from textual.pilot import Pilot

from console.boatfile import BoatFileError, load
from console.first_boat import Without, begun, boat_text, first_asks
from console.registry import Registry, discover
from console.tui import tasks
from console.tui.app import ConsoleApp
from console.tui.screens.dialogs import LeaveScreen, SaveScreen
from console.tui.screens.first_run import FirstRunScreen
from console.tui.screens.home import HomeScreen
from tests.tui.driving import SMALL, WIDE, answered, app_on, click_on, notes, seen, type_in, until

SHOWN = "x [kW] [/ ?[31m?"


@pytest.fixture(autouse=True)
def _somewhere(tmp_path: Path, boat_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks, "bundled_text", lambda: boat_file.read_text())
    monkeypatch.chdir(tmp_path)


async def begin(pilot: Pilot[str]) -> ConsoleApp:
    """Open the questions by their key, from the opening screen."""
    app = await answered(pilot)
    await pilot.press("m")
    await until(pilot, lambda: isinstance(app.screen, FirstRunScreen) and "▸ How long" in seen(app))
    return app


async def test_without_a_file_the_opening_screen_offers_a_boat_of_ones_own(sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        assert "m makes your own from a few questions" in seen(app)


async def test_with_a_file_it_does_not(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        assert "makes your own" not in seen(app)


async def test_by_keys_the_questions_make_a_boat_file(tmp_path: Path, sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await begin(pilot)
        await type_in(pilot, "11 m")
        await pilot.press("enter")
        await until(pilot, lambda: "▸ At what latitude" in seen(app))
        await pilot.press("enter")  # nothing typed: skipped
        await until(pilot, lambda: f"▸ Which pump is it {SHOWN}" in seen(app))
        await pilot.press("down", "enter")
        await until(pilot, lambda: "▸ What does the second pump take" in seen(app))
        await type_in(pilot, "80 W")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, SaveScreen))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, HomeScreen))
    written = (tmp_path / "my-boat.toml").read_text()
    assert tomllib.loads(written) == {
        "format": 1, "boat": {"length": "11 m"}, "site": {},
        "sample": {"kind": "diaphragm", "second": {"power": "80 W"}},
    }  # fmt: skip
    assert '# latitude = "27 deg"' in written
    assert written.startswith("# A boat file")
    assert load(tmp_path / "my-boat.toml", sample).inputs["sample.second.power"].origin == "given"


async def test_by_mouse_the_questions_make_a_boat_file(tmp_path: Path, sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        app.show_own_boat()
        await click_on(pilot, "Skip: I do not know")
        await click_on(pilot, "Skip: I do not know")
        await click_on(pilot, "Hand pump")
        await click_on(pilot, "There is none aboard")
        await until(pilot, lambda: isinstance(app.screen, SaveScreen))
        await click_on(pilot, "Save it there")
        await until(pilot, lambda: isinstance(app.screen, HomeScreen))
    assert tomllib.loads((tmp_path / "my-boat.toml").read_text())["sample"] == {"kind": "hand_pump"}


async def test_the_answers_fill_in_after_each(sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=WIDE) as pilot:
        app = await begin(pilot)
        await answered(pilot)
        first = app.desk
        assert first is not None
        await type_in(pilot, "30 ft")
        await pilot.press("enter")
        await until(pilot, lambda: first.now.fine is not None and first.before.fine is not None)
        assert "Is water coming in?" in seen(app)
        assert first.boat.inputs["boat.length"].text == "30 ft"


async def test_an_answer_that_is_none_is_refused_and_nothing_is_lost(sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await begin(pilot)
        await type_in(pilot, "long [/")
        await pilot.press("enter")
        await until(pilot, lambda: 'long [/" is not a length' in seen(app))
        assert "▸ How long is she?" in seen(app)
        assert not app.troubles


async def test_one_may_go_back_and_answer_otherwise(sample: Registry) -> None:
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await begin(pilot)
        await type_in(pilot, "30 ft")
        await pilot.press("enter")
        await until(pilot, lambda: "▸ At what latitude" in seen(app))
        await pilot.press("shift+tab")
        await until(pilot, lambda: "▸ How long" in seen(app))
        await type_in(pilot, "33 ft")
        await pilot.press("enter")
        await pilot.pause()
        assert app.desk is not None
        assert app.desk.boat.inputs["boat.length"].text == "33 ft"


async def test_leaving_asks_and_brings_the_other_boat_back(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await begin(pilot)
        await type_in(pilot, "30 ft")
        await pilot.press("enter")
        await until(pilot, lambda: "▸ At what latitude" in seen(app))
        await pilot.press("escape")
        assert isinstance(app.screen, LeaveScreen)
        await pilot.press("down", "enter")
        await until(pilot, lambda: isinstance(app.screen, HomeScreen))
        assert app.desk is not None
        assert app.desk.home == boat_file
        assert not app.desk.unsaved
        assert app.doing == ""
        assert seen(app).startswith(f" {SHOWN}")


async def test_unsaved_edits_are_not_thrown_away_for_a_new_boat(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        app.edit("sample.depth", "9 in")
        await pilot.press("m")
        await pilot.pause()
        assert isinstance(app.screen, HomeScreen)
        assert "not saved" in notes(app)


def test_the_real_plugins_ask_five_questions_and_their_file_is_read_back() -> None:
    registry = discover({})
    asks = first_asks(registry)
    assert [ask.path for ask in asks] == [
        "boat.length", "site.latitude", "climate.capacity", "cold_box.opening", "power.shore.inlet_current",
    ]  # fmt: skip
    for ask in asks:  # every example is an answer, with a unit where it wants one
        assert begun(registry, asks, {ask.path: ask.fact.example}).inputs[ask.path].origin == "given"
    assert [ask.absentable for ask in asks] == [False, False, True, True, True]


def test_what_is_not_aboard_is_left_out_and_what_is_not_known_assumed() -> None:
    registry = discover({})
    asks = first_asks(registry)
    boat = begun(registry, asks, {"climate.capacity": Without.ABSENT, "cold_box.opening": Without.UNKNOWN})
    assert "climate" in boat.absent
    assert boat.inputs["cold_box.opening"].origin == "assumed"


@pytest.mark.parametrize("typed", ['12" # x', "\x1b[31m", 'a\\"b', "[boat]\nx = 1"])
def test_what_is_typed_never_becomes_another_line_of_the_file(typed: str) -> None:
    asks = first_asks(discover({}))
    read = tomllib.loads(boat_text(asks, {"boat.length": typed}))
    assert set(read) == {"format", "boat", "site", "climate", "cold_box", "power"}
    assert list(read["boat"]) == ["length"]
    with pytest.raises(BoatFileError):
        begun(discover({}), asks, {"boat.length": "[kW"})
