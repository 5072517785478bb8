"""What the climate tests are made of: one unit, one cabin, one summer's day; and a whole boat."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile.boat import loads as boat_from
from console.engine.run import Ran, run_day
from console.properties import air
from console.properties.refrigerants import refrigerant as gas_named
from console.registry import Registry, discover
from plugins.climate.load import Inside, Outside, Shell
from plugins.climate.machine import Label, Machine, machine_from_label
from plugins.climate.unit import Conditions

Array = NDArray[np.float64]

BTU_H = 0.29307107
CFM = 4.719474e-4
GPM = 6.30902e-5
WATER_HEAT = 4.10e6


def fahrenheit(value: float) -> float:
    """K."""
    return (value + 459.67) / 1.8


def one(value: float) -> Array:
    """A number as an input of one draw."""
    return np.array([[float(value)]])


def label(**changes: float) -> Label:
    """A 16,000 BTU/h unit of 12.2 A at 115 V, each field in SI and open to change."""
    values = {
        "capacity": 16000 * BTU_H, "delivered": 0.9, "power": 12.2 * 115 * 0.94, "volts": 115.0,
        "power_factor": 0.94, "airflow": 467 * CFM, "bypass": 0.15, "evaporating": fahrenheit(45),
        "condensing": fahrenheit(105), "fan_power": 93.0, "pump_power": 110.0, "trip": fahrenheit(146),
        "low_trip": fahrenheit(14),
    } | changes  # fmt: skip
    return Label(**{name: one(value) for name, value in values.items()})


def made(refrigerant: str = "R410A", **changes: float) -> Machine:
    """The machine of that label."""
    return machine_from_label(label(**changes), gas_named(refrigerant))


def conditions(
    machine: Machine, *, dry: float = 80, wet: float = 67, water: float = 85, flow_share: float = 1.0,
    scale: float = 0.0, volts: float = 115.0, airflow: float = 1.0, iced: float = 0.0, charge: float = 1.0,
    rh: float | None = None,
) -> Conditions:  # fmt: skip
    """Rating conditions (°F), open to change; ``rh`` in place of ``wet`` when given."""
    if rh is None:
        ratio = float(air.humidity_ratio_from_wet_bulb(fahrenheit(dry), fahrenheit(wet)))
    else:
        ratio = float(air.humidity_ratio(fahrenheit(dry), rh))
    flow = float(machine.water_flow[0, 0]) * flow_share
    return Conditions(
        one(fahrenheit(dry)), one(ratio), one(fahrenheit(water)), one(flow), one(WATER_HEAT), one(scale),
        one(volts), one(1.0), one(airflow), one(iced), one(charge),
    )  # fmt: skip


HOURS = np.arange(24) + 0.5


def summer(**changes: Any) -> Outside:
    """A hot humid day at 32° N: 77 to 91 °F, dew point near 75 °F."""
    angle = (HOURS - 12.5) / 24 * 2 * np.pi
    zenith = np.arccos(
        np.clip(np.sin(0.56) * np.sin(0.34) + np.cos(0.56) * np.cos(0.34) * np.cos(angle), -1, 1)
    )
    up = np.maximum(np.cos(zenith), 0.0)
    values: dict[str, Any] = {
        "temperature": fahrenheit(84) + 3.9 * np.cos((HOURS - 15) / 24 * 2 * np.pi),
        "humidity_ratio": np.full(24, 0.0187),
        "wind": np.full(24, 2.5),
        "direct_normal": 700.0 * (up > 0.05),
        "diffuse": 150.0 * up,
        "zenith": zenith,
        "azimuth": np.pi + angle,
        "sea": np.full(24, fahrenheit(84)),
    } | changes  # fmt: skip
    return Outside(
        **{name: np.atleast_2d(np.asarray(value, dtype=float)) for name, value in values.items()}
    )


def hull(**changes: float) -> Shell:
    """The cabin of a 36-footer."""
    values: dict[str, Any] = {
        "heading": 3.67, "volume": 27.5, "roof_area": 20.0, "side_area": 20.0, "hull_area": 18.0,
        "roof_insulation": 0.0127, "side_insulation": 0.003, "hull_insulation": 0.0016,
        "deck_absorptance": 0.45, "side_absorptance": 0.45, "awning": 0.0, "glass_overhead": 0.8,
        "glass_port": 0.33, "glass_starboard": 0.33, "glass_forward": 0.05, "solar_heat_gain": 0.65,
        "curtained": 0.2, "covered": 0.0, "deck_sun": 1.0, "leakage_area": 0.025, "hatch_open": 0.0, "wind_coefficient": 0.0174,
        "furnishings_capacity": 2.2e6,
    } | changes  # fmt: skip
    wind = values.pop("wind_coefficient")
    return Shell(wind_coefficient=wind, **{name: one(value) for name, value in values.items()})


def aboard(**changes: Any) -> Inside:
    """Two people, some appliances, a cabin held at 75 °F."""
    values: dict[str, Any] = {
        "target": fahrenheit(75), "held_humidity": 0.6, "people": 2.0, "equipment": 200.0, "cooking": 0.0,
        "evaporation": 1.7e-5, "bilge_flow": 0.012,
    } | {name: value for name, value in changes.items() if name not in ("activity", "cycling")}  # fmt: skip
    return Inside(
        activity=changes.get("activity", "light"), cycling=changes.get("cycling"),
        **{name: np.atleast_2d(np.asarray(value, dtype=float)) for name, value in values.items()},
    )  # fmt: skip


# --- a whole boat -----------------------------------------------------------------------------

SUMMER_BOAT = """
format = 1
[boat]
length = "36 ft"
beam = "11.8 ft"
heading = "210 deg"
deck_colour = "light"
[site]
latitude = "32.1 deg"
longitude = "-80.9 deg"
timezone = "America/New_York"
seawater_temperature = "84 F"
salinity = "28 g/kg"
[weather]
date = 2026-07-26
high = "91 F"
low = "77 F"
dew_point = "75 F"
sky = "hazy"
[climate]
"""


@cache
def climate_alone() -> Registry:
    """The console with this plugin and no other."""
    return discover({"BOAT_CONSOLE_PLUGINS": "climate"})


def run(climate: str = "", draws: int = 0, boat: str = SUMMER_BOAT) -> Ran:
    """A day of the summer boat with more lines in its [climate] table."""
    return run_day(boat_from(boat + climate, climate_alone()), draws)


def hourly(ran: Ran, name: str) -> Array:
    """The nominal hours of a figure of this plugin."""
    return np.asarray(ran.figures[f"climate.{name}"][0])


def daily(ran: Ran, name: str) -> float:
    """The nominal day's value of a figure of this plugin."""
    return float(ran.daily(f"climate.{name}")[0])
