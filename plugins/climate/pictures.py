"""Pictures of the cabin's day, as records: the console draws them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from console.contract import Bar, Bars, Curve, Series, Stack
from plugins.climate.words import clock

if TYPE_CHECKING:
    from console.contract import Findings

Array = NDArray[np.float64]

LABELS = {
    "roof": "deck", "sides": "topsides", "hull": "hull", "glass_sun": "sun in", "glass_air": "glass",
    "people": "people", "equipment": "equipment", "fresh_air": "fresh air", "bilge_air": "bilge air",
}  # fmt: skip


def _row(values: Array) -> tuple[float, ...]:
    return tuple(float(v) for v in values)


def _range(rows: Array) -> tuple[Array, Array]:
    """5th and 95th percentile over the draws, stretched to hold the nominal."""
    if rows.shape[0] < 2:
        return rows[0], rows[0]
    low, high = np.percentile(rows[1:], (5.0, 95.0), axis=0)
    return np.minimum(low, rows[0]), np.maximum(high, rows[0])


def with_range(label: str, rows: Array) -> Series:
    """A curve with its range over the draws."""
    low, high = _range(rows)
    return Series(label, _row(rows[0]), _row(low), _row(high))


def load_by_hour(found: Findings, short: NDArray[np.bool_]) -> Stack:
    """The day's heat by where it comes in, against what the unit can take, short hours marked.

    A component that cools (the sea by night) is not stacked; the load's own line lies lower then.
    """
    names = [name for name in LABELS if found.has(f"climate.load.{name}")]
    hourly = {name: found.hourly(f"climate.load.{name}")[0] for name in names}
    layers = tuple(Series(LABELS[name], _row(np.maximum(hourly[name], 0.0))) for name in names)
    lines = [with_range("the unit can take", found.hourly("climate.unit_capacity"))]
    if any((values < -50.0).any() for values in hourly.values()):
        lines.append(with_range("the cabin's load", found.hourly("climate.cooling_load")))
    hours = clock(short.size)
    marked = tuple(hour for hour, is_short in zip(hours, short, strict=True) if is_short)
    return Stack(
        "Heat into the cabin, hour by hour", "net_heat", hours, layers, tuple(lines), marked,
        "hours it falls short" if marked else "",
    )  # fmt: skip


def load_bars(found: Findings) -> Bars:
    """The heat by where it comes in, in the hour of largest load."""
    bars = []
    for name, label in LABELS.items():
        if not found.has(f"climate.load.{name}"):
            continue
        rows = found.daily(f"climate.load.{name}")
        low, high = _range(rows[:, None])
        bars.append(Bar(label, float(rows[0]), float(low[0]), float(high[0])))
    return Bars("Where the heat comes in, in the hottest hour", "net_heat", tuple(bars))


def temperatures(found: Findings, target: float) -> Curve:
    """Cabin and outdoor air through the day."""
    cabin = found.hourly("climate.cabin_temperature")
    series = [with_range("cabin", cabin)]
    if found.has("weather.outdoor_temperature"):
        series.append(Series("outside", _row(found.hourly("weather.outdoor_temperature")[0])))
    return Curve(
        "Cabin and outside air", "clock", "temperature", clock(cabin.shape[1]), tuple(series),
        limits=(("set to", target),),
    )  # fmt: skip
