"""What the runner works out beside the answers; see `console.tui.tasks`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.tui.messages import Progress, Worked
from console.tui.runner import Task, Ticket
from console.tui.tasks import BUILD_SECONDS

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.engine.outcome import Outcome
    from console.quantities import System

WEIGHING = "weighing every job"
COMPARING = "comparing"


def weigh_jobs(boat: Boat) -> Task:
    """What every change open to the owner would give."""

    def task(ticket: Ticket) -> None:
        from console.engine import Cancelled
        from console.engine.gains import weigh

        def told(share: float) -> None:
            ticket.post(Progress(ticket.run, WEIGHING, share))

        try:
            weighed = weigh(boat, pairs=False, cancelled=ticket.stale, told=told)
        except Cancelled:
            return
        ticket.post(Worked(ticket.run, lambda desk: desk.note_weighed(boat, weighed)))

    return task


def compare_versions(before: Boat, now: Outcome, system: System) -> Task:
    """Another version of the boat answered on the draws of the boat on the desk, and both compared."""

    def task(ticket: Ticket) -> None:
        from console import prepare
        from console.engine import Cancelled, estimate
        from console.versions import versions

        def told(doing: str, share: float) -> None:
            if ticket.stale():
                raise Cancelled
            ticket.post(Progress(ticket.run, f"{COMPARING}: {doing or 'building tables'}", share))

        try:
            if prepare.missing(before):
                ticket.allow(BUILD_SECONDS)
                prepare.prepare(before, told)
                ticket.allow(None)
            was = estimate(before, now.draws, system, cancelled=ticket.stale, base=now.ran)
        except Cancelled:
            return
        made = versions(was, now, system)
        ticket.post(Worked(ticket.run, lambda desk: desk.note_versions(made)))

    return task
