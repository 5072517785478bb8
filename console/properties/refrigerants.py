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
from console.properties.refrigerant_map import MARGIN, STEP
from console.properties.tables import Line, as_array, powers

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
        return refrigerant_map.build(kind.fluid, superheat, EVAP_MIN, kind.t_max, EVAP_MAX, COND_MIN)

    return f"{kind.name}-{superheat:g}K", build


class Refrigerant:
    """One refrigerant at a fixed suction superheat. Make it with `refrigerant`."""

    name: str
    safety: str
    superheat: float
    t_min: float
    t_max: float

    def __init__(self, kind: _Kind, arrays: store.Map) -> None:
        self.name, self.safety = kind.name, kind.safety
        limits = [float(x) for x in arrays["limits"]]
        self.t_min, self.t_max, self.evap_max, self.cond_min, self.superheat, self._heat_max = limits
        first = self.t_min - MARGIN
        log_p = arrays["log_pressure"]
        temperatures = first + STEP * np.arange(log_p.size)
        self._pressure = Line(first, STEP, np.exp(log_p))
        even = np.linspace(log_p[0], log_p[-1], 4 * log_p.size)
        self._temperature = Line(float(even[0]), float(even[1] - even[0]), np.interp(even, log_p, temperatures))
        self._dew_enthalpy = Line(first, STEP, arrays["dew_enthalpy"])
        self._bubble_temperature = Line(first, STEP, arrays["bubble_temperature"])
        self._bubble_enthalpy = Line(first, STEP, arrays["bubble_enthalpy"])
        self._density = Line(first, STEP, np.exp(arrays["log_suction_density"]))
        self._enthalpy = Line(first, STEP, arrays["suction_enthalpy"])
        self._rise, self._gas, self._liquid = arrays["rise"], arrays["gas"], arrays["liquid"]

    # --- saturation -------------------------------------------------------------------------

    def pressure(self, T: ArrayLike) -> Array:
        """Dew pressure, Pa, at ``T``, K, within ``t_min``..``t_max``."""
        return self._pressure(self._within(as_array(T), self.t_min, self.t_max))

    def saturation_temperature(self, p: ArrayLike) -> Array:
        """Dew temperature, K, at pressure ``p``, Pa: the inverse of `pressure`."""
        with np.errstate(divide="ignore", invalid="ignore"):
            T = self._temperature(np.log(as_array(p)))
        return self._within(T, self.t_min, self.t_max)

    def glide(self, T: ArrayLike) -> Array:
        """Dew less bubble temperature, K, at the dew pressure of ``T``; 0 for a pure fluid."""
        T = self._within(as_array(T), self.t_min, self.t_max)
        return T - self._bubble_temperature(T)

    # --- the four corners of the cycle ------------------------------------------------------

    def vapour_enthalpy(self, T_evap: ArrayLike) -> Array:
        """Enthalpy of the suction gas, J/kg: at the dew pressure of ``T_evap``, superheated."""
        return self._enthalpy(self._within(as_array(T_evap), self.t_min, self.evap_max))

    def suction_density(self, T_evap: ArrayLike) -> Array:
        """Density of the suction gas, kg/m³: at the dew pressure of ``T_evap``, superheated."""
        return self._density(self._within(as_array(T_evap), self.t_min, self.evap_max))

    def liquid_enthalpy(self, T_cond: ArrayLike, subcooling: ArrayLike = 0.0) -> Array:
        """Enthalpy of the liquid leaving the condenser, J/kg.

        At the dew pressure of ``T_cond``, ``subcooling`` K (0..25) below that pressure's bubble
        temperature.
        """
        T = self._within(as_array(T_cond), self.cond_min, self.t_max)
        saturated = self._bubble_enthalpy(T)
        if isinstance(subcooling, (int, float)) and subcooling == 0:
            return saturated
        under = self._within(as_array(subcooling), 0.0, refrigerant_map.SUBCOOLING_MAX)
        x = self._scaled(T, self.cond_min, self.t_max)
        y = self._scaled(under, 0.0, refrigerant_map.SUBCOOLING_MAX)
        return saturated - under * _surface(x, y, self._liquid)

    def isentropic_rise(self, T_evap: ArrayLike, T_cond: ArrayLike) -> Array:
        """Enthalpy rise of an isentropic compression, J/kg, from the suction gas at ``T_evap``
        to the dew pressure of ``T_cond``. NaN when condensing is below evaporating.
        """
        t_evap = self._within(as_array(T_evap), self.t_min, self.evap_max)
        t_cond = self._within(as_array(T_cond), self.cond_min, self.t_max)
        x = self._scaled(t_evap, self.t_min, self.evap_max)
        y = self._scaled(t_cond, self.cond_min, self.t_max)
        lift = t_cond - t_evap
        return np.where(lift >= 0, lift, np.nan) * _surface(x, y, self._rise)

    def discharge_temperature(self, T_evap: ArrayLike, T_cond: ArrayLike, efficiency: ArrayLike) -> Array:
        """Temperature of the discharge gas, K, with isentropic ``efficiency`` (0..1), no heat lost.

        A compression that ends wet (R600a near full efficiency) gives the dew temperature.
        NaN for a gas more than 160 K above dew.
        """
        efficiency = as_array(efficiency)
        with np.errstate(divide="ignore", invalid="ignore"):
            rise = self.isentropic_rise(T_evap, T_cond) / np.where(efficiency > 0, efficiency, np.nan)
        return self.gas_temperature(T_cond, self.vapour_enthalpy(T_evap) + rise)

    def gas_temperature(self, T_cond: ArrayLike, enthalpy: ArrayLike) -> Array:
        """Temperature of gas, K, of ``enthalpy`` (J/kg) at the dew pressure of ``T_cond``."""
        T = self._within(as_array(T_cond), self.cond_min, self.t_max)
        heat = np.maximum(as_array(enthalpy) - self._dew_enthalpy(T), 0.0)
        heat = np.where(heat <= self._heat_max, heat, np.nan)
        x = self._scaled(T, self.cond_min, self.t_max)
        over = heat * _surface(x, self._scaled(heat, 0.0, self._heat_max), self._gas)
        return T + np.where(over <= refrigerant_map.SUPERHEAT_MAX, over, np.nan)

    @staticmethod
    def _within(x: Array, low: float, high: float) -> Array:
        """``x`` where it lies within the range (and a hair beyond, for rounding), else NaN."""
        half = (high - low) / 2
        return np.where(np.abs(x - (low + half)) <= half + 1e-6, x, np.nan)

    @staticmethod
    def _scaled(x: Array, low: float, high: float) -> Array:
        return x * (2.0 / (high - low)) - (high + low) / (high - low)


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
    found = _made.get((kind.name, superheat))
    if found is None:
        arrays = store.load(*map_and_builder(name, superheat))
        with _lock:
            found = _made.setdefault((kind.name, superheat), Refrigerant(kind, arrays))
    return found
