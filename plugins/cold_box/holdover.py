"""How long a box keeps its food when its machine stands still. SI throughout."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plugins.cold_box.box import Box, heat_in
from plugins.cold_box.contents import warming_heat
from plugins.cold_box.tables import ICE_AT_ZERO, LINER_HEAT, LONGEST_INTERVAL, ZERO_CELSIUS

Array = NDArray[np.float64]

LEAST_HEAT = 1e-3
"""W under which nothing warms."""


def log_mean(one: Array, other: Array) -> Array:
    """(a - b)/ln(a/b) of two positive numbers, their mean where they are close."""
    ratio = np.maximum(one, 1e-12) / np.maximum(other, 1e-12)
    near = np.abs(ratio - 1.0) < 1e-4
    safe = np.where(near, 2.0, ratio)
    made: Array = np.where(near, 0.5 * (one + other), (one - other) / np.log(safe))
    return made


def seconds_to_line(box: Box, mass: Array, frost_mass: Array, start: Array, line: Array) -> Array:
    """Seconds until the contents pass ``line`` (K) after the machine stops at ``start`` (K).

    Heat to be taken up (food of ``mass`` kg, thawing included, liner, and the ``frost_mass`` kg on
    the plate where the line lies above its melting) over the log mean of what comes in at both
    ends, which is exact where heat in falls straight as the box warms. In the mean surroundings
    and from the mean ``start`` of the run, opened and filled as on any day. 0 where it is over
    the line already, a year where it never comes to it. Shape (draws, 1).
    """
    start = mean_of_steps(start)
    line = np.broadcast_to(line, start.shape)
    top = np.maximum(line, start)
    still = _in_mean_surroundings(box if box.beyond is None else box.beyond)
    both = heat_in(still, np.concatenate([start, top], axis=-1))
    first, last = both[:, :1], both[:, 1:]
    warming = warming_heat(mass, start, top) + LINER_HEAT * (top - start)
    melts = np.where((line > ZERO_CELSIUS) & (start < line), -ICE_AT_ZERO * frost_mass, 0.0)
    comes = (first > LEAST_HEAT) & (last > LEAST_HEAT)
    pace = np.where(comes, log_mean(first, np.where(comes, last, 1.0)), LEAST_HEAT)
    seconds = (warming + melts) / np.maximum(pace, LEAST_HEAT)
    seconds = np.where(comes | (start >= line), seconds, LONGEST_INTERVAL)
    made: Array = np.minimum(seconds, LONGEST_INTERVAL)
    return made


def mean_of_steps(values: Array) -> Array:
    mean: Array = np.mean(values, axis=-1, keepdims=True)
    return mean


def _in_mean_surroundings(box: Box) -> Box:
    return replace(
        box, cabin=mean_of_steps(box.cabin), hull=mean_of_steps(box.hull),
        cabin_humidity_ratio=mean_of_steps(box.cabin_humidity_ratio),
    )  # fmt: skip
