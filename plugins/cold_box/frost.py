"""Frost on the evaporator plate: how fast it comes, how dense, and how it insulates.

Vocabulary: ``surface`` is the frost's surface temperature and ``plate`` the metal's under it
(K), ``density`` in kg/m³, ``film`` a convective coefficient in W/m²K, humidity ratios in kg of
water per kg of dry air. Plain broadcasting. No correlation is used outside its range in
silence: densities are clamped and the clamps are told.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.tables import (
    DRY_AIR_HEAT,
    ICE_AT_ZERO,
    ICE_HEAT,
    LEAST_FROST_DENSITY,
    LEWIS,
    LIQUID_HEAT,
    MOST_FROST_DENSITY,
    MUSHY,
    VAPORISATION_AT_ZERO,
    VAPOUR_HEAT,
    ZERO_CELSIUS,
)

Array = NDArray[np.float64]


# --- water's heats --------------------------------------------------------------------------


def vapour_enthalpy(temperature: ArrayLike) -> Array:
    """Enthalpy of water vapour, J/kg from liquid at 0 °C (ASHRAE Fundamentals ch. 1)."""
    celsius = as_array(temperature) - ZERO_CELSIUS
    return VAPORISATION_AT_ZERO + VAPOUR_HEAT * celsius


def ice_enthalpy(temperature: ArrayLike) -> Array:
    """Enthalpy of ice, J/kg from liquid at 0 °C (IAPWS R10-06 at 0 °C; -40..0 °C)."""
    return ICE_AT_ZERO + ICE_HEAT * (as_array(temperature) - ZERO_CELSIUS)


def liquid_enthalpy(temperature: ArrayLike) -> Array:
    """Enthalpy of liquid water, J/kg from liquid at 0 °C."""
    return LIQUID_HEAT * (as_array(temperature) - ZERO_CELSIUS)


def sublimation_heat(temperature: ArrayLike) -> Array:
    """Heat (J/kg) given up by vapour that becomes ice at the same temperature (K).

    2834 kJ/kg at 0 °C, 2838 at -20 °C.
    """
    return vapour_enthalpy(temperature) - ice_enthalpy(temperature)


def frozen_share(surface: ArrayLike) -> Array:
    """Share (0..1) of a deposit that freezes: all at 0 °C and below, none half a kelvin above."""
    return np.clip(1.0 - (as_array(surface) - ZERO_CELSIUS) / MUSHY, 0.0, 1.0)


def deposit_heat(air: ArrayLike, surface: ArrayLike) -> Array:
    """Heat (J/kg) given up by vapour of ``air`` (K) that settles on ``surface`` (K)."""
    frozen = frozen_share(surface)
    settled = frozen * ice_enthalpy(surface) + (1.0 - frozen) * liquid_enthalpy(surface)
    return vapour_enthalpy(air) - settled


# --- how fast -------------------------------------------------------------------------------


def mass_transfer_coefficient_lewis(
    film: ArrayLike, density: ArrayLike, heat_capacity: ArrayLike, lewis: ArrayLike = LEWIS
) -> Array:
    """Mass transfer coefficient h_m = h/(ρ c_p Le^⅔), m/s (Chilton & Colburn 1934).

    ``density`` (kg/m³) and ``heat_capacity`` (J/kg·K) of the air, ``lewis`` = α/D.
    """
    volume_heat = as_array(density) * as_array(heat_capacity)
    return as_array(film) / (volume_heat * as_array(lewis) ** (2.0 / 3.0))


def vapour_conductance(film: ArrayLike, area: ArrayLike) -> Array:
    """kg/s of vapour per unit of humidity-ratio difference between air and a plate.

    h_m ρ A = h A/(c_p Le^⅔); only the convective part of a film carries vapour.
    """
    return mass_transfer_coefficient_lewis(film, 1.0, DRY_AIR_HEAT) * as_array(area)


def frost_thickness_rate(mass_rate: ArrayLike, density: ArrayLike, area: ArrayLike) -> Array:
    """Growth of an even layer, m/s: mass rate (kg/s) over density and area (m²)."""
    return as_array(mass_rate) / (as_array(density) * as_array(area))


# --- how dense ------------------------------------------------------------------------------


def frost_density_hayashi(surface: ArrayLike) -> Array:
    """ρ = 650 exp(0.277 t_s), kg/m³ (Hayashi et al. 1977, J. Heat Transfer 99:239).

    Forced convection of 2 to 6 m/s, plates of -5 to -25 °C, surfaces of -18.6 to -2.5 °C. Not
    clamped here: 3.8 at -18.6 °C is the formula's own edge.
    """
    return 650.0 * np.exp(0.277 * (as_array(surface) - ZERO_CELSIUS))


def frost_density_hermes(surface: ArrayLike, plate: ArrayLike) -> Array:
    """ρ = 207.3 exp(0.266 t_s - 0.0615 t_w), kg/m³ (Hermes et al. 2009, ETFS 33:371).

    Plates of -15 to -5 °C, air of 16 to 22 °C at 50 to 80 %, 0.7 m/s.
    """
    celsius = as_array(surface) - ZERO_CELSIUS
    metal = as_array(plate) - ZERO_CELSIUS
    return 207.3 * np.exp(0.266 * celsius - 0.0615 * metal)


def frost_density_after_hermes(
    dew_point: ArrayLike,
    plate: ArrayLike,
    humidity_ratio: ArrayLike,
    plate_humidity_ratio: ArrayLike,
    seconds: ArrayLike,
) -> Array:
    """Mean density of young frost, ρ = 2.2 λ^-1.5 √t, kg/m³ (Hermes et al. 2014, IJHMT 73:805).

    λ = c_p (t_dew - t_w)/(i_sv (W - W_w)). Up to two hours, plates of -15 to -5 °C, air of 16 to
    22 °C, 0.7 m/s. A box's frost is weeks old: for comparison.
    """
    warm = as_array(dew_point) - as_array(plate)
    wet = as_array(humidity_ratio) - as_array(plate_humidity_ratio)
    lam = DRY_AIR_HEAT * warm / (2.83e6 * wet)
    density: Array = 2.2 * lam**-1.5 * np.sqrt(as_array(seconds))
    return density


def fresh_frost_density(surface: ArrayLike, plate: ArrayLike) -> Array:
    """Density of fresh frost, kg/m³, within 50..600: for comparison with the box's own.

    The geometric mean of Hayashi and Hermes 2009, both of hours-old frost in moving air. On a
    boat's plate (surfaces of -9 °C and colder) both lie at or under their floor of 50, so they
    cannot say how dense weeks of cycling in still air leave it: the box takes that as an input.
    """
    top = np.minimum(as_array(surface), ZERO_CELSIUS)
    hayashi = np.maximum(frost_density_hayashi(top), LEAST_FROST_DENSITY)
    hermes = np.maximum(frost_density_hermes(top, np.minimum(plate, top)), LEAST_FROST_DENSITY)
    density: Array = np.clip(np.sqrt(hayashi * hermes), LEAST_FROST_DENSITY, MOST_FROST_DENSITY)
    return density


# --- how it insulates -----------------------------------------------------------------------


def frost_conductivity_yonko_sepsy(density: ArrayLike) -> Array:
    """k = 0.02422 + 7.214e-4 ρ + 1.1797e-6 ρ², W/m·K, ρ < 573 (Yonko & Sepsy 1967)."""
    rho = as_array(density)
    return 0.02422 + 7.214e-4 * rho + 1.1797e-6 * rho * rho


def frost_conductivity_lee(density: ArrayLike) -> Array:
    """k = 0.132 + 3.13e-4 ρ + 1.6e-7 ρ², W/m·K, 50 < ρ < 300 (Lee, Kim & Lee 1997)."""
    rho = as_array(density)
    return 0.132 + 3.13e-4 * rho + 1.6e-7 * rho * rho


def frost_conductivity_sanders(density: ArrayLike) -> Array:
    """k = 1.202e-3 ρ^0.963, W/m·K (Sanders 1974, TU Delft)."""
    return 1.202e-3 * as_array(density) ** 0.963


def frost_conductivity(density: ArrayLike, factor: ArrayLike = 1.0) -> Array:
    """Conductivity used by the box, W/m·K: the mean of the three published laws.

    They differ by 60 % at 100 kg/m³; ``factor`` carries that as a spread.
    """
    laws = (
        frost_conductivity_yonko_sepsy(density)
        + frost_conductivity_lee(density)
        + frost_conductivity_sanders(density)
    )
    return laws / 3.0 * as_array(factor)


def frost_resistance(thickness: ArrayLike, conductivity: ArrayLike) -> Array:
    """Resistance of an even layer, m²K/W."""
    return as_array(thickness) / as_array(conductivity)
