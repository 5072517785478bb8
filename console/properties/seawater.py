"""Seawater from fresh to ocean: density, heat capacity, viscosity, conductivity, vapour pressure.

Arguments are ``T``, temperature K, and ``salinity``, Absolute Salinity in kg of salt per kg of
seawater (the ocean 0.035, a brackish creek 0.010), at atmospheric pressure.

**Range**: T -2..45 °C, salinity 0..0.042. Outside it the answer is NaN, element by element.
Below the freezing point (see `freezing_temperature`) the values are of supercooled seawater.

Sources: TEOS-10 through gsw (density, heat capacity, freezing, what salt takes from the vapour
pressure); Sharqawy, Lienhard and Zubair (2010) for viscosity; IAPWS R15-11 and G14-19 for
conductivity. All but the viscosity come from a map (`seawater_map`).

CoolProp's own seawater (MITSW) is a fit of the same viscosity paper that strays from it by up to
1.2 %, so the paper's equation is used itself.
"""

from __future__ import annotations

import threading

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import seawater_map, store
from console.properties.seawater_map import S_MAX, S_STEP, T_FIRST, T_MAX, T_MIN, T_STEP
from console.properties.tables import Line, Sheet, as_array

Array = NDArray[np.float64]

MAP_KEY = "seawater"


def build_map() -> store.Map:
    """Build the map with gsw and CoolProp."""
    return seawater_map.build()


class _Sea:
    def __init__(self, arrays: store.Map) -> None:
        axes = (T_FIRST, T_STEP), (0.0, S_STEP)
        self.density = Sheet(*axes, arrays["density"])
        self.heat_capacity = Sheet(*axes, arrays["heat_capacity"])
        self.conductivity = Sheet(*axes, arrays["conductivity"])
        self.vapour = Sheet(*axes, arrays["vapour_pressure"])
        self.freezing = Line(0.0, S_STEP, arrays["freezing"])


_sea: _Sea | None = None
_lock = threading.Lock()


def _map() -> _Sea:
    global _sea
    if _sea is None:
        arrays = store.load(MAP_KEY, build_map)
        with _lock:
            _sea = _sea or _Sea(arrays)
    return _sea


def _within(x: ArrayLike, low: float, high: float, slack: float) -> Array:
    x = as_array(x)
    half = (high - low) / 2
    inside = np.abs(x - (low + half)) <= half + slack
    if inside.all():
        return x
    return np.where(inside, x, np.nan)


def _temperature(T: ArrayLike) -> Array:
    return _within(T, T_MIN, T_MAX, 1e-6)


def _salinity(salinity: ArrayLike) -> Array:
    """Salinity in its range, never below nothing."""
    return np.maximum(_within(salinity, 0.0, S_MAX, 1e-9), 0.0)


def density(T: ArrayLike, salinity: ArrayLike) -> Array:
    """Density, kg/m³. TEOS-10 (`gsw.rho_t_exact` at the surface)."""
    return _map().density(_temperature(T), _salinity(salinity))


def heat_capacity(T: ArrayLike, salinity: ArrayLike) -> Array:
    """Isobaric heat capacity, J/(kg K). TEOS-10 (`gsw.cp_t_exact` at the surface)."""
    return _map().heat_capacity(_temperature(T), _salinity(salinity))


def conductivity(T: ArrayLike, salinity: ArrayLike) -> Array:
    """Thermal conductivity, W/(m K): pure water of IAPWS R15-11 and the salt term of G14-19.

    Below 0 °C the pure-water part is drawn on straight from 0..1 °C.
    """
    return _map().conductivity(_temperature(T), _salinity(salinity))


def viscosity(T: ArrayLike, salinity: ArrayLike) -> Array:
    """Dynamic viscosity, Pa s. Sharqawy, Lienhard and Zubair (2010), eqs. 22 and 23.

    Stated for 0..180 °C and 0..0.15 kg/kg at ±1.5 %; the 2 K below 0 °C are drawn on.
    """
    t = _temperature(T) - 273.15
    S = _salinity(salinity)
    warm = t + 64.993
    water = 4.2844e-5 + 1.0 / (0.157 * warm * warm - 91.296)
    A = 1.541 + t * (1.998e-2 - 9.52e-5 * t)
    B = 7.974 + t * (-7.561e-2 + 4.724e-4 * t)
    return water * (1.0 + S * (A + B * S))


def vapour_pressure(T: ArrayLike, salinity: ArrayLike) -> Array:
    """Vapour pressure, Pa: that of fresh water (IAPWS SR1-86) times the activity that salt leaves
    it, from the chemical potential of water in TEOS-10. Below 0 °C over liquid, not ice.
    """
    return _map().vapour(_temperature(T), _salinity(salinity))


def freezing_temperature(salinity: ArrayLike) -> Array:
    """Freezing temperature, K, of seawater free of dissolved air. TEOS-10 (`gsw.t_freezing`)."""
    return _map().freezing(_salinity(salinity))
