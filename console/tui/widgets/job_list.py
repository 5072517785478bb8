"""The work list as big targets: what is due, and each job with what it gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from console.tui.guarded import Guarded
from console.tui.widgets.helps import WHERE
from console.tui.words import line, lines_of, short

if TYPE_CHECKING:
    from console.jobs import Due, Job, WorkList
    from console.quantities import System

DUE = "due:"
JOB = "job:"


class JobList(Guarded, OptionList):
    """What is due and what to do; Enter or a click on one opens it."""

    BINDINGS = [  # noqa: RUF012
        Binding("enter", "select", "Open"),
    ]

    class Marked(Message):
        """The mark has moved to the job ``key`` (``""``: to something due)."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    class Opened(Message):
        """The owner wants the sheet of the job ``key``."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    class OpenedDue(Message):
        """The owner wants to do something about what is due."""

        def __init__(self, due: Due) -> None:
            super().__init__()
            self.due = due

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self._shown: object = None
        self._due: tuple[Due, ...] = ()
        self.marked = ""

    def show(self, made: WorkList, system: System) -> None:
        """List what is due and what to do, in the order of ``made``."""
        if (made, system, self.size.width) == self._shown:
            return
        self._shown = (made, system, self.size.width)
        self._due = made.due
        width = max(self.size.width - 4, 20)
        options = []
        if made.due:
            options.append(_heading("Due"))
            options += [
                Option(due_row(due, width, system), id=f"{DUE}{place}")
                for place, due in enumerate(made.due)
            ]
        for title, jobs in made.parts:
            if jobs:
                options.append(_heading(title))
                options += [
                    Option(job_row(number, job, width, system), id=f"{JOB}{job.key}")
                    for number, job in enumerate(jobs, 1)
                ]
        at, mark = self.highlighted, self._id_at(self.highlighted)
        self.clear_options()
        self.add_options(options)
        places = {option.id: number for number, option in enumerate(options) if option.id}
        if mark in places:
            self.highlighted = places[mark]
        elif at is not None and places:
            self.highlighted = min(places.values(), key=lambda number: abs(number - at))
        else:  # the best job, not what is due: that is what the eye came for
            first = next((n for key, n in places.items() if key.startswith(JOB)), None)
            self.highlighted = min(places.values(), default=None) if first is None else first
            self.scroll_home(animate=False)

    def _id_at(self, at: int | None) -> str | None:
        return self.get_option_at_index(at).id if at is not None and at < self.option_count else None

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self.marked = (event.option_id or "").removeprefix(JOB) if _is_job(event.option_id) else ""
        self.post_message(self.Marked(self.marked))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        chosen = event.option_id or ""
        if _is_job(chosen):
            self.post_message(self.Opened(chosen.removeprefix(JOB)))
        elif chosen:
            self.post_message(self.OpenedDue(self._due[int(chosen.removeprefix(DUE))]))


def _is_job(option_id: str | None) -> bool:
    return (option_id or "").startswith(JOB)


def _heading(text: str) -> Option:
    return Option(line((f" {text}", "bold $key")), disabled=True)


def due_row(due: Due, width: int, system: System) -> Content:
    """Something due, on one line: what and when; late is told by a mark and a word."""
    from console.jobs import due_text

    when = due_text(due, system)
    late = when.startswith("overdue")
    title = short(due.title, max(width - len(when) - 5, 12))
    mark = (" ■ ", "bold $act") if late else "   "
    return line(mark, (title, "bold"), "  ", (when, "bold $act" if late else ""))


def job_row(number: int, job: Job, width: int, system: System) -> Content:
    """A job on two lines: what is done, with its time and cost; and the figure it moves most."""
    from console.results import moved_text

    notes = ", ".join(job_notes(job))
    effect = job.gain.effects[0]
    title = short(job.gain.title, max(width - len(notes) - 5, 12))
    moved = f"   {moved_text(effect, system)}  {effect.meaning}"
    return lines_of([
        line((f" {number} ", "$quiet"), (title, "bold"), "  ", (notes, "$quiet")),
        line((short(moved, width), "$quiet")),
    ])  # fmt: skip


def minutes_text(minutes: float) -> str:
    """How long a job takes, as people say it: ``"30 min"``, ``"4 h"``."""
    return f"{minutes:.0f} min" if minutes < 120 else f"{minutes / 60:.2g} h"


def job_notes(job: Job) -> list[str]:
    """How long a job takes, what it costs and whether there is a hazard in it; its heading says by whom."""
    change = job.change
    notes = [minutes_text(change.minutes)] if change.minutes else []
    if change.who == "licensed" and change.where in WHERE:
        notes.append(WHERE[change.where])
    if job.noted is not None and job.noted.cost is not None:
        notes.append(f"cost {short(job.noted.cost_text, 16)}")
    if change.hazards:
        notes.append("⚠ cautions")
    return notes
