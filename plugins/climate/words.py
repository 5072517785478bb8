"""Hours and figures said as a person would, for the cards of the climate."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from console.contract import Findings

Array = NDArray[np.float64]

DAY = 24


def hours_in_words(marked: NDArray[np.bool_]) -> str:
    """``"from 13:00 to 18:00"``, ``"all day"``, for the steps that are marked.

    A stretch over midnight is one. Of more than two stretches the longest two are named. Of several
    days, hour by hour, the hours are those of any of them: ``"from 13:00 to 18:00 on 3 of 5 days"``.
    """
    steps = marked.size
    if steps > DAY and steps % DAY == 0:
        days = marked.reshape(-1, DAY)
        on = int(days.any(axis=1).sum())
        return f"{hours_in_words(np.asarray(days.any(axis=0)))} on {on} of {len(days)} days"
    if marked.all():
        return "all day"
    begins = [k for k in range(steps) if marked[k] and not marked[k - 1]]
    stretches = []
    for begin in begins:
        length = 1
        while marked[(begin + length) % steps]:
            length += 1
        stretches.append((length, begin))
    stretches.sort(reverse=True)
    named = sorted(stretches[:2], key=lambda stretch: stretch[1])
    said = [
        f"from {_clock(begin, steps)} to {_clock((begin + length - 1) % steps + 1, steps)}"
        for length, begin in named
    ]
    return " and ".join(said) + (" and other hours" if len(stretches) > 2 else "")


def _clock(step: int, steps: int) -> str:
    minutes = round(step * 1440 / steps)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def clock(steps: int) -> tuple[float, ...]:
    """Local hour at the middle of each step: of one day, or hour by hour over several."""
    width = 1.0 if steps > DAY and steps % DAY == 0 else float(DAY) / steps
    return tuple((k + 0.5) * width for k in range(steps))


def nominal(found: Findings, name: str, default: float = 0.0) -> float:
    """The nominal day's value of a figure of this plugin, ``default`` where it is not there."""
    return float(found.daily(f"climate.{name}")[0]) if found.has(f"climate.{name}") else default


def hottest_step(found: Findings) -> int:
    """The step of the nominal boat's largest load."""
    return int(np.argmax(found.hourly("climate.cooling_load")[0]))


def limits(values: Array) -> tuple[float, float]:
    """5th and 95th percentile over the draws, stretched to hold the nominal."""
    if values.size < 2:
        return float(values[0]), float(values[0])
    low, high = np.percentile(values[1:], (5.0, 95.0))
    return min(float(low), float(values[0])), max(float(high), float(values[0]))
