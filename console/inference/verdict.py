"""The verdict: one cause, a group that looks the same from here, or that it cannot be told; and the
readings that do not add up, which are named before it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from console.contract import Reading
from console.inference.likelihood import Spoken
from console.inference.next_step import NextReading, is_parted, parting
from console.inference.weighing import Posterior

CANNOT_TELL = "cannot tell"
HALF = 0.5
LOG_RATIO = math.log(3.0)
WORTH_NAMING = 0.04
"""A cause less likely than this is in no group."""
WORST = 3.5
"""Standard deviations beyond which no cause explains a reading."""
HEALED = 2.5
"""Without a reading that does not fit, the worst of the rest is at most this."""
LEADING = 0.02


@dataclass(frozen=True, slots=True)
class Group:
    """Causes these readings cannot part, by name. ``test``: what would, if anything does that the
    owner cannot or may not take."""

    keys: tuple[str, ...]
    chance: float
    test: Reading | None


@dataclass(frozen=True, slots=True)
class Challenge:
    """Readings of which at least one is wrong: no cause explains them together."""

    readings: tuple[str, ...]
    worst: float


def groups(
    found: Posterior, owners: Mapping[str, Reading], barred: Mapping[str, Reading], names: frozenset[str]
) -> tuple[Group, ...]:
    """The groups of likely causes whose evidence is within a factor of three and that no reading
    still open to the owner parts. ``barred`` are readings the owner cannot or may not take."""
    presence = found.causes()
    evidence = found.evidence()
    likely = [key for key, chance in presence.items() if chance >= WORTH_NAMING and key in evidence]
    joined: dict[str, set[str]] = {key: {key} for key in likely}
    for k, one in enumerate(likely):
        for other in likely[k + 1 :]:
            if abs(evidence[one] - evidence[other]) >= LOG_RATIO:
                continue
            if other in joined[one] or is_parted(found.alone(one), found.alone(other), owners, names):
                continue
            both = joined[one] | joined[other]
            for key in both:
                joined[key] = both
    made = []
    for keys in {tuple(sorted(each)) for each in joined.values() if len(each) > 1}:
        first, second = sorted(keys, key=lambda key: (-presence[key], key))[:2]
        tests = parting(found.alone(first), found.alone(second), barred, names)
        chance, _ = found.presence(*keys)
        made.append(Group(keys, chance, tests[0].reading if tests else None))
    return tuple(sorted(made, key=lambda group: (-group.chance, group.keys)))


def verdict(found: Posterior, together: Sequence[Group]) -> str:
    """The cause above one half, else the group that is, else that it cannot be told."""
    presence = found.causes()
    key, chance = next(iter(presence.items()))
    if chance > HALF:
        return key
    for group in together:
        if group.chance > HALF:
            return " or ".join(group.keys)
    return CANNOT_TELL


Said = Mapping[tuple[str, ...], Sequence[Spoken]]


def challenge(found: Posterior, said: Said, without: Callable[[str], Posterior]) -> Challenge | None:
    """Readings that contradict physics: over all leading causes and all their rows, the least worst
    residual is beyond `WORST`.

    Suspect is each without which the rest fit together, under the causes that lead then.
    """
    names = [s.name for s in said[found.weighed[0].hypothesis.block]]
    if len(names) < 2:
        return None
    worst = _least_worst(found, said)
    if worst <= WORST:
        return None
    rest = {name: _least_worst(without(name), said, name) for name in names}
    least = min(rest.values())
    suspects = tuple(name for name, left in rest.items() if left <= max(HEALED, 1.1 * least))
    return Challenge(tuple(sorted(suspects)), worst)


def _least_worst(found: Posterior, said: Said, left_out: str = "") -> float:
    """How far off the worst reading is, where the leading causes explain them all best."""
    top = float(found.probability.max())
    worst = [
        float(np.stack([s.residual for s in said[each.hypothesis.block] if s.name != left_out]).max(axis=0).min())
        for each, chance in zip(found.weighed, found.probability, strict=True)
        if chance >= LEADING or chance >= 0.5 * top
    ]  # fmt: skip
    return min(worst)


__all__ = [
    "CANNOT_TELL", "Challenge", "Group", "NextReading", "challenge", "groups", "verdict",
]  # fmt: skip
