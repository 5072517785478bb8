"""From the boat's inputs to a pump and a line, with any of the faults put right on the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from plugins.raw_water import geometry, hydraulics
from plugins.raw_water.geometry import LINE, Leg, Spot, part_of
from plugins.raw_water.line import Coil, Fitting, Line, Match, Tube, scaled_coil
from plugins.raw_water.pump import Pump, at_speed, pump_through, with_air, worn
from plugins.raw_water.tables import EXIT, GRAVITY

if TYPE_CHECKING:
    from console.contract import Array, Run

FAULTS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "intake": (("intake", "blocked", 0.0),),
    "seacock": (("seacock", "open_share", 1.0),),
    "strainer": (("strainer", "blocked", 0.0),),
    "kink": (("hose", "open_width", 1.0),),
    "air": (("pump", "suction_air", 0.0), ("pump", "air", 0.0)),
    "pump": (("pump", "wear", 0.0), ("pump", "stopped", 0.0)),
    "condenser": (("condenser", "scale", 0.0),),
    "dips": (("hose", "dip", 0.0), ("hose", "hump", 0.0)),
    "rest": (("", "line_loss", 1.0),),
}
"""What can be put right, each one job: the part, the field, and its value when all is well."""

ALL = frozenset(FAULTS) - {"dips"}
"""What is put right in the clean line: how a hose was led is the line's own, not a fault of the day."""

_TAKEN_NAMES = frozenset(
    ("intake", "seacock", "strainer", "kink", "condenser", "overboard", "lift", "unexplained", "pump",
     "high_spots")
)  # fmt: skip
_KINK_LENGTH = 2.0
"""Length of a kink in bores of the hose: a hose folds over about its own width. Own estimate."""

_RATING_DENSITY = 998.0
"""Density (kg/m³) of the fresh water a coil's loss in pressure is stated for."""


class Mended:
    """A `Run` of several boats below each other: in each, some faults put right.

    Row r of boat k is row r of the run; ``rows`` keeps the first rows only (1: the nominal).
    """

    def __init__(self, run: Run, boats: Sequence[frozenset[str]], rows: int | None = None) -> None:
        self._run, self._boats, self._rows = run, boats, rows
        parts = {item: part_of(run, item) for item in run.items(LINE)}
        self._well = {
            f"{item}.{field}": (fault, well)
            for fault, fields in FAULTS.items()
            for part, field, well in fields
            for item in (parts if part else ("raw_water",))
            if parts.get(item, "") == part
        }

    def __getattr__(self, name: str) -> Any:
        return getattr(self._run, name)

    @property
    def untouched(self) -> Run:
        """The boat as it was found, once for each of the boats: nothing of it is put right."""
        none = [frozenset[str]()] * len(self._boats)
        return cast("Run", cast("Any", Mended(self._run.untouched, none, self._rows)))

    def number(self, path: str, default: float | None = None) -> Array:
        base = self._run.number(path, default)[: self._rows]
        fault, well = self._well.get(path, ("", 0.0))
        if not fault or not any(fault in cleared for cleared in self._boats):
            return base if len(self._boats) == 1 else np.concatenate([base] * len(self._boats))
        healthy = np.full_like(base, well)
        return np.concatenate([healthy if fault in cleared else base for cleared in self._boats])

    def figure(self, name: str) -> Array:
        base = self._run.figure(name)[: self._rows]
        return base if len(self._boats) == 1 else np.tile(base, (len(self._boats), 1))


def mended(run: Run, *boats: frozenset[str], rows: int | None = None) -> Run:
    """The run with the faults of each of ``boats`` put right, one boat below the other."""
    return cast("Run", cast("Any", Mended(run, boats, rows)))


def fields_of(run: Run, fault: str) -> tuple[tuple[str, float], ...]:
    """The inputs of a fault, each with its value when all is well."""
    return tuple(
        (f"{place}.{field}", well)
        for part, field, well in FAULTS[fault]
        for place in (run.items(LINE) if part else ("raw_water",))
        if not part or part_of(run, place) == part
    )


@dataclass(frozen=True)
class Built:
    """A pump, its line, how it lies, and how much of the time the pump stands still."""

    pump: Pump
    line: Line
    stopped: Array
    spots: tuple[Spot, ...] = ()
    legs: tuple[Leg, ...] = ()

    def matched(self, shown: Match | None) -> Built:
        """The same with what the owner's bucket showed (`plugins.raw_water.line.match_to_flow`)."""
        if shown is None:
            return self
        pump, line = shown.applied(self.pump, self.line)
        return replace(self, pump=pump, line=line)


def loss_name(item: str, part: str) -> str:
    """The last part of the figure under which an item's loss is given."""
    key = item.rsplit(".", 1)[-1]
    if part != "hose":
        return part
    return f"hose_{key}" if key in _TAKEN_NAMES else key


def first_of(run: Run, part: str) -> str:
    """Path of the first item of a part; every line has each part."""
    return next(item for item in run.items(LINE) if part_of(run, item) == part)


def is_clear(run: Run, fault: str) -> bool:
    """Whether nothing at all of this fault is aboard, in any draw."""
    return all(bool(np.all(run.number(path) == well)) for path, well in fields_of(run, fault))


def build(run: Run) -> Built:
    """The pump and the line as the boat has them."""
    fittings: list[Fitting] = []
    tubes: list[Tube] = []
    coils: list[Coil] = []
    pump_at, lift = 0, np.zeros((1, 1))
    for place, item in enumerate(run.items(LINE)):
        part = part_of(run, item)
        name = loss_name(item, part)
        match part:
            case "intake":
                fittings.append(_intake(run, item, place))
            case "seacock":
                area = hydraulics.round_area(run.number(f"{item}.bore"))
                opening = run.number(f"{item}.open_share")
                loss = hydraulics.cock_loss_weisbach(opening, run.number(f"{item}.bore"))
                fittings.append(Fitting(name, hydraulics.head_per_flow_squared(loss, area), place))
            case "hose":
                _hose(run, item, name, place, fittings, tubes)
            case "strainer":
                fittings.extend(_strainer(run, item, place))
            case "pump":
                pump_at = place
            case "condenser":
                head = run.number(f"{item}.loss") / (_RATING_DENSITY * GRAVITY)
                coils.append(
                    scaled_coil(
                        name, head, run.number(f"{item}.at_flow"), run.number(f"{item}.exponent"),
                        run.number(f"{item}.bore"), run.number(f"{item}.scale"), place,
                    )
                )  # fmt: skip
            case "overboard":
                area = hydraulics.round_area(run.number(f"{item}.bore"))
                fittings.append(Fitting(name, hydraulics.head_per_flow_squared(EXIT, area), place))
                lift = np.maximum(run.number(f"{item}.height"), 0.0)
    item = first_of(run, "pump")
    along = geometry.spots(run)
    found = geometry.legs(run, along)
    line = Line(tuple(fittings), tuple(tubes), tuple(coils), lift, geometry.falls(run, found), pump_at)
    line = _scaled(line, run.number("raw_water.line_loss"))
    return Built(_pump(run, item), line, run.number(f"{item}.stopped"), tuple(along), tuple(found))


def _scaled(line: Line, factor: Array) -> Line:
    """The line with every loss ``factor`` times what its part says."""
    if np.all(factor == 1.0):
        return line
    return replace(
        line,
        fittings=tuple(
            replace(one, per_flow_squared=one.per_flow_squared * factor) for one in line.fittings
        ),
        tubes=tuple(replace(one, length=one.length * factor) for one in line.tubes),
        coils=tuple(replace(one, head=one.head * factor) for one in line.coils),
    )


def _intake(run: Run, item: str, place: int) -> Fitting:
    left = 1.0 - run.number(f"{item}.blocked")
    loss = hydraulics.fouled_entrance_loss(left)
    if run.text(f"{item}.kind") == "scoop":
        # Bars over a mouth of twice the bore's area, half of it open: own estimate of a usual scoop.
        loss = loss + hydraulics.grill_loss_blevins(0.5 * np.asarray(left)) / 4.0
    area = hydraulics.round_area(run.number(f"{item}.bore"))
    return Fitting("intake", hydraulics.head_per_flow_squared(loss, area), place)


def _hose(
    run: Run, item: str, name: str, place: int, fittings: list[Fitting], tubes: list[Tube]
) -> None:  # fmt: skip
    bore, roughness = geometry.bore_at(run, item), run.number(f"{item}.roughness")
    area = hydraulics.round_area(bore)
    bends = run.number(f"{item}.bends") * hydraulics.elbow_loss_crane(bore)
    fittings.append(Fitting(name, hydraulics.head_per_flow_squared(bends, area), place))
    tubes.append(Tube(name, bore, area, run.number(f"{item}.length"), roughness, place))
    width = 1.0 - (1.0 - _kinked_to(run, item)) * run.number("raw_water.trial.kinks_left")
    if np.all(width >= 1.0):
        return
    fittings.append(
        Fitting("kink", hydraulics.head_per_flow_squared(hydraulics.kink_loss(width), area), place)
    )
    tubes.append(
        Tube(
            "kink", hydraulics.flattened_hydraulic_diameter(bore, width),
            area * hydraulics.flattened_area_share(width),
            # A hose that is round has no kink, whatever its length would be.
            _KINK_LENGTH * bore * (1.0 - np.clip(width, 0.0, 1.0)), roughness, place,
        )
    )  # fmt: skip


def _kinked_to(run: Run, item: str) -> Array:
    """Open width of a hose; the first hose's kink may be tried anywhere along them all."""
    place, width = run.number("raw_water.trial.kink_place"), run.number(f"{item}.open_width")
    first = first_of(run, "hose")
    if not np.any(place > 0):
        return width
    before, total = np.zeros((1, 1)), np.zeros((1, 1))
    hoses = [hose for hose in run.items(LINE) if part_of(run, hose) == "hose"]
    for hose in hoses:
        before = total if hose == item else before
        total = total + run.number(f"{hose}.length")
    along = place * total
    here = (along > before) & (along <= before + run.number(f"{item}.length"))
    tried = np.where(here, run.number(f"{first}.open_width"), 1.0)
    own = np.ones((1, 1)) if item == first else width
    return np.asarray(np.where(place > 0, np.minimum(own, tried), width))


def _strainer(run: Run, item: str, place: int) -> tuple[Fitting, Fitting]:
    port, basket = hydraulics.round_area(run.number(f"{item}.bore")), run.number(f"{item}.basket_area")
    ratio = np.minimum(port / basket, 1.0)
    bowl = hydraulics.expansion_loss_borda_carnot(ratio) + hydraulics.contraction_loss_weisbach(ratio)
    ports = Fitting("strainer", hydraulics.head_per_flow_squared(bowl, port), place)
    return ports, screen(run, item, run.number(f"{item}.blocked"), place)


def screen(run: Run, item: str, blocked: Array | float, place: int = 0) -> Fitting:
    """The strainer's basket alone, with a blocked share."""
    open_share = run.number(f"{item}.hole_share") * (1.0 - np.asarray(blocked))
    loss = hydraulics.screen_loss_blevins(open_share)
    return Fitting(
        "strainer", hydraulics.head_per_flow_squared(loss, run.number(f"{item}.basket_area")), place
    )


def bare_pump(run: Run, item: str) -> Pump:
    """The pump as its label or its maker's curve has it, at the speed its supply gives it."""
    points = sorted(run.items(f"{item}.curve"), key=lambda point: float(run.number(f"{point}.flow")[0, 0]))
    ends = (f"{item}.max_head", f"{item}.max_flow")
    if points:
        stated = (run.number(end) if run.given(end) else None for end in ends)
        flows, heads = ([run.number(f"{point}.{field}") for point in points] for field in ("flow", "head"))
        pump = pump_through(flows, heads, *stated)
    else:
        pump = Pump(run.number(ends[0]), run.number(ends[1]))
    return at_speed(pump, run.number(f"{item}.supply_frequency") / run.number(f"{item}.rated_frequency"))


def _pump(run: Run, item: str) -> Pump:
    pump = worn(bare_pump(run, item), run.number(f"{item}.wear"))
    return with_air(pump, run.number(f"{item}.suction_air"), run.number(f"{item}.air"))
