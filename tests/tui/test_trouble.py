"""When something goes wrong: one sentence, the edits kept, the console goes on."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.containers import VerticalScroll

from console.registry import Registry
from console.tui import tasks
from console.tui.app import ConsoleApp
from console.tui.screens.boat import BoatScreen
from console.tui.screens.card import CardScreen
from console.tui.screens.home import HomeScreen
from console.tui.widgets.card import CardView
from tests.tui.driving import SMALL, answered, app_on, notes, seen, until


@pytest.fixture(autouse=True)
def _not_strict(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BOAT_CONSOLE_STRICT", raising=False)


async def test_an_error_in_a_handler_is_one_sentence_and_the_edits_stay(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("x [kW] [/")

    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        app.edit("sample.depth", "9 in")
        monkeypatch.setattr(HomeScreen, "action_step", fails)
        await pilot.press("down")
        await until(pilot, lambda: "your edits are kept" in notes(app))
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.depth"].text == "9 in"
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))


async def test_a_dead_library_widget_brings_a_fresh_opening_screen(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        app.edit("sample.depth", "9 in")
        app.show_boat()
        await until(pilot, lambda: isinstance(app.screen, BoatScreen))
        part = app.screen.query_one(VerticalScroll)

        lives = part._dispatch_message

        async def dies(*_: object) -> None:
            part._dispatch_message = lives  # type: ignore[method-assign]
            raise RuntimeError("dead")

        monkeypatch.setattr(part, "_dispatch_message", dies)
        part.refresh(layout=True)
        await until(pilot, lambda: isinstance(app.screen, HomeScreen))
        await until(pilot, lambda: "ACT NOW" in seen(app))
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.depth"].text == "9 in"
        await pilot.press("b")
        await until(pilot, lambda: isinstance(app.screen, BoatScreen))


async def test_the_console_that_must_end_writes_the_edits_beside_the_boat(
    boat_file: Path, sample: Registry
) -> None:
    app = app_on(boat_file, sample)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await answered(pilot)
        app.edit("sample.depth", "9 in")
        for _ in range(40):
            app.trouble(RuntimeError("again"))
        await until(pilot, lambda: app._exit)
    kept = boat_file.with_suffix(".unsaved.toml")
    assert 'depth = "9 in"' in kept.read_text()
    assert str(kept) in (app.return_value or "")


async def test_a_run_that_hangs_does_not_hold_the_console(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate = threading.Event()
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        app.runner.limit = app.runner.patience = 0.2
        with monkeypatch.context() as patch:
            patch.setattr(tasks, "answer", lambda *_: lambda _ticket: gate.wait(30) and None)
            app.edit("sample.leak", "1 gpm")
            await until(pilot, lambda: "were given up" in notes(app))
        app.edit("sample.leak", "2 gpm")
        await until(pilot, lambda: app.desk and app.desk.now.fine)
        gate.set()


async def test_a_run_that_fails_says_so_and_the_old_answers_stand(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_ticket: object) -> None:
        raise MemoryError("x [kW] [/")

    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        monkeypatch.setattr(tasks, "answer", lambda *_: fails)
        app.edit("sample.leak", "1 gpm")
        await until(pilot, lambda: "could not be worked out" in notes(app))
        assert "0.44 gal/min" in seen(app)
        assert len(app.screen.query(CardView)) == len(sample.questions)


async def test_stale_answers_are_dropped_by_their_number(boat_file: Path, sample: Registry) -> None:
    from console.engine import estimate
    from console.tui.messages import Answered

    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        assert app.desk is not None
        old = app.desk.now.quick
        wrong = estimate(app.desk.boat, 0, "us")
        app.post_message(Answered(app.runner.newest - 1, wrong, last=True))
        await pilot.pause()
        assert app.desk.now.quick is old


async def test_the_first_building_of_tables_shows_how_far_it_is(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    from console import prepare

    gate = threading.Event()
    waiting = ["air"]

    def build(_boat: object, progress: Callable[[str, float], None]) -> None:
        progress("air", 0.4)
        gate.wait(10)
        waiting.clear()

    monkeypatch.setattr(prepare, "missing", lambda _boat: waiting)
    monkeypatch.setattr(prepare, "prepare", build)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = pilot.app
        await until(pilot, lambda: "First start: air, 40 %" in seen(app))  # type: ignore[arg-type]
        assert "Is water coming in?" in seen(app)  # type: ignore[arg-type]
        gate.set()
        await answered(pilot)


async def test_a_building_nobody_waits_for_is_given_up(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    from console import prepare

    ended: list[BaseException] = []
    builds: list[int] = []

    def build(_boat: object, progress: Callable[[str, float], None]) -> None:
        builds.append(1)
        if len(builds) > 1:
            return
        try:
            for _ in range(2000):
                progress("air", 0.4)
                time.sleep(0.005)
        except BaseException as error:
            ended.append(error)
            raise

    monkeypatch.setattr(prepare, "missing", lambda _boat: ["air"])
    monkeypatch.setattr(prepare, "prepare", build)
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app: ConsoleApp = pilot.app  # type: ignore[assignment]
        await until(pilot, lambda: app.desk and builds)
        app.edit("sample.depth", "9 in")
        await answered(pilot)
        assert ended
        assert app.desk is not None
        assert app.desk.boat.inputs["sample.depth"].text == "9 in"


async def test_edits_are_kept_when_the_terminal_goes_away(boat_file: Path, sample: Registry) -> None:
    app = app_on(boat_file, sample)
    async with app.run_test(size=SMALL) as pilot:
        await answered(pilot)
        app.edit("sample.depth", "9 in")
        os.kill(os.getpid(), signal.SIGHUP)
        await until(pilot, lambda: app._exit)
    assert 'depth = "9 in"' in boat_file.with_suffix(".unsaved.toml").read_text()


async def test_edits_kept_earlier_are_pointed_out(boat_file: Path, sample: Registry) -> None:
    boat_file.with_suffix(".unsaved.toml").write_text("")
    async with app_on(boat_file, sample).run_test(size=SMALL, notifications=True) as pilot:
        app = await answered(pilot)
        assert "Edits of an earlier time are in marsh.unsaved.toml" in notes(app)


async def test_edits_kept_earlier_are_not_written_over(boat_file: Path, sample: Registry) -> None:
    earlier = boat_file.with_suffix(".unsaved.toml")
    earlier.write_text("# earlier")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        app.edit("sample.depth", "9 in")
        kept = app.keep_edits()
    assert earlier.read_text() == "# earlier"
    assert kept == boat_file.with_suffix(".2.unsaved.toml")
    assert 'depth = "9 in"' in kept.read_text()
