"""A fixed point found in few trials, many at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_DEPTH, _LONGEST = 3, 3.0
"""How many former steps are mixed into a trial, and the largest part of one."""


class Mixer:
    """Anderson's mixing, draw by draw: the next trial of a fixed point x = g(x).

    ``x`` and ``left`` = g(x) - x are (unknowns, draws). The new trial is the combination of the
    last few that leaves least, by least squares. Source: Walker and Ni, SIAM J. Numer. Anal. 49
    (2011) 1715. Only whole draws are mixed, so that each is solved as if it were alone.
    """

    def __init__(self) -> None:
        self._x: Array | None = None
        self._left: Array | None = None
        self._steps: list[tuple[Array, Array]] = []

    def keep(self, kept: NDArray[np.intp]) -> None:
        """Forget all but some of the draws."""
        self._x = None if self._x is None else self._x[:, kept]
        self._left = None if self._left is None else self._left[:, kept]
        self._steps = [(move[:, kept], change[:, kept]) for move, change in self._steps]

    def next(self, x: Array, left: Array) -> Array:
        """The next trial after ``x`` left ``left``."""
        if self._x is not None and self._left is not None:
            self._steps = [*self._steps, (x - self._x, left - self._left)][-_DEPTH:]
        self._x, self._left = x, left
        if not self._steps:
            return x + left
        changes = np.stack([change for _, change in self._steps])
        normal = np.einsum("iud,jud->dij", changes, changes)
        wanted = np.einsum("iud,ud->di", changes, left)
        size = np.einsum("dii->d", normal)
        normal = normal + (1e-6 * size + 1e-12)[:, None, None] * np.eye(len(self._steps))
        part = np.linalg.solve(normal, wanted[:, :, None])[:, :, 0].T
        moves = np.stack([move for move, _ in self._steps]) + changes
        mixed: Array = np.einsum("id,iud->ud", np.clip(part, -_LONGEST, _LONGEST), moves)
        return x + left - mixed
