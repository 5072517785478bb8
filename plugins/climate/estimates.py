"""From the run's inputs and figures to the plugin's own: what connects the physics to the boat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air
from plugins.climate import tables
from plugins.climate.aboard import (
    cabin_loads,
    conditions,
    conditions_airflow,
    deck_wind,
    machine,
    precooling,
    target_temperature,
    with_ice,
)
from plugins.climate.cabin import CabinDay, Chosen, Controls, cabin_day
from plugins.climate.damp import cold_surfaces
from plugins.climate.exchange import within_air, within_moist
from plugins.climate.load import COMPONENTS, Loads
from plugins.climate.machine import Machine
from plugins.climate.unit import Conditions, Start, UnitState, balance, start_current

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

DAY = 86_400.0
FIRST_NEAR, SWEEP_NEAR = 0.3, 0.03
"""Length of the last step, K, with which the unit counts as balanced in the first sweep of the day,
whose return air is a guess, and in the others: what is left is a fifth of it, some 2 W."""


# --- the cabin --------------------------------------------------------------------------------

_Record = TypeVar("_Record", Machine, Conditions)


def _of(record: _Record, chosen: NDArray[np.intp], draws: int) -> _Record:
    """A record of (draws, 1) or (draws, steps) arrays for some of the draws."""
    parts = {each.name: getattr(record, each.name) for each in fields(record)}
    kept: dict[str, Any] = {
        name: part[chosen]
        for name, part in parts.items()
        if isinstance(part, np.ndarray) and part.ndim and part.shape[0] == draws
    }
    return replace(record, **kept)


def run_cabin(run: Run) -> tuple[Loads, CabinDay, Array]:
    """Loads, the cabin's day and the temperature held, for the estimate and for tests."""
    days = run.steps * run.step_seconds / DAY
    # A run of whole days repeats: before the first of them the boat has been through the last.
    periodic = days > 0.99 and abs(days - round(days)) < 1e-6
    loads = cabin_loads(run, periodic)
    held = target_temperature(run)
    unit = machine(run)
    controls = Controls(
        target=held,
        held_humidity_ratio=air.humidity_ratio(held, tables.FIRST_HUMIDITY),
        volume=run.number("climate.cabin_volume"),
        from_bilge=run.number("climate.return_from_bilge"),
        recirculated=run.number("climate.supply_recirculated"),
        fan_always=run.text("climate.fan") == "always",
        airflow=run.number("climate.airflow"),
        below=precooling(run),
    )
    ready = conditions(run, held, held)

    def serve(
        temperature: Array, humidity_ratio: Array, start: Start | None, grown: Array | None, chosen: Chosen
    ) -> UnitState:
        at, made = ready, unit
        if chosen is not None:
            at, made = _of(ready, chosen, run.draws), _of(unit, chosen, run.draws)
        if grown is not None:
            at = replace(at, iced=with_ice(at.iced, grown), airflow=conditions_airflow(run, grown, chosen))
        at = replace(at, return_temperature=temperature, return_humidity_ratio=humidity_ratio)
        # The first sweep's return air is a guess: no need to settle the unit on it.
        return balance(made, at, start, FIRST_NEAR if start is None else SWEEP_NEAR)

    return loads, cabin_day(loads, controls, serve, run.step_seconds, periodic), held


PARTS_OF_THE_DAY = {"afternoon": (12.0, 18.0), "evening": (18.0, 22.0), "night": (22.0, 6.0)}
"""Clock hours of what an owner calls the worst time."""


def mean_between(values: Array, hours: Array, start: float, end: float) -> Array:
    """Mean over the steps whose clock lies from ``start`` to ``end`` h (which may be past
    midnight), (draws, 1); over all of them where none does."""
    inside = (hours % 24.0 - start) % 24.0 < (end - start) % 24.0
    chosen = values[..., inside] if inside.any() else values
    return np.asarray(chosen.mean(axis=-1, keepdims=True))


def day_falls_short(temperature: Array, held: Array) -> Array:
    """How far a day is one in which the cabin is not held: 0 up to 0.5 K above, 1 from 2 K, (draws, 1).

    By the warmest step; where an owner begins to complain is common practice, no source.
    """
    excess = (temperature - held).max(axis=-1, keepdims=True)
    return np.asarray(np.clip((excess - 0.5) / 1.5, 0.0, 1.0))


def cabin(run: Run) -> Figures:
    """Load by component, and the cabin it makes with the unit as it is."""
    loads, day, held = run_cabin(run)
    total = loads.total
    humidity_ratio = within_moist(day.humidity_ratio)
    dew = air.dew_point(humidity_ratio)
    damp = air.relative_humidity(within_air(day.temperature), humidity_ratio)
    figures = {f"climate.load.{name}": loads.of(name) for name in COMPONENTS}
    ratio = loads.sensible_total / np.where(np.abs(total) < 1.0, 1.0, total)
    parts = {name: mean_between(total, run.hours, *span) for name, span in PARTS_OF_THE_DAY.items()}
    figures |= {f"climate.load_{name}": value for name, value in parts.items()}
    cold = cold_surfaces(run, day, deck_wind(run))
    figures |= {f"climate.surface.{name}": value for name, value in cold.items()}
    margin = np.minimum.reduce(np.broadcast_arrays(*cold.values())) - dew
    over = np.where(day.run_share > 0.999, np.maximum(day.temperature - held, 0.0), 0.0)
    return figures | {
        "climate.cooling_load": total,
        "climate.sensible_heat_ratio": np.clip(ratio, 0.0, 1.0),
        "climate.cabin_temperature": day.temperature,
        "climate.cabin_humidity": np.clip(damp, 0.0, 1.0),
        "climate.cabin_dew_point": dew,
        "climate.dry_margin": margin,
        "climate.damp_hours": (margin < 0.0).astype(np.float64),
        "climate.shortfall": over,
        "climate.short_hours": (over > tables.SHORT).astype(np.float64),
        "climate.run_share": day.run_share,
        "climate.run_hours": day.run_share * (1.0 - day.tripped),
        "climate.ice_share": day.ice,
        "climate.settled": day.settled[:, None].astype(np.float64),
        "climate.supply_fall": day.return_temperature - day.supply_temperature,
        "climate.supply_drying": day.drying,
        "climate.day_short": day_falls_short(day.temperature, held),
    }


# --- the unit ---------------------------------------------------------------------------------


def unit(run: Run) -> Figures:
    """The unit while it runs, at the return air that stands in the run, beside itself in health.

    Healthy is the same draw of the same unit with a clean filter and coil, its full charge, and
    the clean water line, in the same air, water and volts.
    """
    temperature = within_air(run.figure("climate.return_air_temperature"))
    humidity_ratio = within_moist(run.figure("climate.return_humidity_ratio"))
    grown = run.figure("climate.ice_share")
    made, at = machine(run), conditions(run, temperature, humidity_ratio, grown)
    shape = np.broadcast_shapes(temperature.shape, at.airflow.shape)

    def beside(now: Array, well: Array | float) -> Array:
        return np.stack([np.broadcast_to(now, shape), np.broadcast_to(well, shape)])

    both = replace(
        at,
        water_flow=beside(at.water_flow, run.figure("raw_water.clean_flow")),
        scale=beside(at.scale, 0.0),
        airflow=beside(at.airflow, 1.0),
        iced=beside(at.iced, 0.0),
        charge=beside(at.charge, 1.0),
    )
    state = balance(made, both)
    multiple = run.number("climate.start_multiple")
    if run.has("climate.locked_rotor"):
        multiple = run.number("climate.locked_rotor") / run.number("climate.current")
    if run.value("climate.soft_start", False):
        multiple = np.minimum(multiple, tables.START_MULTIPLE_SOFT)
    split = temperature - state.supply_temperature
    volts = run.figure("power.supply_voltage")
    capacity = np.maximum(state.capacity, 0.0)
    # A fan left on runs between the compressor's runs.
    share, alone = run.figure("climate.run_share"), run.text("climate.fan") == "always"
    mean_power = share * state.power[0] + (1.0 - share) * (made.fan_power if alone else 0.0)
    per_amp = np.maximum(volts, 1.0) * made.power_factor
    return {
        "climate.energy": mean_power,
        "climate.fan_current": made.fan_power / per_amp,
        "climate.pump_current": made.pump_power / per_amp,
        "climate.unit_capacity": capacity[0],
        "climate.unit_power": state.power[0],
        "climate.unit_current": state.current[0],
        "climate.start_current": start_current(made, run.number("climate.current"), multiple, volts),
        "climate.air_split": split[0],
        "climate.condensate_rate": state.condensate[0],
        "climate.seawater_rise": state.seawater_rise[0],
        "climate.condensing_temperature": state.condensing[0],
        "climate.evaporating_temperature": state.evaporating[0],
        "climate.supply_temperature": state.supply_temperature[0],
        "climate.coil_temperature": state.coil_surface[0],
        "climate.airflow_share": conditions_airflow(run, grown),
        "climate.trip.high_pressure": state.high_pressure[0],
        "climate.trip.low_pressure": state.low_pressure[0],
        "climate.trip.voltage": state.voltage[0],
        "climate.expected_split": split[1],
        "climate.healthy_capacity": capacity[1],
        "climate.healthy_current": state.current[1],
    }
