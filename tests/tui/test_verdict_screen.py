"""The verdict's card: the last repair judged, or what to log before one."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from console.logbook import Logbook, beside
from console.tui.app import ConsoleApp
from console.tui.screens.verdict import VerdictScreen
from console.tui.widgets.picture import PictureView
from tests.inference.still import HALF_LEFT, log_of, still_boat
from tests.tui.driving import answered, app_on, seen, until

SIZES = ((80, 24), (120, 40))
TALL = (80, 120)


@pytest.fixture
def still_file(tmp_path: Path) -> Path:
    path = tmp_path / "still.toml"
    path.write_text('[still]\nleak = "10 g/day ± 50 %"  # guessed\n', encoding="utf-8")
    return path


def write_log(path: Path) -> None:
    """The toy's log, with a repair on it that halved the leak."""
    with Logbook(beside(path)) as book:
        book.add(log_of(HALF_LEFT, 8).entries)


async def opened(pilot: Pilot[str]) -> ConsoleApp:
    app = await answered(pilot)
    await pilot.press("v")
    await until(pilot, lambda: isinstance(app.screen, VerdictScreen))
    await until(pilot, lambda: app.screen._made is not None, 60)  # type: ignore[attr-defined]
    await pilot.pause(0.1)
    return app


@pytest.mark.parametrize("size", SIZES)
async def test_v_judges_the_last_repair_verdict_first(still_file: Path, size: tuple[int, int]) -> None:
    write_log(still_file)
    async with app_on(still_file, still_boat().registry).run_test(size=size) as pilot:
        text = seen(await opened(pilot))
        assert "HELPED" in text.splitlines()[1]
        assert "% less (nine times in ten" in text
        assert "Next:" in text


async def test_what_it_is_made_of_and_the_pictures_follow(still_file: Path) -> None:
    write_log(still_file)
    async with app_on(still_file, still_boat().registry).run_test(size=TALL) as pilot:
        app = await opened(pilot)
        assert len(list(app.screen.query(PictureView))) >= 3
        text = seen(app)
        assert "the repair" in text
        assert text.index("HELPED") < text.index("Why") < text.index("made of")


async def test_without_a_repair_it_says_what_to_log_before_one(still_file: Path) -> None:
    async with app_on(still_file, still_boat().registry).run_test(size=TALL) as pilot:
        text = seen(await opened(pilot))
        assert "No repair is written down yet" in text
        assert "Caught in a day" in text


async def test_escape_goes_back_and_nothing_is_weighed_on(still_file: Path) -> None:
    write_log(still_file)
    async with app_on(still_file, still_boat().registry).run_test(size=SIZES[0]) as pilot:
        app = await answered(pilot)
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, VerdictScreen))
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, VerdictScreen))
        await until(pilot, lambda: not app.doing)


async def test_stop_gives_up_and_r_weighs_after_all(still_file: Path) -> None:
    write_log(still_file)
    async with app_on(still_file, still_boat().registry).run_test(size=SIZES[0]) as pilot:
        app = await answered(pilot)
        await pilot.press("v")
        await until(pilot, lambda: app.doing.startswith("weighing") or app.screen._made)  # type: ignore[attr-defined]
        await pilot.press("s", "r")
        await until(pilot, lambda: getattr(app.screen, "_made", None) is not None, 60)
