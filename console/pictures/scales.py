"""Scales of pictures: round ticks and where a value lies, apart from any way of painting it.

Everything here is in the unit shown; `Words.shown` brings SI there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STEPS = (1.0, 2.0, 2.5, 5.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from ``low`` to ``high`` with round ``ticks``."""

    low: float
    high: float
    ticks: tuple[float, ...]
    step: float

    def place(self, value: float) -> float:
        """Where a value lies: 0 at the low end, 1 at the high end, beyond them outside."""
        return (value - self.low) / (self.high - self.low)

    def places(self, values: Array) -> Array:
        """`place` of an array; NaN stays NaN."""
        return (values - self.low) / (self.high - self.low)


def extent(*arrays: Array) -> tuple[float, float]:
    """Least and largest finite value of all arrays; (0, 0) when there is none."""
    finite = [array[np.isfinite(array)] for array in map(np.ravel, arrays)]
    joined = np.concatenate(finite) if finite else np.empty(0)
    return (float(joined.min()), float(joined.max())) if joined.size else (0.0, 0.0)


def round_scale(low: float, high: float, most: int = 5, least: int = 3) -> Scale:
    """The tightest scale around low..high whose ends are ticks, with ``least`` to ``most`` ticks.

    Steps are 1, 2, 2.5 or 5 times a power of ten. A span too small to divide is widened.
    """
    if not high - low > 1e-9 * max(abs(low), abs(high), 1e-20):
        room = abs(low) * 0.1 or 1.0
        low, high = (min(low, 0.0), max(high, 0.0)) if low == 0 else (low - room, high + room)
        high = high if high > low else low + 1.0
    power = math.floor(math.log10((high - low) / max(1, most)))
    for exponent in range(power - 1, power + 4):
        for lead in _STEPS:
            step = lead * 10.0**exponent
            first = math.floor(low / step + 1e-9)
            last = math.ceil(high / step - 1e-9)
            if last - first + 1 <= most:
                last = max(last, first + least - 1)
                ticks = tuple(float(round(k * step, 12 - exponent)) for k in range(first, last + 1))
                return Scale(first * step, last * step, ticks, step)
    raise AssertionError("a step ten thousand times too large still did not fit")


def tight_scale(low: float, high: float, most: int = 5, least: int = 2) -> Scale:
    """A scale that ends where the values do, with ``least`` to ``most`` round ticks inside it.

    The steps are those of `round_scale`; a span too small to divide is widened as there. For
    want of ticks the high end is moved up.
    """
    if not high - low > 1e-9 * max(abs(low), abs(high), 1e-20):
        return round_scale(low, high, most)
    slack = 1e-9 * (high - low)
    power = math.floor(math.log10((high - low) / max(1, most)))
    for exponent in range(power - 1, power + 4):
        for lead in _STEPS:
            step = lead * 10.0**exponent
            first, last = math.ceil((low - slack) / step), math.floor((high + slack) / step)
            if last - first + 1 <= most:
                ticks = tuple(float(round(k * step, 12 - exponent)) for k in range(first, last + 1))
                if len(ticks) < least:
                    return tight_scale(low, (first + least - 1) * step, most, len(ticks))
                return Scale(low, high, ticks, step)
    raise AssertionError("a step ten thousand times too large still did not fit")


def hour_scale(first: float, last: float, most: int = 9) -> Scale:
    """A scale of local hours with ticks at whole 1, 2, 3, 4, 6, 12 or 24 hours."""
    if not last - first > 1e-9 * abs(first):
        half = max(0.5, abs(first) * 0.01)
        first, last = first - half, first + half
    step = 24.0
    for step in (1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0):
        if (last - first) / step + 1 <= most:
            break
    else:
        step = math.ceil((last - first) / max(1, most - 1) / 24) * 24.0
    begin = math.ceil(first / step - 1e-9)
    end = math.floor(last / step + 1e-9)
    return Scale(first, last, tuple(k * step for k in range(begin, end + 1)), step)
