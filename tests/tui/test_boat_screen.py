"""The boat: every input, edited in place, every answer following at once."""

from __future__ import annotations

import asyncio
import time
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input as TextInput

from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.boat import BoatScreen
from console.tui.screens.home import HomeScreen
from console.tui.widgets.edit_box import EditBox
from console.tui.widgets.field_list import FieldList
from tests.tui.driving import SMALL, WIDE, answered, app_on, keys, seen, type_in, until


async def at(pilot: Pilot[str], path: str) -> ConsoleApp:
    """The boat screen with one input in focus."""
    app = await answered(pilot)
    app.show_boat(path)
    await until(pilot, lambda: isinstance(app.focused, FieldList) and app.focused.marked == path)
    await pilot.pause(0.1)  # the scroll that brings it into sight
    return app


async def edit(pilot: Pilot[str], text: str) -> None:
    await pilot.press("enter")
    await type_in(pilot, text)
    await pilot.press("enter")


def listing(app: ConsoleApp) -> FieldList:
    return app.screen.query_one(FieldList)


async def test_every_input_of_the_boat_has_a_row(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        assert app.desk is not None
        assert [item.path for item in listing(app).listed] == list(app.desk.boat.inputs)


async def test_a_row_shows_value_spread_and_origin(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        line = next(each for each in seen(app).splitlines() if each.startswith(" depth"))
        assert "6.0 in ± 1.0 in" in line
        assert "given" in line
        worked = next(each for each in seen(app).splitlines() if each.startswith(" worked"))
        assert "3.2 gal/min ± 25 %" in worked
        assert "assumed" in worked


async def test_the_focused_input_says_how_to_find_it_out(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        assert "measure it with a ruler at the pump" in seen(app)
        await pilot.press("down")
        await until(pilot, lambda: "Time how long a bucket takes" in seen(app))


@pytest.mark.parametrize(
    ("typed", "inches"), [("2 ft +/- 3 in", 24.0), ("0.3 m", 11.81), ("1 1/2 ft", 18.0)]
)
async def test_enter_edits_in_any_unit_and_every_answer_follows(
    boat_file: Path, sample: Registry, typed: str, inches: float
) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await at(pilot, "sample.depth")
        await edit(pilot, typed)
        assert app.desk is not None
        item = app.desk.boat.inputs["sample.depth"]
        assert item.measure is not None
        assert item.measure.value == pytest.approx(inches * 0.0254, rel=1e-3)
        assert not app.screen.query(EditBox)
        assert app.focused is listing(app)
        assert listing(app).marked == "sample.depth"
        await until(pilot, lambda: " → " in seen(app))
        await until(pilot, lambda: app.desk and app.desk.now.fine)
        before, now = app.desk.before.fine, app.desk.now.fine
        assert before is not None
        assert now is not None
        ratio = now.figures["sample.inflow"].value / before.figures["sample.inflow"].value  # type: ignore[operator]
        assert ratio == pytest.approx((inches / 6) ** 0.5, rel=1e-3)


async def test_the_change_is_shown_old_to_new_with_unit_and_range(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.leak")
        await edit(pilot, "1 gpm +/- 10 %")
        await until(pilot, lambda: "0.44 → 0.87 gal/min (" in seen(app), 5)


async def test_an_edit_that_moves_nothing_says_so(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "boat.name")
        await edit(pilot, "Marsh Wren")
        await until(pilot, lambda: "Answers: none moved" in seen(app))


async def test_an_error_is_one_sentence_below_the_field_and_nothing_is_lost(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await edit(pilot, "x [kW] [/")
        field = app.screen.query_one("#edit-text", TextInput)
        assert field.value == "x [kW] [/"
        assert field.has_focus
        lines = seen(app).splitlines()
        here = next(number for number, line in enumerate(lines) if line.startswith(" depth"))
        assert '✕ "x [kW] [/" is not a length' in lines[here + 1]
        assert app.desk is not None
        assert not app.desk.can_undo
        await type_in(pilot, "70 in")
        await pilot.press("enter")
        await pilot.pause()
        assert "accepted is" in seen(app)  # outside the hard limits
        await type_in(pilot, "7 in")
        await pilot.press("enter")
        await pilot.pause()
        assert app.desk.boat.inputs["sample.depth"].text == "7 in"


async def test_escape_leaves_the_input_as_it_was(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await pilot.press("enter")
        await type_in(pilot, "9 in")
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, BoatScreen)
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.depth"].text == "6 in ± 1 in"
        assert app.focused is listing(app)
        assert listing(app).marked == "sample.depth"


async def test_a_choice_is_picked_from_a_list(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.kind")
        await pilot.press("enter")
        await pilot.pause()
        assert "hand pump" in seen(app)
        await pilot.press("down", "enter")
        await pilot.pause()
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.kind"].value == "hand_pump"


@pytest.mark.parametrize(
    ("path", "typed", "value"),
    [
        ("sample.seen", "2026-03-01", "2026-03-01"),
        ("sample.places", "shaft, keel bolt", "shaft, keel bolt"),
        ("boat.name", "Marsh Wren", "Marsh Wren"),
    ],
)
async def test_words_dates_and_lists_are_edited_too(
    boat_file: Path, sample: Registry, path: str, typed: str, value: str
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, path)
        await edit(pilot, typed)
        assert app.desk is not None
        assert app.desk.boat.inputs[path].text == value


async def test_yes_or_no_is_picked_from_a_list(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.alarmed")
        await pilot.press("enter", "down", "enter")
        await pilot.pause()
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.alarmed"].value is False


async def test_undo_and_redo_with_their_keys(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await edit(pilot, "9 in")
        assert "not saved" in seen(app)
        await pilot.press("ctrl+z")
        await until(pilot, lambda: "6.0 in ± 1.0 in" in seen(app))
        assert "not saved" not in seen(app)
        await pilot.press("ctrl+y")
        await until(pilot, lambda: "9.0 in" in seen(app))


async def test_an_input_goes_back_to_assumed_with_one_key(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await pilot.press("delete")
        await until(pilot, lambda: "8.0 in ± 2.0 in" in seen(app))
        assert listing(app).current.origin == "assumed"  # type: ignore[union-attr]


async def test_typing_after_slash_finds_inputs_and_escape_shows_all(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "boat.name")
        await keys(pilot, *"/bucket pump")
        assert [item.path for item in listing(app).listed] == ["sample.leak"]
        await pilot.press("enter")
        await pilot.pause()
        assert app.focused is listing(app)
        assert listing(app).marked == "sample.leak"
        await pilot.press("escape")
        await pilot.pause()
        assert app.desk is not None
        assert len(listing(app).listed) == len(app.desk.boat.inputs)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, HomeScreen)


async def test_keys_that_come_in_a_bunch_reach_the_field_they_were_meant_for(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await keys(pilot, "enter", *"11 ft")
        await until(pilot, lambda: app.screen.query("#edit-text"))
        await until(pilot, lambda: app.screen.query_one("#edit-text", TextInput).value == "11 ft")


async def test_what_is_not_aboard_can_be_put_aboard_and_taken_off_again(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        listing(app).go_to("sample.second")
        await until(pilot, lambda: "not aboard; Enter adds an average one" in seen(app))
        await pilot.press("enter")
        await until(pilot, lambda: listing(app).marked == "sample.second.power")
        await until(pilot, lambda: app.card("sample.absent").answer.verdict == "The bilge is cool.")  # type: ignore[union-attr]
        assert app.desk is not None
        assert "[sample.second]" in app.desk.boat.text
        await pilot.press("ctrl+z")
        await until(pilot, lambda: app.card("sample.absent").answer.verdict == "Not aboard.")  # type: ignore[union-attr]


async def test_the_marked_input_is_always_in_sight(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "boat.name")
        for key in ("end", "home", "pagedown", "pagedown", "down", "pageup", "end"):
            await pilot.press(key)
            await pilot.pause(0.02)
            marked = listing(app).line_text(listing(app).marked).rstrip()
            rows = [row[:79].rstrip() for row in seen(app).splitlines()[1:15]]
            assert any(row.startswith(marked) for row in rows), (key, marked)


async def test_units_switch_on_the_boat_too(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        await pilot.press("u")
        await until(pilot, lambda: "150 mm ± 25 mm" in seen(app).replace("152", "150"))


async def test_a_click_edits_a_row(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.depth")
        line = next(
            number for number, text in enumerate(seen(app).splitlines()) if text.startswith(" leak")
        )
        await pilot.click(offset=(10, line))
        await pilot.pause()
        assert app.screen.query_one(EditBox).item.path == "sample.leak"


async def test_rows_are_laid_out_anew_when_an_edit_renames_an_item(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        assert app.desk is not None
        name = next(
            path
            for path in app.desk.boat.inputs
            if path.startswith("sample.load.") and path.endswith(".name")
        )
        app.show_boat(name)
        await pilot.pause()
        await edit(pilot, "second pump")
        await until(pilot, lambda: any("second_pump" in item.path for item in listing(app).listed))
        assert [item.path for item in listing(app).listed] == list(app.desk.boat.inputs)


async def test_no_row_is_cut_on_a_small_screen(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "boat.name")
        for item in listing(app).listed:
            text = listing(app).line_text(item.path)
            assert len(text) <= 80
            assert text.rstrip().endswith(item.origin)


async def test_an_edit_is_answered_on_the_screen_within_a_tenth_of_a_second(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await at(pilot, "sample.leak")
        times = []
        for leak in (1, 2, 3, 4, 5):
            await until(pilot, lambda: not app.runner.busy)
            began = time.perf_counter()
            app.edit("sample.leak", f"{leak} gpm")
            while f"→ {leak * 0.866:.1f}"[:4] not in seen(app):
                assert time.perf_counter() - began < 5
                await asyncio.sleep(0.002)
            times.append(time.perf_counter() - began)
        assert min(times) < 0.1, times
