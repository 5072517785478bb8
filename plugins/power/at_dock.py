"""Shore power over the day: the stack by load, what holds, volts, energy and what it costs."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power import bank, consumers, loads, shore
from plugins.power.estimates import cord_resistance, supply_resistance
from plugins.power.tables import CHARGING_VOLTS, DIVERSITY

Array = NDArray[np.float64]
Figures = Mapping[str, Array]
DAY = 86_400.0


def at_shore(run: Run) -> Figures:
    """Shore power over the day: the current stacked by load, what holds, volts, energy.

    The stack is of the leg that carries more over three hours, draw by draw; the most at once, the
    largest hour, the start, the pairs and the least volts are of whichever leg has them.
    """
    things = [*_air_conditioner(run), *_through_charger(run), *consumers.shore_loads(run)]
    if run.text("power.galley_fuel", "electric") == "electric":
        meal = consumers.galley(run)
        nothing = np.zeros_like(meal.power)
        things.append(consumers.OnShore("galley", meal.power, meal.power, nothing, meal.share, meal.on))
    things.append(consumers.unlisted(run))
    things = [t for t in things if t.key not in consumers.OWN_KEYS or np.any(t.power * t.share)]
    rating = run_limit(run)
    resistance = supply_resistance(run)
    volts = _volts(run, things, resistance)
    per_leg = [_leg(run, things, leg, at) for leg, at in enumerate(volts)]
    continuous = [shore.largest_running_mean(leg["total"], run.step_seconds) for leg in per_leg]
    second = len(per_leg) == 2
    heavier = continuous[1] > continuous[0] if second else np.zeros_like(continuous[0], dtype=bool)

    def of_leg(name: str) -> Array:
        return np.where(heavier, per_leg[-1][name], per_leg[0][name]) if second else per_leg[0][name]

    def most(name: str) -> Array:
        return np.maximum(per_leg[0][name], per_leg[1][name]) if second else per_leg[0][name]

    lasting = np.where(heavier, continuous[-1], continuous[0])
    total = of_leg("total")
    contact = run.number("power.shore.contact_resistance")
    squares = per_leg[0]["square"]
    if second:
        # Each hot wire has half of the way, and the neutral carries the difference of the legs.
        both = per_leg[0]["square"] + per_leg[1]["square"]
        squares = both - per_leg[0]["total"] * per_leg[1]["total"]
    lost = squares * (cord_resistance(run) + contact)
    hot = np.maximum.reduce(
        [shore.largest_running_mean(leg["square"], run.step_seconds) for leg in per_leg]
    )
    dips = [np.maximum(leg["source"] - resistance * leg["start"], 0.0) for leg in per_leg]
    used = sum(thing.power * thing.share for thing in things)
    figures = {
        "power.shore_current": total,
        "power.shore_peak": most("total"),
        "power.shore_continuous": lasting,
        "power.shore_together": most("together"),
        "power.shore_limit": rating,
        "power.inlet_share": lasting / rating,
        "power.inlet_voltage": np.minimum.reduce(volts),
        "power.start_peak": most("start"),
        "power.start_voltage": np.minimum.reduce(dips),
        "power.contact_heat": shore.contact_heat(np.sqrt(hot), contact),
        "power.energy_per_day": used + lost,
        "power.nameplate_current": np.maximum.reduce([_nameplate(things, leg) for leg in per_leg]),
    }
    if run.has("power.shore.tariff"):
        figures["power.cost_per_day.shore"] = (used + lost) * run.number("power.shore.tariff")
    for leg in per_leg:
        for name, both in _pairs(things, leg, continuous_floor(rating)).items():
            figures[name] = np.maximum(figures[name], both) if name in figures else both
    for thing in things:
        figures[f"power.load_current.{thing.key}"] = of_leg(f"mean.{thing.key}")
        figures[f"power.running_current.{thing.key}"] = most(f"running.{thing.key}")
        if thing.key not in consumers.OWN_KEYS:
            figures[f"power.load_hours.{thing.key}"] = np.mean(thing.share, axis=-1, keepdims=True) * DAY
    return figures


def run_limit(run: Run) -> Array:
    """What holds, A per leg: the least of post breaker, adapter, cord, inlet and main breaker."""
    names = ["inlet_current", "post_breaker", "main_breaker", "cord_current"]
    if run.has("power.shore.adapter_current"):
        names.append("adapter_current")
    return shore.least_rating(run.number(f"power.shore.{name}") for name in names)


def continuous_floor(rating: Array) -> float:
    """The least amps that any draw's continuous line stands at."""
    return float(np.min(shore.continuous_limit(rating)))


def _pairs(things: list[consumers.OnShore], leg: Mapping[str, Array], least: float) -> dict[str, Array]:
    """What two things take of one leg when both are on, in the steps in which that can be, of the pairs
    that can reach the line in some draw: their running amps, where their hours touch."""
    found: dict[str, Array] = {}
    for i, one in enumerate(things):
        mine = leg[f"running.{one.key}"]
        for other in things[i + 1 :]:
            theirs = leg[f"running.{other.key}"]
            if float(mine.max() + theirs.max()) <= least:
                continue
            meet = np.any((one.on > 0) & (other.on > 0), axis=-1)
            both = (mine + theirs) * (meet & (mine > 0) & (theirs > 0))
            if float(both.max()) > least:
                found[f"power.pair_current.{one.key}.{other.key}"] = both
    return found


def _nameplate(things: list[consumers.OnShore], leg: Mapping[str, Array]) -> Array:
    """Common practice, no source: the largest in full and `DIVERSITY` of the rest, (draws, 1)."""
    if not things:
        return np.zeros((1, 1))
    most = [leg[f"running.{thing.key}"].max(axis=-1, keepdims=True) for thing in things]
    largest = np.max(np.broadcast_arrays(*most), axis=0)
    return np.asarray(largest + DIVERSITY * (sum(most) - largest))


def _volts(run: Run, things: list[consumers.OnShore], resistance: Array) -> tuple[Array, ...]:
    """Volts on board of each leg at its mean current."""
    zero = np.zeros((1, run.steps))
    source = consumers.leg_voltage(run)

    def sums(leg: int) -> tuple[Array, Array]:
        return (
            sum((t.apparent * t.share * t.legs[leg] for t in things), zero),
            sum((t.conductance * t.share * t.legs[leg] for t in things), zero),
        )

    if not consumers.two_legs(run):
        return (shore.onboard_voltage(source, resistance, *sums(0)),)
    (one, two), (elements_one, elements_two) = zip(sums(0), sums(1), strict=True)
    return shore.split_phase_voltages(source, resistance, (one, two), (elements_one, elements_two))


def _leg(run: Run, things: list[consumers.OnShore], leg: int, volts: Array) -> dict[str, Array]:
    """Currents of one leg at its volts: mean and running by thing, their sum, what is on at once."""
    zero = np.zeros((1, run.steps))
    found: dict[str, Array] = {"volts": volts, "source": consumers.leg_voltage(run)}
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
        starts = (unit.share > 0) * run.figure("climate.start_current") * run.number("power.start_ratio")
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
    """The ice box, and the rest of the direct current with the recharge, as shore sees them.

    What the panels give at the dock is taken off first; what they give beyond that fills a low bank.
    """
    efficiency = run.number("power.charger.efficiency")
    factor = run.number("power.charger.power_factor")
    on_two = consumers.two_legs(run) and run.text("power.charger.leg", "two") == "two"
    legs = (0.0, 1.0) if on_two else (1.0, 0.0)
    volts = CHARGING_VOLTS[consumers.bank_chemistry(run)] * consumers.bank_nominal(run) / 12.0
    most = run.number("power.charger.current")
    drawn = consumers.bank_loads(run, at_dock=True)
    cold = next(thing for thing in drawn if thing.key == "ice_box")
    rest = sum(thing.power * thing.share for thing in drawn if thing.key != "ice_box")
    asked = (rest + cold.power * cold.share) / volts
    sun = np.zeros((1, run.steps))
    if run.has("power.bank"):
        sun = run.figure("power.solar_amp_hours_per_day") * consumers.working_voltage(run) / volts
    wanted = np.maximum(asked - sun, 0.0)
    spare = np.maximum(sun - asked, 0.0)
    # More than the charger gives comes out of the bank, not from shore.
    served = np.minimum(wanted, most) / np.maximum(asked, 1e-9)
    filled = _recharge(run, wanted, most, spare)
    other = rest * served + np.maximum(filled - spare, 0.0) * volts
    none = np.zeros_like(efficiency)
    always = np.ones((run.steps, loads.SLOTS))
    box = cold.power * served / efficiency
    bulk = other / efficiency
    return [
        consumers.OnShore("ice_box", box, box / factor, none, cold.share, always, legs),
        consumers.OnShore("charger", bulk, bulk / factor, none, np.ones(run.steps), always, legs),
    ]


def _recharge(run: Run, other: Array, most: Array, sun: Array) -> Array:
    """Amps into a bank that came in low, from the hour of plugging in, (draws, steps): of the charger
    what ``other`` leaves of its ``most``, and of the sun what nothing else takes."""
    missing = run.number("power.bank.recharge", 0.0)
    if not run.has("power.bank") or not np.any(missing):
        return np.zeros((1, run.steps))
    hour, minute = run.text("power.bank.recharge_from", "17:00").split(":")
    first = _first_step(run, int(hour) + int(minute) / 60)
    # What the sun adds stands as so much less of what the rest takes from the charger.
    rolled = np.roll(np.broadcast_to(other - sun, (run.draws, run.steps)), -first, axis=-1)
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
