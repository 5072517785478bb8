"""One job, as a sheet: what it gives, what to mind, to have at hand and to do, and the proof."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from console.tui.screens.base import DeskScreen
from console.tui.screens.work_notes import NoteScreen
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.pane import Pane
from console.tui.widgets.sheet import TryRow, head_of, rest_of
from console.tui.widgets.title import TitleBar
from console.tui.words import line

if TYPE_CHECKING:
    from console.jobs import Job
    from console.noted_jobs import Field

GONE = "On the boat as she is now, this gives nothing; Esc goes back to the list."
PAGE = 12


class JobScreen(DeskScreen):
    """A job sheet; Enter tries the job on the boat."""

    CSS_PATH = "../work.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "app.pop_screen", "Back"),
        Binding("c", "note('cost')", "Cost"),
        Binding("d", "note('due')", "Due day"),
        Binding("up", "scroll(-1)", "Up", show=False),
        Binding("down", "scroll(1)", "Down", show=False),
        Binding("pageup", f"scroll(-{PAGE})", "Page up", show=False),
        Binding("pagedown,space", f"scroll({PAGE})", "Page down", show=False),
        Binding("home", "scroll(-9999)", "Top", show=False),
        Binding("end", "scroll(9999)", "End", show=False),
        Binding("ctrl+z", "undo", "Undo", show=False),
    ]

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with Pane(id="job-scroll"):
            yield Static("", markup=False, id="job-head")
            yield TryRow(id="job-try")
            yield Static("", markup=False, id="job-rest")
        yield KeyLine()

    def on_mount(self) -> None:
        self.set_focus(self.query_one(TryRow), scroll_visible=False)

    def show(self) -> None:
        super().show()
        app = self.host
        job = self._job()
        head, rest = self.query_one("#job-head", Static), self.query_one("#job-rest", Static)
        self.query_one(TryRow).display = rest.display = job is not None
        if job is None or app.desk is None:
            head.update(line(app.doing or GONE))
            return
        from console.inference.job_sheet import sheet_of

        head.update(head_of(job, app.system))
        rest.update(rest_of(sheet_of(app.desk.boat, job.change, app.system)))

    def _job(self) -> Job | None:
        desk = self.host.desk
        known = desk.latest if desk else None
        if desk is None or known is None or desk.now.weighed is None:
            return None
        from console.jobs import job_of

        return job_of(desk.boat, known, desk.now.weighed, self.key)

    def action_scroll(self, rows: int) -> None:
        """Go up or down the sheet."""
        self.query_one("#job-scroll", Pane).scroll_relative(y=rows, animate=False)

    def action_note(self, field: Field) -> None:
        """Note what it costs, or when it is due."""
        job = self._job()
        if job is not None:
            self.app.push_screen(NoteScreen(field, self.key, job.gain.title))

    def action_undo(self) -> None:
        """Take the last edit back."""
        self.host.say("Taken back" if self.host.step_back() else "Nothing to take back")

    @on(TryRow.TryIt)
    def _try_it(self) -> None:
        job = self._job()
        if job is not None:
            self.app.pop_screen()
            self.host.try_on(job.gain.keys, job.gain.title)
