"""What the runner works out beside the answers; see `console.tui.tasks`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.tui.messages import Progress, Worked
from console.tui.runner import Task, Ticket

if TYPE_CHECKING:
    from console.boatfile import Boat

WEIGHING = "weighing every job"


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
