"""The cabin as resistances and capacities: exact over a step of any length.

Two tools:

* `lagged_mean`: what a first-order store (a deck, the furnishings) lets through of a forcing that
  is constant within each step;
* `Network`: cabin air with its stores, solved in its own modes. It carries the *deviation* of the
  cabin from its set-point: held at the set-point, the network's answer to sun and weather is the
  load; what the unit leaves undone (or overdoes) makes the deviation. The network is linear, so
  the two add up exactly.

Both integrate exactly between steps (exponential), so no step is too long.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def _mean_weight(decay: Array) -> Array:
    """(1 - e^-x)/x, the mean of e^-xt over 0..1, well behaved at 0."""
    small = decay < 1e-6
    safe = np.where(small, 1.0, decay)
    return np.where(small, 1.0 - 0.5 * decay, -np.expm1(-safe) / safe)


def lagged_mean(forcing: Array, time_constant: Array, step: float, periodic: bool) -> Array:
    """Step means of x with τ·dx/dt = f - x, f constant within each step.

    ``forcing`` (..., steps), ``time_constant`` s, broadcastable to (..., 1), ``step`` s.
    ``periodic``: the steps repeat for ever and x starts where it ends; otherwise x starts at rest
    at the first step's forcing. Exact (variation of constants).
    """
    steps = forcing.shape[-1]
    decay = step / np.maximum(np.broadcast_to(time_constant, (*forcing.shape[:-1], 1))[..., 0], 1e-9)
    keep, weight = np.exp(-decay), _mean_weight(decay)
    rows = np.ascontiguousarray(np.moveaxis(forcing, -1, 0))
    means = np.empty_like(rows)
    x = np.zeros(rows.shape[1:]) if periodic else rows[0]
    for k, f in enumerate(rows):
        gap = x - f
        means[k] = f + weight * gap
        x = f + keep * gap
    if periodic:
        # What was left at the end of a day begun at zero, carried round and round.
        start = x / np.maximum(-np.expm1(-decay * steps), 1e-300)
        fading = np.exp(-decay * np.arange(steps).reshape(-1, *[1] * decay.ndim))
        means += weight * start * fading
    return np.moveaxis(means, 0, -1)


@dataclass(frozen=True, slots=True)
class Network:
    """Cabin air (node 0) and its stores, in modes; arrays (modes, draws).

    State z per mode: dz/dt = -λz + g·u, with u the net heat put into the air (W) and the air's
    temperature Σ g·z. One step of length Δ at constant u is
    z' = keep·z + gain·u, step mean of the air = Σ mean_z·z + mean_u·u.
    """

    keep: Array
    gain: Array
    weight: Array
    mean_z: Array
    mean_u: Array
    end_u: Array
    shape: Array
    """(draws, nodes, modes): temperature of each node per unit of each mode."""
    mean_state: Array
    mean_gain: Array

    def of(self, kept: NDArray[np.intp]) -> Network:
        """The network of some of the draws."""
        return Network(
            self.keep[:, kept], self.gain[:, kept], self.weight[:, kept], self.mean_z[:, kept], self.mean_u[kept],
            self.end_u[kept], self.shape[kept], self.mean_state[:, kept], self.mean_gain[:, kept],
        )  # fmt: skip

    def node_temperatures(self, state: Array) -> Array:
        """Deviation of every node, K, shape (nodes, draws), from the modes (modes, draws)."""
        nodes: Array = np.einsum("dnm,md->nd", self.shape, state)
        return nodes

    def periodic_start(self, start: Array, end: Array, steps: int) -> Array:
        """State that the same heats would lead back to, if they led from ``start`` to ``end``."""
        kept = self.keep**steps
        closed: Array = (end - kept * start) / np.maximum(1.0 - kept, 1e-12)
        return closed


def network(capacity: Array, to_air: Array, to_outside: Array, step: float) -> Network:
    """The network of cabin air and its stores.

    ``capacity`` J/K, ``to_outside`` W/K: (draws, nodes), node 0 the cabin air; ``to_air`` W/K:
    (draws, nodes - 1), from the air to each store. ``step`` s. All positive; ``to_outside`` of a
    store may be 0, of the air not (else the cabin would have no state of rest).

    The symmetric matrix C^-½ G C^-½ is split into its eigenvectors, so that every step is exact.
    """
    draws, nodes = capacity.shape
    matrix = np.zeros((draws, nodes, nodes))
    index = np.arange(1, nodes)
    matrix[:, 0, 0] = to_outside[:, 0] + to_air.sum(axis=1)
    matrix[:, index, index] = to_outside[:, 1:] + to_air
    matrix[:, 0, 1:] = matrix[:, 1:, 0] = -to_air
    scale = 1.0 / np.sqrt(capacity)
    rates, vectors = np.linalg.eigh(matrix * scale[:, :, None] * scale[:, None, :])
    rates = np.maximum(rates, 1e-12).T
    shape = vectors * scale[:, :, None]
    weight = shape[:, 0, :].T
    decay = rates * step
    keep, mean = np.exp(-decay), _mean_weight(decay)
    gain = weight * step * mean
    # Mean of a mode over the step: mean·z + (1 - mean)/λ·g·u.
    mean_gain = weight * (1.0 - mean) / rates
    return Network(
        keep, gain, weight, weight * mean, (weight * mean_gain).sum(axis=0), (weight * gain).sum(axis=0),
        shape, mean, mean_gain,
    )  # fmt: skip
