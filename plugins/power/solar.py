"""Sun on a panel to amps in the bank.

Arrays broadcast (draws, steps). W/m², K, radians.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.environment.sun import plane_irradiance
from plugins.power.tables import CELL_COEFFICIENT, NOCT, STANDARD_CELL, STANDARD_IRRADIANCE

Array = NDArray[np.float64]

_BEARINGS = np.arange(8) * (np.pi / 4)


def swinging_irradiance(
    tilt: ArrayLike,
    sun_zenith: ArrayLike,
    sun_azimuth: ArrayLike,
    direct_normal: ArrayLike,
    diffuse_horizontal: ArrayLike,
) -> Array:
    """Sunshine (W/m²) on a panel of ``tilt`` (rad from level) on a boat that swings all round.

    The mean of `console.environment.sun.plane_irradiance` over eight bearings; at tilt 0 the
    bearing does not matter and one is enough.
    """
    tilt = np.asarray(tilt, dtype=float)
    bearings = _BEARINGS[:1] if not np.any(tilt) else _BEARINGS
    total: Array | float = 0.0
    for bearing in bearings:
        direct, diffuse = plane_irradiance(
            tilt, bearing, sun_zenith, sun_azimuth, direct_normal, diffuse_horizontal
        )
        total = total + direct + diffuse
    return np.asarray(total) / len(bearings)


def cell_temperature_ross(
    irradiance: ArrayLike, air_temperature: ArrayLike, noct: ArrayLike = NOCT
) -> Array:
    """Temperature (K) of a panel's cells: Ross's law with the nominal operating temperature.

    T = T_air + G (NOCT - 20 °C) / 800 W/m² (Ross, 1980; as in pvlib.temperature.ross). An open rack in
    a light wind; flat on the deck is hotter.
    """
    rise = (np.asarray(noct, dtype=float) - 293.15) / 800.0
    return np.asarray(np.asarray(air_temperature, dtype=float) + np.asarray(irradiance, dtype=float) * rise)


def panel_power_pvwatts(
    irradiance: ArrayLike,
    cell_temperature: ArrayLike,
    peak: ArrayLike,
    coefficient: ArrayLike = CELL_COEFFICIENT,
) -> Array:
    """Power (W) of a panel of ``peak`` W: in proportion to the sun, less with hot cells.

    P = peak · G/1000 · (1 + γ (T - 25 °C)), Dobos, PVWatts Version 5 Manual, NREL (2014). Nothing is
    lost to shade, wiring or the controller here.
    """
    hot = 1 + np.asarray(coefficient) * (np.asarray(cell_temperature, dtype=float) - STANDARD_CELL)
    return np.asarray(
        np.asarray(peak, dtype=float)
        * np.asarray(irradiance, dtype=float)
        / STANDARD_IRRADIANCE
        * np.maximum(hot, 0.0)
    )


def sunset_step(zenith: Array, hours: Array) -> int:
    """The first step of the evening with the sun down; 21:00 where it never sets or never rises."""
    up = zenith < np.pi / 2
    for step in np.argsort((hours - 12.0) % 24.0, kind="stable"):
        if not up[step] and up[step - 1]:
            return int(step)
    return int(np.argmin(np.abs(hours - 21.0)))
