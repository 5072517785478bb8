"""The boat: every input by section, edited in place, with the answers beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.widgets import Input as TextInput
from textual.widgets import Static

from console.boatfile import BoatFileError
from console.desk import Step
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.widgets.edit_box import EditBox
from console.tui.widgets.field_list import FieldList
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.moves import MovesView
from console.tui.widgets.title import TitleBar
from console.tui.words import input_name, line, sentence

if TYPE_CHECKING:
    from console.boatfile import Input


class BoatScreen(DeskScreen):
    """Every input with its value, spread and origin. Enter edits; every answer follows."""

    CSS_PATH = "../boat.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("slash", "find", "Find", key_display="/"),
        Binding("delete,backspace", "assume", "Assumed", key_display="Del"),
        Binding("ctrl+z", "undo", "Undo"),
        Binding("ctrl+y", "redo", "Redo", show=False),
        Binding("ctrl+s", "app.save", "Save"),
        Binding("c", "app.compare", "Compare"),
        Binding("u", "app.units", "Units", show=False),
        Binding("t", "app.next_theme", "Theme", show=False),
    ]

    def __init__(self, path: str = "") -> None:
        super().__init__()
        self._wanted = path
        self._box: EditBox | None = None

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield TextInput(
            placeholder="a part of a name; Enter goes to it, Esc shows all", id="find", compact=True
        )
        with Horizontal(id="boat-columns"):
            with Vertical(id="boat-left"):
                with Container(id="fields-area"):
                    yield FieldList(id="fields")
                yield Static("", markup=False, id="about")
            with VerticalScroll(id="moves-scroll"):
                yield MovesView(id="moves")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#find").display = False
        self._show_fields()
        self.set_focus(self.fields)
        self.fields.go_to(self._wanted)

    @property
    def fields(self) -> FieldList:
        """The list of inputs."""
        return self.query_one("#fields", FieldList)

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        app = self.host
        if app.desk is None:
            return
        self._show_fields()
        self._show_about()
        moves = app.desk.moves()
        self.query_one("#moves", MovesView).show(
            moves, app.system, fresh=app.desk.now.best is not None, beside=self.size.width >= WIDE
        )
        if any(move.moved for move in moves):
            self.query_one("#moves-scroll", VerticalScroll).scroll_home(animate=False)

    def _show_fields(self) -> None:
        app = self.host
        if app.desk is None:
            return
        titles = {section.key: section.title for _, section in app.registry.sections}
        boat = app.desk.boat
        self.fields.show(boat.inputs.values(), titles, boat.absent, app.system, app.numbers)

    def on_resize(self) -> None:
        self.show()

    def _show_about(self) -> None:
        item = self._box.item if self._box else self.fields.current
        about = self.query_one("#about", Static)
        if item is None and self.fields.marked:
            about.update(line("It is not in the boat file, so it is taken not to be aboard."))
        elif item is None:
            about.update(line(("Nothing here has that name; Esc shows all", "$quiet")))
        else:
            about.update(line((input_name(item), "bold"), f"  {sentence(item.help) if item.help else ''}"))

    @on(FieldList.Typed)
    async def _typed_ahead(self, message: FieldList.Typed) -> None:
        """A key that came before the field it was meant for had the focus."""
        field = self.focused
        if not isinstance(field, TextInput):
            return
        if message.character == "\r":
            await field.action_submit()
        else:
            field.replace(message.character, *sorted(field.selection))

    @on(FieldList.Marked)
    def _marked(self) -> None:
        self._show_about()

    # --- moving and finding -----------------------------------------------------------------

    def go_to(self, path: str) -> None:
        """Mark the input at ``path``, or the first."""
        self.set_focus(self.fields)
        self.fields.go_to(path)

    async def action_back(self) -> None:
        """Close what is open: the edit, then the search, then the screen."""
        find = self.query_one("#find", TextInput)
        if self._box is not None:
            await self._close_box()
        elif find.display:
            find.value = ""
            find.display = False
            self.fields.find("")
            self.go_to(self.fields.marked)
        else:
            self.app.pop_screen()

    @on(FieldList.Find)
    def action_find(self) -> None:
        """Open the search line."""
        if self._box is None:
            find = self.query_one("#find", TextInput)
            find.display = True
            self.set_focus(find)

    @on(TextInput.Changed, "#find")
    def _narrow(self, event: TextInput.Changed) -> None:
        self.fields.find(event.value)
        self._show_about()

    @on(TextInput.Submitted, "#find")
    def _found(self) -> None:
        self.go_to(self.fields.marked)

    # --- editing ----------------------------------------------------------------------------

    @on(FieldList.Edit)
    async def _edit(self, message: FieldList.Edit) -> None:
        if self._box is not None:
            await self._close_box()
        self._box = EditBox(message.item, self._hint(message.item), self.fields.size.width)
        self._place_box(2)
        await self.query_one("#fields-area").mount(self._box)
        self._show_about()

    @on(EditBox.Grown)
    def _grown(self) -> None:
        if self._box is not None:
            self._place_box(self._box.outer_size.height)

    def _place_box(self, height: int) -> None:
        if self._box is not None:
            self._box.styles.offset = (0, self.fields.open_gap(height))

    def _hint(self, item: Input) -> str:
        if item.kind in ("choice", "flag"):
            return "Enter takes it, Esc leaves it as it is."
        if item.kind != "quantity":
            words = {"date": "a date such as 2026-07-21", "list": "words with commas between"}
            wanted = words.get(item.kind, "text")
            return f"{wanted[:1].upper()}{wanted[1:]}. Enter takes it, Esc leaves it as it is."
        from console.quantities import STYLES, say

        low, high = (say(edge, item.style, self.host.system) for edge in item.usual)
        return (
            f"Any unit, such as {STYLES[item.style].example}, and a spread with ± or +/- if you like; "
            f"usual {low} to {high}. Esc leaves it as it is."
        )

    async def _close_box(self) -> None:
        box, self._box = self._box, None
        self.fields.close_gap()
        self.set_focus(self.fields)
        if box is not None and box.is_attached:
            await box.remove()
        self._show_about()

    @on(EditBox.Left)
    async def _left(self) -> None:
        await self._close_box()

    @on(EditBox.Done)
    async def _done(self, message: EditBox.Done) -> None:
        at = list(self._paths()).index(message.path)
        try:
            self.host.edit(message.path, message.text)
        except BoatFileError as error:
            if self._box is not None:
                self._box.refuse(error.sentence)
            return
        await self._close_box()
        self.show()
        paths = list(self._paths())
        if message.path not in paths and paths:
            self.go_to(paths[min(at, len(paths) - 1)])  # its item has another name now

    @on(FieldList.Add)
    def _add(self, message: FieldList.Add) -> None:
        before = set(self._paths())
        try:
            self.host.put_aboard(message.path)
        except BoatFileError as error:
            self.host.say(error.sentence, "error")
            return
        self.show()
        self.go_to(next((path for path in self._paths() if path not in before), ""))

    def _paths(self) -> list[str]:
        return list(self.host.desk.boat.inputs) if self.host.desk else []

    def action_assume(self) -> None:
        """Take the owner's own value away from the marked input."""
        item = self.fields.current
        if item is None or not self.fields.has_focus:
            return
        if item.origin == "assumed":
            self.host.say("This is assumed already")
            return
        try:
            self.host.assume(item.path)
        except BoatFileError as error:
            self.host.say(error.sentence, "error")

    async def action_undo(self) -> None:
        """Take the last edit back."""
        await self._stepped(self.host.step_back(), "Taken back", "Nothing to take back")

    async def action_redo(self) -> None:
        """Put the last undone edit back."""
        await self._stepped(self.host.step_forth(), "Put back", "Nothing to put back")

    async def _stepped(self, step: Step | None, done: str, nothing: str) -> None:
        if step is None:
            self.host.say(nothing)
            return
        if self._box is not None:
            await self._close_box()
        self.show()
        self.go_to(step.path)
        item = self.host.desk.boat.inputs.get(step.path) if self.host.desk else None
        self.host.say(f"{done}: {input_name(item)}" if item else done)
