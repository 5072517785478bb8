"""Driving the app in tests: wait for the answers, read what stands on the screen."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from pathlib import Path

from textual.events import Key
from textual.pilot import Pilot
from textual.widgets import Input

from console.registry import Registry
from console.tui.app import ConsoleApp, make_app

SMALL = (80, 24)
WIDE = (140, 44)
DRAWS = 64


def app_on(path: Path | None, registry: Registry | None) -> ConsoleApp:
    """The app a test drives."""
    return make_app(path, registry=registry, draws=DRAWS)


def seen(app: ConsoleApp) -> str:
    """What stands on the screen, as a person reads it."""
    return "\n".join(strip.text for strip in app.screen._compositor.render_strips())


async def until(pilot: Pilot[str], true: Callable[[], object], seconds: float = 20.0) -> None:
    """Wait until something is so; fails after ``seconds``."""
    end = time.monotonic() + seconds
    while not true():
        if time.monotonic() > end:
            raise AssertionError(f"never came true; the screen shows\n{seen(pilot.app)}")  # type: ignore[arg-type]
        await asyncio.sleep(0.01)
    await pilot.pause()


async def answered(pilot: Pilot[str]) -> ConsoleApp:
    """Wait until the boat on the desk is answered with ranges."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]

    def done() -> bool:
        return app.desk is not None and app.desk.now.fine is not None

    await until(pilot, done)
    await pilot.pause(0.05)  # layout follows the last repaint
    return app


async def type_in(pilot: Pilot[str], text: str) -> None:
    """Type over what stands in the field: real keys, as fast as a terminal sends them."""
    field = pilot.app.focused
    assert isinstance(field, Input), field
    field.value = ""  # Ctrl+U would run only after the letters: bindings wait for the event to bubble
    await keys(pilot, *text)


async def keys(pilot: Pilot[str], *names: str) -> None:
    """Press keys without the pilot's pause after each."""
    for name in names:
        character = name if len(name) == 1 else None
        pilot.app.post_message(Key(_NAMES.get(name, name), character))
    await pilot.pause()


_NAMES = {
    " ": "space",
    "+": "plus",
    ".": "full_stop",
    ",": "comma",
    "-": "minus",
    "/": "slash",
    "?": "question_mark",
    "[": "left_square_bracket",
}


def notes(app: ConsoleApp) -> str:
    """The passing notes that stand on the screen."""
    return " ".join(note.message for note in app._notifications)


async def click_on(pilot: Pilot[str], text: str) -> None:
    """Click where ``text`` first stands on the screen."""
    app: ConsoleApp = pilot.app  # type: ignore[assignment]
    await until(pilot, lambda: text in seen(app))
    for row, words in enumerate(seen(app).splitlines()):
        if text in words:
            assert await pilot.click(offset=(words.index(text) + 1, row))
            await pilot.pause(0.05)
            return
