"""What food, drink and ice bring into a box, and what they hold once there. SI throughout."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.tables import (
    FOOD_FREEZES,
    FOOD_HEAT,
    FOOD_WATER,
    FREEZES_OVER,
    FROZEN_FOOD_HEAT,
    ICE_AT_ZERO,
    ICE_MELTS_OVER,
    ZERO_CELSIUS,
)

Array = NDArray[np.float64]


def product_heat(mass: ArrayLike, specific_heat: ArrayLike, warm: ArrayLike, cold: ArrayLike) -> Array:
    """Mean heat (W) of product put in warm: ṁ c (t_warm - t_box), kg/s, J/kg·K, K.

    Nothing freezes in it; see `freezing_heat`.
    """
    return as_array(mass) * as_array(specific_heat) * (as_array(warm) - as_array(cold))


def freezing_heat(mass: ArrayLike, box: ArrayLike) -> Array:
    """What food put in a freezer brings beyond `product_heat` at one heat capacity, W; kg/s, K.

    Its ice melts by no one temperature: share of ice = 1.105 w/(1 + 0.7138/ln(t_f - t + 1)) of
    water w (Tchigeov 1979, in ASHRAE Refrigeration ch. 19; -45 °C to t_f), and once frozen it
    needs less to cool. Nil above t_f; foods do not all begin at one t_f, so it sets in gently.
    """
    under = np.maximum(FOOD_FREEZES - as_array(box), 0.0)
    below = under * under / (under + FREEZES_OVER)
    log = np.log1p(below)
    frozen = 1.105 * FOOD_WATER * log / (log + 0.7138)
    return as_array(mass) * (-ICE_AT_ZERO * frozen - (FOOD_HEAT - FROZEN_FOOD_HEAT) * below)


def ice_heat(mass: ArrayLike, box: ArrayLike) -> Array:
    """Heat (W) that ice put in takes up as it melts: 333 kJ/kg, kg/s and K in.

    All of it where the box is 2 K over freezing or more, less nearer to it, none below: ice in a
    box as cold as itself lies there.
    """
    x = np.clip((as_array(box) - ZERO_CELSIUS) / ICE_MELTS_OVER, 0.0, 1.0)
    melting = x * x * (3.0 - 2.0 * x)  # without corners, which the day's search would trip over
    return as_array(mass) * -ICE_AT_ZERO * melting


def warming_heat(mass: ArrayLike, cold: ArrayLike, warm: ArrayLike) -> Array:
    """Heat (J) that ``mass`` (kg) of food takes up from ``cold`` to ``warm`` (K), thawing included."""
    whole = product_heat(mass, FOOD_HEAT, warm, cold)
    return whole + freezing_heat(mass, cold) - freezing_heat(mass, warm)
