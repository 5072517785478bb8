"""The two lines at the top of every screen: whose boat, and what the console is doing."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from console.tui.words import line, plain, safe


class TitleBar(Horizontal):
    """Left: the boat and whether it has unsaved edits. Right: units, and a quiet sign of work."""

    def compose(self) -> ComposeResult:
        yield Static("", id="title-boat", markup=False)
        yield Static("", id="title-state", markup=False)

    def show(self, name: str, where: str, unsaved: bool, state: str, system: str) -> None:
        """Write the bar anew."""
        units = "SI units" if system == "si" else "US units"
        mark = ("  ✎ not saved", "bold $watch") if unsaved else ""
        self.query_one("#title-boat", Static).update(
            line((safe(name), "bold"), ("  " + safe(where), "$quiet") if where else "", mark)
        )
        self.query_one("#title-state", Static).update(
            line((f"{safe(state)}  ", "$key") if state else "", (units, "$quiet"))
        )


class Heading(Static):
    """A small heading inside a screen."""

    def __init__(self, text: str | Content, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(
            text if isinstance(text, Content) else plain(text), markup=False, id=id, classes=classes
        )
