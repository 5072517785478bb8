"""Every message the runner posts, in one place. Each carries the number of its run."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.desk import Desk
    from console.engine.gains import Weighed
    from console.engine.outcome import Outcome
    from console.quantities import System


class FromRun(Message):
    """Something from run number ``run``; the app drops those of a run it has moved on from."""

    def __init__(self, run: int) -> None:
        super().__init__()
        self.run = run


class Opened(FromRun):
    """The boat file was read; ``system`` is the unit system it is written in."""

    def __init__(self, run: int, desk: Desk, system: System) -> None:
        super().__init__(run)
        self.desk = desk
        self.system = system


class Unreadable(FromRun):
    """The boat file could not be read, and why in one sentence."""

    def __init__(self, run: int, why: str) -> None:
        super().__init__(run)
        self.why = why


class Answered(FromRun):
    """A run is done; ``last`` says that no finer one follows."""

    def __init__(self, run: int, outcome: Outcome, last: bool) -> None:
        super().__init__(run)
        self.outcome = outcome
        self.last = last


class Helped(FromRun):
    """What the changes of a question would give on this boat."""

    def __init__(self, run: int, boat: Boat, question: str, weighed: Weighed) -> None:
        super().__init__(run)
        self.boat, self.question, self.weighed = boat, question, weighed


class Worked(FromRun):
    """Something asked for beside the answers is there; ``keep`` puts it where it belongs on the desk.

    Not ``last``: more of it follows.
    """

    def __init__(self, run: int, keep: Callable[[Desk], object], last: bool = True) -> None:
        super().__init__(run)
        self.keep, self.last = keep, last


class Progress(FromRun):
    """Long work goes on: ``share`` 0..1 (None: not known) of what ``doing`` says."""

    def __init__(self, run: int, doing: str, share: float | None) -> None:
        super().__init__(run)
        self.doing = doing
        self.share = share

    def can_replace(self, message: Message) -> bool:
        return isinstance(message, Progress)


class Failed(FromRun):
    """A run ended without an answer, and why in one sentence."""

    def __init__(self, run: int, why: str) -> None:
        super().__init__(run)
        self.why = why
