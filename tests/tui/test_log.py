"""The log screen: writing down by keys and by mouse, putting right, files, and trouble said in place."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static

from console.logbook import Entry, Logbook, beside
from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.log import EntryList, LogScreen
from console.tui.screens.log_entry import EntryScreen
from console.tui.screens.log_files import DoubtScreen, FileScreen
from console.tui.screens.log_mapping import MappingScreen
from console.tui.screens.log_picture import LogPictureScreen
from console.tui.widgets.word_list import WordList
from tests.tui.driving import SMALL, WIDE, answered, app_on, keys, notes, seen, type_in, until

ZONED = '\n[site]\ntimezone = "America/New_York"\n'


@pytest.fixture
def boat_file(boat_file: Path) -> Path:
    boat_file.write_text(boat_file.read_text() + ZONED, encoding="utf-8")
    return boat_file


def log_screen(app: ConsoleApp) -> LogScreen:
    assert isinstance(app.screen, LogScreen)
    return app.screen


async def opened(pilot: Pilot[str]) -> ConsoleApp:
    """The log screen, with the log read."""
    app = await answered(pilot)
    await pilot.press("l")
    await until(pilot, lambda: isinstance(app.screen, LogScreen))
    await until(pilot, lambda: log_screen(app).words.option_count > 1)
    return app


async def open_entry(pilot: Pilot[str], name: str) -> ConsoleApp:
    """The fields of one reading."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    log_screen(app).words.mark(name)
    await pilot.pause()
    await pilot.press("enter")
    await until(pilot, lambda: isinstance(app.screen, EntryScreen))
    return app


async def back_on_log(pilot: Pilot[str]) -> None:
    await until(pilot, lambda: isinstance(pilot.app.screen, LogScreen))
    await until(pilot, lambda: not pilot.app.screen._reading)  # type: ignore[attr-defined]


def written(boat_file: Path) -> tuple[Entry, ...]:
    with Logbook(beside(boat_file)) as book:
        return book.entries(void=True)


@pytest.mark.parametrize("size", [SMALL, WIDE])
async def test_a_reading_is_written_down_by_keys(
    boat_file: Path, sample: Registry, size: tuple[int, int]
) -> None:
    async with app_on(boat_file, sample).run_test(size=size, notifications=True) as pilot:
        app = await opened(pilot)
        await open_entry(pilot, "bilge_water")
        await type_in(pilot, "84")
        await until(pilot, lambda: "✓ 84 °F" in seen(app))  # the owner's unit, with none typed
        await pilot.press("tab")
        await type_in(pilot, "2026-07-21 14:05")
        await until(pilot, lambda: "Tue 21 Jul 2026, 14:05" in seen(app))
        await pilot.press("tab")
        await type_in(pilot, "hot")
        await pilot.press("enter")
        await back_on_log(pilot)
        (entry,) = written(boat_file)
        assert (entry.reading, entry.said, entry.note) == ("bilge_water", "84 °F", "hot")
        assert entry.at.isoformat() == "2026-07-21T14:05:00-04:00"
        assert "Written: Water in the bilge, 84 °F" in notes(app)
        await until(pilot, lambda: "84 °F, 2026-07-21 14:05" in seen(app))
        assert not app.troubles


async def test_a_reading_is_written_down_by_mouse(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        rows = seen(app).splitlines()
        line = next(number for number, row in enumerate(rows) if "The smell of it" in row)
        await pilot.click(offset=(5, line))
        await until(pilot, lambda: isinstance(app.screen, EntryScreen))
        rows = seen(app).splitlines()
        line = next(number for number, row in enumerate(rows) if " fuel" in row)
        await pilot.click(offset=(rows[line].index("fuel") + 1, line))
        await back_on_log(pilot)
        assert [(entry.reading, entry.value) for entry in written(boat_file)] == [("bilge_smell", "fuel")]


async def test_a_sheet_is_typed_down_with_its_date_kept(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await open_entry(pilot, "bilge_depth")
        await type_in(pilot, "2 in ± 1/4 in")
        await pilot.press("tab")
        await type_in(pilot, "2026-07-20")
        await pilot.press("enter")
        await back_on_log(pilot)
        assert log_screen(app).words.marked != "bilge_depth"  # the mark went on by itself
        await open_entry(pilot, "bilge_smell")
        assert app.screen.query_one("#entry-when", TextInput).value == "2026-07-20"
        await pilot.press("down", "enter")
        await back_on_log(pilot)
        await open_entry(pilot, "bilge_pumped")
        await pilot.press("enter")
        await back_on_log(pilot)
        found = written(boat_file)
        assert {entry.at_text for entry in found} == {"2026-07-20"}
        assert sorted((e.reading, e.said or e.value) for e in found) == [
            ("bilge_depth", "2 in ± 1/4"), ("bilge_pumped", ""), ("bilge_smell", "salt"),
        ]  # fmt: skip


@pytest.mark.parametrize(("typed", "said"), [
    ("84 psi", "is not a unit"), ("hot", "is not a temperature"), ("", "without a unit it is in °F"),
])  # fmt: skip
async def test_what_cannot_be_is_said_as_it_is_typed_and_not_written(
    boat_file: Path, sample: Registry, typed: str, said: str
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await open_entry(pilot, "bilge_water")
        await type_in(pilot, typed)
        await until(pilot, lambda: said in " ".join(seen(app).replace("│", " ").split()))
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one("#entry-value", TextInput).value == typed
        await pilot.press("escape")
        await back_on_log(pilot)
        assert written(boat_file) == ()


async def test_the_same_typed_twice_is_said_and_not_doubled(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await opened(pilot)
        for _ in range(2):
            await open_entry(pilot, "bilge_water")
            await type_in(pilot, "84")
            await pilot.press("tab")
            await type_in(pilot, "2026-07-20")
            await pilot.press("enter")
            await back_on_log(pilot)
        assert len(written(boat_file)) == 1
        assert "it was not doubled" in notes(app)


def fill(boat_file: Path, sample: Registry, rows: str) -> None:
    """Entries written before the console opens."""
    from console.boatfile import load
    from console.logbook.importing import import_file

    file = boat_file.parent / "fill.csv"
    file.write_text(f"at,reading,value,unit,note\n{rows}", encoding="utf-8")
    with Logbook(beside(boat_file)) as book:
        import_file(book, file, load(boat_file, sample))
    file.unlink()


THREE = "2026-07-20,bilge_water,80,F,\n2026-07-21,bilge_water,81,F,x\n2026-07-21,bilge_pumped,,,\n"


async def test_an_entry_is_put_right_and_the_old_value_is_kept(boat_file: Path, sample: Registry) -> None:
    fill(boat_file, sample, THREE)
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await opened(pilot)
        log_screen(app).words.mark("bilge_water")
        await pilot.pause()
        app.screen.query_one(EntryList).focus()
        await pilot.press("enter")  # the newest stands first
        await until(pilot, lambda: isinstance(app.screen, EntryScreen))
        assert app.screen.query_one("#entry-value", TextInput).value == "81 F"
        await type_in(pilot, "82 F")
        await pilot.press("enter")
        await back_on_log(pilot)
        assert "Put right: Water in the bilge, 82 F" in notes(app)
        with Logbook(beside(boat_file)) as book:
            assert [entry.said for entry in book.history(2)] == ["81 F", "82 F"]
            assert book.history(2)[1].at_text == "2026-07-21"
        await until(pilot, lambda: "corrected" in seen(app))


async def test_an_entry_is_made_void_and_counts_again(boat_file: Path, sample: Registry) -> None:
    fill(boat_file, sample, THREE)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        app.screen.query_one(EntryList).focus()
        log_screen(app).words.mark("bilge_water")
        await pilot.pause()
        await pilot.press("delete")
        await until(pilot, lambda: [e.void for e in written(boat_file) if e.id == 2] == [True])
        await until(pilot, lambda: "void" in seen(app).split("Written down")[1].splitlines()[1])
        await pilot.press("delete")
        await until(pilot, lambda: not any(e.void for e in written(boat_file)))


async def test_the_readings_stand_over_their_days_with_the_events(
    boat_file: Path, sample: Registry
) -> None:
    fill(boat_file, sample, THREE)
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await opened(pilot)
        log_screen(app).words.mark("bilge_water")
        await until(pilot, lambda: "20 Jul" in seen(app) and "a 21 Jul Pumped out" in seen(app))
        picture = log_screen(app)._log.timeline(log_screen(app).marked, log_screen(app)._entries)  # type: ignore[union-attr]
        assert picture is not None
        assert picture.timezone == "America/New_York"
        assert [round(value - 273.15, 1) for value in picture.series[0].values] == [
            26.7,
            27.2,
        ]  # 80 and 81 °F
        assert [label for _, label in picture.events] == ["Pumped out"]


async def test_the_picture_has_a_screen_of_its_own_where_room_is_short(
    boat_file: Path, sample: Registry
) -> None:
    fill(boat_file, sample, THREE)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        log_screen(app).words.mark("bilge_water")
        await pilot.pause()
        await pilot.press("g")
        await until(pilot, lambda: isinstance(app.screen, LogPictureScreen) and "Pumped out" in seen(app))
        await pilot.press("escape")
        await back_on_log(pilot)


async def test_a_part_of_a_name_finds_a_reading(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.press("slash")
        await keys(pilot, *"smell")
        await until(pilot, lambda: "Water in the bilge" not in seen(app))
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, EntryScreen) and "The smell of it" in seen(app))


async def test_cautions_stand_there_before_the_reading_is_taken(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await opened(pilot)
        log_screen(app).words.mark("bilge_depth")
        await until(pilot, lambda: "Stand a ruler in it" in seen(app))
        text = seen(app)
        assert text.index("Seacock shut") < text.index("Breaker off") < text.index("Stand a ruler in it")


# --- files ---------------------------------------------------------------------------------------


async def import_from(pilot: Pilot[str], path: Path) -> ConsoleApp:
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    await pilot.press("i")
    await until(pilot, lambda: isinstance(app.screen, FileScreen))
    app.screen.query_one(TextInput).value = str(path)
    await pilot.press("enter")
    return app


async def test_a_loggers_columns_are_asked_about_once(boat_file: Path, sample: Registry) -> None:
    file = boat_file.parent / "Week 30.csv"
    file.write_text(
        "When,Temp,Smell\n21.07.2026 14:00,84.1,fuel\n22.07.2026 14:00,84.2,\n", encoding="utf-8"
    )
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await opened(pilot)
        await import_from(pilot, file)
        await until(pilot, lambda: isinstance(app.screen, MappingScreen))
        assert "84.1" in seen(app)  # a sample, to know the column by
        await type_in(pilot, "Water in the bilge")
        await pilot.press("enter")
        await until(pilot, lambda: "has no unit" in seen(app))
        await type_in(pilot, "water in the bilge, °F")
        await pilot.press("tab")
        await type_in(pilot, "The smell of it")
        await pilot.press("enter")
        await back_on_log(pilot)
        assert "3 entries written; 1 value empty." in notes(app)
        assert sorted(str(entry.said) for entry in written(boat_file)) == ["84.1 °F", "84.2 °F", "fuel"]
        file.write_text("When,Temp,Smell\n23.07.2026 14:00,84.3,none\n", encoding="utf-8")
        await import_from(pilot, file)
        await back_on_log(pilot)
        assert len(written(boat_file)) == 5


async def test_a_doubtful_date_is_asked_about(boat_file: Path, sample: Registry) -> None:
    file = boat_file.parent / "log.csv"
    file.write_text("at,reading,value,unit,note\n05/07/2026,bilge_water,80,F,\n", encoding="utf-8")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await import_from(pilot, file)
        await until(pilot, lambda: isinstance(app.screen, DoubtScreen))
        assert "day-first: 5 July 2026" in seen(app)
        await pilot.press("down", "enter")
        await back_on_log(pilot)
        assert [entry.at_text for entry in written(boat_file)] == ["2026-05-07"]


async def test_a_bad_file_is_said_with_its_line_and_nothing_is_taken(
    boat_file: Path, sample: Registry
) -> None:
    file = boat_file.parent / "log.csv"
    file.write_text("at,reading,value,unit,note\n2026-07-05,bilge_watr,80,F,\n", encoding="utf-8")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await import_from(pilot, file)
        await until(pilot, lambda: "Nothing was written" in seen(app))
        said = str(app.screen.query_one("#file-said", Static).visual)
        assert "line 2: there is no reading or event bilge_watr; did you mean bilge_water?" in said
        assert written(boat_file) == ()


async def test_a_file_beside_the_boat_can_be_pointed_at(boat_file: Path, sample: Registry) -> None:
    file = boat_file.parent / "log.csv"
    file.write_text("at,reading,value,unit,note\n2026-07-05,bilge_water,80,F,\n", encoding="utf-8")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.press("i")
        await until(pilot, lambda: isinstance(app.screen, FileScreen))
        app.screen.query_one("#files", OptionList).focus()
        await pilot.press("enter")
        await back_on_log(pilot)
        assert len(written(boat_file)) == 1


@pytest.mark.parametrize(("key", "name", "holds"), [
    ("x", "marsh.log.csv", "at,reading,value,unit,note\n2026-07-20,bilge_water,80,F,"),
    ("p", "marsh-log-sheet.html", "Water in the bilge"),
])  # fmt: skip
async def test_files_are_written_and_none_is_replaced_unasked(
    boat_file: Path, sample: Registry, key: str, name: str, holds: str
) -> None:
    fill(boat_file, sample, THREE)
    there = boat_file.parent / name
    there.write_text("mine")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, FileScreen))
        await pilot.press("enter")
        await until(pilot, lambda: "there already" in seen(app))
        assert there.read_text() == "mine"
        await pilot.press("enter")
        await back_on_log(pilot)
        assert holds in there.read_text()


# --- trouble -------------------------------------------------------------------------------------


async def test_the_demo_boat_is_asked_to_be_saved_first(
    boat_file: Path, sample: Registry, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from console.tui import tasks

    monkeypatch.setattr(tasks, "bundled_text", lambda: boat_file.read_text())
    monkeypatch.chdir(tmp_path)
    async with app_on(None, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        await pilot.press("l")
        await until(pilot, lambda: "Save it first (Ctrl+S)" in seen(app))
        assert "NAME.log.sqlite" in seen(app)
        await pilot.press("ctrl+s")
        await pilot.pause()
        await type_in(pilot, str(tmp_path / "mine"))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, LogScreen) and "mine.log.sqlite" in seen(app))
        await open_entry(pilot, "bilge_water")
        await type_in(pilot, "84 F")
        await pilot.press("enter")
        await back_on_log(pilot)
        assert len(written(tmp_path / "mine.toml")) == 1


async def test_a_logbook_that_cannot_be_written_is_said_and_what_was_typed_stays(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("console.logbook.desk.PATIENCE", 0.05)
    fill(boat_file, sample, THREE)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await open_entry(pilot, "bilge_water")
        await type_in(pilot, "84 F")
        raw = sqlite3.connect(beside(boat_file), isolation_level=None)
        raw.execute("BEGIN IMMEDIATE")
        await pilot.press("enter")
        await until(pilot, lambda: "being written by another program" in seen(app))
        assert app.screen.query_one("#entry-value", TextInput).value == "84 F"
        raw.execute("ROLLBACK")
        raw.close()
        await pilot.press("enter")
        await back_on_log(pilot)
        assert len(written(boat_file)) == 4


async def test_a_damaged_logbook_is_said_and_the_console_goes_on(boat_file: Path, sample: Registry) -> None:
    beside(boat_file).write_bytes(b"not a logbook at all" * 300)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await until(pilot, lambda: "is damaged" in seen(app))
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, LogScreen))
        assert not app.troubles


async def test_what_another_console_writes_shows_up(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("console.tui.screens.log.WATCH_SECONDS", 0.05)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        fill(boat_file, sample, THREE)
        await until(pilot, lambda: "3 entries, 2026-07-20 to 2026-07-21" in seen(app))


async def test_nasty_text_is_text_on_the_log(boat_file: Path, sample: Registry) -> None:
    fill(
        boat_file,
        sample,
        "2026-07-20,bilge_depth,2,in,x [kW] [/ \x1b[31m\n2026-07-20,bilge_pumped,[b]x[/,,\n",
    )
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await opened(pilot)
        await until(pilot, lambda: "x [kW] [/ [31m" in seen(app))
        assert "Depth by the ruler x [kW] [/ " in seen(app)
        await open_entry(pilot, "bilge_depth")
        await type_in(pilot, "[/")
        await until(pilot, lambda: '"[/" is not a length' in seen(app))
        assert "\x1b" not in app.export_screenshot()
        assert not app.troubles


async def test_every_key_of_the_log_is_shown_at_eighty_columns(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await until(pilot, lambda: "Paper" in seen(app))
        last = seen(app).splitlines()[-1]
        for words in ("Write", "Back", "Find", "Graph", "Import", "Export", "Paper", "Help"):
            assert words in last
        assert isinstance(app.focused, WordList)


async def test_the_log_is_in_the_palette_and_on_the_opening_screen(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=(100, 60)) as pilot:
        app = await answered(pilot)
        assert "l The log" in seen(app).splitlines()[-1]
        await pilot.press("ctrl+p")
        await until(pilot, lambda: "The log" in seen(app))
        await pilot.press(*"the log", "enter")
        await until(pilot, lambda: isinstance(app.screen, LogScreen))


async def test_units_change_what_a_bare_number_is(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.press("u")
        await until(pilot, lambda: app.system == "si" and "unit: °C" in seen(app))
        await open_entry(pilot, "bilge_water")
        await type_in(pilot, "28")
        await until(pilot, lambda: "✓ 28 °C" in seen(app))
        assert str(app.screen.query_one("#entry-unit", Static).visual) == "°C"
