"""Conductors: resistance by area and temperature, voltage drop, and the size that will do.

Arrays broadcast (draws, steps). SI: areas in m², lengths in m, temperatures in K.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plugins.power.tables import (
    AMPACITY,
    BUNDLE_COUNT,
    BUNDLE_SHARE,
    CIRCULAR_MIL,
    COPPER_RESISTIVITY_20,
    COPPER_TEMPERATURE_COEFFICIENT_20,
    E11_CONSTANT,
    E11_TEMPERATURE,
    ENGINE_SPACE,
    FOOT,
    GAUGE_NUMBER,
    METRIC_SIZES,
    SAE_MINIMUM_AREA,
    STRANDING,
)

Array = NDArray[np.float64]

GAUGES = tuple(SAE_MINIMUM_AREA)
"""Gauges of boat cable, thinnest first."""

_AREAS = np.array([SAE_MINIMUM_AREA[gauge] for gauge in GAUGES]) * CIRCULAR_MIL


def awg_diameter(gauge: ArrayLike) -> Array:
    """Diameter (m) of American Wire Gauge ``gauge`` (0 is 1/0, -1 is 2/0): ASTM B258.

    d = 0.127 mm · 92^((36 - n)/39). Exact by definition.
    """
    return np.asarray(0.127e-3 * 92.0 ** ((36.0 - np.asarray(gauge, dtype=float)) / 39.0))


def awg_area(gauge: ArrayLike) -> Array:
    """Nominal area (m²) of American Wire Gauge ``gauge``: ASTM B258."""
    return np.asarray(np.pi / 4 * awg_diameter(gauge) ** 2)


def copper_resistivity(temperature: ArrayLike) -> Array:
    """Resistivity (ohm·m) of annealed copper at ``temperature`` (K): IEC 60028.

    Linear in temperature; good between about -50 and 200 °C.
    """
    rise = np.asarray(temperature, dtype=float) - 293.15
    return np.asarray(COPPER_RESISTIVITY_20 * (1 + COPPER_TEMPERATURE_COEFFICIENT_20 * rise))


def conductor_resistance(area: ArrayLike, temperature: ArrayLike) -> Array:
    """Resistance (ohm per metre, one conductor) of stranded copper.

    ``area`` m², ``temperature`` K. Within 0.4 % of NEC (NFPA 70) chapter 9 table 8 from 18 AWG to
    4/0; the table's own temperature correction is the same copper's.
    """
    return np.asarray(STRANDING * copper_resistivity(temperature) / np.asarray(area, dtype=float))


def voltage_drop(current: ArrayLike, length: ArrayLike, area: ArrayLike, temperature: ArrayLike) -> Array:
    """Volts lost out and back over a run of ``length`` m one way, at ``current`` A: Ohm's law.

    For direct current and for mains runs as short as a boat's (the reactance of a cord is below
    5 % of its resistance up to 16 mm²).
    """
    out_and_back = 2 * np.asarray(length, dtype=float)
    return np.asarray(
        np.asarray(current, dtype=float) * out_and_back * conductor_resistance(area, temperature)
    )


def circular_mil_constant(temperature: ArrayLike = E11_TEMPERATURE) -> Array:
    """K (ohm·circular mil per foot) of the sizing formula at a conductor temperature (K).

    10.75 at 30 °C (ABYC E-11, ISO 10133), at other temperatures as copper goes: 12.6 at 75 °C,
    so that a hot engine space asks for a size more than the printed table.
    """
    return np.asarray(E11_CONSTANT * copper_resistivity(temperature) / copper_resistivity(E11_TEMPERATURE))


def required_area(
    current: ArrayLike, length: ArrayLike, drop: ArrayLike, temperature: ArrayLike = E11_TEMPERATURE
) -> Array:
    """Area (m²) that keeps the loss within ``drop`` volts: CM = K I L / E (ABYC E-11).

    ``length`` is one way, m (the formula's L, in feet, is the round trip), ``current`` A. A drop
    of nothing asks for an infinite area.
    """
    round_trip = 2 * np.asarray(length, dtype=float) / FOOT
    allowed = np.maximum(np.asarray(drop, dtype=float), 1e-12)
    mils = circular_mil_constant(temperature) * np.asarray(current, dtype=float) * round_trip / allowed
    return np.asarray(mils * CIRCULAR_MIL)


def smallest_gauge(area: float) -> str | None:
    """The thinnest boat cable with at least ``area`` m², by its least copper (SAE), as its gauge.

    None when even 4/0 is too thin. It answers the drop alone: whether the size carries its current
    as it lies (bundled, in an engine space) is for its own table.
    """
    place = int(np.searchsorted(_AREAS, area * (1 - 1e-12)))
    return GAUGES[place] if place < len(GAUGES) else None


def smallest_metric(area: float, above: float = 0.0) -> float | None:
    """The thinnest metric size (m²) with at least ``area`` m², and more than ``above`` m²; None
    when there is none. By its nominal area (IEC 60228); as `smallest_gauge` it answers the drop alone."""
    fit = (
        size * 1e-6 for size in METRIC_SIZES if size * 1e-6 >= max(area, above * (1 + 1e-3)) * (1 - 1e-9)
    )
    return next(fit, None)


def lying_share(insulation: str, bundled: ArrayLike, engine_space: bool) -> Array:
    """What the way it lies leaves of a conductor's amperes, 0..1 (ABYC E-11, from memory).

    ``bundled`` counts the current-carrying conductors of its bundle or sheath, 1 alone.
    """
    place = np.searchsorted(BUNDLE_COUNT, np.asarray(bundled, dtype=float) + 0.5) - 1
    share = np.asarray(BUNDLE_SHARE)[np.maximum(place, 0)]
    return np.asarray(share * (ENGINE_SPACE[insulation] if engine_space else 1.0))


def allowable_current(
    area: ArrayLike, insulation: str, bundled: ArrayLike = 1.0, engine_space: bool = False
) -> Array:
    """Amps a conductor of ``area`` (m²) may carry as it lies: 33 CFR 183.425 table 5, from memory.

    Between the table's gauges, for metric sizes, straight in the logarithms of area and amps; beyond
    18 AWG and 4/0 held at the end (in proportion below, so that no thin wire is flattered).
    """
    known = np.asarray(AMPACITY[insulation], dtype=float)
    mils = awg_area(np.asarray(GAUGE_NUMBER))
    size = np.asarray(area, dtype=float)
    amps = np.exp(np.interp(np.log(size), np.log(mils), np.log(known))) * np.minimum(size / mils[0], 1.0)
    return np.asarray(amps * lying_share(insulation, bundled, engine_space))


def heat_area(
    current: ArrayLike, insulation: str, bundled: ArrayLike = 1.0, engine_space: bool = False
) -> Array:
    """Area (m²) that carries ``current`` as it lies: the inverse of `allowable_current`.

    Infinite beyond what 4/0 carries: then several conductors, by a qualified person.
    """
    known = np.asarray(AMPACITY[insulation], dtype=float)
    mils = awg_area(np.asarray(GAUGE_NUMBER))
    alone = np.maximum(np.asarray(current, dtype=float), 1e-9) / lying_share(
        insulation, bundled, engine_space
    )
    # Where a larger gauge is given no more amps the smaller will do: the first that reaches it.
    keep = np.concatenate([[True], np.diff(known) > 0])
    area = np.exp(np.interp(np.log(alone), np.log(known[keep]), np.log(mils[keep])))
    area = area * np.minimum(alone / known[0], 1.0)
    return np.asarray(np.where(alone > known[-1] * (1 + 1e-9), np.inf, area))
