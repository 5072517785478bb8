"""From the boat's inputs to a pump and a line, with any of the faults put right on the way."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import hydraulics
from plugins.raw_water.line import Coil, Fitting, Line, Tube, scaled_coil
from plugins.raw_water.pump import Pump, at_speed, curve_exponent, with_air, worn
from plugins.raw_water.tables import EXIT, GRAVITY

if TYPE_CHECKING:
    from console.contract import Array, Run

LINE = "raw_water.line"

FAULTS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "intake": (("intake", "blocked", 0.0),),
    "seacock": (("seacock", "open_share", 1.0),),
    "strainer": (("strainer", "blocked", 0.0),),
    "kink": (("hose", "open_width", 1.0),),
    "air": (("pump", "suction_air", 0.0), ("pump", "air", 0.0)),
    "pump": (("pump", "wear", 0.0), ("pump", "stopped", 0.0)),
    "condenser": (("condenser", "scale", 0.0),),
}
"""What can be put right, each one job: the part, the field, and its value when all is well."""

ALL = frozenset(FAULTS)

_TAKEN_NAMES = frozenset(
    ("intake", "seacock", "strainer", "kink", "condenser", "overboard", "lift", "unexplained", "pump")
)
_KINK_LENGTH = 2.0
"""Length of a kink in bores of the hose: a hose folds over about its own width. Own estimate."""

_RATING_DENSITY = 998.0
"""Density (kg/m³) of the fresh water a coil's loss in pressure is stated for."""


@dataclass(frozen=True)
class Built:
    """A pump, its line, and how much of the time the pump stands still."""

    pump: Pump
    line: Line
    stopped: Array

    def matched(self, speed_ratio: Array, more: Fitting) -> Built:
        """The same with what the owner's bucket showed (`plugins.raw_water.line.match_to_flow`)."""
        line = replace(self.line, fittings=(*self.line.fittings, more))
        return replace(self, pump=at_speed(self.pump, speed_ratio), line=line)


def part_of(run: Run, item: str) -> str:
    """Which part the item at a path is."""
    return run.text(f"{item}.part")


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
    return all(
        np.all(run.number(f"{item}.{field}") == well)
        for part, field, well in FAULTS[fault]
        for item in run.items(LINE)
        if part_of(run, item) == part
    )


def build(run: Run, cleared: frozenset[str] = frozenset()) -> Built:
    """The pump and the line as the boat has them, with the faults in ``cleared`` put right."""
    fittings: list[Fitting] = []
    tubes: list[Tube] = []
    coils: list[Coil] = []
    pump: Pump | None = None
    stopped = np.zeros((1, 1))
    lift, high_point = np.zeros((1, 1)), np.full((1, 1), -np.inf)
    for item in run.items(LINE):
        part, suction = part_of(run, item), pump is None
        name = loss_name(item, part)
        match part:
            case "intake":
                fittings.append(_intake(run, item, "intake" in cleared, suction))
            case "seacock":
                area = hydraulics.round_area(run.number(f"{item}.bore"))
                opening = 1.0 if "seacock" in cleared else run.number(f"{item}.open_share")
                loss = hydraulics.cock_loss_weisbach(opening, run.number(f"{item}.bore"))
                fittings.append(Fitting(name, hydraulics.head_per_flow_squared(loss, area), suction))
            case "hose":
                _hose(run, item, name, "kink" in cleared, suction, fittings, tubes)
            case "strainer":
                fittings.extend(_strainer(run, item, "strainer" in cleared, suction))
            case "pump" if pump is None:
                pump = _pump(run, item, cleared)
                if "pump" not in cleared:
                    stopped = run.number(f"{item}.stopped")
            case "condenser":
                scale = 0.0 if "condenser" in cleared else run.number(f"{item}.scale")
                head = run.number(f"{item}.loss") / (_RATING_DENSITY * GRAVITY)
                coils.append(
                    scaled_coil(
                        name, head, run.number(f"{item}.at_flow"), run.number(f"{item}.exponent"),
                        run.number(f"{item}.bore"), scale, suction=suction,
                    )
                )  # fmt: skip
                high_point = np.maximum(high_point, run.number(f"{item}.height"))
            case "overboard":
                area = hydraulics.round_area(run.number(f"{item}.bore"))
                fittings.append(Fitting(name, hydraulics.head_per_flow_squared(EXIT, area), suction))
                lift = np.maximum(run.number(f"{item}.height"), 0.0)
    assert pump is not None  # the table's own validation puts one in
    return Built(
        pump, Line(tuple(fittings), tuple(tubes), tuple(coils), lift, np.maximum(high_point, lift)), stopped
    )


def _intake(run: Run, item: str, clean: bool, suction: bool) -> Fitting:
    left = 1.0 if clean else 1.0 - run.number(f"{item}.blocked")
    loss = hydraulics.fouled_entrance_loss(left)
    if run.text(f"{item}.kind") == "scoop":
        # Bars over a mouth of twice the bore's area, half of it open: own estimate of a usual scoop.
        loss = loss + hydraulics.grill_loss_blevins(0.5 * np.asarray(left)) / 4.0
    area = hydraulics.round_area(run.number(f"{item}.bore"))
    return Fitting("intake", hydraulics.head_per_flow_squared(loss, area), suction)


def _hose(
    run: Run,
    item: str,
    name: str,
    straight: bool,
    suction: bool,
    fittings: list[Fitting],
    tubes: list[Tube],
) -> None:
    bore, roughness = run.number(f"{item}.bore"), run.number(f"{item}.roughness")
    area = hydraulics.round_area(bore)
    bends = run.number(f"{item}.bends") * hydraulics.elbow_loss_crane(bore)
    fittings.append(Fitting(name, hydraulics.head_per_flow_squared(bends, area), suction))
    tubes.append(Tube(name, bore, area, run.number(f"{item}.length"), roughness, suction))
    width = np.ones((1, 1)) if straight else run.number(f"{item}.open_width")
    if np.all(width >= 1.0):
        return
    fittings.append(
        Fitting("kink", hydraulics.head_per_flow_squared(hydraulics.kink_loss(width), area), suction)
    )
    tubes.append(
        Tube(
            "kink", hydraulics.flattened_hydraulic_diameter(bore, width),
            area * hydraulics.flattened_area_share(width),
            # A hose that is round has no kink, whatever its length would be.
            _KINK_LENGTH * bore * (1.0 - np.clip(width, 0.0, 1.0)), roughness, suction,
        )
    )  # fmt: skip


def _strainer(run: Run, item: str, clean: bool, suction: bool) -> tuple[Fitting, Fitting]:
    port, basket = hydraulics.round_area(run.number(f"{item}.bore")), run.number(f"{item}.basket_area")
    ratio = np.minimum(port / basket, 1.0)
    bowl = hydraulics.expansion_loss_borda_carnot(ratio) + hydraulics.contraction_loss_weisbach(ratio)
    ports = Fitting("strainer", hydraulics.head_per_flow_squared(bowl, port), suction)
    blocked = 0.0 if clean else run.number(f"{item}.blocked")
    return ports, screen(run, item, blocked, suction)


def screen(run: Run, item: str, blocked: Array | float, suction: bool = True) -> Fitting:
    """The strainer's basket alone, with a blocked share."""
    open_share = run.number(f"{item}.hole_share") * (1.0 - np.asarray(blocked))
    loss = hydraulics.screen_loss_blevins(open_share)
    return Fitting(
        "strainer", hydraulics.head_per_flow_squared(loss, run.number(f"{item}.basket_area")), suction
    )


def _pump(run: Run, item: str, cleared: frozenset[str]) -> Pump:
    shut_off, free_flow = run.number(f"{item}.max_head"), run.number(f"{item}.max_flow")
    exponent = np.full((1, 1), 2.0)
    if run.has(f"{item}.duty_head"):
        exponent = curve_exponent(
            shut_off, free_flow, run.number(f"{item}.duty_head"), run.number(f"{item}.duty_flow")
        )
    pump = Pump(shut_off, free_flow, exponent)
    pump = at_speed(pump, run.number(f"{item}.supply_frequency") / run.number(f"{item}.rated_frequency"))
    if "pump" not in cleared:
        pump = worn(pump, run.number(f"{item}.wear"))
    if "air" not in cleared:
        pump = with_air(pump, run.number(f"{item}.suction_air"), run.number(f"{item}.air"))
    return pump
