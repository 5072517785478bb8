"""The inputs of the boat: rows to move through, and the box in which one is edited."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.events import Key
from textual.message import Message
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.tui.guarded import Guarded
from console.tui.words import (
    ORIGIN_MARKS,
    Numbers,
    input_name,
    input_text,
    line,
    plain,
    safe,
    sentence,
    short,
)

if TYPE_CHECKING:
    from console.boatfile.inputs import Input
    from console.quantities import System

NAME_WIDTH = 34
ORIGIN_WIDTH = 11


class FieldRow(Guarded, Static, can_focus=True):
    """One input: its name, value with spread, and where the value came from."""

    BINDINGS = [Binding("enter", "edit", "Edit")]  # noqa: RUF012

    class Edit(Message):
        """The owner wants to edit this row."""

        def __init__(self, row: FieldRow) -> None:
            super().__init__()
            self.row = row

    def __init__(self, item: Input, system: System, numbers: Numbers) -> None:
        super().__init__("", markup=False, classes="field")
        self.item = item
        self.system = system
        self.numbers = numbers
        self._shown: object = None

    def on_resize(self) -> None:
        self.show(self.item, self.system, self.numbers)

    def show(self, item: Input, system: System, numbers: Numbers) -> None:
        """Write the row for an input in a unit system, unless it stands there already."""
        self.item, self.system, self.numbers = item, system, numbers
        width = max(self.size.width, 40)
        name_width = min(NAME_WIDTH, width // 2 - 2)
        value_width = max(width - name_width - ORIGIN_WIDTH - 2, 8)
        name = short(input_name(item), name_width - 1)
        value = short(input_text(item, system, numbers), value_width)
        if self._shown == (name, value, width, item.origin):
            return
        self._shown = (name, value, width, item.origin)
        own = item.origin != "assumed"
        self.update(
            line(
                name.ljust(name_width),
                (value.ljust(value_width), "bold" if own else ""),
                " ",
                (f"{ORIGIN_MARKS[item.origin]} {item.origin}", "$fine" if own else "$quiet"),
            ),
            layout=False,
        )

    def matches(self, wanted: str) -> bool:
        """Whether every word of ``wanted`` is in the input's name, value, origin or help."""
        item = self.item
        haystack = f"{input_name(item)} {item.section} {item.text} {item.origin} {item.help}".lower()
        return all(word in haystack for word in wanted.lower().replace("_", " ").split())

    def action_edit(self) -> None:
        self.post_message(self.Edit(self))

    def on_click(self) -> None:
        self.focus()
        self.post_message(self.Edit(self))


class EditBox(Guarded, Vertical):
    """Where one input is edited, in the row's own place. Nothing typed is lost by an error."""

    class Done(Message):
        """The owner pressed Enter on ``text``."""

        def __init__(self, path: str, text: str) -> None:
            super().__init__()
            self.path = path
            self.text = text

    class Left(Message):
        """The owner pressed Esc: the input stays as it is."""

    def __init__(self, item: Input, hint: str) -> None:
        super().__init__(classes="edit-box")
        self.item = item
        self._hint = hint

    def compose(self) -> ComposeResult:
        with Horizontal(classes="edit-line"):
            yield Static(
                line((short(input_name(self.item), NAME_WIDTH - 1), "bold")),
                markup=False,
                classes="edit-name",
            )
            if not self._choices():
                yield TextInput(safe(self.item.text), compact=True, select_on_focus=True, id="edit-text")
        if self._choices():
            yield OptionList(
                *(Option(plain(word.replace("_", " "))) for word in self._choices()),
                id="edit-choice",
                compact=True,
            )
        yield Static(line((self._hint, "$quiet")), markup=False, id="edit-hint")

    def _choices(self) -> tuple[str, ...]:
        if self.item.kind == "flag":
            return ("yes", "no")
        return self.item.choices

    def on_mount(self) -> None:
        choices = self._choices()
        if choices:
            listing = self.query_one("#edit-choice", OptionList)
            now = ("yes" if self.item.value else "no") if self.item.kind == "flag" else str(self.item.value)
            listing.highlighted = choices.index(now) if now in choices else 0
            listing.focus()
        else:
            self.query_one("#edit-text", TextInput).focus()

    def refuse(self, why: str) -> None:
        """Say in one sentence below the field why it was not taken."""
        text = sentence(why)
        self.query_one("#edit-hint", Static).update(line(("✕ " + text[:1].upper() + text[1:], "bold $act")))
        self.scroll_visible()

    @on(TextInput.Submitted, "#edit-text")
    def _typed(self, event: TextInput.Submitted) -> None:
        event.stop()
        if event.value == safe(self.item.text):
            self.post_message(self.Left())
        else:
            self.post_message(self.Done(self.item.path, event.value))

    @on(OptionList.OptionSelected, "#edit-choice")
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Done(self.item.path, self._choices()[event.option_index]))

    def on_key(self, event: Key) -> None:
        if event.key == "escape":
            event.stop()
            self.post_message(self.Left())
