"""The line at the top of every screen: whose boat, and what the console is doing."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content
from textual.widgets import Static

from console.tui.words import line, plain, safe, short


class TitleBar(Static):
    """Left: the boat and whether it has unsaved edits. Right: units, and a quiet sign of work."""

    def __init__(self) -> None:
        super().__init__("", markup=False, id="title")
        self._said = ("boat console", "", False, "", "us")

    def on_resize(self) -> None:
        self.show(*self._said)

    def show(self, name: str, where: str, unsaved: bool, state: str, system: str) -> None:
        """Write the bar anew."""
        self._said = (name, where, unsaved, state, system)
        units = "SI units" if system == "si" else "US units"
        mark = "  ✎ not saved" if unsaved else ""
        state = f"{safe(state)}  " if state else ""
        room = (self.size.width or self.app.size.width) - 2
        state = short(state, max(room // 2, 10))
        left = max(room - cell_len(state) - len(units) - len(mark) - 2, 8)
        if where == f"{name}.toml":  # a boat without a name goes by its file's
            name, where = where, ""
        name = short(name, left)
        where = short(where, left - cell_len(name) - 2) if left - cell_len(name) > 4 else ""
        where = f"  {where}" if where else ""
        gap = room - sum(cell_len(text) for text in (name, where, mark, state, units))
        self.update(
            line(
                " ", (name, "bold"), (where, "$quiet"), (mark, "bold $watch"), " " * max(gap, 1),
                (state, "$key"), (units, "$quiet"),
            ),
            layout=False,
        )  # fmt: skip


class Heading(Static):
    """A small heading inside a screen."""

    def __init__(self, text: str | Content, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(
            text if isinstance(text, Content) else plain(text), markup=False, id=id, classes=classes
        )
