"""Curves as dots: braille, two by four to a cell, or one plain character to a cell."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Unicode braille: bit of the dot at [row of 4][column of 2].
_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_DASHES = ((1, 0), (5, 3), (1, 2))  # dot columns drawn and left out, by the curve's number
_MOST_STEPS = 2000


class Dots:
    """A raster over ``columns`` by ``rows`` cells, for one colour: braille, or ``plain`` characters.

    Places run from 0 (left, bottom) to 1 (right, top); what lies outside is not drawn.
    """

    def __init__(self, columns: int, rows: int, plain: str = "") -> None:
        self.columns, self.rows, self.plain = columns, rows, plain
        self.across, self.down = (1, 1) if plain else (2, 4)
        self.on = np.zeros((rows * self.down, columns * self.across), dtype=bool)

    @property
    def middles(self) -> Array:
        """The place of the middle of each column of dots."""
        count = self.on.shape[1]
        return (np.arange(count) + 0.5) / count

    def path(self, x: Array, y: Array, dash: int = 0) -> None:
        """Straight lines from point to point; NaN in either place is a gap."""
        tall, wide = self.on.shape
        across, down = np.clip(x, -2, 3) * wide, (1 - np.clip(y, -2, 3)) * tall
        known = np.isfinite(across) & np.isfinite(down)
        pairs = np.flatnonzero(known[:-1] & known[1:])
        dx, dy = across[pairs + 1] - across[pairs], down[pairs + 1] - down[pairs]
        steps = np.minimum(np.ceil(np.maximum(np.abs(dx), np.abs(dy))), _MOST_STEPS).astype(int) + 1
        which = np.repeat(np.arange(pairs.size), steps)
        along = (np.arange(which.size) - np.repeat(np.cumsum(steps) - steps, steps)) / steps[which]
        columns = np.concatenate((across[pairs][which] + along * dx[which], across[known]))
        rows = np.concatenate((down[pairs][which] + along * dy[which], down[known]))
        self._set(columns, rows, dash)

    def _set(self, columns: Array, rows: Array, dash: int) -> None:
        tall, wide = self.on.shape
        # The scale's very ends belong to the raster's first and last dots.
        column = np.where(np.abs(columns - wide) < 1e-6, wide - 1, np.floor(columns + 1e-9)).astype(int)
        row = np.where(np.abs(rows - tall) < 1e-6, tall - 1, np.floor(rows + 1e-9)).astype(int)
        inside = (column >= 0) & (column < wide) & (row >= 0) & (row < tall)
        drawn, left_out = (1, 0) if self.plain else _DASHES[dash % len(_DASHES)]
        inside &= column % (drawn + left_out) < drawn
        self.on[row[inside], column[inside]] = True

    def band(self, lows: Array, highs: Array) -> None:
        """A loose stipple between two heights per column of dots; NaN in either is a gap."""
        tall = self.on.shape[0]
        middle = 1 - (np.arange(tall) + 0.5) / tall
        with np.errstate(invalid="ignore"):
            inside = (middle[:, None] >= lows) & (middle[:, None] <= highs)
        row, column = np.indices(inside.shape)
        self.on |= inside & ((column + 2 * row) % 4 == 0)

    def cells(self) -> list[tuple[int, int, str]]:
        """Row, column and character of every cell with a dot in it."""
        if self.plain:
            found = np.argwhere(self.on).tolist()
            return [(row, column, self.plain) for row, column in found]
        blocks = self.on.reshape(self.rows, 4, self.columns, 2).transpose(0, 2, 1, 3)
        codes = (blocks * _BITS).sum(axis=(2, 3))
        found = np.argwhere(codes).tolist()
        return [(row, column, chr(0x2800 + int(codes[row, column]))) for row, column in found]
