"""Ice that a coil below freezing grows by itself, hour by hour. Arrays are (steps, draws)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plugins.climate import tables
from plugins.climate.exchange import FREEZING

Array = NDArray[np.float64]

MOST_ICED = 0.98
"""Share of the face at which the growth is held: no air goes through a coil that is shut."""

_DAYS = 2


def ice_that_fills(airflow: Array) -> Array:
    """Frost, kg, that shuts the coil of a unit with this clean air flow (m³/s).

    The void between the fins, face by the customary face velocity times depth, at the density of
    frost near freezing: about 2 kg on a 16,000 BTU/h unit.
    """
    return airflow / tables.FACE_VELOCITY * tables.COIL_DEPTH * tables.COIL_VOID * tables.FROST_DENSITY


def ice_share_day(
    step: float, surface: Array, condensate: Array, run_share: Array, tripped: Array, warmth: Array,
    full: Array, fan_always: bool,
) -> Array:  # fmt: skip
    """Share of the coil's face under ice in each step, mean over it, (steps, draws).

    While the unit runs with its ``surface`` (K) below 0 °C, the ``condensate`` (kg/s) stays on it as
    frost; above, and while it rests, the air melts what is there: ``warmth`` (W) is what the moved
    air would bring an icy coil, of which a stopped fan brings `tables.STILL_THAW`. A coil so shut that
    a switch has stopped the compressor (``tripped``) is taken to stay so while the thermostat calls:
    next to no air comes through, and many controllers lock out. ``full`` kg shuts the face. The
    steps are gone through twice, so that ice from the day before is still there.
    """
    cold = surface < FREEZING
    resting = warmth * (1.0 if fan_always else tables.STILL_THAW)
    melt = (1.0 - run_share) * resting + np.where(cold, 0.0, run_share * (1.0 - tripped) * warmth)
    net = (np.where(cold, run_share * condensate, 0.0) - melt / tables.FUSION) * step / full
    share = np.empty_like(net)
    ice = np.zeros_like(net[0])
    for _ in range(_DAYS):
        for k in range(net.shape[0]):
            after = np.clip(ice + net[k], 0.0, MOST_ICED)
            share[k] = 0.5 * (ice + after)
            ice = after
    return share
