"""Builds a refrigerant's map with CoolProp. Imported when a map has to be built, never before.

Every state comes from CoolProp's Helmholtz equations: the fluid's own for R134a, R1234yf, R600a,
R290, R32 and R22; Lemmon's pseudo-pure ones (2003) for R410A and R407C; the mixture of R32 and
R1234yf with a fitted binary term for R454B. They are sampled at Chebyshev nodes and fitted by
least squares; a node at which a flash fails (mixtures have a few) is left out of the fit.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.properties.store import MapError

Array = NDArray[np.float64]

STEP = 0.1  # K, of the tables along temperature
MARGIN = 0.3  # K, by which they are wider than the stated range
RISE_DEGREE = 6
HEAT_DEGREES = (7, 9)  # condensing temperature, enthalpy above dew
LIQUID_DEGREES = (7, 4)  # condensing temperature, subcooling
SUBCOOLING_MAX = 25.0  # K
SUPERHEAT_MAX = 160.0  # K, of the discharge gas
_LOST = 0.15  # the share of nodes that may fail


def nodes(low: float, high: float, count: int) -> Array:
    """Chebyshev points of the second kind: they hold both ends."""
    points: Array = (low + high) / 2 - (high - low) / 2 * np.cos(np.pi * np.arange(count) / (count - 1))
    return points


def scaled(x: Array, low: float, high: float) -> Array:
    """``x`` on -1..1."""
    answer: Array = (2 * x - (low + high)) / (high - low)
    return answer


class _Fluid:
    """One CoolProp state, and the flashes the map needs. Failures are ValueError."""

    def __init__(self, fluid: str) -> None:
        import CoolProp
        from CoolProp.CoolProp import AbstractState

        self._c = CoolProp
        self.state: Any = AbstractState("HEOS", fluid)
        self._mixed = len(self.state.fluid_names()) > 1

    def dew(self, T: float) -> Any:
        self.state.unspecify_phase()
        self.state.update(self._c.QT_INPUTS, 1.0, T)
        return self.state

    def bubble(self, p: float) -> Any:
        self.state.unspecify_phase()
        self.state.update(self._c.PQ_INPUTS, p, 0.0)
        return self.state

    def gas(self, p: float, T: float) -> Any:
        self.state.specify_phase(self._c.iphase_gas)
        self.state.update(self._c.PT_INPUTS, p, T)
        self.state.unspecify_phase()
        return self.state

    def liquid(self, p: float, T: float) -> Any:
        self.state.specify_phase(self._c.iphase_liquid)
        self.state.update(self._c.PT_INPUTS, p, T)
        self.state.unspecify_phase()
        return self.state

    def at_entropy(self, p: float, s: float, T: float) -> float:
        """Enthalpy at pressure and entropy; ``T`` is a first guess for gas."""
        if not self._mixed:
            try:
                self.state.update(self._c.PSmass_INPUTS, p, s)
                return float(self.state.hmass())
            except ValueError:  # near the dew line of the pseudo-pure fluids
                pass
        for _ in range(60):
            gas = self.gas(p, T)
            change = (s - gas.smass()) * T / gas.cpmass()
            T += max(-20.0, min(20.0, change))
            if abs(change) < 1e-9:
                return float(self.gas(p, T).hmass())
        raise ValueError("no temperature has that entropy")


def _line(T: Array, values: Array, grid: Array, degree: int = 18) -> Array:
    """``values`` at ``T`` fitted and laid out on ``grid``."""
    from numpy.polynomial import chebyshev

    low, high = float(T[0]), float(T[-1])
    good = np.isfinite(values)
    if good.mean() < 1 - _LOST:
        raise MapError("CoolProp could not give the saturation line of this refrigerant")
    fit = chebyshev.chebfit(scaled(T[good], low, high), values[good], degree)
    answer: Array = chebyshev.chebval(scaled(grid, low, high), fit)
    return answer


def _surface(x: Array, y: Array, values: Array, degrees: tuple[int, int], weight: Array) -> Array:
    """Coefficients c[i, j] of Σ c x^i y^j on -1..1, fitted in the Chebyshev basis."""
    from numpy.polynomial import chebyshev

    good = np.isfinite(values)
    if good.mean() < 1 - _LOST:
        raise MapError("CoolProp could not give the cycle of this refrigerant")
    basis = chebyshev.chebvander2d(x[good], y[good], degrees)
    solved = np.linalg.lstsq(basis * weight[good, None], values[good] * weight[good], rcond=None)[0]
    table = solved.reshape(degrees[0] + 1, degrees[1] + 1)
    # To powers along both axes: far quicker to evaluate, and well conditioned at these degrees.
    for axis in (0, 1):
        table = np.apply_along_axis(lambda c: np.resize(_padded(chebyshev.cheb2poly(c), c.size), c.size), axis, table)
    answer: Array = table
    return answer


def _padded(c: Array, size: int) -> Array:
    return np.pad(c, (0, size - c.size))


def _try(give: Callable[[], tuple[float, ...]], count: int) -> tuple[float, ...]:
    try:
        return give()
    except ValueError:
        return (np.nan,) * count


def build(fluid: str, superheat: float, t_min: float, t_max: float, evap_max: float, cond_min: float) -> dict[str, Array]:
    """The arrays of one refrigerant's map; temperatures in kelvin."""
    f = _Fluid(fluid)

    # Along the dew line.
    T = nodes(t_min - MARGIN, t_max + MARGIN, 60)
    grid = t_min - MARGIN + STEP * np.arange(round((t_max - t_min + 2 * MARGIN) / STEP) + 1)

    def saturated(t: float) -> tuple[float, ...]:
        dew = f.dew(t)
        p, h = dew.p(), dew.hmass()
        bubble = f.bubble(p)
        return np.log(p), h, bubble.T(), bubble.hmass()

    def suction(t: float) -> tuple[float, ...]:
        p = f.dew(t).p()
        gas = f.gas(p, t + superheat) if superheat > 0 else f.dew(t)
        return np.log(gas.rhomass()), gas.hmass(), gas.smass()

    at_dew = np.array([_try(lambda t=t: saturated(t), 4) for t in T])
    log_p, h_dew, t_bubble, h_bubble = (_line(T, at_dew[:, k], grid) for k in range(4))
    T1 = nodes(t_min - MARGIN, evap_max + MARGIN, 50)
    grid1 = t_min - MARGIN + STEP * np.arange(round((evap_max - t_min + 2 * MARGIN) / STEP) + 1)
    at_suction = np.array([_try(lambda t=t: suction(t), 3) for t in T1])
    log_d, h_suction = (_line(T1, at_suction[:, k], grid1, 14) for k in range(2))

    # Isentropic rise over the lift, so that the rise is exactly nothing at no lift.
    x, y, rise = [], [], []
    for t_evap in nodes(t_min - MARGIN, evap_max + MARGIN, 18):
        first = _try(lambda t=t_evap: suction(t), 3)
        low = max(float(t_evap), cond_min - MARGIN)
        for t_cond in low + nodes(0, 1, 19)[1:] * (t_max + MARGIN - low):
            h2 = _try(lambda: (f.at_entropy(f.dew(t_cond).p(), first[2], t_cond + 20),), 1)[0]  # noqa: B023
            x.append(t_evap)
            y.append(t_cond)
            rise.append((h2 - first[1]) / (t_cond - t_evap))
    t_evap, t_cond, slope = np.array(x), np.array(y), np.array(rise)
    rise_fit = _surface(
        scaled(t_evap, t_min, evap_max), scaled(t_cond, cond_min, t_max), slope,
        (RISE_DEGREE, RISE_DEGREE), 1 / np.abs(np.nan_to_num(slope, nan=1.0)),
    )  # fmt: skip

    # Discharge superheat from the enthalpy above dew, and subcooled liquid below bubble.
    x, y, z = [], [], []
    u, v, w = [], [], []
    for t in nodes(cond_min - MARGIN, t_max + MARGIN, 20):
        p, h, t_b, h_b = _try(lambda t=t: (lambda s: (np.exp(s[0]), *s[1:]))(saturated(t)), 4)
        for over in nodes(-200.0, 200.0, 51)[26:]:  # nodes crowd at 200 only; see the next line
            over = 200.0 * (over / 200.0) ** 2
            x.append(t)
            y.append(_try(lambda: (f.gas(p, t + over).hmass() - h,), 1)[0])  # noqa: B023
            z.append(over)
        for under in nodes(0.0, SUBCOOLING_MAX + 1, 9)[1:]:
            u.append(t)
            v.append(under)
            w.append(_try(lambda: ((h_b - f.liquid(p, t_b - under).hmass()) / under,), 1)[0])  # noqa: B023
    t_cond, heat, over_dew = np.array(x), np.array(y), np.array(z)
    heat_max = float(np.nanmax(heat))
    gas_fit = _surface(
        scaled(t_cond, cond_min, t_max), scaled(np.nan_to_num(heat), 0, heat_max),
        np.where(np.isfinite(heat), over_dew / heat, np.nan), HEAT_DEGREES, np.nan_to_num(heat),
    )  # fmt: skip
    liquid_fit = _surface(
        scaled(np.array(u), cond_min, t_max), scaled(np.array(v), 0, SUBCOOLING_MAX), np.array(w),
        LIQUID_DEGREES, np.array(v),
    )  # fmt: skip
    return {
        "limits": np.array([t_min, t_max, evap_max, cond_min, superheat, heat_max]),
        "log_pressure": log_p,
        "dew_enthalpy": h_dew,
        "bubble_temperature": t_bubble,
        "bubble_enthalpy": h_bubble,
        "log_suction_density": log_d,
        "suction_enthalpy": h_suction,
        "rise": rise_fit,
        "gas": gas_fit,
        "liquid": liquid_fit,
    }
