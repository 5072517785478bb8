"""The seawater air conditioner at work: air, refrigerant and water brought into balance.

Two unknowns, the coil's surface temperature T_s and the condensing temperature t_c, for all
draws and hours at once:

* what the air gives the coil at T_s is what the compressor takes at t_e = T_s - q·R and t_c;
* what the water takes at t_c is that and 95 % of the compressor's electric power.

t_e and t_c are dew temperatures. Of a mixture that glides the water sees the mean of dew and bubble
temperature, and that mean is what `UnitState.condensing` gives.

Solving in T_s makes the air's heat explicit, and both equations monotone. Newton under a fixed
cap; where t_c reaches the high-pressure switch it is held there, the point is a trip, and T_s
alone goes on. Pure: no state; the cabin's hourly loop and the moment of a reading call the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from console.properties.refrigerants import COND_MIN, EVAP_MAX
from console.properties.tables import as_array
from plugins.climate import tables
from plugins.climate.arrays import bounded, spread
from plugins.climate.exchange import (
    CoilAir,
    bypass_factor,
    coil_air,
    condenser_conductance,
    effectiveness_phase_change,
)
from plugins.climate.machine import Cycle, Machine, half_glide, motor_loss, speed_share, vapour_cycle

Array = NDArray[np.float64]

STEPS = 7
FRESH_COLD, FRESH_WARM = (0, 1, 2), (3,)
NEAR = 0.005
"""At most so many Newton steps; those that take fresh slopes, from a cold start and from a former
answer (the others use the last slopes); done when no step is longer than NEAR, in K."""

_LONGEST_SURFACE_STEP, _LONGEST_CONDENSING_STEP = 8.0, 10.0
_PROBE = 0.02
_COLDEST_SURFACE = 238.15
_COLDEST_EVAPORATING = 229.15
_NO_FLOW = 1e-7
_LEAST_LIFT = 3.0


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the unit works in; anything broadcastable to (draws, steps).

    Return air at the coil (K, kg/kg); the water's temperature K, flow m³/s, heat capacity J/(m³·K)
    and the condenser's ``scale`` m²·K/W; ``volts`` at the unit and ``frequency`` as a share of the
    label's; ``airflow`` as a share of the clean unit's, ``iced`` share of the coil's face,
    refrigerant ``charge`` as a share of the right one (above 1: too much).
    """

    return_temperature: Array
    return_humidity_ratio: Array
    water_temperature: Array
    water_flow: Array
    water_heat: Array
    scale: Array
    volts: Array
    frequency: Array
    airflow: Array
    iced: Array
    charge: Array


class Slopes(NamedTuple):
    """Derivatives of the two residuals, W/K: rows air and water, columns T_s and t_c."""

    air_s: Array
    air_c: Array
    water_s: Array
    water_c: Array


class Start(NamedTuple):
    """Where a balance stood, (draws, steps): a near one begins there."""

    surface: Array
    condensing: Array
    slopes: Slopes

    def of(self, kept: NDArray[np.intp]) -> Start:
        """The same for some of the draws."""
        slopes = Slopes(*(each[kept] for each in self.slopes))
        return Start(self.surface[kept], self.condensing[kept], slopes)


@dataclass(frozen=True, slots=True)
class UnitState:
    """The unit while it runs; arrays (draws, steps), W, K, kg/s, A.

    ``capacity`` is net of the fan's own heat; ``sensible`` is the coil's. On a trip (or without
    water) cooling, condensate and rise are 0, the fan and the pump run on, the coil stands at
    the return air's temperature. ``casing_heat`` is what the compressor gives the locker.
    ``air_flow`` is dry kg/s. ``high_pressure`` and ``voltage`` are 0 or 1, ``low_pressure`` the share
    of the time that switch is open: near its point the unit cycles on it and gives that much less.
    """

    capacity: Array
    sensible: Array
    condensate: Array
    power: Array
    current: Array
    supply_temperature: Array
    supply_humidity_ratio: Array
    seawater_rise: Array
    condensing: Array
    evaporating: Array
    coil_surface: Array
    casing_heat: Array
    fan_heat: Array
    air_flow: Array
    contact: Array
    compressor_power: Array
    high_pressure: Array
    low_pressure: Array
    voltage: Array
    start: Start

    @property
    def tripped(self) -> Array:
        """1 where the compressor cannot run, 0 where nothing stops it."""
        return np.maximum(np.maximum(self.high_pressure, self.low_pressure), self.voltage)


@dataclass(frozen=True, slots=True)
class _Side:
    """The fixed part of a balance: everything that does not depend on the two unknowns."""

    machine: Machine
    at: Conditions
    enthalpy: Array
    air_flow: Array
    contact: Array
    coil_resistance: Array
    displacement: Array
    efficiency: Array
    water: Array
    effectiveness: Array

    def coil(self, surface: Array) -> CoilAir:
        at = self.at
        return coil_air(
            at.return_temperature,
            at.return_humidity_ratio,
            self.enthalpy,
            self.air_flow,
            self.contact,
            surface,
        )

    def evaporating(self, surface: Array, heat: Array) -> Array:
        return bounded(surface - heat * self.coil_resistance, _COLDEST_EVAPORATING, EVAP_MAX)

    def cycle(self, evaporating: Array, condensing: Array) -> Cycle:
        machine = self.machine
        # In very cold water a condenser cannot lie below the coil: the valve needs its lift.
        condensing = np.minimum(
            np.maximum(condensing, evaporating + _LEAST_LIFT), machine.refrigerant.t_max
        )
        return vapour_cycle(
            machine.refrigerant, self.displacement, self.efficiency, machine.pressure_ratio,
            evaporating, condensing,
        )  # fmt: skip

    def rejected(self, condensing: Array) -> Array:
        seen = condensing - half_glide(self.machine.refrigerant, condensing)
        return self.effectiveness * self.water * (seen - self.at.water_temperature)


def _side(machine: Machine, at: Conditions) -> _Side:
    charge = as_array(at.charge)
    short = bounded(charge, 0.1, 1.0)
    wetted = short**tables.WETTED_EXPONENT
    face = bounded(1.0 - as_array(at.iced), 0.02, 1.0)
    volume = air.specific_volume(at.return_temperature, at.return_humidity_ratio)
    contact = (1.0 - bypass_factor(machine.bypass, at.airflow, face)) * wetted
    volts = np.maximum(as_array(at.volts) / machine.volts, 0.5)
    water = np.maximum(as_array(at.water_flow), _NO_FLOW) * at.water_heat
    drowned = bounded(1.0 - tables.OVERCHARGE_LOSS * np.maximum(charge - 1.0, 0.0), 0.1, 1.0)
    conductance = drowned * condenser_conductance(
        machine.refrigerant_side,
        machine.water_side,
        at.water_flow / machine.water_flow,
        at.scale,
        machine.area,
    )
    return _Side(
        machine,
        at,
        air.enthalpy(at.return_temperature, at.return_humidity_ratio),
        machine.airflow * at.airflow / volume,
        contact,
        machine.coil_resistance / (wetted * face),
        machine.displacement * speed_share(volts, at.frequency) * short**tables.STARVED_FLOW_EXPONENT,
        machine.efficiency / motor_loss(volts),
        water,
        effectiveness_phase_change(conductance / water),
    )


def _evaluate(side: _Side, surface: Array, condensing: Array) -> tuple[Array, Array]:
    """The two residuals, W: air less refrigerant; water less what must be rejected."""
    heat = side.coil(surface).heat
    cycle = side.cycle(side.evaporating(surface, heat), condensing)
    rejected = side.rejected(condensing)
    return heat - cycle.cooling, rejected - cycle.cooling - tables.HERMETIC_SHARE * cycle.power


def _evaluate_with_slopes(side: _Side, surface: Array, condensing: Array) -> tuple[Array, Array, Slopes]:
    two = np.stack([surface, surface + _PROBE])
    heat = side.coil(two).heat
    boil = side.evaporating(two, heat)
    cycle = side.cycle(
        np.stack([boil[0], boil[1], boil[0]]), np.stack([condensing, condensing, condensing + _PROBE])
    )
    taken = cycle.cooling + tables.HERMETIC_SHARE * cycle.power
    cooling = cycle.cooling
    slopes = Slopes(
        (heat[1] - heat[0] - cooling[1] + cooling[0]) / _PROBE,
        (cooling[0] - cooling[2]) / _PROBE,
        (taken[0] - taken[1]) / _PROBE,
        side.effectiveness * side.water - (taken[2] - taken[0]) / _PROBE,
    )
    return heat[0] - cooling[0], side.rejected(condensing) - taken[0], slopes


def _solve(
    side: _Side, start: Start | None, shape: tuple[int, ...], near: float
) -> tuple[Array, Array, Slopes]:
    machine, at = side.machine, side.at
    top = spread(machine.trip, shape)
    coldest = np.maximum(at.water_temperature, COND_MIN + 0.1)
    bottom = np.minimum(coldest + half_glide(machine.refrigerant, coldest), top)
    warmest = spread(at.return_temperature, shape)
    if start is None:
        wet = 0.4 * (at.return_temperature - tables.RATED_RETURN_DRY_BULB)
        surface = bounded(spread(machine.surface + wet, shape), _COLDEST_SURFACE, warmest)
        rejected = machine.water_flow * tables.RATED_WATER_RISE * at.water_heat
        lift = rejected / (side.effectiveness * side.water)
        condensing = bounded(spread(bottom + lift, shape), bottom, top)
        fresh: tuple[int, ...] = FRESH_COLD
        slopes = None
    else:
        surface, condensing, slopes = start
        surface = bounded(surface, _COLDEST_SURFACE, warmest)
        condensing = bounded(condensing, bottom, top)
        fresh = FRESH_WARM
    moving = np.ones(shape, dtype=bool)
    for k in range(STEPS):
        if k in fresh or slopes is None:
            air_left, water_left, slopes = _evaluate_with_slopes(side, surface, condensing)
        else:
            air_left, water_left = _evaluate(side, surface, condensing)
        held = ((condensing >= top - 1e-9) & (water_left < 0.0)) | (
            (condensing <= bottom + 1e-9) & (water_left > 0.0)
        )
        determinant = slopes.air_s * slopes.water_c - slopes.air_c * slopes.water_s
        step_s = np.where(
            held, -air_left / slopes.air_s,
            (slopes.air_c * water_left - slopes.water_c * air_left) / determinant,
        )  # fmt: skip
        step_c = np.where(held, 0.0, (slopes.water_s * air_left - slopes.air_s * water_left) / determinant)
        step_s = bounded(step_s, -_LONGEST_SURFACE_STEP, _LONGEST_SURFACE_STEP)
        step_c = bounded(step_c, -_LONGEST_CONDENSING_STEP, _LONGEST_CONDENSING_STEP)
        before_s, before_c = surface, condensing
        surface = np.where(moving, bounded(surface + step_s, _COLDEST_SURFACE, warmest), surface)
        condensing = np.where(moving, bounded(condensing + step_c, bottom, top), condensing)
        # A point that has arrived stays, so that its answer does not depend on its neighbours.
        moving = np.maximum(np.abs(surface - before_s), np.abs(condensing - before_c)) >= near
        if not moving.any():
            break
    assert slopes is not None
    return surface, condensing, slopes


def balance(machine: Machine, at: Conditions, start: Start | None = None, near: float = NEAR) -> UnitState:
    """The unit in balance with what it works in.

    ``start`` is a former `UnitState.start` of the same shape: near its answer, a step or two with
    its slopes are enough. ``near`` is the step, in K, below which a point has arrived. Within 2 W of the tight solution over the usual range; always finite.
    """
    side = _side(machine, at)
    shape = np.broadcast_shapes(
        side.enthalpy.shape, side.contact.shape, side.effectiveness.shape, side.displacement.shape,
        np.shape(at.water_temperature), machine.trip.shape,
    )  # fmt: skip
    surface, condensing, slopes = _solve(side, start, shape, near)
    coil = side.coil(surface)
    evaporating = side.evaporating(surface, coil.heat)
    cycle = side.cycle(evaporating, condensing)

    volts = spread(as_array(at.volts), shape)
    no_water = np.asarray(at.water_flow) <= 10.0 * _NO_FLOW
    high = np.broadcast_to((condensing >= machine.trip - 1e-6) | no_water, shape)
    # The low-pressure switch closes by itself as the coil warms: near its point the unit cycles on it.
    low = bounded((machine.low_trip - evaporating) / tables.LOW_PRESSURE_BAND, 0.0, 1.0)
    share = volts / machine.volts
    unfit = np.broadcast_to((share < tables.LEAST_VOLTS) | (share > tables.MOST_VOLTS), shape)
    on = np.where(high | unfit, 0.0, 1.0 - low)

    fan = spread(machine.fan_power, shape)
    compressor = cycle.power * on
    power = compressor + machine.fan_power + machine.pump_power
    heat = coil.heat * on
    air_heat = side.air_flow * (tables.AIR_HEAT + tables.VAPOUR_HEAT * at.return_humidity_ratio)
    fan_rise = fan / np.maximum(air_heat, 1e-6)
    cooled = (at.return_temperature - coil.temperature) * on
    rejected = (cycle.cooling + tables.HERMETIC_SHARE * cycle.power) * on
    return UnitState(
        capacity=heat - fan,
        sensible=coil.sensible * on,
        condensate=coil.condensate * on,
        power=spread(power, shape),
        current=power / (np.maximum(volts, 1.0) * machine.power_factor),
        supply_temperature=at.return_temperature - cooled + np.minimum(fan_rise, 40.0),
        supply_humidity_ratio=at.return_humidity_ratio
        - (at.return_humidity_ratio - coil.humidity_ratio) * on,
        seawater_rise=rejected / side.water,
        condensing=condensing - half_glide(machine.refrigerant, condensing),
        evaporating=np.where(on > 0.0, evaporating, at.return_temperature),
        coil_surface=np.where(on > 0.0, surface, at.return_temperature),
        fan_heat=fan,
        casing_heat=(1.0 - tables.HERMETIC_SHARE) * compressor,
        air_flow=spread(side.air_flow, shape),
        contact=spread(side.contact, shape),
        compressor_power=compressor,
        high_pressure=high.astype(np.float64),
        low_pressure=spread(low, shape),
        voltage=unfit.astype(np.float64),
        start=Start(surface, condensing, slopes),
    )


def start_current(machine: Machine, label_current: Array, multiple: Array, volts: Array) -> Array:
    """Largest current as the compressor starts, A: locked-rotor multiple of the label's amps.

    The locked rotor is an impedance, so it goes with the volts; fan and pump run on beside it.
    """
    share = as_array(volts) / machine.volts
    beside = (machine.fan_power + machine.pump_power) / (np.maximum(volts, 1.0) * machine.power_factor)
    return np.asarray(label_current * multiple * share + beside)
