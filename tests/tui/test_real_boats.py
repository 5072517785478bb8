"""The bundled boat and the other scenarios on the real screens, with all plugins."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from console.registry import Registry, discover
from console.tui.widgets.card import CardView
from console.tui.widgets.picture import PictureView
from tests.tui.driving import answered, app_on, seen, until

SCENARIOS = sorted(
    str(each) for each in files("console.scenarios").iterdir() if each.name.endswith(".toml")
)
TALL = (80, 200)


@pytest.fixture(scope="module")
def everything() -> Registry:
    return discover({})


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.rsplit("/", 1)[-1])
async def test_every_scenario_opens_with_every_question_answered(path: str, everything: Registry) -> None:
    from pathlib import Path

    async with app_on(Path(path), everything).run_test(size=TALL) as pilot:
        app = await answered(pilot)
        assert app.outcome is not None
        assert not app.outcome.unwell
        text = seen(app)
        for card in app.outcome.cards:
            assert not card.missing
            assert card.question.title in " ".join(text.split())
            if card.figure is not None:
                from console.tui.words import figure_text

                assert card.figure.low is not None
                assert figure_text(card.figure, app.system) in text
        assert "NOT WORKING" not in text
        assert not app.troubles


async def test_the_demo_boat_shows_a_real_picture_of_every_plugin(everything: Registry) -> None:
    async with app_on(None, everything).run_test(size=TALL) as pilot:
        app = await answered(pilot)
        assert app.outcome is not None
        drawn: dict[str, int] = {}
        for card in app.outcome.cards:
            app.show_card(card.question.key)
            await until(
                pilot, lambda card=card: len(app.screen.query(PictureView)) == len(card.answer.pictures)
            )
            await pilot.pause(0.05)
            for view in app.screen.query(PictureView):
                text = str(view.visual)
                assert "could not be drawn" not in text
                assert len([line for line in text.splitlines() if line.strip()]) >= 2
                assert all(len(line) <= 80 for line in text.splitlines())
                drawn[card.plugin] = drawn.get(card.plugin, 0) + 1
        assert set(drawn) == everything.loaded()
        assert not app.troubles


async def test_the_demo_boat_puts_cautions_before_the_step_on_every_card_that_has_any(
    everything: Registry,
) -> None:
    async with app_on(None, everything).run_test(size=TALL) as pilot:
        app = await answered(pilot)
        assert app.outcome is not None
        met = 0
        for card in app.outcome.cards:
            if not card.cautions or not card.answer.next:
                continue
            app.show_card(card.question.key)
            await until(pilot, lambda: "Mind this first" in seen(app) and "Next:" in seen(app))
            text = seen(app)
            assert text.index("Mind this first") < text.index("Next:")
            met += 1
        assert met


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (160, 50)])
async def test_no_line_of_any_card_is_wider_than_the_screen(
    size: tuple[int, int], everything: Registry
) -> None:
    async with app_on(None, everything).run_test(size=size) as pilot:
        app = await answered(pilot)
        assert app.outcome is not None
        for view in app.screen.query(CardView):
            assert view.virtual_region.right <= size[0]
        for card in app.outcome.cards:
            app.show_card(card.question.key)
            await pilot.pause(0.05)
            for widget in app.screen.query("#card-scroll *"):
                if widget.display:
                    assert widget.virtual_region.right <= size[0], widget


async def test_no_key_of_a_file_stands_on_a_card(everything: Registry) -> None:
    async with app_on(None, everything).run_test(size=TALL) as pilot:
        app = await answered(pilot)
        assert app.outcome is not None
        assert app.desk is not None
        keys = {
            path
            for path in [*app.desk.boat.inputs, *app.outcome.figures]
            if "_" in path or path.count(".") > 1
        }
        for card in app.outcome.cards:
            app.show_card(card.question.key)
            await pilot.pause(0.05)
            text = seen(app)
            assert not [key for key in keys if key in text]
            assert not re.search(r"\d draws\b", text)
