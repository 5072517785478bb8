"""When things run: clock hours to shares of each step, and what is on at the same time.

Hours are numbers 0..24. ``hours`` is the hour at the middle of each step, shape (steps,). A step
may be an hour, a whole day, or the single step of a moment.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Interval = tuple[float, float]

SLOTS = 12
"""Parts a step is looked at in when it is asked what is on at once: five minutes of an hour."""

_SPAN = re.compile(r"\s*(\d{1,2}):([0-5]\d)\s*-\s*(\d{1,2}):([0-5]\d)\s*")


def clock_intervals(texts: Iterable[str]) -> tuple[Interval, ...]:
    """Hours of ``["06:00-07:00", "22:30-01:00"]``, each (start, end) with start < end <= 24.

    One that crosses midnight becomes two, and those that overlap become one. Raises ValueError
    with a sentence when one cannot be read.
    """
    spans: list[Interval] = []
    for text in texts:
        match = _SPAN.fullmatch(str(text).replace("–", "-"))
        shown = "".join(c if c.isprintable() else "?" for c in str(text))[:30]
        if not match:
            raise ValueError(
                f'"{shown}" is not a span of hours; accepted is "HH:MM-HH:MM" such as "18:30-19:30"'
            )
        first, second = (int(match[i]) + int(match[i + 1]) / 60 for i in (1, 3))
        if first > 24 or second > 24:
            raise ValueError(f'"{shown}" goes past 24:00; accepted is 00:00 to 24:00')
        if first == second:
            raise ValueError(f'"{shown}" starts and ends at the same time; leave hours out for all day')
        if first < second:
            spans.append((first, second))
        else:
            spans.extend(part for part in ((first, 24.0), (0.0, second)) if part[0] < part[1])
    return _joined(spans)


def _joined(spans: list[Interval]) -> tuple[Interval, ...]:
    joined: list[Interval] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1] + 1e-9:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return tuple(joined)


def coverage(intervals: Sequence[Interval], hours: ArrayLike, step_seconds: float) -> Array:
    """Share (0..1) of each step that the intervals cover, shape (steps,).

    No intervals means all day. A step longer than what is left of the day wraps past midnight.
    The sum of shares times the step is the intervals' own length, whatever the step.
    """
    middle = np.asarray(hours, dtype=float)
    if not intervals:
        return np.ones_like(middle)
    width = step_seconds / 3600
    low, high = middle - width / 2, middle + width / 2
    covered = np.zeros_like(middle)
    for start, end in intervals:
        for day in (-24.0, 0.0, 24.0):
            covered += np.maximum(0.0, np.minimum(high, end + day) - np.maximum(low, start + day))
    return np.clip(covered / width, 0.0, 1.0)


def slots_on(intervals: Sequence[Interval], hours: ArrayLike, step_seconds: float) -> Array:
    """1 in each twelfth of a step in which it may be on, else 0, shape (steps, SLOTS)."""
    middle = np.asarray(hours, dtype=float)
    width = step_seconds / 3600 / SLOTS
    offsets = (np.arange(SLOTS) - (SLOTS - 1) / 2) * width
    parts = (middle[:, None] + offsets).ravel()
    return (coverage(intervals, parts, step_seconds / SLOTS) > 1e-9).astype(float).reshape(-1, SLOTS)


@lru_cache(512)
def _timetable(intervals: tuple[Interval, ...], hours: bytes, step_seconds: float) -> tuple[Array, Array]:
    middle = np.frombuffer(hours)
    made = coverage(intervals, middle, step_seconds), slots_on(intervals, middle, step_seconds)
    for array in made:
        array.flags.writeable = False
    return made


def timetable(intervals: Sequence[Interval], hours: Array, step_seconds: float) -> tuple[Array, Array]:
    """`coverage` and `slots_on`, worked out once for the same hours; read-only."""
    return _timetable(tuple(intervals), np.asarray(hours, dtype=float).tobytes(), step_seconds)


def first_start(intervals: Sequence[Interval]) -> float:
    """The first clock hour at which something starts; what runs on past midnight is no start."""
    carried = bool(intervals) and intervals[-1][1] >= 24.0
    starts = [start for start, _ in intervals if not (carried and start == 0.0)]
    return starts[0] if starts else 0.0


def begun_at(intervals: Sequence[Interval], hour: float) -> tuple[Interval, ...]:
    """The same hours moved so that the first of them starts at ``hour``; all day stays all day."""
    if not intervals:
        return ()
    moved = hour - first_start(intervals)
    found: list[Interval] = []
    for start, end in intervals:
        low, high = (start + moved) % 24.0, (start + moved) % 24.0 + end - start
        found.append((low, min(high, 24.0)))
        if high > 24.0 + 1e-9:
            found.append((0.0, high - 24.0))
    return _joined(found)


def until_filled(
    covered: ArrayLike,
    intervals: Sequence[Interval],
    hours: ArrayLike,
    step_seconds: float,
    run_hours: ArrayLike,
) -> Array:
    """The covered share of each step up to ``run_hours`` from the first start, (draws, steps).

    For a thing charged at constant current: it runs from its first hour until it has what it
    takes (energy over power, ``run_hours`` h, shape (draws, 1)), and then stops; each day of several
    anew.
    """
    middle = np.asarray(hours, dtype=float)
    width = step_seconds / 3600
    day = max(round(24.0 / width), 1)
    if middle.size > day:
        shares = np.broadcast_to(np.asarray(covered, dtype=float), (*np.shape(run_hours)[:-1], middle.size))
        parts = [slice(k, k + day) for k in range(0, middle.size, day)]
        made = [until_filled(shares[..., p], intervals, middle[p], step_seconds, run_hours) for p in parts]
        return np.concatenate(made, axis=-1)
    start = first_start(intervals)
    # Steps in the order in which they come after the start.
    order = np.argsort((middle + width / 2 - start - 1e-9) % 24.0, kind="stable")
    worked = np.asarray(covered, dtype=float)[..., order] * width
    before = np.cumsum(worked, axis=-1) - worked
    kept = np.clip(np.asarray(run_hours, dtype=float) - before, 0.0, worked) / width
    back = np.empty_like(kept)
    back[..., order] = kept
    return back


def largest_together(currents: Sequence[ArrayLike], on: Sequence[ArrayLike]) -> Array:
    """The most that can be on at once in each step, A, shape (draws, steps).

    ``currents[i]`` is the running current of a thing, (draws, steps) or (draws, 1); ``on[i]`` its
    `slots_on`, (steps, SLOTS). Two whose hours do not touch are never added.
    """
    if not currents:
        return np.zeros((1, 1))
    when = np.stack([np.asarray(slots, dtype=float) for slots in on])  # things, steps, slots
    shape = np.broadcast_shapes((1, when.shape[1]), *(np.shape(amps) for amps in currents))
    drawn = np.stack([np.broadcast_to(np.asarray(amps, dtype=float), shape) for amps in currents])
    # Step by step a product of (draws, things) and (things, slots).
    sums = np.matmul(drawn.transpose(2, 1, 0), when.transpose(1, 0, 2))
    return np.asarray(sums.max(axis=-1).T)
