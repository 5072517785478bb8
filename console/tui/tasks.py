"""What the runner is asked to do. Everything heavy is imported here, in its thread."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from console.tui.messages import Answered, Helped, Opened, Progress, Unreadable
from console.tui.runner import Task, Ticket
from console.tui.words import sentence

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.desk import Answers
    from console.quantities import System
    from console.registry import Registry

BUNDLED = "marram.toml"
BUILD_SECONDS = 600.0
"""A slow machine may be silent for so long while it builds a table."""


def bundled_text() -> str:
    """The demo boat that comes with the console."""
    from importlib.resources import files

    try:
        folder = files("console.scenarios")
    except ModuleNotFoundError:  # run from the source tree, where it is a folder beside ours
        folder = files("console").joinpath("..", "scenarios")
    return folder.joinpath(BUNDLED).read_text(encoding="utf-8")


def open_boat(path: Path | None, registry: Registry) -> Task:
    """Read a boat file, or the bundled one without a path."""

    def task(ticket: Ticket) -> None:
        from console.boatfile import BoatFileError, load, loads
        from console.desk import Desk
        from console.results import system_of

        try:
            boat = loads(bundled_text(), registry) if path is None else load(path, registry)
        except BoatFileError as error:
            ticket.post(Unreadable(ticket.run, sentence(error)))
            return
        ticket.post(Opened(ticket.run, Desk(boat, path), system_of(boat)))

    return task


def answer(boat: Boat, system: System, draws: int, before: Answers) -> Task:
    """Answer the boat's questions: at once without ranges, then with them.

    What is the same as ``before`` is not worked out again.
    """

    def task(ticket: Ticket) -> None:
        from console.engine import Cancelled, estimate

        _dress_all(system)
        try:
            _prepared(boat, ticket)
            base = before.quick.ran if before.quick else None
            outcome = estimate(boat, 0, system, cancelled=ticket.stale, base=base)
            ticket.post(Answered(ticket.run, outcome, last=False))
            base = before.fine.ran if before.fine else None
            outcome = estimate(boat, draws, system, cancelled=ticket.stale, base=base)
        except Cancelled:
            return
        ticket.post(Answered(ticket.run, outcome, last=True))

    return task


def weigh_helps(boat: Boat, question: str) -> Task:
    """What each change of a question would give."""

    def task(ticket: Ticket) -> None:
        from console.engine import Cancelled
        from console.engine.gains import weigh

        def told(share: float) -> None:
            ticket.post(Progress(ticket.run, "working out what would help", share))

        try:
            weighed = weigh(boat, question, cancelled=ticket.stale, told=told)
        except Cancelled:
            return
        ticket.post(Helped(ticket.run, boat, question, weighed))

    return task


_dressed: set[str] = set()


def _dress_all(system: System) -> None:
    """Look every unit up here once, so that the screen never waits for the unit library."""
    if system in _dressed:
        return
    from console.quantities import STYLES, convert

    for style in STYLES:
        convert(1.0, style, system)
    _dressed.add(system)


def _prepared(boat: Boat, ticket: Ticket) -> None:
    """Have the property tables ready; the first building of them takes a while and says so.

    Raises `Cancelled` when the task is stale; the building is given up then.
    """
    from console import prepare
    from console.engine import Cancelled

    if not prepare.missing(boat):
        return

    def say(doing: str, share: float) -> None:
        if ticket.stale():
            raise Cancelled
        ticket.post(Progress(ticket.run, f"first start: {doing or 'building tables'}", share))

    ticket.allow(BUILD_SECONDS)
    say("", 0.0)
    prepare.prepare(boat, say)
    ticket.allow(None)
