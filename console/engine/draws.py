"""Draws of the uncertain inputs: seeded, stratified, and the same for the same file.

A centred Latin hypercube: every column is a permutation of the same N equal-probability
mid-points, and its order comes from the input's path, so that adding an input does not
reshuffle the others. Row 0 is nominal (the median); rows 1..N are the draws.

A spread is the half-width h of the central 90 % about the median m:

* positive scale quantities: log-normal, σ = asinh(h/m)/1.645, since
  (m·e^{1.645σ} - m·e^{-1.645σ})/2 = m·sinh(1.645σ) = h;
* shares strictly between 0 and 1: logit-normal, with the same meaning of h (h below 1/2);
  at 0 or 1: half-normal inward, with 90 % of it within h;
* the rest: normal. All are truncated at the hard limits.
"""

from __future__ import annotations

import hashlib
import math
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Z90 = 1.6448536269514722
"""Half-width of the central 90 % of a standard normal."""

WIDEST_SHARE = 0.49
_FAR = 3.5


@lru_cache(8)
def _midpoints(draws: int) -> Array:
    return (np.arange(draws) + 0.5) / draws


@lru_cache(8)
def _normal_scores(draws: int) -> Array:
    inverse = NormalDist().inv_cdf
    return np.array([inverse((k + 0.5) / draws) for k in range(draws)])


@lru_cache(1)
def _normal_table() -> tuple[Array, Array]:
    z = np.linspace(-6, 6, 4801)
    return z, np.array([0.5 * (1 + math.erf(x / math.sqrt(2))) for x in z])


@lru_cache(2048)
def order(path: str, draws: int) -> NDArray[np.intp]:
    """The permutation that belongs to a path."""
    seed = int.from_bytes(hashlib.blake2b(path.encode(), digest_size=8).digest(), "big")
    return np.random.default_rng(seed).permutation(draws)


@lru_cache(2048)
def scores(path: str, draws: int, low: float = -math.inf, high: float = math.inf) -> Array:
    """Standard normal scores of a path's column, truncated to (low, high), shape (draws,)."""
    if low < -_FAR and high > _FAR:
        column = _normal_scores(draws)[order(path, draws)]
    else:
        column = _within(_midpoints(draws)[order(path, draws)], low, high)
    column.flags.writeable = False
    return column


def _within(share: Array, low: float, high: float) -> Array:
    """Normal scores of shares of the probability that lies within (low, high)."""
    z, cumulative = _normal_table()
    bottom, top = np.interp([low, high], z, cumulative)
    return np.asarray(np.clip(np.interp(bottom + share * (top - bottom), cumulative, z), low, high))


def squeezed(at: Array, low: float = -math.inf, high: float = math.inf) -> Array:
    """Standard normal scores in their own order, truncated to (low, high)."""
    if low < -_FAR and high > _FAR:
        return at
    z, cumulative = _normal_table()
    return _within(np.interp(at, z, cumulative), low, high)


def _logit_width(median: float, half: float) -> float:
    """s with expit(l + s) - expit(l - s) = 2·half, for l = logit(median).

    With o = m/(1-m) and a = e^s this is (1-2h)a² - 2h(1+o²)/o·a - (1+2h) = 0.
    """
    half = min(half, WIDEST_SHARE)
    odds = median / (1 - median)
    b = 2 * half * (1 + odds * odds) / odds
    return math.log((b + math.sqrt(b * b + 4 * (1 - 4 * half * half))) / (2 * (1 - 2 * half)))


def column(
    path: str, draws: int, median: float, half: float, law: str,
    hard: tuple[float, float] = (-math.inf, math.inf), at: Array | None = None,
) -> Array:  # fmt: skip
    """A path's column about a fixed median, shape (draws + 1,), row 0 the median itself.

    ``half`` is the half-width of the central 90 %, in SI. ``law`` is ``scale``, ``fraction``
    or ``plain`` (see the module). Values never leave ``hard``. ``at`` are standard normal scores
    (draws,) to take instead of the path's own.
    """

    def z(low: float = -math.inf, high: float = math.inf) -> Array:
        return scores(path, draws, low, high) if at is None else squeezed(at, low, high)

    made = np.empty(draws + 1)
    made[0] = median
    if draws == 0:
        return made
    low, high = hard
    # A spread too small to tell is none.
    if half <= 1e-9 * (1.0 if law == "fraction" else abs(median)) or not math.isfinite(half):
        made[:] = median
    elif law == "scale" and median > 1e-6 * half:
        sigma = math.asinh(half / median) / Z90
        below = math.log(low / median) / sigma if low > 0 else -math.inf
        above = math.log(high / median) / sigma if 0 < high < math.inf else math.inf
        made[1:] = median * np.exp(sigma * z(below, above))
    elif law == "fraction" and 1e-6 < median < 1 - 1e-6:
        sigma, centre = _logit_width(median, half) / Z90, math.log(median / (1 - median))
        below = (math.log(low / (1 - low)) - centre) / sigma if 0 < low < 1 else -math.inf
        above = (math.log(high / (1 - high)) - centre) / sigma if 0 < high < 1 else math.inf
        made[1:] = 1 / (1 + np.exp(-(centre + sigma * z(below, above))))
    elif law in ("fraction", "scale"):  # at an end, or as good as: inward only
        inward = -1.0 if law == "fraction" and median > 0.5 else 1.0
        made[1:] = median + inward * half / Z90 * np.abs(z())
    else:
        sigma = half / Z90
        made[1:] = median + sigma * z((low - median) / sigma, (high - median) / sigma)
    np.clip(made, min(low, median), max(high, median), out=made)
    return made


def spread_about(
    path: str, medians: Array, half: float, relative: bool, law: str,
    hard: tuple[float, float] = (-math.inf, math.inf), at: Array | None = None,
) -> Array:  # fmt: skip
    """A computed default's medians (row 0 nominal), each with its own spread about it.

    ``half`` is SI, or relative to each median; ``at`` as in `column`. Shape in and out:
    (draws + 1,).
    """
    made = np.array(medians, dtype=float)
    draws = made.size - 1
    if draws and half > 0:
        z = scores(path, draws) if at is None else at
        around = made[1:]
        if law == "scale" and relative:
            made[1:] = around * np.exp(math.asinh(half) / Z90 * z)
        else:
            width = half * np.abs(around) if relative else half
            made[1:] = around + width / Z90 * z
    result: Array = np.clip(made, *hard)
    return result
