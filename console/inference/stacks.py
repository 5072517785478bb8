"""Rows of draws stacked: the same base draws over and over, each block with its own causes.

Every uncertain number is one latent standard normal score, by path (an input), by
``change:KEY`` (a severity), ``instrument:NAME`` (a shared bias) or ``own:NAME`` (the scatter of one
reading). A row of a block is a row of the base draws, with some of its latents replaced.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.boatfile.inputs import Input
from console.engine.draws import column, scores, spread_about
from console.engine.views import Draws
from console.quantities import Measure

Array = NDArray[np.float64]
Index = NDArray[np.intp]


class ScoredDraws(Draws):
    """Rows of base draws, some of their latents replaced.

    ``rows`` are indices into the base draws' rows, the first 0 (the nominal boat). ``latents``
    replace the scores of a path, shape (rows - 1,).
    """

    def __init__(self, base: Draws, rows: Index, latents: Mapping[str, Array]) -> None:
        super().__init__(base.boat, rows.size - 1)
        self._base, self._rows, self._latents = base, rows, latents

    def _stated(self, path: str, entry: Input) -> Array:
        at = self._latents.get(path)
        if at is None:
            taken: Array = self._base.number(path)[self._rows, 0]
            return taken
        assert entry.measure is not None
        half = entry.measure.half_si
        return column(path, self.draws, entry.measure.value, half, entry.law, entry.hard, at)

    def _about(self, path: str, entry: Input, medians: Array) -> Array:
        at = self._latents.get(path)
        if at is None:
            at = scores(path, self._base.draws)[self._rows[1:] - 1]
        assert entry.measure is not None
        half, relative = entry.measure.half or 0.0, entry.measure.relative
        return spread_about(path, medians, half, relative, entry.law, entry.hard, at)

    def stand_in(self, name: str, measure: Measure, law: str) -> Array:
        at = self._latents.get(name)
        if at is None:
            taken: Array = self._base.stand_in(name, measure, law)[self._rows]
            return taken
        return column(name, self.draws, measure.value, measure.half_si, law, at=at)


class StackedDraws(Draws):
    """Draws one below the other: the nominal row of the first, then the draws of each."""

    def __init__(self, boat: Boat, parts: Sequence[Draws]) -> None:
        super().__init__(boat, sum(part.draws for part in parts))
        self.parts = parts
        if all(part.before is not None for part in parts):
            self.before = StackedDraws(boat, [part.before for part in parts if part.before is not None])

    def stand_in(self, name: str, measure: Measure, law: str) -> Array:
        columns = [part.stand_in(name, measure, law) for part in self.parts]
        return np.concatenate([columns[0][:1], *(each[1:] for each in columns)])

    def number(self, path: str) -> Array:
        made = self.columns.get(path)
        if made is None:
            columns = [part.number(path) for part in self.parts]
            made = np.concatenate([columns[0][:1], *(each[1:] for each in columns)])
            made.flags.writeable = False
            self.columns[path] = made
        return made


@dataclass
class Stage:
    """Some rows of one block, and what the forward model gave there.

    ``rows`` are rows of the base draws (1..N), ``latents`` what replaces theirs, ``figures`` the
    wanted figures, and ``chances`` the chance of each choice of a reading.
    """

    rows: Index
    latents: dict[str, Array] = field(default_factory=dict)
    figures: dict[str, Array] = field(default_factory=dict)
    chances: dict[str, Array] = field(default_factory=dict)
    log_ratio: Callable[[Callable[[str], Array]], Array] | None = None
    """Log of the stage's density over the prior's at given latents; None when it is the prior."""


@dataclass
class Block:
    """All rows of one set of causes switched on together (none: the boat in good order)."""

    key: tuple[str, ...]
    base: int
    stages: list[Stage] = field(default_factory=list)
    _ratio: Array | None = field(default=None, repr=False)

    @property
    def size(self) -> int:
        return sum(stage.rows.size for stage in self.stages)

    def latent(self, path: str) -> Array:
        """The scores of a latent over all rows."""
        return np.concatenate([
            stage.latents[path] if path in stage.latents else scores(path, self.base)[stage.rows - 1]
            for stage in self.stages
        ])  # fmt: skip

    def figure(self, name: str) -> Array | None:
        """A figure over all rows, shape (rows,) or (rows, steps); None when nobody gave it."""
        if not all(name in stage.figures for stage in self.stages):
            return None
        return np.concatenate([stage.figures[name] for stage in self.stages])

    def chances(self, reading: str) -> Array | None:
        """Chances of a reading's choices over all rows; None when nobody told them."""
        if not all(reading in stage.chances for stage in self.stages):
            return None
        return np.concatenate([stage.chances[reading] for stage in self.stages])

    def log_prior_ratio(self) -> Array:
        """Log of prior density over that the rows were drawn from (all stages as one mixture)."""
        if self._ratio is None or self._ratio.size != self.size:
            self._ratio = self._log_prior_ratio()
        return self._ratio

    def _log_prior_ratio(self) -> Array:
        if all(stage.log_ratio is None for stage in self.stages):
            return np.zeros(self.size)
        terms = [
            np.full(self.size, np.log(stage.rows.size / self.size))
            + (0.0 if stage.log_ratio is None else stage.log_ratio(self.latent))
            for stage in self.stages
        ]
        return np.asarray(-np.logaddexp.reduce(np.stack(terms), axis=0))
