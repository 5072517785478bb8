"""The cabin hour by hour: thermostat, temperature, water vapour, and the unit that serves it.

The load is what holding the set-point takes; what the unit leaves undone makes the cabin drift
from it. Within a sweep of the day the unit's capacity in every step is taken as last found, with
its slope in the cabin's own temperature and humidity; then the unit is balanced anew at the return
air just computed. Sweeps repeat, each starting where the last day ended, until the day closes and
the cabin no longer moves: then capacity and cabin agree, with no table in between.

Arrays inside are (steps, draws), so that each step is one row.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from plugins.climate import tables
from plugins.climate.arrays import spread
from plugins.climate.exchange import FREEZING, within_air, within_moist
from plugins.climate.icing import ice_share_day, ice_that_fills
from plugins.climate.load import Loads
from plugins.climate.mixing import Mixer
from plugins.climate.moisture import VapourDay, Wet, pan_return, pane_conductance, vapour_day
from plugins.climate.thermal import Network, network
from plugins.climate.thermostat import TemperatureDay, temperature_day
from plugins.climate.unit import Start, UnitState

Array = NDArray[np.float64]

MOST_SWEEPS = 40
"""A day that has not closed by then stands as it is, and says so; three to six are usual."""

LEFT = 0.7
"""Share of the draws still moving below which the rest is set aside."""

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

Rows = NDArray[np.intp]
Chosen = Rows | None
Serve = Callable[[Array, Array, Start | None, Array | None, Chosen], UnitState]
"""Balances the unit at a return air (temperature, humidity ratio), (draws, steps), from where its last
answer stood, with a share of the coil under ice of its own growth (None: without), for the chosen of
the draws (None: all)."""


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


@dataclass(frozen=True, slots=True)
class _Cabin:
    """What a sweep of the day works on, the draw last: (steps, draws) or (draws,)."""

    net: Network
    target: Array
    load: Array
    exchange: Array
    brought: Array
    vapour: Array
    bilge_temperature: Array
    bilge_humidity_ratio: Array
    wetting: Array
    dries_off: Array
    pane: Array
    pane_share: Array
    outdoor: Array
    drawn: Array
    again: Array
    mass: Array
    buffer: Array
    icy: Array
    below: Array | None

    def of(self, kept: NDArray[np.intp]) -> _Cabin:
        """The same for some of the draws."""
        parts: dict[str, Any] = {name: getattr(self, name) for name in self.__slots__}
        net = parts.pop("net").of(kept)
        some: dict[str, Any] = {
            name: None if each is None else each[..., kept] for name, each in parts.items()
        }
        return _Cabin(net, **some)


@dataclass(slots=True)
class _Trial:
    """What the sweeps look for, (steps, draws): the cabin's air, how much colder and drier than it
    the return is for the supply air that goes straight back, the ice; and where the day begins."""

    deviation: Array
    humidity: Array
    short_temperature: Array
    short_humidity: Array
    state: Array
    water: tuple[Array, Array]
    ice: Array | None = None
    start: Start | None = None

    def of(self, kept: NDArray[np.intp]) -> _Trial:
        """The same for some of the draws."""
        ice, start = self.ice, self.start
        return _Trial(
            self.deviation[:, kept], self.humidity[:, kept], self.short_temperature[:, kept],
            self.short_humidity[:, kept], self.state[:, kept], (self.water[0][kept], self.water[1][kept]),
            None if ice is None else ice[:, kept], None if start is None else start.of(kept),
        )  # fmt: skip


class _Return(NamedTuple):
    """The air the unit was balanced at, and what it then blew out, (steps, draws)."""

    temperature: Array
    humidity_ratio: Array
    supply: Array
    drying: Array
    tripped: Array
    ice: Array


class _Swept(NamedTuple):
    """One sweep of the day."""

    warm: TemperatureDay
    damp: VapourDay
    back: _Return


def _copied(swept: _Swept) -> _Swept:
    warm, damp, back = swept
    return _Swept(
        TemperatureDay(*map(np.array, warm)), VapourDay(*map(np.array, damp)), _Return(*map(np.array, back))
    )


def _write(held: Sequence[Array], made: Sequence[Array], to: Rows, live: NDArray[np.bool_]) -> None:
    """Replace in ``held`` the draws that were still moving; the last axis is the draw."""
    for old, new in zip(held, made, strict=True):
        old[..., to[live]] = new[..., live]


def _largest(values: Array) -> Array:
    """Largest size in each draw; the last axis is the draw."""
    return np.asarray(np.abs(values).reshape(-1, values.shape[-1]).max(axis=0))


def _cabin(loads: Loads, controls: Controls, step: float, shape: tuple[int, ...]) -> _Cabin:
    def whole(value: Array) -> Array:
        return rows(spread(value, shape))

    def column(value: Array) -> Array:
        return spread(value, (shape[0], 1))[:, 0]

    fresh, bilge, bilge_w = (
        whole(loads.fresh_flow),
        whole(loads.bilge_flow),
        whole(loads.bilge_humidity_ratio),
    )
    again, volume = column(controls.recirculated), column(controls.volume)
    return _Cabin(
        net=network(loads.capacity, loads.to_air, loads.to_outside, step),
        target=whole(controls.target),
        load=whole(loads.sensible_total),
        exchange=fresh + bilge,
        brought=fresh * whole(loads.fresh_humidity_ratio) + bilge * bilge_w,
        vapour=whole(loads.vapour),
        bilge_temperature=whole(loads.bilge_temperature),
        bilge_humidity_ratio=bilge_w,
        wetting=whole(loads.wetting),
        dries_off=whole(loads.dries_off),
        pane=pane_conductance(whole(loads.pane_area)),
        pane_share=whole(loads.pane_share),
        outdoor=whole(loads.outdoor),
        drawn=column(controls.from_bilge),
        again=again / (1.0 - again),
        mass=volume * _AIR_DENSITY,
        buffer=volume * tables.BUFFER_MASS,
        icy=ice_that_fills(column(controls.airflow)),
        below=None if controls.below is None else whole(controls.below),
    )


def rows(value: Array) -> Array:
    """(draws, steps) as (steps, draws), each step one row in memory."""
    return np.ascontiguousarray(value.T)


def _sweep(
    cabin: _Cabin, trial: _Trial, serve: Serve, chosen: Chosen, step: float, fan_always: bool
) -> _Swept:
    """One day with the unit balanced at the trial's return air; moves ``trial.start`` on."""
    target, drawn = cabin.target, cabin.drawn
    back_t = (1.0 - drawn) * (target + trial.deviation) + drawn * cabin.bilge_temperature
    back_t = within_air(back_t - trial.short_temperature)
    back_w = (1.0 - drawn) * trial.humidity + drawn * cabin.bilge_humidity_ratio
    back_w = within_moist(back_w - trial.short_humidity)
    unit = serve(back_t.T, back_w.T, trial.start, None if trial.ice is None else trial.ice.T, chosen)
    trial.start = unit.start
    sensible, fan, casing = rows(unit.sensible), rows(unit.fan_heat), rows(unit.casing_heat)
    coil, flow, tripped = rows(unit.condensate), rows(unit.air_flow), rows(unit.tripped)
    touched = flow * rows(unit.contact)
    slope = np.where(sensible > 0.0, _HEAT_SLOPE * tables.AIR_HEAT * touched, 0.0)
    wet_slope = np.where(coil > 0.0, _WATER_SLOPE * touched, 0.0)
    # What dries off takes its heat from the air; the load has that of its own state.
    full_air = air.saturation_humidity_ratio(within_air(target + trial.deviation))
    dries = cabin.wetting * (full_air - trial.humidity)
    todo = cabin.load + tables.VAPORISATION * (cabin.dries_off - dries)
    if fan_always:
        todo, full, back_heat = todo + fan, sensible - casing, coil * tables.VAPORISATION
    else:
        full, back_heat = sensible - casing - fan, np.zeros_like(todo)
    warm = temperature_day(
        cabin.net, todo, np.maximum(full, 0.0), slope, trial.deviation, back_heat, trial.state, cabin.below
    )
    here = within_air(target + warm.mean)
    panes = within_air(here + cabin.pane_share * (cabin.outdoor - here))
    most, pane_most = air.saturation_humidity_ratio(np.stack([here, panes]))
    dried = warm.run * (1.0 - pan_return(warm.run, fan_always))
    damp = vapour_day(
        step, cabin.mass, cabin.buffer, cabin.vapour, cabin.exchange, cabin.brought, dried, coil, wet_slope,
        trial.humidity, most, Wet(cabin.wetting, cabin.pane, pane_most), trial.water,
    )  # fmt: skip
    ice = np.zeros_like(todo) if trial.ice is None else trial.ice
    surface = rows(unit.coil_surface)
    if trial.ice is not None or float(surface.min()) < FREEZING:
        warmth = flow * tables.AIR_HEAT * np.maximum(back_t - FREEZING, 0.0)
        # Ice once formed stays from sweep to sweep, or a coil it chokes would seem to thaw.
        formed = ice_share_day(step, surface, coil, warm.run, tripped, warmth, cabin.icy, fan_always)
        ice = np.maximum(ice, formed)
    supply = rows(unit.supply_temperature)
    drying = back_w - rows(unit.supply_humidity_ratio)
    return _Swept(warm, damp, _Return(back_t, back_w, supply, drying, tripped, ice))


def cabin_day(loads: Loads, controls: Controls, serve: Serve, step: float, periodic: bool) -> CabinDay:
    """Run the cabin with its unit until the day closes (or once through, if not ``periodic``).

    ``serve`` balances the unit; ``step`` s. At most `MOST_SWEEPS` sweeps; three to six are usual. A
    draw that has closed is left as it is, so that its answer does not depend on its neighbours.
    """
    shape = np.broadcast_shapes(loads.total.shape, controls.target.shape)
    whole = cabin = _cabin(loads, controls, step, shape)
    humidity = np.ascontiguousarray(spread(controls.held_humidity_ratio, shape).T)
    nothing = np.zeros_like(cabin.load)
    trial = _Trial(
        nothing, humidity, nothing, nothing, np.zeros_like(cabin.net.keep), (humidity[0], humidity[0])
    )
    weights = np.array([1.0, _PER_HUMIDITY, 1.0, _PER_HUMIDITY])[:, None, None]
    mixer = Mixer()
    order = np.arange(shape[0])
    live, done = np.ones(shape[0], dtype=bool), np.zeros(shape[0], dtype=bool)
    result: _Swept | None = None
    owned, sweeps = False, 0
    while sweeps < MOST_SWEEPS:
        chosen = None if order.size == shape[0] else order
        found = _sweep(cabin, trial, serve, chosen, step, controls.fan_always)
        warm, damp, back = found
        sweeps += 1
        if result is None or (chosen is None and live.all()):
            result, owned = found, False
        else:
            if not owned:
                result, owned = _copied(result), True
            for held, made in zip(result, found, strict=True):
                _write(held, made, order, live)
        looked_for = np.stack(
            [trial.deviation, trial.humidity, trial.short_temperature, trial.short_humidity]
        )
        short = cabin.again * (back.temperature - back.supply), cabin.again * back.drying
        left = np.stack([warm.mean, damp.humidity, *short]) - looked_for
        settled = (_largest(left[::2]) < CLOSED_TEMPERATURE) & (_largest(left[1::2]) < CLOSED_HUMIDITY)
        if trial.ice is not None or back.ice.any():
            settled &= _largest(back.ice - (0.0 if trial.ice is None else trial.ice)) < CLOSED_ICE
            trial.ice = back.ice
        if periodic:
            net = cabin.net
            settled &= (
                (np.abs((net.weight * (warm.end - warm.start)).sum(axis=0)) < CLOSED_TEMPERATURE)
                & (np.abs(damp.air_end - damp.air_start) < CLOSED_HUMIDITY)
                & (np.abs(damp.buffer_end - damp.buffer_start) < CLOSED_HUMIDITY)
            )
            trial.state = net.periodic_start(warm.start, warm.end, shape[1])
            trial.water = (damp.air_end, damp.buffer_end)
        done[order[live & settled]] = True
        live &= ~settled
        if not live.any():
            break
        mixed = mixer.next(
            (looked_for * weights).reshape(-1, order.size), (left * weights).reshape(-1, order.size)
        ).reshape(looked_for.shape)
        trial.deviation, wetter, trial.short_temperature, trial.short_humidity = mixed / weights
        trial.humidity = within_moist(wetter)
        if live.mean() < LEFT:
            kept = np.flatnonzero(live)
            order, live = order[kept], live[kept]
            cabin, trial = cabin.of(kept), trial.of(kept)
            mixer.keep(kept)
    assert result is not None
    warm, damp, back = result
    return _closed(loads, whole, warm, damp, back, sweeps, done)


def _closed(
    loads: Loads, cabin: _Cabin, warm: TemperatureDay, damp: VapourDay, back: _Return, sweeps: int,
    done: NDArray[np.bool_],
) -> CabinDay:  # fmt: skip
    net = cabin.net
    gained = net.node_temperatures(warm.end) - net.node_temperatures(warm.start)
    means = net.mean_state * warm.states + net.mean_gain * warm.heat[:, None, :]
    out = net.shape.transpose(1, 2, 0) * loads.to_outside.T[:, None, :]
    shed = (means * out.sum(axis=0)).sum(axis=1)
    return CabinDay(
        temperature=(cabin.target + warm.mean).T,
        humidity_ratio=damp.humidity.T,
        run_share=warm.run.T,
        return_temperature=back.temperature.T,
        return_humidity_ratio=back.humidity_ratio.T,
        heat=warm.heat.T,
        removed=warm.removed.T,
        shed=shed.T,
        drained=damp.drained.T,
        on_walls=damp.walls.T,
        evaporated=damp.evaporated.T,
        tripped=back.tripped.T,
        ice=back.ice.T,
        supply_temperature=back.supply.T,
        drying=back.drying.T,
        stored_heat=(gained * loads.capacity.T).sum(axis=0),
        stored_water=cabin.mass * (damp.air_end - damp.air_start)
        + cabin.buffer * (damp.buffer_end - damp.buffer_start),
        sweeps=sweeps,
        settled=done,
    )
