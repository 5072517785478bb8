"""The line of keys at the bottom: what works here, by key or by click."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content
from textual.events import Click
from textual.screen import Screen
from textual.widgets import Static

from console.tui.guarded import Guarded
from console.tui.words import line

GAP = "  "


class KeyLine(Guarded, Static):
    """One line, written anew whenever the focus moves; what does not fit is left out.

    The last entry (help, which names every key) always fits.
    """

    def __init__(self) -> None:
        super().__init__("", markup=False, id="keys")
        self._places: list[tuple[int, int, str]] = []

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._changed)
        self.write()

    def on_resize(self) -> None:
        self.write()

    def _changed(self, _screen: Screen[object]) -> None:
        self.write()

    def write(self) -> None:
        """Write the keys that work now."""
        seen: dict[str, tuple[str, str, str]] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and active.enabled and binding.action not in seen:
                shown = self.app.get_key_display(binding)
                seen[binding.action] = (binding.key, shown, binding.description)
        entries = list(seen.values())
        room = (self.size.width or self.app.size.width) - 2
        while len(entries) > 1 and _width(entries) > room:
            del entries[-2]
        parts: list[Content] = [line(" ")]
        self._places = []
        at = 1
        for key, shown, description in entries:
            entry = line((shown, "bold $key"), f" {description}")
            self._places.append((at, at + entry.cell_length, key))
            at += entry.cell_length + len(GAP)
            parts += [entry, line(GAP)]
        self.update(Content.assemble(*parts[:-1]), layout=False)

    def on_click(self, event: Click) -> None:
        for start, end, key in self._places:
            if start <= event.x < end:
                self.app.simulate_key(key)


def _width(entries: list[tuple[str, str, str]]) -> int:
    return sum(cell_len(shown) + 1 + cell_len(said) + len(GAP) for _, shown, said in entries) - len(GAP)
