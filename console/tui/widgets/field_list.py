"""The inputs of the boat as one list: drawn line by line, so that hundreds cost nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.content import Content
from textual.events import Click, Focus, Key, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import Visual

from console.tui.guarded import Guarded
from console.tui.words import ORIGIN_MARKS, Numbers, input_name, input_text, line, safe, short

if TYPE_CHECKING:
    from console.boatfile.inputs import Input
    from console.quantities import System

NAME_WIDTH = 34
ORIGIN_WIDTH = 11
PAGE = 10
AROUND = 3


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the list: an input, a heading, or (``absent``) a table that could be added."""

    item: Input | None = None
    text: str = ""
    absent: str = ""

    @property
    def key(self) -> str:
        """What the mark knows the line by; ``""`` when it cannot be marked."""
        return self.item.path if self.item else self.absent


def name_width(width: int) -> int:
    """How many columns the names take in a list ``width`` wide."""
    return min(NAME_WIDTH, width // 2 - 2)


def matches(item: Input, wanted: str) -> bool:
    """Whether every word of ``wanted`` is in the input's name, value, origin or help."""
    haystack = f"{input_name(item)} {item.section} {item.text} {item.origin} {item.help}"
    haystack = haystack.lower().replace("_", " ")
    return all(word in haystack for word in wanted.lower().replace("_", " ").split())


class FieldList(Guarded, ScrollView, can_focus=True):
    """Every input by section, one of them marked. Arrows move the mark, Enter edits.

    While one is edited, a gap in its place leaves room for the edit box.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {"field-list--mark", "field-list--blurred"}
    BINDINGS = [  # noqa: RUF012
        Binding("enter", "edit", "Edit"),
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", f"move(-{PAGE})", "Page up", show=False),
        Binding("pagedown", f"move({PAGE})", "Page down", show=False),
        Binding("home", "edge(0)", "First", show=False),
        Binding("end", "edge(-1)", "Last", show=False),
    ]

    class Edit(Message):
        """The owner wants to edit the marked input."""

        def __init__(self, item: Input) -> None:
            super().__init__()
            self.item = item

    class Add(Message):
        """The owner wants the marked table aboard."""

        def __init__(self, path: str) -> None:
            super().__init__()
            self.path = path

    class Find(Message):
        """The owner wants to find an input by its name."""

    class Typed(Message):
        """A letter (or Enter, ``"\\r"``) arrived here that was meant for the field being edited."""

        def __init__(self, character: str) -> None:
            super().__init__()
            self.character = character

    class Marked(Message):
        """The mark has moved."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._items: Sequence[Input] = ()
        self._titles: dict[str, str] = {}
        self._absent: Sequence[str] = ()
        self._rows: list[Row] = []
        self._at: dict[str, int] = {}
        self._wanted = ""
        self._system: System = "us"
        self._numbers: Numbers = {}
        self._gap = 0
        self._asked = False
        self.marked = ""

    # --- what is listed ---------------------------------------------------------------------

    def show(
        self, items: Iterable[Input], titles: dict[str, str], absent: Iterable[str],
        system: System, numbers: Numbers,
    ) -> None:  # fmt: skip
        """List the inputs under their sections' titles, and the tables that are not aboard."""
        self._items = list(items)
        self._titles, self._absent = titles, sorted(absent)
        self._system, self._numbers = system, numbers
        self._lay_out()

    def find(self, wanted: str) -> None:
        """List only the inputs that match."""
        self._wanted = wanted.strip()
        self._lay_out()

    def _lay_out(self) -> None:
        rows: list[Row] = []
        listed = [item for item in self._items if not self._wanted or matches(item, self._wanted)]
        absent = [path for path in self._absent if self._wanted in path.replace("_", " ")]
        by_section = {key: list(items) for key, items in groupby(listed, lambda item: item.section)}
        sections = list(dict.fromkeys([*by_section, *(path.split(".")[0] for path in absent)]))
        for section in sections:
            if rows:
                rows.append(Row())
            rows.append(Row(text=self._titles.get(section, section)))
            rows += [Row(item) for item in by_section.get(section, ())]
            rows += [Row(absent=path) for path in absent if path.split(".")[0] == section]
        self._rows = rows
        self._at = {row.key: number for number, row in enumerate(rows) if row.key}
        if self.marked not in self._at:
            self._mark(next(iter(self._at), ""))
        self._resize_contents()
        self.refresh()

    def _resize_contents(self) -> None:
        self.virtual_size = Size(
            self.scrollable_content_region.width, len(self._rows) + max(self._gap - 1, 0)
        )

    @property
    def listed(self) -> list[Input]:
        """The inputs that are listed now, from top to bottom."""
        return [row.item for row in self._rows if row.item]

    @property
    def current(self) -> Input | None:
        """The marked input."""
        number = self._at.get(self.marked)
        return None if number is None else self._rows[number].item

    # --- drawing ----------------------------------------------------------------------------

    def on_resize(self, _event: Resize) -> None:
        self._resize_contents()
        self.call_after_refresh(lambda: self.go_to(self.marked))

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        number = y + self.scroll_offset.y
        gap_at = self._at.get(self.marked, -1) if self._gap else -1
        if self._gap and number > gap_at:
            number = max(number - self._gap + 1, gap_at)
        content, style = Content(""), self.visual_style
        if 0 <= number < len(self._rows) and number != gap_at:
            row = self._rows[number]
            content = self._content(row, width)
            if row.key and row.key == self.marked:
                style = self.get_visual_style(
                    "field-list--mark" if self.has_focus else "field-list--blurred"
                )
        strips = Visual.to_strips(self, content, width, 1, style)
        strip = strips[0] if strips else Strip.blank(width)
        return strip.extend_cell_length(width, style.rich_style).crop(0, width)

    def _content(self, row: Row, width: int) -> Content:
        item = row.item
        names = name_width(width)
        if row.absent:
            name = short(row.absent.rsplit(".", 1)[-1].replace("_", " "), names - 1)
            said = short("not aboard; Enter adds an average one", width - names - 2)
            return line(" ", _filled(name, names), (said, "$quiet"))
        if item is None:
            return line(" ", (short(row.text, width - 2), "bold $key"))
        values = max(width - names - ORIGIN_WIDTH - 3, 8)
        name = short(input_name(item), names - 1)
        value = short(input_text(item, self._system, self._numbers), values)
        own = item.origin != "assumed"
        return line(
            " ", _filled(name, names), (_filled(value, values), "bold" if own else ""), " ",
            (f"{ORIGIN_MARKS[item.origin]} {item.origin}", "$fine" if own else "$quiet"),
        )  # fmt: skip

    def line_text(self, path: str) -> str:
        """The line of one input, as it is drawn."""
        number = self._at[path]
        return self._content(self._rows[number], self.scrollable_content_region.width).plain

    # --- moving -----------------------------------------------------------------------------

    def _mark(self, path: str) -> None:
        if path != self.marked:
            self.marked = path
            self.post_message(self.Marked())

    def go_to(self, path: str) -> None:
        """Mark the input at ``path`` (or the first) and bring it into sight."""
        paths = list(self._at)
        if not paths:
            return
        self._mark(path if path in self._at else paths[0])
        number = self._at[self.marked]
        # A few lines of surroundings, so that the mark is never the last thing seen.
        top = 0 if self.marked == paths[0] else max(number - AROUND, 0)
        height = number - top + max(self._gap, 1) + AROUND
        self.scroll_to_region(
            Region(0, top, 1, min(height, self.size.height)), animate=False, force=True, x_axis=False
        )
        self.refresh()

    def action_move(self, by: int) -> None:
        """Move the mark by so many inputs."""
        paths = list(self._at)
        if paths:
            at = paths.index(self.marked) if self.marked in self._at else 0
            self.go_to(paths[min(max(at + by, 0), len(paths) - 1)])

    def action_edge(self, which: int) -> None:
        """Move the mark to the first or the last input."""
        paths = list(self._at)
        if paths:
            self.go_to(paths[which])

    def action_edit(self) -> None:
        """Ask for the marked input to be edited."""
        number = self._at.get(self.marked)
        if number is not None and self._rows[number].absent:
            self.post_message(self.Add(self.marked))
        elif self.current is not None:
            self._asked = True
            self.post_message(self.Edit(self.current))

    def on_click(self, event: Click) -> None:
        number = event.y + self.scroll_offset.y
        if not self._gap and 0 <= number < len(self._rows) and self._rows[number].key:
            self.go_to(self._rows[number].key)
            self.action_edit()

    def on_key(self, event: Key) -> None:
        # Over a slow line keys come in a bunch, all of them here, before a binding has run and
        # moved the focus: Enter and / are taken at once, and what follows is handed on.
        if self._asked or not self.has_focus:
            if event.key == "enter" or event.is_printable:
                event.stop()
                self.post_message(self.Typed("\r" if event.key == "enter" else event.character or ""))
        elif event.key == "enter":
            event.stop()
            self.action_edit()
        elif event.key == "slash":
            event.stop()
            self._asked = True
            self.post_message(self.Find())

    def on_focus(self, _event: Focus) -> None:
        self._asked = self._gap > 0
        self.post_message(self.Marked())

    # --- the gap for the edit box -----------------------------------------------------------

    def open_gap(self, height: int) -> int:
        """Leave ``height`` lines free at the mark; the line on the screen where they begin."""
        self._gap = height
        self._resize_contents()
        self.go_to(self.marked)
        return self._at[self.marked] - self.scroll_offset.y

    def close_gap(self) -> None:
        """Close the gap again."""
        self._gap = 0
        self._asked = False
        self._resize_contents()
        self.refresh()


def _filled(text: str, width: int) -> str:
    from rich.cells import set_cell_size

    return set_cell_size(safe(text), width)
