"""The box of the boat's inputs, in the surroundings of a run or of the days it was measured in."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.contract import Run
from console.environment.sun import plane_irradiance
from console.properties import air
from console.properties.refrigerants import refrigerant
from plugins.cold_box import frost
from plugins.cold_box.air_exchange import Leaks
from plugins.cold_box.box import Box, Opening
from plugins.cold_box.compressor import (
    Compressor,
    compressor_from_capacity,
    compressor_from_power,
    condensing_at,
    running_share_allowed,
)
from plugins.cold_box.divider import Divider
from plugins.cold_box.plate import Machine, Plate
from plugins.cold_box.tables import (
    FILM_INSIDE,
    FLOW_BY_CHARGE,
    FOOD_DENSITY,
    FOOD_HEAT,
    LEAST_FROST_DENSITY,
    LINER_HEAT,
    LINER_THICKNESS,
    MOST_FROST_DENSITY,
    PLYWOOD_CONDUCTIVITY,
    USUAL_VOLTS,
    WETTED_BY_CHARGE,
)
from plugins.cold_box.walls import (
    box_conductances,
    hull_skin_temperature,
    insulation_conductivity,
    transmittance_of_layers,
)

Array = NDArray[np.float64]

LEAST_FAILING = 0.005
"""Share of the edge a fitted leak is a multiple of where the file has none failing."""

_HERE = "cold_box."


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What is around a box: cabin (K), its humidity ratio, the hull beside the box (K), and the
    air or water that cools the condenser (K)."""

    cabin: Array
    humidity_ratio: Array
    hull: Array
    cooled_by: Array


def surroundings_of(run: Run) -> Surroundings:
    """Those of the run's own hours."""
    cabin = run.figure("climate.cabin_temperature")
    humidity = np.clip(run.figure("climate.cabin_humidity"), 0.0, 1.0)
    return Surroundings(
        cabin, air.humidity_ratio(cabin, humidity), hull_beside(run), _cooled_by(run, cabin)
    )


def _cooled_by(run: Run, cabin: Array) -> Array:
    if run.text(_HERE + "compressor.cooled_by") == "water":
        return run.figure("weather.seawater_temperature")
    return cabin + run.number(_HERE + "compressor.locker_rise")


def box_of(run: Run) -> Box:
    """The box of the boat's inputs in the run's surroundings, as fitted to what was measured."""
    box = box_in(run, surroundings_of(run))
    if not (run.has("cold_box.week.amp_hours") or run.has("cold_box.melt.amount")):
        return box
    walls, leak = (run.figure(f"cold_box.{name}_factor")[:, :1] for name in ("wall", "leak"))
    return fitted(box, walls, leak)  # one factor for all hours


def fitted(box: Box, wall_factor: Array, leak_factor: Array) -> Box:
    """That box with its conductances times one factor and what leaks in while it is shut (the
    failing length of its seal, the air breathed) times another."""
    leaks = box.leaks
    return replace(
        box,
        walls=box.walls.times(wall_factor),
        leaks=leaks.longer(leak_factor),
        breathing=box.breathing * leak_factor,
        beyond=None if box.beyond is None else fitted(box.beyond, wall_factor, leak_factor),
    )  # fmt: skip


def box_in(run: Run, around: Surroundings) -> Box:
    """The box of the boat's inputs in some surroundings."""

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
    if run.has("cold_box.melt.amount"):
        failing = np.maximum(failing, LEAST_FAILING)
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
    missing = n("seal.missing_share")
    if np.any(missing > 0.0):
        bare = replace(
            leaks, edge=missing * mouth_width, side=2.0 * missing * mouth_height, gap=n("seal.missing_gap")
        )
        leaks = replace(leaks, bare=bare)
    charge = n("compressor.charge")
    whole = Box(
        walls=walls,
        opening=Opening(
            is_door, mouth_width, mouth_height, n("openings"), n("open_seconds"), n("door_flow"),
            n("swap_share"),
        ),
        leaks=leaks,
        breathing=n("seal.breathing"),
        draught=n("seal.draught"),
        air_volume=length * width * depth * (1.0 - n("fill_share")),
        warm_food=n("warm_food"),
        ice=n("ice"),
        food_water=n("food_water"),
        plate=_plate(run, charge),
        machine=_machine(run, charge, around),
        cabin=around.cabin,
        cabin_humidity_ratio=around.humidity_ratio,
        hull=around.hull,
    )  # fmt: skip
    return divided(run, whole, width * depth) if run.has("cold_box.divider") else whole


def divided(run: Run, whole: Box, section: Array) -> Box:
    """That box in two, cut across its length; ``section`` (m²) is what the divider spans.

    Walls, hull side, lid and seal go by the freezer's share of the box, what is opened and put
    in by its use. The drain is the fridge's.
    """

    def n(path: str) -> Array:
        return run.number("cold_box.divider." + path)

    part, use = n("freezer_share"), n("freezer_use")
    conductivity = run.number("cold_box.conductivity")
    layers: list[tuple[ArrayLike, ArrayLike]] = [
        (LINER_THICKNESS, PLYWOOD_CONDUCTIVITY),
        (n("insulation"), conductivity),
    ]
    wall = transmittance_of_layers(layers, FILM_INSIDE, FILM_INSIDE) * section
    divider = Divider(wall, n("holes"), n("holes_apart"), n("fan_flow"), n("fridge_set_point"))
    beyond = _part(whole, 1.0 - part, 1.0 - use, whole.leaks.drain_area)
    return replace(_part(whole, part, use, 0.0 * whole.leaks.drain_area), divider=divider, beyond=beyond)


def _part(whole: Box, part: Array, use: Array, drain: Array) -> Box:
    leaks, mouth = whole.leaks, whole.opening
    return replace(
        whole,
        walls=whole.walls.times(part),
        opening=replace(mouth, width=mouth.width * part, openings=mouth.openings * use),
        leaks=replace(leaks.longer(part), drain_area=drain),
        air_volume=whole.air_volume * part,
        warm_food=whole.warm_food * use, ice=whole.ice * use, food_water=whole.food_water * use,
    )  # fmt: skip


def _plate(run: Run, charge: Array) -> Plate:
    conductivity = frost.frost_conductivity(
        frost_density(run), run.number("cold_box.plate.frost_conductivity")
    )
    return Plate(
        run.number("cold_box.plate.area") * charge**WETTED_BY_CHARGE,
        run.number("cold_box.plate.film"),
        frost.frost_resistance(run.number("cold_box.plate.frost"), conductivity),
        run.number("cold_box.plate.offset"),
    )


def frost_density(run: Run) -> Array:
    """kg/m³: as stated; else by the melt-water over area and thickness, when both were measured."""
    stated = run.given("cold_box.plate.frost_density")
    if stated or not (run.has("cold_box.melt.amount") and run.has("cold_box.melt.thickness")):
        return run.number("cold_box.plate.frost_density")
    plain = run.untouched
    volume = plain.number("cold_box.melt.thickness") * plain.number("cold_box.plate.area")
    weighed = plain.number("cold_box.melt.amount") / volume
    return np.clip(weighed, LEAST_FROST_DENSITY, MOST_FROST_DENSITY)


def _compressor(run: Run) -> Compressor:
    fluid = refrigerant(run.text("cold_box.compressor.refrigerant"))
    watts = (
        run.number("cold_box.compressor.current") * USUAL_VOLTS * run.number("cold_box.compressor.voltage")
    )
    fall = run.number("cold_box.compressor.efficiency_fall")
    if run.has("cold_box.compressor.capacity"):
        rating = run.text("cold_box.compressor.capacity_at")
        capacity = run.number("cold_box.compressor.capacity")
        return compressor_from_capacity(fluid, capacity, rating, watts, fall)
    return compressor_from_power(fluid, watts, run.number("cold_box.compressor.efficiency"), fall)


def _machine(run: Run, charge: Array, around: Surroundings) -> Machine:
    volts = run.number("cold_box.compressor.feed_voltage")
    compressor = _compressor(run)
    condensing = around.cooled_by + run.number("cold_box.compressor.approach")
    return Machine(
        compressor,
        high=condensing_at(compressor.refrigerant, condensing),
        allowed=running_share_allowed(volts, run.number("cold_box.compressor.cut_out")),
        flow=charge**FLOW_BY_CHARGE,
        slowest=_slowest(run),
    )


def _slowest(run: Run) -> Array:
    if run.text("cold_box.compressor.control") == "variable":
        return run.number("cold_box.compressor.slowest_speed")
    return np.ones((1, 1))


def hull_beside(run: Run, inputs: Run | None = None) -> Array:
    """K of the hull beside the box, hour by hour; ``inputs`` are others than the run's own."""
    own = inputs or run
    side = -0.5 * np.pi if own.text("cold_box.hull_side") == "port" else 0.5 * np.pi
    direct, diffuse = plane_irradiance(
        0.5 * np.pi, own.number("boat.heading") + side, run.figure("weather.sun_zenith"),
        run.figure("weather.sun_azimuth"), run.figure("weather.direct_normal"),
        run.figure("weather.diffuse_horizontal"),
    )  # fmt: skip
    return hull_skin_temperature(
        run.figure("weather.outdoor_temperature"), run.figure("weather.seawater_temperature"),
        direct + diffuse, own.number("cold_box.hull_absorptance"),
        own.number("cold_box.hull_below_water"),
    )  # fmt: skip


def heat_capacity(run: Run) -> Array:
    """J/K of what must warm when the box does; of a divided one the whole of it."""
    return contents_mass(run) * FOOD_HEAT + LINER_HEAT


def contents_mass(run: Run) -> Array:
    """kg of food and drink in the box."""
    volume = (
        run.number("cold_box.inside.length")
        * run.number("cold_box.inside.width")
        * run.number("cold_box.inside.depth")
    )
    return volume * run.number("cold_box.fill_share") * FOOD_DENSITY
