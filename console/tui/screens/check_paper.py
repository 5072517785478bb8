"""A cause with its job sheet, and the note for the technician; both can be written to a file."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from console.checking import Check
from console.tui.checks import WRITING, write_sheet
from console.tui.screens.base import DeskScreen
from console.tui.screens.log_files import FileScreen
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.pane import Pane
from console.tui.widgets.title import TitleBar
from console.tui.words import line, lines_of, plain, sentence

if TYPE_CHECKING:
    from textual.content import Content

PAGE = 12


class PaperFileScreen(FileScreen):
    """Writes a paper as plain text."""

    QUESTION = "Write this as text, to which file?"

    def __init__(self, text: str, file: Path) -> None:
        super().__init__(file)
        self._text = text

    def act(self, path: Path, replace: bool) -> str:
        from console.logbook.writing import write_file

        write_file(self._text + "\n", path, replace)
        return f"Written to {path.name}"


class PaperScreen(DeskScreen):
    """A page to read or to carry into the locker: the job sheet of a cause, or the note without one."""

    CSS_PATH = "../check.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "app.pop_screen", "Back"),
        Binding("f", "file", "Write to a file"),
        Binding("l", "app.log", "The log"),
        Binding("up", "scroll(-1)", "Up", show=False),
        Binding("down", "scroll(1)", "Down", show=False),
        Binding("pageup", f"scroll(-{PAGE})", "Page up", show=False),
        Binding("pagedown,space", f"scroll({PAGE})", "Page down", show=False),
        Binding("home", "scroll(-9999)", "Top", show=False),
        Binding("end", "scroll(9999)", "End", show=False),
    ]

    def __init__(self, check: Check, cause: str = "") -> None:
        super().__init__()
        self.check, self.cause = check, cause

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with Pane(id="cause-pane"):
            yield Static("", markup=False, id="cause-text")
            yield Static("", markup=False, id="cause-sheet")
        yield KeyLine()

    def show(self) -> None:
        super().show()
        text, below = self.query_one("#cause-text", Static), self.query_one("#cause-sheet", Static)
        if not self.cause:
            text.update(plain(self._paper(), lines=True))
            return
        text.update(lines_of(self._head()))
        sheet = self.check.sheets.get((self.cause, self.host.system))
        if sheet is None:
            below.update(line((f"{sentence(WRITING).rstrip('.')}…", "$quiet")))
            self.host.ask_beside(write_sheet(self.check, self.cause, self.host.system), WRITING)
            return
        from console.tui.widgets.sheet import BOAT, HANDS, rest_of

        head = line((f"{HANDS[sheet.who]}, {BOAT[sheet.where]}; about {sheet.minutes:.0f} min", "$quiet"))
        reads = sheet.proof_range
        good = [line(("In good order it reads: ", "bold $key"), reads)] if reads else []
        below.update(
            lines_of([line(("The job sheet", "bold $key")), head, line(""), rest_of(sheet), *good])
        )

    def _head(self) -> list[Content]:
        from console.results import sure_words

        look = self.check.look
        bet = next((each for each in look.bets if each.key == self.cause), None) if look else None
        if bet is None:
            return []
        rows = [
            line((bet.title, "bold")),
            line((f"{100 * bet.chance:.0f} %: {sure_words(bet.chance)}", "bold $key")),
        ]
        rows += [line(("How bad: ", "bold $key"), sentence(bet.severity))] if bet.severity else []
        return [*rows, line(sentence(bet.why)), line("")] if bet.why else [*rows, line("")]

    def _paper(self) -> str:
        """The page as text."""
        look, sheet = self.check.look, self.check.sheets.get((self.cause, self.host.system))
        if not self.cause:
            return look.note if look and look.note else "The note is written once the weighing is done."
        if sheet is None:
            return ""
        from console.inference.job_sheet import sheet_text

        return sheet_text(self.check.boat, sheet)

    def action_file(self) -> None:
        """Write the page as text."""
        desk, text = self.host.desk, self._paper()
        if desk is None or not text:
            return
        folder = desk.home.parent if desk.home else Path.cwd()
        slug = re.sub(r"[^a-z0-9]+", "-", f"{desk.boat.name} {self.cause or 'note'}".lower()).strip("-")
        self.app.push_screen(PaperFileScreen(text, folder / f"{slug}.txt"), self._written)

    def _written(self, said: str | None) -> None:
        if said:
            self.host.say(said)

    def action_scroll(self, rows: int) -> None:
        """Go up or down the page."""
        self.query_one("#cause-pane", Pane).scroll_relative(y=rows, animate=False)
