"""Water vapour of the cabin: air, hygroscopic things, the coil, and what the fan blows back.

Arrays are (steps, draws).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from plugins.climate import tables

Array = NDArray[np.float64]

DRY_SHARE = 0.8
"""Run share from which a fan left on blows nothing back (common practice, no source)."""


def pan_return(run_share: Array, fan_always: bool) -> Array:
    """Share of the condensate that a fan left on blows back off the wet coil and pan, 0..1.

    Falls from 1 at a run share of 0 to 0 at 0.8: with the fan always on, a lightly loaded unit
    dries little (form after Henderson and Rengarajan 1996, from memory; the numbers are common
    practice, no source). With the fan cycling, none.
    """
    if not fan_always:
        return np.zeros_like(run_share)
    return np.clip(1.0 - run_share / DRY_SHARE, 0.0, 1.0)


class Wet(NamedTuple):
    """What gives and takes vapour by its own humidity, (steps, draws): kg/s per humidity ratio.

    Wet things dry off by ``wetting`` times what the air is short of saturation; panes of
    conductance ``pane`` take what is above ``pane_humidity``, their saturated humidity ratio.
    """

    wetting: Array
    pane: Array
    pane_humidity: Array


def pane_conductance(area: Array) -> Array:
    """Vapour conductance of still air to ``area`` m² of pane, kg/s per humidity ratio.

    Lewis: h_m = h/(c_p·Le^(2/3)) with the convective film.
    """
    per_area = tables.CONDENSING_FILM / (tables.AIR_HEAT * tables.LEWIS_FACTOR)
    return per_area * area


class VapourDay(NamedTuple):
    """Humidity ratio of the cabin air in each step, and where its water went (kg/s)."""

    humidity: Array
    drained: Array
    walls: Array
    evaporated: Array
    air_start: Array
    buffer_start: Array
    air_end: Array
    buffer_end: Array


def vapour_day(
    step: float, mass: Array, buffer: Array, sources: Array, exchange: Array, brought: Array,
    dried: Array, coil: Array, coil_slope: Array, old: Array, saturated: Array, wet: Wet,
    start: tuple[Array, Array],
) -> VapourDay:  # fmt: skip
    """Water vapour of cabin and buffer over a day, backward Euler (stable at any step).

    ``mass`` kg of dry air and ``buffer`` kg of buffer per humidity ratio, (draws,); ``sources``
    kg/s, ``exchange`` kg/s of air changed with outside and bilge which brings ``brought`` kg/s of
    water, ``wet`` what dries off and condenses inside; ``dried`` share of the step the coil dries; ``coil`` kg/s wrung out at humidity ``old``,
    growing by ``coil_slope`` kg/s per kg/kg; ``saturated`` the most the air holds; (steps, draws).
    What is above ``saturated`` condenses on the cabin's own walls, as does what the panes take.
    """
    steps, draws = sources.shape
    per_mass, per_buffer = mass / step, buffer / step
    to_buffer = buffer / (tables.BUFFER_HOURS * 3600.0)
    give = to_buffer / (per_buffer + to_buffer)
    linked = per_buffer * give
    wrung, pull = dried * (coil - coil_slope * old), dried * coil_slope
    fixed = sources + brought + wet.wetting * saturated
    held = per_mass + exchange + linked + wet.wetting
    drying = 1.0 / (held + pull)
    free, offset = 1.0 / held, wrung * drying
    # Panes well above the dew point take nothing, and cost nothing.
    near = (old > 0.9 * wet.pane_humidity).any(axis=0)
    sweats = bool(near.any())
    if sweats:
        wet = wet._replace(pane=np.where(near, wet.pane, 0.0))
        taken = wet.pane * wet.pane_humidity
        pane_free, pane_drying = 1.0 / (held + wet.pane), 1.0 / (held + pull + wet.pane)
        pane_free_off, pane_drying_off = taken * pane_free, (taken - wrung) * pane_drying
    known, humidity = np.empty((steps, draws)), np.empty((steps, draws))
    air_water, buffer_water = start
    for k in range(steps):
        here = fixed[k] + per_mass * air_water + linked * buffer_water
        # A dry coil wrings nothing out, a dry pane takes nothing: the lowest root is the balance.
        air_water = np.minimum(np.minimum(here * free[k], here * drying[k] - offset[k]), saturated[k])
        if sweats:
            air_water = np.minimum(air_water, here * pane_free[k] + pane_free_off[k])
            air_water = np.minimum(air_water, here * pane_drying[k] + pane_drying_off[k])
        buffer_water = buffer_water + give * (air_water - buffer_water)
        known[k], humidity[k] = here, air_water
    drained = np.maximum(wrung + pull * humidity, 0.0)
    panes = np.maximum(wet.pane * (humidity - wet.pane_humidity), 0.0) if sweats else 0.0
    walls = np.where(humidity < saturated, 0.0, known - held * humidity - drained - panes) + panes
    evaporated = wet.wetting * (saturated - humidity)
    return VapourDay(humidity, drained, walls, evaporated, start[0], start[1], air_water, buffer_water)
