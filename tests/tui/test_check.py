"""The guided check driven to its end, by keys alone and by mouse alone, on the toy still."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from console.contract import Answer, Complaint, Question, Section, Urgency
from console.logbook import Logbook, beside
from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.card import CardScreen
from console.tui.screens.check import CheckScreen
from console.tui.screens.check_list import ReadingsScreen, WhyScreen
from console.tui.screens.check_paper import PaperScreen
from console.tui.widgets.answers import AnswerList, Asking
from console.tui.widgets.cause_list import CauseList, bar_of, figures_of
from console.tui.widgets.outcome import Outcome
from tests import toy
from tests.inference import heater
from tests.tui.driving import SMALL, WIDE, answered, app_on, keys, notes, seen, type_in, until
from tests.tui.sample import NASTY

TITLE = "The still runs [cold]"
SAID = {
    "flow": "5 L/min",
    "fill_time": "120",
    "water_in": "20 C",
    "water_out": "34 C",
    "look": "2",
    "valve": "1",
}
"""A pipe half shut, told by number, by choice and in the owner's own units."""


def found(_: object) -> Answer:
    return Answer("It runs.", Urgency.WATCH, "still.flow", next="Look.")


def registry(
    readings: tuple[object, ...] = heater.READINGS, causes: tuple[object, ...] = heater.CAUSES
) -> Registry:
    """The toy still with a card, and with a title for what may be complained of."""
    here = toy.module(found=found).__name__
    question = Question(
        "still.card", "Does the still run?", f"{here}:found", ("still.flow",), about="still"
    )
    section = Section("still", "tests.inference.heater:Still", "The still",
                      complaints=(Complaint("still", TITLE, ("still.card",)),))  # fmt: skip
    return toy.registry(
        toy.plugin(
            "still", boat_sections=lambda: [section], boat_estimates=lambda: heater.ESTIMATES,
            boat_readings=lambda: readings, boat_changes=lambda: causes, boat_cautions=lambda: heater.CAUTIONS,
            boat_questions=lambda: [question],
        )
    )  # fmt: skip


@pytest.fixture
def still(tmp_path: Path) -> Path:
    path = tmp_path / "still.toml"
    path.write_text('format = 1\n[site]\ntimezone = "America/New_York"\n', encoding="utf-8")
    return path


def screen(app: ConsoleApp) -> CheckScreen:
    assert isinstance(app.screen, CheckScreen), app.screen
    return app.screen


async def settled(pilot: Pilot[str]) -> ConsoleApp:
    """Wait until what was said is weighed, and what follows stands there."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]

    def done() -> bool:
        check = screen(app).check
        return check is not None and check.fresh() and not check.due(app.system) and not app.doing

    await until(pilot, done)
    await until(pilot, lambda: list(screen(app).query(Asking)) or list(screen(app).query(Outcome)))
    await pilot.pause(0.05)
    return app


async def begun(pilot: Pilot[str]) -> ConsoleApp:
    """The check of the still, opened by keys from the opening screen."""
    app = await answered(pilot)
    await pilot.press("y")
    await until(pilot, lambda: isinstance(app.screen, WhyScreen) and TITLE in seen(app))
    await pilot.press("enter")
    await until(pilot, lambda: isinstance(app.screen, CheckScreen))
    return await settled(pilot)


def asked(app: ConsoleApp) -> str:
    """The reading that is asked for; ``""`` at the end."""
    standing = list(screen(app).query(Asking))
    return standing[0].reading.name if standing else ""


async def ask(pilot: Pilot[str], name: str) -> ConsoleApp:
    """Pick a reading freely from the list, by keys."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    await pilot.press("r")
    await until(pilot, lambda: isinstance(app.screen, ReadingsScreen))
    listing = app.screen.query_one("#readings", OptionList)
    listing.highlighted = next(
        n for n in range(listing.option_count) if listing.get_option_at_index(n).id == name
    )
    await pilot.press("enter")
    await until(pilot, lambda: isinstance(app.screen, CheckScreen) and asked(app) == name)
    await pilot.pause(0.05)
    return app


async def reply(pilot: Pilot[str], name: str) -> None:
    """Answer what is asked, by keys."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    if SAID[name].isdigit() and len(SAID[name]) == 1:
        await pilot.press(SAID[name])
    else:
        await type_in(pilot, SAID[name])
        await pilot.press("enter")
    await settled(pilot)
    assert asked(app) != name


@pytest.mark.parametrize("size", [SMALL, WIDE])
async def test_by_keys_alone_the_check_goes_to_its_end_to_the_job_sheet_and_into_the_log(
    still: Path, size: tuple[int, int]
) -> None:
    async with app_on(still, registry()).run_test(size=size, notifications=True) as pilot:
        app = await begun(pilot)
        for _ in range(12):
            name = asked(app)
            if not name:
                break
            if name == "lately":
                await pilot.press("d")
                await settled(pilot)
            else:
                await reply(pilot, name)
        assert not asked(app)
        words = seen(app)
        assert "The pipe is blocked." in words
        assert "Nothing else you can take" in words or "It cannot tell" in words
        await pilot.press("1")
        await until(pilot, lambda: isinstance(app.screen, PaperScreen) and "Proof that it worked" in
                    str(app.screen.query_one("#cause-sheet").render()))  # fmt: skip
        assert "Power off, valve shut and confirmed" in str(app.screen.query_one("#cause-sheet").render())
        await pilot.press("escape")
        await settled(pilot)
        listing = screen(app).query_one(AnswerList)
        place = next(n for n in range(listing.option_count) if listing.get_option_at_index(n).id == "log")
        await pilot.press(str(place + 1))
        await until(pilot, lambda: "written into the log" in notes(app))
        with Logbook(beside(still)) as book:
            names = {entry.reading for entry in book.entries()}
        assert names
        assert names <= set(SAID)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, WhyScreen))
        assert "so far" in seen(app)
        assert not app.troubles


async def click_on(pilot: Pilot[str], text: str) -> None:
    """Click on the first place of a text on the screen."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    rows = seen(app).splitlines()
    row = next((n for n, line in enumerate(rows) if text in line), None)
    assert row is not None, f"{text} is not on\n{seen(app)}"
    await pilot.click(offset=(rows[row].index(text) + 1, row))


async def test_by_mouse_alone_the_check_goes_to_its_end(still: Path) -> None:
    plain = tuple(r for r in heater.READINGS if r.choices and r.name != "lately")
    async with app_on(still, registry(plain)).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        await click_on(pilot, "Does the still run?")
        await until(pilot, lambda: isinstance(app.screen, CardScreen) and "Find out why" in seen(app))
        await click_on(pilot, "Find out why")
        await until(pilot, lambda: isinstance(app.screen, CheckScreen))
        await settled(pilot)
        assert asked(app) == "look"
        await click_on(pilot, "dirty")
        await settled(pilot)
        for _ in range(3):
            if not asked(app):
                break
            await click_on(pilot, "I cannot reach it")
            await settled(pilot)
        assert not asked(app)
        await click_on(pilot, "Note for the technician")
        await until(pilot, lambda: "What was read" in seen(app))
        await click_on(pilot, "Back")
        await until(pilot, lambda: isinstance(app.screen, CheckScreen))
        assert not app.troubles


async def test_what_cannot_be_reached_is_not_asked_again_and_can_be_taken_back(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        first = asked(app)
        await pilot.press("n")
        await settled(pilot)
        names = [asked(app)]
        for _ in range(3):
            if asked(app) and asked(app) != "lately":
                await reply(pilot, asked(app))
                names.append(asked(app))
        assert first not in names
        assert "cannot reach" in seen(app)
        check = screen(app).check
        assert check is not None
        assert check.wish.cannot == (first,)
        await pilot.press("r")
        await until(pilot, lambda: isinstance(app.screen, ReadingsScreen))
        listing = app.screen.query_one("#readings", OptionList)
        listing.highlighted = next(
            n for n in range(listing.option_count) if listing.get_option_at_index(n).id == first
        )
        await pilot.press("delete")
        assert not check.wish.cannot


async def test_readings_that_contradict_each_other_are_named_with_what_to_check(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        for name, value in (("flow", "3 L/min"), ("fill_time", "15 s")):
            await ask(pilot, name)
            await type_in(pilot, value)
            await pilot.press("enter")
            await settled(pilot)
        words = " ".join(seen(app).replace("│", " ").split())
        assert "This does not add up" in words
        assert "Check the bucket" in words
        check = screen(app).check
        assert check is not None
        once = asked(app)
        assert check.said_of(once)
        await pilot.press("enter")  # the same value again: confirmed, not asked a third time
        await settled(pilot)
        assert asked(app) != once
        assert {each.name for each in check.wish.given} == {"flow", "fill_time"}


async def test_what_cannot_be_read_once_more_stands_as_it_was_read(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        for name, value in (("flow", "3 L/min"), ("fill_time", "15 s")):
            await ask(pilot, name)
            await type_in(pilot, value)
            await pilot.press("enter")
            await settled(pilot)
        once = asked(app)
        await pilot.press("down", "down", "n")  # past the container
        await settled(pilot)
        check = screen(app).check
        assert check is not None
        assert check.said_of(once)
        assert asked(app) != once


async def test_put_off_means_something_else_is_asked_first(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        await pilot.press("s")
        await settled(pilot)
        assert asked(app) != "look"
        check = screen(app).check
        assert check is not None
        assert check.wish.later == ("look",)
        assert not check.wish.cannot


async def test_the_caution_stands_above_how_to_look_and_above_the_answers(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        words = seen(app)
        caution = words.index("Power off, valve shut and confirmed.")
        assert caution < words.index("A torch.") < words.index("dirty")


@pytest.mark.parametrize(("typed", "why"), [("34 hot", "is not a unit"), ("5 kg", "is not a unit")])
async def test_a_wrong_value_gets_one_sentence_without_a_key_and_changes_nothing(
    still: Path, typed: str, why: str
) -> None:
    async with app_on(still, registry()).run_test(size=SMALL) as pilot:
        app = await begun(pilot)
        await ask(pilot, "water_out")
        await type_in(pilot, typed)
        await pilot.press("enter")
        await until(pilot, lambda: why in seen(app))
        assert "water_out" not in seen(app)
        assert asked(app) == "water_out"
        check = screen(app).check
        assert check is not None
        assert not check.wish.given


async def test_a_bare_number_has_the_owners_unit_and_another_container_may_be_told(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=SMALL) as pilot:
        app = await begun(pilot)
        await ask(pilot, "fill_time")
        await keys(pilot, *"60")
        await pilot.press("tab")
        await type_in(pilot, "5 L")
        await until(pilot, lambda: "60 s for 5 L" in seen(app))
        await pilot.press("enter")
        await settled(pilot)
        check = screen(app).check
        assert check is not None
        assert [each.text for each in check.wish.given] == ["60 s for 5 L"]


async def test_a_letter_typed_into_a_value_is_no_key(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=SMALL) as pilot:
        app = await begun(pilot)
        await ask(pilot, "water_out")
        await keys(pilot, *"3nds")
        await pilot.pause(0.1)
        assert asked(app) == "water_out"
        check = screen(app).check
        assert check is not None
        assert not check.wish.cannot
        assert not check.wish.later


async def test_an_enter_too_many_answers_nothing(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=SMALL) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        await pilot.press("enter")
        await pilot.pause(0.1)
        check = screen(app).check
        assert check is not None
        assert not check.wish.given
        assert asked(app) == "look"


async def test_the_bars_tell_how_they_moved_and_an_answer_can_be_taken_back(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        assert "→" not in seen(app)
        before = screen(app).check
        assert before is not None
        assert before.look is not None
        was = before.look.chance_of("blocked_pipe")
        await pilot.press("2")
        await settled(pilot)
        assert before.look.chance_of("blocked_pipe") > was + 0.1
        assert f"{100 * was:.0f} → " in seen(app)
        await pilot.press("ctrl+z")
        await settled(pilot)
        assert before.wish.given == ()
        assert abs(before.look.chance_of("blocked_pipe") - was) < 0.02


async def test_a_check_left_in_the_middle_is_taken_up_where_it_was(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=SMALL) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        await pilot.press("2")
        await settled(pilot)
        there = asked(app)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, WhyScreen))
        assert "1 reading so far" in seen(app)
        await pilot.press("1")
        await until(pilot, lambda: isinstance(app.screen, CheckScreen))
        await settled(pilot)
        assert asked(app) == there
        assert "1 reading" in seen(app)


async def test_units_switch_in_the_middle_without_losing_an_answer(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        await pilot.press("2")
        await settled(pilot)
        await pilot.press("u")
        await settled(pilot)
        check = screen(app).check
        assert check is not None
        assert check.look is not None
        assert check.look.system == app.system
        assert len(check.wish.given) == 1


async def test_the_weighing_can_be_stopped_and_gone_on_with(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        check = screen(app).check
        assert check is not None
        await ask(pilot, "look")
        await pilot.press("2")
        screen(app).action_hold()
        await until(pilot, lambda: not app.runner.busy)
        assert check.held
        assert not app.doing
        screen(app).action_hold()
        await settled(pilot)
        assert check.look is not None
        assert check.look.settled


async def test_text_of_a_plugin_stays_text(still: Path) -> None:
    readings = tuple(
        replace(r, title=f"{r.title} {NASTY}", how=f"{r.how} {NASTY}") for r in heater.READINGS
    )
    causes = tuple(
        replace(c, title=f"{c.title} {NASTY}", remedy=f"{c.remedy} {NASTY}") for c in heater.CAUSES
    )
    async with app_on(still, registry(readings, causes)).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "look")
        assert "The pipe's look x [kW] [/ ?[31m?" in seen(app)
        await pilot.press("2")
        await settled(pilot)
        await pilot.press("v")
        await until(pilot, lambda: list(screen(app).query(Outcome)))
        await pilot.press("2")
        await until(pilot, lambda: isinstance(app.screen, PaperScreen) and "How" in seen(app))
        assert "[kW]" in seen(app)
        assert not app.troubles


async def test_several_things_may_have_happened(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        await ask(pilot, "lately")
        await pilot.press("2", "3")
        assert seen(app).count("[x]") == 2
        await pilot.press("4")
        await settled(pilot)
        check = screen(app).check
        assert check is not None
        assert [each.value for each in check.wish.given] == ["storm", "service"]


async def test_enter_on_a_bar_tells_of_the_cause(still: Path) -> None:
    async with app_on(still, registry()).run_test(size=WIDE) as pilot:
        app = await begun(pilot)
        screen(app).query_one(CauseList).focus()
        await pilot.press("home", "enter")
        await until(pilot, lambda: isinstance(app.screen, PaperScreen))
        await until(pilot, lambda: "The job sheet" in seen(app))


@pytest.mark.parametrize(("now", "was", "shape"), [
    (0.5, None, "#####....."), (0.5, 0.2, "##+++....."), (0.2, 0.5, "##---....."), (0.0, 0.0, ".........."),
])  # fmt: skip
def test_a_bar_tells_by_its_shape_what_came_and_what_went(
    now: float, was: float | None, shape: str
) -> None:
    assert bar_of(now, was, 10, ascii_only=True).plain == shape


def test_figures_say_old_and_new_without_an_arrow_where_there_is_none() -> None:
    assert figures_of(0.61, 0.22, ascii_only=True) == "22 -> 61 %"
    assert figures_of(0.61, 0.612) == "61 %"
