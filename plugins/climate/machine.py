"""The air conditioner as a machine: what its label says, made into a compressor and two coils.

The label gives capacity and amps (or EER) at a rating point. From them, draw by draw: the
compressor's displacement and overall efficiency, the evaporator's resistance, the condenser's UA.
Arrays (draws, 1); SI.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import air
from console.properties.refrigerants import Refrigerant
from console.properties.tables import Line, as_array
from plugins.climate import tables
from plugins.climate.arrays import bounded
from plugins.climate.exchange import coil_air, transfer_units_phase_change

Array = NDArray[np.float64]

WATER_HEAT = 4.10e6
"""Heat capacity of harbour water at the rating point, J/(m³·K) (28 g/kg, 29 °C; TEOS-10)."""

_LIQUID_STEP = 0.05
_COLDEST_RATED = 274.15
_HOTTEST_RATED = 295.15


@dataclass(frozen=True, slots=True)
class Label:
    """What is known of the unit, (draws, 1).

    ``capacity`` W off the label and the share of it really ``delivered``; ``power`` W of
    compressor and fan at the rating point; ``volts`` and ``power_factor``; ``airflow`` m³/s;
    ``bypass`` of the coil, ``evaporating`` and ``condensing`` temperature (K) at the rating point;
    ``pump_power`` W of the seawater pump; ``trip`` the condensing temperature (K) at which the
    high-pressure switch opens, ``low_trip`` the evaporating one (K) at which the low-pressure
    switch does.
    """

    capacity: Array
    delivered: Array
    power: Array
    volts: Array
    power_factor: Array
    airflow: Array
    bypass: Array
    evaporating: Array
    condensing: Array
    fan_power: Array
    pump_power: Array
    trip: Array
    low_trip: Array


@dataclass(frozen=True, slots=True)
class Machine:
    """A unit ready to be balanced, (draws, 1).

    ``displacement`` m³/s swept at rated speed; ``efficiency`` isentropic power over electric
    power at the rating point; ``pressure_ratio`` there; ``coil_resistance`` K/W from the coil's
    surface to the boiling refrigerant; ``refrigerant_side`` and ``water_side`` K/W of the
    condenser, of ``area`` m², at ``water_flow`` m³/s.
    """

    refrigerant: Refrigerant
    displacement: Array
    efficiency: Array
    pressure_ratio: Array
    airflow: Array
    bypass: Array
    coil_resistance: Array
    refrigerant_side: Array
    water_side: Array
    area: Array
    water_flow: Array
    fan_power: Array
    pump_power: Array
    compressor_power: Array
    """Electric power at the rating point, W."""
    volts: Array
    power_factor: Array
    trip: Array
    low_trip: Array
    surface: Array
    """Coil surface at the rating point, K."""


class Cycle(NamedTuple):
    """Refrigerating ``cooling`` W, electric ``power`` W and refrigerant ``flow`` kg/s."""

    cooling: Array
    power: Array
    flow: Array


def volumetric_efficiency(pressure_ratio: ArrayLike) -> Array:
    """Gas drawn in over volume swept: 1 - c((p2/p1)^(1/n) - 1) (clearance formula; see tables).

    Held at 0.3 and above, reached at a ratio near 27 where no such compressor runs.
    """
    ratio = as_array(pressure_ratio)
    swept = 1.0 - tables.CLEARANCE * (ratio ** (1.0 / tables.EXPANSION_EXPONENT) - 1.0)
    return np.maximum(swept, 0.3)


def motor_loss(volts_share: ArrayLike) -> Array:
    """Electric power per shaft power, against that at rated volts (1 there).

    Copper loss with the square of the amps, core loss with the square of the volts.
    """
    square = np.square(as_array(volts_share))
    copper, core = tables.COPPER_LOSS, tables.CORE_LOSS
    return (1.0 + copper / square + core * square) / (1.0 + copper + core)


def speed_share(volts_share: ArrayLike, frequency_share: ArrayLike) -> Array:
    """Speed against rated: frequency, and slip that grows as 1/V² (induction motor)."""
    slip = tables.RATED_SLIP / np.square(as_array(volts_share))
    return as_array(frequency_share) * (1.0 - slip) / (1.0 - tables.RATED_SLIP)


@cache
def _subcooled(gas: Refrigerant) -> Line:
    """Liquid enthalpy at the rated subcooling by condensing temperature: one look-up for four."""
    values = gas.liquid_enthalpy(np.arange(gas.cond_min, gas.t_max, _LIQUID_STEP), tables.RATED_SUBCOOLING)
    # Straight on past the end, so that rounding there finds a cell; and before the beginning.
    rise, fall = values[-1] - values[-2], values[0] - values[1]
    table = np.concatenate([[values[0] + fall], values, values[-1] + rise * np.arange(1.0, 3.0)])
    return Line(gas.cond_min - _LIQUID_STEP, _LIQUID_STEP, table)


def vapour_cycle(
    gas: Refrigerant, displacement: ArrayLike, efficiency: ArrayLike, rated_ratio: ArrayLike,
    evaporating: Array, condensing: Array, subcooling: ArrayLike = tables.RATED_SUBCOOLING,
) -> Cycle:  # fmt: skip
    """A single-stage vapour-compression cycle at two temperatures (dew, K).

    m = η_v·V·ρ1, Q = m(h1 - h4), P = m(h2s - h1)/η with η falling off from its rating pressure
    ratio by 0.15 (ln)². ``efficiency`` is isentropic over electric power. Temperatures must lie in
    the refrigerant's map, condensing not below evaporating. Source: any text, e.g. Cengel and
    Boles ch. 11.
    """
    ratio = gas.pressure(condensing) / gas.pressure(evaporating)
    flow = as_array(displacement) * volumetric_efficiency(ratio) * gas.suction_density(evaporating)
    off = 1.0 - tables.EFFICIENCY_CURVATURE * np.square(np.log(ratio / as_array(rated_ratio)))
    rise = gas.isentropic_rise(evaporating, condensing)
    if subcooling is tables.RATED_SUBCOOLING:
        liquid = _subcooled(gas)(condensing)
    else:
        liquid = gas.liquid_enthalpy(condensing, subcooling)
    cooling = flow * (gas.vapour_enthalpy(evaporating) - liquid)
    return Cycle(cooling, flow * rise / (as_array(efficiency) * np.maximum(off, 0.5)), flow)


GLIDING = ("R407C", "R454B")
"""Mixtures whose glide is reckoned with."""


def half_glide(gas: Refrigerant, condensing: Array) -> Array | float:
    """Dew temperature less the mean of dew and bubble, K: what a condenser's water does not see.

    0 for a pure refrigerant and for a mixture whose glide is below 0.3 K (R410A); R407C 2.5 K, R454B
    0.8 K. The mean stands for the whole of a condensation that is not linear in enthalpy.
    """
    return 0.5 * gas.glide(condensing) if gas.name in GLIDING else 0.0


def machine_from_label(label: Label, gas: Refrigerant) -> Machine:
    """Fit a machine to its label at the rating point: air at 80/67 °F, water 85 to 95 °F.

    Where the label asks more of the coil than its air flow can give without freezing, the
    capacity is held at what it can. Every result is finite for any positive label.
    """
    dry = np.asarray(tables.RATED_RETURN_DRY_BULB)
    ratio_in = air.humidity_ratio_from_wet_bulb(dry, tables.RATED_RETURN_WET_BULB)
    h_in = air.enthalpy(dry, ratio_in)
    flow = label.airflow / air.specific_volume(dry, ratio_in)
    contact = 1.0 - label.bypass

    def heat(surface: Array) -> Array:
        return coil_air(dry, ratio_in, h_in, flow, contact, surface).heat

    wanted = label.capacity * label.delivered + label.fan_power
    wanted = bounded(
        wanted, heat(np.full_like(wanted, _HOTTEST_RATED)), heat(np.full_like(wanted, _COLDEST_RATED))
    )
    surface = np.full_like(wanted, 285.0)
    for _ in range(7):  # Newton on a smooth falling curve; 4 are enough
        here = heat(surface)
        slope = (heat(surface + 0.05) - here) / 0.05
        moved = bounded(surface + (wanted - here) / slope, _COLDEST_RATED, _HOTTEST_RATED)
        near = float(np.abs(moved - surface).max()) < 1e-4
        surface = moved
        if near:
            break
    evaporating = np.minimum(label.evaporating, surface - 2.0)
    mean = bounded(label.condensing, tables.RATED_WATER_IN + tables.RATED_WATER_RISE + 2.0, gas.t_max - 3.5)
    # The label's is the mean; the dew temperature of a mixture lies half its glide above.
    condensing = mean + half_glide(gas, mean + half_glide(gas, mean))
    rated_ratio = gas.pressure(condensing) / gas.pressure(evaporating)
    unit = vapour_cycle(gas, 1.0, 1.0, rated_ratio, evaporating, condensing)
    displacement = wanted / unit.cooling
    compressor = np.maximum(label.power - label.fan_power, 0.25 * label.power)
    rejected = wanted + tables.HERMETIC_SHARE * compressor
    water = rejected / tables.RATED_WATER_RISE
    effectiveness = tables.RATED_WATER_RISE / (mean - tables.RATED_WATER_IN)
    conductance = transfer_units_phase_change(effectiveness) * water
    return Machine(
        refrigerant=gas,
        displacement=displacement,
        efficiency=displacement * unit.power / compressor,
        pressure_ratio=rated_ratio,
        airflow=label.airflow,
        bypass=label.bypass,
        coil_resistance=(surface - evaporating) / wanted,
        refrigerant_side=(1.0 - tables.WATER_FILM_SHARE) / conductance,
        water_side=tables.WATER_FILM_SHARE / conductance,
        area=conductance / tables.CONDENSER_TRANSMITTANCE,
        water_flow=water / WATER_HEAT,
        fan_power=label.fan_power,
        pump_power=label.pump_power,
        compressor_power=compressor,
        volts=label.volts,
        power_factor=label.power_factor,
        trip=np.minimum(label.trip, gas.t_max - 0.5),
        low_trip=label.low_trip,
        surface=surface,
    )
