"""Moist air at and near sea level: humidity, dew point, wet bulb, enthalpy, volume.

Symbols: ``T`` temperature, K; ``W`` humidity ratio, kg of water per kg of dry air; ``rh`` relative
humidity, 0..1; ``h`` enthalpy, J per kg of dry air (dry air 0 at 0 °C, liquid water 0 at 0.01 °C);
``p`` pressure, Pa, of which the standard 101,325 is the quickest. Arrays broadcast; numbers in
give a number out.

**Range**: T -45..60 °C, W 0..0.21, rh 0..1, p 80..110 kPa. Outside it the answer is NaN, element
by element. Air above saturation is taken as supersaturated vapour: a relative humidity above 1
comes out as it is, and whoever mixes airs decides what falls out as fog.

**Ice and water**: below the triple point (0.01 °C) saturation is over ice, so that saturation
pressure, relative humidity and dew point (then a frost point) all refer to ice.

Source: CoolProp's humid air, the real gas of ASHRAE RP-1485 (Herrmann, Kretzschmar, Gatley 2009),
through maps within 0.01 % of it, enthalpy within 5 J/kg (`air_map`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import air_map
from console.properties.air_map import (
    HALF,
    MIDDLE,
    P_MAX,
    P_MIN,
    RATIO,
    STANDARD,
    T_MAX,
    T_MIN,
    TRIPLE,
    W_MAX,
)
from console.properties.air_tables import MAP_KEY as MAP_KEY
from console.properties.air_tables import AirTables, air_tables, scaled, surface
from console.properties.tables import as_array, polynomial, within

if TYPE_CHECKING:
    from console.properties import store

Array = NDArray[np.float64]
Pressure = float | Array


def build_map() -> store.Map:
    """Build the map with CoolProp and gsw."""
    return air_map.build()


def _temperature(T: ArrayLike) -> Array:
    return within(T, T_MIN, T_MAX, 1e-6)


def _humidity(W: ArrayLike) -> Array:
    return within(W, 0.0, W_MAX, 1e-9)


def _pressure(p: ArrayLike) -> Pressure:
    return STANDARD if isinstance(p, float) and p == STANDARD else within(p, P_MIN, P_MAX, 1e-6)


def _effective(air: AirTables, T: Array, p: Pressure) -> Array:
    """x_s p at ``T``: the saturation pressure times the enhancement factor."""
    saturated = air.effective(T)
    if p is not STANDARD:
        saturated = saturated * (1.0 + polynomial(scaled(T), air.per_pressure) * (p - STANDARD))
    return saturated


def _enthalpy(air: AirTables, x: Array, W: Array, p: Pressure) -> Array:
    h = surface(x, W, air.h)
    if p is not STANDARD:
        h = h + surface(x, W, air.h_per_pressure) * (p - STANDARD)
    return h


# --- humidity -------------------------------------------------------------------------------


def saturation_pressure(T: ArrayLike) -> Array:
    """Saturation pressure of pure water, Pa, over ice below 0.01 °C.

    IAPWS-95 over water, IAPWS R14-08 over ice.
    """
    return air_tables().pure(_temperature(T))


def humidity_ratio(T: ArrayLike, rh: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio, kg/kg of dry air, at relative humidity ``rh`` (0..1).

    ``rh`` is the mole fraction of vapour over that at saturation (ASHRAE's definition), over ice
    below 0.01 °C.
    """
    p = _pressure(p)
    vapour = _effective(air_tables(), _temperature(T), p) * within(rh, 0.0, 1.0, 1e-9)
    return RATIO * vapour / (p - vapour)


def saturation_humidity_ratio(T: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio of saturated air, kg/kg of dry air, over ice below 0.01 °C."""
    p = _pressure(p)
    saturated = _effective(air_tables(), _temperature(T), p)
    return RATIO * saturated / (p - saturated)


def relative_humidity(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Relative humidity (above 1 where ``W`` is above saturation): inverse of `humidity_ratio`."""
    p = _pressure(p)
    saturated = _effective(air_tables(), _temperature(T), p)
    W = _humidity(W)
    return W * p / ((RATIO + W) * saturated)


def dew_point(W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Temperature, K, at which air of humidity ratio ``W`` is saturated; over ice below 0.01 °C.

    NaN where that would be below -45 °C (W below some 4.4e-5) or above 60 °C.
    """
    air, p, W = air_tables(), _pressure(p), as_array(W)
    with np.errstate(divide="ignore", invalid="ignore"):
        log = np.log(W * p / (RATIO + W))
    T = air.dew(log)
    if p is not STANDARD:
        for _ in range(2):  # the enhancement factor moves it by a hair
            T = air.dew(log - np.log1p(polynomial(scaled(T), air.per_pressure) * (p - STANDARD)))
    return within(T, T_MIN, T_MAX, 1e-3)[()]


def wet_bulb(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Thermodynamic wet-bulb temperature, K: h + (W_s - W) h_c = h_s at the wet bulb (ASHRAE).

    The condensed water h_c is **liquid wherever the balance over liquid has an answer of 0.01 °C
    or above, else ice**: a wick stays liquid until it must freeze. Just above that edge (wet
    bulbs of 0.01..0.75 °C over water) the balance over ice has an answer too, up to 0.7 K lower;
    other programs may give that one.
    """
    air, p = air_tables(), _pressure(p)
    T, W = _temperature(T), _humidity(W)
    h = _enthalpy(air, scaled(T), W, p)
    if p is not STANDARD:
        return _wet_bulb_at(air, T, W, h, p)
    frozen = h < air.h_edge + (W - air.W_edge) * air.water_edge
    if not np.logical_or.reduce(frozen, axis=None):
        return air.over_water.temperature(T, W, h)
    over_ice = air.over_ice.temperature(np.minimum(T, TRIPLE), W, h)
    if frozen.all():
        return over_ice
    return np.where(frozen, over_ice, air.over_water.temperature(np.maximum(T, TRIPLE), W, h))


def _wet_bulb_at(air: AirTables, T: Array, W: Array, h: Array, p: Pressure) -> Array:
    """The wet bulb at any pressure: Newton's steps from that at standard pressure."""
    h_standard = _enthalpy(air, scaled(T), W, STANDARD)
    W_edge = saturation_humidity_ratio(TRIPLE, p)
    frozen = h < _enthalpy(air, scaled(as_array(TRIPLE)), W_edge, p) + (W - W_edge) * air.water_edge

    def solve(t: Array, condensed: tuple[float, ...], low: float, high: float) -> Array:
        t = np.where(np.isnan(t), T, t)  # at low pressure the first guess may be past the table
        for _ in range(3):
            t = np.clip(t, low, high)
            x = scaled(t)
            saturated, slope = air.effective.with_slope(t)
            factor = 1.0 + polynomial(x, air.per_pressure) * (p - STANDARD)
            saturated, slope = saturated * factor, slope * factor
            W_s = RATIO * saturated / (p - saturated)
            W_slope = W_s * slope * p / (saturated * (p - saturated))
            h_c = polynomial(x, condensed)
            short = _enthalpy(air, x, W_s, p) - (W_s - W) * h_c - h
            t = t - short / (1006.0 + 1860.0 * W_s + W_slope * (2.501e6 + 1860.0 * (t - 273.15) - h_c))
        return np.clip(t, low, high)

    water = solve(
        air.over_water.temperature(np.maximum(T, TRIPLE), W, h_standard), air.water, TRIPLE, T_MAX
    )
    if not frozen.any():
        return water
    ice = solve(
        air.over_ice.temperature(np.minimum(T, TRIPLE), W, h_standard), air.ice, T_MIN - 0.19, TRIPLE
    )
    return np.where(frozen, ice, water)


def humidity_ratio_from_wet_bulb(T: ArrayLike, Twb: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio from dry and wet bulb, K. The wick is ice below 0.01 °C.

    NaN where there is no such air: a wet bulb above the dry one, or so far below it that even
    dry air would be warmer.
    """
    air, p = air_tables(), _pressure(p)
    T, Twb = _temperature(T), _temperature(Twb)
    saturated = _effective(air, Twb, p)
    W_s = RATIO * saturated / (p - saturated)
    x = scaled(Twb)
    h_c = polynomial(x, air.water)
    frozen = Twb < TRIPLE
    if np.logical_or.reduce(frozen, axis=None):
        h_c = np.where(frozen, polynomial(x, air.ice), h_c)
    # h(T, W) = a + b W + c W² + d W³ is sought to be h_s - (W_s - W) h_c: hardly curved in W.
    sought = _enthalpy(air, x, W_s, p) - W_s * h_c
    x = scaled(T)
    a, b, c = (polynomial(x, row) for row in air.h[:3])
    d = air.h[3][0]
    if p is not STANDARD:
        a, b, c = (
            row + polynomial(x, per_pressure) * (p - STANDARD)
            for row, per_pressure in zip((a, b, c), air.h_per_pressure, strict=True)
        )
    rest, straight = sought - a, b - h_c
    W = rest / straight
    for _ in range(2):
        W = rest / (straight + W * (c + d * W))
    W = np.where((W < 0.0) & (W > -1e-7), 0.0, W)
    return np.where(Twb <= T + 1e-6, _humidity(W), np.nan)[()]


# --- enthalpy and volume --------------------------------------------------------------------


def enthalpy(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Enthalpy of moist air, J per kg of dry air, within 5 J/kg of CoolProp.

    Dry air is 0 at 0 °C, liquid water 0 at 0.01 °C. Pressure hardly matters (13 J/kg for 6 kPa).
    """
    return _enthalpy(air_tables(), scaled(_temperature(T)), _humidity(W), _pressure(p))


def temperature_from_enthalpy(h: ArrayLike, W: ArrayLike) -> Array:
    """Temperature, K, of air of enthalpy ``h`` and humidity ratio ``W`` (standard pressure)."""
    air, h, W = air_tables(), as_array(h), _humidity(W)
    # A guess from constant heat capacities, then one Newton step on a nearly straight line.
    x = (h - air.h[0][0] - air.h[1][0] * W) / (air.h[0][1] + air.h[1][1] * W)
    x = np.minimum(np.maximum(x, -2.0), 2.0)
    x = x + (h - surface(x, W, air.h)) / surface(x, W, air.h_slope)
    return within(MIDDLE + HALF * x, T_MIN, T_MAX, 0.01)[()]  # 5 J/kg at the ends of the range


def saturation_temperature(h: ArrayLike) -> Array:
    """Temperature, K, at which saturated air has the enthalpy ``h`` (standard pressure)."""
    return within(air_tables().saturated(as_array(h)), T_MIN, T_MAX, 1e-3)[()]


def specific_volume(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Volume, m³ of moist air per kg of dry air: ideal gas and a second virial term."""
    T, W, p = _temperature(T), _humidity(W), _pressure(p)
    ideal = (W * (air_map.GAS / RATIO) + air_map.GAS) * (T / p)
    return ideal + surface(scaled(T), W, air_tables().v)


def density(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Density of moist air, kg of mixture per m³."""
    return (as_array(W) + 1.0) / specific_volume(T, W, p)


# --- condensed water ------------------------------------------------------------------------


def water_enthalpy(T: ArrayLike) -> Array:
    """Enthalpy of liquid water, J/kg, 0 at 0.01 °C: of condensate leaving a coil. 0..60 °C."""
    return polynomial(scaled(within(T, 273.15, T_MAX, 1e-6)), air_tables().water)


def ice_enthalpy(T: ArrayLike) -> Array:
    """Enthalpy of ice, J/kg, -333.4 kJ/kg at 0 °C on the scale of `water_enthalpy`: of frost.

    -45..0.01 °C. IAPWS R10-06, by way of gsw.
    """
    return polynomial(scaled(within(T, T_MIN, TRIPLE, 1e-6)), air_tables().ice)
