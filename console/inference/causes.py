"""The causes of a complaint, their pairs, and how likely each is before any reading."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from console.boatfile import Boat, BoatFileError
from console.contract import Change
from console.engine.changes import key_of, of_kind, reached
from console.inference.readings import Taken
from console.quantities import Measure, QuantityError, parse_measure

PAIRS = 0.1
"""How many boats with one fault have a second one: common practice, no source."""
STATED = 2.0
"""Odds factor of a cause the boat file itself states (its author looked, and may be wrong)."""
CANDIDATE = 0.01
"""A pair is tried when one of its causes alone is at least this likely."""


@dataclass(frozen=True, slots=True)
class Cause:
    """A cause aboard. ``stated`` is its severity as the boat file has it, if it does."""

    owner: str
    change: Change
    paths: tuple[str, ...]
    stated: Measure | None = None

    @property
    def key(self) -> str:
        return self.change.key

    @property
    def full_key(self) -> str:
        return key_of(self.owner, self.change)

    @property
    def severity_path(self) -> str:
        """The input its severity alters, as this boat has it; empty when there is none."""
        for alter, path in zip(self.change.alters, self.paths, strict=True):
            if alter.by == "severity" and path:
                return path
        return ""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One cause, or two together. ``block`` are the causes that alter something."""

    causes: tuple[Cause, ...]
    log_prior: float

    @property
    def block(self) -> tuple[str, ...]:
        return tuple(cause.key for cause in self.causes if cause.change.alters)

    @property
    def weighed_by(self) -> tuple[str, ...]:
        return tuple(c.change.weighed_by for c in self.causes if c.change.weighed_by)

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(cause.key for cause in self.causes)


def causes_of(boat: Boat, complaint: str) -> tuple[Boat, tuple[Cause, ...]]:
    """The causes of a complaint that this boat can have, and the boat with none of them.

    Where the file states a fault (a pinched hose, a blocked strainer), the boat without causes has
    what is assumed when it states nothing, and the cause has the file's own figure as severity.
    """
    causes: dict[str, Cause] = {}
    healthy = boat
    for owner, change in of_kind(boat, "cause", complaint):
        paths = tuple(reached(boat, alter.path) or "" for alter in change.alters)
        if change.key in causes or (paths and not any(paths)):
            continue
        stated = None
        for alter, path in zip(change.alters, paths, strict=True):
            if not path or alter.how != "set":
                continue
            sound = _sound(boat, path)
            told = sound is not None and _states(boat, path, change, sound)
            if told:
                healthy = _without(healthy, path)
                stated = boat.inputs[path].measure if alter.by == "severity" else stated
        causes[change.key] = Cause(owner, change, paths, stated)
    return healthy, tuple(causes.values())


def _without(boat: Boat, path: str) -> Boat:
    entry = boat.inputs.get(path)
    return boat if entry is None or entry.origin == "assumed" else boat.without(path)


def _sound(boat: Boat, path: str) -> Measure | None:
    """What is assumed of an input the file states; None when the file does not, or cannot be told."""
    entry = boat.inputs[path]
    if entry.origin == "assumed" or entry.kind != "quantity":
        return None
    try:
        without = boat.without(path).inputs.get(path)
    except BoatFileError:
        return None
    return without.measure if without is not None and not without.compute else None


def _states(boat: Boat, path: str, change: Change, sound: Measure) -> bool:
    """Whether the file's value lies nearer to the fault than to good order."""
    entry = boat.inputs[path]
    alter = next(a for a in change.alters if reached(boat, a.path) == path)
    text = change.severity if alter.by == "severity" else alter.by
    try:
        fault = parse_measure(text, entry.style).value
    except QuantityError:
        return False
    value = entry.measure.value if entry.measure else sound.value
    return abs(value - fault) < abs(value - sound.value)


def singles(causes: Sequence[Cause], taken: Sequence[Taken]) -> tuple[Hypothesis, ...]:
    """Each cause alone, with its prior weight times the odds of the events that were told."""
    events = {
        word for each in taken if each.reading.role == "event" for word in (each.name, each.choice) if word
    }  # fmt: skip
    weights = []
    for cause in causes:
        odds = math.prod(cause.change.odds.get(event, 1.0) for event in sorted(events))
        weights.append(max(cause.change.prior, 1e-6) * odds * (STATED if cause.stated else 1.0))
    total = sum(weights)
    return tuple(
        Hypothesis((cause,), math.log(weight / total))
        for cause, weight in zip(causes, weights, strict=True)
    )


def pairs(alone: Sequence[Hypothesis], likely: frozenset[str]) -> tuple[Hypothesis, ...]:
    """Two causes together, where one of them alone is likely enough and they do not contradict."""
    made = []
    for first, second in combinations(alone, 2):
        one, other = first.causes[0], second.causes[0]
        if not (one.key in likely or other.key in likely):
            continue
        if not one.change.alters or not other.change.alters or set(one.paths) & set(other.paths):
            continue
        made.append(Hypothesis((one, other), first.log_prior + second.log_prior + math.log(2 * PAIRS)))
    return tuple(made)


def with_priors(hypotheses: Sequence[Hypothesis], alone: Sequence[Hypothesis]) -> tuple[Hypothesis, ...]:
    """The same hypotheses with the priors their causes now have."""
    prior = {each.causes[0].key: each.log_prior for each in alone}
    made = []
    for each in hypotheses:
        pair = math.log(2 * PAIRS) if len(each.causes) > 1 else 0.0
        made.append(replace(each, log_prior=sum(prior[c.key] for c in each.causes) + pair))
    return tuple(made)
