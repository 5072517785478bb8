"""Refrigerants: saturation, suction gas, isentropic compression and discharge, from maps.

``refrigerant("R-410A")`` gives a `Refrigerant`, whose methods take arrays of temperatures.

**Evaporating and condensing temperature mean the dew temperature** of the pressure, the
convention of compressor ratings (AHRI 540, EN 12900). For a mixture with glide (R407C 4 to 6 K,
R454B about 1.5 K, R410A 0.1 K) the liquid leaves the condenser at the *bubble* temperature of
the same pressure less the subcooling, and the coil is on average colder, or the condenser
cooler, than the dew temperature by about half the glide (`Refrigerant.glide`).

Enthalpies have the datum of the International Institute of Refrigeration (200 kJ/kg for
saturated liquid at 0 °C) except R454B's, whose datum is that of its mixture model: only
differences mean anything.

Ranges: evaporating -45..35 °C, condensing -10 °C..``t_max`` (75 °C, or some 4 K below the
critical temperature: R410A 67 °C, R32 74 °C, R454B 67 °C), condensing not below evaporating,
subcooling 0..25 K, discharge gas up to 160 K above dew. Outside them the answer is NaN.

Sources: CoolProp's Helmholtz equations of state (see `refrigerant_map`); safety classes of
ASHRAE Standard 34.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import refrigerant_map, store
from console.properties.refrigerant_map import (
    MARGIN,
    STEP,
    SUBCOOLING_MAX,
    SUPERHEAT_MAX,
    Range,
    below_critical,
    scaled,
)
from console.properties.tables import Line, as_array, inverse, powers, within

Array = NDArray[np.float64]

EVAP_MIN, EVAP_MAX = 228.15, 308.15
COND_MIN, COND_MAX = 263.15, 348.15
SUPERHEAT_LIMITS = (0.0, 30.0)


@dataclass(frozen=True, slots=True)
class _Kind:
    name: str
    fluid: str  # CoolProp's name
    safety: str  # ASHRAE 34
    t_max: float = COND_MAX


_KINDS = {
    kind.name.upper(): kind
    for kind in (
        _Kind("R134a", "R134a", "A1"),
        _Kind("R1234yf", "R1234yf", "A2L"),
        _Kind("R600a", "IsoButane", "A3"),
        _Kind("R290", "n-Propane", "A3"),
        _Kind("R410A", "R410A", "A1", 340.15),
        _Kind("R32", "R32", "A2L", 347.15),
        _Kind("R407C", "R407C", "A1"),
        _Kind("R22", "R22", "A1"),
        _Kind("R454B", "R454B.mix", "A2L", 340.15),
    )
}

SUPPORTED = tuple(kind.name for kind in _KINDS.values())


class UnknownRefrigerant(ValueError):
    """The name is of no refrigerant there is a map for; the message is one sentence."""


def _kind(name: str) -> _Kind:
    plain = re.sub(r"[\s_-]+", "", str(name)).upper()
    plain = re.sub(r"^(R|HFC|HCFC|HFO|HC)?(?=\d)", "R", plain)
    try:
        return _KINDS[plain]
    except KeyError:
        given = "".join(c if c.isprintable() else "?" for c in str(name))[:40]
        raise UnknownRefrigerant(
            f'"{given}" is not a refrigerant there is a property map for; there are {", ".join(SUPPORTED)}'
        ) from None


def official_name(name: str) -> str:
    """The name as ASHRAE 34 writes it: ``"r-410a"`` is R410A. Raises `UnknownRefrigerant`."""
    return _kind(name).name


def safety_class(name: str) -> str:
    """The ASHRAE 34 class, A1, A2L or A3, without building a map."""
    return _kind(name).safety


def map_and_builder(name: str, superheat: float = 5.0) -> tuple[str, Callable[[], store.Map]]:
    """Key of the refrigerant's map, and what builds it."""
    kind = _kind(name)

    def build() -> store.Map:
        return refrigerant_map.build(kind.fluid, superheat, Range(EVAP_MIN, EVAP_MAX, COND_MIN, kind.t_max))

    return f"{kind.name}-{superheat:g}K", build


class Refrigerant:
    """One refrigerant at a fixed suction superheat. Make it with `refrigerant`."""

    name: str
    safety: str
    superheat: float
    t_min: float
    t_max: float

    def __init__(self, kind: _Kind, superheat: float, arrays: store.Map) -> None:
        self.name, self.safety, self.superheat = kind.name, kind.safety, superheat
        self.t_min, self.t_max = EVAP_MIN, kind.t_max
        self.evap_max, self.cond_min = EVAP_MAX, COND_MIN
        first = self.t_min - MARGIN
        log_p = arrays["log_pressure"]
        dew = first + STEP * np.arange(log_p.size, dtype=np.float64)
        self._pressure = Line(first, STEP, np.exp(log_p))
        self._temperature = inverse(log_p, dew, float(log_p[0]), 0.001)
        self._dew_enthalpy = Line(first, STEP, arrays["dew_enthalpy"])
        self._bubble_temperature = Line(first, STEP, arrays["bubble_temperature"])
        self._density = Line(first, STEP, np.exp(arrays["log_suction_density"]))
        self._enthalpy = Line(first, STEP, arrays["suction_enthalpy"])
        coldest, self._most_heat = arrays["scalars"].tolist()
        self._liquid = Line(coldest - MARGIN, STEP, arrays["liquid_enthalpy"])
        self._rise, self._gas, self._compressed = arrays["rise"], arrays["gas"], arrays["compressed"]

    # --- saturation -------------------------------------------------------------------------

    def pressure(self, T: ArrayLike) -> Array:
        """Dew pressure, Pa, at ``T``, K, within ``t_min``..``t_max``."""
        return self._pressure(within(T, self.t_min, self.t_max, 1e-6))

    def saturation_temperature(self, p: ArrayLike) -> Array:
        """Dew temperature, K, at pressure ``p``, Pa: the inverse of `pressure`."""
        with np.errstate(divide="ignore", invalid="ignore"):
            T = self._temperature(np.log(as_array(p)))
        return within(T, self.t_min, self.t_max, 1e-3)[()]

    def glide(self, T: ArrayLike) -> Array:
        """Dew less bubble temperature, K, at the dew pressure of ``T``; 0 for a pure fluid."""
        T = within(T, self.t_min, self.t_max, 1e-6)
        return T - self._bubble_temperature(T)

    # --- the corners of the cycle -----------------------------------------------------------

    def vapour_enthalpy(self, T_evap: ArrayLike) -> Array:
        """Enthalpy of the suction gas, J/kg: at the dew pressure of ``T_evap``, superheated."""
        return self._enthalpy(self._evaporating(T_evap))

    def suction_density(self, T_evap: ArrayLike) -> Array:
        """Density of the suction gas, kg/m³: at the dew pressure of ``T_evap``, superheated."""
        return self._density(self._evaporating(T_evap))

    def liquid_enthalpy(self, T_cond: ArrayLike, subcooling: ArrayLike = 0.0) -> Array:
        """Enthalpy of the liquid leaving the condenser, J/kg.

        At the dew pressure of ``T_cond``, ``subcooling`` K (0..25) below that pressure's bubble
        temperature.
        """
        T = self._condensing(T_cond)
        bubble = self._bubble_temperature(T)
        if isinstance(subcooling, (int, float)) and subcooling == 0:
            return self._liquid(bubble)
        under = within(subcooling, 0.0, SUBCOOLING_MAX, 1e-9)
        x = below_critical(T, self.cond_min, self.t_max)
        extra = _surface(x, scaled(under, 0.0, SUBCOOLING_MAX), self._compressed)
        return self._liquid(bubble - under) + under * extra

    def isentropic_rise(self, T_evap: ArrayLike, T_cond: ArrayLike) -> Array:
        """Enthalpy rise of an isentropic compression, J/kg, from the suction gas at ``T_evap``
        to the dew pressure of ``T_cond``. NaN where condensing is below evaporating.
        """
        t_evap, t_cond = self._evaporating(T_evap), self._condensing(T_cond)
        lift = t_cond - t_evap
        x = scaled(t_evap, self.t_min, self.evap_max)
        y = scaled(t_cond, self.cond_min, self.t_max)
        return np.where(lift >= 0.0, lift, np.nan) * _surface(x, y, self._rise)

    def discharge_temperature(self, T_evap: ArrayLike, T_cond: ArrayLike, efficiency: ArrayLike) -> Array:
        """Temperature of the discharge gas, K, at an isentropic ``efficiency`` (above 0, to 1),
        no heat lost. A compression that ends wet (R600a near full efficiency) gives the dew
        temperature. NaN for gas more than 160 K above dew.
        """
        efficiency = as_array(efficiency)
        share = np.where((efficiency > 0.0) & (efficiency <= 1.0 + 1e-9), efficiency, np.nan)
        rise = self.isentropic_rise(T_evap, T_cond) / share
        return self.gas_temperature(T_cond, self.vapour_enthalpy(T_evap) + rise)

    def gas_temperature(self, T_cond: ArrayLike, enthalpy: ArrayLike) -> Array:
        """Temperature of gas, K, of ``enthalpy`` (J/kg) at the dew pressure of ``T_cond``;
        the dew temperature where it is wet.
        """
        T = self._condensing(T_cond)
        heat = np.maximum(as_array(enthalpy) - self._dew_enthalpy(T), 0.0)
        heat = np.where(heat <= self._most_heat, heat, np.nan)
        x = below_critical(T, self.cond_min, self.t_max)
        over = heat * _surface(x, scaled(heat, 0.0, self._most_heat), self._gas)
        return T + np.where(over <= SUPERHEAT_MAX, over, np.nan)

    def _evaporating(self, T: ArrayLike) -> Array:
        return within(T, self.t_min, self.evap_max, 1e-6)

    def _condensing(self, T: ArrayLike) -> Array:
        return within(T, self.cond_min, self.t_max, 1e-6)


def _surface(x: Array, y: Array, table: Array) -> Array:
    """Σ table[i, j] x^i y^j, as two sets of powers and one matrix: few calls, any shape."""
    rows, columns = table.shape
    answer: Array = np.vecdot(powers(x, rows) @ table, powers(y, columns))
    return answer


_made: dict[tuple[str, float], Refrigerant] = {}
_lock = threading.Lock()


def refrigerant(name: str, superheat: float = 5.0) -> Refrigerant:
    """The refrigerant of that name (``"R410A"``, ``"r-410a"``) at a fixed ``superheat`` (0..30 K)
    of the suction gas. Its map is built on first use (0.1 to 0.3 s besides importing CoolProp).

    Raises `UnknownRefrigerant`, and ValueError for a superheat outside its range.
    """
    kind = _kind(name)
    if not SUPERHEAT_LIMITS[0] <= superheat <= SUPERHEAT_LIMITS[1]:
        raise ValueError(f"a suction superheat of {superheat} K is outside 0 to 30 K")
    superheat = round(float(superheat), 3)
    found = _made.get((kind.name, superheat))
    if found is None:
        arrays = store.load(*map_and_builder(name, superheat))
        with _lock:
            found = _made.setdefault((kind.name, superheat), Refrigerant(kind, superheat, arrays))
    return found
