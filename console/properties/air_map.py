"""Builds the map of moist air with CoolProp. Imported when it has to be built, never before.

CoolProp's humid air is the real-gas mixture of Herrmann, Kretzschmar and Gatley (ASHRAE RP-1485,
2009). What is stored is small: the saturation pressures as tables, enthalpy and volume as
polynomials in temperature and humidity ratio. The forms are the model's own, so few terms do:
the humidity ratio follows exactly from the saturated mole fraction, and the departure from the
ideal gas is a second virial term, which does not depend on pressure.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TRIPLE = 273.16  # K, where CoolProp goes over from ice to water
T_MIN, T_MAX = 228.15, 333.15  # K, -45..60 °C
STANDARD = 101_325.0  # Pa
P_MIN, P_MAX = 80_000.0, 110_000.0  # Pa
W_MAX = 0.21  # kg/kg, saturation at 60 °C and 80 kPa
STEP = 0.05  # K, of the tables; the triple point is one of the nodes
BELOW, ABOVE = 904, 1204  # nodes on either side of it: the range and 0.2 K more
MIDDLE, HALF = (T_MIN + T_MAX) / 2, (T_MAX - T_MIN) / 2  # K; polynomials are in (T - MIDDLE) / HALF
RATIO = 0.621945  # molar mass of water over that of dry air, as RP-1485 has it
GAS = 8.314472 / 0.028966  # J/(kg K), of dry air

ENTHALPY_DEGREES = (3, 3, 2, 0)  # in temperature, of the coefficients of 1, W, W², W³
VOLUME_DEGREES = (2, 2, 1)
PRESSURE_DEGREES = (3, 2, 2)  # of dh/dp


def grid() -> Array:
    """The temperatures of the tables."""
    nodes: Array = TRIPLE + STEP * np.arange(-BELOW, ABOVE + 1, dtype=np.float64)
    return nodes


def ice_pressure(T: Array) -> Array:
    """Sublimation pressure of ice, Pa. IAPWS R14-08(2011) eq. 6, 50..273.16 K."""
    theta = T / 273.16
    total = (
        -0.212144006e2 * theta**0.333333333e-2
        + 0.273203819e2 * theta**0.120666667e1
        - 0.610598130e1 * theta**0.170333333e1
    )
    pressure: Array = 611.657 * np.exp(total / theta)
    return pressure


def _fit(x: Array, W: Array, values: Array, degrees: tuple[int, ...]) -> Array:
    """Coefficients of Σ x^i W^j, one row for each power of W, padded with zeros."""
    terms = [(i, j) for j, degree in enumerate(degrees) for i in range(degree + 1)]
    basis = np.stack([x**i * W**j for i, j in terms], axis=-1)
    size = np.abs(basis).max(axis=0)
    solved = np.linalg.lstsq(basis / size, values, rcond=None)[0] / size
    table = np.zeros((len(degrees), max(degrees) + 1))
    for (i, j), coefficient in zip(terms, solved, strict=True):
        table[j, i] = coefficient
    return table


def build() -> dict[str, Array]:
    """The arrays of the map."""
    import gsw
    from CoolProp.CoolProp import PT_INPUTS, QT_INPUTS, AbstractState
    from CoolProp.HumidAirProp import HAPropsSI

    T = grid()
    ice = T < TRIPLE
    water = AbstractState("HEOS", "Water")

    def saturated_liquid(t: float) -> float:
        water.update(QT_INPUTS, 0.0, t)
        return float(water.p())

    def liquid(t: float) -> float:
        water.update(PT_INPUTS, STANDARD, t)
        return float(water.hmass())

    pure = np.where(ice, ice_pressure(T), [saturated_liquid(max(t, TRIPLE)) for t in T])

    def effective(p: float) -> Array:
        """x_s · p: what stands for the saturation pressure in moist air at ``p``.

        A hair above the node at the triple point, where CoolProp takes it to be water.
        """
        W = np.array([HAPropsSI("W", "T", float(t) + 1e-9, "R", 1.0, "P", p) for t in T])
        return p * W / (RATIO + W)

    at_standard = effective(STANDARD)
    x = (T - MIDDLE) / HALF
    per_pressure = (effective(P_MAX) - effective(P_MIN)) / at_standard / (P_MAX - P_MIN)
    along = np.polynomial.polynomial.polyfit(x, per_pressure, 4)

    # Enthalpy and volume, out to a little above saturation at the lowest pressure.
    sampled: list[tuple[float, ...]] = []
    for t in np.linspace(T_MIN - 1, T_MAX + 0.5, 70).tolist():
        top = max(RATIO * float(np.interp(t, T, at_standard / (P_MIN - at_standard))), 0.01)
        for W in (top * np.linspace(0, 1.02, 7)).tolist():
            state = ("T", t, "W", W, "P")
            h, v = HAPropsSI("H", *state, STANDARD), HAPropsSI("V", *state, STANDARD)
            sampled.append((t, W, h, v, HAPropsSI("H", *state, P_MIN)))
    T_all, W_all, h_all, v_all, h_low = np.array(sampled).T
    x_all = (T_all - MIDDLE) / HALF
    ideal = GAS * T_all / STANDARD * (1 + W_all / RATIO)
    return {
        "pure_pressure": pure,
        "effective_pressure": at_standard,
        "effective_per_pressure": along,
        "ice_enthalpy": np.polynomial.polynomial.polyfit(x[ice], gsw.enthalpy_ice(T[ice] - 273.15, 0.0), 4),
        "water_enthalpy": np.polynomial.polynomial.polyfit(x[~ice], [liquid(t) for t in T[~ice]], 6),
        "enthalpy": _fit(x_all, W_all, h_all, ENTHALPY_DEGREES),
        "enthalpy_per_pressure": _fit(x_all, W_all, (h_low - h_all) / (P_MIN - STANDARD), PRESSURE_DEGREES),
        "volume_departure": _fit(x_all, W_all, v_all - ideal, VOLUME_DEGREES),
    }
