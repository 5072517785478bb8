"""Moist air at and near sea level: humidity, dew point, wet bulb, enthalpy, volume.

Symbols: ``T`` temperature K; ``W`` humidity ratio, kg of water per kg of dry air; ``rh`` relative
humidity 0..1; ``h`` enthalpy, J per kg of dry air (dry air 0 at 0 °C, liquid water 0 at 0.01 °C);
``p`` pressure, Pa, of which 101,325 is the standard and by far the quickest.

**Range**: T -45..60 °C, W 0..0.17, rh 0..1, p 80..110 kPa. Outside it the answer is NaN, element
by element. Air above saturation is taken as supersaturated vapour: a relative humidity above 1
comes out as it is, and whoever mixes airs decides what falls out.

**Ice and water**: below the triple point (0.01 °C) saturation is over ice: the saturation
pressure, relative humidity and dew point (then a frost point) all refer to ice.

Source: CoolProp's humid air, the real gas of ASHRAE RP-1485 (Herrmann, Kretzschmar, Gatley 2009),
through maps within 0.1 % of it (`air_map`).
"""

from __future__ import annotations

import threading

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import air_map, store
from console.properties.air_map import HALF, MIDDLE, P_MAX, P_MIN, RATIO, STANDARD, T_MAX, T_MIN, TRIPLE, W_MAX
from console.properties.tables import Line, as_array, polynomial

Array = NDArray[np.float64]
Surface = tuple[tuple[float, ...], ...]

MAP_KEY = "air"


def build_map() -> store.Map:
    """Build the map with CoolProp and gsw."""
    return air_map.build()


def _rows(table: Array) -> Surface:
    """The polynomials in temperature of each power of W, without their trailing zeros."""
    rows = []
    for row in table.tolist():
        while len(row) > 1 and row[-1] == 0:
            row.pop()
        rows.append(tuple(row))
    return tuple(rows)


class _Air:
    """The map, laid out for quick use."""

    def __init__(self, arrays: store.Map) -> None:
        T = air_map.grid()
        step = air_map.STEP
        first = float(T[0])
        effective = arrays["effective_pressure"]
        self.pure = Line(first, step, arrays["pure_pressure"])
        self.effective = Line(first, step, effective)
        self.per_pressure = tuple(arrays["effective_per_pressure"].tolist())
        self.ice = tuple(arrays["ice_enthalpy"].tolist())
        self.water = tuple(arrays["water_enthalpy"].tolist())
        self.h = _rows(arrays["enthalpy"])
        self.h_per_pressure = _rows(arrays["enthalpy_per_pressure"])
        self.v = _rows(arrays["volume_departure"])

        # The inverse of the saturation line: uniform in ln p, the triple point on a node.
        self.dew = _inverse(np.log(effective), T, float(np.log(effective[air_map.BELOW])), 0.002)
        W = RATIO * effective / (STANDARD - effective)
        h_saturated = _surface((T - MIDDLE) / HALF, W, self.h)
        self.saturated = _inverse(h_saturated, T, float(h_saturated[air_map.BELOW]), 50.0)

        n = air_map.BELOW
        self.wet_water = _Wick(T[n:], h_saturated[n:], W[n:], self.water)
        self.wet_ice = _Wick(T[: n + 1], h_saturated[: n + 1], W[: n + 1], self.ice)


class _Wick:
    """The wet-bulb balance over water or over ice, at standard pressure.

    h_s(t) + (W - W_s(t)) h_c(t) = h, with u(t) = h_s - W_s h_c rising in t, is u + W h_c(u) = h:
    nearly linear in u, so two Newton steps settle it whatever the temperature.
    """

    GUARD = 1500.0  # J/kg by which the tables go on, straight, past the triple point
    STEP = 50.0  # J/kg

    def __init__(self, T: Array, h: Array, W: Array, condensed: tuple[float, ...]) -> None:
        self._condensed = condensed
        u = h - W * polynomial((T - MIDDLE) / HALF, condensed)
        over_water = T[0] == TRIPLE
        #: u at the triple point, where water and ice part
        self.edge = float(u[0] if over_water else u[-1])
        low = self.edge - self.GUARD if over_water else self.edge - (self.edge - u[0]) // self.STEP * self.STEP
        high = float(u[-1]) if over_water else self.edge + self.GUARD
        places = low + self.STEP * np.arange(int((high - low) / self.STEP + 1e-6) + 1)
        on = np.interp(places, u, T)
        past = places - self.edge
        outside = past < 0 if over_water else past > 0
        slope = (T[1] - T[0]) / (u[1] - u[0]) if over_water else (T[-1] - T[-2]) / (u[-1] - u[-2])
        on = np.where(outside, TRIPLE + past * slope, on)
        self._temperature = Line(float(places[0]), self.STEP, on)
        self._heat = Line(float(places[0]), self.STEP, polynomial((on - MIDDLE) / HALF, condensed))

    def condensed(self, T: Array) -> Array:
        return polynomial((T - MIDDLE) / HALF, self._condensed)

    def temperature(self, T: Array, W: Array, h: Array) -> Array:
        """The wet bulb, starting from the condensate at the dry bulb ``T``."""
        u = h - W * self.condensed(T)
        for _ in range(2):
            heat, slope = self._heat.with_slope(u)
            heat *= W
            heat += u - h
            slope *= W
            slope += 1.0
            u = u - heat / slope
        return self._temperature(u)


def _inverse(rising: Array, T: Array, node: float, step: float) -> Line:
    """The table of T over ``rising``, on a grid of ``step`` that holds ``node``."""
    below = int((node - rising[0]) / step)
    above = int((rising[-1] - node) / step)
    places = node + step * np.arange(-below, above + 1)
    return Line(float(places[0]), step, np.interp(places, rising, T))


def _surface(x: Array, W: Array, rows: Surface) -> Array:
    """Σ rows[j](x) W^j by Horner's rule."""
    total: Array | float = _row(x, rows[-1])
    for row in rows[-2::-1]:
        total = _row(x, row) + total * W
    return total  # type: ignore[return-value]


def _row(x: Array, row: tuple[float, ...]) -> Array | float:
    return row[0] if len(row) == 1 else polynomial(x, row)


_air: _Air | None = None
_lock = threading.Lock()


def _map() -> _Air:
    global _air
    if _air is None:
        arrays = store.load(MAP_KEY, build_map)
        with _lock:
            _air = _air or _Air(arrays)
    return _air


def _within(x: ArrayLike, low: float, high: float, slack: float) -> Array:
    """``x`` where it lies within the range (give or take rounding), else NaN."""
    x = as_array(x)
    half = (high - low) / 2
    inside = np.abs(x - (low + half)) <= half + slack
    if inside.all():
        return x
    return np.where(inside, x, np.nan)


def _temperature(T: ArrayLike) -> Array:
    return _within(T, T_MIN, T_MAX, 1e-6)


def _humidity(W: ArrayLike) -> Array:
    return _within(W, 0.0, W_MAX, 1e-9)


def _is_standard(p: ArrayLike) -> bool:
    return isinstance(p, float) and p == STANDARD


def _effective(T: Array, p: ArrayLike) -> tuple[Array, ArrayLike]:
    """x_s · p at ``T`` (saturation pressure times enhancement factor), and ``p`` in its range."""
    air = _map()
    saturated = air.effective(T)
    if _is_standard(p):
        return saturated, p
    p = _within(p, P_MIN, P_MAX, 1e-6)
    return saturated * (1.0 + polynomial((T - MIDDLE) / HALF, air.per_pressure) * (p - STANDARD)), p


# --- humidity -------------------------------------------------------------------------------


def saturation_pressure(T: ArrayLike) -> Array:
    """Saturation pressure of pure water, Pa, over ice below 0.01 °C."""
    return _map().pure(_temperature(T))


def humidity_ratio(T: ArrayLike, rh: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio, kg/kg of dry air, at relative humidity ``rh`` (0..1).

    ``rh`` is the mole fraction of vapour over that at saturation (ASHRAE's definition), over ice
    below 0.01 °C.
    """
    saturated, p = _effective(_temperature(T), p)
    vapour = _within(rh, 0.0, 1.0, 1e-9) * saturated
    return RATIO * vapour / (p - vapour)


def saturation_humidity_ratio(T: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio of saturated air, kg/kg of dry air."""
    saturated, p = _effective(_temperature(T), p)
    return RATIO * saturated / (p - saturated)


def relative_humidity(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Relative humidity (above 1 where ``W`` is above saturation): inverse of `humidity_ratio`."""
    saturated, p = _effective(_temperature(T), p)
    W = _humidity(W)
    return W * p / ((RATIO + W) * saturated)


def dew_point(W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Temperature, K, at which air of humidity ratio ``W`` is saturated; over ice below 0.01 °C.

    NaN where that would be below -45 °C (W below some 4.4e-5).
    """
    air = _map()
    W = _humidity(W)
    if not _is_standard(p):
        p = _within(p, P_MIN, P_MAX, 1e-6)
    with np.errstate(divide="ignore", invalid="ignore"):
        log = np.log(np.maximum(W, 0.0) * p / (RATIO + W))
    T = air.dew(log)
    if not _is_standard(p):
        for _ in range(2):  # the enhancement factor's own temperature moves it by a hair
            T = air.dew(log - np.log1p(polynomial((T - MIDDLE) / HALF, air.per_pressure) * (p - STANDARD)))
    return _within(T, T_MIN, T_MAX, 1e-6)


def wet_bulb(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Thermodynamic wet-bulb temperature, K: h + (W_s - W) h_c = h_s at the wet bulb (ASHRAE).

    The condensed water is **liquid wherever a wet bulb of 0.01 °C or above exists, else ice**: a
    wick is taken to stay liquid until it must freeze. In a band of states just below that edge
    (wet bulbs of ice down to some -0.7 °C) both balances have an answer; other programs
    may give the other one.
    """
    air = _map()
    T, W = _temperature(T), _humidity(W)
    h = enthalpy(T, W, p)
    if not _is_standard(p):
        return _wet_bulb_at(T, W, h, p)
    edge = air.wet_water.edge + W * float(polynomial(as_array((TRIPLE - MIDDLE) / HALF), air.water))
    frozen = h < edge
    if not frozen.any():
        return air.wet_water.temperature(T, W, h)
    over_ice = air.wet_ice.temperature(np.minimum(T, TRIPLE), W, h)
    if frozen.all():
        return over_ice
    return np.where(frozen, over_ice, air.wet_water.temperature(np.maximum(T, TRIPLE), W, h))


def _wet_bulb_at(T: Array, W: Array, h: Array, p: ArrayLike) -> Array:
    """The wet bulb at any pressure: Newton from the dry bulb, from above on a convex balance."""
    air = _map()
    T, W, h, p = np.broadcast_arrays(T, W, h, _within(p, P_MIN, P_MAX, 1e-6))

    def balance(t: Array, condensed: tuple[float, ...]) -> tuple[Array, Array]:
        x = (t - MIDDLE) / HALF
        saturated, slope = air.effective.with_slope(t)
        factor = 1.0 + polynomial(x, air.per_pressure) * (p - STANDARD)
        saturated, slope = saturated * factor, slope * factor
        W_s = RATIO * saturated / (p - saturated)
        W_slope = W_s * slope * p / (saturated * (p - saturated))
        h_c = polynomial(x, condensed)
        h_s = _enthalpy(x, W_s, p)
        return h_s - (W_s - W) * h_c - h, 1006.0 + 1860.0 * W_s + W_slope * (2.501e6 + 1860.0 * (t - 273.15) - h_c)

    frozen = balance(np.full(T.shape, TRIPLE), air.water)[0] > 0
    answers = []
    for condensed, low, high in ((air.ice, 0.0, TRIPLE), (air.water, TRIPLE, np.inf)):
        t = np.clip(T, low, high)
        for _ in range(8):
            short, slope = balance(t, condensed)
            t = np.clip(t - short / slope, low, high)
        answers.append(t)
    return np.where(frozen, *answers)


def humidity_ratio_from_wet_bulb(T: ArrayLike, Twb: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Humidity ratio from dry and wet bulb, K. The wick is ice below 0.01 °C.

    NaN where there is no such air: a wet bulb above the dry one, or so far below it that even
    dry air is not as cold.
    """
    air = _map()
    T, Twb = _temperature(T), _temperature(Twb)
    W_s = saturation_humidity_ratio(Twb, p)
    x = (Twb - MIDDLE) / HALF
    h_c = polynomial(x, air.water)
    frozen = Twb < TRIPLE
    if frozen.any():
        h_c = np.where(frozen, polynomial(x, air.ice), h_c)
    # h(T, W) - W h_c is nearly linear in W: secant steps from the saturated air's slope.
    sought = enthalpy(Twb, W_s, p) - W_s * h_c
    W = np.zeros(np.broadcast_shapes(T.shape, W_s.shape))
    x = (T - MIDDLE) / HALF
    per_W = 2.501e6 + 1860.0 * (T - 273.15) - h_c
    for _ in range(4):
        W = W + (sought - _enthalpy(x, W, p) + W * h_c) / per_W
    W = np.where((W < 0) & (W > -1e-9), 0.0, W)
    return np.where(Twb <= T + 1e-6, _humidity(W), np.nan)


# --- enthalpy and volume --------------------------------------------------------------------


def _enthalpy(x: Array, W: Array, p: ArrayLike) -> Array:
    air = _map()
    h = _surface(x, W, air.h)
    if not _is_standard(p):
        h = h + _surface(x, W, air.h_per_pressure) * (p - STANDARD)
    return h


def enthalpy(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Enthalpy of moist air, J per kg of dry air, within 5 J/kg of CoolProp.

    Dry air is 0 at 0 °C, liquid water 0 at 0.01 °C. Pressure hardly matters (13 J/kg for 6 kPa).
    """
    if not _is_standard(p):
        p = _within(p, P_MIN, P_MAX, 1e-6)
    return _enthalpy((_temperature(T) - MIDDLE) / HALF, _humidity(W), p)


def temperature_from_enthalpy(h: ArrayLike, W: ArrayLike) -> Array:
    """Temperature, K, of air of enthalpy ``h`` and humidity ratio ``W`` (standard pressure)."""
    rows = _map().h
    h, W = as_array(h), _humidity(W)
    # A first guess from constant heat capacities, then one Newton step on a nearly straight line.
    x = (h - rows[0][0] - rows[1][0] * W) / (rows[0][1] + rows[1][1] * W)
    slope = _surface(x, W, tuple(_slope(row) for row in rows[:3]))
    x = x + (h - _surface(x, W, rows)) / slope
    return _within(MIDDLE + HALF * x, T_MIN, T_MAX, 1e-3)


def _slope(row: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(k * c for k, c in enumerate(row))[1:]


def saturation_temperature(h: ArrayLike) -> Array:
    """Temperature, K, at which saturated air has the enthalpy ``h`` (standard pressure)."""
    return _within(_map().saturated(as_array(h)), T_MIN, T_MAX, 1e-3)


def specific_volume(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Volume, m³ of moist air per kg of dry air: ideal gas and second virial term."""
    T, W = _temperature(T), _humidity(W)
    if not _is_standard(p):
        p = _within(p, P_MIN, P_MAX, 1e-6)
    ideal = air_map.GAS * T / p * (1.0 + W * (1.0 / RATIO))
    return ideal + _surface((T - MIDDLE) / HALF, W, _map().v)


def density(T: ArrayLike, W: ArrayLike, p: ArrayLike = STANDARD) -> Array:
    """Density of moist air, kg of mixture per m³."""
    return (1.0 + as_array(W)) / specific_volume(T, W, p)


# --- condensed water ------------------------------------------------------------------------


def water_enthalpy(T: ArrayLike) -> Array:
    """Enthalpy of liquid water, J/kg, 0 at 0.01 °C: of condensate leaving a coil. 0.01..60 °C."""
    return polynomial((_within(T, TRIPLE, T_MAX, 0.011) - MIDDLE) / HALF, _map().water)


def ice_enthalpy(T: ArrayLike) -> Array:
    """Enthalpy of ice, J/kg, some -333.4 kJ/kg at 0 °C on the scale of `water_enthalpy`: of
    frost. -45..0.01 °C. IAPWS R10-06, by way of gsw.
    """
    return polynomial((_within(T, T_MIN, TRIPLE, 1e-6) - MIDDLE) / HALF, _map().ice)
