"""What else to mind in a log of an ice box before its seal is judged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from plugins.cold_box.tables import FOOD_SAFE, ZERO_CELSIUS

Array = NDArray[np.float64]

FREEZER_UNDER = ZERO_CELSIUS - 3.0
FEW = 0.5
"""A day with less than this share of its side's usual amp-hours was helped by something."""
APART = 2.8
"""K (5 °F) between the cabin's means from which amp-hours alone tell nothing (common practice, no source)."""


class Said(Protocol):
    """An entry of the log."""

    @property
    def reading(self) -> str: ...
    @property
    def value(self) -> float | str: ...
    @property
    def at(self) -> datetime: ...
    @property
    def note(self) -> str: ...


class Days(Protocol):
    """The days of a log: the console's record, as far as it is looked at here."""

    days: tuple[date, ...]
    later: Array
    pins: dict[str, Array]
    seen: dict[str, NDArray[np.bool_]]

    def mean(self, values: Array, later: bool) -> float: ...


class Log(Protocol):
    """The log itself."""

    def readings(self, names: str) -> Sequence[Said]: ...
    def events(self, names: str) -> Sequence[Said]: ...


def of_a_seal(days: Days, log: Log) -> Iterator[str]:
    """Food kept too warm, sun that hid the draw, a box filled or emptied, weather too far apart."""
    yield from _too_warm(days)
    yield from _hidden_draw(days, log)
    loaded = [e.at for e in log.events("contents") if _inside(days, e.at)]
    if loaded:
        when = ", ".join(f"{at:%d %b}" for at in loaded[:4])
        yield f"loaded or emptied on {when}: the amp-hours of such a day stand out, the melt-water hardly"
    cabin = days.pins.get("climate.cabin_temperature")
    if cabin is not None:
        before, after = days.mean(cabin, False), days.mean(cabin, True)
        if abs(after - before) > APART and not _both_sides(days, log, "melt_water"):
            yield "the weather before and after is too different for an amp-hour verdict: weigh the melt-water"


def _too_warm(days: Days) -> Iterator[str]:
    held: Mapping[str, Array] = days.pins
    inside = held.get("cold_box.box_temperature")
    if inside is None or float(np.median(inside)) < FREEZER_UNDER:
        return
    count = int(np.count_nonzero((inside > FOOD_SAFE) & days.seen["cold_box.box_temperature"]))
    if count:
        many = "one day" if count == 1 else f"{count} days"
        yield f"food safety: the box was above 40 °F (4 °C) on {many} of the log; see to that before the seal"


def _hidden_draw(days: Days, log: Log) -> Iterator[str]:
    mine = [
        e for e in log.readings("amp_hours_per_day") if isinstance(e.value, float) and _inside(days, e.at)
    ]
    if len(mine) < 4:
        return
    values = np.array([float(e.value) for e in mine])
    noted = [e for e in mine if "solar" in e.note.lower() or "charging" in e.note.lower()]
    low = int(np.count_nonzero(values < FEW * float(np.median(values))))
    if low or noted:
        many = max(low, len(noted))
        yield (
            f"the amp-hours of {many} {'day' if many == 1 else 'days'} look as if the sun had hidden part of the draw: "
            "switch the solar off, or add back what it gave"
        )


def _both_sides(days: Days, log: Log, name: str) -> bool:
    at = {day: share for day, share in zip(days.days, days.later, strict=True)}
    sides = {at[e.at.date()] >= 0.5 for e in log.readings(name) if e.at.date() in at}
    return len(sides) == 2


def _inside(days: Days, at: datetime) -> bool:
    return bool(days.days) and days.days[0] <= at.date() <= days.days[-1]
