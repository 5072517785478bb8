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
    opening_flow_door,
    opening_flow_lid,
    seal_flow,
)
from plugins.cold_box.plate import CLOSE, FIRST_GUESS, BoxAir, Held, Machine, Plate, driven, held
from plugins.cold_box.tables import (
    DRY_AIR_HEAT,
    FOOD_FREEZES,
    FOOD_HEAT,
    FOOD_WATER,
    FREEZES_OVER,
    FROZEN_FOOD_HEAT,
    ICE_AT_ZERO,
    ICE_MELTS_OVER,
    STEFAN_BOLTZMANN,
    VAPOUR_HEAT,
    ZERO_CELSIUS,
)
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
    failing = 2.0 * box.leaks.edge + box.leaks.side
    still = diffusion_flow(box.leaks.gap, box.leaks.path, failing) + breathing_flow(
        box.breathing, box.air_volume
    )
    mouth = box.opening
    if mouth.is_door:
        exchange = mouth.door_factor * air_exchange_gosney_olama(mouth.width, mouth.height, cold, warm)
        opened = opening_flow_door(mouth.openings, mouth.seconds, exchange, box.air_volume)
    else:
        opened = opening_flow_lid(mouth.openings, mouth.swap_share, box.air_volume)
    return Air(
        (driven_volume * (1.0 - by_drain) + still) / volume, driven_volume * by_drain / volume,
        opened / volume, volume,
    )  # fmt: skip


def product_heat(mass: ArrayLike, specific_heat: ArrayLike, warm: ArrayLike, cold: ArrayLike) -> Array:
    """Mean heat (W) of product put in warm: ṁ c (t_warm - t_box), kg/s, J/kg·K, K.

    Nothing freezes in it; see `freezing_heat`.
    """
    return as_array(mass) * as_array(specific_heat) * (as_array(warm) - as_array(cold))


def freezing_heat(mass: ArrayLike, box: ArrayLike) -> Array:
    """What food put in a freezer brings beyond `product_heat` at one heat capacity, W; kg/s, K.

    Its ice melts by no one temperature: share of ice = 1.105 w/(1 + 0.7138/ln(t_f - t + 1)) of
    water w (Tchigeov 1979, in ASHRAE Refrigeration ch. 19; -45 °C to t_f), and once frozen it
    needs less to cool. Nil above t_f; foods do not all begin at one t_f, so it sets in gently.
    """
    under = np.maximum(FOOD_FREEZES - as_array(box), 0.0)
    below = under * under / (under + FREEZES_OVER)
    log = np.log1p(below)
    frozen = 1.105 * FOOD_WATER * log / (log + 0.7138)
    return as_array(mass) * (-ICE_AT_ZERO * frozen - (FOOD_HEAT - FROZEN_FOOD_HEAT) * below)


def ice_heat(mass: ArrayLike, box: ArrayLike) -> Array:
    """Heat (W) that ice put in takes up as it melts: 333 kJ/kg, kg/s and K in.

    All of it where the box is 2 K over freezing or more, less nearer to it, none below: ice in a
    box as cold as itself lies there.
    """
    x = np.clip((as_array(box) - ZERO_CELSIUS) / ICE_MELTS_OVER, 0.0, 1.0)
    melting = x * x * (3.0 - 2.0 * x)  # without corners, which the day's search would trip over
    return as_array(mass) * -ICE_AT_ZERO * melting


@dataclass(frozen=True, slots=True)
class _Loads:
    """Everything that does not depend on the plate."""

    let_in: Air
    through: tuple[Array, Array, Array, Array]
    warmth: Array
    contents: Array
    sensible: Array
    state: BoxAir


def _loads(box: Box, inside: Array, released: ArrayLike) -> _Loads:
    let_in = air_let_in(box, inside)
    dry = let_in.total
    cabin, outside_wet = box.cabin, box.cabin_humidity_ratio
    through = wall_heat(box.walls, cabin, box.hull, inside)
    warmth = (DRY_AIR_HEAT + VAPOUR_HEAT * outside_wet) * (cabin - inside)
    vaporisation = frost.vapour_enthalpy(inside) - frost.liquid_enthalpy(inside)
    # Food's water takes its heat of evaporation from the food.
    contents = product_heat(box.warm_food, FOOD_HEAT, cabin, inside)
    contents = contents + freezing_heat(box.warm_food, inside)
    contents = contents - ice_heat(box.ice, inside) - box.food_water * vaporisation
    walls = through[0] + through[1] + through[2] + through[3]
    sensible = walls + dry * warmth + contents
    radiation = 4.0 * PLATE_EMISSIVITY * STEFAN_BOLTZMANN * (inside - 0.5 * FIRST_GUESS) ** 3
    state = BoxAir(
        inside, dry, dry * outside_wet + box.food_water, air.saturation_humidity_ratio(inside),
        sensible + as_array(released), vaporisation,
        (box.plate.film + radiation) * box.plate.area,
        frost.vapour_conductance(box.plate.film, box.plate.area),
    )  # fmt: skip
    return _Loads(let_in, through, warmth, contents, sensible, state)


def share_wanted(box: Box, temperature: ArrayLike, close: float = CLOSE) -> tuple[Array, Array]:
    """Run share that would hold a temperature (K), and the sensible heat in (W)."""
    loads = _loads(box, as_array(temperature), 0.0)
    return held(box.plate, box.machine, loads.state, close).wanted, loads.sensible


def balance(box: Box, temperature: ArrayLike, released: ArrayLike = 0.0, full: bool = False) -> Balance:
    """Heat and water of the box at a temperature (K) of its air.

    ``released`` (W) is heat its contents give up meanwhile (negative when they warm). With
    ``full`` the compressor runs all it is allowed to; else it runs as the load wants, and
    ``wanted_share`` says whether it can. Returns a `Balance`; totals close to rounding.
    """
    loads = _loads(box, as_array(temperature), released)
    solve = driven if full else held
    return _account(box, loads, solve(box.plate, box.machine, loads.state))


def _account(box: Box, loads: _Loads, made: Held) -> Balance:
    """Share heat and water out to where they came in.

    Vapour brings the heat it gives up where it settles (on the plate as ice, on the liner as
    water), so each way in is charged for its own.
    """
    state, let_in, through, plated = loads.state, loads.let_in, loads.through, made.plated
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
    each = loads.warmth + (box.cabin_humidity_ratio - plated.humidity_ratio) * price
    seal, drain, openings = let_in.seal * each, let_in.drain * each, let_in.openings * each
    contents = loads.contents + box.food_water * price
    total = through[0] + through[1] + through[2] + through[3] + seal + drain + openings + contents
    frozen = frost.frozen_share(plated.surface)
    power = machine.compressor.power(plated.evaporating, machine.high, machine.flow * made.speed)
    return Balance(
        *through, seal, drain, openings, contents, total,
        let_in.seal * let_in.specific_volume, let_in.drain * let_in.specific_volume,
        let_in.openings * let_in.specific_volume, let_in.total, plated.humidity_ratio,
        settled * frozen, settled * (1.0 - frozen) + plated.liner,
        plated.surface, plated.evaporating + box.plate.offset, plated.evaporating, plated.taken, run,
        made.wanted, made.speed, power,
    )  # fmt: skip
