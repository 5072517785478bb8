"""What the runner works out for the verdict's card; see `console.tui.tasks`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from console.tui.messages import Progress, Worked
from console.tui.runner import Task, Ticket

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.inference.prescription import Plan
    from console.inference.repairs import Verdict
    from console.quantities import System

WEIGHING = "weighing the log"
CALLS = 24
"""The model is usually asked about so many times."""


@dataclass(frozen=True)
class Weighed:
    """What is known of the last repair: the verdict, or before any the plans, or why there is neither."""

    verdict: Verdict | None = None
    plans: tuple[Plan, ...] = ()
    why_not: str = ""


def weigh_repair(
    boat: Boat, log_path: Path | None, system: System, keep: Callable[[Weighed], object]
) -> Task:
    """The verdict on the last repair written down, or what to log before one."""

    def task(ticket: Ticket) -> None:
        from console.engine import Cancelled

        calls = 0

        def told() -> None:
            nonlocal calls
            if ticket.stale():
                raise Cancelled
            calls += 1
            ticket.post(Progress(ticket.run, WEIGHING, min(calls / CALLS, 0.95)))

        try:
            made = _weighed(boat, log_path, system, told)
        except Cancelled:
            return
        ticket.post(Worked(ticket.run, lambda _desk: keep(made)))

    return task


def _weighed(boat: Boat, log_path: Path | None, system: System, told: Callable[[], None]) -> Weighed:
    from console.inference.prescription import plan_log
    from console.inference.repairs import judge, repairs_of
    from console.logbook import Entries, Logbook, LogError

    log = Entries()
    try:
        if log_path is not None and log_path.exists():
            with Logbook(log_path) as book:
                log = Entries(tuple(book.entries()))
        known = repairs_of(boat)
        if any(str(e.value) in known for e in log.events("repair")):
            return Weighed(judge(boat, log, system=system, told=told))
    except (LogError, ValueError) as error:
        return Weighed(why_not=str(error))
    plans: list[Plan] = []
    why = "nothing aboard can be asked about before and after a repair"
    for key in known:
        try:
            plans.append(plan_log(boat, key, told=told))
        except ValueError as error:
            why = str(error)
    return Weighed(plans=tuple(plans), why_not="" if plans else why)
