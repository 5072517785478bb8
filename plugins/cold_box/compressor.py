"""A small direct-current compressor on an evaporator plate.

Vocabulary: ``evaporating`` and ``condensing`` are saturation temperatures (K); ``volumetric``
quantities are per cubic metre swept. Plain broadcasting.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.refrigerants import Refrigerant
from console.properties.tables import as_array
from plugins.cold_box.tables import (
    BEST_RATIO,
    CLEARANCE,
    EXPANSION,
    RATED_OVER_CYCLE,
    RATING_POINTS,
    SUBCOOLING,
    USUAL_CONDENSING,
    USUAL_EVAPORATING,
    ZERO_CELSIUS,
)

Array = NDArray[np.float64]

LEAST_EFFICIENCY = 0.05

MOST_EFFICIENT = 0.7
"""Isentropic over electric work no small compressor passes: the best household ones reach some
0.65. From memory."""


def volumetric_efficiency_clearance(
    suction: ArrayLike, discharge: ArrayLike, clearance: float = CLEARANCE, exponent: float = EXPANSION
) -> Array:
    """Share of the stroke that draws fresh gas: 1 + C - C (p_d/p_s)^(1/n), at least 0.05.

    Re-expansion of the gas left in the dead space ``clearance`` (any refrigeration text, e.g.
    Stoecker & Jones eq. 11-3). Pressures in Pa.
    """
    ratio = as_array(discharge) / as_array(suction)
    share = 1.0 + clearance - clearance * ratio ** (1.0 / exponent)
    return np.maximum(share, LEAST_EFFICIENCY)


@dataclass(frozen=True, slots=True)
class Condensing:
    """What a condensing temperature fixes, so that a search over the plate need not redo it."""

    temperature: Array
    pressure: Array
    liquid_enthalpy: Array


def condensing_at(refrigerant: Refrigerant, temperature: ArrayLike) -> Condensing:
    """The high side at a condensing temperature (K), held within the map."""
    held = np.clip(as_array(temperature), ZERO_CELSIUS, refrigerant.t_max)
    return Condensing(held, refrigerant.pressure(held), refrigerant.liquid_enthalpy(held, SUBCOOLING))


def _within_map(refrigerant: Refrigerant, evaporating: ArrayLike, high: Condensing) -> Array:
    """Evaporating temperature held within the map and a kelvin under the condensing one."""
    warmest = np.minimum(high.temperature - 1.0, refrigerant.evap_max)
    return np.clip(as_array(evaporating), refrigerant.t_min, warmest)


def volumetric_cooling(refrigerant: Refrigerant, evaporating: ArrayLike, high: Condensing) -> Array:
    """Cooling per m³ swept: η_v ρ_suction (h₁ - h₄), J/m³.

    ``evaporating`` (K) is held within the property map, -45 to 35 °C.
    """
    low = _within_map(refrigerant, evaporating, high)
    share = volumetric_efficiency_clearance(refrigerant.pressure(low), high.pressure)
    effect = refrigerant.vapour_enthalpy(low) - high.liquid_enthalpy
    return share * refrigerant.suction_density(low) * effect


def volumetric_work(refrigerant: Refrigerant, evaporating: ArrayLike, high: Condensing) -> Array:
    """Isentropic work per m³ swept: η_v ρ_suction (h₂ₛ - h₁), J/m³."""
    low = _within_map(refrigerant, evaporating, high)
    share = volumetric_efficiency_clearance(refrigerant.pressure(low), high.pressure)
    rise = refrigerant.isentropic_rise(low, high.temperature)
    return share * refrigerant.suction_density(low) * rise


def efficiency_against_best(ratio: ArrayLike, fall: ArrayLike) -> Array:
    """Isentropic efficiency at a pressure ratio over its best: 1 - fall · ln²(r/5), at least 0.3.

    Leakage and heating of the gas cost at high ratios, friction and the motor's idling at low
    ones. The form is a stated one, its ``fall`` from memory of data sheets at ratios of 4 to 15
    (`tables.EFFICIENCY_FALL`), for which the spread stands; beyond, the floor.
    """
    away = np.log(np.maximum(as_array(ratio), 1.0) / BEST_RATIO)
    return np.maximum(1.0 - as_array(fall) * away * away, 0.3)


@dataclass(frozen=True, slots=True)
class Compressor:
    """A compressor as its label or its owner's ammeter makes it.

    ``swept`` m³/s at full speed and charge, ``work_price`` electric joules per isentropic joule
    at the usual state, ``fall`` how that worsens away from the best pressure ratio.
    """

    refrigerant: Refrigerant
    swept: Array
    work_price: Array
    fall: Array | float = 0.0

    def cooling(self, evaporating: ArrayLike, high: Condensing, flow: Array | float = 1.0) -> Array:
        """Cooling (W) at full speed, ``flow`` (0..1) of it otherwise."""
        return self.swept * volumetric_cooling(self.refrigerant, evaporating, high) * flow

    def power(self, evaporating: ArrayLike, high: Condensing, flow: Array | float = 1.0) -> Array:
        """Electric power (W) while it runs."""
        work = volumetric_work(self.refrigerant, evaporating, high)
        low = self.refrigerant.pressure(_within_map(self.refrigerant, evaporating, high))
        usual = efficiency_against_best(_usual(self.refrigerant)[0], self.fall)
        price = self.work_price * usual / efficiency_against_best(high.pressure / low, self.fall)
        return self.swept * work * price * flow


def compressor_from_power(
    refrigerant: Refrigerant, power: ArrayLike, efficiency: ArrayLike, fall: Array | float = 0.0
) -> Compressor:
    """From the watts it takes at the usual state (-12 °C plate, 45 °C condensing).

    ``efficiency`` (0..1) is isentropic over electric work, the motor and its controller in it.
    """
    efficiency = as_array(efficiency)
    swept = as_array(power) * efficiency / _usual(refrigerant)[1]
    return Compressor(refrigerant, swept, 1.0 / efficiency, fall)


def compressor_from_capacity(
    refrigerant: Refrigerant, capacity: ArrayLike, rating: str, power: ArrayLike,
    fall: Array | float = 0.0,
) -> Compressor:  # fmt: skip
    """From its rated cooling (W) at a point of `RATING_POINTS`, and its usual watts.

    Where the label promises more than those watts can lift (`MOST_EFFICIENT`), the watts count:
    they were measured, and a label read at the wrong point is off by half.
    """
    swept = _rated_swept(refrigerant, capacity, rating)
    swept = np.minimum(swept, MOST_EFFICIENT * as_array(power) / _usual(refrigerant)[1])
    return Compressor(refrigerant, swept, as_array(power) / (swept * _usual(refrigerant)[1]), fall)


def usual_power(refrigerant: Refrigerant, capacity: ArrayLike, rating: str, efficiency: ArrayLike) -> Array:
    """Electric watts at the usual state of a compressor of a rated cooling and an efficiency."""
    swept = _rated_swept(refrigerant, capacity, rating)
    return swept * _usual(refrigerant)[1] / as_array(efficiency)


def _rated_swept(refrigerant: Refrigerant, capacity: ArrayLike, rating: str) -> Array:
    """m³/s swept by a compressor of that rated cooling.

    A rating's warm suction gas and cooled liquid flatter it by `RATED_OVER_CYCLE`.
    """
    evaporating, condensing = (t + ZERO_CELSIUS for t in RATING_POINTS[rating][:2])
    at_cycle = volumetric_cooling(refrigerant, evaporating, condensing_at(refrigerant, condensing))
    return as_array(capacity) / (at_cycle * RATED_OVER_CYCLE[refrigerant.name][rating])


@lru_cache
def _usual(refrigerant: Refrigerant) -> tuple[Array, Array]:
    """Pressure ratio and isentropic work per m³ swept at the usual state."""
    high, low = condensing_at(refrigerant, USUAL_CONDENSING), np.asarray(USUAL_EVAPORATING)
    return high.pressure / refrigerant.pressure(low), volumetric_work(refrigerant, low, high)


def running_share_allowed(volts: ArrayLike, cut_out: ArrayLike) -> Array:
    """Share (0..1) of the time its electronics let it run at ``volts`` on its terminals.

    None at the cut-out voltage, all at 4 % above it (the usual gap between cutting out and in);
    between, it starts, sags, stops and tries again. Common practice, no source.
    """
    return np.clip((as_array(volts) / as_array(cut_out) - 1.0) / 0.04, 0.0, 1.0)
