"""What Ctrl+P offers: every question, and everything that has a key."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from rich.text import Text
from textual.command import DiscoveryHit, Hit, Hits, Provider

from console.checking import complaints
from console.tui.screens.base import console_app
from console.tui.words import safe

Entry = tuple[str, str, Callable[[], object]]


class ConsoleCommands(Provider):
    """The console's own commands."""

    def _entries(self) -> Iterator[Entry]:
        app = console_app(self.screen)
        for _, question in app.registry.questions:
            yield safe(question.title), "open this question", partial(app.show_card, question.key)
        yield "The boat", "every input, to look at and to edit", app.show_boat
        yield "The log", "write readings and events down, and see them over their days", app.show_log
        yield "Why? A guided check", "what is wrong, one question at a time", app.show_why
        if app.desk is not None:
            for key, title in complaints(app.desk.boat).items():
                yield f"Why? {safe(title)}", "the guided check of it", partial(app.show_check, key)
        yield "The work list", "what to do next, by what it gives, and what is due", app.show_work
        yield "Did the repair help?", "the log before and after it, weighed", app.show_verdict
        yield "Compare", "with the file, another boat file, or before the last edit", app.show_compare
        yield "My own boat", "a few questions make a boat file of your own", app.show_own_boat
        yield "Save the boat", "to its file; asks where when it has none", app.save
        yield "Undo the last edit", "Ctrl+Z on the boat screen", app.step_back
        yield "Redo", "Ctrl+Y on the boat screen", app.step_forth
        yield "Switch units", "US customary or SI", app.action_units
        yield "Switch theme", "dark, light, red for the night", app.action_next_theme
        yield "Help", "keys and words", app.action_help
        yield "Leave", "asks first when something is not saved", partial(app.run_action, "quit")

    async def discover(self) -> Hits:
        for name, about, command in self._entries():
            yield DiscoveryHit(Text(name), command, text=name, help=about)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for name, about, command in self._entries():
            score = matcher.match(name)
            if score > 0:
                yield Hit(score, Text(name), command, text=name, help=about)
