"""The box in which one input is edited, in the input's own place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.events import Key
from textual.message import Message
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.tui.guarded import Guarded
from console.tui.widgets.field_list import name_width
from console.tui.words import input_name, line, plain, safe, sentence, short

if TYPE_CHECKING:
    from console.boatfile.inputs import Input

MOST_CHOICES = 8


class EditBox(Guarded, Vertical):
    """One input, being edited. Nothing typed is lost by an error."""

    class Done(Message):
        """The owner pressed Enter on ``text``."""

        def __init__(self, path: str, text: str) -> None:
            super().__init__()
            self.path = path
            self.text = text

    class Left(Message):
        """The owner pressed Esc, or Enter on what stood there: the input stays as it is."""

    class Grown(Message):
        """The box has another height now."""

    def __init__(self, item: Input, hint: str, width: int) -> None:
        super().__init__(classes="edit-box")
        self.item = item
        self._hint = hint
        self._names = name_width(width)

    def compose(self) -> ComposeResult:
        choices = self.choices()
        with Horizontal(classes="edit-line"):
            name = Static(line((short(input_name(self.item), self._names - 1), "bold")), markup=False)
            name.styles.width = self._names
            yield name
            if choices:
                listing = OptionList(*(Option(plain(word.replace("_", " "))) for word in choices),
                                     id="edit-choice", compact=True)  # fmt: skip
                listing.styles.height = min(len(choices), MOST_CHOICES)
                yield listing
            else:
                yield TextInput(safe(self.item.text), compact=True, select_on_focus=False, id="edit-text")
        yield Static(line((self._hint, "$quiet")), markup=False, id="edit-hint")

    def choices(self) -> tuple[str, ...]:
        """The words to pick from; none when the owner types."""
        return ("yes", "no") if self.item.kind == "flag" else self.item.choices

    def on_mount(self) -> None:
        choices = self.choices()
        if choices:
            listing = self.query_one("#edit-choice", OptionList)
            now = ("yes" if self.item.value else "no") if self.item.kind == "flag" else str(self.item.value)
            listing.highlighted = choices.index(now) if now in choices else 0
            self.screen.set_focus(listing)
        else:
            field = self.query_one("#edit-text", TextInput)
            self.screen.set_focus(field)
            field.select_all()

    def on_resize(self) -> None:
        self.post_message(self.Grown())

    def refuse(self, why: str) -> None:
        """Say in one sentence below the field why it was not taken."""
        self.query_one("#edit-hint", Static).update(line(("✕ " + sentence(why), "bold $act")))

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
        self.post_message(self.Done(self.item.path, self.choices()[event.option_index]))

    def on_key(self, event: Key) -> None:
        if event.key == "escape":
            event.stop()
            self.post_message(self.Left())
