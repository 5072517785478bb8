"""The contract between the console and its plugins: six hooks that yield frozen records.

This is the one module a plugin author must read. It imports the standard library and pluggy
alone, so that importing a plugin's wiring stays cheap: models and functions are named as
``"module:attribute"`` strings, which the console imports, under guard, after the first paint.

Conventions that hold for every record:

* Every number inside is SI, absolute temperatures in kelvin, angles in radians, shares 0..1.
* An array has the axes (draws, steps). Row 0 is the nominal boat; the other rows are draws.
  An input has the shape (draws, 1) and broadcasts over the steps.
* A plugin gives only figures under its own entry-point name (``raw_water.flow``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from typing import TYPE_CHECKING, Any, Literal, Protocol

import pluggy

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

PROJECT = "boat_console"
ENTRY_POINT_GROUP = "boat_console.plugins"

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


# --- sections -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FirstFact:
    """A fact that a new boat file begins with: an input every owner can state without a tool.

    ``path`` is the input within the section, ``ask`` the question, ``example`` an answer, ``note``
    stands beside it in the file.
    """

    path: str
    ask: str
    example: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Complaint:
    """What an owner complains of. The causes and readings of this ``key`` are weighed for it.

    ``title`` says it as an owner would ("It cools poorly"); ``questions`` are keys of the cards on
    which the guided check of it is offered.
    """

    key: str
    title: str
    questions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A table of the boat file.

    ``key`` is the table's name and must be the plugin's entry-point name. ``model`` names a
    subclass of `console.fields.Table`. ``when_absent`` says what a file without the table
    means: the average one is ``"assumed"``, or the thing is ``"not_aboard"``. ``assumed_with``
    is another table: where a plugin has it, the average one is assumed in a file with that one
    only, and else not aboard. ``first_facts`` are asked of whoever begins a boat file.
    ``complaints`` titles those that the plugin's causes name.
    """

    key: str
    model: str
    title: str
    when_absent: Literal["assumed", "not_aboard"] = "assumed"
    first_facts: tuple[FirstFact, ...] = ()
    assumed_with: str = ""
    complaints: tuple[Complaint, ...] = ()


# --- estimates ------------------------------------------------------------------------------

Daily = Literal["mean", "largest", "least", "last", "at_worst_hour"]


@dataclass(frozen=True, slots=True)
class Given:
    """A figure an estimate gives.

    ``name`` may be a family, ``"raw_water.loss.*"``. ``unit`` is a coherent SI unit as pint
    spells it (``"m**3/s"``, ``"K"``, ``"1"``). ``style`` names how it is dressed for reading
    (`console.quantities.STYLES`); without it the unit's own default. ``daily`` is how 24 hourly
    values become the day's one: ``"at_worst_hour"`` takes the hour in which the figure named
    by ``worst_of`` is largest.
    """

    name: str
    unit: str
    meaning: str
    style: str = ""
    daily: Daily = "mean"
    worst_of: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """A figure an estimate needs from whoever gives it.

    ``default`` is used when nobody does: a quantity with spread (``"28 degC ± 3 degC"``), a
    function ``"module:attribute"`` of the `Run`, or None (then the estimate is unwell and says
    which plugin is missing).
    """

    name: str
    unit: str
    default: str | None = None


class Run(Protocol):
    """What an estimate may see of the run it is part of."""

    step_seconds: float
    steps: int
    draws: int

    @property
    def hours(self) -> Array:
        """Local solar-clock hour of the day at the middle of each step, shape (steps,)."""

    @property
    def untouched(self) -> Run:
        """The inputs before any change: what a calibration to the owner's measurement uses."""

    def number(self, path: str, default: float | None = None) -> Array:
        """Input at ``path`` in SI, shape (draws, 1). KeyError when absent without default."""

    def text(self, path: str, default: str | None = None) -> str:
        """Choice or text input at ``path``."""

    def value(self, path: str, default: Any = None) -> Any:
        """Any other input (list of texts, bool, date) as the file has it."""

    def has(self, path: str) -> bool:
        """Whether there is such an input or table aboard (given or assumed)."""

    def given(self, path: str) -> bool:
        """Whether the owner's file states it (False: assumed)."""

    def items(self, path: str) -> tuple[str, ...]:
        """Full paths of the items of the list of tables at ``path``, in file order."""

    def figure(self, name: str) -> Array:
        """A needed figure, shape (draws, steps), read-only."""

    def family(self, prefix: str) -> Mapping[str, Array]:
        """The needed figures whose names start with ``prefix`` + ".", by full name."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A pure function over arrays, and its place in the order.

    ``function`` names ``def f(run: Run) -> Mapping[str, Array]``: every given name, each
    broadcastable to (draws, steps). ``about`` is the table that must be aboard for it to run.
    A ``stateful`` estimate needs the whole day; in the moment timeline its figures are pinned.
    """

    key: str
    function: str
    needs: tuple[Need, ...]
    gives: tuple[Given, ...]
    about: str = ""
    stateful: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """An input that moves from day to day: the strainer's blocked share, the frost on the plate.

    ``path`` is the input, ``rate`` the figure (its unit per second) by which a day changes it,
    ``reset_by`` the event that puts it back to what it was when clean. Day and moment hold it;
    a run of days adds rate times step. ``due`` is the figure (s) in how long it wants that event,
    ``title`` what is to be done then ("Clean the strainer"), ``fits`` the inputs that the owner's own
    log may narrow.
    """

    path: str
    rate: str
    reset_by: str
    due: str = ""
    title: str = ""
    fits: tuple[str, ...] = ()


# --- readings -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Reading:
    """Something an owner can observe.

    A ``"condition"`` sets the figure it names in ``predicts`` for the moment; ``"evidence"`` is
    compared with it. Numeric readings have a ``unit``; choices have ``choices`` and ``chances``,
    a function of the `Run` giving (draws, len(choices)) — of figures, never of causes.
    ``instrument`` names a shared bias: all readings of one instrument share one error per draw.
    ``own_error`` is the scatter of one reading, ``model_error`` what the model itself may be out
    there, all three half-widths of the central 90 %. A condition that also speaks names in
    ``expects`` the figure the boat would show there; it is weighed against it when the readings
    ``beside`` are there too. ``forbids`` pairs a choice with a hazard: found so, no step with that
    hazard is offered (a stiff seacock, and what opens the line).

    In a log a reading may be of a time: ``over`` is ``"instant"``, ``"day"`` or ``"since:EVENT"``,
    and ``sets`` names the input it states, for that day or, of an event, from then on.
    ``period_error`` is what all such readings before a repair, or all after it, may share
    (melt-water lost down the drain); once the events ``surer_after`` are all logged it is
    ``surer_error`` instead.
    """

    name: str
    title: str
    how: str
    minutes: float
    role: Literal["condition", "evidence", "event"]
    unit: str = ""
    style: str = ""
    choices: tuple[str, ...] = ()
    predicts: str = ""
    expects: str = ""
    beside: tuple[str, ...] = ()
    chances: str = ""
    instrument: str = ""
    shared_error: str = ""
    own_error: str = ""
    model_error: str = ""
    over: str = "instant"
    hazards: tuple[str, ...] = ()
    complaints: tuple[str, ...] = ()
    forbids: tuple[tuple[str, str], ...] = ()
    sets: str = ""
    period_error: str = ""
    surer_after: tuple[str, ...] = ()
    surer_error: str = ""


# --- changes --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Alter:
    """What a change does to one input: set it, scale it or add to it.

    An item of a list may be named by its part where no item has that key
    (``raw_water.line.strainer.blocked``: the first strainer); ``*`` is the first item that has
    the field. ``by`` is a quantity with spread, ``"severity"`` for the change's own draw, or,
    with ``how="set"``, a choice of the field. What comes out is held within the hard limits.
    """

    path: str
    how: Literal["set", "scale", "add"]
    by: str


@dataclass(frozen=True, slots=True)
class Part:
    """A part a change needs; ``size`` is text with ``{path}`` places filled from the inputs."""

    name: str
    size: str = ""
    count: int = 1


@dataclass(frozen=True, slots=True)
class Effect:
    """A figure by which a change is judged, and which way is better."""

    figure: str
    better: Literal["less", "more"] = "less"


@dataclass(frozen=True, slots=True)
class Change:
    """A fault, a what-if or a repair: named inputs, altered.

    ``key`` is its own within its ``complaint`` (causes) or its plugin. ``severity`` is a quantity
    with spread whose draws the alters of ``by="severity"`` use. ``effects`` are what the console
    shows before and after, the first of them ranks it; ``questions`` the cards it is shown on.
    ``about`` is the table that must be aboard. A change that alters nothing aboard is left out;
    a cause without alters is the boat as it is. ``flags`` of a repair names ``def f(days, log)``,
    sentences on what else in that log should be minded (`console.inference.logged.LoggedDays`). ``weighed_by`` is a figure (0..1) that says how far
    each draw is a case of the cause, so that one run may be split into two causes. ``wish`` marks an
    action that is the owner's own choice: it is shown on its cards, never among the jobs to do.
    """

    key: str
    kind: Literal["cause", "action", "repair"]
    title: str
    alters: tuple[Alter, ...]
    why: str = ""
    severity: str = ""
    prior: float = 0.0
    complaint: str = ""
    weighed_by: str = ""
    odds: Mapping[str, float] = field(default_factory=dict)
    remedy: str = ""
    who: Literal["owner", "licensed"] = "owner"
    where: Literal["afloat", "hauled_out"] = "afloat"
    minutes: float = 0.0
    needs: tuple[Part, ...] = ()
    proof: tuple[str, str] = ("", "")
    cost: str = ""
    hazards: tuple[str, ...] = ()
    effects: tuple[Effect, ...] = ()
    questions: tuple[str, ...] = ()
    about: str = ""
    flags: str = ""
    wish: bool = False


class Urgency(IntEnum):
    """How bad the news is; the worst is shown first."""

    ACT = 0
    WATCH = 1
    UNKNOWN = 2
    FINE = 3
    NOT_ABOARD = 4


# --- pictures -------------------------------------------------------------------------------
# Plain records in SI; the console draws each in cells and in SVG, in the owner's units.

Row = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Series:
    """A named curve; ``low`` and ``high`` are its range, when it has one."""

    label: str
    values: Row
    low: Row = ()
    high: Row = ()


@dataclass(frozen=True, slots=True)
class Stack:
    """Hour by hour, layers on top of each other, against lines (a capacity, a limit).

    ``marked`` are the hours to mark (short of capacity, over the limit), with ``mark_note``
    saying in words what they are.
    """

    title: str
    style: str
    hours: Row
    layers: tuple[Series, ...]
    lines: tuple[Series, ...] = ()
    marked: tuple[float, ...] = ()
    mark_note: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    label: str
    value: float
    low: float | None = None
    high: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    title: str
    style: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class LinePart:
    """One part of a water line: the head it takes (m), the height it lies at (m above water)."""

    label: str
    kind: str
    loss: float
    height: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class WaterLine:
    """The line in the order the water goes, each loss as wide as it is."""

    title: str
    parts: tuple[LinePart, ...]
    flow: float
    head_available: float


@dataclass(frozen=True, slots=True)
class Arrow:
    """Something crossing one face of a box: ``face`` is where, ``what`` heat or vapour."""

    face: Literal["lid", "front", "hull", "sides", "bottom", "drain", "inside"]
    label: str
    value: float
    what: Literal["heat", "vapour"] = "heat"


@dataclass(frozen=True, slots=True)
class CutBox:
    """A box in section with what crosses its faces, and frost on its plate against a limit."""

    title: str
    style: str
    opening: Literal["lid", "door"]
    arrows: tuple[Arrow, ...]
    inside: float
    outside: float
    plate: float
    frost: float
    frost_limit: float
    vapour_style: str = "mass_per_day"


@dataclass(frozen=True, slots=True)
class Curve:
    """Curves over any axis."""

    title: str
    x_style: str
    y_style: str
    x: Row
    series: tuple[Series, ...]
    x_label: str = ""
    y_label: str = ""
    limits: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Distribution:
    """One or two sets of draws as distributions, with an optional limit line."""

    title: str
    style: str
    groups: tuple[Series, ...]
    limit: tuple[str, float] | None = None


@dataclass(frozen=True, slots=True)
class AirState:
    """A state of moist air: K and kg of water per kg of dry air."""

    label: str
    temperature: float
    humidity_ratio: float


@dataclass(frozen=True, slots=True)
class AirChart:
    """The psychrometric chart: states of air, and ``steps`` from one to another by index."""

    title: str
    states: tuple[AirState, ...]
    steps: tuple[tuple[int, int], ...] = ()
    pressure: float = 101325.0


@dataclass(frozen=True, slots=True)
class ListRow:
    """One row of a list: its cells in words, and how bad it is."""

    cells: tuple[str, ...]
    urgency: Urgency | None = None


@dataclass(frozen=True, slots=True)
class Listing:
    """A table in words, each row with its verdict."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[ListRow, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Timeline:
    """Readings over days with the events among them; times in seconds since 1970 (UTC).

    ``timezone`` (an IANA name) is whose clock and calendar the dates are told by.
    """

    title: str
    style: str
    at: Row
    series: tuple[Series, ...]
    events: tuple[tuple[float, str], ...] = ()
    timezone: str = "UTC"


Picture = Stack | Bars | WaterLine | CutBox | Curve | Distribution | AirChart | Listing | Timeline


# --- questions ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Reason:
    """Why the verdict is what it is. ``share`` (0..1, or None) is drawn as a bar."""

    text: str
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """A verdict with its number, reasons, next step, hazards and pictures.

    ``figure`` names the figure that is the card's number. ``sure`` is the share of the draws in
    which the verdict holds, when the verdict is a yes or no. ``hazards`` are keys of cautions.
    """

    verdict: str
    urgency: Urgency
    figure: str = ""
    reasons: tuple[Reason, ...] = ()
    next: str = ""
    sure: float | None = None
    hazards: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()


class Findings(Protocol):
    """What an answer may see: the day's figures and the inputs, and how to say a number."""

    draws: int

    def has(self, name: str) -> bool:
        """Whether the figure (or the input path) is there."""

    def daily(self, name: str) -> Array:
        """The day's one value of a figure in every draw, shape (draws,), SI; [0] is nominal."""

    def hourly(self, name: str) -> Array:
        """The hourly values, shape (draws, steps), SI."""

    def family(self, prefix: str) -> tuple[str, ...]:
        """Names of the figures under ``prefix``."""

    def number(self, path: str, default: float | None = None) -> Array:
        """An input in every draw, shape (draws,), SI."""

    def text(self, path: str, default: str | None = None) -> str:
        """A choice or text input."""

    def items(self, path: str) -> tuple[str, ...]:
        """Full paths of the items of a list of tables."""

    def given(self, path: str) -> bool:
        """Whether the owner's file states it."""

    def say(self, value: float, style: str) -> str:
        """A number dressed in the owner's units: ``"2.1 gal/min"``."""

    def say_range(self, values: Array, style: str) -> str:
        """Nominal and range of draws: ``"2.1 gal/min (1.7 to 2.6)"``."""


@dataclass(frozen=True, slots=True)
class Question:
    """A card. ``function`` names ``def f(found: Findings) -> Answer``.

    ``about`` is the table that must be aboard; absent, the card says so with ``add_line``.
    ``needs`` are the figures without which it cannot be answered. ``what`` says what the answer
    is about, ``number`` in a few words what its number is ("left at dawn").
    """

    key: str
    title: str
    function: str
    needs: tuple[str, ...]
    about: str = ""
    add_line: str = ""
    what: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True)
class Join:
    """A reason added to another plugin's question: ``def f(found) -> Iterable[Reason]``."""

    question: str
    function: str
    needs: tuple[str, ...] = ()


# --- cautions -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, said before the step it belongs to. ``rank`` 0 is the worst."""

    key: str
    text: str
    rank: int
    defer_to: str = ""
    source: str = ""


# --- hooks ----------------------------------------------------------------------------------


class Hooks:
    """The six hooks. A plugin implements those it has something to say to."""

    @hookspec
    def boat_sections(self) -> Iterable[Section]:
        """Tables of the boat file."""
        return ()

    @hookspec
    def boat_estimates(self) -> Iterable[Estimate | State]:
        """Figures and the functions that compute them, and inputs that move from day to day."""
        return ()

    @hookspec
    def boat_readings(self) -> Iterable[Reading]:
        """What an owner can observe, and how well."""
        return ()

    @hookspec
    def boat_changes(self) -> Iterable[Change]:
        """Faults, what-ifs and repairs."""
        return ()

    @hookspec
    def boat_questions(self) -> Iterable[Question | Join]:
        """Cards of the opening screen, and reasons joined to another plugin's."""
        return ()

    @hookspec
    def boat_cautions(self) -> Iterable[Caution]:
        """Hazards, by key."""
        return ()


HOOK_NAMES = (
    "boat_sections",
    "boat_estimates",
    "boat_readings",
    "boat_changes",
    "boat_questions",
    "boat_cautions",
)

EstimateFunction = Callable[[Run], Mapping[str, "Array"]]
AnswerFunction = Callable[[Findings], Answer]
JoinFunction = Callable[[Findings], Iterable[Reason]]

__all__ = [
    "ENTRY_POINT_GROUP", "HOOK_NAMES", "PROJECT", "AirChart", "AirState", "Alter", "Answer", "Arrow", "Bar", "Bars",
    "Caution", "Change", "Complaint", "Curve", "CutBox", "Distribution", "Effect", "Estimate", "Findings", "FirstFact", "Given",
    "Hooks", "Iterator", "Join", "LinePart", "ListRow", "Listing", "Need", "Part", "Picture", "Question", "Reading",
    "Reason", "Run", "Section", "Sequence", "Series", "Stack", "State", "Timeline", "Urgency", "WaterLine", "hookimpl",
    "hookspec",
]  # fmt: skip
