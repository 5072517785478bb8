"""The guided check behind its screens: where checks are kept, and what the worker does for them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from console.checking import Check, Wish, complaints
from console.tui.messages import Failed, Progress, Worked
from console.tui.runner import Task, Ticket
from console.tui.words import sentence

if TYPE_CHECKING:
    from console.desk import Desk
    from console.inference.look import Look
    from console.quantities import System
    from console.tui.app import ConsoleApp

DOING = "weighing the causes"
WRITING = "writing the job sheet"
MOST_STEPS = 8
"""So many times the weighing draws, at most."""

_kept: WeakKeyDictionary[Desk, dict[str, Check]] = WeakKeyDictionary()


def check_on(desk: Desk, complaint: str) -> Check:
    """The check of a complaint, as it was left; with the boat that is on the desk now."""
    checks = _kept.setdefault(desk, {})
    check = checks.get(complaint)
    if check is None or check.boat is not desk.boat:
        made = Check(desk.boat, complaint, complaints(desk.boat).get(complaint, ""))
        if check is not None:
            made.wish, made.look, made.logged = check.wish, check.look, check.logged
            made.reasons = check.reasons
        check = checks[complaint] = made
    return check


def checks_of(desk: Desk) -> dict[str, Check]:
    """The checks begun on this desk."""
    return dict(_kept.get(desk, {}))


def weigh(check: Check, system: System) -> Task:
    """What the readings tell: at once, then as finely as it gets."""
    wish = check.wish

    def task(ticket: Ticket) -> None:
        from console.engine import Cancelled
        from console.inference.look import Consulting

        steps = 0

        def stop() -> bool:
            nonlocal steps
            steps += 1
            ticket.post(Progress(ticket.run, DOING, min(steps / MOST_STEPS, 0.95)))
            return ticket.stale()

        consulting = check.consulting
        if consulting is None or consulting.busy:  # busy: a thread that hung was left behind with it
            consulting = check.consulting = Consulting(check.boat, check.complaint)
        given = [(each.name, each.text) for each in wish.given]
        later = frozenset(wish.later)
        try:
            for look in consulting.looks(given, frozenset(wish.cannot), later, system, stop):
                ticket.post(Worked(ticket.run, partial(_keep, check, look, wish), look.settled))
        except Cancelled:
            return
        except Exception as error:
            check.consulting = None
            why = str(error) if isinstance(error, ValueError) else f"{type(error).__name__}: {error}"
            why = sentence(f"These readings could not be weighed: {why}")
            ticket.post(Worked(ticket.run, lambda _: check.fail(why, wish, system)))

    return task


def _keep(check: Check, look: Look, wish: Wish, _desk: Desk) -> None:
    check.note(look, wish)


def write_sheet(check: Check, cause: str, system: System) -> Task:
    """The job sheet of a cause, with what its proof reads on this boat."""

    def task(ticket: Ticket) -> None:
        from console.inference.job_sheet import job_sheet

        try:
            sheet = job_sheet(check.boat, f"{check.complaint}.{cause}", system)
        except ValueError as error:
            ticket.post(Failed(ticket.run, sentence(error)))
            return
        ticket.post(Worked(ticket.run, lambda _: check.sheets.__setitem__((cause, system), sheet)))

    return task


def ask_look(app: ConsoleApp, check: Check) -> None:
    """Have weighed what was not weighed yet, in place of an older weighing of the same check."""
    wanted = (check.wish, app.system)
    if not check.due(app.system) or (app.doing.startswith(DOING) and check.weighing == wanted):
        return
    app.give_up(DOING)
    if not app.doing:
        check.weighing = wanted
        app.ask_beside(weigh(check, app.system), DOING)
