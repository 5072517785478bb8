"""What would help: each change with what it gives, best first; Enter tries it on the boat."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message

from console.tui.guarded import Guarded
from console.tui.widgets.rows import ShareRows
from console.tui.words import line, lines_of, sentence

if TYPE_CHECKING:
    from console.contract import Change
    from console.engine.gains import Gain
    from console.quantities import System

WHO = {"licensed": "licensed hands"}
WHERE = {"hauled_out": "hauled out"}


class HelpRow(Guarded, ShareRows, can_focus=True):
    """One change, or two together, and what it gives; Enter puts it on the boat."""

    BINDINGS = [Binding("enter", "try_it", "Try it on the boat")]  # noqa: RUF012

    class TryIt(Message):
        """The owner wants to see the boat with these changes."""

        def __init__(self, keys: tuple[str, ...], title: str) -> None:
            super().__init__()
            self.keys, self.title = keys, title

    def __init__(self, gain: Gain, text: Content, ascii_only: bool) -> None:
        super().__init__([(gain.share, text)], ascii_only)
        self.gain = gain

    def action_try_it(self) -> None:
        self.post_message(self.TryIt(self.gain.keys, self.gain.title))

    def on_click(self) -> None:
        self.action_try_it()


class Helps(Vertical):
    """The changes of one card."""

    async def show(self, gains: Sequence[Gain], system: System, ascii_only: bool) -> None:
        """Write other changes."""
        with self.app.batch_update():
            await self.remove_children()
            await self.mount(*(HelpRow(gain, words_of(gain, system), ascii_only) for gain in gains))


def words_of(gain: Gain, system: System) -> Content:
    """A change in words: what is done, how long it takes and by whom, and what moves."""
    from console.quantities import say
    from console.results import moved_text

    notes = [say(gain.minutes * 60.0, "minutes", system)] if gain.minutes else []
    notes += dict.fromkeys(word for change in gain.changes for word in _hands(change))
    rows = [line((sentence(gain.title), "bold"), (f"  {', '.join(notes)}" if notes else "", "$quiet"))]
    rows += [
        line((f"{effect.meaning.rstrip('.')}: ", "$quiet"), moved_text(effect, system))
        for effect in gain.told
    ]
    return lines_of(rows)


def _hands(change: Change) -> list[str]:
    return [word for word in (WHO.get(change.who), WHERE.get(change.where)) if word]
