"""The work list: over the whole boat, what to do next and what is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from console.tui.screens.base import DeskScreen
from console.tui.screens.work_notes import AddJobScreen, NoteScreen
from console.tui.side_tasks import WEIGHING, weigh_jobs
from console.tui.widgets.job_list import JobList
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.sheet import head_of, rest_of
from console.tui.widgets.title import TitleBar
from console.tui.words import line, lines_of, sentence

if TYPE_CHECKING:
    from console.inference.job_sheet import Sheet
    from console.jobs import Job, Rank, WorkList
    from console.noted_jobs import Field

BY = {
    "time": "What gives most for its time stands first; bad news weighs most.",
    "money": "What gives most for its money stands first; bad news weighs most.",
}
NO_COST = "No cost is noted yet: c notes what the marked job costs."
WAIT = "Each job is being tried on the boat, to see what it gives; Esc stops that."
NOTHING = "Nothing that can be worked out here would make it better."


class WorkScreen(DeskScreen):
    """Every job of every plugin, weighed on this boat; Enter opens its sheet."""

    CSS_PATH = "../work.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("m", "rank", "Time or money"),
        Binding("c", "note('cost')", "Cost"),
        Binding("d", "note('due')", "Due day"),
        Binding("a", "add", "Add your own"),
        Binding("ctrl+z", "undo", "Undo", show=False),
        Binding("ctrl+y", "redo", "Redo", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.by: Rank = "time"
        self._made: tuple[object, ...] = ()
        self._list: WorkList | None = None

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield Static("", markup=False, id="work-head")
        with Horizontal(id="work-columns"):
            yield JobList(id="jobs")
            with VerticalScroll(id="work-beside", can_focus=False):
                yield Static("", markup=False, id="work-sheet")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(JobList).focus()

    def on_resize(self) -> None:
        self.show()

    # --- what is shown ----------------------------------------------------------------------

    @property
    def jobs(self) -> JobList:
        """The list."""
        return self.query_one(JobList)

    def show(self) -> None:
        super().show()
        app = self.host
        desk = app.desk
        if desk is None:
            return
        now = desk.now
        if now.weighed is None:
            app.ask_beside(weigh_jobs(desk.boat), WEIGHING)
        if now.fine is not None and now.weighed is not None:
            wanted = (desk.boat, now.fine, now.weighed, self.by)
            if wanted != self._made:
                from console.jobs import arranged

                self._made, self._list = wanted, arranged(desk.boat, now.fine, now.weighed, self.by)
        if self._list is not None:
            self.jobs.show(self._list, app.system)
        self._show_head()
        self._show_sheet()

    def _show_head(self) -> None:
        rows = [line((BY[self.by], "bold"))]
        made = self._list
        if made is None:
            rows.append(line((WAIT, "$quiet")))
        else:
            jobs = [job for _, part in made.parts for job in part]
            if not jobs:
                rows.append(line(NOTHING))
            elif self.by == "money" and all(job.per_money is None for job in jobs):
                rows.append(line((NO_COST, "$watch")))
            for each in made.unwell:
                rows.append(line(("✕ Not working: ", "bold $unknown"), sentence(each.error)))
        self.query_one("#work-head", Static).update(lines_of(rows))

    def _show_sheet(self) -> None:
        job = self._marked()
        box = self.query_one("#work-sheet", Static)
        if job is None or not self.has_class("-wide"):
            box.update("")
            return
        box.update(lines_of([head_of(job, self.host.system), line(""), rest_of(self.sheet(job))]))

    def sheet(self, job: Job) -> Sheet:
        """The sheet of a job."""
        from console.inference.job_sheet import sheet_of

        assert self.host.desk is not None
        return sheet_of(self.host.desk.boat, job.change, self.host.system)

    def _marked(self) -> Job | None:
        return self._list.job(self.jobs.marked) if self._list else None

    @on(JobList.Marked)
    def _moved(self) -> None:
        self._show_sheet()
        self.query_one("#work-beside", VerticalScroll).scroll_home(animate=False)

    # --- what is done -----------------------------------------------------------------------

    @on(JobList.Opened)
    def _open(self, message: JobList.Opened) -> None:
        from console.tui.screens.work_job import JobScreen

        self.app.push_screen(JobScreen(message.key))

    @on(JobList.OpenedDue)
    def _open_due(self, message: JobList.OpenedDue) -> None:
        due = message.due
        if due.event:
            self.host.show_log(due.event)
        elif self._list is not None and self._list.job(due.job) is not None:
            from console.tui.screens.work_job import JobScreen

            self.app.push_screen(JobScreen(due.job))
        else:
            self.app.push_screen(NoteScreen("due", due.job, due.title))

    def action_rank(self) -> None:
        """Rank by the hour, or by money."""
        self.by = "money" if self.by == "time" else "time"
        self.show()

    def action_note(self, field: Field) -> None:
        """Note what the marked job costs, or when it is due."""
        job = self._marked()
        if job is None:
            self.host.say("Mark a job first")
            return
        self.app.push_screen(NoteScreen(field, job.key, job.gain.title))

    def action_add(self) -> None:
        """Note a job of the owner's own."""
        self.app.push_screen(AddJobScreen())

    def action_undo(self) -> None:
        """Take the last edit back."""
        self.host.say("Taken back" if self.host.step_back() else "Nothing to take back")

    def action_redo(self) -> None:
        """Put the last undone edit back."""
        self.host.say("Put back" if self.host.step_forth() else "Nothing to put back")

    def action_back(self) -> None:
        """Stop the weighing when it goes on, and leave."""
        self.host.give_up(WEIGHING)
        self.app.pop_screen()
