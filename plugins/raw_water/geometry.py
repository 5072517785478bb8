"""How high the line lies, part by part, and where it goes down again: there air stays."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from plugins.raw_water import hydraulics, tables
from plugins.raw_water.line import Fall

if TYPE_CHECKING:
    from console.contract import Array, Run

LINE = "raw_water.line"


class Spot(NamedTuple):
    """A point of the line: the item it belongs to, its place, its height (m) above the water."""

    item: str
    place: int
    height: Array


class Leg(NamedTuple):
    """A falling stretch: from which item's spot to which, and how far (m) beyond what lets air by.

    ``last`` (0..1) says in each draw whether it is the fall to the overboard after the single high
    spot that a line should have.
    """

    item: str
    place: int
    fall: Array
    last: Array


def part_of(run: Run, item: str) -> str:
    """Which part the item at a path is."""
    return run.text(f"{item}.part")


def stated_heights(run: Run) -> dict[str, Array]:
    """Height (m) above the water of every part but the hoses, by path; a seacock is at the intake."""
    known: dict[str, Array] = {}
    intake = np.zeros((1, 1))
    for item in run.items(LINE):
        match part_of(run, item):
            case "intake":
                known[item] = intake = -run.number(f"{item}.depth")
            case "seacock":
                known[item] = intake
            case "strainer" | "pump":
                known[item] = -run.number(f"{item}.depth")
            case "condenser":
                known[item] = run.number(f"{item}.height")
            case "overboard":
                # The sea holds up whatever lies below its surface.
                known[item] = np.maximum(run.number(f"{item}.height"), 0.0)
    return known


def spots(run: Run) -> list[Spot]:
    """The line's spots in the order the water goes; a hose has its ends, its dip and its hump.

    Hoses that follow each other share the height between the parts they join evenly.
    """
    items, known = run.items(LINE), stated_heights(run)
    left = run.number("raw_water.trial.dips_left")
    made: list[Spot] = []
    ends: list[Array] = []
    for place, item in enumerate(items):
        if item in known:
            ends.append(known[item])
            continue
        start = ends[-1] if ends else next(known[one] for one in items if one in known)
        run_of = 1
        while place + run_of < len(items) and items[place + run_of] not in known:
            run_of += 1
        goal = known[items[place + run_of]] if place + run_of < len(items) else start
        ends.append(start + (goal - start) / run_of)
    for place, item in enumerate(items):
        if item in known:
            made.append(Spot(item, place, ends[place]))
            continue
        start, end = (ends[place - 1] if place else ends[place]), ends[place]
        dip, hump = run.number(f"{item}.dip") * left, run.number(f"{item}.hump") * left
        made.append(Spot(item, place, start))
        # A run without a dip or a hump has no spot of that kind: it stays where it comes from.
        low = np.where(dip > 0, np.minimum(start, end) - dip, start)
        made.append(Spot(item, place, low))
        made.append(Spot(item, place, np.where(hump > 0, np.maximum(start, end) + hump, low)))
        made.append(Spot(item, place, end))
    return made


def legs(run: Run, along: list[Spot]) -> list[Leg]:
    """Every falling stretch of the line in order; a fall of one bore lets the air slip back past."""
    made: list[Leg] = []
    last = np.ones((1, 1))
    for here, there in reversed(list(itertools.pairwise(along))):
        drop = here.height - there.height
        if not np.any(drop):
            continue
        bore = bore_at(run, there.item)
        fall = np.maximum(drop - bore, 0.0)
        last = np.where(drop < -bore, 0.0, last)
        if np.any(fall > 0):
            made.append(Leg(there.item, there.place, fall, last))
    return made[::-1]


def bore_at(run: Run, item: str) -> Array:
    """The bore (m) of the hose an item is, with the size that is tried; else of the line."""
    if part_of(run, item) == "hose":
        return run.number(f"{item}.bore") * run.number("raw_water.trial.hose_size")
    return run.number("raw_water.bore")


def falls(run: Run, found: list[Leg]) -> tuple[Fall, ...]:
    """The falling legs as the solver wants them, each with the flow from which it runs full.

    Water sweeps a leg clear from a Froude number V/√(gD) of 1.075 on (Wisner, Mohsen and Kouwen
    1975). With its outlet under water the last leg holds its water at any flow.
    """
    made = []
    under = np.zeros((1, 1), dtype=bool)
    for item in run.items(LINE):
        if part_of(run, item) == "overboard":
            under = run.number(f"{item}.height") < 0
    for leg in found:
        bore = bore_at(run, leg.item)
        full = tables.FULL_LEG_FROUDE * np.sqrt(tables.GRAVITY * bore) * hydraulics.round_area(bore)
        made.append(Fall(leg.item, leg.fall, np.where(under & (leg.last > 0), 0.0, full), leg.place))
    return tuple(made)
