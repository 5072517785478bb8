"""What a run of the boat hands to the screen and to the commands: plain records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from console.contract import Answer, Caution, Question
from console.guard import Unwell

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.engine.run import Ran


@dataclass(frozen=True, slots=True)
class Figure:
    """A named result of the day in SI: the nominal, P5 and P95, and hour by hour.

    ``edge`` says that low or high was stretched to hold the nominal. A value is None when the
    model gave no finite number. In a nominal run (``draws == 0``) low and high are None.
    """

    name: str
    unit: str
    style: str
    meaning: str
    value: float | None
    low: float | None = None
    high: float | None = None
    edge: bool = False
    hourly: tuple[float | None, ...] = ()
    hourly_low: tuple[float | None, ...] = ()
    hourly_high: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Driver:
    """How much an uncertain input matters to an answer's figure.

    ``share`` is the squared rank correlation over the draws with what stronger drivers leave, so
    of the ranks' variance; ``sign`` says whether more of it raises the figure (+1) or lowers it (-1).
    """

    path: str
    share: float
    sign: int


@dataclass(frozen=True, slots=True)
class Card:
    """One of the owner's questions, answered.

    ``figure`` is the card's number. ``cautions`` are those its answer names, worst first.
    ``missing`` says in sentences what kept it from an answer. ``drivers`` (largest first) and
    the figure's range are there only after a run over draws.
    """

    question: Question
    plugin: str
    answer: Answer
    figure: Figure | None = None
    cautions: tuple[Caution, ...] = ()
    drivers: tuple[Driver, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """A whole run: ``draws`` is 0 for a nominal run. ``cards`` are sorted, worst news first.

    ``numbers`` holds value, P5 and P95 (SI) of every quantity among the inputs, the computed
    defaults too; in a nominal run P5 and P95 are None.
    ``ran`` holds the arrays, for a later run of nearly the same boat.
    """

    boat: Boat
    draws: int
    figures: Mapping[str, Figure]
    cards: tuple[Card, ...]
    numbers: Mapping[str, tuple[float, float | None, float | None]] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    unwell: tuple[Unwell, ...] = ()
    seconds: float = 0.0
    timings: Mapping[str, float] = field(default_factory=dict)
    ran: Ran | None = field(default=None, repr=False, compare=False)
