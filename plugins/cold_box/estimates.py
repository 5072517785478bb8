"""From the boat's inputs and the day's weather to the figures of the ice box."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.environment.sun import plane_irradiance
from console.properties import air
from console.properties.refrigerants import refrigerant
from plugins.cold_box import frost
from plugins.cold_box.air_exchange import Leaks, seal_leakage_area
from plugins.cold_box.box import Balance, Box, Opening, balance
from plugins.cold_box.compressor import (
    Compressor,
    compressor_from_capacity,
    compressor_from_power,
    condensing_at,
    running_share_allowed,
)
from plugins.cold_box.plate import Machine, Plate
from plugins.cold_box.tables import (
    FLOW_BY_CHARGE,
    FOOD_DENSITY,
    FOOD_HEAT,
    LINER_HEAT,
    LONGEST_INTERVAL,
    USUAL_VOLTS,
    WETTED_BY_CHARGE,
)
from plugins.cold_box.temperature import settle
from plugins.cold_box.walls import box_conductances, hull_skin_temperature, insulation_conductivity

Array = NDArray[np.float64]

CALLS_FULL = 1.5
"""K above the set-point at which a thermostat calls for all there is, whatever the last hour was."""

_HERE = "cold_box."


def box_of(run: Run) -> Box:
    """The box of the boat's inputs in the run's surroundings."""

    def n(path: str) -> Array:
        return run.number(_HERE + path)

    length, width, depth = n("inside.length"), n("inside.width"), n("inside.depth")
    is_door = run.text(_HERE + "opening") == "door"
    face = (length, depth) if is_door else (length, width)
    mouth_width = np.minimum(n("opening_width"), face[0])
    mouth_height = np.minimum(n("opening_height"), face[1])
    conductivity = insulation_conductivity(n("conductivity"), n("wet_share"))
    walls = box_conductances(
        length, width, depth, mouth_width * mouth_height, n("insulation"), n("lid_insulation"),
        conductivity, n("bridges"), n("edge_loss"), 2.0 * (mouth_width + mouth_height),
        n("hull_side_share"),
    )  # fmt: skip
    failing = n("seal.failing_share")
    rise = mouth_height if is_door else np.minimum(n("seal.slope"), mouth_height)
    middle = 0.5 * depth if is_door else depth
    drop, bore = n("drain_pipe.drop"), n("drain_pipe.bore")
    leaks = Leaks(
        edge=failing * mouth_width, side=2.0 * failing * mouth_height,
        top=middle + 0.5 * rise, bottom=middle - 0.5 * rise,
        gap=n("seal.gap"), path=n("seal.path"),
        drain_area=0.25 * np.pi * bore * bore * n("drain_pipe.open_share"),
        drain_bore=bore, drain_length=drop, drain_level=-drop,
    )  # fmt: skip
    charge = n("compressor.charge")
    cabin, cabin_wet = _cabin(run)
    return Box(
        walls=walls,
        opening=Opening(
            is_door, mouth_width, mouth_height, n("openings"), n("open_seconds"), n("door_flow"),
            n("swap_share"),
        ),
        leaks=leaks,
        breathing=n("seal.breathing"),
        air_volume=length * width * depth * (1.0 - n("fill_share")),
        warm_food=n("warm_food"),
        ice=n("ice"),
        food_water=n("food_water"),
        plate=_plate(run, charge),
        machine=_machine(run, charge, cabin),
        cabin=cabin,
        cabin_humidity_ratio=cabin_wet,
        hull=_hull(run),
    )  # fmt: skip


def _cabin(run: Run) -> tuple[Array, Array]:
    cabin = run.figure("climate.cabin_temperature")
    humidity = np.clip(run.figure("climate.cabin_humidity"), 0.0, 1.0)
    return cabin, air.humidity_ratio(cabin, humidity)


def _plate(run: Run, charge: Array) -> Plate:
    conductivity = frost.frost_conductivity(
        run.number("cold_box.plate.frost_density"), run.number("cold_box.plate.frost_conductivity")
    )
    return Plate(
        run.number("cold_box.plate.area") * charge**WETTED_BY_CHARGE,
        run.number("cold_box.plate.film"),
        frost.frost_resistance(run.number("cold_box.plate.frost"), conductivity),
        run.number("cold_box.plate.offset"),
    )


def _compressor(run: Run) -> Compressor:
    fluid = refrigerant(run.text("cold_box.compressor.refrigerant"))
    watts = (
        run.number("cold_box.compressor.current") * USUAL_VOLTS * run.number("cold_box.compressor.voltage")
    )
    if run.has("cold_box.compressor.capacity"):
        rating = run.text("cold_box.compressor.capacity_at")
        return compressor_from_capacity(fluid, run.number("cold_box.compressor.capacity"), rating, watts)
    return compressor_from_power(fluid, watts, run.number("cold_box.compressor.efficiency"))


def _machine(run: Run, charge: Array, cabin: Array) -> Machine:
    volts = run.number("cold_box.compressor.feed_voltage")
    compressor = _compressor(run)
    return Machine(
        compressor,
        high=condensing_at(compressor.refrigerant, _condensing(run, cabin)),
        allowed=running_share_allowed(volts, run.number("cold_box.compressor.cut_out")),
        flow=charge**FLOW_BY_CHARGE,
        slowest=_slowest(run),
    )


def _condensing(run: Run, cabin: Array) -> Array:
    approach = run.number("cold_box.compressor.approach")
    if run.text("cold_box.compressor.cooled_by") == "water":
        return run.figure("weather.seawater_temperature") + approach
    return cabin + run.number("cold_box.compressor.locker_rise") + approach


def _slowest(run: Run) -> Array:
    if run.text("cold_box.compressor.control") == "variable":
        return run.number("cold_box.compressor.slowest_speed")
    return np.ones((1, 1))


def _hull(run: Run) -> Array:
    side = -0.5 * np.pi if run.text("cold_box.hull_side") == "port" else 0.5 * np.pi
    direct, diffuse = plane_irradiance(
        0.5 * np.pi, run.number("boat.heading") + side, run.figure("weather.sun_zenith"),
        run.figure("weather.sun_azimuth"), run.figure("weather.direct_normal"),
        run.figure("weather.diffuse_horizontal"),
    )  # fmt: skip
    return hull_skin_temperature(
        run.figure("weather.outdoor_temperature"), run.figure("weather.seawater_temperature"),
        direct + diffuse, run.number("cold_box.hull_absorptance"),
        run.number("cold_box.hull_below_water"),
    )  # fmt: skip


def _heat_capacity(run: Run) -> Array:
    """J/K of what must warm when the box does."""
    volume = (
        run.number("cold_box.inside.length")
        * run.number("cold_box.inside.width")
        * run.number("cold_box.inside.depth")
    )
    return volume * run.number("cold_box.fill_share") * FOOD_DENSITY * FOOD_HEAT + LINER_HEAT


def temperature(run: Run) -> Mapping[str, Array]:
    """What the box holds through the day, and the heat its contents take up."""
    held, stored = settle(
        box_of(run), run.number("cold_box.set_point"), _heat_capacity(run), run.step_seconds,
        (run.draws, run.steps),
    )  # fmt: skip
    return {"cold_box.box_temperature": held, "cold_box.stored_heat": stored}


def crossing(run: Run) -> Mapping[str, Array]:
    """Heat, air and water across the box at the temperature it holds, and what that takes."""
    box = box_of(run)
    inside, stored = run.figure("cold_box.box_temperature"), run.figure("cold_box.stored_heat")
    made = _running(box, inside, stored, run.number("cold_box.set_point"))
    amps = made.power / run.number("cold_box.compressor.feed_voltage")
    density = run.number("cold_box.plate.frost_density")
    growth = frost.frost_thickness_rate(made.frost, density, box.plate.area)
    limit, now = run.number("cold_box.plate.frost_limit"), run.number("cold_box.plate.frost")
    failing = 2.0 * box.leaks.edge + box.leaks.side
    cabin_density = air.density(box.cabin, box.cabin_humidity_ratio)
    return {
        "cold_box.heat.walls": made.wall_opening + made.wall_hull + made.wall_sides + made.wall_bottom,
        "cold_box.heat.seal": made.seal,
        "cold_box.heat.openings": made.openings,
        "cold_box.heat.contents": made.contents,
        "cold_box.heat.drain": made.drain,
        "cold_box.heat_total": made.total,
        "cold_box.through.opening": made.wall_opening,
        "cold_box.through.hull": made.wall_hull,
        "cold_box.through.sides": made.wall_sides,
        "cold_box.through.bottom": made.wall_bottom,
        "cold_box.air_exchange": made.air_seal + made.air_drain + made.air_openings,
        "cold_box.air.seal": made.air_seal,
        "cold_box.air.drain": made.air_drain,
        "cold_box.air.openings": made.air_openings,
        "cold_box.leakage_area": seal_leakage_area(box.leaks.gap, box.leaks.path, failing, cabin_density),
        "cold_box.humidity": air.relative_humidity(inside, made.humidity_ratio),
        "cold_box.frost_rate": made.frost,
        "cold_box.drip_rate": made.drips,
        "cold_box.frost_thickness_rate": growth,
        "cold_box.days_to_defrost": days_to_defrost(limit, now, growth),
        "cold_box.frost_thickness": now,
        "cold_box.openings_per_day": box.opening.openings,
        "cold_box.terminal_voltage": run.number("cold_box.compressor.feed_voltage"),
        "cold_box.locker_air": box.cabin + run.number("cold_box.compressor.locker_rise"),
        "cold_box.cabin_air": box.cabin,
        "cold_box.plate_temperature": made.plate,
        "cold_box.cooling": made.cooling,
        "cold_box.cooling_per_watt": made.cooling / np.maximum(made.power, 1e-6),
        "cold_box.run_share": made.run_share,
        "cold_box.compressor_current": amps,
        "cold_box.amp_hours_per_day": made.run_share * amps,
    }


def _running(box: Box, inside: Array, stored: Array, set_point: Array) -> Balance:
    """As the thermostat would have it: holding where it can, all it may where it cannot."""
    held = balance(box, inside, -stored)
    allowed = box.machine.allowed
    calls = (inside - set_point > CALLS_FULL) & (held.wanted_share < allowed * (1.0 - 1e-4))
    full = calls | (held.wanted_share > allowed * (1.0 + 1e-6))
    if not np.any(full):
        return held
    driven = balance(box, inside, full=True)
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
