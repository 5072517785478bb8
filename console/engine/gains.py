"""What each change open to the owner would give: every action run on the draws of the boat itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from console.boatfile import Boat
from console.contract import Change
from console.engine.changes import Named, altered, key_of, of_kind
from console.engine.compare import Difference, difference
from console.engine.estimate import limits
from console.engine.run import Ran, run_day
from console.guard import GuardError, Unwell

LEAST = 0.003
"""A first effect that betters its figure by a smaller share than this is no help."""

LEAST_TOLD = 0.01
"""An effect that moves its figure by less than this share of itself, at best, is not told of."""
MOST_TOLD = 4

DRAWS = 64


@dataclass(frozen=True, slots=True)
class Gain:
    """One change, or two together, and the figures it is judged by, before and after.

    ``share`` is by how much of itself the first figure gets better: it ranks the gains.
    """

    keys: tuple[str, ...]
    changes: tuple[Change, ...]
    effects: tuple[Difference, ...]
    share: float

    @property
    def title(self) -> str:
        """What is done, in words."""
        first, *others = (change.title for change in self.changes)
        return first + "".join(f", and {other[:1].lower()}{other[1:]}" for other in others)

    @property
    def told(self) -> tuple[Difference, ...]:
        """The effects worth telling: the first, and of the others those that may move."""
        return (self.effects[0], *(each for each in self.effects[1:] if _moves(each)))[:MOST_TOLD]

    @property
    def minutes(self) -> float:
        """How long it takes."""
        return sum(change.minutes for change in self.changes)


@dataclass(frozen=True, slots=True)
class Weighed:
    """The gains, best first, and who is unwell."""

    gains: tuple[Gain, ...]
    unwell: tuple[Unwell, ...] = ()


def weigh(
    boat: Boat, question: str = "", draws: int = DRAWS, *, base: Ran | None = None, pairs: bool = True,
    cancelled: Callable[[], bool] | None = None, told: Callable[[float], None] | None = None,
) -> Weighed:  # fmt: skip
    """Run every action of a question (or of all) and rank them by what they give.

    Each is compared with the boat as it is, draw by draw. With ``pairs`` the best two that are
    judged by the same figure are run together as well. What does not better its first figure is
    left out. ``base`` is a run of the boat to start from; ``told`` hears the share that is done.
    Raises `Cancelled`.
    """
    now = base if base is not None else run_day(boat, draws, cancelled)
    asked = [each for each in of_kind(boat, "action") if not question or question in each[1].questions]
    found: list[tuple[Named, Gain]] = []
    unwell: list[Unwell] = []
    for place, named in enumerate(asked):
        if told:
            told(place / len(asked))
        gain = _gain(now, (named,), cancelled, unwell)
        if gain is not None:
            found.append((named, gain))
    found.sort(key=lambda each: -each[1].share)
    gains = [gain for _, gain in found]
    if pairs:
        gains += _pairs(now, found, cancelled, unwell)
    gains.sort(key=lambda each: -each.share)
    return Weighed(tuple(gains), tuple(dict.fromkeys(unwell)))


def _pairs(
    now: Ran,
    found: Sequence[tuple[Named, Gain]],
    cancelled: Callable[[], bool] | None,
    unwell: list[Unwell],
) -> list[Gain]:
    """Of each first figure, the best two changes that alter different inputs, together."""
    made: list[Gain] = []
    for figure in dict.fromkeys(gain.effects[0].name for _, gain in found):
        best = [named for named, gain in found if gain.effects[0].name == figure]
        second = next((each for each in best[1:] if not _same_inputs(best[0][1], each[1])), None)
        if second is None:
            continue
        both = _gain(now, (best[0], second), cancelled, unwell)
        if both is not None:
            made.append(both)
    return made


def _moves(effect: Difference) -> bool:
    size = max(abs(effect.before), abs(effect.after))
    return max(abs(effect.change), abs(effect.low), abs(effect.high)) > LEAST_TOLD * size


def _same_inputs(one: Change, other: Change) -> bool:
    return bool({alter.path for alter in one.alters} & {alter.path for alter in other.alters})


def _gain(
    now: Ran, changes: tuple[Named, ...], cancelled: Callable[[], bool] | None, unwell: list[Unwell]
) -> Gain | None:
    try:
        columns = altered(now.draws, changes)
    except GuardError as failure:
        unwell.append(failure.unwell)
        return None
    if columns is None:
        return None
    after = run_day(columns.boat, now.draws.draws, cancelled, base=now, columns=columns)
    unwell.extend(each for each in after.unwell if each not in now.unwell)
    first = changes[0][1]
    wanted = [effect.figure for effect in first.effects]
    effects = tuple(each for name in wanted if (each := difference(now, after, name)) is not None)
    if not effects:
        return None
    better = next(effect.better for effect in first.effects if effect.figure == effects[0].name)
    share = _better_by(effects[0], better, now)
    if not share > LEAST:
        return None
    return Gain(
        tuple(key_of(*each) for each in changes), tuple(change for _, change in changes), effects, share
    )


def _better_by(effect: Difference, better: str, now: Ran) -> float:
    """By what share of itself a figure gets better; a margin about zero, and a temperature, by its range."""
    gained = effect.change if better == "more" else -effect.change
    low, high, _ = limits(now.daily(effect.name))
    size = (
        max(high - low, 1.0)
        if effect.unit == "K"
        else max(abs(effect.before), abs(effect.after), high - low)
    )
    return gained / size if size > 0 and np.isfinite(gained) else 0.0


__all__ = ["DRAWS", "Gain", "Weighed", "weigh"]
