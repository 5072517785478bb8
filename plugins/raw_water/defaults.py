"""Defaults computed from the boat's other inputs, on the draws, so that the correlation stays."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import tables

if TYPE_CHECKING:
    from console.contract import Array, Run

_LINE = "raw_water.line"


def _capacity(run: Run) -> Array:
    return run.number("climate.capacity", tables.USUAL_CAPACITY)


def clean_pump_flow(run: Run) -> Array:
    """Free flow (m³/s) of a pump that suits the unit's label capacity."""
    return np.asarray(tables.FREE_FLOW_MULTIPLE * coil_rated_flow(run))


def coil_rated_flow(run: Run) -> Array:
    """Flow (m³/s) the unit's coil is made for: 0.28 gal/min per 1,000 BTU/h of label."""
    return np.asarray(tables.CLEAN_FLOW_PER_WATT * _capacity(run))


def bore(run: Run) -> Array:
    """Bore (m) of the line where it is not stated: that of the first part that states one.

    With none stated: 5/8 in up to 16,000 BTU/h (from memory), beyond that as large as keeps the
    water at the same speed.
    """
    for item in run.items(_LINE):
        path = f"{item}.bore"
        # The coil's tube is the unit's own affair and says nothing of the hoses.
        if run.given(path) and run.text(f"{item}.part") != "condenser":
            return run.number(path)
    return np.asarray(tables.USUAL_BORE * np.sqrt(np.maximum(_capacity(run) / tables.USUAL_CAPACITY, 1.0)))


def lines_bore(run: Run) -> Array:
    """Bore (m) of a part that does not state its own: the line's, so that all of them go together."""
    return run.number("raw_water.bore")


def strainer_depth(run: Run) -> Array:
    """Depth (m) of a strainer: below the pump, as installers have it, by 4 in. Own estimate."""
    return np.asarray(_first(run, "pump", "depth") + 0.10)


def intake_depth(run: Run) -> Array:
    """Depth (m) of the intake: below the strainer by 8 in. Own estimate."""
    return np.asarray(_first(run, "strainer", "depth") + 0.20)


def _first(run: Run, part: str, field: str) -> Array:
    item = next(item for item in run.items(_LINE) if run.text(f"{item}.part") == part)
    return run.number(f"{item}.{field}")


def basket_area(run: Run) -> Array:
    """Wall area (m²) of a strainer basket: its holes, four bores' worth, and the metal between.

    "Open area several times the hose" is common practice, no source.
    """
    return np.asarray(10.0 * np.pi / 4 * np.square(lines_bore(run)))


def rated_frequency(run: Run) -> Array:
    """Frequency (Hz) the pump's label is for: the unit's own, else the supply's, else 60 Hz."""
    for path in ("climate.frequency", "power.shore.frequency"):
        if run.given(path):
            return run.number(path)
    return np.full((1, 1), 60.0)


def supply_frequency(run: Run) -> Array:
    """Frequency (Hz) the pump runs on: the dock's, else the unit's label's, else its own label's."""
    pumps = [item for item in run.items(_LINE) if run.text(f"{item}.part") == "pump"]
    for path in (
        "power.shore.frequency",
        "climate.frequency",
        *(f"{item}.rated_frequency" for item in pumps),
    ):
        if run.given(path):
            return run.number(path)
    return np.full((1, 1), 60.0)
