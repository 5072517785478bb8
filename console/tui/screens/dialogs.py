"""The two things the console asks: where to save, and whether to leave with unsaved edits."""

from __future__ import annotations

import re
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.desk import Desk
from console.tui.guarded import Guarded
from console.tui.words import line, lines_of, plain, sentence


class SaveScreen(Guarded, ModalScreen[str]):
    """Asks for a file to save the boat to; asks again before it replaces another file."""

    CSS_PATH = "../dialogs.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def __init__(self, desk: Desk, suggested: str = "") -> None:
        super().__init__()
        self.desk = desk
        self._suggested = suggested
        self._agreed: Path | None = None

    def compose(self) -> ComposeResult:
        slug = re.sub(r"[^a-z0-9]+", "-", self.desk.boat.name.lower()).strip("-") or "boat"
        home = self.desk.home or Path.cwd() / (self._suggested or f"{slug}.toml")
        with Vertical(classes="dialog"):
            yield Static(line(("Where should the boat be saved?", "bold")), markup=False)
            yield TextInput(str(home), id="save-path", compact=True)
            yield Static(
                line(("Enter saves, Esc goes back without saving.", "$quiet")), markup=False, id="save-said"
            )
            yield OptionList(
                Option(plain("Save it there")),
                Option(plain("Go back without saving")),
                id="save-ways",
                compact=True,
            )

    def on_mount(self) -> None:
        self.query_one(TextInput).focus()

    def _said(self, text: str) -> None:
        self.query_one("#save-said", Static).update(line((sentence(text), "bold $act")))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if event.option_index:
            self.dismiss(None)
        else:
            self._save()

    @on(TextInput.Submitted)
    def _save(self) -> None:
        typed = self.query_one(TextInput).value.strip()
        if not typed:
            self._said("Type a file name such as my-boat.toml")
            return
        try:
            path = Path(typed).expanduser()
        except RuntimeError:
            self._said("There is no such home folder; type the whole path")
            return
        if path.is_dir():
            self._said(f"{path} is a folder; add a file name")
            return
        if path.suffix != ".toml":
            path = path.with_name(path.name + ".toml")
        if not path.parent.is_dir():
            self._said(f"There is no folder {path.parent}; type one that exists")
            return
        if self.desk.in_the_way(path) and self._agreed != path:
            self._agreed = path
            other = "changed since it was read" if path == self.desk.home else "there already"
            self._said(f"{path.name} is {other}; Enter once more replaces it, Esc goes back")
            return
        try:
            self.desk.save(path)
        except Exception as error:
            self._said(str(error))
            return
        self.dismiss(str(path))


class LeaveScreen(Guarded, ModalScreen[str]):
    """Asks what to do with unsaved edits: ``save``, ``leave``, or nothing (stay)."""

    CSS_PATH = "../dialogs.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Stay")]  # noqa: RUF012
    WISHES = ("save", "leave", "")

    def __init__(self, name: str) -> None:
        super().__init__()
        self._boat_name = name

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(
                lines_of([line((f"{self._boat_name} has edits that are not saved.", "bold"))]), markup=False
            )
            yield OptionList(
                Option(plain("Save, then leave")),
                Option(plain("Leave without saving: the edits are lost")),
                Option(plain("Stay")),
                id="leave-wish", compact=True,
            )  # fmt: skip

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self.WISHES[event.option_index])
