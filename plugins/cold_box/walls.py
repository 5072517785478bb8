"""Heat through the walls, the lid or door, and the hull side of an ice box.

Vocabulary: ``length``, ``width``, ``depth`` are inside dimensions (m), ``thickness`` that of the
insulation (m), ``conductivity`` in W/m·K, conductances in W/K, temperatures in K. Any argument
may be a number or an array; they broadcast. Nothing here fails on an array: limits of validity
are stated, and held by the table's own limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.tables import (
    CORNER_SHAPE,
    EDGE_SHAPE,
    FILM_INSIDE,
    FILM_OUTSIDE,
    LINER_THICKNESS,
    PLYWOOD_CONDUCTIVITY,
    WET_CONDUCTIVITY,
)

Array = NDArray[np.float64]


def box_shape_factor_holman(
    length: ArrayLike, width: ArrayLike, depth: ArrayLike, thickness: ArrayLike
) -> Array:
    """Conduction shape factor S (m) of a closed box: heat = conductivity · S · difference.

    S = ΣA/t + 0.54 ΣL + 8·0.15 t, with inside faces A, twelve inside edges L and eight corners.
    Holman, Heat Transfer, table 3-1 and example 3-2. Valid when every inside dimension exceeds
    t/5 (see `shape_factor_holds`).

    >>> round(float(box_shape_factor_holman(0.5, 0.5, 0.5, 0.1)), 2)
    18.36
    """
    a, b, c = (as_array(side) for side in (length, width, depth))
    t = as_array(thickness)
    faces = 2.0 * (a * b + b * c + c * a)
    edges = 4.0 * (a + b + c)
    return faces / t + EDGE_SHAPE * edges + 8.0 * CORNER_SHAPE * t


def shape_factor_holds(
    length: ArrayLike, width: ArrayLike, depth: ArrayLike, thickness: ArrayLike
) -> NDArray[np.bool_]:
    """Whether every inside dimension exceeds a fifth of the thickness (Holman, table 3-1)."""
    least = np.minimum(np.minimum(length, width), depth)
    return np.asarray(least > as_array(thickness) / 5.0)


def transmittance_of_layers(
    layers: Sequence[tuple[ArrayLike, ArrayLike]], film_inside: ArrayLike, film_outside: ArrayLike
) -> Array:
    """U-value (W/m²K) of plane layers in series: 1/U = 1/h_in + Σ t/k + 1/h_out.

    ``layers`` are (thickness m, conductivity W/m·K); a film of ``inf`` is a known surface
    temperature. Series resistance, any text (Incropera eq. 3.19).
    """
    total = 1.0 / as_array(film_inside) + 1.0 / as_array(film_outside)
    for thickness, conductivity in layers:
        total = total + as_array(thickness) / as_array(conductivity)
    return 1.0 / total


def insulation_conductivity(dry: ArrayLike, wet_share: ArrayLike) -> Array:
    """Conductivity (W/m·K) of insulation of which ``wet_share`` (0..1) is waterlogged.

    Soaked and dry patches lie side by side, so they add as areas: k = (1-w) k_dry + w k_wet.
    k_wet 0.10 W/m·K, from memory (R 1 to 3 per inch for old wet foam).
    """
    dry, wet = as_array(dry), as_array(wet_share)
    return dry + wet * np.maximum(WET_CONDUCTIVITY - dry, 0.0)


def hull_skin_temperature(
    outdoor: ArrayLike,
    seawater: ArrayLike,
    sunshine: ArrayLike,
    absorptance: ArrayLike,
    share_below_water: ArrayLike,
) -> Array:
    """Temperature (K) of the hull beside the box, the mean of topside and underwater parts.

    The topside takes the sol-air temperature t_out + α I/h_out, with h_out 22.7 W/m²K (ASHRAE
    Fundamentals, summer; ε ΔR is 0 for a vertical surface); the part below the waterline that
    of the sea. ``sunshine`` in W/m² on the topside, ``absorptance`` and share 0..1.
    """
    topside = as_array(outdoor) + as_array(absorptance) * as_array(sunshine) / FILM_OUTSIDE
    below = as_array(share_below_water)
    return topside + below * (as_array(seawater) - topside)


@dataclass(frozen=True, slots=True)
class Walls:
    """Conductances (W/K) of a box, by what lies outside them."""

    opening: Array
    hull: Array
    sides: Array
    bottom: Array

    @property
    def total(self) -> Array:
        """All of them together, W/K."""
        return self.opening + self.hull + self.sides + self.bottom

    def times(self, factor: ArrayLike) -> Walls:
        """All of them times a factor: a part of the box, or walls fitted to what was measured."""
        k = as_array(factor)
        return Walls(self.opening * k, self.hull * k, self.sides * k, self.bottom * k)


def box_conductances(
    length: ArrayLike,
    width: ArrayLike,
    depth: ArrayLike,
    opening_area: ArrayLike,
    thickness: ArrayLike,
    opening_thickness: ArrayLike,
    conductivity: ArrayLike,
    bridges: ArrayLike,
    edge_conductivity: ArrayLike,
    opening_perimeter: ArrayLike,
    hull_side_share: ArrayLike,
) -> Walls:
    """Conductances of the lid or door, the hull side, the other sides and the bottom, W/K.

    The box is Holman's shape factor over all but the opening, in series with the air films of
    its inside and outside faces; ``bridges`` (0..) is what frames and pipe holes add to it. The
    opening is its insulation between plywood skins, and its edge: ``edge_conductivity`` W/m·K
    along ``opening_perimeter`` (a linear coefficient of published gasket studies, 0.03 to 0.1,
    low confidence). ``hull_side_share`` (0..1) of the four sides lies against the hull.
    """
    a, b, c = (as_array(side) for side in (length, width, depth))
    t, k = as_array(thickness), as_array(conductivity)
    mouth = np.minimum(as_array(opening_area), a * np.maximum(b, c))
    four_sides, floor = 2.0 * c * (a + b), a * b
    inner = np.maximum(four_sides + 2.0 * floor - mouth, 0.05 * floor)
    outer = inner + 4.0 * t * (a + b + c) * 2.0 + 24.0 * t * t
    shape = box_shape_factor_holman(a, b, c, t) - mouth / t
    solid = 1.0 / (1.0 / (k * shape) + 1.0 / (FILM_INSIDE * inner) + 1.0 / (FILM_INSIDE * outer))
    solid = solid * (1.0 + as_array(bridges))
    skin = (LINER_THICKNESS, PLYWOOD_CONDUCTIVITY)
    panel = transmittance_of_layers([skin, (opening_thickness, k)], FILM_INSIDE, FILM_INSIDE)
    edge = as_array(edge_conductivity) * as_array(opening_perimeter)
    sides_share = np.minimum(four_sides / inner, 1.0)
    hull = solid * sides_share * as_array(hull_side_share)
    bottom = solid * np.minimum(floor / inner, 1.0 - sides_share)
    return Walls(mouth * panel + edge, hull, solid - hull - bottom, bottom)


def wall_heat(
    walls: Walls, cabin: ArrayLike, hull: ArrayLike, box: ArrayLike
) -> tuple[Array, Array, Array, Array]:
    """Heat (W) through opening, hull side, other sides and bottom: conductance · difference.

    Steady in each hour: foam of 75 mm settles in about a quarter of one.
    """
    cabin, hull, box = (as_array(t) for t in (cabin, hull, box))
    warm = cabin - box
    return walls.opening * warm, walls.hull * (hull - box), walls.sides * warm, walls.bottom * warm
