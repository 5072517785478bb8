"""The power plugin on the real engine, with a stand-in for the air conditioner and the ice box.

The stand-ins are plugins of their own (power only ever sees other plugins' figures by name), so
that a test says what they draw.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import plugins.power
from console.boatfile import Boat, loads
from console.contract import Estimate, Given, Run, Section
from console.engine.estimate import Found
from console.engine.run import Ran, run_day
from console.fields import Quantity, Table, quantity
from console.registry import discover
from tests.toy import FoundEntry, module, plugin

HEADER = """
[site]
latitude = "32.1 deg"
longitude = "-80.9 deg"
timezone = "America/New_York"
[weather]
date = 2026-07-26
high = "91 F"
low = "77 F"
dew_point = "75 F"
sky = "hazy"
"""

QUIET = """
[power]
always_on = "0 A*h/day"
galley = "0 kWh/day"
standing_heat = "0 W"
"""
"""A [power] table in which nothing runs that is not listed."""

STIFF = """
voltage = "120 V ± 0 V"
dock_resistance = "0 mohm"
contact_resistance = "0 mohm"
cord_length = "0.5 m"
"""
"""Fields of [power.shore] for a dock whose volts hardly move."""


class Unit(Table):
    """The stand-in's label."""

    current: Quantity = quantity("current", "12 A", hard=("0 A", "99 A"), help="Label amps.")
    voltage: Quantity = quantity("voltage", "115 V", hard=("10 V", "480 V"), help="Label volts.")


def air_conditioner(**given: Any) -> FoundEntry:
    """A plugin that gives the climate figures power needs; ``given`` in SI: numbers, 24 of them, or
    a function of the run."""
    values = {"run_share": 0.6, "unit_current": 12.0, "unit_power": 1300.0, "start_current": 55.0, **given}
    units = {"run_share": "1", "unit_power": "W"}

    def estimate(run: Run) -> dict[str, Any]:
        return {
            f"climate.{name}": np.atleast_2d(np.asarray(v(run) if callable(v) else v, dtype=float))
            * np.ones((1, run.steps))
            for name, v in values.items()
        }

    made = module(estimate=estimate, Unit=Unit)
    gives = tuple(Given(f"climate.{name}", units.get(name, "A"), "A stand-in's figure") for name in values)
    return plugin(
        "climate",
        boat_sections=lambda: [Section("climate", f"{made.__name__}:Unit", "Stand-in", "not_aboard")],
        boat_estimates=lambda: [
            Estimate("climate.stand_in", f"{made.__name__}:estimate", (), gives, about="climate")
        ],
    )


def ice_box(running: float = 5.0, mean: float = 2.0) -> FoundEntry:
    """A plugin that gives the ice box's figures, A."""

    def estimate(run: Run) -> dict[str, Any]:
        return {"cold_box.compressor_current": [[running]], "cold_box.amp_hours_per_day": [[mean]]}

    made = module(estimate=estimate)
    gives = tuple(
        Given(f"cold_box.{name}", "A", "A stand-in's figure")
        for name in ("compressor_current", "amp_hours_per_day")
    )
    return plugin(
        "cold_box",
        boat_estimates=lambda: [Estimate("cold_box.stand_in", f"{made.__name__}:estimate", (), gives)],
    )


def boat_of(text: str, *others: FoundEntry) -> Boat:
    """A boat file's text with power and the stand-ins loaded."""
    registry = discover({}, [FoundEntry("power", lambda: plugins.power, "boat-console"), *others])
    assert registry.failures == []
    return loads(HEADER + text, registry)


@pytest.fixture
def day() -> Callable[..., Ran]:
    """Run a day of a boat file's text: ``day(text, *stand_ins, draws=0)``."""

    def run(text: str, *others: FoundEntry, draws: int = 0) -> Ran:
        ran = run_day(boat_of(text, *others), draws)
        assert ran.unwell == []
        assert ran.warnings == []
        return ran

    return run


def found(ran: Ran) -> Found:
    """What an answer sees of the run."""
    return Found(ran, "us")
