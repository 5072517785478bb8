"""From the boat's inputs and the day's weather to the figures of the ice box."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air
from plugins.cold_box import frost
from plugins.cold_box.air_exchange import seal_leakage_area
from plugins.cold_box.box import Balance, Box, balance
from plugins.cold_box.build import (
    box_of,
    contents_mass,
    frost_density,
    heat_capacity,
)
from plugins.cold_box.holdover import seconds_to_line
from plugins.cold_box.tables import (
    FOOD_RULE,
    FOOD_RULE_HOT,
    FOOD_SAFE,
    FREEZER_SOFT,
    HOT_AIR,
    LONGEST_INTERVAL,
    WETTED_BY_CHARGE,
    ZERO_CELSIUS,
)
from plugins.cold_box.temperature import settle, settle_divided

Array = NDArray[np.float64]

CALLS_FULL = 1.5
"""K above the set-point at which a thermostat calls for all there is, whatever the last hour was."""

FREEZER_UNDER = ZERO_CELSIUS - 3.0
"""K: set colder, a box is a freezer."""


def temperature(run: Run) -> Mapping[str, Array]:
    """What the box holds through the day, and the heat its contents take up."""
    box, set_point, shape = box_of(run), run.number("cold_box.set_point"), (run.draws, run.steps)
    capacity = heat_capacity(run)
    if box.beyond is None:
        held, stored, wanted = settle(box, set_point, capacity, run.step_seconds, shape)
        beyond = held
    else:
        part = run.number("cold_box.divider.freezer_share")
        both = (capacity * part, capacity * (1.0 - part))
        held, stored, wanted, beyond = settle_divided(box, set_point, both, run.step_seconds, shape)
    return {
        "cold_box.box_temperature": held, "cold_box.stored_heat": stored, "cold_box.wanted_share": wanted,
        "cold_box.fridge_temperature": beyond,
    }  # fmt: skip


def settled(run: Run) -> Mapping[str, Array]:
    """Where the box would stay in surroundings that last: its set-point, or what it falls short at.

    Through whole days that were stepped this is those days'; at single moments, where the box's
    temperature is what somebody read, it is what a fault that has been there for a while came to.
    """
    if run.steps % 24 == 0 and run.step_seconds == 3600.0:
        return {"cold_box.settled_temperature": run.figure("cold_box.box_temperature")}
    box, set_point = box_of(run), run.number("cold_box.set_point")
    nothing, shape = np.full((1, 1), 1e-6), (run.draws, run.steps)
    if box.beyond is None:
        held, _, _ = settle(box, set_point, nothing, 1.0, shape)
    else:
        held, _, _, _ = settle_divided(box, set_point, (nothing, nothing), 1.0, shape)
    return {"cold_box.settled_temperature": held}


def crossing(run: Run) -> Mapping[str, Array]:
    """Heat, air and water across the box at the temperature it holds, and what that takes."""
    box = box_of(run)
    inside, stored = run.figure("cold_box.box_temperature"), run.figure("cold_box.stored_heat")
    beyond = None if box.beyond is None else run.figure("cold_box.fridge_temperature")
    made = _running(box, inside, stored, run.number("cold_box.set_point"), beyond)
    feed = run.number("cold_box.compressor.feed_voltage")
    amps = made.power / feed
    fan = np.zeros(())
    if box.divider is not None and beyond is not None:
        fan = box.divider.fan_share(beyond) * run.number("cold_box.divider.fan_current")
    mean_amps = made.run_share * amps + fan
    growth = frost.frost_thickness_rate(made.frost, frost_density(run), box.plate.area)
    limit, now = run.number("cold_box.plate.frost_limit"), run.number("cold_box.plate.frost")
    cabin_density = air.density(box.cabin, box.cabin_humidity_ratio)
    walls = made.wall_opening + made.wall_hull + made.wall_sides + made.wall_bottom
    conductance = box.walls.total if box.beyond is None else box.walls.total + box.beyond.walls.total
    return {
        "cold_box.heat.walls": walls,
        "cold_box.heat.seal": made.seal,
        "cold_box.heat.openings": made.openings,
        "cold_box.heat.contents": made.contents,
        "cold_box.heat.drain": made.drain,
        "cold_box.heat_total": made.total,
        "cold_box.through.opening": made.wall_opening,
        "cold_box.through.hull": made.wall_hull,
        "cold_box.through.sides": made.wall_sides,
        "cold_box.through.bottom": made.wall_bottom,
        "cold_box.conductance": conductance,
        "cold_box.air_exchange": made.air_seal + made.air_drain + made.air_openings,
        "cold_box.air.seal": made.air_seal,
        "cold_box.air.drain": made.air_drain,
        "cold_box.air.openings": made.air_openings,
        "cold_box.divider_air": made.through_divider / cabin_density,
        "cold_box.water.seal": made.water_seal,
        "cold_box.water.drain": made.water_drain,
        "cold_box.water.openings": made.water_openings,
        "cold_box.water.food": made.water_food,
        "cold_box.leakage_area": _leakage_area(box, cabin_density),
        "cold_box.humidity": air.relative_humidity(inside, made.humidity_ratio),
        "cold_box.frost_rate": made.frost,
        "cold_box.drip_rate": made.drips,
        "cold_box.frost_thickness_rate": growth,
        "cold_box.frost_density": frost_density(run),
        "cold_box.young_frost_density": frost.fresh_frost_density(made.surface, made.plate),
        "cold_box.days_to_defrost": days_to_defrost(limit, now, growth),
        "cold_box.frost_thickness": now,
        "cold_box.openings_per_day": run.number("cold_box.openings"),
        "cold_box.terminal_voltage": feed,
        "cold_box.battery_voltage": run.number("cold_box.compressor.battery_voltage"),
        "cold_box.volts_allow": box.machine.allowed,
        "cold_box.failing_share": run.number("cold_box.seal.failing_share"),
        "cold_box.drain_open": run.number("cold_box.drain_pipe.open_share"),
        "cold_box.wetted_share": run.number("cold_box.compressor.charge") ** WETTED_BY_CHARGE,
        "cold_box.condensing_over_air": run.number("cold_box.compressor.approach"),
        "cold_box.locker_air": box.cabin + run.number("cold_box.compressor.locker_rise"),
        "cold_box.cabin_air": box.cabin,
        "cold_box.plate_temperature": made.plate,
        "cold_box.cooling": made.cooling,
        "cold_box.cooling_per_watt": made.cooling / np.maximum(made.power, 1e-6),
        "cold_box.run_share": made.run_share,
        "cold_box.compressor_current": amps,
        "cold_box.amp_hours_per_day": mean_amps,
        **_amps_by_way(made, walls, mean_amps),
    }


def _leakage_area(box: Box, density: Array) -> Array:
    """Of both sides of a divided box, and of what is missing as of what fails."""
    sides = (box,) if box.beyond is None else (box, box.beyond)
    parts = [part for side in sides for part in side.leaks.parts()]
    area: Array = sum(
        (seal_leakage_area(part.gap, part.path, part.failing, density) for part in parts), np.zeros(())
    )
    return area


def _amps_by_way(made: Balance, walls: Array, amps: Array) -> dict[str, Array]:
    """Each way's part of the amp-hours, by its share of the heat that comes in; what takes heat
    out (ice, a cold sea) has no part."""
    ways = {
        "walls": walls, "seal": made.seal, "drain": made.drain, "openings": made.openings,
        "contents": made.contents,
    }  # fmt: skip
    coming = {name: np.maximum(heat, 0.0) for name, heat in ways.items()}
    total = np.maximum(sum(coming.values(), np.zeros(())), 1e-9)
    return {f"cold_box.amp_hours.{name}": amps * heat / total for name, heat in coming.items()}


def standing(run: Run) -> Mapping[str, Array]:
    """How long the food keeps once the power stops, from how the box is and what is in it."""
    box = box_of(run)
    set_cold = run.number("cold_box.set_point") < FREEZER_UNDER
    start = run.figure("cold_box.box_temperature")
    mass, line = contents_mass(run), np.where(set_cold, FREEZER_SOFT, FOOD_SAFE)
    if box.beyond is not None:
        start, line = run.figure("cold_box.fridge_temperature"), np.asarray(FOOD_SAFE)
        mass = mass * (1.0 - run.number("cold_box.divider.freezer_share"))
    ice = run.number("cold_box.plate.frost") * frost_density(run) * box.plate.area
    seconds = seconds_to_line(box, mass, ice, start, line)
    # The guidance speaks of the air the food lies in; a box opened in a hot cabin is taken as that.
    hot = np.max(box.cabin, axis=-1, keepdims=True) > HOT_AIR
    kept = np.where(set_cold & (box.beyond is None), 0.0, np.where(hot, FOOD_RULE_HOT, FOOD_RULE))
    return {
        "cold_box.hours_to_food_line": seconds,
        "cold_box.hold_over": np.minimum(seconds + kept, LONGEST_INTERVAL),
    }


def _running(box: Box, inside: Array, stored: Array, set_point: Array, beyond: Array | None) -> Balance:
    """As the thermostat would have it: holding where it can, all it may where it cannot."""
    held = balance(box, inside, -stored, beyond=beyond)
    allowed = box.machine.allowed
    calls = (inside - set_point > CALLS_FULL) & (held.wanted_share < allowed * (1.0 - 1e-4))
    full = calls | (held.wanted_share > allowed * (1.0 + 1e-6))
    if not np.any(full):
        return held
    driven = balance(box, inside, full=True, beyond=beyond)
    return Balance(
        *(np.where(full, getattr(driven, f.name), getattr(held, f.name)) for f in fields(Balance))
    )


def days_to_defrost(limit: Array, now: Array, growth: Array) -> Array:
    """Seconds until the frost of ``now`` (m) reaches ``limit`` at the day's mean ``growth`` (m/s).

    0 when it has; at most a year, which stands for "not this season".
    """
    rate = np.mean(growth, axis=-1, keepdims=True)
    left = np.maximum(limit - now, 0.0)
    seconds: Array = np.minimum(left / np.maximum(rate, 1e-15), LONGEST_INTERVAL)
    return seconds
