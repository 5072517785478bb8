"""Two versions of the boat side by side, on the same draws."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from console.tui.screens.base import WIDE, DeskScreen
from console.tui.side_tasks import COMPARING, compare_versions
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.side_by_side import figure_rows, pair_rows, stated_rows
from console.tui.widgets.title import TitleBar
from console.tui.words import line, lines_of

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.versions import Versions

Against = Literal["file", "edit", "other"]
NO_EDIT = "There is no edit to compare with: nothing was changed, or all of it was taken back."
SAME = "Nothing is stated otherwise, so every answer is the same."
HOW = "f the file, e the last edit, o another boat file"


class CompareScreen(DeskScreen):
    """The boat on the desk against the file, another file, or itself before the last edit."""

    CSS_PATH = "../compare.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("f", "against('file')", "With the file"),
        Binding("e", "against('edit')", "Before the edit"),
        Binding("o", "other", "Another boat"),
        Binding("ctrl+z", "undo", "Undo", show=False),
        Binding("ctrl+y", "redo", "Redo", show=False),
        Binding("ctrl+s", "app.save", "Save", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.against: Against | None = None
        self._other: Boat | None = None
        self._made: object = None

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield Static("", markup=False, id="compare-head")
        with VerticalScroll(id="compare-scroll"), Horizontal(id="compare-columns"):
            yield Static("", markup=False, id="compare-questions")
            yield Static("", markup=False, id="compare-figures")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#compare-scroll").focus()

    def on_resize(self) -> None:
        self._made = None
        self.show()

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        app = self.host
        desk = app.desk
        if desk is None:
            return
        if self.against is None:
            self.against = "edit" if not desk.unsaved and desk.can_undo else "file"
        before = self._before()
        made = desk.now.versions
        if made is not None and (made.before.boat is not before or made.now is not desk.now.fine):
            made = None
        if before is not None and made is None and desk.now.fine is not None:
            app.ask_beside(compare_versions(before, desk.now.fine, app.system), COMPARING)
        self.query_one("#compare-head", Static).update(
            lines_of([
                line(("The boat on the desk", "bold"), " against ", (self._named(), "bold")),
                line((HOW, "$quiet")),
            ])
        )  # fmt: skip
        self._show_body(before, made)

    def _before(self) -> Boat | None:
        desk = self.host.desk
        if desk is None:
            return None
        if self.against == "other":
            return self._other
        return desk.before_edit if self.against == "edit" else desk.saved

    def _named(self) -> str:
        desk = self.host.desk
        if self.against == "edit":
            return "herself before the last edit"
        if self.against == "other" and self._other is not None:
            path = self._other.path
            return f"{self._other.name}, {path.name if path else 'another boat'}"
        home = desk.home if desk else None
        if home is not None:
            return f"the file as saved, {home.name}"
        return (
            "the demo boat as she comes" if desk is None or desk.is_demo else "your own boat as she began"
        )

    def _show_body(self, before: Boat | None, made: Versions | None) -> None:
        state = (before, made, self.host.system, self.size.width)
        if state == self._made:
            return
        self._made = state
        left = self.query_one("#compare-questions", Static)
        right = self.query_one("#compare-figures", Static)
        right.display = made is not None
        if made is None:
            left.update(
                line(
                    (
                        NO_EDIT
                        if before is None
                        else "Working both out on the same draws; Esc stops that.",
                        "$quiet",
                    )
                )
            )
            return
        room = self.size.width - 3
        wide = self.size.width >= WIDE
        system = self.host.system
        rows = stated_rows(made) or [line(SAME)]
        if made.stated or any(pair.moved for pair in made.pairs):
            rows += pair_rows(made, system, room * 58 // 100 - 2 if wide else room)
        left.update(lines_of(rows))
        right.display = bool(made.figures)
        right.update(lines_of(figure_rows(made, system)))

    # --- what is done -----------------------------------------------------------------------

    def action_against(self, what: Against) -> None:
        """Compare with the file, or with the boat before the last edit."""
        self._choose(what)

    def _choose(self, what: Against) -> None:
        self.against = what
        self.query_one("#compare-scroll", VerticalScroll).scroll_home(animate=False)
        self.show()

    def action_other(self) -> None:
        """Ask for another boat file."""
        from console.tui.screens.compare_file import OtherBoatScreen

        desk = self.host.desk
        if desk is not None:
            self.app.push_screen(OtherBoatScreen(desk.home, self.host.registry), self._chosen)

    def _chosen(self, boat: Boat | None) -> None:
        if boat is not None:
            self._other = boat
            self._choose("other")

    def action_undo(self) -> None:
        """Take the last edit back."""
        self.host.say("Taken back" if self.host.step_back() else "Nothing to take back")

    def action_redo(self) -> None:
        """Put the last undone edit back."""
        self.host.say("Put back" if self.host.step_forth() else "Nothing to put back")

    def action_back(self) -> None:
        """Stop comparing when that goes on, and leave."""
        self.host.give_up(COMPARING)
        self.app.pop_screen()
