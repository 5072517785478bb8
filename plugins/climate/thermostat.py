"""What the thermostat makes the unit do: the share of each step it runs, and the drift it leaves."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from plugins.climate.arrays import bounded
from plugins.climate.moisture import DRY_SHARE
from plugins.climate.thermal import Network

Array = NDArray[np.float64]


def run_share_needed(need: Array, full: Array, blown_back: Array) -> Array:
    """Share of a step the unit must run to remove ``need`` W of sensible heat, at most 1.

    Running all the step removes ``full`` W; what `pan_return` blows back, ``blown_back`` W of
    latent heat if all of it, cools the air as it dries off: r·(full + (1 - r/0.8)·blown_back) =
    need below 0.8 (the smaller root), r·full above. A unit that removes nothing runs all the step.
    """
    both = full + blown_back
    curve = np.maximum(blown_back / DRY_SHARE, 1e-9)
    square = both * both - 4.0 * curve * need
    low = 2.0 * need / np.maximum(both + np.sqrt(np.maximum(square, 0.0)), 1e-9)
    share = np.where((low <= DRY_SHARE) & (square >= 0.0), low, need / np.maximum(full, 1e-9))
    return np.where(full > 1.0, bounded(share, 0.0, 1.0), 1.0)


class TemperatureDay(NamedTuple):
    """The cabin air's deviation from its target, K, and the heat that makes it, (steps, draws).

    ``start``, ``end`` (modes, draws) and ``states`` are of the network, at the steps' beginnings.
    """

    mean: Array
    run: Array
    heat: Array
    removed: Array
    start: Array
    end: Array
    states: Array


def temperature_day(
    net: Network, load: Array, full: Array, slope: Array, old: Array, blown_back: Array, start: Array,
    below: Array | None = None,
) -> TemperatureDay:  # fmt: skip
    """The thermostat's day: in each step the unit runs just long enough to end on the target.

    ``load`` W to be removed to hold the target; ``full`` W (not below 0) removed by running all
    the step with the air at a mean deviation ``old`` K, growing by ``slope`` W/K; ``blown_back`` W
    as in `run_share_needed`; (steps, draws). ``start`` is the network's state. Below the target
    the unit is off (it does not heat). ``below`` K is how far under the target it is to end each
    step, None for on it. Exact within a step.
    """
    steps, draws = load.shape
    end_weight, mean_weight, mean_u = -net.weight * net.keep / net.end_u, net.mean_z, net.mean_u
    keep, gain = net.keep, net.gain
    share = 1.0 / (1.0 + slope * mean_u)
    undone = (load - full + slope * old) * share
    pull = slope * share
    hold, mean_drift, heat = np.empty((steps, draws)), np.empty((steps, draws)), np.empty((steps, draws))
    states = np.empty((steps, *keep.shape))
    state = start
    for k in range(steps):
        states[k] = state
        # The heat that ends the step on the target; what is left in when the unit runs all of it.
        exact = np.add.reduce(end_weight * state, axis=0)
        if below is not None:
            exact = exact - below[k] / net.end_u
        drift = np.add.reduce(mean_weight * state, axis=0)
        u = np.minimum(np.maximum(exact, undone[k] - pull[k] * drift), load[k])
        hold[k], mean_drift[k], heat[k] = exact, drift, u
        state = keep * state + gain * u
    mean = mean_drift + mean_u * heat
    removed = load - heat
    able = full + slope * (mean - old)
    run = np.where(hold < load, run_share_needed(removed, able, blown_back), 0.0)
    return TemperatureDay(mean, run, heat, removed, start, state, states)
