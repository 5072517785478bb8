"""The boat: every input by section, edited in place, with the answers beside it."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Footer, Static
from textual.widgets import Input as TextInput

from console.boatfile import BoatFileError
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.widgets.fields import EditBox, FieldRow
from console.tui.widgets.moves import MovesView
from console.tui.widgets.pane import Pane
from console.tui.widgets.title import Heading, TitleBar
from console.tui.words import input_name, line, lines_of, sentence

if TYPE_CHECKING:
    from console.boatfile import Input


class BoatScreen(DeskScreen):
    """Every input with its value, spread and origin. Enter edits; every answer follows."""

    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("up", "step(-1)", "Up", show=False),
        Binding("down", "step(1)", "Down", show=False),
        Binding("pageup", "step(-10)", "Page up", show=False),
        Binding("pagedown", "step(10)", "Page down", show=False),
        Binding("home", "edge(0)", "First", show=False),
        Binding("end", "edge(-1)", "Last", show=False),
        Binding("slash", "find", "Find", key_display="/"),
        Binding("delete,backspace", "assume", "Assumed", key_display="Del"),
        Binding("ctrl+z", "undo", "Undo"),
        Binding("ctrl+y", "redo", "Redo", show=False),
        Binding("ctrl+s", "app.save", "Save"),
        Binding("u", "app.units", "Units", show=False),
        Binding("t", "app.next_theme", "Theme", show=False),
    ]

    def __init__(self, path: str = "") -> None:
        super().__init__()
        self._wanted = path
        self._box: EditBox | None = None
        self._row: FieldRow | None = None

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield TextInput(
            placeholder="type a part of a name; Enter goes to it, Esc shows all", id="find", compact=True
        )
        with Horizontal(id="boat-columns"):
            with Vertical(id="boat-left"):
                with Pane(id="fields"):
                    yield from self._rows()
                yield Static("", markup=False, id="about")
            with VerticalScroll(id="moves-scroll"):
                yield MovesView(id="moves")
        yield Footer(show_command_palette=False)

    def _rows(self) -> ComposeResult:
        app = self.host
        if app.desk is None:
            return
        titles = {section.key: section.title for _, section in app.registry.sections}
        for key, items in groupby(app.desk.boat.inputs.values(), lambda item: item.section):
            yield Heading(titles.get(key, key), classes="section")
            for item in items:
                yield FieldRow(item, app.system, app.numbers)
        for _, section in app.registry.sections:
            if section.key in app.desk.boat.absent:
                yield Heading(section.title, classes="section")
                yield Static(line((f"Not aboard. To add it, write [{section.key}] in the boat file.", "$quiet")),
                             markup=False, classes="absent")  # fmt: skip

    def on_mount(self) -> None:
        self.query_one("#find").display = False
        self.go_to(self._wanted)

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        app = self.host
        if app.desk is None:
            return
        inputs = app.desk.boat.inputs
        rows = self._all()
        if [row.item.path for row in rows] != list(inputs):
            self.call_later(self._rebuild)
            return
        for row in rows:
            row.show(inputs[row.item.path], app.system, app.numbers)
        self._show_about()
        moves = app.desk.moves()
        self.query_one("#moves", MovesView).show(
            moves, app.system, fresh=app.desk.now is not None, beside=self.size.width >= WIDE
        )
        if any(move.moved for move in moves):
            self.query_one("#moves-scroll", VerticalScroll).scroll_home(animate=False)

    def on_resize(self) -> None:
        self.show()

    async def _rebuild(self) -> None:
        """The edit gave the boat other inputs: lay the rows out anew."""
        at = self.focused.item.path if isinstance(self.focused, FieldRow) else ""
        fields = self.query_one("#fields", Pane)
        self._box = self._row = None
        with self.app.batch_update():
            await fields.remove_children()
            await fields.mount(*self._rows())
        self.go_to(at)
        self.show()

    def _show_about(self) -> None:
        about = self.query_one("#about", Static)
        row = (
            self._box.item
            if self._box
            else (self.focused.item if isinstance(self.focused, FieldRow) else None)
        )
        if row is None:
            about.update(line(("↑ ↓ move, Enter edits, / finds", "$quiet")))
            return
        about.update(
            lines_of([line((input_name(row), "bold"), f"  {sentence(row.help) if row.help else ''}")])
        )

    def on_descendant_focus(self) -> None:
        self._show_about()

    # --- moving -----------------------------------------------------------------------------

    def _all(self) -> list[FieldRow]:
        return list(self.query_one("#fields").query(FieldRow))

    def _visible(self) -> list[FieldRow]:
        return [row for row in self._all() if row.display]

    def go_to(self, path: str) -> None:
        """Put the focus on the input at ``path``, or on the first."""
        rows = self._all()
        row = next((row for row in rows if row.item.path == path), None) or (rows[0] if rows else None)
        if row is not None:
            row.display = True
            row.focus()

    def action_step(self, by: int) -> None:
        """Move the focus up or down by so many rows."""
        rows = self._visible()
        if not rows or self._box is not None:
            return
        if self.focused not in rows:
            rows[0].focus()
            return
        at = rows.index(self.focused)
        target = min(max(at + by, 0), len(rows) - 1)
        rows[target].focus()
        if target == 0:
            self.query_one("#fields", Pane).scroll_home(animate=False)

    def action_edge(self, which: int) -> None:
        """Move the focus to the first or the last row."""
        rows = self._visible()
        if rows and self._box is None:
            self.action_step(-len(rows) if which == 0 else len(rows))

    async def action_back(self) -> None:
        """Close what is open: the edit, then the search, then the screen."""
        find = self.query_one("#find", TextInput)
        if self._box is not None:
            await self._close_box()
        elif find.display:
            find.value = ""
            find.display = False
            self._filter("")
            self._refocus()
        else:
            self.app.pop_screen()

    # --- finding ----------------------------------------------------------------------------

    def action_find(self) -> None:
        """Open the search line."""
        if self._box is None:
            find = self.query_one("#find", TextInput)
            find.display = True
            find.focus()

    @on(TextInput.Changed, "#find")
    def _narrow(self, event: TextInput.Changed) -> None:
        self._filter(event.value)

    @on(TextInput.Submitted, "#find")
    def _found(self) -> None:
        rows = self._visible()
        if rows:
            rows[0].focus()

    def _filter(self, wanted: str) -> None:
        heading: Heading | None = None
        for child in self.query_one("#fields").children:
            if isinstance(child, Heading):
                heading = child
                heading.display = not wanted.strip()
            elif isinstance(child, FieldRow):
                child.display = child.matches(wanted)
                if child.display and heading is not None:
                    heading.display = True

    def _refocus(self) -> None:
        rows = self._visible()
        if rows:
            (self._row if self._row in rows else rows[0]).focus()

    # --- editing ----------------------------------------------------------------------------

    async def on_field_row_edit(self, message: FieldRow.Edit) -> None:
        if self._box is not None:
            await self._close_box()
        self._row = message.row
        self._box = EditBox(message.row.item, self._hint(message.row.item))
        await self.query_one("#fields").mount(self._box, after=message.row)
        message.row.display = False
        self.call_after_refresh(self._box.scroll_visible, animate=False)
        self._show_about()

    def _hint(self, item: Input) -> str:
        if item.kind in ("choice", "flag"):
            return "Enter takes it, Esc leaves it as it is."
        if item.kind != "quantity":
            wanted = {"date": "a date such as 2026-07-21", "list": "words with commas between"}.get(
                item.kind, "text"
            )
            return f"{wanted[:1].upper()}{wanted[1:]}. Enter takes it, Esc leaves it as it is."
        from console.quantities import STYLES, say

        low, high = (say(edge, item.style, self.host.system) for edge in item.usual)
        return f"Any unit, with ± or +/- and a spread, such as {STYLES[item.style].example}; usual {low} to {high}. Esc leaves it as it is."

    async def _close_box(self) -> None:
        box, row = self._box, self._row
        self._box = None
        if row is not None:
            row.display = True
            row.focus()
        if box is not None and box.is_attached:
            await box.remove()
        self._show_about()

    async def on_edit_box_left(self) -> None:
        await self._close_box()

    async def on_edit_box_done(self, message: EditBox.Done) -> None:
        app = self.host
        try:
            app.edit(message.path, message.text)
        except BoatFileError as error:
            if self._box is not None:
                self._box.refuse(error.sentence)
            return
        await self._close_box()
        self.show()

    def action_assume(self) -> None:
        """Take the owner's own value away from the focused input."""
        row = self.focused
        if not isinstance(row, FieldRow):
            return
        if row.item.origin == "assumed":
            self.host.say("This is assumed already")
            return
        try:
            self.host.assume(row.item.path)
        except BoatFileError as error:
            self.host.say(error.sentence, "error")

    async def action_undo(self) -> None:
        """Take the last edit back."""
        await self._stepped(self.host.step_back(), "Taken back", "Nothing to take back")

    async def action_redo(self) -> None:
        """Put the last undone edit back."""
        await self._stepped(self.host.step_forth(), "Put back", "Nothing to put back")

    async def _stepped(self, step: object, done: str, nothing: str) -> None:
        from console.desk import Step

        if not isinstance(step, Step):
            self.host.say(nothing)
            return
        if self._box is not None:
            await self._close_box()
        self.go_to(step.path)
        item = self.host.desk.boat.inputs.get(step.path) if self.host.desk else None
        self.host.say(f"{done}: {input_name(item)}" if item else done)
