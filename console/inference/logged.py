"""A log as days: what each day's conditions were, and what was weighed, counted or measured.

One step is one day; the day of the repair is two, before and after it. A condition that was read pins its figure on its day and, between two days
it was read on, what lies between; a reading or event that states an input sets it; evidence is
compared with the model over the days it is of.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Reading, State
from console.logbook.entry import Entry, Log

Array = NDArray[np.float64]
Span = tuple[datetime, datetime]

DAY = 86400.0
MOST_DAYS = 400
NEAR_DAYS = 60
"""What lies farther from a repair than so many days is of another season."""
APART = timedelta(hours=12)
"""What was melted before is that of an event at least so long ago."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reading to be explained: ``weights`` (days,) times the figure's days is what it should be.

    ``later`` is the share of its days that lie after the repair.
    """

    entry: Entry
    reading: Reading
    weights: Array
    later: float

    @property
    def value(self) -> float:
        return float(self.entry.value)


@dataclass
class LoggedDays:
    """The days of a log around a repair.

    ``pins`` are figures by name, ``sets`` inputs by path, each with a value a day; ``read`` are the
    readings they came from. ``resets`` are 0 on the days on which a state was
    not put back, else 1 and the share of the day that had gone by then.
    """

    days: tuple[date, ...]
    repaired: datetime | None
    later: Array
    pins: dict[str, Array] = field(default_factory=dict)
    sets: dict[str, Array] = field(default_factory=dict)
    read: dict[str, Reading] = field(default_factory=dict)
    seen: dict[str, NDArray[np.bool_]] = field(default_factory=dict)
    """Of each pin and set: the days on which it was read, and not taken from its neighbours."""
    resets: dict[str, Array] = field(default_factory=dict)
    seconds: Array = field(default_factory=lambda: np.zeros(0))
    """How long each step is."""
    follows: dict[str, str] = field(default_factory=dict)
    """Inputs that are what a figure was read to be: a box is set to what it holds."""
    evidence: tuple[Evidence, ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def steps(self) -> int:
        return len(self.days)

    def mean(self, values: Array, later: bool) -> float:
        """The mean of a day's value before or after the repair; NaN where there are no days."""
        weights = self.later if later else 1.0 - self.later
        return float(values @ weights / weights.sum()) if weights.sum() > 0 else float("nan")


def declared(boat: Boat, complaint: str) -> dict[str, Reading]:
    """The readings and events that may speak of a complaint, by name."""
    found: dict[str, Reading] = {}
    for _, reading in boat.registry.readings:
        if complaint in reading.complaints or (reading.role == "event" and reading.name not in found):
            found[reading.name] = reading
    return found


def days_of(
    boat: Boat, log: Log, readings: dict[str, Reading], states: Iterable[State], repaired: datetime | None,
    since: datetime | None = None, until: datetime | None = None,
) -> LoggedDays:  # fmt: skip
    """The days of a log, from its first reading that matters to its last.

    Between ``since`` and ``until`` (another repair, say) it is of one boat; what lies outside is told of
    in ``left_out``.
    """
    ever = [e for e in log.readings(list(readings)) if readings[e.reading].role != "event"]
    events = list(log.events(list(readings)))
    said = [e for e in ever if (since is None or e.at >= since) and (until is None or e.at < until)]
    if not said:
        return LoggedDays((), repaired, np.zeros(0))
    start = min(_start(e, readings[e.reading], events, ever) for e in said)
    first = (start if since is None else max(start, since)).date()
    last = max(e.at for e in said).date()
    first = max(first, last - timedelta(days=MOST_DAYS - 1))
    whole = tuple(first + timedelta(days=k) for k in range((last - first).days + 1))
    zone = repaired.tzinfo if repaired is not None else said[0].at.tzinfo
    spans = _spans(whole, repaired, zone)
    days = tuple(start.date() for start, _ in spans)
    later = np.array([float(repaired is not None and start >= repaired) for start, _ in spans])
    made = LoggedDays(days, repaired, later)
    made.seconds = np.array([(end - start).total_seconds() for start, end in spans])
    for name, reading in readings.items():
        mine = [e for e in said if e.reading == name]
        if reading.role == "condition" and reading.predicts and mine:
            _pin(made, reading, reading.predicts, mine)
        if reading.sets and reading.role != "event" and mine:
            _set(made, reading, mine)
    for name, reading in readings.items():
        mine = [e for e in events if e.reading == name and isinstance(e.value, float)]
        if reading.role == "event" and mine:
            _from_then_on(boat, made, reading, mine)
    for reading in readings.values():
        # What an event says of a figure and an input alike: where the figure was read, so is the input.
        if reading.role == "event" and reading.sets and reading.predicts in made.pins:
            path, figure = reading.sets, reading.predicts
            if made.read[figure].role == "condition" and path in boat.inputs:
                made.sets[path], made.seen[path] = made.pins[figure], made.seen[figure]
                made.follows[path] = figure
                made.read.setdefault(path, reading)
    for state in states:
        at = [e.at for e in events if e.reading == state.reset_by]
        at += [e.at for e in said if readings[e.reading].over == f"since:{state.reset_by}"]
        made.resets[state.path] = np.array([_put_back(low, high, at) for low, high in spans])
    evidence, left_out = [], []
    for entry in said:
        reading = readings[entry.reading]
        if reading.role != "evidence" or not reading.predicts or not isinstance(entry.value, float):
            continue
        began = _start(entry, reading, events, ever)
        if since is not None and since - began > APART:
            left_out.append(f"{reading.title} of {entry.at:%d %b}: it began before {since:%d %b}")
            continue
        weights = _weights(spans, entry, reading, events, ever)
        if weights is None:
            what = reading.over.partition(":")[2].replace("_", " ")
            left_out.append(f"{reading.title} of {entry.at:%d %b}: nobody logged when it was last {what}")
            continue
        if reading.over == "day" and repaired is not None and entry.at.date() == repaired.date():
            continue  # neither before nor after
        share = float(weights @ later / weights.sum()) if weights.sum() > 0 else 0.0
        evidence.append(Evidence(entry, reading, weights, share))
    if len(said) < len(ever):
        left_out.append(f"{len(ever) - len(said)} readings from other seasons, or beyond another repair")
    made.evidence, made.left_out = tuple(evidence), tuple(left_out)
    return made


def _before(entry: Entry, name: str, events: Sequence[Entry], said: Sequence[Entry]) -> datetime | None:
    """When an event last was before an entry; a reading of what such an event gave counts too."""
    at = [e.at for e in events if e.reading == name and entry.at - e.at >= APART]
    at += [e.at for e in said if e.reading == entry.reading and entry.at - e.at >= APART]
    return max(at, default=None)


def _start(entry: Entry, reading: Reading, events: Sequence[Entry], said: Sequence[Entry]) -> datetime:
    if reading.over.startswith("since:"):
        return _before(entry, reading.over.partition(":")[2], events, said) or entry.at
    return entry.at


def _weights(
    spans: Sequence[Span], entry: Entry, reading: Reading, events: Sequence[Entry], said: Sequence[Entry]
) -> Array | None:
    """Seconds of each step that a reading is of; of one day or moment, a 1 on its step."""
    if reading.over.startswith("since:"):
        since = _before(entry, reading.over.partition(":")[2], events, said)
        if since is None:
            return None
        return np.array(
            [max((min(high, entry.at) - max(low, since)).total_seconds(), 0.0) for low, high in spans]
        )
    if reading.over == "day":
        day = entry.at.date()
        shares = np.array([float(low.date() == day) * (high - low).total_seconds() for low, high in spans])
        return np.asarray(shares / max(float(shares.sum()), 1.0))
    made = np.array([float(low <= entry.at < high) for low, high in spans])
    return made if made.any() else np.array([float(low.date() == entry.at.date()) for low, _ in spans])


def _put_back(low: datetime, high: datetime, at: Sequence[datetime]) -> float:
    """1 and the share of a step that had gone when a state was last put back; 0 when it was not."""
    inside = [t for t in at if low <= t < high]
    return 1.0 + (max(inside) - low) / (high - low) if inside else 0.0


def _spans(days: Sequence[date], repaired: datetime | None, zone: tzinfo | None) -> tuple[Span, ...]:
    """From when till when each step is: the days, that of the repair parted at it.

    A day is a calendar day of the clock aboard, 24 hours long even when that clock is put forward.
    """
    made: list[Span] = []
    for day in days:
        low = datetime(day.year, day.month, day.day, tzinfo=zone)
        high = low + timedelta(days=1)
        if repaired is not None and low < repaired < high:
            made += [(low, repaired), (repaired, high)]
        else:
            made.append((low, high))
    return tuple(made)


def _by_day(made: LoggedDays, entries: Sequence[Entry]) -> tuple[Array, NDArray[np.bool_]]:
    """The mean of each day's readings, and between such days what lies between."""
    values = np.full(made.steps, np.nan)
    for k, day in enumerate(made.days):
        mine = [float(e.value) for e in entries if e.at.date() == day]
        if mine:
            values[k] = np.mean(mine)
    seen = np.isfinite(values)
    at = np.arange(made.steps)
    return np.interp(at, at[seen], values[seen]), seen


def _pin(made: LoggedDays, reading: Reading, figure: str, entries: Sequence[Entry]) -> None:
    inside = [e for e in entries if made.days[0] <= e.at.date() <= made.days[-1]]
    if inside:
        made.pins[figure], made.seen[figure] = _by_day(made, inside)
        made.read[figure] = reading


def _set(made: LoggedDays, reading: Reading, entries: Sequence[Entry]) -> None:
    """A count of the days it was kept; on other days the mean of its side of the repair."""
    values, seen = _by_day(made, entries)
    for later in (False, True):
        side = (made.later >= 0.5) == later
        if (seen & side).any():
            values[side & ~seen] = values[seen & side].mean()
    made.sets[reading.sets], made.seen[reading.sets] = values, seen
    made.read[reading.sets] = reading


def _from_then_on(boat: Boat, made: LoggedDays, reading: Reading, events: Sequence[Entry]) -> None:
    """An event's value holds until the next; before the first, what the boat file says."""
    values, seen = np.full(made.steps, np.nan), np.zeros(made.steps, dtype=bool)
    for event in sorted(events, key=lambda e: e.at):
        values[[day >= event.at.date() for day in made.days]] = float(event.value)
    entry = boat.inputs.get(reading.sets)
    if np.isnan(values).all():
        return
    stated = (
        entry.measure.value
        if entry is not None and entry.measure is not None
        else values[~np.isnan(values)][0]
    )
    values = np.where(np.isnan(values), stated, values)
    if reading.sets:
        made.sets[reading.sets], made.seen[reading.sets] = values, seen | True
        made.read[reading.sets] = reading
    if reading.predicts and reading.predicts not in made.pins:
        made.pins[reading.predicts], made.seen[reading.predicts] = values, seen | True
        made.read[reading.predicts] = reading
