"""Heat exchangers of the air conditioner: the wet coil, the seawater condenser, the air's path."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties import air
from console.properties.tables import as_array
from plugins.climate import tables
from plugins.climate.arrays import bounded

Array = NDArray[np.float64]

FREEZING = 273.15
LEAST_OPEN = 0.02
"""Blockage is held short of shut: below this no air moves and the coil has no state of rest."""


COLDEST_AIR, HOTTEST_AIR = 233.15, 332.15
DRIEST_AIR, WETTEST_AIR = 1e-4, 0.15
"""What the maps of moist air hold, with a little room: -40 to 59 °C, 0.1 to 150 g/kg."""


def within_air(temperature: ArrayLike) -> Array:
    """Air temperature held within the range of the air's properties, K.

    A shut-up cabin in the worst weather can pass 59 °C; what its air does is then taken at 59 °C.
    """
    return bounded(as_array(temperature), COLDEST_AIR, HOTTEST_AIR)


def within_moist(humidity_ratio: ArrayLike) -> Array:
    """Humidity ratio held within the range of the air's properties, kg/kg."""
    return bounded(as_array(humidity_ratio), DRIEST_AIR, WETTEST_AIR)


class CoilAir(NamedTuple):
    """What the coil does to the air: W of coil heat, leaving K and kg/kg, condensate kg/s."""

    heat: Array
    sensible: Array
    temperature: Array
    humidity_ratio: Array
    condensate: Array


def effectiveness_phase_change(ntu: ArrayLike) -> Array:
    """ε = 1 - e^(-NTU): one side condenses or boils, so its temperature stands still (C_r = 0).

    Any arrangement of flows. Source: Kays and London; Incropera table 11.3.

    >>> round(float(effectiveness_phase_change(1.0)), 4)
    0.6321
    """
    return -np.expm1(-as_array(ntu))


def transfer_units_phase_change(effectiveness: ArrayLike) -> Array:
    """NTU = -ln(1 - ε), the inverse of `effectiveness_phase_change`, for ε below 1."""
    return -np.log1p(-as_array(effectiveness))


def bypass_factor(rated: ArrayLike, flow_share: ArrayLike, face_share: ArrayLike) -> Array:
    """Share of the air that passes a coil untouched, at a share of its rated air flow.

    BF = e^(-NTU) with NTU ~ flow^(0.5 - 1), since the air-side film goes with flow^0.5, and with
    the share of the face that is not iced. Source: Threlkeld, Thermal Environmental Engineering
    (form from memory); good for 0.3 to 1.5 of rated flow.
    """
    flow = np.maximum(as_array(flow_share), LEAST_OPEN)
    units = -np.log(as_array(rated)) * flow ** (tables.AIR_FILM_EXPONENT - 1.0)
    return np.exp(-units * as_array(face_share))


def coil_air(
    temperature: Array, humidity_ratio: Array, enthalpy: Array, flow: Array, contact: Array, surface: Array
) -> CoilAir:
    """Air over a coil whose surface stands at ``surface`` K.

    The share ``contact`` (1 - bypass) of the air leaves at the surface's state, saturated if that
    is below the dew point, the rest untouched: t_out = t_in - contact·(t_in - t_s), the same for W
    and h (Hundy, Trott and Welch ch. 21). ``flow`` kg of dry air a second, ``enthalpy`` of the
    entering air J/kg. Heat: m[(h1 - h2) - (W1 - W2)·h_w], the condensate leaving at the surface's
    temperature (Cengel and Boles ex. 14-6); frost's heat of fusion is left out. ``surface`` above
    the air gives negative heat.
    """
    at_surface = np.minimum(air.saturation_humidity_ratio(surface), humidity_ratio)
    removed = contact * (humidity_ratio - at_surface)
    water = tables.LIQUID_HEAT * np.maximum(surface - FREEZING, 0.0)
    drop = contact * (enthalpy - air.enthalpy(surface, at_surface))
    cooled = contact * (temperature - surface)
    heat = flow * (drop - removed * water)
    sensible = flow * (tables.AIR_HEAT + tables.VAPOUR_HEAT * humidity_ratio) * cooled
    return CoilAir(heat, sensible, temperature - cooled, humidity_ratio - removed, flow * removed)


def condenser_conductance(
    refrigerant_side: ArrayLike, water_side: ArrayLike, flow_share: ArrayLike, scale: ArrayLike,
    area: ArrayLike,
) -> Array:  # fmt: skip
    """UA of a seawater condenser, W/K, at a share of its rated water flow.

    Resistances (K/W) in series: refrigerant film and wall, the water's film at rated flow times
    flow^-0.8 (Dittus and Boelter), and the scale's (m²·K/W) over the area (m²).
    """
    flow = np.maximum(as_array(flow_share), LEAST_OPEN)
    film = as_array(water_side) * flow**-tables.WATER_FILM_EXPONENT
    return 1.0 / (as_array(refrigerant_side) + film + as_array(scale) / as_array(area))


def air_flow_share(
    filter_blocked: ArrayLike, iced: ArrayLike, duct_blocked: ArrayLike, fan: ArrayLike = 1.0
) -> Array:
    """Air flow as a share of the clean unit's, 0..1.

    A blower holds its pressure nearly flat; filter, coil and duct spend it with the square of the
    flow over the square of what is open of each: V/V0 = fan·(1 + Σ s_i(1/(1-b_i)² - 1))^-½, with
    the shares s_i of `tables.AIR_PATH_SHARE`. Square-law losses and fan laws; the shares are
    common practice without a source.
    """
    extra: Array = np.asarray(0.0)
    for part, blocked in (("filter", filter_blocked), ("coil", iced), ("duct", duct_blocked)):
        still_open = np.maximum(1.0 - as_array(blocked), LEAST_OPEN)
        extra = extra + tables.AIR_PATH_SHARE[part] * (still_open**-2.0 - 1.0)
    return as_array(fan) / np.sqrt(1.0 + extra)
