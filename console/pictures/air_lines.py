"""The psychrometric chart before any paint: its scales, its curves and its states, in the unit shown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import AirChart
from console.pictures.scales import Scale, tight_scale
from console.pictures.words import Words, clean, share_text
from console.properties import air

Array = NDArray[np.float64]

HUMIDITIES = (1.0, 0.8, 0.6, 0.4, 0.2)
"""The lines of relative humidity that are drawn; the first is saturation."""

_LEAST_SPAN = 10.0  # K that a chart shows at the least
_LEAST_RATIO = 0.004  # kg/kg likewise
_HOTTEST, _WETTEST = 1000.0, 2.0  # K, kg/kg: beyond them a number is a slip


@dataclass(frozen=True, slots=True)
class State:
    """A state as it is shown: its number, its place, and its words."""

    sign: str
    label: str
    x: float
    y: float
    temperature: str
    humidity: str
    water: str
    dew: str

    @property
    def known(self) -> bool:
        return bool(np.isfinite(self.x) and np.isfinite(self.y))

    @property
    def said(self) -> tuple[str, ...]:
        """The columns of the key."""
        return (self.label, self.temperature, self.humidity, self.water, self.dew)


@dataclass(frozen=True, slots=True)
class HumidityLine:
    """A line of constant relative humidity, ``share`` 0..1, and its name."""

    share: float
    label: str
    x: Array
    y: Array


@dataclass(frozen=True, slots=True)
class Chart:
    """All that is drawn. ``steps`` are pairs of indices of known states."""

    states: tuple[State, ...]
    steps: tuple[tuple[int, int], ...]
    lines: tuple[HumidityLine, ...]
    along: Scale
    upright: Scale


def _sign(index: int) -> str:
    return "123456789abcdefghijklmnopqrstuvwxyz"[index % 35]


def chart_of(picture: AirChart, words: Words, most_along: int, most_up: int) -> Chart:
    """The chart with as many ticks as there is room for.

    A pressure outside the range of `console.properties.air` gives no lines and no humidities:
    the states are still where they are.
    """
    temperatures = clean([state.temperature for state in picture.states])
    ratios = clean([state.humidity_ratio for state in picture.states])
    # No air is colder or drier than nothing, nor hotter or wetter than anything aboard.
    temperatures[~((temperatures > 0) & (temperatures < _HOTTEST))] = np.nan
    ratios[~((ratios >= 0) & (ratios < _WETTEST))] = np.nan
    pressure = float(clean([picture.pressure])[0])
    low, high, top = _window(temperatures, ratios)
    along = _shown_scale(low, high, "temperature", most_along, words)
    upright = _shown_scale(0.0, top, "humidity_ratio", most_up, words)
    at = np.linspace(low, high, 121)
    lines = []
    for share in HUMIDITIES:
        ratio = air.humidity_ratio(at, share, pressure)
        lines.append(
            HumidityLine(
                share, f"{round(share * 100)} %",
                words.shown(at, "temperature"), words.shown(ratio, "humidity_ratio"),
            )
        )  # fmt: skip
    states = tuple(
        _state(picture, index, float(temperature), float(ratio), pressure, words)
        for index, (temperature, ratio) in enumerate(zip(temperatures, ratios, strict=True))
    )
    count = len(states)
    steps = tuple(
        (a, b) for a, b in picture.steps
        if 0 <= a < count and 0 <= b < count and a != b and states[a].known and states[b].known
    )  # fmt: skip
    return Chart(states, steps, tuple(lines), along, upright)


def _window(temperatures: Array, ratios: Array) -> tuple[float, float, float]:
    """From which to which temperature, and up to which humidity ratio, the chart reaches (SI)."""
    both = np.isfinite(temperatures) & np.isfinite(ratios)
    known, wet = temperatures[both], ratios[both]
    low, high = (float(known.min()), float(known.max())) if known.size else (283.15, 308.15)
    room = max(0.12 * (high - low), (_LEAST_SPAN - (high - low)) / 2, 2.0)
    top = max(1.15 * float(wet.max()) if wet.size else 0.02, _LEAST_RATIO)
    return low - room, high + room, top


def _shown_scale(low: float, high: float, style: str, most: int, words: Words) -> Scale:
    begin, end = words.shown([low, high], style).tolist()
    return tight_scale(begin, end, most, least=2)


def _state(
    picture: AirChart, index: int, temperature: float, ratio: float, pressure: float, words: Words
) -> State:
    relative = float(air.relative_humidity(temperature, ratio, pressure))
    dew = float(air.dew_point(ratio, pressure)) if ratio > 0 else np.nan
    x = float(words.shown([temperature], "temperature")[0])
    y = float(words.shown([ratio], "humidity_ratio")[0])
    return State(
        _sign(index),
        words.plain(picture.states[index].label),
        x,
        y,
        words.say(temperature, "temperature"),
        "over 100 %" if relative > 1.005 else words.plain(share_text(relative)),
        words.say(ratio, "humidity_ratio"),
        f"dew point {words.say(dew, 'temperature')}",
    )
