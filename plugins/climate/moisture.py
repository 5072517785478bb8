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


class VapourDay(NamedTuple):
    """Humidity ratio of the cabin air in each step, and where its water went (kg/s)."""

    humidity: Array
    drained: Array
    walls: Array
    air_start: Array
    buffer_start: Array
    air_end: Array
    buffer_end: Array


def vapour_day(
    step: float, mass: Array, buffer: Array, sources: Array, exchange: Array, brought: Array,
    dried: Array, coil: Array, coil_slope: Array, old: Array, saturated: Array,
    start: tuple[Array, Array],
) -> VapourDay:  # fmt: skip
    """Water vapour of cabin and buffer over a day, backward Euler (stable at any step).

    ``mass`` kg of dry air and ``buffer`` kg of buffer per humidity ratio, (draws,); ``sources``
    kg/s, ``exchange`` kg/s of air changed with outside and bilge which brings ``brought`` kg/s of
    water; ``dried`` share of the step the coil dries; ``coil`` kg/s wrung out at humidity ``old``,
    growing by ``coil_slope`` kg/s per kg/kg; ``saturated`` the most the air holds; (steps, draws).
    What is above ``saturated`` condenses on the cabin's own walls.
    """
    steps, draws = sources.shape
    per_mass, per_buffer = mass / step, buffer / step
    to_buffer = buffer / (tables.BUFFER_HOURS * 3600.0)
    give = to_buffer / (per_buffer + to_buffer)
    linked = per_buffer * give
    wrung, pull = dried * (coil - coil_slope * old), dried * coil_slope
    fixed = sources + brought
    held = per_mass + exchange + linked
    wet = 1.0 / (held + pull)
    free, offset = 1.0 / held, wrung * wet
    known, humidity = np.empty((steps, draws)), np.empty((steps, draws))
    air_water, buffer_water = start
    for k in range(steps):
        here = fixed[k] + per_mass * air_water + linked * buffer_water
        # A dry coil wrings nothing out: the lower of the two roots is the balance.
        air_water = np.minimum(np.minimum(here * free[k], here * wet[k] - offset[k]), saturated[k])
        buffer_water = buffer_water + give * (air_water - buffer_water)
        known[k], humidity[k] = here, air_water
    drained = np.maximum(wrung + pull * humidity, 0.0)
    walls = np.where(humidity < saturated, 0.0, known - held * humidity - drained)
    return VapourDay(humidity, drained, walls, start[0], start[1], air_water, buffer_water)
