"""Ice boxes on the real engine, in a cabin that a stand-in climate holds as the test says."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

import plugins.cold_box
from console.boatfile import Boat, loads
from console.contract import Estimate, Given, Run, Section
from console.engine.estimate import Found
from console.engine.run import Ran, run_day
from console.engine.views import EstimateView
from console.fields import Quantity, Table, quantity
from console.registry import Registry, discover
from plugins.cold_box.box import Box
from plugins.cold_box.build import box_of
from tests.toy import FoundEntry, plugin

HEADER = """
[boat]
heading = "210 deg"
[site]
latitude = "32.1 deg"
longitude = "-80.9 deg"
timezone = "America/New_York"
seawater_temperature = "84 F"
[weather]
date = 2026-07-26
high = "91 F"
low = "77 F"
dew_point = "75 F"
sky = "hazy"
"""

PER_DAY = 86_400.0


class Cabin(Table):
    """A cabin at whatever the test says, all day."""

    temperature: Quantity = quantity("temperature", "80 F", hard=("-40 F", "140 F"), help="Cabin air.")
    swing: Quantity = quantity(
        "temperature_difference", "0 C", hard=("-30 C", "30 C"), help="Afternoon above morning."
    )
    humidity: Quantity = quantity("share", "70 %", hard=("0 %", "100 %"), help="Relative humidity.")


def cabin_air(run: Run) -> dict[str, np.ndarray]:
    wave = 0.5 * np.sin(2.0 * np.pi * (run.hours - 9.0) / 24.0)
    warm = run.number("climate.temperature") + run.number("climate.swing") * wave
    return {"climate.cabin_temperature": warm, "climate.cabin_humidity": run.number("climate.humidity")}


def _climate() -> FoundEntry:
    here = "tests.plugins.cold_box.boats"
    gives = (
        Given("climate.cabin_temperature", "K", "cabin air"),
        Given("climate.cabin_humidity", "1", "cabin humidity", "share"),
    )
    return plugin(
        "climate",
        boat_sections=lambda: [Section("climate", f"{here}:Cabin", "Cabin")],
        boat_estimates=lambda: [Estimate("climate.cabin", f"{here}:cabin_air", (), gives)],
    )


@lru_cache
def _registry(with_climate: bool) -> Registry:
    entries = [FoundEntry("cold_box", lambda: plugins.cold_box, "boat-console")]
    registry = discover({}, [*entries, *([_climate()] if with_climate else [])])
    assert registry.failures == []
    return registry


def boat(text: str, cabin: str = "", with_climate: bool = True) -> Boat:
    """A boat whose file holds ``[cold_box]`` and ``text``, in a cabin of ``cabin``."""
    climate = f"[climate]\n{cabin}\n" if with_climate else ""
    return loads(f"{HEADER}{climate}[cold_box]\n{text}", _registry(with_climate))


def day(text: str, cabin: str = "", draws: int = 0, with_climate: bool = True, usual: bool = True) -> Ran:
    """A day of that boat, checked to have gone well, and to be of usual inputs unless said."""
    ran = run_day(boat(text, cabin, with_climate), draws)
    assert ran.unwell == []
    assert ran.warnings == [] or not usual
    return ran


def box(ran: Ran) -> Box:
    """The box a run was of, as the plugin makes it."""
    return box_of(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))


def found(ran: Ran) -> Found:
    """What an answer sees of a run."""
    return Found(ran, "us")


def grams(ran: Ran, name: str = "cold_box.frost_rate") -> float:
    """A nominal water rate, g a day."""
    return float(ran.daily(name)[0]) * PER_DAY * 1e3


def amp_hours(ran: Ran) -> float:
    """The nominal amp-hours a day."""
    return float(ran.daily("cold_box.amp_hours_per_day")[0]) * 24.0
