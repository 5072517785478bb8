"""The geometry of pictures before any paint: what is stacked, spread and shared.

Both twins, cells and SVG, take their curves from here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def step_of(hours: Array) -> float:
    """The usual distance between hours (1 when there is only one)."""
    gaps = np.diff(hours)
    gaps = gaps[np.isfinite(gaps) & (gaps > 0)]
    return float(np.median(gaps)) if gaps.size else 1.0


def is_whole_day(hours: Array) -> bool:
    """Whether the hours are one closed day, whose end joins its beginning."""
    step = step_of(hours)
    return bool(
        hours.size > 1
        and hours[0] >= 0
        and hours[-1] <= 24
        and abs(hours[-1] - hours[0] + step - 24) < step / 2
    )


def day_span(hours: Array) -> tuple[float, float]:
    """The hours an axis should show: 0 to 24 for anything within one day."""
    finite = hours[np.isfinite(hours)]
    if not finite.size:
        return 0.0, 24.0
    first, last = float(finite.min()), float(finite.max())
    return (0.0, 24.0) if first >= 0 and last <= 24 else (first, last)


def resample(x: Array, values: Array, at: Array) -> Array:
    """Values (last axis along ``x``) interpolated at ``at``: gaps stay gaps, a day closes.

    Half a step beyond the first and last value still belongs to them; farther is a gap.
    """
    values = np.atleast_2d(values)
    order = np.argsort(x, kind="stable")
    x, values = x[order], values[:, order]
    keep = np.isfinite(x)
    x, values = x[keep], values[:, keep]
    if not x.size:
        return np.full((values.shape[0], at.size), np.nan)
    half = step_of(x) / 2
    if is_whole_day(x):
        x = np.concatenate(([x[-1] - 24], x, [x[0] + 24]))
        values = np.concatenate((values[:, -1:], values, values[:, :1]), axis=1)
    outside = (at < x[0] - half) | (at > x[-1] + half)
    out = np.array([np.interp(at, x, row) for row in values])
    out[:, outside] = np.nan
    return out


@dataclass(frozen=True, slots=True)
class Layered:
    """Layers on top of each other: those above zero rise from it, those below hang from it.

    ``bottoms`` and ``tops`` have the shape (layers, columns); ``total`` is the sum, a column
    with any gap being all gap. A layer that heats by day and cools by night does both.
    """

    bottoms: Array
    tops: Array
    total: Array

    @property
    def hangs(self) -> bool:
        """Whether anything hangs below zero, so that the top is not the total."""
        return bool(np.nanmin(self.bottoms, initial=0.0) < 0)


def layered(values: Array) -> Layered:
    """Stack layers, shape (layers, columns)."""
    whole = np.where(np.isnan(values).any(axis=0), np.nan, values)
    above, below = np.maximum(whole, 0.0), np.minimum(whole, 0.0)
    rise, hang = np.cumsum(above, axis=0), np.cumsum(below, axis=0)
    bottoms = np.where(whole >= 0, rise - above, hang)
    tops = np.where(whole >= 0, rise, hang - below)
    total = whole.sum(axis=0) if values.shape[0] else np.full(values.shape[1], np.nan)
    return Layered(bottoms, tops, total)


def gathered(values: Array, least: float) -> list[tuple[int, ...]]:
    """Layers grouped for a coarse raster: the thin ones become one, on top of the rest.

    A layer is thin when it never goes below zero and never reaches ``least``; a single thin
    layer stays where it is.
    """
    with np.errstate(invalid="ignore"):
        thin = ~(values < 0).any(axis=1) & ~(values >= least).any(axis=1)
    together = tuple(np.flatnonzero(thin).tolist())
    if len(together) < 2:
        return [(layer,) for layer in range(values.shape[0])]
    return [*((layer,) for layer in np.flatnonzero(~thin).tolist()), together]


def worst_index(total: Array) -> int | None:
    """Where the total is largest; None when it is a gap all along."""
    return None if not np.isfinite(total).any() else int(np.nanargmax(total))


def shares(values: Sequence[float]) -> list[float]:
    """Each positive value's share (0..1) of the sum of the positive ones."""
    positive = [value if np.isfinite(value) and value > 0 else 0.0 for value in values]
    whole = sum(positive)
    return [value / whole if whole > 0 else 0.0 for value in positive]


def density(values: Array, low: float, high: float, columns: int) -> Array:
    """How densely values lie in ``columns`` equal columns of low..high, largest 1.

    A histogram smoothed by a Gaussian kernel of Silverman's width (Silverman 1986, eq. 3.31),
    at least half a column: values that are all alike stay one narrow spike.
    """
    values = values[np.isfinite(values)]
    if not values.size or not high > low or columns < 1:
        return np.zeros(max(columns, 0))
    fine = 4
    counts, _ = np.histogram(values, bins=columns * fine, range=(low, high))
    quarter, three = np.percentile(values, (25, 75))
    spread = min(float(values.std()), float(three - quarter) / 1.34 or float(values.std()))
    width = 0.9 * spread * values.size**-0.2 / (high - low) * columns * fine
    width = min(max(width, fine / 2), columns * fine / 4)
    reach = int(np.ceil(3 * width))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / width) ** 2)
    smooth = np.convolve(counts.astype(float), kernel)[reach : reach + columns * fine]
    dense = smooth.reshape(columns, fine).mean(axis=1)
    top = float(dense.max())
    result: Array = dense / top if top > 0 else dense
    return result


@dataclass(frozen=True, slots=True)
class Middle:
    """Median and central nine tenths of a set of values."""

    low: float
    median: float
    high: float
    count: int


def middle(values: Array) -> Middle | None:
    """P5, P50 and P95 of the finite values; None when there is none."""
    values = values[np.isfinite(values)]
    if not values.size:
        return None
    low, median, high = (float(v) for v in np.percentile(values, (5, 50, 95)))
    return Middle(low, median, high, int(values.size))
