"""What to look at next: the information each untaken reading is worth, per minute of effort."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Reading
from console.inference.causes import Cause
from console.inference.errors import errors_of
from console.inference.forward import instrument
from console.inference.likelihood import WRONG
from console.inference.weighing import Posterior, Weighed

Array = NDArray[np.float64]

FLOOR_MINUTES = 2.5
"""No look costs less, with the way there and the torch."""
LEAST_BITS = 0.04
"""Below this it is the drawing's own noise."""
PARTS = 0.1
"""Bits about two even causes from which a reading parts them."""
HARMLESS_SHARE = 0.35
"""A reading without any hazard goes first unless it is worth less than this of the best, per minute."""
BINS = 20
COUNTS = 0.004
"""Hypotheses less likely than this are left out of the sums."""
EVENT_RATE = 0.1
"""Chance that any one event was lately: common practice, no source."""
LONGEST_ACTION = 45.0
LEAST_CHANCE = 0.25


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading worth taking. ``again``: it was taken, and does not agree with the others."""

    reading: Reading
    bits: float
    minutes: float
    again: bool = False

    @property
    def rate(self) -> float:
        return self.bits / max(self.minutes, FLOOR_MINUTES)


@dataclass(frozen=True, slots=True)
class NextAction:
    """A cause's remedy that is test and cure in one."""

    cause: Cause
    chance: float
    bits: float


def _normal_below(z: Array) -> Array:
    """Share of a standard normal below z (tanh form, within 2e-4)."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.7978845608 * (z + 0.044715 * z * z * z))))


def _information(chances: Array, prior: Array) -> float:
    """Mutual information in bits between which row and which column; rows are hypotheses."""
    share = prior / prior.sum()
    overall = share @ chances
    with np.errstate(divide="ignore", invalid="ignore"):
        terms = np.where(chances > 0, chances * np.log2(chances / overall), 0.0)
    return max(float(share @ terms.sum(axis=1)), 0.0)


def outcomes(
    reading: Reading, weighed: Sequence[Weighed], prior: Array, names: frozenset[str]
) -> Array | None:
    """The chance of each outcome of a reading under each hypothesis, shape (hypotheses, outcomes).

    A number's outcomes are bins of what its instrument may show.
    """
    if reading.role == "event":
        return _events(reading, weighed)
    if reading.choices:
        tables = [each.block.chances(reading.name) for each in weighed]
        if any(table is None for table in tables):
            return None
        return np.stack([w.weights @ t for w, t in zip(weighed, tables, strict=True) if t is not None])
    speaks = reading.role == "condition" and reading.expects and names.issuperset(reading.beside)
    figure = reading.expects if speaks else reading.predicts
    errors = errors_of(reading)
    shown: list[tuple[Array, Array]] = []
    for each in weighed:
        made = each.block.figure(figure)
        if made is None:
            return None
        value = made.mean(axis=1) if made.ndim > 1 else made
        size = errors.shared.size * (np.abs(value) if errors.shared.relative else 1.0)
        value = value + size * each.block.latent(instrument(reading))
        keep = np.isfinite(value) & (each.weights > 1e-5)
        if not keep.any():
            return None
        shown.append((value[keep], each.weights[keep] / each.weights[keep].sum()))
    together = np.concatenate([value for value, _ in shown])
    mass = np.concatenate([p * w for p, (_, w) in zip(prior, shown, strict=True)])
    order = np.argsort(together)
    summed = np.cumsum(mass[order])
    cuts = np.interp(np.linspace(0, 1, BINS + 1)[1:-1] * summed[-1], summed, together[order])
    cuts = np.unique(cuts)
    rows = []
    for value, weights in shown:
        own = errors.own.size * (np.abs(value) if errors.own.relative else 1.0)
        model = errors.model.size * (np.abs(value) if errors.model.relative else 1.0)
        scatter = np.maximum(np.hypot(own, model), 1e-9 + 1e-6 * np.abs(value))
        below = weights @ _normal_below((cuts[None, :] - value[:, None]) / scatter[:, None])
        rows.append(np.diff(np.concatenate([[0.0], below, [1.0]])))
    made = np.clip(np.stack(rows), 0.0, 1.0)
    share = prior / prior.sum()
    return np.asarray((1 - WRONG) * made + WRONG * (share @ made))


def _events(reading: Reading, weighed: Sequence[Weighed]) -> Array | None:
    words = [choice for choice in reading.choices if choice != "none"]
    if not words:
        return None
    rows = []
    for each in weighed:
        rates = [
            EVENT_RATE * math.prod(cause.change.odds.get(word, 1.0) for cause in each.hypothesis.causes)
            for word in words
        ]
        rest = max(1.0 - EVENT_RATE * len(words), 0.2)
        rows.append(np.array([*rates, rest]) / (sum(rates) + rest))
    return np.stack(rows)


def gains(found: Posterior, candidates: Mapping[str, Reading], names: frozenset[str]) -> list[NextReading]:
    """What every candidate is worth, best per minute first (then by name)."""
    keep = [k for k, p in enumerate(found.probability) if p >= COUNTS]
    if len(keep) < 2:
        return []
    weighed, prior = [found.weighed[k] for k in keep], found.probability[keep]
    made = []
    for reading in candidates.values():
        chances = outcomes(reading, weighed, prior, names)
        if chances is not None:
            made.append(NextReading(reading, _information(chances, prior), reading.minutes))
    return sorted(made, key=lambda each: (-each.rate, each.reading.name))


def best(ranked: Sequence[NextReading]) -> NextReading | None:
    """The next reading: harmless ones first, as long as they tell nearly as much."""
    worth = [each for each in ranked if each.bits >= LEAST_BITS]
    if not worth:
        return None
    harmless = [each for each in worth if not each.reading.hazards]
    if harmless and harmless[0].rate >= HARMLESS_SHARE * worth[0].rate:
        return harmless[0]
    return worth[0]


def parting(
    one: Weighed, other: Weighed, candidates: Mapping[str, Reading], names: frozenset[str]
) -> list[NextReading]:
    """The readings that would part two causes, best first."""
    made = [each for each in _about_two(one, other, candidates, names) if each.bits >= PARTS]
    return sorted(made, key=lambda each: (-each.rate, each.reading.name))


def is_parted(
    one: Weighed, other: Weighed, candidates: Mapping[str, Reading], names: frozenset[str]
) -> bool:
    """Whether any reading would part two causes; looks first at choices, which are quick to weigh."""
    ordered = dict(sorted(candidates.items(), key=lambda item: not item[1].choices))
    return any(each.bits >= PARTS for each in _about_two(one, other, ordered, names))


def _about_two(
    one: Weighed, other: Weighed, candidates: Mapping[str, Reading], names: frozenset[str]
) -> Iterator[NextReading]:
    even = np.array([0.5, 0.5])
    for reading in candidates.values():
        if reading.role == "event":
            continue
        chances = outcomes(reading, [one, other], even, names)
        if chances is not None:
            yield NextReading(reading, _information(chances, even), reading.minutes)


def entropy(chance: float) -> float:
    """Bits in a yes or no of this chance."""
    return -sum(p * math.log2(p) for p in (chance, 1.0 - chance) if p > 0)


def action(
    causes: Mapping[str, Cause], presence: Mapping[str, float], done: frozenset[str],
    forbidden: frozenset[str], following: NextReading | None,
) -> NextAction | None:  # fmt: skip
    """A remedy that tests as well as it cures, when no reading is worth much more per minute."""
    found: list[tuple[float, str, NextAction]] = []
    for key, chance in presence.items():
        cause = causes[key]
        change = cause.change
        fit = (
            chance >= LEAST_CHANCE and change.alters and change.remedy and change.who == "owner"
            and change.where == "afloat" and 0 < change.minutes <= LONGEST_ACTION
            and not forbidden.intersection(change.hazards) and change.proof[0] not in done
        )  # fmt: skip
        if fit:
            bits = max(entropy(chance), 0.3)
            rate = bits / max(change.minutes, FLOOR_MINUTES)
            found.append((-rate, key, NextAction(cause, chance, bits)))
    if not found:
        return None
    rate, _, made = min(found, key=lambda each: each[:2])
    if following is not None and not following.again and -rate < 0.5 * following.rate:
        return None
    return made
