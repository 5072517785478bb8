"""Saving, leaving, help and the command palette."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input as TextInput

from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.dialogs import LeaveScreen, SaveScreen
from console.tui.screens.help import HelpScreen
from tests.tui.driving import SMALL, answered, app_on, seen, type_in, until


async def edited(pilot: Pilot[str]) -> ConsoleApp:
    app = await answered(pilot)
    app.edit("sample.depth", "9 in")
    await pilot.pause()
    return app


async def test_nothing_is_written_until_the_owner_saves(boat_file: Path, sample: Registry) -> None:
    before = boat_file.read_text()
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        assert boat_file.read_text() == before
        assert "not saved" in seen(app)
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert 'depth = "9 in"' in boat_file.read_text()
        assert "not saved" not in seen(app)


async def test_the_demo_boat_asks_where_it_should_be_saved(
    boat_file: Path, sample: Registry, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from console.tui import tasks

    monkeypatch.setattr(tasks, "bundled_text", lambda: boat_file.read_text())
    monkeypatch.chdir(tmp_path)
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        assert "demo boat" in seen(app)
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, SaveScreen)
        assert app.screen.query_one(TextInput).value.startswith(str(tmp_path))
        await type_in(pilot, str(tmp_path / "mine"))
        await pilot.press("enter")
        await until(pilot, lambda: not isinstance(app.screen, SaveScreen))
        assert 'depth = "9 in"' in (tmp_path / "mine.toml").read_text()
        assert "mine.toml" in seen(app)


async def test_another_file_is_replaced_only_when_said_twice(
    boat_file: Path, sample: Registry, tmp_path: Path
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        boat_file.write_text("# another hand\n")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, SaveScreen)
        await pilot.press("enter")
        await pilot.pause()
        assert boat_file.read_text() == "# another hand\n"
        assert "changed since it was read" in seen(app)
        await pilot.press("enter")
        await pilot.pause()
        assert 'depth = "9 in"' in boat_file.read_text()


@pytest.mark.parametrize(
    ("typed", "said"),
    [("", "Type a file name"), ("/no/such/folder/boat.toml", "There is no folder"), ("/", "folder")],
)
async def test_a_bad_place_is_refused_in_one_sentence(
    boat_file: Path, sample: Registry, typed: str, said: str
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        assert app.desk is not None
        app.push_screen(SaveScreen(app.desk))
        await pilot.pause()
        await type_in(pilot, typed)
        await pilot.press("enter")
        await pilot.pause()
        assert said in seen(app)
        assert app.desk.unsaved


async def test_leaving_without_edits_does_not_ask(boat_file: Path, sample: Registry) -> None:
    app = app_on(boat_file, sample)
    async with app.run_test(size=SMALL) as pilot:
        await answered(pilot)
        await pilot.press("q")
        await until(pilot, lambda: app._exit)
    assert app.return_code == 0


async def test_leaving_with_edits_asks_and_staying_keeps_them(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        await pilot.press("ctrl+q")
        await pilot.pause()
        assert isinstance(app.screen, LeaveScreen)
        assert "has edits that are not saved" in " ".join(seen(app).split())
        await pilot.press("escape")
        await pilot.pause()
        assert app.desk is not None
        assert app.desk.unsaved
        assert not app._exit


async def test_leaving_can_save_first_or_throw_away(boat_file: Path, sample: Registry) -> None:
    before = boat_file.read_text()
    app = app_on(boat_file, sample)
    async with app.run_test(size=SMALL) as pilot:
        await edited(pilot)
        await pilot.press("q")
        await pilot.pause()
        await pilot.press("down", "enter")
        await until(pilot, lambda: app._exit)
    assert boat_file.read_text() == before
    app = app_on(boat_file, sample)
    async with app.run_test(size=SMALL) as pilot:
        await edited(pilot)
        await pilot.press("q")
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: app._exit)
    assert 'depth = "9 in"' in boat_file.read_text()
    assert app.return_value == f"Saved to {boat_file}."


async def test_help_explains_keys_and_words_and_closes(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=(100, 90)) as pilot:
        app = await answered(pilot)
        await pilot.press("question_mark")
        await pilot.pause()
        assert isinstance(app.screen, HelpScreen)
        text = seen(app)
        for words in ("the range that holds it", "○ assumed", "Ctrl+Z", "Ctrl+P", "licensed"):
            assert words in text
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(app.screen, HelpScreen)


async def test_help_can_be_scrolled_to_its_end_on_a_small_screen(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        await pilot.press("f1")
        await pilot.pause()
        await pilot.press("end")
        await until(pilot, lambda: "practice come first" in seen(app))


async def test_the_palette_offers_every_question_and_every_key(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=(100, 60)) as pilot:
        app = await answered(pilot)
        await pilot.press("ctrl+p")
        await until(pilot, lambda: "Switch units" in seen(app))
        text = seen(app)
        for _, question in sample.questions:
            assert question.title.split("\x1b")[0].strip() in text
        for words in ("The boat", "Save the boat", "Switch theme", "Help", "Leave", "Undo the last edit"):
            assert words in text
        await pilot.press(*"switch u", "enter")
        await until(pilot, lambda: app.system == "si")
