"""Logs of invented ice boxes, simulated hour by hour with a model of their own.

A box here is a handful of closed formulas: a conductance, air through the seal that goes with the
root of the temperature difference, air swapped by each opening, a compressor whose efficiency
falls with the cabin. It shares neither code nor a number with the ice box of the console; its
spreads are its own (ranges of old boxes: common practice, no source). The owner reads it once a
day, with an owner's instruments.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from console.logbook.entry import Entries, Entry

Array = NDArray[np.float64]

UTC = datetime.UTC
START = datetime.datetime(2026, 6, 1, tzinfo=UTC)
DAY = 86400.0
BOAT = """
[cold_box]
opening = "door"
drain = "plugged"
set_point = "4 C"
"""
FAHRENHEIT = 5.0 / 9.0


@dataclass(frozen=True)
class Period:
    """What differs from before to after, besides the repair."""

    warmer: float = 0.0
    drier: float = 0.0
    set_point: float = 0.0
    openings: float = 1.0
    melt: float = 1.0
    food: float = 0.0
    hygrometer: float = 0.0


@dataclass(frozen=True)
class Row:
    """One kind of log: how long, how well read, and what is wrong with it."""

    name: str
    before: int = 7
    after: int = 7
    daily_noise: bool = True
    repaired: bool = True
    melt: bool = True
    covered: bool = False
    melt_period: float = 0.15
    defrost_after: int = 0
    """Days after the repair at which it was defrosted once more, the melt thrown away; 0: never."""
    was: Period = field(default_factory=Period)
    moved: Period = field(default_factory=Period)


@dataclass(frozen=True)
class Truth:
    ratio: float
    entries: Entries


def box_hours(
    random: np.random.Generator, row: Row, ratio: float
) -> tuple[dict[str, Array], dict[str, float]]:
    """The box hour by hour over the days of a log: what its instruments could show."""
    days, split = row.before + row.after, row.before
    hour = np.arange(24 * days)
    later = hour >= 24 * split

    def wander(size: float, keep: float = 0.75) -> Array:
        now, made = random.normal() * size, []
        for _ in range(days):
            now = keep * now + math.sqrt(1 - keep * keep) * size * random.normal()
            made.append(now)
        return np.repeat(made, 24)

    was, moved = row.was, row.moved
    cabin = 26.5 + 2.0 * random.normal() + wander(1.6) + np.where(later, moved.warmer, was.warmer)
    swing = random.uniform(1.0, 3.5)
    cabin = cabin + swing * np.sin(2 * np.pi * (hour % 24 - 9.0) / 24)
    vapour = np.clip(
        13.5 + 1.5 * random.normal() + wander(1.3) - np.where(later, moved.drier, was.drier), 5.0, 22.0
    )
    humidity = np.clip(vapour / (1.02 * saturated(cabin)), 0.2, 0.97)
    vapour = humidity * 1.02 * saturated(cabin)
    inside = 4.0 + np.where(later, moved.set_point, was.set_point)
    # The box: W/K, m3 a day through the seal at 22 K, m3 per opening, g a day from food.
    conductance = 1.5 * math.exp(0.3 * random.normal())
    leak = 2.5 * math.exp(0.6 * random.normal())
    swapped = 0.06 * math.exp(0.35 * random.normal())
    food = 2.2 * math.exp(0.5 * random.normal())
    daily = random.poisson(
        random.uniform(8, 14) * np.where(np.arange(days) >= split, moved.openings, was.openings)
    )
    opened = np.repeat(daily, 24) / 24.0
    apart = np.maximum(cabin - inside, 2.0)
    seal = leak * np.where(later, ratio, 1.0) * (apart / 22.0) ** 0.55
    # Air in the box is drier than it could be: the plate dries it.
    gained = 1.17 * np.maximum(vapour - 3.2, 0.0)
    water = gained * (seal + opened * swapped) + food + np.where(later, moved.food, was.food)
    frost = np.zeros(hour.size)
    grown = 0.0
    bare = {0, split, *([split + row.defrost_after] if row.defrost_after else [])}
    for k in range(hour.size):
        if k % 24 == 8 and k // 24 in bare:
            grown = 0.0
        grown += water[k] / 24.0
        frost[k] = grown
    heat = conductance * apart + (seal + opened * swapped) * 1.2 * apart / 86.4 + water * 2.6e3 / 86400
    heat = heat + random.uniform(1.0, 8.0) * np.repeat(np.exp(0.3 * random.normal(size=days)), 24)
    slope = random.normal(0.016, 0.0045)
    worth = 1.35 * math.exp(0.15 * random.normal()) * (1.0 - slope * (cabin - 26.0)) / (1.0 + 3e-4 * frost)
    worth = worth * (1.0 + 0.02 * (inside - 4.0))
    amps = heat / np.maximum(worth, 0.3) / 12.6
    return (
        {"cabin": cabin, "humidity": humidity, "amps": amps, "water": water,
         "inside": inside + 0 * cabin, "opened": np.repeat(daily, 24).astype(float)},
        {"leak": leak},
    )  # fmt: skip


def saturated(celsius: Array | float) -> Array:
    """g of water per kg of dry air at saturation (Tetens 1930, sea level)."""
    pressure = 0.61078 * np.exp(17.27 * np.asarray(celsius) / (np.asarray(celsius) + 237.3))
    return np.asarray(622.0 * pressure / (101.325 - pressure))


def log_of_box(row: Row, seed: int, ratio: float | None = None) -> Truth:
    """One log of one invented box, and what the repair truly did to its seal."""
    random = np.random.default_rng(seed)
    if ratio is None:
        ratio = 1.0
        if row.repaired and random.random() < 0.5:
            ratio = float(math.exp(random.uniform(math.log(0.15), math.log(1.3))))
    made, _ = box_hours(random, row, ratio)
    days, split = row.before + row.after, row.before
    fine = row.daily_noise
    offset = random.normal() * 0.5 if fine else 0.0
    dial = random.normal() * 0.03 if fine else 0.0
    monitor = math.exp(random.normal() * 0.025)
    entries: list[Entry] = []

    def put(day: float, reading: str, value: float | str, event: bool = False) -> None:
        at = START + datetime.timedelta(days=day)
        entries.append(Entry(at, reading, value, str(value), "", event=event))

    shift = (1.0, math.exp(random.normal() * 0.03))
    put(8 / 24, "defrosted", "", True)
    for day in range(days):
        hours, side = slice(24 * day, 24 * day + 24), day >= split

        def mean(name: str, hours: slice = hours) -> float:
            return float(made[name][hours].mean())

        warm, wet, inside = mean("cabin"), mean("humidity"), mean("inside")
        opened, amps = mean("opened"), 24.0 * mean("amps")
        if fine:
            warm = round((warm + offset + 0.3 * random.normal()) / FAHRENHEIT) * FAHRENHEIT
            wet = round(
                100 * (wet + dial + (row.moved.hygrometer if side else 0.0)) + 1.2 * random.normal()
            )
            wet = min(wet, 99) / 100
            inside = round((inside + offset + 0.3 * random.normal()) / FAHRENHEIT) * FAHRENHEIT
            opened = float(random.binomial(round(opened), 0.9)) if opened < 1e3 else opened
        amps = amps * monitor * shift[side] * math.exp(0.025 * random.normal())
        put(day + 0.5, "cabin_temperature", warm + 273.15)
        put(day + 0.5, "cabin_humidity", wet)
        put(day + 0.5, "box_temperature", inside + 273.15)
        put(day + 0.99, "box_openings", opened / DAY)
        put(day + 0.98, "amp_hours_per_day", round(amps, 1 if not fine else 0) / 24.0)
    if row.covered:
        put(0.2, "drain_plugged", "", True)
        put(0.2, "food_covered", "", True)
    at_repair = split + 8 / 24
    later = made["water"] / 24.0
    spans = [
        (8, 24 * split + 8, at_repair, row.was.melt),
        (24 * split + 8, 24 * days, days - 0.01, row.moved.melt),
    ]
    for k, (start, end, at, share) in enumerate(spans):
        if k and row.defrost_after:
            start = 24 * (split + row.defrost_after) + 8
            put(split + row.defrost_after + 8 / 24, "defrosted", "", True)
        caught = float(later[start:end].sum()) * share
        caught *= math.exp(row.melt_period * random.normal()) * math.exp(0.05 * random.normal())
        if row.melt:
            put(at, "melt_water", round(caught / 5) * 5e-3 if fine else caught * 1e-3)
        elif k == 0:
            put(at, "defrosted", "", True)
    if row.moved.set_point != row.was.set_point:
        put(at_repair + 0.1, "set_point", 277.15 + row.moved.set_point, True)
    put(at_repair + 0.05, "repair", "seal", True)
    return Truth(ratio, Entries(tuple(entries)))


F = FAHRENHEIT
ROWS: tuple[Row, ...] = (
    Row("exact conditions", daily_noise=False),
    Row("noise and rounding"),
    Row("hygrometer drifts by 4 %", moved=Period(hygrometer=0.04)),
    Row("drain plugged, food covered, both logged", covered=True, melt_period=0.08),
    Row("no melt-water weighed", melt=False),
    Row("no repair, 12 °F cooler after", repaired=False, moved=Period(warmer=-12 * F, drier=3.0)),
    Row("no repair, 12 °F warmer after", repaired=False, moved=Period(warmer=12 * F, drier=-3.0)),
    Row("no repair, set 3 °F warmer", repaired=False, moved=Period(set_point=3 * F)),
    Row("no repair, party week before", repaired=False, was=Period(openings=2.0)),
    Row("no repair, party week after", repaired=False, moved=Period(openings=2.0)),
    Row("no repair, defrosted again four days on", repaired=False, defrost_after=4),
    Row("no repair, 30 % of the melt lost after", repaired=False, melt_period=0.05, moved=Period(melt=0.7)),
    Row("no repair, 105 g of wet food before", repaired=False, melt_period=0.05, was=Period(food=15.0)),
    Row("no repair, both logged", repaired=False, covered=True, melt_period=0.08),
)
"""The rows of the table. Where nothing else is said, half of the repairs did nothing at all and half
left between 15 % and 130 % of the leak."""
HALVED = (
    (Row("halved"), 0.5), (Row("down to 30 %"), 0.3),
    (Row("halved, plugged and covered, logged", covered=True, melt_period=0.08), 0.5),
    (Row("down to 30 %, plugged and covered, logged", covered=True, melt_period=0.08), 0.3),
    (Row("halved, plugged and covered, 14 + 14 days", before=14, after=14, covered=True, melt_period=0.08), 0.5),
)  # fmt: skip
"""True repairs, to see how many of them are found."""
