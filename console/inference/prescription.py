"""What to log before a repair and after it, for how long, and how sure that would make a verdict.

Worked out on the owner's own boat: a log of so many days each side is laid out, its readings foretold,
and the spread of the change after such a log reckoned by the linear model about the boat as it is.
With it the chance to be told of a true halving is that of the two hypotheses on one normal estimate.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Reading
from console.engine.changes import Named
from console.engine.order import ancestors
from console.engine.run import Ran, run_day
from console.inference.forward import instrument
from console.inference.log_model import LogModel
from console.inference.logged import days_of, declared
from console.inference.repairs import DECIDES, PRIOR_SAME, SURE, repairs_of
from console.inference.shown import Shown
from console.logbook.entry import Entries, Entry

Array = NDArray[np.float64]

LENGTHS = (3, 5, 7, 10, 14, 21)
"""Days before, and as many after."""
LEAST_WEIGHED = 7
"""Fewer days make too small a jug (a week each side: common practice, no source)."""
HALVED, MOSTLY = 0.5, 0.2
FOUND = 0.8
"""A log is long enough when it would find a true halving so often."""
TELLS = 0.3
"""A reading is worth logging when a halving moves it by so many of its own errors."""
OFTEN = 7.0
"""Days between two defrosts that are weighed."""
BESIDE = 0.3
"""Readings that tell less than this share of what the best one tells are not asked for."""
LITTLE = 0.03
ROWS = 384
START = datetime(2001, 6, 4, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Outlook:
    """A log of ``days`` before and as many after: the chance that it finds a true halving, and a repair
    that leaves but a fifth; how sure it would be of the halving on the mean; the smallest gain it could
    show."""

    days: int
    finds: float
    finds_most: float
    sure: float
    smallest: float


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing to log, and when."""

    reading: Reading
    when: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The prescription: what to log, the outlook by length, and the length advised.

    ``days`` is the shortest at which it is likely enough to find a true halving, else the one beyond which
    more days add little; ``enough`` says which.
    """

    repair: str
    title: str
    asked: tuple[Asked, ...]
    first: tuple[Reading, ...]
    outlooks: tuple[Outlook, ...]
    days: int
    enough: bool


def plan_log(
    boat: Boat, wished: str = "", days: int | None = None, told: Callable[[], None] | None = None
) -> Plan:
    """What to log for a repair. Raises ValueError with one sentence when there is nothing to plan."""
    repair = _repair(boat, wished)
    readings = declared(boat, repair[1].complaint)
    day = run_day(boat)
    conditions, evidence, counts, resets = _useful(boat, repair, readings, day)
    if not evidence:
        raise ValueError(f"no reading of this boat would tell of the repair {repair[1].key}")
    first = tuple(
        dict.fromkeys(readings[name] for each in evidence for name in each.surer_after if name in readings)
    )
    jug = any(each.over.startswith("since:") for each in evidence)
    lengths = (days,) if days else [n for n in LENGTHS if n >= LEAST_WEIGHED or not jug]
    outlooks: list[Outlook] = []
    for length in lengths:
        (told or (lambda: None))()
        log = _laid_out(boat, day, length, conditions, evidence, counts, resets, first)
        outlooks.append(_outlook(boat, repair, readings, log, length))
        if outlooks[-1].finds >= FOUND and not days:
            break
    best = max(each.sure for each in outlooks)
    long_enough = next((each.days for each in outlooks if each.finds >= FOUND), None)
    advised = long_enough or next(each.days for each in outlooks if each.sure >= best - LITTLE)
    return Plan(
        repair[1].key, repair[1].title, _asked(conditions, evidence, counts, resets), first,
        tuple(outlooks), advised, long_enough is not None,
    )  # fmt: skip


def _repair(boat: Boat, wished: str) -> Named:
    known = repairs_of(boat)
    if not known:
        raise ValueError("nothing aboard can be asked about before and after a repair")
    if not wished and len(known) > 1:
        raise ValueError(f"say which repair with --repair: {', '.join(sorted(known))}")
    if wished and wished not in known:
        raise ValueError(f"there is no repair called {wished}; known are {', '.join(sorted(known))}")
    return known[wished or next(iter(known))]


def _useful(
    boat: Boat, repair: Named, readings: Mapping[str, Reading], day: Ran
) -> tuple[list[Reading], list[Reading], list[Reading], list[str]]:
    """Conditions that matter, evidence a halving moves, counts to keep, and events to log."""
    numeric = [
        r for r in readings.values() if r.unit and r.role == "evidence" and r.predicts in day.figures
    ]
    counts = [r for r in numeric if r.sets]
    trial = [r for r in numeric if not r.sets]
    states = [state for _, state in boat.registry.states]
    resets = list(dict.fromkeys(r.over.partition(":")[2] for r in trial if r.over.startswith("since:")))
    log = _laid_out(boat, day, 7, [], trial, [], resets, ())
    model = LogModel(boat, days_of(boat, log, dict(readings), states, _middle(7)), readings, states, repair)
    zero = {name: np.zeros(2) for name in model.moving()}
    both = {**zero, model.severity_latent: _latents_of(model, np.array([HALVED, 1.0]))}
    said = model.predict(both, 2, True)
    tells: dict[str, tuple[float, Reading]] = {}
    for reading in trial:
        mine = [
            k for k, e in enumerate(model.evidence) if e.reading.name == reading.name and e.later >= 0.5
        ]
        if not mine:
            continue
        moved = abs(float(said[0, mine[0]] - said[1, mine[0]]))
        errors = model.errors[reading.name]
        share = moved / max(errors.scatter(float(said[1, mine[0]])), 1e-12)
        one = reading.instrument or reading.name
        if share > TELLS and (one not in tells or share > tells[one][0]):
            tells[one] = (share, reading)  # two readings of one instrument say one thing
    best = max((share for share, _ in tells.values()), default=0.0)
    evidence = [reading for share, reading in tells.values() if share >= BESIDE * best]
    wanted = {r.predicts for r in evidence}
    needed = ancestors(day.plan, wanted, {})
    figures = {n.name for node in day.plan.nodes if node.key in needed for n in node.estimate.needs}
    conditions = [r for r in readings.values() if r.role == "condition" and r.predicts in figures]
    resets = list(dict.fromkeys([
        *(r.over.partition(":")[2] for r in evidence if r.over.startswith("since:")),
        *(s.reset_by for s in model.states if s.reset_by in readings),
    ]))  # fmt: skip
    return conditions, evidence, counts, resets


def _middle(length: int) -> datetime:
    return START + timedelta(days=length, hours=1)


def _laid_out(
    boat: Boat, day: Ran, length: int, conditions: Sequence[Reading], evidence: Sequence[Reading],
    counts: Sequence[Reading], resets: Sequence[str], first: Sequence[Reading],
) -> Entries:  # fmt: skip
    """A log of so many days each side of a repair, in the weather of the boat file."""
    rows: list[Entry] = []

    def put(at: datetime, name: str, value: float | str, event: bool = False) -> None:
        rows.append(Entry(at, name, value, str(value), "", event=event))

    for event in [*resets, *(r.name for r in first)]:
        put(START, event, "", True)
    for event in resets:
        put(START + timedelta(days=length), event, "", True)
    put(_middle(length), "repair", "", True)
    for k in range(2 * length):
        noon = START + timedelta(days=k, hours=12)
        for reading in conditions:
            if reading.predicts in day.figures:
                put(noon, reading.name, float(np.nanmean(day.figures[reading.predicts][0])))
        for reading in counts:
            put(noon, reading.name, float(np.nanmean(day.figures[reading.predicts][0])))
        for reading in evidence:
            if not reading.over.startswith("since:"):
                put(noon, reading.name, 1.0)
    for reading in evidence:
        if reading.over.startswith("since:"):
            jugs = max(1, round(length / OFTEN))
            for k in range(1, 2 * jugs + 1):
                put(START + timedelta(days=k * length / jugs), reading.name, 1.0)
    return Entries(tuple(rows))


def _latents_of(model: LogModel, ratios: Array) -> Array:
    """The scores of the repair's size at which it leaves such shares."""
    at = np.linspace(-3.5, 3.5, 281)
    size = model.severity(at)
    return np.interp(ratios, size, at) if size[-1] >= size[0] else np.interp(-ratios, -size, at)


def _outlook(boat: Boat, repair: Named, readings: dict[str, Reading], log: Entries, length: int) -> Outlook:
    states = [state for _, state in boat.registry.states]
    days = days_of(boat, log, readings, states, _middle(length))
    events = frozenset(e.reading for e in log.events())
    # First what such a boat would show, halved; then how far all that is unknown moves it.
    model = LogModel(boat, days, readings, states, repair, events)
    names = (*model.moving(), model.severity_latent)
    random = np.random.default_rng(7)
    at = 0.3 * random.standard_normal((ROWS, len(names)))
    at[0] = 0.0
    at[:, -1] += float(_latents_of(model, np.array([HALVED]))[0])
    said = model.predict({name: at[:, k].copy() for k, name in enumerate(names)}, ROWS, True)
    expected = np.maximum(said[0], 1e-30)
    shown = _as_expected(model, expected)
    noise = shown.scatters / expected
    target = (np.log(np.maximum(said, 1e-30)) - np.log(expected)) / noise
    design = at - at[0]
    slopes = np.linalg.solve(design.T @ design + 1e-3 * ROWS * 0.09 * np.eye(len(names)), design.T @ target)
    shared = np.array([shown.moves(name) / noise for name in shown.names]).reshape(-1, expected.size)
    rows = np.vstack([slopes, shared])
    # The repair's size stands for the change itself: its own spread in logarithms.
    size = np.log(np.maximum(model.severity(at[:, -1]), 1e-9))
    width = abs(float(np.polyfit(at[:, -1], size, 1)[0]))
    direction = np.zeros(rows.shape[0])
    direction[len(names) - 1] = width
    inner = np.linalg.solve(np.eye(expected.size) + rows.T @ rows, rows.T @ direction)
    left = max(float(direction @ direction - (rows.T @ direction) @ inner), 1e-9)
    told = 1.0 / max(1.0 / left - 1.0 / max(width**2, 1e-9), 1e-9)
    centre = math.log(max(float(model.severity(np.zeros(1))[0]), 1e-9))
    return _found(length, math.sqrt(told), centre, width)


def _as_expected(model: LogModel, expected: Array) -> Shown:
    """The instruments about what they would show."""
    evidence = [
        replace(each, entry=replace(each.entry, value=float(value)))
        for each, value in zip(model.evidence, expected, strict=True)
    ]
    read = {instrument(r) for f, r in model.log.read.items() if f in model.log.pins}
    return Shown(evidence, model.errors, model.events, read)


def _found(days: int, error: float, centre: float, width: float) -> Outlook:
    """From one normal estimate of the logarithm of the change to the verdict's odds."""
    finds, sure = _told_of(HALVED, error, centre, width)
    left = 1.0 / (1.0 / error**2 + 1.0 / width**2)
    smallest = 1.0 - (1.0 - DECIDES) * math.exp(-1.2816 * math.sqrt(left))
    return Outlook(days, finds, _told_of(MOSTLY, error, centre, width)[0], sure, smallest)


def _told_of(truth: float, error: float, centre: float, width: float) -> tuple[float, float]:
    """The chance of "helped" when the repair truly leaves such a share, and the mean sureness."""
    steps = np.linspace(-3.5, 3.5, 281)
    seen = math.log(truth) + error * steps
    weight = np.exp(-0.5 * np.square(steps))
    weight = weight / weight.sum()
    total = math.hypot(error, width)
    same = PRIOR_SAME * np.exp(-0.5 * np.square(seen / error)) / error
    other = (1 - PRIOR_SAME) * np.exp(-0.5 * np.square((seen - centre) / total)) / total
    p_same = same / np.maximum(same + other, 1e-300)
    left = 1.0 / (1.0 / error**2 + 1.0 / width**2)
    mean = left * (seen / error**2 + centre / width**2)
    root = math.sqrt(2.0 * left)
    below = np.array([0.5 * math.erfc((m - math.log(1 - DECIDES)) / root) for m in mean])
    helped = (1.0 - p_same) * below
    return float(weight[helped >= SURE].sum()), float(weight @ helped)


def _asked(
    conditions: Sequence[Reading], evidence: Sequence[Reading], counts: Sequence[Reading],
    resets: Sequence[str],
) -> tuple[Asked, ...]:  # fmt: skip
    made: list[Asked] = []
    for reading in sorted(evidence, key=lambda r: not r.over.startswith("since:")):
        since = reading.over.partition(":")[2].replace("_", " ")
        when = (
            f"at the end of the days before and of those after, and each week between; note when it was {since} first"
            if since else "each day" if reading.over == "day" else "as often as you can, once a day is plenty"
        )  # fmt: skip
        made.append(Asked(reading, when))
    made += [Asked(reading, "each day, the day's count") for reading in counts]
    made += [Asked(reading, "once a day, at the same hour") for reading in conditions]
    return tuple(made)


__all__ = ["HALVED", "Asked", "Outlook", "Plan", "plan_log"]
