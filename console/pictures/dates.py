"""The axis of a timeline: local dates and clock times at round places, apart from any way of painting."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cache

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
# The years a calendar has, with room for a tick past the end; seconds since 1970.
_FIRST, _LAST = -6.0e10, 2.5e11
_HOUR, _DAY, _MONTH = 3600.0, 86400.0, 30.4 * 86400.0


@cache
def zone(name: str) -> tzinfo:
    """The time zone of an IANA name; UTC for one that is not known."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):  # OSError: a folder of zones, such as "Europe"
        return UTC


def drawable(time: float) -> bool:
    """Whether a time is one a calendar has."""
    return _FIRST < time < _LAST


def local(time: float, where: tzinfo) -> datetime:
    """The local date and time of seconds since 1970."""
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=time)).astimezone(where)


def date_text(time: float, where: tzinfo, year: bool = False) -> str:
    """A local date as it is said: ``"3 Nov"``, with the year when asked."""
    at = local(time, where)
    return f"{at.day} {MONTHS[at.month - 1]}" + (f" {at.year}" if year else "")


def span_text(first: float, last: float, where: tzinfo) -> str:
    """From when to when, with the year: ``"3 Oct to 25 Nov 2026"``."""
    one, other = local(first, where), local(last, where)
    if one.date() == other.date():
        return date_text(first, where, True)
    return f"{date_text(first, where, one.year != other.year)} to {date_text(last, where, True)}"


@dataclass(frozen=True, slots=True)
class DateScale:
    """A straight scale of times with ticks at round local times, and how they are written."""

    low: float
    high: float
    ticks: tuple[float, ...]
    labels: tuple[str, ...]

    def place(self, time: float) -> float:
        """Where a time lies: 0 at the low end, 1 at the high end."""
        return (time - self.low) / (self.high - self.low)


def date_scale(first: float, last: float, where: tzinfo, most: int) -> DateScale:
    """A scale around first..last with at most ``most`` ticks at local midnights, months or hours."""
    room = 0.03 * (last - first)
    if last - first < _HOUR:
        room = _HOUR
    low, high = first - room, last + room
    most = max(1, most)
    for kind, step in _STEPS:
        about = {"hour": _HOUR, "day": _DAY, "month": _MONTH}[kind] * step
        if (high - low) / about > 2 * most:
            continue
        ticks = [(at.timestamp(), at) for at in _round_times(low, high, where, kind, step)]
        inside = [(seconds, at) for seconds, at in ticks if low <= seconds <= high]
        if len(inside) <= most:
            labels = tuple(_label(at, kind, step) for _, at in inside)
            return DateScale(low, high, tuple(seconds for seconds, _ in inside), labels)
    return DateScale(low, high, (), ())


_STEPS = (
    *(("hour", step) for step in (1, 2, 3, 6, 12)),
    *(("day", step) for step in (1, 2, 3, 7, 14)),
    *(("month", step) for step in (1, 2, 3, 6, 12, 24, 60, 120, 600, 1200, 6000, 12000)),
)


def _round_times(low: float, high: float, where: tzinfo, kind: str, step: int) -> Iterator[datetime]:
    """Local times at whole multiples of the step, from before ``low`` to after ``high``."""
    begin, end = local(low, where), local(high, where)
    if kind == "month":
        month = math.floor((begin.year * 12 + begin.month - 1) / step) * step
        while month <= end.year * 12 + end.month:
            if 1 <= month // 12 <= 9999:
                yield datetime(month // 12, month % 12 + 1, 1, tzinfo=where)
            month += step
        return
    day = begin.toordinal()
    while day <= end.toordinal():
        # Ordinal 1 was a Monday: weeks begin there.
        if kind == "hour" or (day - 1) % step == 0:
            for hour in range(0, 24, step) if kind == "hour" else (0,):
                yield datetime.fromordinal(day).replace(hour=hour, tzinfo=where)
        day += 1


def _label(at: datetime, kind: str, step: int) -> str:
    if kind == "month":
        if step >= 12:
            return f"{at.year}"
        return f"{at.year}" if at.month == 1 else MONTHS[at.month - 1]
    if kind == "hour" and at.hour:
        return f"{at.hour:02d}:00"
    return f"{at.day} {MONTHS[at.month - 1]}"
