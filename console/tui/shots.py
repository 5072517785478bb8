"""Pictures of every screen, for the README: ``python -m console.tui.shots FOLDER [BOAT.toml]``.

Opens the bundled boat (or the one named) without a terminal, goes through the screens, and
writes each as SVG at 80 × 24 and at 120 × 40.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from console.tui.app import ConsoleApp, make_app

SIZES = ((80, 24), (120, 40))
WAIT_SECONDS = 300.0
EDITED = ("open_width", "60 % ± 10 %")
"""The input that the pictures of editing show: a hose laid in a wider bend."""


def without_links(svg: str) -> str:
    """The picture with the fonts of whoever looks at it: it fetches nothing."""
    return re.sub(r"@font-face\s*{.*?}\s*", "", svg, flags=re.S)


async def _answered(app: ConsoleApp, pilot: Pilot[str]) -> None:
    for _ in range(int(WAIT_SECONDS / 0.05)):
        await pilot.pause(0.05)
        if app.desk is not None and app.desk.now.fine is not None and not app.doing:
            await pilot.pause(0.2)
            return
    raise TimeoutError("the boat was not answered")


async def _worked(app: ConsoleApp, pilot: Pilot[str]) -> None:
    """Wait for what is worked out beside the answers."""
    await pilot.pause(0.1)
    await _answered(app, pilot)


async def _own_boat(app: ConsoleApp, pilot: Pilot[str]) -> None:
    """Begin a boat of one's own, as far as the second question."""
    app.show_own_boat()
    await _worked(app, pilot)
    await pilot.press(*"34 ft", "enter")
    await _worked(app, pilot)


async def _check(app: ConsoleApp, pilot: Pilot[str], keep: Callable[[str], None]) -> None:
    """The guided check of the first complaint: its choice, a question, what one answer moved, where it stands."""
    app.show_why()
    await pilot.pause(0.3)
    keep("why")
    await pilot.press("1")
    await _worked(app, pilot)
    keep("check")
    await pilot.press("2")
    await _worked(app, pilot)
    keep("check-answered")
    await pilot.press("v")
    await _worked(app, pilot)
    keep("check-outcome")
    await pilot.press("escape", "escape", "escape")


async def shoot(folder: Path, path: Path | None, width: int, height: int) -> list[Path]:
    """Write the pictures of one size; where they are."""
    made: list[Path] = []
    app = make_app(path)

    def keep(name: str) -> None:
        made.append(folder / f"{name}-{width}x{height}.svg")
        made[-1].write_text(without_links(app.export_screenshot(title="boat console")), encoding="utf-8")

    async with app.run_test(size=(width, height)) as pilot:
        await _answered(app, pilot)
        keep("questions")
        assert app.outcome is not None
        for card in app.outcome.cards:
            app.show_card(card.question.key)
            await pilot.pause(0.3)
            keep("card-" + card.question.key.replace(".", "-"))
        app.show_card(app.outcome.cards[0].question.key)
        assert app.desk is not None
        wanted = next((p for p in app.desk.boat.inputs if p.endswith(EDITED[0])), "")
        app.show_boat(wanted)
        await pilot.pause(0.3)
        keep("boat")
        if wanted:
            await pilot.press("enter")
            await pilot.pause(0.2)
            keep("boat-editing")
            await pilot.press("escape")
            app.edit(wanted, EDITED[1])
            await _answered(app, pilot)
            keep("boat-edited")
            app.show_compare()
            await _worked(app, pilot)
            keep("compare")
            await pilot.press("escape")
            app.step_back()
            await _answered(app, pilot)
        await _check(app, pilot, keep)
        app.show_work()
        await _worked(app, pilot)
        keep("work")
        await pilot.press("enter")
        await pilot.pause(0.3)
        keep("job-sheet")
        await pilot.press("escape", "escape")
        for theme in ("light", "night"):
            app.show_card(app.outcome.cards[0].question.key)
            await pilot.press("escape", "t")
            await pilot.pause(0.2)
            keep(f"questions-{theme}")
        await pilot.press("t")
        await _own_boat(app, pilot)
        keep("first-run")
        await pilot.press("question_mark")
        await pilot.pause(0.2)
        keep("help")
    return made


def main(arguments: list[str]) -> int:
    """Write all pictures; the exit code."""
    if not arguments:
        print("usage: python -m console.tui.shots FOLDER [BOAT.toml]", file=sys.stderr)
        return 2
    os.environ["TEXTUAL_ANIMATIONS"] = "none"
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    path = Path(arguments[1]) if len(arguments) > 1 else None
    for width, height in SIZES:
        for picture in asyncio.run(shoot(folder, path, width, height)):
            print(picture)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
