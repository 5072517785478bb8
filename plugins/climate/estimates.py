"""From the run's inputs and figures to the plugin's own: what connects the physics to the boat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air, seawater
from console.properties.refrigerants import refrigerant
from plugins.climate import defaults, tables
from plugins.climate.cabin import CabinDay, Chosen, Controls, cabin_day
from plugins.climate.damp import cold_surfaces
from plugins.climate.exchange import air_flow_share, within_air, within_moist
from plugins.climate.load import COMPONENTS, Inside, Loads, Outside, Shell, component_loads
from plugins.climate.machine import Label, Machine, machine_from_label
from plugins.climate.unit import Conditions, Start, UnitState, balance, start_current

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

DAY = 86_400.0
FIRST_NEAR, SWEEP_NEAR = 0.3, 0.03
"""Length of the last step, K, with which the unit counts as balanced in the first sweep of the day,
whose return air is a guess, and in the others: what is left is a fifth of it, some 2 W."""

_MACHINES: dict[tuple[str, bytes], Machine] = {}
_MOST_MACHINES = 8


# --- what the estimates share -----------------------------------------------------------------


def machine(run: Run) -> Machine:
    """The air conditioner of the boat, fitted to its label."""
    number = run.number
    volts, current = number("climate.voltage"), number("climate.current")
    power = defaults.power_at_rating(run)
    factor = number("climate.power_factor")
    if run.has("climate.eer") and run.given("climate.current"):
        # Both are on the label: what they leave between them is the power factor.
        factor = np.clip(power / (volts * current), 0.5, 1.0)
    label = Label(
        capacity=number("climate.capacity"),
        delivered=number("climate.delivered_share"),
        power=power,
        volts=volts,
        power_factor=factor,
        airflow=number("climate.airflow"),
        bypass=number("climate.coil_bypass"),
        evaporating=number("climate.rated_evaporating"),
        condensing=number("climate.rated_condensing"),
        fan_power=number("climate.fan_power"),
        pump_power=number("climate.pump_power"),
        trip=number("climate.trip_temperature"),
        low_trip=number("climate.low_pressure_trip"),
    )
    return _fitted(label, run.text("climate.refrigerant"))


def _fitted(label: Label, gas: str) -> Machine:
    """`machine_from_label`, remembered: a day's estimates and what-ifs share the label."""
    key = gas, b"".join(np.asarray(getattr(label, each.name)).tobytes() for each in fields(label))
    made = _MACHINES.get(key)
    if made is None:
        made = machine_from_label(label, refrigerant(gas))
        while len(_MACHINES) >= _MOST_MACHINES:
            _MACHINES.pop(next(iter(_MACHINES)), None)
        _MACHINES[key] = made
    return made


def conditions(
    run: Run, return_temperature: Array, return_humidity_ratio: Array, grown: Array | None = None
) -> Conditions:
    """What the unit works in at a return air, as the boat is, with ``grown`` ice on its coil."""
    number = run.number
    sea = run.figure("weather.seawater_temperature")
    iced = with_ice(number("climate.iced_share"), grown)
    return Conditions(
        return_temperature=return_temperature,
        return_humidity_ratio=return_humidity_ratio,
        water_temperature=sea,
        water_flow=run.figure("raw_water.flow"),
        water_heat=water_heat(run, sea),
        scale=run.figure("raw_water.scale_resistance"),
        volts=run.figure("power.supply_voltage"),
        frequency=number("climate.supply_frequency") / number("climate.frequency"),
        airflow=conditions_airflow(run, grown),
        iced=iced,
        charge=number("climate.charge"),
    )  # fmt: skip


def with_ice(stated: Array, grown: Array | None) -> Array:
    """Share of the coil's face under ice: what is stated, and of the rest what ``grown`` covers."""
    return stated if grown is None else 1.0 - (1.0 - stated) * (1.0 - grown)


def iced_face(run: Run, grown: Array | None = None) -> Array:
    """Share of the coil's face under ice, of its own growth and as the file states it."""
    return with_ice(run.number("climate.iced_share"), grown)


def conditions_airflow(run: Run, grown: Array | None = None, chosen: Chosen = None) -> Array:
    """Air through the unit as a share of its clean air flow, at its label's volts or less.

    With ``grown`` ice on its coil, of the ``chosen`` draws (None: all).
    """
    volts = run.figure("power.supply_voltage") / run.number("climate.voltage")
    slowed = np.clip(volts, 0.5, 1.0) ** tables.BLOWER_VOLTS_EXPONENT
    clogged, iced = run.number("climate.filter_blocked"), run.number("climate.iced_share")
    ducts, fan = run.number("climate.duct_restriction"), run.number("climate.airflow_share") * slowed
    if chosen is not None:
        clogged, iced, ducts, fan = (
            np.broadcast_to(part, (run.draws, part.shape[-1]))[chosen]
            for part in (clogged, iced, ducts, fan)
        )
    return air_flow_share(clogged, with_ice(iced, grown), ducts, fan)


def water_heat(run: Run, sea: Array) -> Array:
    """Heat capacity of the seawater, J/(m³·K)."""
    salinity = run.number("site.salinity")
    return np.asarray(seawater.density(sea, salinity) * seawater.heat_capacity(sea, salinity))


def target_temperature(run: Run) -> Array:
    """The air temperature the thermostat really holds: it stops when *it* reads the set-point."""
    return run.number("climate.set_point") - run.number("climate.thermostat_offset")


def hours_share(spans: Sequence[str], hours: Array, step: float) -> Array:
    """Share of each step that lies within the daily spans (``"18:00-18:40"``), shape (steps,).

    ``hours`` is the clock at the middle of each step, ``step`` its length in seconds. A span may
    run over midnight. ValueError for text that is not a span.
    """
    half = 0.5 * step / 3600.0
    share = np.zeros_like(hours)
    if half >= 12.0:
        return share + sum(_span(text)[1] - _span(text)[0] for text in spans) / 24.0
    for text in spans:
        start, end = _span(text)
        for day in (-24.0, 0.0, 24.0):
            overlap = np.minimum(hours + half, end + day) - np.maximum(hours - half, start + day)
            share += np.clip(overlap, 0.0, None) / (2.0 * half)
    return np.minimum(share, 1.0)


def _span(text: str) -> tuple[float, float]:
    def clock(part: str) -> float:
        hour, _, minute = part.strip().partition(":")
        value = int(hour) + int(minute or 0) / 60.0
        if not 0 <= value <= 24:
            raise ValueError
        return value

    try:
        first, second = text.replace("–", "-").split("-")
        start, end = clock(first), clock(second)
    except ValueError:
        raise ValueError(
            f'"{text}" is not a span of the day; accepted is text such as "18:00-18:40"'
        ) from None
    return start, end if end > start else end + 24.0


# --- the cabin --------------------------------------------------------------------------------


def deck_wind(run: Run) -> Array:
    """Wind over the deck, m/s: as stated, or as assumed for a harbour and shifted to the berth.

    The console's wind lies at the deck already; a berth acts on it only where nobody stated it, by
    the roots of the shelter classes' coefficients, so that shelter is counted once.
    """
    wind = run.figure("weather.wind_speed")
    if run.given("weather.wind_here" if run.text("weather.file", "") else "weather.wind"):
        return wind
    classes = tables.WIND_COEFFICIENT
    return np.asarray(wind * (classes[run.text("climate.berth")] / classes["harbour"]) ** 0.5)


def outside(run: Run) -> Outside:
    """Weather and sea of the run."""
    figure = run.figure
    return Outside(
        temperature=figure("weather.outdoor_temperature"),
        humidity_ratio=figure("weather.outdoor_humidity_ratio"),
        wind=deck_wind(run),
        direct_normal=figure("weather.direct_normal"),
        diffuse=figure("weather.diffuse_horizontal"),
        zenith=figure("weather.sun_zenith"),
        azimuth=figure("weather.sun_azimuth"),
        sea=figure("weather.seawater_temperature"),
    )


def shell(run: Run) -> Shell:
    """What encloses the cabin."""

    def number(name: str) -> Array:
        return run.number(f"climate.{name}")

    return Shell(
        heading=run.number("boat.heading"),
        volume=number("cabin_volume"),
        roof_area=number("roof_area"),
        side_area=number("side_area"),
        hull_area=number("hull_area"),
        roof_insulation=number("roof_insulation"),
        side_insulation=number("side_insulation"),
        hull_insulation=number("hull_insulation"),
        deck_absorptance=number("deck_absorptance"),
        side_absorptance=defaults.side_absorptance(run),
        awning=number("awning"),
        glass_overhead=number("glass_overhead"),
        glass_port=number("glass_port"),
        glass_starboard=number("glass_starboard"),
        glass_forward=number("glass_forward"),
        solar_heat_gain=number("glass_solar_gain"),
        curtained=number("glass_curtained"),
        covered=number("glass_covered"),
        deck_sun=number("deck_sun"),
        leakage_area=number("leakage_area") * (1.0 - tables.VENTILATOR_SHARE * number("vents_shut")),
        hatch_open=number("hatch_open"),
        wind_coefficient=tables.WIND_COEFFICIENT["open"],
        furnishings_capacity=number("furnishings_capacity"),
    )


def cabin_loads(run: Run, periodic: bool) -> Loads:
    """The cooling load of the run, by component."""
    number = run.number
    spans = run.value("climate.cooking_hours", ())
    burning = hours_share(spans, run.hours, run.step_seconds)
    drawn = number("climate.return_from_bilge") * (1.0 - number("climate.supply_recirculated"))
    cycles = run.text("climate.fan") == "with_compressor"
    inside = Inside(
        target=target_temperature(run),
        held_humidity=number("climate.held_humidity"),
        people=number("climate.people"),
        activity=run.text("climate.activity"),
        equipment=run.figure("power.equipment_heat"),
        cooking=number("climate.cooking_power") * burning,
        evaporation=number("climate.evaporation"),
        bilge_flow=drawn * number("climate.airflow") * conditions_airflow(run) / 0.86,
        bilge_warmth=number("climate.bilge_warmth"),
        cycling=number("climate.capacity") * number("climate.delivered_share") if cycles else None,
    )
    return component_loads(outside(run), shell(run), inside, run.step_seconds, periodic)


def precooling(run: Run) -> Array | None:
    """How far under the set-point the cabin is cooled ahead of the heat, K; None for never."""
    by = run.number("climate.precool")
    if not by.any():
        return None
    return by * hours_share(run.value("climate.precool_hours", ()), run.hours, run.step_seconds)


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
