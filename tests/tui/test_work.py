"""The work list and the job sheet, by keys alone and by mouse alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.home import HomeScreen
from console.tui.screens.log import LogScreen
from console.tui.screens.work import WorkScreen
from console.tui.screens.work_job import JobScreen
from tests.tui.driving import SMALL, WIDE, answered, app_on, click_on, notes, seen, type_in, until

SHOWN = "x [kW] [/ ?[31m?"


async def listed(pilot: Pilot[str]) -> ConsoleApp:
    """Open the work list by its key and wait for the jobs."""
    app = await answered(pilot)
    await pilot.press("w")
    await until(pilot, lambda: isinstance(app.screen, WorkScreen) and "Now, afloat" in seen(app))
    return app


async def test_every_job_that_helps_is_listed_under_whose_hands_do_it(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        text = seen(app)
        assert text.index("Now, afloat") < text.index("Tighten the gland")
        assert text.index("By licensed hands") < text.index("Bail it out")
        assert "Open it wider" not in text  # it makes it worse
        assert "→" in text


async def test_by_keys_a_job_is_opened_and_tried_on_the_boat(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await listed(pilot)
        assert app.desk is not None
        before = app.desk.boat.inputs["sample.leak"].value
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, JobScreen) and "Try it on" in seen(app))
        await pilot.press("enter")
        await until(pilot, lambda: app.desk.unsaved)  # type: ignore[union-attr]
        assert isinstance(app.screen, WorkScreen)
        assert app.desk.boat.inputs["sample.leak"].value == pytest.approx(before / 2)
        assert "On the boat now" in notes(app)
        await answered(pilot)
        await pilot.press("ctrl+z")
        assert not app.desk.unsaved


async def test_by_mouse_a_job_is_opened_and_tried_on_the_boat(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        await click_on(pilot, "w Work list")
        await click_on(pilot, "Tighten the gland")
        assert isinstance(app.screen, JobScreen)
        await click_on(pilot, "Try it on the boat")
        await until(pilot, lambda: app.desk is not None and app.desk.unsaved)


async def test_the_sheet_says_what_it_gives_with_its_range_and_for_which_question(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=(100, 50)) as pilot:
        app = await listed(pilot)
        await pilot.press("enter")
        await until(pilot, lambda: "What it gives on this boat" in seen(app))
        text = seen(app)
        assert f"Tighten the gland {SHOWN}" in text
        assert "Is water coming in?" in text
        assert "about 20 min" in text
        assert "(-" in text  # a range


async def test_a_cost_typed_by_keys_ranks_the_list_by_money(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        await pilot.press("m")
        await until(pilot, lambda: "No cost is noted yet" in seen(app))
        await pilot.press("c")
        await until(pilot, lambda: "What does it cost" in seen(app))
        await type_in(pilot, "forty")
        await pilot.press("enter")
        await until(pilot, lambda: "accepted is" in seen(app))
        await type_in(pilot, "40")
        await pilot.press("enter")
        await until(pilot, lambda: "cost 40" in seen(app))
        assert "No cost is noted yet" not in seen(app)
        assert app.desk is not None
        assert 'cost = "40"' in app.desk.boat.text


async def test_a_note_weighs_nothing_anew(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        assert app.desk is not None
        weighed = app.desk.now.weighed
        assert app.desk.note_job("sample.tighten", "Tighten", "cost", "40")
        assert app.desk.now.weighed is weighed


async def test_by_mouse_a_day_is_noted_and_then_listed_as_due(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        await click_on(pilot, "d Due day")
        await type_in(pilot, "2031-05-01")
        await click_on(pilot, "Note it in the boat file")
        await until(pilot, lambda: "1 May 2031" in seen(app))
        assert seen(app).index("Due") < seen(app).index("Now, afloat")


async def test_a_job_of_the_owners_own_is_noted_and_opened_again(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        await pilot.press("a")
        await type_in(pilot, "Grease [the] seacocks")
        await pilot.press("tab")
        await type_in(pilot, "2020-05-01")
        await pilot.press("enter")
        await until(pilot, lambda: "overdue since 1 May 2020" in seen(app))
        assert "Grease [the] seacocks" in seen(app)
        await click_on(pilot, "Grease [the]")
        await until(pilot, lambda: "By which day" in seen(app))
        await pilot.press("escape")


async def test_an_own_job_without_a_name_or_a_day_is_refused(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await listed(pilot)
        await pilot.press("a", "enter")
        await until(pilot, lambda: "Say what is to be done" in seen(app))
        await pilot.press("escape")
        assert app.desk is not None
        assert not app.desk.unsaved


async def test_leaving_the_list_stops_the_weighing(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        app.show_work()
        await pilot.pause()
        app.doing = "weighing every job, 10 %"
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, HomeScreen)
        assert app.doing == ""


async def test_on_a_wide_screen_the_sheet_stands_beside_the_list(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await listed(pilot)
        await until(pilot, lambda: "What it gives on this boat" in seen(app))


async def test_the_demo_boat_lists_cautions_before_steps_and_due_opens_the_log() -> None:
    async with app_on(None, None).run_test(size=(100, 70)) as pilot:
        app = await listed(pilot)
        await click_on(pilot, "Straighten every kinked hose")
        await until(pilot, lambda: "Have at hand" in seen(app))
        text = seen(app)
        assert text.index("Mind this before the first step") < text.index("How")
        assert "3/4 in bore" in text
        assert "Proof that it worked" in text
        await pilot.press("escape")
        await click_on(pilot, "Clean the strainer  in")
        await until(pilot, lambda: isinstance(app.screen, LogScreen))
        assert not app.troubles
