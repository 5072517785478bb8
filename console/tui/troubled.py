"""What the app does when something goes wrong: say it in one sentence, keep the edits, go on."""

from __future__ import annotations

import contextlib
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual._context import active_message_pump
from textual.app import App
from textual.message_pump import MessagePump

from console.guard import strict
from console.tui.guarded import Guarded
from console.tui.words import safe, sentence

if TYPE_CHECKING:
    from console.desk import Desk

MOST_TROUBLES = 20
MEND_SECONDS = 0.2
NOTE_SECONDS = 8
KEPT = ".unsaved.toml"
"""The ending of the file that keeps unsaved edits when the console had to end."""


class Troubled(Guarded, App[str]):
    """An app that outlives errors in its handlers, and in parts it did not write.

    ``desk`` holds the owner's edits. Until ``painted`` there is nothing to go on with, so an
    error ends the app, as do too many of them; the edits are then kept in a file.
    """

    def __init__(self) -> None:
        super().__init__()
        self.desk: Desk | None = None
        self.painted = False
        self.troubles: list[str] = []

    def say(self, text: str, severity: Any = "information") -> None:
        """A passing note, in plain text."""
        self.notify(safe(sentence(text)), severity=severity, markup=False, timeout=NOTE_SECONDS)

    def note_trouble(self, error: BaseException) -> None:
        """Remember an error without a word to the owner."""
        if strict():
            raise error
        self.troubles.append(f"{type(error).__name__}: {error}")

    def trouble(self, error: BaseException) -> None:
        """An error that should not be: one sentence, and the console goes on."""
        self.note_trouble(error)
        if self._exit:
            return
        if len(self.troubles) > MOST_TROUBLES or not self.painted:
            self._give_up(error)
            return
        with contextlib.suppress(Exception):
            self.say(
                f"Something went wrong here ({type(error).__name__}); your edits are kept. "
                "Go on, or press Esc and try again",
                "error",
            )

    def keep_edits(self) -> Path | None:
        """Write unsaved edits to a file of their own, beside the boat's; where, or None."""
        if self.desk is None or not self.desk.unsaved:
            return None
        home = self.desk.home or Path.cwd() / "boat.toml"
        kept, number = home.with_suffix(KEPT), 2
        while kept.exists():  # those of an earlier time are the owner's, too
            kept, number = home.with_suffix(f".{number}{KEPT}"), number + 1
        try:
            kept.write_text(self.desk.boat.text, encoding="utf-8")
        except OSError:
            return None
        return kept

    def _handle_exception(self, error: Exception) -> None:
        # Textual's own end of the line: it would close the app.
        if strict() or not self._running:
            super()._handle_exception(error)
            return
        self.trouble(error)
        with contextlib.suppress(Exception):
            self.set_timer(MEND_SECONDS, partial(self._mend, active_message_pump.get()))

    def _mend(self, broken: MessagePump) -> None:
        """Bring a fresh opening screen when a part of the present one has died."""
        if broken is self or (broken.is_attached and broken.is_running):
            return
        # The broken screen stays below: taking it down would wait for the dead part for ever.
        self.push_screen(self.get_default_screen())

    def _give_up(self, error: BaseException) -> None:
        kept = self.keep_edits()
        said = f"The console had to end ({type(error).__name__}: {error})."
        self.exit(sentence(f"{said} Your edits are in {kept}" if kept else said), return_code=1)
