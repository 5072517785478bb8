"""The power plugin's estimates: from inputs and needed figures to figures.

Each takes a `console.contract.Run` and gives a dict of arrays that broadcast to (draws, steps). What
each needs and gives is in `records`.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power import bank, circuits, consumers, loads, shore, solar, wire
from plugins.power.tables import SWING

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

YEAR = 365 * 86_400.0
"""The longest time (s) for which a bank is said to last."""


# --- before the air conditioner ---------------------------------------------------------------


def before(run: Run) -> Figures:
    """What the cabin and the air conditioner must know of the power: heat, and volts at the unit."""
    volts = _supply_voltage(run)
    return {
        "power.equipment_heat": _equipment_heat(run),
        "power.supply_voltage": volts,
        "power.expected_supply_voltage": volts,
    }


def _equipment_heat(run: Run) -> Array:
    at_dock = run.has("power.shore")
    heat: Array = run.number("power.standing_heat") + consumers.always_on_power(run)
    heat = heat + _galley_heat(run)
    for path in run.items("power.load"):
        if at_dock or run.text(f"{path}.where", "shore") == "bank":
            load = consumers.timed(run, path)
            heat = heat + load.power * load.share * run.number(f"{path}.cabin_heat_share")
    return heat


def _galley_heat(run: Run) -> Array:
    """The galley's heat beyond what the air conditioner's own table already has the stove give.

    Both describe the same meals unless a stove is stated beside a galley on shore power.
    """
    cooking = consumers.galley(run)
    heat: Array = cooking.power * cooking.share
    electric = run.text("power.galley_fuel", "electric") == "electric"
    if not run.has("climate.cooking_power") or (electric and run.given("climate.cooking_power")):
        return heat
    try:
        spans = loads.clock_intervals(run.value("climate.cooking_hours", []) or [])
    except ValueError:
        return heat  # whose hours they are says so
    hours = sum(end - start for start, end in spans)
    counted = run.number("climate.cooking_power") * hours / 24.0
    return heat * np.clip(1.0 - counted / np.maximum(run.number("power.galley"), 1e-9), 0.0, 1.0)


def _supply_voltage(run: Run) -> Array:
    """At the unit's label amps; from an inverter or a generator, the label's own volts."""
    label = run.number("climate.voltage", consumers.nominal_leg(run))
    if not run.has("power.shore"):
        return label * run.number("power.supply_share")
    amps = run.number("climate.current", 0.0)
    volts = consumers.leg_voltage(run)
    legs = 2.0 if consumers.spans_both_legs(run) else 1.0
    # Over both legs the current goes out by one hot wire and back by the other: of the way out and
    # back each leg has its part.
    there = shore.onboard_voltage(volts, supply_resistance(run) / legs, amps * label / legs)
    return there * legs


def cord_resistance(run: Run) -> Array:
    """Ohm of the cord, out and back."""
    per_metre = wire.conductor_resistance(
        run.number("power.shore.cord_gauge"), run.number("power.shore.cord_temperature")
    )
    return 2 * run.number("power.shore.cord_length") * per_metre


def supply_resistance(run: Run) -> Array:
    """Ohm between the post's own supply and the panel, out and back: dock, contacts, cord."""
    return (
        run.number("power.shore.dock_resistance")
        + run.number("power.shore.contact_resistance")
        + cord_resistance(run)
    )


# --- direct current and anchor ----------------------------------------------------------------


def direct_current(run: Run) -> Figures:
    """What the bank is asked for at anchor, by load, and the most at once."""
    volts = consumers.working_voltage(run)
    things = [
        thing
        for thing in consumers.bank_loads(run, at_dock=False)
        if thing.key not in consumers.OWN_KEYS or np.any(thing.power * thing.share)
    ]
    figures: dict[str, Array] = {}
    total = np.zeros((1, run.steps))
    for thing in things:
        amps = thing.power * thing.share / volts
        figures[f"power.dc_load.{thing.key}"] = amps
        total = total + amps
    running = [thing.power / volts * (thing.share > 0) for thing in things]
    on = [thing.on for thing in things]
    fed = [thing for thing in things if thing.by_inverter]
    out = [np.asarray(thing.out) * (thing.share > 0) for thing in fed]
    figures["power.dc_amp_hours_per_day"] = total
    figures["power.bank_peak"] = np.maximum(loads.largest_together(running, on), total)
    for end, swung in zip(("low", "high"), SWING, strict=True):
        # Over the bank's swing an element's amps follow the volts, what holds its watts goes the other way.
        ratio = swung * consumers.bank_nominal(run) / 12.0 / volts
        if any(thing.element for thing in things):
            at = [
                r * (ratio if thing.element else 1.0 / ratio)
                for r, thing in zip(running, things, strict=True)
            ]
            figures[f"power.bank_current_{end}"] = loads.largest_together(at, on)
        else:
            figures[f"power.bank_current_{end}"] = figures["power.bank_peak"] / ratio
    figures["power.inverter_power"] = loads.largest_together(out, [thing.on for thing in fed])
    for name, asked, rating in (
        ("bank", figures["power.bank_peak"], "power.bank.current_limit"),
        ("inverter", figures["power.inverter_power"], "power.inverter.power"),
        ("bus_bar", circuits.on_bus_bar(run), "power.bus_bar_rating"),
    ):
        if run.has(rating):
            figures[f"power.rated_share.{name}"] = asked / run.number(rating)
    return figures


def sun(run: Run) -> Figures:
    """What the panels put into the bank."""
    plane = solar.swinging_irradiance(
        run.number("power.solar.tilt"),
        run.figure("weather.sun_zenith"),
        run.figure("weather.sun_azimuth"),
        run.figure("weather.direct_normal"),
        run.figure("weather.diffuse_horizontal"),
    ) * run.number("power.solar.sky")
    reached = plane * (1 - run.number("power.solar.shading"))
    cells = solar.cell_temperature_ross(reached, run.figure("weather.outdoor_temperature"))
    power = solar.panel_power_pvwatts(reached, cells, run.number("power.solar.peak_power"))
    volts = consumers.working_voltage(run)
    return {
        "power.solar_amp_hours_per_day": power * run.number("power.solar.efficiency") / volts,
    }


def at_anchor(run: Run) -> Figures:
    """State of charge from sunset through the night and the next day, and what is left at dawn."""
    zenith = run.figure("weather.sun_zenith")
    first = solar.sunset_step(zenith[0], run.hours)
    capacity = run.number("power.bank.capacity") * run.number("power.bank.health")
    load = run.figure("power.dc_amp_hours_per_day")
    charge = run.figure("power.solar_amp_hours_per_day")
    states = bank.states_of_charge(
        np.roll(load, -first, axis=-1),
        np.roll(charge, -first, axis=-1),
        run.number("power.bank.state_at_sunset"),
        capacity,
        chemistry=consumers.bank_chemistry(run),
        exponent=run.number("power.bank.peukert"),
        efficiency=run.number("power.bank.charge_efficiency"),
        working_voltage=consumers.working_voltage(run),
        nominal=consumers.bank_nominal(run),
        step_seconds=run.step_seconds,
    )
    # The least around dawn: from sunset to the next noon, of every night there is.
    since = (np.roll(run.hours, -first) - run.hours[first]) % 24.0
    dawn = np.min(states[:, since <= _hours_to_noon(run, first)], axis=-1, keepdims=True)
    floor = 1.0 - run.number("power.bank.usable_share")
    # As in the state of charge: a trickle is not credited with more than the label's amp-hours.
    most = bank.peukert_current(
        run.figure("power.bank_peak").max(axis=-1, keepdims=True),
        capacity,
        run.number("power.bank.peukert"),
    )
    use, gain = np.mean(load, axis=-1, keepdims=True), np.mean(charge, axis=-1, keepdims=True)
    back = gain * run.number("power.bank.charge_efficiency")
    return {
        "power.state_of_charge": np.roll(states, first, axis=-1),
        "power.dawn_state_of_charge": dawn,
        "power.dawn_amp_hours": (dawn - floor) * capacity,
        "power.bank_hours": np.minimum((1.0 - floor) * capacity / np.maximum(most, 1e-9), YEAR),
        "power.recovery": back / np.maximum(use, 1e-9),
    }


def _hours_to_noon(run: Run, first: int) -> float:
    return float((12.0 - run.hours[first]) % 24.0)
