"""One question, opened."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from console.contract import Picture
from console.registry import Registry
from console.tui.app import ConsoleApp
from console.tui.screens.boat import BoatScreen
from console.tui.screens.card import CardScreen
from console.tui.widgets.field_list import FieldList
from console.tui.widgets.helps import HelpRow
from console.tui.widgets.picture import PictureView
from console.tui.widgets.rows import DriverRow, bar, percent
from tests.tui.driving import SMALL, WIDE, answered, app_on, seen, until

TALL = (80, 90)


async def opened(pilot: Pilot[str], key: str = "sample.act") -> ConsoleApp:
    app = await answered(pilot)
    app.show_card(key)
    await pilot.pause()
    await until(
        pilot, lambda: "NOT KNOWN" in seen(app) or "Mind this first" in seen(app) or app.query(PictureView)
    )
    await pilot.pause(0.05)
    return app


async def test_cautions_stand_before_the_next_step_worst_first(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        text = seen(await opened(pilot))
        seacock, mains = text.index("Seacock shut before"), text.index("Breaker off and plug out")
        assert text.index("Mind this first") < seacock < mains < text.index("Next:")
        assert "(ABYC" in text
        assert "Local codes and licensed practice" in text


async def test_only_the_cautions_that_apply_are_shown(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        assert "of no concern" not in seen(await opened(pilot))


async def test_the_order_is_verdict_number_caution_step_reason_picture_driver_origin(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        text = seen(await opened(pilot))
        marks = ["Water comes in at", "gal/min (", "Mind this first", "Next:", "Why", "The leak at the stern gland",
                 "Water in over the day", "What would sharpen this", "What it rests on"]  # fmt: skip
        places = [text.index(mark) for mark in marks]
        assert places == sorted(places)


async def test_reasons_have_bars_as_long_as_their_shares(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        rows = seen(await opened(pilot)).splitlines()
        gland = next(row for row in rows if "The leak at the stern gland" in row)
        rain = next(row for row in rows if "Rain" in row)
        assert "70 %" in gland
        assert "30 %" in rain
        assert abs(gland.count("█") - 0.7 * 12) <= 1
        assert abs(rain.count("█") - 0.3 * 12) <= 1


@pytest.mark.parametrize("share", [0.0, 0.001, 0.25, 0.5, 1.0, 1.7, -1.0])
def test_a_bar_never_overflows_its_room(share: float) -> None:
    assert len(bar(share, 12)) == 12
    assert len(bar(share, 12, ascii_only=True)) == 12
    assert bar(share, 12, ascii_only=True).isascii()


def test_a_small_share_is_not_nothing() -> None:
    assert percent(0.001) == "<1 %"
    assert percent(0.0) == "0 %"


@pytest.mark.parametrize("size", [TALL, (160, 60)])
async def test_each_picture_is_drawn_once_whatever_the_width(
    boat_file: Path, sample: Registry, size: tuple[int, int]
) -> None:
    async with app_on(boat_file, sample).run_test(size=size) as pilot:
        app = await opened(pilot)
        text = seen(app)
        assert text.count("Water in over the day [kW]") == 1
        assert text.count("Where it comes from") == 1
        shown: list[Picture] = [view.picture for view in app.screen.query(PictureView)]
        card = app.card("sample.act")
        assert card is not None
        assert shown == list(card.answer.pictures)


async def test_pictures_move_beside_the_text_when_the_screen_grows(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.resize_terminal(*WIDE)
        await until(pilot, lambda: all(view.region.x > 40 for view in app.screen.query(PictureView)))
        assert len(app.screen.query(PictureView)) == 2
        await pilot.resize_terminal(*SMALL)
        await until(pilot, lambda: all(view.region.x < 4 for view in app.screen.query(PictureView)))
        assert len(app.screen.query(PictureView)) == 2


async def test_a_driver_says_value_origin_help_and_which_way(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        text = seen(await opened(pilot))
        tail = text[text.index("What would sharpen this") :]
        assert "leak  0.50 gal/min ± 60 %" in tail
        assert "assumed; more of it raises the number" in " ".join(tail.split())
        assert "Time how long a bucket takes to fill" in tail


async def test_enter_on_a_driver_goes_to_that_input(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await helped(pilot)
        app.screen.query(DriverRow).first().focus()
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, BoatScreen)
        assert isinstance(app.focused, FieldList)
        assert app.focused.marked == "sample.leak"


async def test_what_is_the_owners_and_what_is_assumed_is_told_apart(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        text = seen(await opened(pilot))
        tail = text[text.index("What it rests on") :]
        assert "depth  6.0 in ± 1.0 in  given" in tail
        assert "more are assumed" in tail


async def test_a_number_is_never_without_unit_and_range_once_worked_out(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await answered(pilot)
        for key in ("sample.act", "sample.watch", "sample.fine"):
            app.show_card(key)
            await pilot.pause(0.05)
            number = seen(app).splitlines()[3]
            assert "(" in number
            assert " to " in number


async def test_keys_go_to_the_next_card_and_the_one_before(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        assert isinstance(app.screen, CardScreen)
        await pilot.press("n")
        assert app.screen.key == "sample.watch"
        await pilot.press("p", "p")
        assert app.outcome is not None
        assert app.screen.key == app.outcome.cards[-1].question.key


async def test_a_long_card_scrolls_with_the_arrows_to_its_end(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=SMALL) as pilot:
        app = await opened(pilot)
        await pilot.press("end")
        await until(pilot, lambda: "more are assumed" in seen(app))


async def test_an_open_card_follows_an_edit(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await opened(pilot)
        assert "0.44 gal/min" in seen(app)
        app.edit("sample.leak", "2 gpm ± 10 %")
        await until(pilot, lambda: "1.7 gal/min" in seen(app) or "1.8 gal/min" in seen(app))


# --- what would help ------------------------------------------------------------------------


async def helped(pilot: Pilot[str]) -> ConsoleApp:
    app = await opened(pilot)
    await until(pilot, lambda: app.screen.query(HelpRow))
    await pilot.pause(0.05)
    return app


async def test_what_would_help_is_ranked_with_the_best_two_together_first(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await helped(pilot)
        keys = [row.gain.keys for row in app.screen.query(HelpRow)]
        assert keys == [("sample.tighten", "sample.bail"), ("sample.tighten",), ("sample.bail",)]
        text = seen(app)
        assert "What would help" in text
        assert "licensed hands" in text
        assert "→" in text


async def test_enter_on_a_change_puts_it_on_the_boat_and_undo_takes_it_back(
    boat_file: Path, sample: Registry
) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await helped(pilot)
        before = app.desk.boat.inputs["sample.leak"].measure.value
        rows = list(app.screen.query(HelpRow))
        rows[1].focus()
        await pilot.press("enter")
        await until(pilot, lambda: app.desk.now.fine is not None and app.desk.unsaved)
        now = app.desk.boat.inputs["sample.leak"].measure
        assert now.value == pytest.approx(0.5 * before, rel=1e-5)
        assert now.half == pytest.approx(0.6)
        await pilot.press("ctrl+z")
        await until(pilot, lambda: not app.desk.unsaved)


async def test_a_click_on_a_change_puts_it_on_the_boat(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await helped(pilot)
        await pilot.click(HelpRow)
        await until(pilot, lambda: app.desk.unsaved)


async def test_of_many_cautions_the_worst_is_said_in_full_and_a_key_says_the_rest(
    boat_file: Path, sample: Registry, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("console.tui.screens.card.IN_FULL", 1)
    async with app_on(boat_file, sample).run_test(size=TALL) as pilot:
        app = await opened(pilot)
        assert "Seacock shut before" in seen(app)
        assert "(ABYC" not in seen(app)
        await pilot.press("c")
        await until(pilot, lambda: "(ABYC" in seen(app))
