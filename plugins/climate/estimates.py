"""From the run's inputs and figures to the plugin's own: what connects the physics to the boat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air, seawater
from console.properties.refrigerants import refrigerant
from plugins.climate import defaults, surfaces, tables
from plugins.climate.cabin import CabinDay, Controls, cabin_day
from plugins.climate.exchange import air_flow_share, within_air, within_moist
from plugins.climate.load import COMPONENTS, Inside, Loads, Outside, Shell, component_loads
from plugins.climate.machine import Label, Machine, machine_from_label
from plugins.climate.unit import Conditions, UnitState, balance, start_current

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

DAY = 86_400.0


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
    return machine_from_label(label, refrigerant(run.text("climate.refrigerant")))


def conditions(run: Run, return_temperature: Array, return_humidity_ratio: Array) -> Conditions:
    """What the unit works in at a return air, as the boat is."""
    number = run.number
    sea = run.figure("weather.seawater_temperature")
    iced = number("climate.iced_share")
    return Conditions(
        return_temperature=return_temperature,
        return_humidity_ratio=return_humidity_ratio,
        water_temperature=sea,
        water_flow=run.figure("raw_water.flow"),
        water_heat=water_heat(run, sea),
        scale=run.figure("raw_water.scale_resistance"),
        volts=run.figure("power.supply_voltage"),
        frequency=number("climate.supply_frequency") / number("climate.frequency"),
        airflow=air_flow_share(
            number("climate.filter_blocked"), iced, number("climate.duct_restriction"),
            number("climate.airflow_share"),
        ),
        iced=iced,
        charge=number("climate.charge"),
    )  # fmt: skip


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


def outside(run: Run) -> Outside:
    """Weather and sea of the run."""
    figure = run.figure
    return Outside(
        temperature=figure("weather.outdoor_temperature"),
        humidity_ratio=figure("weather.outdoor_humidity_ratio"),
        wind=figure("weather.wind_speed"),
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
        leakage_area=number("leakage_area"),
        hatch_open=number("hatch_open"),
        wind_coefficient=tables.WIND_COEFFICIENT[run.text("climate.berth")],
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
        cycling=number("climate.capacity") * number("climate.delivered_share") if cycles else None,
    )
    return component_loads(outside(run), shell(run), inside, run.step_seconds, periodic)


def conditions_airflow(run: Run) -> Array:
    """Air through the unit as a share of its clean air flow."""
    return air_flow_share(
        run.number("climate.filter_blocked"), run.number("climate.iced_share"),
        run.number("climate.duct_restriction"), run.number("climate.airflow_share"),
    )  # fmt: skip


def run_cabin(run: Run) -> tuple[Loads, CabinDay, Array]:
    """Loads, the cabin's day and the temperature held, for the estimate and for tests."""
    periodic = abs(run.steps * run.step_seconds - DAY) < 1.0
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
    )
    ready = conditions(run, held, held)

    def serve(temperature: Array, humidity_ratio: Array, last: UnitState | None) -> UnitState:
        at = replace(ready, return_temperature=temperature, return_humidity_ratio=humidity_ratio)
        return balance(unit, at, last.start if last else None)

    return loads, cabin_day(loads, controls, serve, run.step_seconds, periodic), held


def coldest_surface(run: Run, loads: Loads, day: CabinDay) -> Array:
    """The coldest surface the cabin's air touches, K: duct skin while running, hull or glass.

    The skin of a duct with insulation of thickness t lies between supply and cabin air as R_ins
    to the film outside it (8.29 W/(m²·K)). Single glass is what drips first on a cold night; what
    it loses to a clear sky is left out, so that it may be a degree or two colder still.
    """
    film_inside = tables.INSIDE_FILM["vertical"]
    resistance = run.number("climate.duct_insulation") / tables.FOAM_CONDUCTIVITY
    warmed = resistance / (resistance + 1.0 / film_inside)
    supply = day.supply_temperature
    skin = np.where(day.run_share > 0.0, supply + warmed * (day.temperature - supply), day.temperature)
    sea = run.figure("weather.seawater_temperature")
    u = surfaces.hull_transmittance(run.number("climate.hull_insulation"))
    hull = surfaces.inside_surface_temperature(day.temperature, sea, u, film_inside)
    return np.minimum(np.minimum(skin, hull), _glass_surface(run, day))


def _glass_surface(run: Run, day: CabinDay) -> Array:
    """Inner face of the glass without sun on it, K; the cabin's air where there is no glass."""
    panes = ("glass_overhead", "glass_port", "glass_starboard", "glass_forward")
    glazed = sum(run.number(f"climate.{pane}") for pane in panes)
    u = surfaces.glass_transmittance(surfaces.outside_film_ashrae(run.figure("weather.wind_speed")))
    face = surfaces.inside_surface_temperature(
        day.temperature, run.figure("weather.outdoor_temperature"), u, tables.INSIDE_FILM["vertical"]
    )
    return np.where(glazed > 0.0, face, day.temperature)


PARTS_OF_THE_DAY = {"afternoon": (12.0, 18.0), "evening": (18.0, 22.0), "night": (22.0, 6.0)}
"""Clock hours of what an owner calls the worst time."""


def mean_between(values: Array, hours: Array, start: float, end: float) -> Array:
    """Mean over the steps whose clock lies from ``start`` to ``end`` h (which may be past
    midnight), (draws, 1); over all of them where none does."""
    inside = (hours % 24.0 - start) % 24.0 < (end - start) % 24.0
    chosen = values[..., inside] if inside.any() else values
    return np.asarray(chosen.mean(axis=-1, keepdims=True))


def falls_short(temperature: Array, held: Array) -> Array:
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
    short = falls_short(day.temperature, held)
    parts = {name: mean_between(total, run.hours, *span) for name, span in PARTS_OF_THE_DAY.items()}
    figures |= {f"climate.load_{name}": value for name, value in parts.items()}
    return figures | {
        "climate.cooling_load": total,
        "climate.sensible_heat_ratio": np.clip(ratio, 0.0, 1.0),
        "climate.cabin_temperature": day.temperature,
        "climate.cabin_humidity": np.clip(damp, 0.0, 1.0),
        "climate.cabin_dew_point": dew,
        "climate.dry_margin": coldest_surface(run, loads, day) - dew,
        "climate.run_share": day.run_share,
        "climate.run_hours": day.run_share,
        "climate.supply_fall": day.return_temperature - day.supply_temperature,
        "climate.supply_drying": day.drying,
        "climate.falls_short": short,
        "climate.keeps_up": 1.0 - short,
    }


# --- the unit ---------------------------------------------------------------------------------


def unit(run: Run) -> Figures:
    """The unit while it runs, at the return air that stands in the run, beside itself in health.

    Healthy is the same draw of the same unit with a clean filter and coil, its full charge, and
    the clean water line, in the same air, water and volts.
    """
    temperature = within_air(run.figure("climate.return_air_temperature"))
    humidity_ratio = within_moist(run.figure("climate.return_humidity_ratio"))
    made, at = machine(run), conditions(run, temperature, humidity_ratio)
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
    if run.value("climate.soft_start", False):
        multiple = np.minimum(multiple, tables.START_MULTIPLE_SOFT)
    split = temperature - state.supply_temperature
    volts = run.figure("power.supply_voltage")
    capacity = np.maximum(state.capacity, 0.0)
    return {
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
        "climate.airflow_share": conditions_airflow(run),
        "climate.trip.high_pressure": state.high_pressure[0],
        "climate.trip.low_pressure": state.low_pressure[0],
        "climate.trip.voltage": state.voltage[0],
        "climate.expected_split": split[1],
        "climate.healthy_capacity": capacity[1],
        "climate.healthy_current": state.current[1],
    }
