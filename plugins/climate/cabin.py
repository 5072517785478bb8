"""The cabin hour by hour: thermostat, temperature, water vapour, and the unit that serves it.

The load is what holding the set-point takes; what the unit leaves undone makes the cabin drift
from it. Within a sweep of the day the unit's capacity in every step is taken as last found, with
its slope in the cabin's own temperature and humidity; then the unit is balanced anew at the return
air just computed. Sweeps repeat, each starting where the last day ended, until the day closes and
the cabin no longer moves: then capacity and cabin agree, with no table in between.

Arrays inside are (steps, draws), so that each step is one row.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from plugins.climate import tables
from plugins.climate.exchange import FREEZING, within_air, within_moist
from plugins.climate.icing import ice_share_day, ice_that_fills
from plugins.climate.load import Loads
from plugins.climate.mixing import Mixer
from plugins.climate.moisture import DRY_SHARE, VapourDay, Wet, pan_return, pane_conductance, vapour_day
from plugins.climate.thermal import Network, network
from plugins.climate.unit import UnitState

Array = NDArray[np.float64]

MOST_SWEEPS = 12
CLOSED_TEMPERATURE = 0.05
CLOSED_HUMIDITY = 1e-4
"""K and kg/kg by which two sweeps may differ when the day counts as closed."""

_HEAT_SLOPE, _WATER_SLOPE = 0.5, 0.8
"""Share of the frozen-coil slopes used inside a sweep; they speed the sweeps, and move no answer."""

_AIR_DENSITY = 1.19
_PER_HUMIDITY = 1000.0
"""What a kg/kg weighs against a K when sweeps are mixed."""


CLOSED_ICE = 0.02
"""Share of the coil's face by which the ice of two sweeps may differ."""

Serve = Callable[[Array, Array, UnitState | None, Array | None], UnitState]
"""Balances the unit at a return air (temperature, humidity ratio), (draws, steps), from its last
state, with a share of the coil under ice of its own growth (None: without)."""


@dataclass(frozen=True, slots=True)
class Controls:
    """How unit and cabin hang together, (draws, 1).

    ``target`` K is the air temperature the thermostat really holds, ``below`` K (draws, steps) how
    far under it the cabin is cooled ahead of the heat, None for never; ``held_humidity_ratio`` what
    the cabin's air is taken to be before anything is known; ``from_bilge`` the share of the return
    drawn from the bilge, ``recirculated`` the share of the supply that goes straight back;
    ``fan_always`` whether the fan runs between the compressor's runs; ``airflow`` m³/s when clean.
    """

    target: Array
    held_humidity_ratio: Array
    volume: Array
    from_bilge: Array
    recirculated: Array
    fan_always: bool
    airflow: Array
    below: Array | None = None


@dataclass(frozen=True, slots=True)
class CabinDay:
    """The closed day, (draws, steps) unless said otherwise: K, kg/kg, shares, W, kg/s.

    ``removed`` is the sensible heat taken from the cabin air, net of compressor casing and cycling
    fan, with what blown-back water takes as it dries off; ``heat`` what is left in it beyond what
    holding the target allows, ``shed`` what the deviation sends outside. ``drained`` is the water
    carried off, ``on_walls`` what condensed on panes and walls, ``evaporated`` what wet things gave
    off. ``tripped`` is the share of its time a switch stops the compressor, ``ice`` the share of the
    coil's face under ice of its own growth.
    ``supply_temperature`` is of the air at the unit's outlet while it runs, ``drying`` what it is
    drier than the return air, kg/kg.
    ``stored_heat`` J and ``stored_water`` kg, (draws,), are what the cabin holds more at the end
    of the day than at its beginning; with them heat and water balance exactly. ``settled``,
    (draws,), is whether the sweeps came to rest; if not, the last one stands.
    """

    temperature: Array
    humidity_ratio: Array
    run_share: Array
    return_temperature: Array
    return_humidity_ratio: Array
    heat: Array
    removed: Array
    shed: Array
    drained: Array
    on_walls: Array
    evaporated: Array
    tripped: Array
    ice: Array
    supply_temperature: Array
    drying: Array
    stored_heat: Array
    stored_water: Array
    sweeps: int
    settled: NDArray[np.bool_]


def run_share_needed(need: Array, full: Array, blown_back: Array) -> Array:
    """Share of a step the unit must run to remove ``need`` W of sensible heat, at most 1.

    Running all the step removes ``full`` W; what `pan_return` blows back, ``blown_back`` W of
    latent heat if all of it, cools the air as it dries off: r·(full + (1 - r/0.8)·blown_back) =
    need below 0.8 (the smaller root), r·full above. A unit that removes nothing runs all the step.
    """
    both = full + blown_back
    curve = np.maximum(blown_back / DRY_SHARE, 1e-9)
    square = both * both - 4.0 * curve * need
    low = 2.0 * need / np.maximum(both + np.sqrt(np.maximum(square, 0.0)), 1e-9)
    share = np.where((low <= DRY_SHARE) & (square >= 0.0), low, need / np.maximum(full, 1e-9))
    return np.where(full > 1.0, np.clip(share, 0.0, 1.0), 1.0)


class TemperatureDay(NamedTuple):
    """The cabin air's deviation from its target, K, and the heat that makes it, (steps, draws).

    ``start``, ``end`` (modes, draws) and ``states`` are of the network, at the steps' beginnings.
    """

    mean: Array
    run: Array
    heat: Array
    removed: Array
    start: Array
    end: Array
    states: Array


def temperature_day(
    net: Network, load: Array, full: Array, slope: Array, old: Array, blown_back: Array, start: Array,
    below: Array | None = None,
) -> TemperatureDay:  # fmt: skip
    """The thermostat's day: in each step the unit runs just long enough to end on the target.

    ``load`` W to be removed to hold the target; ``full`` W (not below 0) removed by running all
    the step with the air at a mean deviation ``old`` K, growing by ``slope`` W/K; ``blown_back`` W
    as in `run_share_needed`; (steps, draws). ``start`` is the network's state. Below the target
    the unit is off (it does not heat). ``below`` K is how far under the target it is to end each
    step, None for on it. Exact within a step.
    """
    steps, draws = load.shape
    end_weight, mean_weight, mean_u = -net.weight * net.keep / net.end_u, net.mean_z, net.mean_u
    keep, gain = net.keep, net.gain
    share = 1.0 / (1.0 + slope * mean_u)
    undone = (load - full + slope * old) * share
    pull = slope * share
    hold, mean_drift, heat = np.empty((steps, draws)), np.empty((steps, draws)), np.empty((steps, draws))
    states = np.empty((steps, *keep.shape))
    state = start
    for k in range(steps):
        states[k] = state
        # The heat that ends the step on the target; what is left in when the unit runs all of it.
        exact = np.add.reduce(end_weight * state, axis=0)
        if below is not None:
            exact = exact - below[k] / net.end_u
        drift = np.add.reduce(mean_weight * state, axis=0)
        u = np.minimum(np.maximum(exact, undone[k] - pull[k] * drift), load[k])
        hold[k], mean_drift[k], heat[k] = exact, drift, u
        state = keep * state + gain * u
    mean = mean_drift + mean_u * heat
    removed = load - heat
    able = full + slope * (mean - old)
    run = np.where(hold < load, run_share_needed(removed, able, blown_back), 0.0)
    return TemperatureDay(mean, run, heat, removed, start, state, states)


class _Return(NamedTuple):
    """The air the unit was balanced at, and what it then blew out."""

    temperature: Array
    humidity_ratio: Array
    supply: Array
    drying: Array
    tripped: Array
    ice: Array


_Rows = TypeVar("_Rows", TemperatureDay, VapourDay, _Return)


def _kept(done: NDArray[np.bool_], old: _Rows | None, new: _Rows) -> _Rows:
    """``new``, but for the draws that are done; the last axis is the draw."""
    if old is None or not done.any():
        return new
    pairs = zip(old, new, strict=True)
    return type(new)(*(np.where(done, held, made) for held, made in pairs))


def _largest(values: Array) -> Array:
    """Largest size in each draw; the last axis is the draw."""
    return np.asarray(np.abs(values).reshape(-1, values.shape[-1]).max(axis=0))


def cabin_day(loads: Loads, controls: Controls, serve: Serve, step: float, periodic: bool) -> CabinDay:
    """Run the cabin with its unit until the day closes (or once through, if not ``periodic``).

    ``serve`` balances the unit; ``step`` s. At most `MOST_SWEEPS` sweeps; three to six are usual.
    """
    net = network(loads.capacity, loads.to_air, loads.to_outside, step)
    shape = np.broadcast_shapes(loads.total.shape, controls.target.shape)

    def rows(value: Array) -> Array:
        return np.ascontiguousarray(np.broadcast_to(value, shape).T)

    target = rows(controls.target)
    load, fresh, bilge = rows(loads.sensible_total), rows(loads.fresh_flow), rows(loads.bilge_flow)
    bilge_t, bilge_w, vapour = (
        rows(loads.bilge_temperature),
        rows(loads.bilge_humidity_ratio),
        rows(loads.vapour),
    )
    brought = fresh * rows(loads.fresh_humidity_ratio) + bilge * bilge_w
    exchange = fresh + bilge
    drawn, again = controls.from_bilge[:, 0], controls.recirculated[:, 0]
    again = again / (1.0 - again)
    volume = np.broadcast_to(controls.volume, (shape[0], 1))[:, 0]
    mass, buffer = volume * _AIR_DENSITY, volume * tables.BUFFER_MASS
    below = None if controls.below is None else rows(controls.below)
    wetting, dries_off, pane = (
        rows(loads.wetting),
        rows(loads.dries_off),
        pane_conductance(rows(loads.pane_area)),
    )
    pane_share, outdoor = rows(loads.pane_share), rows(loads.outdoor)
    icy = ice_that_fills(np.broadcast_to(controls.airflow, (shape[0], 1))[:, 0])

    # What the sweeps look for: the cabin's air, and how much colder and drier than it the return
    # is for the supply air that goes straight back.
    deviation, humidity = np.zeros_like(load), rows(controls.held_humidity_ratio)
    short_t, short_w = np.zeros_like(load), np.zeros_like(load)
    weights = np.array([1.0, _PER_HUMIDITY, 1.0, _PER_HUMIDITY])[:, None, None]
    state = np.zeros_like(net.keep)
    water = (humidity[0], humidity[0])
    mixer = Mixer()
    last: UnitState | None = None
    result: tuple[TemperatureDay, VapourDay, _Return] | None = None
    ice: Array | None = None
    done = np.zeros(shape[0], dtype=bool)
    sweeps = 0
    for _ in range(MOST_SWEEPS):
        sweeps += 1
        back_t = within_air((1.0 - drawn) * (target + deviation) + drawn * bilge_t - short_t)
        back_w = within_moist((1.0 - drawn) * humidity + drawn * bilge_w - short_w)
        last = unit = serve(back_t.T, back_w.T, last, None if ice is None else ice.T)
        sensible, fan, casing = rows(unit.sensible), rows(unit.fan_heat), rows(unit.casing_heat)
        coil, touched = rows(unit.condensate), rows(unit.air_flow * unit.contact)
        slope = np.where(sensible > 0.0, _HEAT_SLOPE * tables.AIR_HEAT * touched, 0.0)
        wet_slope = np.where(coil > 0.0, _WATER_SLOPE * touched, 0.0)
        # What dries off takes its heat from the air; the load has that of its own state.
        dries = wetting * (air.saturation_humidity_ratio(within_air(target + deviation)) - humidity)
        todo = load + tables.VAPORISATION * (dries_off - dries)
        if controls.fan_always:
            todo, full, back_heat = todo + fan, sensible - casing, coil * tables.VAPORISATION
        else:
            full, back_heat = sensible - casing - fan, np.zeros_like(load)
        warm = temperature_day(net, todo, np.maximum(full, 0.0), slope, deviation, back_heat, state, below)
        here = within_air(target + warm.mean)
        most = air.saturation_humidity_ratio(here)
        panes = air.saturation_humidity_ratio(within_air(here + pane_share * (outdoor - here)))
        dried = warm.run * (1.0 - pan_return(warm.run, controls.fan_always))
        damp = vapour_day(
            step, mass, buffer, vapour, exchange, brought, dried, coil, wet_slope, humidity, most,
            Wet(wetting, pane, panes), water,
        )  # fmt: skip
        grown = np.zeros_like(load) if ice is None else ice
        surface = rows(unit.coil_surface)
        if ice is not None or float(surface.min()) < FREEZING:
            warmth = rows(unit.air_flow) * tables.AIR_HEAT * np.maximum(back_t - FREEZING, 0.0)
            # Ice once formed stays from sweep to sweep, or a coil it chokes would seem to thaw.
            formed = ice_share_day(
                step, surface, coil, warm.run, rows(unit.tripped), warmth, icy, controls.fan_always
            )
            grown = np.maximum(grown, formed)
        supply, dried_by = rows(unit.supply_temperature), back_w - rows(unit.supply_humidity_ratio)
        found = (warm, damp, _Return(back_t, back_w, supply, dried_by, rows(unit.tripped), grown))
        result = found if result is None else (
            _kept(done, result[0], warm), _kept(done, result[1], damp), _kept(done, result[2], found[2])
        )  # fmt: skip
        looked_for = np.stack([deviation, humidity, short_t, short_w])
        left = (
            np.stack([warm.mean, damp.humidity, again * (back_t - supply), again * dried_by]) - looked_for
        )
        settled = (_largest(left[::2]) < CLOSED_TEMPERATURE) & (_largest(left[1::2]) < CLOSED_HUMIDITY)
        settled &= _largest(grown - (0.0 if ice is None else ice)) < CLOSED_ICE
        ice = grown if grown.any() else None
        if periodic:
            settled &= (
                (np.abs((net.weight * (warm.end - warm.start)).sum(axis=0)) < CLOSED_TEMPERATURE)
                & (np.abs(damp.air_end - damp.air_start) < CLOSED_HUMIDITY)
                & (np.abs(damp.buffer_end - damp.buffer_start) < CLOSED_HUMIDITY)
            )
        # A draw that has settled stays, so that its answer does not depend on its neighbours.
        done |= settled
        if done.all():
            break
        mixed = mixer.next(
            (looked_for * weights).reshape(-1, shape[0]), (left * weights).reshape(-1, shape[0])
        ).reshape(looked_for.shape)
        deviation, humidity, short_t, short_w = mixed / weights
        humidity = within_moist(humidity)
        if periodic:
            state = net.periodic_start(warm.start, warm.end, shape[1])
            water = (damp.air_end, damp.buffer_end)
    assert result is not None
    warm, damp, back = result

    gained = net.node_temperatures(warm.end) - net.node_temperatures(warm.start)
    means = net.mean_state * warm.states + net.mean_gain * warm.heat[:, None, :]
    shed = np.einsum("dnm,smd,dn->ds", net.shape, means, loads.to_outside, optimize=True)
    return CabinDay(
        temperature=(target + warm.mean).T,
        humidity_ratio=damp.humidity.T,
        run_share=warm.run.T,
        return_temperature=back.temperature.T,
        return_humidity_ratio=back.humidity_ratio.T,
        heat=warm.heat.T,
        removed=warm.removed.T,
        shed=shed,
        drained=damp.drained.T,
        on_walls=damp.walls.T,
        evaporated=damp.evaporated.T,
        tripped=back.tripped.T,
        ice=back.ice.T,
        supply_temperature=back.supply.T,
        drying=back.drying.T,
        stored_heat=(gained * loads.capacity.T).sum(axis=0),
        stored_water=mass * (damp.air_end - damp.air_start)
        + buffer * (damp.buffer_end - damp.buffer_start),
        sweeps=sweeps,
        settled=done,
    )
