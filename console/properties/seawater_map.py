"""Builds the map of seawater with gsw and CoolProp. Imported when it has to be built.

Density and heat capacity are TEOS-10's, on a grid fine enough that bilinear interpolation keeps
the printed digits of the published check values.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

T_MIN, T_MAX = 271.15, 318.15  # K, -2..45 °C
T_STEP = 0.2  # K
T_FIRST = 273.15 - 11 * T_STEP  # 0 °C is a node
S_MAX = 0.042  # kg/kg
S_STEP = 0.0005
_T_COUNT, _S_COUNT = 239, 87


def water_vapour_pressure(T: Array) -> Array:
    """Saturation pressure of liquid water, Pa. IAPWS SR1-86(1992), Wagner and Pruss; taken on
    smoothly below 0 °C, where water is supercooled.
    """
    tau = 1.0 - T / 647.096
    terms = (
        -7.85951783 * tau + 1.84408259 * tau**1.5 - 11.7866497 * tau**3
        + 22.6807411 * tau**3.5 - 15.9618719 * tau**4 + 1.80122502 * tau**7.5
    )  # fmt: skip
    pressure: Array = 22.064e6 * np.exp(647.096 / T * terms)
    return pressure


GAS = 461.523  # J/(kg K), of water vapour; IAPWS


def water_activity(grams: Array, celsius: Array) -> Array:
    """Vapour pressure over that of fresh water: exp(Δμ / R T), Δμ what salt takes from the
    chemical potential of the water in TEOS-10. The vapour is an ideal gas (it is, to 1e-4 here).
    """
    import gsw

    # gsw has it in J/g
    fresh = gsw.chem_potential_water_t_exact(0.0 * grams, celsius, 0.0)
    salted = gsw.chem_potential_water_t_exact(grams, celsius, 0.0)
    ratio: Array = np.exp(1e3 * (salted - fresh) / (GAS * (celsius + 273.15)))
    return ratio


def salt_conductivity(T: Array, S: Array, p: float = 0.101325) -> Array:
    """What salt adds to the conductivity of water, W/(m K). IAPWS G14-19; ``p`` in MPa."""
    t = T - 273.15
    a = (-7.180891e-5 + 1.831971e-7 * p) * np.exp((1.048077e-3 - 4.494722e-6 * p) * t)
    b = (1.463375e-1 + 9.208586e-4 * p) * np.exp((-3.086908e-3 + 1.798489e-5 * p) * t)
    added: Array = a * (1000.0 * S) ** (1.0 + b)
    return added


def build() -> dict[str, Array]:
    """The arrays of the map: rows along temperature, columns along salinity."""
    import gsw
    from CoolProp.CoolProp import PT_INPUTS, AbstractState

    T = T_FIRST + T_STEP * np.arange(float(_T_COUNT))
    S = S_STEP * np.arange(float(_S_COUNT))
    grams, celsius = np.meshgrid(1000.0 * S, T - 273.15)
    water = AbstractState("HEOS", "Water")

    def pure_conductivity(t: float) -> float:
        water.update(PT_INPUTS, 101_325.0, t)
        return float(water.conductivity())

    warm = np.array([pure_conductivity(t) for t in np.maximum(T, 273.16)])
    ends = pure_conductivity(273.16), pure_conductivity(274.16)
    pure = warm + np.minimum(T - 273.16, 0.0) * (ends[1] - ends[0])
    return {
        "density": gsw.rho_t_exact(grams, celsius, 0.0),
        "heat_capacity": gsw.cp_t_exact(grams, celsius, 0.0),
        "conductivity": pure[:, None] + salt_conductivity(T[:, None], S[None, :]),
        "vapour_pressure": water_vapour_pressure(T)[:, None] * water_activity(grams, celsius),
        "freezing": gsw.t_freezing(1000.0 * S, 0.0, 0.0) + 273.15,
    }
