"""What the sun, the air and the sea do to a surface of the boat: films, walls, glass.

Vocabulary: ``film`` W/(m²·K) is a surface's heat transfer coefficient, ``resistance`` m²·K/W,
``transmittance`` (U) W/(m²·K) air to air. Temperatures in K, irradiance in W/m². Any argument may
be a number or an array of the axes (draws, hours).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.climate import tables

Array = NDArray[np.float64]

WINDIEST = 12.0
"""Wind beyond which the film is held, m/s: past it the correlation is extrapolated too far."""


def outside_film_ashrae(wind: ArrayLike) -> Array:
    """Film of an outside surface at a wind (m/s): the line through ASHRAE's two points.

    22.7 W/(m²·K) at 3.35 m/s and 34.0 at 6.7 m/s (ASHRAE Fundamentals), radiation included.
    Below 3.35 m/s it is the same line (11.4 in a calm); above 12 m/s it is held.
    """
    low, high = tables.FILM_WINDS
    slope = (tables.OUTSIDE_FILM_WINTER - tables.OUTSIDE_FILM_SUMMER) / (high - low)
    return tables.OUTSIDE_FILM_SUMMER + slope * (np.clip(as_array(wind), 0.0, WINDIEST) - low)


def sol_air_temperature(
    outdoor: ArrayLike, irradiance: ArrayLike, absorptance: ArrayLike, film: ArrayLike, long_wave: ArrayLike
) -> Array:
    """Outdoor temperature that would heat a wall as much as air, sun and sky together do, K.

    t_e = t_o + α·I/h_o - ε·ΔR/h_o. ``long_wave`` is ε·ΔR/h_o in K: about 4 for a level surface
    under a clear sky at ASHRAE's film of 17 W/(m²·K), 0 for an upright one. Source: ASHRAE
    Fundamentals, sol-air temperature.

    >>> round(float(sol_air_temperature(305.15, 950.0, 0.88, 17.0, 4.0)), 1)
    350.3
    """
    warmed = as_array(absorptance) * as_array(irradiance)
    return as_array(outdoor) + warmed / as_array(film) - as_array(long_wave)


def transmittance(*resistances: ArrayLike) -> Array:
    """U of layers and films in series, W/(m²·K): 1/ΣR. Source: Fourier; ISO 6946 sec. 6."""
    total = np.zeros(())
    for resistance in resistances:
        total = total + as_array(resistance)
    return np.asarray(1.0 / total)


def incidence_modifier_ashrae(cosine: ArrayLike) -> Array:
    """Share of a glass's normal-incidence solar gain at an incidence of given cosine, 0..1.

    1 - b0(1/cos θ - 1) with b0 = 0.10 (ASHRAE 93; from memory). Good to about 60°; nearer
    grazing it falls to 0 at 85° instead of a smooth curve, where little sun is left.
    """
    cosine = np.maximum(as_array(cosine), 1e-3)
    return np.clip(1.0 - tables.INCIDENCE_B0 * (1.0 / cosine - 1.0), 0.0, 1.0)


def glass_solar_gain(
    direct: ArrayLike, diffuse: ArrayLike, direct_normal: ArrayLike, solar_heat_gain: ArrayLike
) -> Array:
    """Sun's heat let in by a glass, W/m² of glass.

    ``direct`` and ``diffuse`` fall on its plane, ``direct_normal`` is the beam itself (their
    ratio is the cosine of incidence), ``solar_heat_gain`` the SHGC at normal incidence, 0..1.
    """
    direct = as_array(direct)
    cosine = direct / np.maximum(as_array(direct_normal), 1e-9)
    light = direct * incidence_modifier_ashrae(cosine)
    return as_array(solar_heat_gain) * (light + tables.DIFFUSE_MODIFIER * as_array(diffuse))


def shaded(share: ArrayLike) -> Array:
    """Share of the sunshine that reaches a deck of which ``share`` lies under an awning, 0..1."""
    return 1.0 - as_array(share) * (1.0 - tables.AWNING_LETS_THROUGH)


def screened(curtained: ArrayLike, covered: ArrayLike) -> Array:
    """Share of the sun's heat that glass still lets in with these shares of it behind a curtain
    and under a reflective cover outside, 0..1; the two screen independently of each other."""
    curtain = 1.0 - as_array(curtained) * (1.0 - tables.CURTAIN_LETS_IN)
    return curtain * (1.0 - as_array(covered) * (1.0 - tables.COVER_LETS_IN))


def deck_transmittance(insulation: ArrayLike, film: ArrayLike) -> Array:
    """U of deck and coach-roof, W/(m²·K): laminate, ``insulation`` m of foam or core, headliner.

    ``film`` is the outside one. Inside, heat flows down into a cooled cabin (6.13 W/(m²·K)).
    """
    return transmittance(
        1.0 / tables.INSIDE_FILM["heat_down"],
        tables.LAMINATE_THICKNESS["roof"] / tables.GRP_CONDUCTIVITY,
        as_array(insulation) / tables.FOAM_CONDUCTIVITY,
        tables.LINING_RESISTANCE,
        1.0 / as_array(film),
    )


def side_transmittance(insulation: ArrayLike, film: ArrayLike) -> Array:
    """U of coach-roof sides and topsides above the water, W/(m²·K); ``insulation`` in m."""
    return transmittance(
        1.0 / tables.INSIDE_FILM["vertical"],
        tables.LAMINATE_THICKNESS["sides"] / tables.GRP_CONDUCTIVITY,
        as_array(insulation) / tables.FOAM_CONDUCTIVITY,
        tables.LINING_RESISTANCE,
        1.0 / as_array(film),
    )


def hull_transmittance(insulation: ArrayLike) -> Array:
    """U from the sea to the cabin, W/(m²·K): laminate, insulation (m), bilge, lockers and sole.

    The water's own film (over 200 W/(m²·K)) is left out.
    """
    return transmittance(
        1.0 / tables.INSIDE_FILM["vertical"],
        tables.LOCKER_RESISTANCE,
        as_array(insulation) / tables.FOAM_CONDUCTIVITY,
        tables.LAMINATE_THICKNESS["hull"] / tables.GRP_CONDUCTIVITY,
    )


def glass_transmittance(film: ArrayLike, level: bool = False) -> Array:
    """U of a single acrylic or polycarbonate light, W/(m²·K); ``level`` for a deck hatch."""
    return transmittance(
        1.0 / tables.INSIDE_FILM["heat_down" if level else "vertical"],
        tables.GLASS_THICKNESS / tables.GLASS_CONDUCTIVITY,
        1.0 / as_array(film),
    )


def inside_surface_temperature(inside: ArrayLike, outside: ArrayLike, u: ArrayLike, film: float) -> Array:
    """Temperature of a wall's inner face, K, with ``u`` its transmittance, ``film`` inside."""
    air = as_array(inside)
    return air - as_array(u) / film * (air - as_array(outside))


def stream_surface_temperature(inside: ArrayLike, stream: ArrayLike, insulation: ArrayLike) -> Array:
    """Cabin side of a duct or grille with cold air in it, K; ``insulation`` m, 0 for a bare grille.

    Between cabin air (8.29 W/(m²·K)) and the moved air (18 W/(m²·K)) with the insulation's
    resistance in series; the sheet itself is left out.
    """
    room = 1.0 / tables.INSIDE_FILM["vertical"]
    rest = as_array(insulation) / tables.FOAM_CONDUCTIVITY + 1.0 / tables.DUCT_FILM
    air = as_array(inside)
    return air - room / (room + rest) * (air - as_array(stream))


def locker_skin_temperature(inside: ArrayLike, sea: ArrayLike, insulation: ArrayLike) -> Array:
    """Hull laminate inside a locker or the bilge, K, where cabin air reaches it through the vents.

    As `hull_transmittance`: the sea is past laminate and ``insulation`` (m), the cabin past the
    locker.
    """
    wet = as_array(insulation) / tables.FOAM_CONDUCTIVITY
    wet = wet + tables.LAMINATE_THICKNESS["hull"] / tables.GRP_CONDUCTIVITY
    return as_array(sea) + hull_transmittance(insulation) * wet * (as_array(inside) - as_array(sea))


def leakage_flow_lbl(
    area: ArrayLike, temperature_difference: ArrayLike, wind: ArrayLike,
    stack_coefficient: ArrayLike, wind_coefficient: ArrayLike,
) -> Array:  # fmt: skip
    """Air through a leaky enclosure, m³/s: A·(C_s·|ΔT| + C_w·U²)^½.

    ``area`` m² is the effective leakage area at 4 Pa (discharge coefficient 1), the coefficients
    in (m³/s)²/(m⁴·K) and (m³/s)²/(m⁴·(m/s)²). Source: LBL model, ASHRAE Fundamentals
    (residential infiltration). Made for houses of one to three storeys; for a boat's cabin,
    lower and with its openings on top, it is the nearest published form.
    """
    drive = as_array(stack_coefficient) * np.abs(as_array(temperature_difference))
    drive = drive + as_array(wind_coefficient) * np.square(as_array(wind))
    return as_array(area) * np.sqrt(drive)
