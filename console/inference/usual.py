"""What was not logged: it was as usual, and may have been otherwise before a repair than after it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from console.contract import Reading
from console.engine.run import Ran
from console.engine.views import Draws, EstimateView
from console.guard import GuardError, call, guarded
from console.inference.logged import LoggedDays

Array = NDArray[np.float64]

SIDES = ("before", "after")
LEAST = {"K": 2.0, "1": 0.08}
"""Standard deviation by which one week's mean air differs from another's at the least, by unit: 2 K
and 8 % of humidity (common practice, no source)."""
HABITS = 0.25
"""Standard deviation, in parts of itself, of how often a thing is done from one period to another when
nobody counts (common practice, no source)."""


class Usual:
    """The conditions and counts a log is silent of, each with a latent for before and for after."""

    def __init__(self, day: Ran, readings: Iterable[Reading], log: LoggedDays) -> None:
        self._unread: dict[str, tuple[Reading, float, float]] = {}
        self._half_read: dict[str, tuple[Reading, float, Array]] = {}
        self._uncounted: dict[str, Reading] = {}
        for reading in readings:
            figure = reading.predicts
            if reading.role == "condition" and figure and figure not in log.pins:
                usual = _usual(day, figure)
                if usual is not None:
                    middle, spread = usual
                    self._unread[figure] = (reading, middle, max(spread, LEAST.get(reading.unit, 0.0)))
            elif reading.role == "condition" and figure in log.pins and log.repaired is not None:
                blind = _blind(log, figure)
                if blind.any():
                    self._half_read[figure] = (reading, LEAST.get(reading.unit, 0.0), blind)
            if reading.sets and reading.role == "evidence" and log.repaired is not None:
                entry = day.boat.inputs.get(reading.sets)
                if reading.sets not in log.sets and entry is not None and entry.measure is not None:
                    self._uncounted[reading.sets] = reading

    @property
    def unread(self) -> tuple[str, ...]:
        """The names of the conditions and counts that were not logged, or only on one side."""
        parts = (*self._unread.values(), *self._half_read.values())
        return tuple([part[0].name for part in parts] + [r.name for r in self._uncounted.values()])

    def told(self) -> list[tuple[str, str]]:
        """The title of each, and on which side it was not logged."""
        made = [(part[0].title, "") for part in self._unread.values()]
        made += [(r.title, "") for r in self._uncounted.values()]
        for reading, _, blind in self._half_read.values():
            made.append((reading.title, f" {'after' if blind[-1] else 'before'} the repair"))
        return made

    @property
    def names(self) -> tuple[str, ...]:
        """The latents."""
        return tuple(f"period:{name}:{side}" for name in self.unread for side in SIDES)

    def pins(self, of: Callable[[str], Array], later: Array) -> dict[str, Array]:
        """What unread conditions were along the days."""
        made = {}
        for figure, (reading, middle, spread) in self._unread.items():
            value = middle + spread * _period(reading, of, later)
            made[figure] = np.clip(value, 0.02, 0.98) if reading.unit == "1" else value
        return made

    def off(self, figure: str, of: Callable[[str], Array], later: Array) -> Array | float:
        """How far a condition may have been, on the days of a side on which nobody read it, from what it
        was on the other."""
        found = self._half_read.get(figure)
        if found is None:
            return 0.0
        reading, spread, blind = found
        if blind.size != later.size:  # the mean day of one side
            side = later >= 0.5
            blind = np.where(side, float(blind[-1]), float(blind[0]))
        return spread * _period(reading, of, later) * blind

    def sets(
        self, plain: Draws, latents: Mapping[str, Array], rows: int, log: LoggedDays
    ) -> dict[str, Array]:
        """What was not counted, day by day."""
        made = {}
        for path, reading in self._uncounted.items():
            low, high = plain.boat.inputs[path].hard

            def of(name: str) -> Array:
                return np.concatenate([[0.0], latents.get(name, np.zeros(rows))])[:, None]

            factor = np.exp(HABITS * _period(reading, of, log.later))
            made[path] = np.clip(plain.number(path) * factor, low, high)
        return made


def _period(reading: Reading, of: Callable[[str], Array], later: Array) -> Array:
    before, after = (of(f"period:{reading.name}:{side}") for side in SIDES)
    return np.asarray(before * (1.0 - later) + after * later)


def _blind(log: LoggedDays, figure: str) -> Array:
    """The days of a side on which a condition was never read (1), the others 0."""
    made = np.zeros(log.steps)
    for later in (False, True):
        side = (log.later >= 0.5) == later
        if side.any() and not (side & log.seen[figure]).any():
            made[side] = 1.0
    return made


def _usual(day: Ran, figure: str) -> tuple[float, float] | None:
    """A figure's usual day mean and its spread; by its stand-in where nobody gives it."""
    found = day.figures.get(figure)
    if found is None:
        for node in day.plan.nodes:
            need = next((n for n in node.estimate.needs if n.name == figure and n.default), None)
            if need is None or ":" not in str(need.default):
                continue
            view = EstimateView(day.draws, day.hours, 3600.0, MappingProxyType(day.figures), set())
            try:
                found = np.asarray(
                    guarded(node.owner, node.key, call, str(need.default), view), dtype=float
                )
            except GuardError:
                return None
            break
    if found is None:
        return None
    means = np.nanmean(np.atleast_2d(found), axis=1)
    spread = float(np.std(means[1:])) if means.size > 2 else 0.0
    return (float(means[0]), spread) if math.isfinite(means[0]) else None
