"""Sunshine on a plane of any tilt and bearing: pure array functions, numpy alone.

Vocabulary: ``tilt`` is the plane's angle from level (0 is a deck, pi/2 a topside, pi looks down),
``azimuth`` the bearing its outward side faces, clockwise from true north. ``sun_zenith`` is the
sun's angle from straight overhead and ``sun_azimuth`` its bearing, clockwise from true north.
All angles are in radians, irradiances in W/m². Any argument may be a number or an array; they
broadcast by numpy's rules (axes draws, hours).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

SOLAR_CONSTANT = 1361.0
"""Mean sunshine above the atmosphere, W/m² (Kopp and Lean, Geophys. Res. Lett. 38, 2011, L01706).

The orbit moves it by ±3.4 % over the year."""

_LEAST_COS_ZENITH = 0.01745
"""Cosine of 89°: nearer the horizon the ratio of incidences has no meaning (as in pvlib)."""


def incidence_cosine(
    tilt: ArrayLike, azimuth: ArrayLike, sun_zenith: ArrayLike, sun_azimuth: ArrayLike
) -> Array:
    """Cosine of the angle between the sun's rays and the plane's normal, 0..1.

    It is 0 where the sun is behind the plane or below the horizon. Radians in.

    Source: Duffie and Beckman, Solar Engineering of Thermal Processes, eq. 1.6.3 (from memory).
    Exact geometry, no limits.

    >>> float(incidence_cosine(0.0, 0.0, 0.0, 0.0))
    1.0
    """
    tilt, zenith = np.asarray(tilt, dtype=float), np.asarray(sun_zenith, dtype=float)
    bearing = np.asarray(sun_azimuth, dtype=float) - np.asarray(azimuth, dtype=float)
    cos_zenith = np.cos(zenith)
    cosine = cos_zenith * np.cos(tilt) + np.sin(zenith) * np.sin(tilt) * np.cos(bearing)
    return np.where(cos_zenith > 0.0, np.clip(cosine, 0.0, 1.0), 0.0)


def plane_irradiance(
    tilt: ArrayLike,
    azimuth: ArrayLike,
    sun_zenith: ArrayLike,
    sun_azimuth: ArrayLike,
    direct_normal: ArrayLike,
    diffuse_horizontal: ArrayLike,
    albedo: ArrayLike = 0.1,
    extraterrestrial: ArrayLike = SOLAR_CONSTANT,
) -> tuple[Array, Array]:
    """Sunshine that falls on a plane: (direct, diffuse), W/m² of the plane.

    ``direct`` is the beam; ``diffuse`` is the sky's light by Hay and Davies (a part of it comes
    from around the sun) and what the water or ground reflects, evenly, ``albedo`` of the
    sunshine on the level (0.1 is common for open water with the sun well up; a pale dock 0.3).
    ``direct_normal`` and ``diffuse_horizontal`` in W/m², the angles in radians.

    Sources: Hay and Davies, Calculation of the solar radiation incident on an inclined surface
    (1980), as in pvlib.irradiance.haydavies; ground part isotropic, Liu and Jordan (1963).
    Within 1° of the horizon the circumsolar ratio is held at its value there.
    """
    tilt = np.asarray(tilt, dtype=float)
    beam = np.asarray(direct_normal, dtype=float)
    sky = np.asarray(diffuse_horizontal, dtype=float)
    cos_tilt = np.cos(tilt)
    cos_zenith = np.cos(np.asarray(sun_zenith, dtype=float))
    cosine = incidence_cosine(tilt, azimuth, sun_zenith, sun_azimuth)
    beam_share = np.clip(beam / np.asarray(extraterrestrial, dtype=float), 0.0, 1.0)
    around_sun = beam_share * cosine / np.maximum(cos_zenith, _LEAST_COS_ZENITH)
    from_sky = sky * (around_sun + (1.0 - beam_share) * 0.5 * (1.0 + cos_tilt))
    on_level = beam * np.maximum(cos_zenith, 0.0) + sky
    reflected = on_level * np.asarray(albedo, dtype=float) * 0.5 * (1.0 - cos_tilt)
    return beam * cosine, from_sky + reflected
