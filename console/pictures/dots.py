"""Curves as braille dots, two by four to a cell, and as plain characters without them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Unicode braille: bit of the dot at [row of 4][column of 2].
_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_DASHES = ((1, 0), (5, 3), (2, 2))  # dots drawn and left out, by the curve's number


class Dots:
    """A raster of dots over ``columns`` by ``rows`` cells, for one colour."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self.on = np.zeros((rows * 4, columns * 2), dtype=bool)

    def trace(self, heights: Array, dash: int = 0) -> None:
        """A curve through one height (0 bottom, 1 top) per dot column; NaN is a gap.

        Steep parts are joined by upright runs of dots, split halfway between the columns. What
        lies beyond the raster is not drawn.
        """
        tall = self.on.shape[0]
        drawn, left_out = _DASHES[dash % len(_DASHES)]
        with np.errstate(invalid="ignore"):
            rows = np.clip(np.floor((1 - heights) * tall), -tall, 2 * tall)
        rows[np.abs(heights) <= 1e-9] = tall - 1  # the foot of the scale belongs to the raster
        own = [None if np.isnan(row) else int(row) for row in rows.tolist()[: self.on.shape[1]]]
        for column, here in enumerate(own):
            if here is None or column % (drawn + left_out) >= drawn:
                continue
            first = last = here
            for other, nearer in ((column - 1, 1), (column + 1, 0)):
                there = own[other] if 0 <= other < len(own) else None
                if there is not None:  # each of two neighbours draws its half of the way
                    first = min(first, here - (here - there - nearer) // 2)
                    last = max(last, here + (there - here - nearer) // 2)
            if last >= 0 and first < tall:
                self.on[max(first, 0) : min(last, tall - 1) + 1, column] = True

    def band(self, lows: Array, highs: Array) -> None:
        """A loose stipple between two heights per dot column; NaN in either is a gap."""
        tall = self.on.shape[0]
        middle = 1 - (np.arange(tall) + 0.5) / tall
        count = min(lows.size, highs.size, self.on.shape[1])
        with np.errstate(invalid="ignore"):
            inside = (middle[:, None] >= lows[None, :count]) & (middle[:, None] <= highs[None, :count])
        row, column = np.indices(inside.shape)
        self.on[:, :count] |= inside & ((column + 2 * row) % 4 == 0)

    def cells(self) -> list[tuple[int, int, str]]:
        """Row, column and braille character of every cell with a dot in it."""
        blocks = self.on.reshape(self.rows, 4, self.columns, 2).transpose(0, 2, 1, 3)
        codes = (blocks * _BITS).sum(axis=(2, 3))
        return [
            (row, column, chr(0x2800 + code))
            for row, column, code in zip(
                *(index.tolist() for index in np.nonzero(codes)), codes[codes > 0].tolist(), strict=True
            )
        ]


def plain_trace(heights: Array, rows: int) -> list[tuple[int, int]]:
    """Row and column of the cells a curve passes through, one height per cell column."""
    out: list[tuple[int, int]] = []
    for column, height in enumerate(heights.tolist()):
        if np.isfinite(height) and -1e-9 <= height <= 1 + 1e-9:
            out.append((min(rows - 1, int((1 - height) * rows)), column))
    return out
