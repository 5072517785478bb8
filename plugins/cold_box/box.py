"""The box's balance of heat and water at a box temperature, and the temperature it holds.

Everything runs through the plate: heat comes in by the walls, with air, and with food; vapour
comes in with air and food; while the compressor runs the plate takes both. For a box
temperature, `balance` finds the frost's surface temperature at which what reaches the plate is
what the compressor can lift; `settle` finds the temperature itself, hour by hour, where the
compressor cannot keep up. Arrays are (draws, hours) or broadcast to it. SI throughout.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import air
from console.properties.tables import as_array
from plugins.cold_box import frost
from plugins.cold_box.air_exchange import (
    Leaks,
    air_exchange_gosney_olama,
    breathing_flow,
    diffusion_flow,
    draught_flow,
    opening_flow_door,
    opening_flow_lid,
    seal_flow,
    stack_and_draught,
)
from plugins.cold_box.contents import freezing_heat, ice_heat, product_heat
from plugins.cold_box.divider import Divider
from plugins.cold_box.plate import CLOSE, FIRST_GUESS, BoxAir, Held, Machine, Plate, driven, held
from plugins.cold_box.tables import DRY_AIR_HEAT, FOOD_HEAT, STEFAN_BOLTZMANN, VAPOUR_HEAT
from plugins.cold_box.walls import Walls, wall_heat

Array = NDArray[np.float64]

BOX_HUMIDITY_FOR_DENSITY = 0.65
"""Relative humidity at which the box's air is weighed: from 30 to 100 % it moves Δρ by 2 %."""

PLATE_EMISSIVITY = 0.9


@dataclass(frozen=True, slots=True)
class Opening:
    """How a box is opened, and how often. ``openings`` per second."""

    is_door: bool
    width: Array
    height: Array
    openings: Array
    seconds: Array
    door_factor: Array
    swap_share: Array


@dataclass(frozen=True, slots=True)
class Box:
    """A box, its machine and its surroundings in one hour or many."""

    walls: Walls
    opening: Opening
    leaks: Leaks
    breathing: Array
    """Times a second its whole air is pumped in and out."""
    draught: Array
    """m/s of cabin air past the lid or door."""
    air_volume: Array
    warm_food: Array
    """kg/s put in at cabin temperature."""
    ice: Array
    """kg/s of ice put in."""
    food_water: Array
    """kg/s of water given off by food."""
    plate: Plate
    machine: Machine
    cabin: Array
    cabin_humidity_ratio: Array
    hull: Array
    divider: Divider | None = None
    beyond: Box | None = None
    """The fridge side of a divided box; its plate and machine are this one's and not used."""


@dataclass(frozen=True, slots=True)
class Balance:
    """What crosses the box at a temperature: heats in W, waters in kg/s, airs in m³/s."""

    wall_opening: Array
    wall_hull: Array
    wall_sides: Array
    wall_bottom: Array
    seal: Array
    drain: Array
    openings: Array
    contents: Array
    total: Array
    air_seal: Array
    air_drain: Array
    air_openings: Array
    water_seal: Array
    water_drain: Array
    water_openings: Array
    water_food: Array
    dry_air: Array
    humidity_ratio: Array
    frost: Array
    drips: Array
    """Water that runs off the plate or the liner as liquid."""
    surface: Array
    plate: Array
    evaporating: Array
    cooling: Array
    """W taken by the plate while it runs."""
    run_share: Array
    wanted_share: Array
    """Run share that would hold the box; above ``allowed`` it cannot."""
    speed: Array
    power: Array
    """W while it runs."""
    through_divider: Array
    """kg/s of air exchanged through a divider."""


@dataclass(frozen=True, slots=True)
class Air:
    """Cabin air let in: kg/s of dry air by each way, and the same in m³/s of cabin air."""

    seal: Array
    drain: Array
    openings: Array
    specific_volume: Array

    @property
    def total(self) -> Array:
        return self.seal + self.drain + self.openings


def air_let_in(box: Box, temperature: ArrayLike) -> Air:
    """Cabin air that gets in at a box temperature (K), by seal, drain and openings."""
    inside = as_array(temperature)
    wet = np.minimum(
        BOX_HUMIDITY_FOR_DENSITY * air.saturation_humidity_ratio(inside), box.cabin_humidity_ratio
    )
    cold, warm = air.density(inside, wet), air.density(box.cabin, box.cabin_humidity_ratio)
    volume = air.specific_volume(box.cabin, box.cabin_humidity_ratio)
    driven = seal_flow(box.leaks, warm, cold)
    by_drain = np.where(driven.outflow > 0.0, driven.by_drain / np.maximum(driven.outflow, 1e-300), 0.0)
    driven_volume = driven.inflow / warm
    leaks = box.leaks
    still = breathing_flow(box.breathing, box.air_volume)
    for part in leaks.parts():
        still = still + diffusion_flow(part.gap, part.path, part.failing)
    by_draught = stack_and_draught(driven_volume, draught_flow(leaks, box.draught, warm)) - driven_volume
    mouth = box.opening
    if mouth.is_door:
        exchange = mouth.door_factor * air_exchange_gosney_olama(mouth.width, mouth.height, cold, warm)
        opened = opening_flow_door(mouth.openings, mouth.seconds, exchange, box.air_volume)
    else:
        opened = opening_flow_lid(mouth.openings, mouth.swap_share, box.air_volume)
    return Air(
        (driven_volume * (1.0 - by_drain) + by_draught + still) / volume, driven_volume * by_drain / volume,
        opened / volume, volume,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Side:
    """What comes into one compartment, whatever the plate does."""

    let_in: Air
    through: tuple[Array, Array, Array, Array]
    warmth: Array
    """J that a kg of dry air let in gives up, its vapour's latent heat aside."""
    contents: Array
    sensible: Array
    vaporisation: Array


def _side(box: Box, inside: Array) -> _Side:
    let_in = air_let_in(box, inside)
    through = wall_heat(box.walls, box.cabin, box.hull, inside)
    warmth = (DRY_AIR_HEAT + VAPOUR_HEAT * box.cabin_humidity_ratio) * (box.cabin - inside)
    vaporisation = frost.vapour_enthalpy(inside) - frost.liquid_enthalpy(inside)
    # Food's water takes its heat of evaporation from the food.
    contents = product_heat(box.warm_food, FOOD_HEAT, box.cabin, inside)
    contents = contents + freezing_heat(box.warm_food, inside)
    contents = contents - ice_heat(box.ice, inside) - box.food_water * vaporisation
    walls = through[0] + through[1] + through[2] + through[3]
    sensible = walls + let_in.total * warmth + contents
    return _Side(let_in, through, warmth, contents, sensible, vaporisation)


@dataclass(frozen=True, slots=True)
class _Spill:
    """The fridge side of a divided box: what it takes in, and the vapour that it passes on."""

    side: _Side
    humidity_ratio: Array
    passed: Array
    """kg/s of vapour through the divider to the plate's side."""
    drips: Array
    """kg/s that run down its liner."""
    air: Array
    """kg/s exchanged through the divider."""
    conductance: Array
    """W/K of the divider itself."""


def _spill(box: Box, inside: Array, beyond: Array) -> _Spill:
    """The fridge side at ``beyond`` (K), the plate's at ``inside``.

    What it takes in by air and food it loses to the plate's side, as fast as the divider lets it:
    eff (m (W_c - W₁) + ẇ) with eff = m_x/(m + m_x), or m_x (W_sat - W₁) where it drips. W₁ is
    taken halfway between the plate's side's saturation and its plate's.
    """
    part, divider = box.beyond, box.divider
    if part is None or divider is None:
        raise ValueError("this box has no divider")
    side = _side(part, beyond)
    air_through = divider.exchange(inside, beyond)
    dry, food = np.maximum(side.let_in.total, 1e-12), part.food_water
    cold = 0.5 * (
        air.saturation_humidity_ratio(inside) + air.saturation_humidity_ratio(inside - FIRST_GUESS)
    )
    full = air.saturation_humidity_ratio(beyond)
    brought = dry * (box.cabin_humidity_ratio - cold) + food
    passed = np.minimum(air_through / (dry + air_through) * brought, air_through * (full - cold))
    passed = np.maximum(passed, 0.0)
    left = np.minimum(box.cabin_humidity_ratio + (food - passed) / dry, full)
    drips = np.maximum(dry * (box.cabin_humidity_ratio - left) + food - passed, 0.0)
    return _Spill(side, left, passed, drips, air_through, divider.conductance)


@dataclass(frozen=True, slots=True)
class _Loads:
    """Everything that does not depend on the plate."""

    side: _Side
    spill: _Spill | None
    sensible: Array
    state: BoxAir


def _loads(box: Box, inside: Array, released: ArrayLike, beyond: Array | None) -> _Loads:
    side = _side(box, inside)
    sensible, water = side.sensible, box.food_water
    spill = None
    if box.beyond is not None:
        spill = _spill(box, inside, inside if beyond is None else beyond)
        sensible = sensible + spill.side.sensible + spill.drips * spill.side.vaporisation
        water = water + spill.passed
    dry = side.let_in.total
    radiation = 4.0 * PLATE_EMISSIVITY * STEFAN_BOLTZMANN * (inside - 0.5 * FIRST_GUESS) ** 3
    state = BoxAir(
        inside, dry, dry * box.cabin_humidity_ratio + water, air.saturation_humidity_ratio(inside),
        sensible + as_array(released), side.vaporisation,
        (box.plate.film + radiation) * box.plate.area,
        frost.vapour_conductance(box.plate.film, box.plate.area),
    )  # fmt: skip
    return _Loads(side, spill, sensible, state)


def fridge_net(box: Box, inside: Array, beyond: Array) -> Array:
    """W that stay in the fridge side of a divided box at ``beyond`` (K), the plate's at ``inside``."""
    spill = _spill(box, inside, beyond)
    crossing = spill.conductance + spill.air * DRY_AIR_HEAT
    return spill.side.sensible + spill.drips * spill.side.vaporisation - crossing * (beyond - inside)


def heat_in(box: Box, temperature: ArrayLike) -> Array:
    """Heat (W) that comes in with the machine off, its whole air dripping: what warms the food.

    Of one compartment, no other cooling it: of a divided box's fridge side the cautious reading.
    """
    inside = as_array(temperature)
    side = _side(box, inside)
    wetter = np.maximum(box.cabin_humidity_ratio - air.saturation_humidity_ratio(inside), 0.0)
    return side.sensible + (side.let_in.total * wetter + box.food_water) * side.vaporisation


def share_wanted(
    box: Box, temperature: ArrayLike, close: float = CLOSE, released: ArrayLike = 0.0,
    beyond: Array | None = None,
) -> tuple[Array, Array]:  # fmt: skip
    """Run share that would hold a temperature (K), and the sensible heat in (W)."""
    loads = _loads(box, as_array(temperature), released, beyond)
    return held(box.plate, box.machine, loads.state, close).wanted, loads.state.sensible_load


def balance(
    box: Box, temperature: ArrayLike, released: ArrayLike = 0.0, full: bool = False,
    beyond: Array | None = None,
) -> Balance:  # fmt: skip
    """Heat and water of the box at a temperature (K) of its air.

    ``released`` (W) is heat its contents give up meanwhile (negative when they warm). With
    ``full`` the compressor runs all it is allowed to; else it runs as the load wants, and
    ``wanted_share`` says whether it can. ``beyond`` is the fridge side of a divided box (K).
    Returns a `Balance`; totals close to rounding.
    """
    loads = _loads(box, as_array(temperature), released, beyond)
    solve = driven if full else held
    return _account(box, loads, solve(box.plate, box.machine, loads.state))


def _account(box: Box, loads: _Loads, made: Held) -> Balance:
    """Share heat and water out to where they came in.

    Vapour brings the heat it gives up where it settles (on the plate as ice, on the liner as
    water), so each way in is charged for its own.
    """
    state, side, plated = loads.state, loads.side, made.plated
    machine = box.machine
    run = np.clip(plated.run, 0.0, 1.0)
    settled = run * plated.deposit
    all_water = settled + plated.liner
    price = frost.deposit_heat(state.inside, plated.surface)
    price = np.where(
        all_water > 0.0,
        (settled * price + plated.liner * state.liner_heat) / np.maximum(all_water, 1e-300),
        price,
    )
    drier = box.cabin_humidity_ratio - plated.humidity_ratio
    ways = _ways(side, drier, box.food_water, price)
    through, drips = side.through, plated.liner
    if loads.spill is not None and box.beyond is not None:
        there = loads.spill
        all_of_it = there.passed + there.drips
        priced = (there.passed * price + there.drips * there.side.vaporisation) / np.maximum(
            all_of_it, 1e-300
        )
        priced = np.where(all_of_it > 0.0, priced, price)
        dry_by = box.cabin_humidity_ratio - there.humidity_ratio
        more = _ways(there.side, dry_by, box.beyond.food_water, priced)
        ways = {name: ways[name] + more[name] for name in ways}
        one, two, three, four = (a + b for a, b in zip(through, there.side.through, strict=True))
        through, drips = (one, two, three, four), drips + there.drips
    total = through[0] + through[1] + through[2] + through[3]
    total = total + ways["seal"] + ways["drain"] + ways["openings"] + ways["contents"]
    frozen = frost.frozen_share(plated.surface)
    power = machine.compressor.power(plated.evaporating, machine.high, machine.flow * made.speed)
    return Balance(
        *through, **ways, total=total,
        humidity_ratio=plated.humidity_ratio,
        frost=settled * frozen, drips=settled * (1.0 - frozen) + drips,
        surface=plated.surface, plate=plated.evaporating + box.plate.offset,
        evaporating=plated.evaporating, cooling=plated.taken, run_share=run, wanted_share=made.wanted,
        speed=made.speed, power=power,
        through_divider=np.zeros(()) if loads.spill is None else loads.spill.air,
    )  # fmt: skip


def _ways(side: _Side, drier: Array, food_water: Array, price: Array) -> dict[str, Array]:
    """Heat by seal, drain, openings and contents (W), air by the first three (m³/s of cabin air,
    and kg/s of it dry), and the water each of the four brings (kg/s); names of a `Balance`."""
    let_in = side.let_in
    each = side.warmth + drier * price
    volume = let_in.specific_volume
    return {
        "seal": let_in.seal * each, "drain": let_in.drain * each, "openings": let_in.openings * each,
        "contents": side.contents + food_water * price,
        "air_seal": let_in.seal * volume, "air_drain": let_in.drain * volume,
        "air_openings": let_in.openings * volume,
        "water_seal": let_in.seal * drier, "water_drain": let_in.drain * drier,
        "water_openings": let_in.openings * drier, "water_food": food_water, "dry_air": let_in.total,
    }  # fmt: skip
