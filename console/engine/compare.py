"""What if: two boats on the same draws, compared pair by pair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from console.boatfile import Boat
from console.engine.estimate import limits
from console.engine.run import Ran, run_day
from console.guard import Unwell
from console.quantities import style_of


@dataclass(frozen=True, slots=True)
class Difference:
    """A figure before and after, and the change between the two draw by draw, in SI.

    ``sure`` is the share of draws in which the change has the sign of the nominal one.
    """

    name: str
    unit: str
    style: str
    meaning: str
    before: float
    after: float
    change: float
    low: float
    high: float
    sure: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """All figures both boats have, and what only one of them has."""

    draws: int
    differences: tuple[Difference, ...]
    only_before: tuple[str, ...]
    only_after: tuple[str, ...]
    warnings: tuple[str, ...]
    unwell: tuple[Unwell, ...]


def difference(first: Ran, second: Ran, name: str) -> Difference | None:
    """A figure in two runs of common draws; None when either has no finite number for it."""
    if name not in first.figures or name not in second.figures or name not in first.meanings:
        return None
    given = first.meanings[name]
    old, new = first.daily(name), second.daily(name)
    change = new - old
    if not (np.isfinite(old[0]) and np.isfinite(new[0])):
        return None
    low, high, _ = limits(change) if change.size > 1 else (change[0], change[0], False)
    moved = change[1:][np.isfinite(change[1:])]
    same = float(np.mean(np.sign(moved) == np.sign(change[0]))) if moved.size else 1.0
    return Difference(
        name, given.unit, style_of(given.unit, given.style), given.meaning,
        float(old[0]), float(new[0]), float(change[0]), low, high, same,
    )  # fmt: skip


def compare(
    before: Boat, after: Boat, draws: int = 256, cancelled: Callable[[], bool] | None = None
) -> Comparison:
    """Run both boats on common draws: each input's column has the same seed in both.

    The change of a figure therefore holds the change alone, not two spreads added.
    """
    first = run_day(before, draws, cancelled)
    return compared(first, run_day(after, draws, cancelled, base=first))


def compared(first: Ran, second: Ran) -> Comparison:
    """Two runs of common draws, figure by figure."""
    made = [each for name in first.figures if (each := difference(first, second, name)) is not None]
    return Comparison(
        first.draws.draws, tuple(made),
        tuple(name for name in first.figures if name not in second.figures),
        tuple(name for name in second.figures if name not in first.figures),
        tuple(dict.fromkeys([
            *first.boat.warnings, *second.boat.warnings, *first.warnings, *second.warnings,
        ])),
        tuple(dict.fromkeys([*first.unwell, *second.unwell])),
    )  # fmt: skip
