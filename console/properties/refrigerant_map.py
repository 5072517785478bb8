"""Builds a refrigerant's map with CoolProp, which it imports when it has to build, never before.

Every state comes from CoolProp's Helmholtz equations: the fluid's own for R134a, R1234yf, R600a,
R290, R32 and R22; Lemmon's pseudo-pure ones (2003) for R410A and R407C; the mixture of R32 and
R1234yf with a fitted binary term for R454B. They are sampled at Chebyshev nodes and fitted by
least squares. A node at which a flash fails (mixtures have a few) is left out; too many fail the
map.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.properties.store import MapError

Array = NDArray[np.float64]

STEP = 0.1  # K, of the tables along temperature
MARGIN = 0.3  # K, by which they are wider than the stated range
SUBCOOLING_MAX = 25.0  # K
SUPERHEAT_MAX = 160.0  # K, of the discharge gas above dew
RISE_DEGREES = (6, 6)  # evaporating, condensing
GAS_DEGREES = (6, 8)  # condensing, enthalpy above dew
LIQUID_DEGREES = (7, 6)  # condensing, subcooling
_MOST_LOST = 0.15  # of the nodes


@dataclass(frozen=True, slots=True)
class Range:
    """Where the map holds, K."""

    evap_min: float
    evap_max: float
    cond_min: float
    cond_max: float


def nodes(low: float, high: float, count: int) -> Array:
    """Chebyshev points of the second kind: they hold both ends and crowd there."""
    points: Array = np.asarray(
        (low + high) / 2 - (high - low) / 2 * np.cos(np.pi * np.arange(count) / (count - 1)), np.float64
    )
    return points


def steps(low: float, high: float) -> Array:
    """The grid of a table that holds ``low - MARGIN``..``high + MARGIN``."""
    count = int(np.ceil((high - low + 2 * MARGIN) / STEP - 1e-9)) + 1
    grid: Array = np.asarray(low - MARGIN + STEP * np.arange(count), np.float64)
    return grid


def scaled(x: Array, low: float, high: float) -> Array:
    """``x`` on -1..1."""
    return x * (2.0 / (high - low)) - (high + low) / (high - low)


def below_critical(T: Array, cond_min: float, cond_max: float) -> Array:
    """A condensing temperature on about -1..1, as the square root of its distance from the top.

    Properties bend like that square root towards the critical point, so that far fewer powers do.
    """
    span = cond_max - cond_min + MARGIN
    return 1.0 - 2.0 * np.sqrt((cond_max + MARGIN - T) * (1.0 / span))


class Fluid:
    """One CoolProp state, and the flashes the map needs. A flash that fails raises ValueError."""

    def __init__(self, fluid: str) -> None:
        import CoolProp
        from CoolProp.CoolProp import AbstractState

        self._c = CoolProp
        self._state: Any = AbstractState("HEOS", fluid)
        self._mixed = len(self._state.fluid_names()) > 1

    def dew(self, T: float) -> Any:
        """Saturated vapour at ``T``."""
        self._state.unspecify_phase()
        self._state.update(self._c.QT_INPUTS, 1.0, T)
        return self._state

    def bubble(self, p: float) -> Any:
        """Saturated liquid at ``p``."""
        self._state.unspecify_phase()
        self._state.update(self._c.PQ_INPUTS, p, 0.0)
        return self._state

    def saturated_liquid(self, T: float) -> Any:
        """Saturated liquid at ``T``."""
        self._state.unspecify_phase()
        self._state.update(self._c.QT_INPUTS, 0.0, T)
        return self._state

    def gas(self, p: float, T: float) -> Any:
        """Gas; the phase is imposed, which spares a mixture its stability analysis."""
        self._state.specify_phase(self._c.iphase_gas)
        self._state.update(self._c.PT_INPUTS, p, T)
        self._state.unspecify_phase()
        return self._state

    def liquid(self, p: float, T: float) -> Any:
        """Liquid, the phase imposed."""
        self._state.specify_phase(self._c.iphase_liquid)
        self._state.update(self._c.PT_INPUTS, p, T)
        self._state.unspecify_phase()
        return self._state

    def suction(self, T: float, superheat: float) -> Any:
        """Gas at the dew pressure of ``T``, superheated."""
        dew = self.dew(T)
        return self.gas(dew.p(), T + superheat) if superheat > 0 else dew

    def enthalpy_at_entropy(self, p: float, s: float, T: float) -> float:
        """Enthalpy at pressure and entropy; ``T`` is a first guess, for gas."""
        if not self._mixed:
            try:
                self._state.update(self._c.PSmass_INPUTS, p, s)
                return float(self._state.hmass())
            except ValueError:  # the pseudo-pure fluids, near the dew line
                pass
        for _ in range(60):
            gas = self.gas(p, T)
            change = (s - gas.smass()) * T / gas.cpmass()
            T += max(-20.0, min(20.0, change))
            if abs(change) < 1e-9:
                return float(self.gas(p, T).hmass())
        raise ValueError("no temperature has that entropy")


def _each(give: Callable[..., tuple[float, ...]], *arguments: Array) -> Array:
    """``give`` at every point, one row for each of what it gives; NaN where its flash fails."""
    rows: list[tuple[float, ...] | None] = []
    for point in zip(*(values.tolist() for values in arguments), strict=True):
        try:
            rows.append(give(*point))
        except ValueError:
            rows.append(None)
    width = max((len(row) for row in rows if row), default=0)
    if sum(row is None for row in rows) > _MOST_LOST * len(rows):
        raise MapError("CoolProp cannot compute this refrigerant over the range that is needed")
    table: Array = np.array([row or (np.nan,) * width for row in rows], np.float64).T
    return table


def _line(T: Array, values: Array, grid: Array, degree: int) -> Array:
    """``values`` at ``T``, fitted and laid out on ``grid``."""
    from numpy.polynomial import chebyshev

    low, high = float(T[0]), float(T[-1])
    good = np.isfinite(values)
    fit = chebyshev.chebfit(scaled(T[good], low, high), values[good], degree)
    answer: Array = np.asarray(chebyshev.chebval(scaled(grid, low, high), fit), np.float64)
    return answer


def _surface(x: Array, y: Array, values: Array, degrees: tuple[int, int], weight: Array) -> Array:
    """c[i, j] of Σ c x^i y^j, ``x`` and ``y`` on -1..1, fitted in the Chebyshev basis.

    As powers it is far quicker to evaluate, and still well conditioned at these degrees.
    """
    from numpy.polynomial import chebyshev

    good = np.isfinite(values)
    basis = chebyshev.chebvander2d(x[good], y[good], degrees) * weight[good, None]
    solved = np.linalg.lstsq(basis, values[good] * weight[good], rcond=None)[0]
    table: Array = np.asarray(solved.reshape(degrees[0] + 1, degrees[1] + 1), np.float64)
    for axis in (0, 1):
        size = degrees[axis] + 1
        to_powers = np.zeros((size, size))
        for k in range(size):
            to_powers[: k + 1, k] = chebyshev.cheb2poly(np.eye(size)[k])[: k + 1]
        table = np.asarray(np.moveaxis(np.tensordot(to_powers, table, (1, axis)), 0, axis), np.float64)
    return table


def _rise(f: Fluid, within: Range, superheat: float) -> Array:
    """Isentropic rise per kelvin of lift, so that no lift is exactly no rise."""
    evap, cond = [], []
    for t in nodes(within.evap_min - MARGIN, within.evap_max + MARGIN, 18).tolist():
        low = max(t, within.cond_min - MARGIN)
        for share in nodes(0.0, 1.0, 19)[1:].tolist():
            evap.append(t)
            cond.append(low + share * (within.cond_max + MARGIN - low))
    t_evap, t_cond = np.array(evap), np.array(cond)

    def rise(t1: float, t2: float) -> tuple[float, ...]:
        gas = f.suction(t1, superheat)
        h, s = gas.hmass(), gas.smass()
        return ((f.enthalpy_at_entropy(f.dew(t2).p(), s, t2 + 20.0) - h) / (t2 - t1),)

    (slope,) = _each(rise, t_evap, t_cond)
    x = scaled(t_evap, within.evap_min, within.evap_max)
    y = scaled(t_cond, within.cond_min, within.cond_max)
    return _surface(x, y, slope, RISE_DEGREES, 1.0 / np.abs(np.where(np.isfinite(slope), slope, 1.0)))


def _discharge(f: Fluid, within: Range) -> tuple[Array, float]:
    """Kelvin above dew per J/kg above dew, over condensing temperature and J/kg; and the largest
    J/kg there are.
    """
    t_cond = nodes(within.cond_min - MARGIN, within.cond_max + MARGIN, 26)
    over = 200.0 * np.linspace(0.0, 1.0, 41)[1:] ** 2  # crowded near dew, where it bends
    t, o = (grid.ravel() for grid in np.meshgrid(t_cond, over, indexing="ij"))

    def above(t_c: float, kelvin: float) -> tuple[float, ...]:
        dew = f.dew(t_c)
        p, h = dew.p(), dew.hmass()
        return (f.gas(p, t_c + kelvin).hmass() - h,)

    (heat,) = _each(above, t, o)
    most = float(np.nanmax(heat))
    x = below_critical(t, within.cond_min, within.cond_max)
    known = np.where(np.isfinite(heat), heat, 1.0)
    y = scaled(known, 0.0, most)
    return _surface(x, y, np.where(np.isfinite(heat), o / known, np.nan), GAS_DEGREES, known), most


def _compressed(f: Fluid, within: Range) -> Array:
    """What the condenser's pressure adds to the enthalpy of saturated liquid of the same
    temperature, J/kg per kelvin of subcooling.
    """
    t_cond = nodes(within.cond_min - MARGIN, within.cond_max + MARGIN, 20)
    under = nodes(0.0, SUBCOOLING_MAX + 1.0, 13)[1:]
    t, u = (grid.ravel() for grid in np.meshgrid(t_cond, under, indexing="ij"))

    def added(t_c: float, kelvin: float) -> tuple[float, ...]:
        p = f.dew(t_c).p()
        T = f.bubble(p).T() - kelvin
        h = f.liquid(p, T).hmass()
        return ((h - f.saturated_liquid(T).hmass()) / kelvin,)

    (extra,) = _each(added, t, u)
    x = below_critical(t, within.cond_min, within.cond_max)
    return _surface(x, scaled(u, 0.0, SUBCOOLING_MAX), extra, LIQUID_DEGREES, u)


def build(fluid: str, superheat: float, within: Range) -> dict[str, Array]:
    """The arrays of one refrigerant's map."""
    f = Fluid(fluid)

    def saturated(t: float) -> tuple[float, ...]:
        dew = f.dew(t)
        p, h = dew.p(), dew.hmass()
        return np.log(p), h, f.bubble(p).T()

    def suction(t: float) -> tuple[float, ...]:
        gas = f.suction(t, superheat)
        return np.log(gas.rhomass()), gas.hmass()

    T = nodes(within.evap_min - MARGIN, within.cond_max + MARGIN, 60)
    at_dew = _each(saturated, T)
    dew_grid = steps(within.evap_min, within.cond_max)
    log_p, h_dew, t_bubble = (_line(T, row, dew_grid, 20) for row in at_dew)

    T = nodes(within.evap_min - MARGIN, within.evap_max + MARGIN, 40)
    log_density, h_suction = (
        _line(T, row, steps(within.evap_min, within.evap_max), 14) for row in _each(suction, T)
    )

    coldest = float(np.interp(within.cond_min, dew_grid, t_bubble)) - SUBCOOLING_MAX
    warmest = float(np.interp(within.cond_max, dew_grid, t_bubble))
    T = nodes(coldest - MARGIN, warmest + MARGIN, 60)
    (h_liquid,) = _each(lambda t: (f.saturated_liquid(t).hmass(),), T)

    gas, most_heat = _discharge(f, within)
    return {
        "log_pressure": log_p,
        "dew_enthalpy": h_dew,
        "bubble_temperature": t_bubble,
        "log_suction_density": log_density,
        "suction_enthalpy": h_suction,
        "liquid_enthalpy": _line(T, h_liquid, steps(coldest, warmest), 20),
        "rise": _rise(f, within, superheat),
        "gas": gas,
        "compressed": _compressed(f, within),
        "scalars": np.array([coldest, most_heat]),
    }
