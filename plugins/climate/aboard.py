"""The boat's inputs and figures as the physics takes them: the unit, what it works in, the cabin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import seawater
from console.properties.refrigerants import refrigerant
from plugins.climate import defaults, tables
from plugins.climate.cabin import Chosen
from plugins.climate.exchange import air_flow_share
from plugins.climate.load import Inside, Loads, Outside, Shell, component_loads
from plugins.climate.machine import Label, Machine, machine_from_label
from plugins.climate.unit import Conditions

Array = NDArray[np.float64]

_MACHINES: dict[tuple[str, bytes], Machine] = {}
_MOST_MACHINES = 8


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
