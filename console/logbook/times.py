"""Dates and times as people and loggers write them, on the clock of the site.

A moment leaves here with the offset from UTC that held there and then, so that it stays the
same moment whatever becomes of the clocks. What can be read in two ways is refused with a
question, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from typing import TYPE_CHECKING

from console.logbook.entry import Doubt, LogError
from console.quantities import shown

if TYPE_CHECKING:
    from console.boatfile import Boat

NOON = time(12)
ORDERS = {"day-first": "dmy", "month-first": "mdy", "year-first": "ymd"}
ORDER_NAMES = {order: name for name, order in ORDERS.items()}
ACCEPTED = "accepted is a date such as 2026-07-21, or a time such as 2026-07-21 14:05"

_CLOCK = re.compile(
    r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?\s*(?P<half>[AaPp]\.?[Mm]\.?)?"
    r"\s*(?P<offset>Z|UTC|[+-]\d{2}:?\d{2}(?::\d{2}(?:\.\d{1,6})?)?)?"
)
_NUMERIC = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})")
_NAMED = (
    re.compile(r"(?P<d>\d{1,2})\.?[ -](?P<m>[A-Za-z]{3,9})\.?,?[ -](?P<y>\d{4})"),
    re.compile(r"(?P<m>[A-Za-z]{3,9})\.? (?P<d>\d{1,2}),? (?P<y>\d{4})"),
)
_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
           "october", "november", "december")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Moment:
    """When: aware, and whether only the day is known (then ``at`` is its noon)."""

    at: datetime
    day: bool = False


@dataclass(frozen=True, slots=True)
class Stamp:
    """A date and time as written: the date by the orders in which it can be read (``""``: any)."""

    text: str
    dates: dict[str, date] = field(default_factory=dict)
    clock: time | None = None
    offset: tzinfo | None = None

    def date(self, order: str) -> date:
        """The date when read in an order."""
        return self.dates[""] if "" in self.dates else self.dates[order]


def zone_of(boat: Boat) -> tzinfo:
    """The clock on board: the site's time zone, else whole hours by its longitude."""
    from zoneinfo import ZoneInfo

    named = boat.inputs.get("site.timezone")
    if named is not None and named.value:
        return ZoneInfo(str(named.value))
    import math

    place = boat.inputs.get("site.longitude")
    stated = place is not None and place.origin != "assumed" and place.measure is not None
    longitude = math.degrees(place.measure.value) if stated and place and place.measure else -80.0
    return timezone(timedelta(hours=round(longitude / 15)))


def zone_named(name: str) -> tzinfo:
    """A time zone by its name, or by its offset such as ``-04:00``. Raises `LogError`."""
    if re.fullmatch(r"Z|UTC|[+-]\d{2}:?\d{2}", name):
        return _offset(name)
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise LogError(
            f'"{shown(name)}" is not a time zone; accepted is a name such as America/New_York, '
            "or an offset such as -04:00"
        ) from None


def _offset(text: str) -> tzinfo:
    if text in ("Z", "UTC"):
        return UTC
    digits = text[1:].replace(":", "")
    whole, _, rest = digits.partition(".")
    size = timedelta(
        hours=int(whole[:2]), minutes=int(whole[2:4]), seconds=int(whole[4:6] or 0),
        microseconds=int(rest.ljust(6, "0")) if rest else 0,
    )  # fmt: skip
    if size >= timedelta(hours=24):
        raise LogError(f'"{shown(text)}" is no offset from UTC; accepted is one such as -04:00')
    return timezone(-size if text[0] == "-" else size)


# --- reading --------------------------------------------------------------------------------


def read_stamp(text: str) -> Stamp:
    """What a written date or time can mean. Raises `LogError` with one sentence."""
    given = " ".join(text.replace("\u202f", " ").split())
    wrong = LogError(f'"{shown(given)}" is not a date or a time; {ACCEPTED}')
    if len(given) > 60:
        raise wrong
    when, rest = _date(given)
    if when is None:
        raise wrong
    if not when:
        raise LogError(f'"{shown(given)}" is not a day of the calendar; {ACCEPTED}')
    rest = re.sub(r"^(?:[Tt]|,? )", "", rest)
    if not rest:
        return Stamp(given, when)
    clock = _CLOCK.fullmatch(rest)
    if clock is None:
        raise wrong
    return Stamp(given, when, *_time(clock, given))


def read_clock(text: str) -> tuple[time, tzinfo | None]:
    """A time of day as written, and its offset when it has one. Raises `LogError`."""
    clock = _CLOCK.fullmatch(" ".join(text.replace("\u202f", " ").split()))
    if clock is None:
        raise LogError(f'"{shown(text)}" is not a time of day; accepted is one such as 14:05')
    return _time(clock, text)


def _time(clock: re.Match[str], given: str) -> tuple[time, tzinfo | None]:
    hour, minute, second = int(clock["h"]), int(clock["m"]), int(clock["s"] or 0)
    half = (clock["half"] or "").lower().replace(".", "")
    if half and not 1 <= hour <= 12:
        raise LogError(f'"{shown(given)}" is not a time of day; accepted is 14:05 or 2:05 pm')
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    part = int((clock["f"] or "0").ljust(6, "0")[:6])
    try:
        when = time(hour, minute, second, part)
    except ValueError:
        raise LogError(f'"{shown(given)}" is not a time of day; accepted is one such as 14:05') from None
    return when, _offset(clock["offset"]) if clock["offset"] else None


def _date(given: str) -> tuple[dict[str, date] | None, str]:
    """The date by the orders it can be read in (None: none is written), and what follows it."""
    found = _NUMERIC.match(given)
    if found:
        one, sign, two, three = found.groups()
        rest = given[found.end() :]
        if len(one) == 4:
            return _valid({"": (one, two, three)}), rest
        if len(three) == 4 or sign == ".":
            tries = {"dmy": (three, two, one), "mdy": (three, one, two)}
        else:
            tries = {"dmy": (three, two, one), "mdy": (three, one, two), "ymd": (one, two, three)}
        if sign == ".":  # with dots the day is first, in every country that writes them
            tries = {"": tries["dmy"]}
        return _valid(tries), rest
    for pattern in _NAMED:
        found = pattern.match(given)
        if found:
            month = found["m"].lower()
            number = next((n for n, name in enumerate(_MONTHS, 1) if name.startswith(month)), 0)
            if number:
                return _valid({"": (found["y"], str(number), found["d"])}), given[found.end() :]
    return None, given


def _valid(tries: dict[str, tuple[str, str, str]]) -> dict[str, date]:
    dates = {}
    for order, (year, month, day) in tries.items():
        if len(year) in (2, 4) and len(day) <= 2:
            try:
                dates[order] = date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
            except ValueError:
                continue
    return dates


def settle(stamps: Sequence[tuple[str, Stamp]], order: str = "") -> str:
    """The one order in which all dates can be read; ``order`` when the owner said it.

    ``stamps`` come with where each stands ("line 3"). Raises `LogError` asking which order.
    """
    open_ones = [(where, stamp) for where, stamp in stamps if "" not in stamp.dates]
    for where, stamp in open_ones:
        if order and order not in stamp.dates:
            raise LogError(
                f"{where}{'' if not where else ': '}{shown(stamp.text)} is no date when read "
                f"{ORDER_NAMES[order]}"
            )
    if order or not open_ones:
        return order
    fitting = [each for each in ORDERS.values() if all(each in stamp.dates for _, stamp in open_ones)]
    if not fitting:
        first = open_ones[0][1]
        other = next(
            (each for each in open_ones if not set(each[1].dates) & set(first.dates)), open_ones[-1]
        )
        raise LogError(
            f"the dates are not all written in one order: {shown(first.text)} and "
            f"{shown(other[1].text)} ({other[0] or 'further on'})"
        )
    meant = {tuple(stamp.dates[each] for _, stamp in open_ones) for each in fitting}
    if len(meant) == 1:
        return fitting[0]
    where, doubtful = next(pair for pair in open_ones if len({pair[1].dates[each] for each in fitting}) > 1)
    ways = tuple((ORDER_NAMES[each], _spelt(doubtful.dates[each])) for each in fitting)
    said = " or ".join(f"{day} ({name})" for name, day in ways)
    before = f"{where}: " if where else ""
    raise Doubt(f"{before}{shown(doubtful.text)} can be read as {said}", "dates", ways)


def _spelt(day: date) -> str:
    return f"{day.day} {_MONTHS[day.month - 1].capitalize()} {day.year}"


# --- on the clock of the site -----------------------------------------------------------------


def on_clock(stamps: Sequence[tuple[str, Stamp]], order: str, zone: tzinfo) -> list[Moment]:
    """The moments of stamps in the order of a file. Raises `LogError`.

    Of the hour that comes twice when the clocks go back, a file that runs through it twice
    tells which is which; otherwise the question is asked.
    """
    naive = [
        None if stamp.clock is None or stamp.offset else datetime.combine(stamp.date(order), stamp.clock)
        for _, stamp in stamps
    ]
    known = [each for each in naive if each is not None]
    falling = len(known) > 1 and known[-1] < known[0]
    second = _second_pass(naive, zone, falling)
    moments = []
    for number, (where, stamp) in enumerate(stamps):
        day = stamp.date(order)
        if stamp.clock is None:
            moments.append(Moment(_placed(datetime.combine(day, NOON), zone, where, 0), True))
        elif stamp.offset is not None:
            moments.append(Moment(datetime.combine(day, stamp.clock, stamp.offset)))
        else:
            local = datetime.combine(day, stamp.clock)
            moments.append(Moment(_placed(local, zone, where, second.get(number))))
    return moments


def _second_pass(naive: Sequence[datetime | None], zone: tzinfo, falling: bool) -> dict[int, int]:
    """Which stamps lie in an hour that came twice and was run through twice: 0 first, 1 second."""
    found: dict[int, int] = {}
    run: list[int] = []
    numbers = list(range(len(naive)))
    for number in [*(reversed(numbers) if falling else numbers), -1]:
        each = naive[number] if number >= 0 else None
        if each is not None and len(offsets(each, zone)) == 2:
            run.append(number)
            continue
        if each is None and number >= 0:
            continue
        times = [t for t in (naive[n] for n in run) if t is not None]
        drops = [at for at in range(1, len(times)) if times[at] <= times[at - 1]]
        if len(drops) == 1:
            found.update({n: int(at >= drops[0]) for at, n in enumerate(run)})
        run = []
    return found


def offsets(local: datetime, zone: tzinfo) -> list[datetime]:
    """The moments at which a local clock shows ``local``: one, two, or none."""
    made = []
    for fold in (0, 1):
        at = local.replace(tzinfo=zone, fold=fold)
        back = at.astimezone(UTC).astimezone(zone)
        offset = at.utcoffset()
        if back.replace(tzinfo=None, fold=0) == local and offset is not None:
            fixed = local.replace(tzinfo=timezone(offset) if offset else UTC)
            if fixed not in made:
                made.append(fixed)
    return made


def _placed(local: datetime, zone: tzinfo, where: str, fold: int | None) -> datetime:
    found = offsets(local, zone)
    before = f"{where}: " if where else ""
    if not found:
        raise LogError(
            f"{before}{local.isoformat(' ')} did not exist here: the clocks went forward over it"
        )
    if len(found) == 1 or fold is not None:
        return found[min(fold or 0, len(found) - 1)]
    one, two = (f"{each.strftime('%z')[:3]}:{each.strftime('%z')[3:5]}" for each in found)
    raise LogError(
        f"{before}{local.isoformat(' ')} came twice here, as the clocks went back: write it with its "
        f"offset, {one} (first) or {two} (second)"
    )


def moment_of(text: str, zone: tzinfo, now: datetime | None = None, order: str = "") -> Moment:
    """One moment as the owner types it: also ``now``, ``today``, ``yesterday 18:30``, ``14:05``.

    Raises `LogError` with one sentence.
    """
    words = " ".join(text.split())
    now = (now or datetime.now(UTC)).astimezone(zone)
    if words.lower() in ("", "now"):
        offset = now.utcoffset() or timedelta()
        return Moment(now.replace(microsecond=0, tzinfo=timezone(offset) if offset else UTC))
    named = re.fullmatch(r"(today|yesterday)(?: (.+))?", words, re.I)
    days = 1 if named and named[1].lower() == "yesterday" else 0
    clock = named[2] if named else words if _CLOCK.fullmatch(words) else ""
    if named or clock:
        day = now.date() - timedelta(days=days)
        stamp = Stamp(words, {"": day}, *(read_clock(clock) if clock else (None, None)))
    else:
        stamp = read_stamp(words)
    here = [("", stamp)]
    return on_clock(here, settle(here, order), zone)[0]


def day_begins(text: str, zone: tzinfo) -> datetime:
    """An edge as the owner types it: a time, or the midnight a day begins with."""
    found = moment_of(text, zone)
    if not found.day:
        return found.at
    midnight = datetime.combine(found.at.date(), time(0))
    return next(iter(offsets(midnight, zone)), found.at - timedelta(hours=12))
