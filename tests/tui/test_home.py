"""The opening screen: the boat's questions, each answered, worst news first."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from console.contract import Urgency
from console.registry import Registry
from console.tui import tasks
from console.tui.screens.card import CardScreen
from console.tui.screens.home import HomeScreen
from console.tui.widgets.card import CardView
from tests.tui.driving import SMALL, WIDE, answered, app_on, keys, seen, until


async def test_the_questions_stand_there_before_any_number(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = threading.Event()
    monkeypatch.setattr(tasks, "open_boat", lambda *_: lambda _ticket: held.wait(10))
    app = app_on(boat_file, sample)
    async with app.run_test(size=WIDE) as pilot:
        await pilot.pause()
        for _, question in sample.questions[:1]:
            assert question.title in seen(app)
        assert seen(app).count("working out the numbers") == len(sample.questions)
        held.set()


async def test_worst_news_comes_first(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        order = [view.question.key for view in app.screen.query(CardView)]
        urgencies = [int(app.card(key).answer.urgency) for key in order]  # type: ignore[union-attr]
        assert urgencies == sorted(urgencies)
        assert order[0] == "sample.act"
        assert len(order) == len(sample.questions)


async def test_the_worst_card_has_the_focus_until_somebody_moves(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        assert isinstance(app.focused, CardView)
        assert app.focused.question.key == "sample.act"


async def test_a_card_says_verdict_number_range_unit_sureness_and_next_step(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        card = app.card("sample.act")
        assert card is not None
        assert card.figure is not None
        text = seen(app)
        from console.quantities import say_range

        figure = card.figure
        assert say_range(figure.value, figure.low, figure.high, "flow", "us") in text  # type: ignore[arg-type]
        assert "Water comes in at" in text
        assert "sure: nine times in ten" in text
        assert "Next: Tighten the stern gland a quarter turn" in text
        assert "■ ACT NOW" in text


async def test_a_plugin_that_fails_is_said_on_its_card_in_one_sentence(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        text = seen(app)
        assert "✕ NOT WORKING  Is this plugin well?" in text
        assert "ZeroDivisionError: nothing left" in text
        assert "The bilge is cool." in text  # the others stand


async def test_what_is_not_aboard_says_which_line_adds_it(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        assert "○ NOT ABOARD  How is the second pump?" in seen(app)
        text = seen(app)
        assert "To add it: b adds an average one" in text
        assert "[sample.second]" in text


async def test_the_summary_counts_the_news(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        said = " ".join(" ".join(seen(app).splitlines()[1:3]).split())
        assert said == (
            "1 needs you now · 1 to watch · 1 not working · 1 not known · 1 is fine · 1 not aboard"
        )


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (160, 50)])
async def test_every_card_can_be_reached_and_read_with_the_arrow_keys(
    boat_file: Path, sample: Registry, size: tuple[int, int]
) -> None:
    async with app_on(boat_file, sample).run_test(size=size) as pilot:
        app = await answered(pilot)
        met = set()
        for _ in range(len(sample.questions)):
            assert isinstance(app.focused, CardView)
            met.add(app.focused.question.key)
            scroll = app.screen.query_one("#home-scroll")
            await until(pilot, lambda: scroll.region.contains_region(app.focused.region))  # noqa: B023
            await pilot.press("right")
            if app.focused.question.key in met:
                await pilot.press("down", "left")
            await pilot.pause()
        assert met == {question.key for _, question in sample.questions}


async def test_wide_screens_have_two_columns_and_narrow_ones_one(boat_file: Path, sample: Registry) -> None:
    for size, columns in ((SMALL, 1), (WIDE, 2)):
        async with app_on(boat_file, sample).run_test(size=size) as pilot:
            app = await answered(pilot)
            assert len({view.region.x for view in app.screen.query(CardView)}) == columns


async def test_no_card_is_wider_than_the_screen_or_loses_a_line(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        for view in app.screen.query(CardView):
            assert view.virtual_region.width <= 80
            wanted = view.visual.get_height(view.styles, view.content_size.width)  # type: ignore[attr-defined]
            assert view.content_size.height >= wanted


async def test_enter_and_a_click_open_a_card(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, CardScreen)
        assert app.screen.key == "sample.act"
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, HomeScreen)
        await pilot.click(app.screen.query(CardView)[1])
        await pilot.pause()
        assert isinstance(app.screen, CardScreen)
        assert app.screen.key == "sample.watch"


async def test_the_line_of_keys_can_be_clicked(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        last = seen(app).splitlines()[-1]
        assert "? Help" in last
        await pilot.click(offset=(last.index("u Units") + 3, 23))
        await until(pilot, lambda: app.system == "si")


async def test_the_line_of_keys_never_loses_help(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=(40, 24)) as pilot:
        app = await answered(pilot)
        last = seen(app).splitlines()[-1]
        assert "? Help" in last
        assert len(last) <= 40


async def test_keys_that_come_in_a_bunch_open_the_card_they_were_meant_for(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        await keys(pilot, "down", "down", "up", "enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        assert app.screen.key == "sample.watch"  # type: ignore[attr-defined]


async def test_one_key_switches_the_units_of_every_number(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        assert "gal/min" in seen(app)
        assert "°F" in seen(app)
        await pilot.press("u")
        await until(pilot, lambda: "°C" in seen(app))
        text = seen(app)
        assert "gal/min" not in text
        assert "°F" not in text
        assert "L/min" in text
        assert "SI units" in text


async def test_one_key_goes_round_the_three_themes(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        names = []
        for _ in range(3):
            await pilot.press("t")
            await pilot.pause()
            names.append(app.theme)
        assert names == ["light", "night", "dark"]


async def test_state_is_told_by_words_and_shapes_besides_colour(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=WIDE) as pilot:
        app = await answered(pilot)
        text = seen(app)
        for words in ("■ ACT NOW", "▲ WATCH", "? NOT KNOWN", "● FINE", "○ NOT ABOARD"):
            assert words in text
        assert len(Urgency) == 5


async def test_no_color_is_respected(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await answered(pilot)
        assert app.no_color
        from textual.filter import Monochrome

        assert any(isinstance(each, Monochrome) for each in app._filters)


async def test_a_file_that_cannot_be_read_says_so_and_what_to_do(tmp_path: Path, sample: Registry) -> None:
    path = tmp_path / "broken.toml"
    path.write_text("[boat]\nlength = 'x [kW] [/'\n")
    async with app_on(path, sample).run_test(size=SMALL) as pilot:
        app = pilot.app
        await until(pilot, lambda: app.unreadable)  # type: ignore[attr-defined]
        text = seen(app)  # type: ignore[arg-type]
        assert "This boat file cannot be read" in text
        assert "line 2" in text
        assert "x [kW] [/" in text
        path.write_text('[boat]\nlength = "30 ft"\n')
        await pilot.press("r")
        app = await answered(pilot)
        assert "This boat file cannot be read" not in seen(app)


async def test_a_warning_names_the_input_in_words(boat_file: Path, sample: Registry) -> None:
    boat_file.write_text(boat_file.read_text().replace('"6 in ± 1 in"', '"55 in"'))
    async with app_on(boat_file, sample).run_test(size=(100, 60)) as pilot:
        app = await answered(pilot)
        assert 'Worth a look: Depth: "55 in" is unusual' in seen(app)


async def test_a_plugin_that_did_not_load_is_named(boat_file: Path) -> None:
    from importlib.metadata import EntryPoint

    from console.contract import ENTRY_POINT_GROUP
    from console.registry import discover

    registry = discover(
        {},
        [
            EntryPoint("sample", "tests.tui.sample", ENTRY_POINT_GROUP),
            EntryPoint("lost", "tests.tui.nowhere", ENTRY_POINT_GROUP),
        ],
    )
    async with app_on(boat_file, registry).run_test(size=(100, 60)) as pilot:
        app = await answered(pilot)
        assert "✕ Not working: Lost:" in seen(app)
        assert "The bilge is cool." in seen(app)
