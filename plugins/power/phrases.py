"""Small pieces of speech the answers share: names, hours, and how often."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Findings, Urgency
from plugins.power.consumers import load_key

Array = NDArray[np.float64]

OWN_NAMES = {
    "air_conditioner": "air conditioner",
    "ice_box": "ice box",
    "charger": "battery charger",
    "galley": "galley",
    "always_on": "what is always on",
    "inverter_idle": "inverter, idle",
    "unlisted": "what is not listed",
}

_COUNTS = ("hardly ever", "once", "twice", "three times", "four times", "five times", "six times",
           "seven times", "eight times", "nine times", "always")  # fmt: skip


def load_names(found: Findings) -> dict[str, str]:
    """What the owner calls each load, by the key of its figures."""
    listed = {load_key(path): found.text(f"{path}.name", "load") for path in found.items("power.load")}
    return {**OWN_NAMES, **listed}


def often(share: float) -> str:
    """A chance in words: ``"three times in ten"``."""
    count = round(share * 10)
    return _COUNTS[count] if count in (0, 10) else f"{_COUNTS[count]} in ten"


def share_true(held: NDArray[np.bool_], known: NDArray[np.bool_] | None = None) -> float:
    """In how much of the draws (of those ``known``) it holds; of the nominal when there are none."""
    drawn = held[1:] if known is None else held[1:][known[1:]]
    return float(np.mean(drawn)) if drawn.size else float(held[0])


def no_number(figure: str) -> Answer:
    """The answer when the nominal day itself has no number: nothing is claimed."""
    return Answer(
        "Cannot be told: a part of the day has no number.",
        Urgency.UNKNOWN,
        figure=figure,
        next="See the warnings and what is not working; the other answers stand.",
    )


def percentiles(values: Array, *at: float) -> list[float]:
    """Percentiles of the draws (rows 1 on) that are finite; of the nominal when there are none."""
    drawn = values[1:][np.isfinite(values[1:])]
    return [float(p) for p in np.percentile(drawn if drawn.size else values[:1], at)]


def clock(hour: float) -> str:
    """``7.5`` is ``"07:30"``."""
    minutes = round(hour % 24.0 * 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def step_hours(steps: int) -> float:
    """Hours of a step: a day's part, or an hour where the run is of several days."""
    return 24.0 / steps if steps <= 24 else 1.0


def spans(mask: NDArray[np.bool_]) -> str:
    """The hours of a day in which something is so, on any day: ``"06:00 to 08:00, 18:00 to 20:00"``."""
    if mask.size > 24:
        mask = np.asarray(mask.reshape(-1, 24).any(axis=0))
    count = mask.size
    width = 24.0 / count
    if mask.all():
        return "all day"
    starts = [i for i in range(count) if mask[i] and not mask[i - 1]]
    said = []
    for start in starts:
        length = next(n for n in range(1, count + 1) if not mask[(start + n) % count])
        said.append(f"{clock(start * width)} to {clock((start + length) * width)}")
    return ", ".join(said)


def listed(words: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    items = list(words)
    return items[0] if len(items) == 1 else ", ".join(items[:-1]) + " and " + items[-1] if items else ""
