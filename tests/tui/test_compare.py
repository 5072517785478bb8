"""Two versions of the boat side by side, by keys alone and by mouse alone."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot

from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.compare import CompareScreen
from console.tui.screens.compare_file import OtherBoatScreen, boat_files
from console.tui.screens.home import HomeScreen
from tests.tui.driving import SMALL, WIDE, answered, app_on, click_on, seen, type_in, until

SHOWN = "x [kW] [/ ?[31m?"
MOVED = "Answers that moved"


async def edited(pilot: Pilot[str], text: str = "12 in") -> ConsoleApp:
    """The boat with one edit, answered."""
    app = await answered(pilot)
    app.edit("sample.depth", text)
    return await answered(pilot)


async def test_by_keys_the_boat_is_compared_with_the_file_as_saved(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=(80, 60)) as pilot:
        app = await edited(pilot)
        await pilot.press("c")
        await until(pilot, lambda: MOVED in seen(app))
        text = seen(app)
        assert "the file as saved, marsh.toml" in text
        assert "depth: 6.0 in ± 1.0 in → 12 in" in text
        assert text.index(MOVED) < text.index("Is water coming in?") < text.index("The same in both")
        assert text.index("The same in both") < text.index("Is the bilge cool?")
        assert "change  +" in text


async def test_the_change_is_that_of_common_draws(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await edited(pilot)
        app.show_compare()
        await until(pilot, lambda: app.desk is not None and app.desk.now.versions)
        assert app.desk is not None
        made = app.desk.now.versions
        assert made is not None
        pair = next(pair for pair in made.pairs if pair.now.question.key == "sample.act")
        assert pair.change is not None
        assert pair.now.figure is not None
        assert pair.change.after == pair.now.figure.value
        assert pair.now.figure.low is not None
        assert pair.now.figure.high is not None
        # The same leak in both: the change is surer than either number.
        assert pair.change.low > 0


async def test_before_the_last_edit_is_another_comparison(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=(80, 60)) as pilot:
        app = await edited(pilot)
        app.edit("sample.leak", "1 gpm")
        await answered(pilot)
        await pilot.press("c")
        await until(pilot, lambda: MOVED in seen(app) and "depth:" in seen(app))
        await pilot.press("e")
        await until(pilot, lambda: "herself before the last edit" in seen(app) and "leak:" in seen(app))
        assert "depth:" not in seen(app)


async def test_by_mouse_another_boat_file_is_chosen(boat_file: Path, sample: Registry) -> None:
    other = boat_file.with_name("other.toml")
    other.write_text(boat_file.read_text().replace("6 in ± 1 in", "20 in"))
    async with app_on(boat_file, sample).run_test(size=(100, 60)) as pilot:
        app = await answered(pilot)
        app.show_compare()
        await until(pilot, lambda: "Nothing is stated otherwise" in seen(app))
        await click_on(pilot, "o Another boat")
        assert isinstance(app.screen, OtherBoatScreen)
        await click_on(pilot, "other.toml")
        await until(pilot, lambda: isinstance(app.screen, CompareScreen) and MOVED in seen(app))
        assert f"{SHOWN}, other.toml" in seen(app)
        assert "depth: 20 in → 6.0 in ± 1.0 in" in seen(app)


async def test_a_file_that_is_no_boat_is_refused_in_one_sentence(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        app.show_compare()
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, OtherBoatScreen))
        await type_in(pilot, "/no/such/boat.toml")
        await pilot.press("enter")
        await until(
            pilot,
            lambda: (
                "There is no such file" in " ".join(seen(app).split())
                or "here is no such file" in seen(app)
            ),
        )
        await pilot.press("escape")
        assert isinstance(app.screen, CompareScreen)


def test_only_boat_files_are_offered_and_not_the_one_on_the_desk(boat_file: Path) -> None:
    boat_file.with_name("pyproject.toml").write_text("[project]\n")
    boat_file.with_name("b.toml").write_text("format = 1\n")
    assert [path.name for path in boat_files(boat_file.parent, boat_file)] == ["b.toml"]


async def test_an_edit_that_is_taken_back_is_compared_anew(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await edited(pilot)
        app.show_compare()
        await until(pilot, lambda: MOVED in seen(app))
        await pilot.press("ctrl+z")
        await until(pilot, lambda: "Nothing is stated otherwise" in seen(app))
        await pilot.press("e")
        await until(pilot, lambda: "There is no edit to compare with" in seen(app))
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, HomeScreen)
        assert not app.troubles


async def test_units_are_those_of_the_screen(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=(80, 60)) as pilot:
        app = await edited(pilot)
        app.show_compare()
        await until(pilot, lambda: MOVED in seen(app) and "gal/min" in seen(app))
        await pilot.press("u")
        await until(pilot, lambda: MOVED in seen(app) and "L/min" in seen(app))
        assert "gal/min" not in seen(app)
