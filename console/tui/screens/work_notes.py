"""What the owner notes of a job: what it costs, when it is due, or a job of the owner's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.boatfile import BoatFileError
from console.tui.guarded import Guarded
from console.tui.screens.base import console_app
from console.tui.words import line, plain, sentence

if TYPE_CHECKING:
    from console.noted_jobs import Field

ASKS = {
    "cost": (
        "What does it cost, in your own money?",
        "A number such as 40, or 40 ± 10; nothing takes it away.",
    ),
    "due": ("By which day is it to be done?", "A day such as 2027-04-01; nothing takes it away."),
}


class NotesDialog(Guarded, ModalScreen[bool]):
    """A few fields and two ways out, by key and by mouse."""

    CSS_PATH = "../work.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def compose_fields(self) -> ComposeResult:
        """What is asked."""
        yield from ()

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield from self.compose_fields()
            yield OptionList(
                Option(plain("Note it in the boat file"), id="keep"),
                Option(plain("Leave it as it is"), id="leave"),
                id="note-ways", compact=True,
            )  # fmt: skip

    def on_mount(self) -> None:
        field = self.query(TextInput).first()
        field.focus()
        field.cursor_position = len(field.value)

    @on(TextInput.Submitted)
    def _entered(self) -> None:
        self.keep()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if event.option_id == "keep":
            self.keep()
        else:
            self.dismiss(False)

    def keep(self) -> None:
        """Note what was typed; say below it why not otherwise."""
        app = console_app(self)
        try:
            changed = self.act()
        except BoatFileError as error:
            self.tell(error.sentence)
            return
        self.dismiss(True)
        if changed:
            app.ask_answers()

    def act(self) -> bool:
        """The work; whether anything changed. Raises `BoatFileError`."""
        raise NotImplementedError

    def tell(self, why: str) -> None:
        """Say why it was not taken."""
        self.query_one("#note-said", Static).update(line(("✕ " + sentence(why), "bold $act")))

    def typed(self, name: str) -> str:
        """What stands in a field."""
        return self.query_one(f"#{name}", TextInput).value


class NoteScreen(NotesDialog):
    """Asks what one job costs, or when it is due."""

    def __init__(self, field: Field, key: str, title: str) -> None:
        super().__init__()
        self._field: Field = field
        self._key, self._job = key, title

    def compose_fields(self) -> ComposeResult:
        ask, how = ASKS[self._field]
        yield Static(line((self._job, "bold"), f"  {ask}"), markup=False)
        yield TextInput(self._known(), id="note", compact=True)
        yield Static(line((how, "$quiet")), markup=False, id="note-said")

    def _known(self) -> str:
        from console.noted_jobs import noted

        desk = console_app(self).desk
        for each in noted(desk.boat) if desk else ():
            if each.key == self._key and (self._key or each.name == self._job):
                return each.cost_text if self._field == "cost" else str(each.due or "")
        return ""

    def act(self) -> bool:
        desk = console_app(self).desk
        return desk is not None and desk.note_job(self._key, self._job, self._field, self.typed("note"))


class AddJobScreen(NotesDialog):
    """Asks for a job that is on no list: what and by when."""

    def compose_fields(self) -> ComposeResult:
        yield Static(line(("A job of your own", "bold")), markup=False)
        for name, label, hint in (("what", "What", "Grease the seacocks"), ("when", "By", "2027-04-01")):
            with Horizontal(classes="note-row"):
                yield Static(line(label), markup=False, classes="note-label")
                yield TextInput(placeholder=hint, id=name, compact=True)
        yield Static(line(("Tab goes on, Enter notes it.", "$quiet")), markup=False, id="note-said")

    def act(self) -> bool:
        desk = console_app(self).desk
        what, when = self.typed("what").strip(), self.typed("when").strip()
        if not what:
            raise BoatFileError("say what is to be done")
        if not when:
            raise BoatFileError("say by which day, such as 2027-04-01")
        return desk is not None and desk.note_job("", what, "due", when)
