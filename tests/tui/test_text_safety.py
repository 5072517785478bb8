"""One nasty string as every kind of data, through every screen."""

from __future__ import annotations

from pathlib import Path

from console.registry import Registry
from console.tui.screens.dialogs import LeaveScreen, SaveScreen
from tests.tui.driving import answered, app_on, notes, seen, until

BIG = (140, 70)
SHOWN = "x [kW] [/ ?[31m?"


async def test_nasty_text_is_text_on_every_screen(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=BIG, notifications=True) as pilot:
        app = await answered(pilot)
        assert seen(app).splitlines()[0].startswith(f" {SHOWN}")  # the boat's name
        assert f"Does the pump keep up {SHOWN}?" in seen(app)  # a question's title
        assert f"a quarter turn {SHOWN}" in seen(app)  # an answer's next step
        for card in app.outcome.cards if app.outcome else ():
            app.show_card(card.question.key)
            await pilot.pause(0.05)
            assert card.question.title.split(" x ")[0] in seen(app)
            if card.question.key == "sample.act":
                await until(pilot, lambda: "leak [kW]" in seen(app))  # a picture's label
                await until(pilot, lambda: f"Tighten the gland {SHOWN}" in seen(app))  # what would help
                assert "gland [/]" in seen(app)
                assert "stern gland [/]" in seen(app)  # a reason
                assert "[mains]" in seen(app)  # a caution
        app.show_boat("sample.leak")
        await until(pilot, lambda: "Bilge [pump] of the sample" in seen(app))  # a section's title
        load = next(path for path in app.desk.boat.inputs if path.endswith(".name") and "load" in path)  # type: ignore[union-attr]
        app.show_boat(load)
        await pilot.press("enter")
        await until(pilot, lambda: seen(app).count(SHOWN) >= 2)
        await pilot.press("escape")
        app.edit("sample.leak", "1 gpm")
        assert app.desk is not None
        for dialog in (LeaveScreen(app.desk.boat.name), SaveScreen(app.desk)):
            app.push_screen(dialog)
            await pilot.pause(0.05)
            await pilot.press("escape")
        app.say("note x [kW] [/ \x1b[31m", "error")
        await until(pilot, lambda: "Note x [kW] [/ ?[31m." in notes(app))
        for _ in range(3):
            await pilot.press("t")
        text = "".join(app.export_screenshot())
        assert "\x1b" not in text
        assert not app.troubles


async def test_no_control_character_reaches_the_terminal(boat_file: Path, sample: Registry) -> None:
    async with app_on(boat_file, sample).run_test(size=BIG, notifications=True) as pilot:
        app = await answered(pilot)
        for key in ("", "b"):
            if key:
                await pilot.press(key)
                await pilot.pause(0.05)
            assert all(line.isprintable() for line in seen(app).splitlines())
