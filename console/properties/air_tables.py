"""The map of moist air laid out for quick use: tables, their inverses, and the wet-bulb balance."""

from __future__ import annotations

import threading

import numpy as np
from numpy.typing import NDArray

from console.properties import air_map, store
from console.properties.air_map import HALF, MIDDLE, RATIO, STANDARD, TRIPLE
from console.properties.tables import Line, inverse, polynomial

Array = NDArray[np.float64]
Row = tuple[float, ...]
Surface = tuple[Row, ...]

MAP_KEY = "air"


def scaled(T: Array) -> Array:
    """Temperature on -1..1, the variable of the polynomials."""
    x = T - MIDDLE
    x *= 1.0 / HALF
    return x


def surface(x: Array, W: Array, rows: Surface) -> Array:
    """Σ rows[j](x) W^j by Horner's rule; the last row may be a bare number."""
    last = rows[-1]
    total = W * (last[0] if len(last) == 1 else polynomial(x, last))
    for row in rows[-2:0:-1]:
        total = (total + polynomial(x, row)) * W
    return total + polynomial(x, rows[0])


def slopes(rows: Surface) -> Surface:
    """The surface's derivative by ``x``; a last row without slope is dropped."""
    derived = tuple(tuple(k * c for k, c in enumerate(row))[1:] for row in rows)
    return tuple(row for row in derived if row)


def _rows(table: Array) -> Surface:
    """The polynomial in temperature of each power of W, without its trailing zeros."""
    rows = []
    for row in table.tolist():
        while len(row) > 1 and row[-1] == 0:
            row.pop()
        rows.append(tuple(row))
    return tuple(rows)


class AirTables:
    """Everything `console.properties.air` looks up.

    ``effective`` is the saturation pressure times the enhancement factor at standard pressure
    (what x_s p is), ``per_pressure`` its relative change per pascal.
    """

    def __init__(self, arrays: store.Map) -> None:
        T = air_map.grid()
        n = air_map.BELOW
        first, step = float(T[0]), air_map.STEP
        effective = arrays["effective_pressure"]
        self.pure = Line(first, step, arrays["pure_pressure"])
        self.effective = Line(first, step, effective)
        self.per_pressure: Row = tuple(arrays["effective_per_pressure"].tolist())
        self.ice: Row = tuple(arrays["ice_enthalpy"].tolist())
        self.water: Row = tuple(arrays["water_enthalpy"].tolist())
        self.h = _rows(arrays["enthalpy"])
        self.h_slope = slopes(self.h)
        self.h_per_pressure = _rows(arrays["enthalpy_per_pressure"])
        self.v = _rows(arrays["volume_departure"])

        self.dew = inverse(np.log(effective), T, float(np.log(effective[n])), 0.002)
        W = RATIO * effective / (STANDARD - effective)
        h = surface(scaled(T), W, self.h)
        self.saturated = inverse(h, T, float(h[n]), 50.0)
        # Saturated air, and liquid water, at the triple point: where the wick freezes.
        self.h_edge, self.W_edge = float(h[n]), float(W[n])
        self.water_edge = float(polynomial(scaled(T[n : n + 1]), self.water)[0])
        self.over_water = Wick(T[n:], h[n:], W[n:], self.water)
        self.over_ice = Wick(T[: n + 1], h[: n + 1], W[: n + 1], self.ice)


class Wick:
    """The wet-bulb balance over water or over ice, at standard pressure.

    h_s(t) - (W_s(t) - W) h_c(t) = h. With u(t) = h_s - W_s h_c, which rises with t, it reads
    u + W h_c(u) = h: so nearly linear in u that one Newton step settles it, and u is the same
    table whatever the air.
    """

    _STEP = 50.0  # J/kg
    _GUARD = 2000.0  # J/kg by which the table goes on, straight, past the triple point

    def __init__(self, T: Array, h: Array, W: Array, condensed: Row) -> None:
        heat = polynomial(scaled(T), condensed)
        u = h - W * heat
        # A straight piece past the triple point, for first guesses that overshoot it.
        if T[0] == TRIPLE:
            u = np.append(u[0] - self._GUARD, u)
            T = np.append(T[0] - self._GUARD * (T[1] - T[0]) / (u[2] - u[1]), T)
            node = float(u[1])
        else:
            u = np.append(u, u[-1] + self._GUARD)
            T = np.append(T, T[-1] + self._GUARD * (T[-1] - T[-2]) / (u[-2] - u[-3]))
            node = float(u[-2])
        self._temperature = inverse(u, T, node, self._STEP)
        self._heat = inverse(u, polynomial(scaled(T), condensed), node, self._STEP)
        # The condensate's enthalpy as a straight line, for the first guess.
        warm, cold = float(T.max()), float(T.min())
        ends = polynomial(scaled(np.array([cold, warm])), condensed)
        self._per_kelvin = float(ends[1] - ends[0]) / (warm - cold)
        self._at_zero = float(ends[0]) - self._per_kelvin * cold

    def temperature(self, T: Array, W: Array, h: Array) -> Array:
        """The wet bulb of air of temperature ``T``, from which the first guess is taken."""
        guess = T * self._per_kelvin
        guess += self._at_zero
        guess = guess * W  # not in place: the shapes broadcast
        u = h - guess
        heat, slope = self._heat.with_slope(u)
        heat *= W
        heat -= guess
        slope *= W
        slope += 1.0
        heat /= slope
        return self._temperature(u - heat)


_tables: AirTables | None = None
_lock = threading.Lock()


def air_tables() -> AirTables:
    """The tables, loaded (or built) at the first call."""
    global _tables
    if _tables is None:
        arrays = store.load(MAP_KEY, air_map.build)
        with _lock:
            _tables = _tables or AirTables(arrays)
    return _tables
