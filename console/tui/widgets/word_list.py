"""What can be logged, as big targets: each reading with what was last written of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from console.tui.guarded import Guarded
from console.tui.words import line, lines_of, short

if TYPE_CHECKING:
    from console.logbook import Entry
    from console.logbook.catalogue import Word
    from console.logbook.desk import Group

ALL = "all:"
"""The id of the row that stands for the whole log."""


class WordList(Guarded, OptionList):
    """Readings and events by system; Enter or a click on one writes it down."""

    BINDINGS = [  # noqa: RUF012
        Binding("enter", "select", "Write"),
    ]

    class Marked(Message):
        """The mark has moved; ``name`` is ``""`` on the whole log."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    class Chosen(Message):
        """The owner wants to write this one down."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self._shown: object = None
        self.marked = ""

    def show(
        self, groups: Sequence[Group], last: Mapping[str, Entry], whole: str, units: Mapping[str, str],
        wanted: str = "",
    ) -> None:  # fmt: skip
        """List the readings; ``last`` what was last written of each, ``whole`` says how long the log is."""
        now = (tuple(groups), dict(last), whole, dict(units), wanted, self.size.width)
        if now == self._shown:
            return
        self._shown = now
        width = max(self.size.width - 4, 20)
        options = [] if wanted else [Option(self._row("Everything in the log", whole, width), id=ALL)]
        for group in groups:
            words = [word for word in group.words if _fits(word, wanted)]
            if words:
                options.append(Option(line((f" {group.title}", "bold $key")), disabled=True))
            options += [
                Option(
                    self._row(word.title, _under(word, last, units), width), id=f"{group.title}:{word.name}"
                )
                for word in words
            ]
        at, mark = self.highlighted, self._id_at(self.highlighted)
        self.clear_options()
        self.add_options(options)
        places = {option.id: number for number, option in enumerate(options) if option.id}
        if mark in places:
            self.highlighted = places[mark]
        elif places:
            near = [number for number in places.values() if number >= (at or 0)]
            self.highlighted = near[0] if near and not wanted else min(places.values())

    @staticmethod
    def _row(title: str, under: str, width: int) -> Content:
        return lines_of(
            [line((short(title, width), "bold")), line((f"  {short(under, width - 2)}", "$quiet"))]
        )

    def _id_at(self, at: int | None) -> str | None:
        return self.get_option_at_index(at).id if at is not None and at < self.option_count else None

    def go_on(self) -> None:
        """Mark the next reading, as the pencil goes down the sheet."""
        self.action_cursor_down()

    def mark(self, name: str) -> None:
        """Mark a reading by its name."""
        for number in range(self.option_count):
            if (self.get_option_at_index(number).id or "").endswith(f":{name}"):
                self.highlighted = number
                return

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self.marked = _name(event.option_id)
        self.post_message(self.Marked(self.marked))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_id != ALL:
            self.post_message(self.Chosen(_name(event.option_id)))


def _name(option_id: str | None) -> str:
    return (option_id or "").rpartition(":")[2]


def _fits(word: Word, wanted: str) -> bool:
    haystack = f"{word.title} {word.name.replace('_', ' ')} {' '.join(word.choices)}".lower()
    return all(part in haystack for part in wanted.lower().split())


def _under(word: Word, last: Mapping[str, Entry], units: Mapping[str, str]) -> str:
    from console.logbook.telling import value_text, when_text

    entry = last.get(word.name)
    if entry is not None:
        value = value_text(entry)
        return f"{value}{', ' if value else ''}{when_text(entry)}"
    if word.numeric:
        return f"unit: {units.get(word.name)}" if units.get(word.name) else "a number"
    return " / ".join(choice.replace("_", " ") for choice in word.choices) or "not yet"
