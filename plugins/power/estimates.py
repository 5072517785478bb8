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
from plugins.power.tables import CHARGING_VOLTS

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

YEAR = 365 * 86_400.0
"""The longest time (s) for which a bank is said to last."""


# --- before the air conditioner ---------------------------------------------------------------


def before(run: Run) -> Figures:
    """What the cabin and the air conditioner must know of the power: heat, and volts at the unit."""
    return {
        "power.equipment_heat": _equipment_heat(run),
        "power.supply_voltage": _supply_voltage(run),
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
        return label
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


# --- shore ------------------------------------------------------------------------------------


def at_shore(run: Run) -> Figures:
    """Shore power over the day: the current stacked by load, what holds, volts, energy.

    The figures are of the leg that carries more over three hours, draw by draw.
    """
    things = [*_air_conditioner(run), *_through_charger(run), *consumers.shore_loads(run)]
    if run.text("power.galley_fuel", "electric") == "electric":
        meal = consumers.galley(run)
        nothing = np.zeros_like(meal.power)
        things.append(consumers.OnShore("galley", meal.power, meal.power, nothing, meal.share, meal.on))
    things = [t for t in things if t.key not in consumers.OWN_KEYS or np.any(t.power * t.share)]
    rating = run_limit(run)
    resistance = supply_resistance(run)
    per_leg = [_leg(run, things, leg, resistance) for leg in range(2 if consumers.two_legs(run) else 1)]
    continuous = [shore.largest_running_mean(leg["total"], run.step_seconds) for leg in per_leg]
    second = len(per_leg) == 2
    heavier = continuous[1] > continuous[0] if second else np.zeros_like(continuous[0], dtype=bool)

    def of_leg(name: str) -> Array:
        return np.where(heavier, per_leg[-1][name], per_leg[0][name]) if second else per_leg[0][name]

    lasting = np.where(heavier, continuous[-1], continuous[0])
    total = of_leg("total")
    contact = run.number("power.shore.contact_resistance")
    lost = sum(leg["square"] for leg in per_leg) * (cord_resistance(run) + contact)
    hot = shore.largest_running_mean(of_leg("square"), run.step_seconds)
    used = sum(thing.power * thing.share for thing in things)
    figures = {
        "power.shore_current": total,
        "power.shore_peak": total,
        "power.shore_continuous": lasting,
        "power.shore_together": of_leg("together"),
        "power.shore_limit": rating,
        "power.inlet_share": lasting / rating,
        "power.inlet_voltage": of_leg("volts"),
        "power.start_peak": of_leg("start"),
        "power.start_voltage": np.maximum(consumers.leg_voltage(run) - resistance * of_leg("start"), 0.0),
        "power.contact_heat": shore.contact_heat(np.sqrt(hot), contact),
        "power.energy_per_day": used + lost,
    }
    for thing in things:
        figures[f"power.load_current.{thing.key}"] = of_leg(f"mean.{thing.key}")
        figures[f"power.running_current.{thing.key}"] = of_leg(f"running.{thing.key}")
    return figures


def run_limit(run: Run) -> Array:
    """What holds, A per leg: the least of post breaker, adapter, cord, inlet and main breaker."""
    names = ["inlet_current", "post_breaker", "main_breaker", "cord_current"]
    if run.has("power.shore.adapter_current"):
        names.append("adapter_current")
    return shore.least_rating(run.number(f"power.shore.{name}") for name in names)


def _leg(run: Run, things: list[consumers.OnShore], leg: int, resistance: Array) -> dict[str, Array]:
    """Currents and volts of one leg: mean and running by thing, their sum, what is on at once.

    Each leg as if its current came back by the neutral: where the other leg balances it, less volts are
    lost than is said.
    """
    zero = np.zeros((1, run.steps))
    apparent = sum((t.apparent * t.share * t.legs[leg] for t in things), zero)
    conductance = sum((t.conductance * t.share * t.legs[leg] for t in things), zero)
    volts = shore.onboard_voltage(consumers.leg_voltage(run), resistance, apparent, conductance)
    found: dict[str, Array] = {"volts": volts}
    total = zero
    running: list[Array] = []
    drawn: list[Array] = []
    for thing in things:
        part = thing.legs[leg]
        amps = part * (thing.apparent / volts + thing.conductance * volts)
        drawn.append(amps)
        mean = amps * thing.share
        found[f"mean.{thing.key}"] = mean
        ever = thing.on.max(axis=-1)
        found[f"running.{thing.key}"] = amps * ever * (thing.share > 0)
        running.append(found[f"running.{thing.key}"])
        total = total + mean
    found["total"] = total
    found["square"] = shore.mean_square_current(total, drawn, [thing.share for thing in things])
    on = [thing.on for thing in things]
    found["together"] = np.maximum(loads.largest_together(running, on), total)
    others = [i for i, thing in enumerate(things) if thing.key != "air_conditioner"]
    unit = next((t for t in things if t.key == "air_conditioner"), None)
    found["start"] = found["together"]
    if unit is not None and unit.legs[leg] > 0:
        rest = loads.largest_together([running[i] for i in others], [on[i] for i in others])
        starts = (unit.share > 0) * run.figure("climate.start_current")
        found["start"] = np.maximum(rest + starts, found["together"])
    return found


def _air_conditioner(run: Run) -> list[consumers.OnShore]:
    share = run.figure("climate.run_share")
    amps, supply = run.figure("climate.unit_current"), run.figure("power.supply_voltage")
    legs = (0.5, 0.5) if consumers.spans_both_legs(run) else (1.0, 0.0)
    apparent = amps * supply
    always = np.ones((run.steps, loads.SLOTS))
    power = run.figure("climate.unit_power")
    return [
        consumers.OnShore("air_conditioner", power, apparent, np.zeros_like(apparent), share, always, legs)
    ]


def _through_charger(run: Run) -> list[consumers.OnShore]:
    """The ice box, and the rest of the direct current with the recharge, as shore sees them."""
    efficiency = run.number("power.charger.efficiency")
    factor = run.number("power.charger.power_factor")
    on_two = consumers.two_legs(run) and run.text("power.charger.leg", "two") == "two"
    legs = (0.0, 1.0) if on_two else (1.0, 0.0)
    volts = CHARGING_VOLTS[consumers.bank_chemistry(run)] * consumers.bank_nominal(run) / 12.0
    most = run.number("power.charger.current")
    drawn = consumers.bank_loads(run, at_dock=True)
    cold = next(thing for thing in drawn if thing.key == "ice_box")
    rest = sum(thing.power * thing.share for thing in drawn if thing.key != "ice_box")
    wanted = (rest + cold.power * cold.share) / volts
    # More than the charger gives comes out of the bank, not from shore.
    served = np.minimum(1.0, most / np.maximum(wanted, 1e-9))
    other = rest * served + _recharge(run, wanted, most) * volts
    none = np.zeros_like(efficiency)
    always = np.ones((run.steps, loads.SLOTS))
    box = cold.power * served / efficiency
    bulk = other / efficiency
    return [
        consumers.OnShore("ice_box", box, box / factor, none, cold.share, always, legs),
        consumers.OnShore("charger", bulk, bulk / factor, none, np.ones(run.steps), always, legs),
    ]


def _recharge(run: Run, other: Array, most: Array) -> Array:
    """Amps into a bank that came in low, from the hour of plugging in, (draws, steps)."""
    missing = run.number("power.bank.recharge", 0.0)
    if not run.has("power.bank") or not np.any(missing):
        return np.zeros((1, run.steps))
    hour, minute = run.text("power.bank.recharge_from", "17:00").split(":")
    first = _first_step(run, int(hour) + int(minute) / 60)
    rolled = np.roll(np.broadcast_to(other, (run.draws, run.steps)), -first, axis=-1)
    amps = bank.recharge_currents(
        missing,
        rolled,
        most,
        run.number("power.bank.capacity") * run.number("power.bank.health"),
        chemistry=consumers.bank_chemistry(run),
        efficiency=run.number("power.bank.charge_efficiency"),
        step_seconds=run.step_seconds,
    )
    return np.roll(amps, first, axis=-1)


def _first_step(run: Run, hour: float) -> int:
    """The step in which a clock hour lies."""
    width = run.step_seconds / 3600
    return int(np.argmin((run.hours + width / 2 - hour - 1e-9) % 24.0))


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
    # The least around dawn: from sunset to the next noon.
    to_noon = max(int(np.sum((run.hours - run.hours[first]) % 24.0 <= _hours_to_noon(run, first))), 1)
    dawn = np.min(states[:, :to_noon], axis=-1, keepdims=True)
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
