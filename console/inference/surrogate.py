"""A quadratic stand-in for the forward model, to aim with; the model itself has the last word.

The logarithm of each prediction is fitted over the latents that move it, by least squares with a
small ridge. What the sampler finds with it is run through the model and weighed anew, and the fit
is made again from there where it was not good enough.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RIDGE = 1e-3
LEAST = 0.2
"""A direction that moves all readings together by fewer standard deviations is left alone."""
MOST = 10
TINY = 1e-30


@dataclass(frozen=True, slots=True)
class Surrogate:
    """Coefficients (features, predictions) over the latents, about their centre."""

    coefficients: Array
    centre: Array
    scale: Array

    def __call__(self, at: Array) -> Array:
        """The predictions at latents (n, latents): (n, predictions)."""
        return np.asarray(
            np.exp(np.clip(_features((at - self.centre) / self.scale) @ self.coefficients, -60, 60))
        )


def fitted(at: Array, said: Array, weights: Array | None = None) -> Surrogate:
    """Fit predictions (n, predictions) over latents (n, latents)."""
    centre, scale = at.mean(axis=0), np.maximum(at.std(axis=0), 1e-6)
    design = _features((at - centre) / scale)
    target = np.log(np.maximum(said, TINY))
    count = np.ones(at.shape[0]) if weights is None else weights / weights.mean()
    weighted = design * count[:, None]
    ridge = RIDGE * np.eye(design.shape[1]) * at.shape[0]
    ridge[0, 0] = 0.0
    return Surrogate(np.linalg.solve(weighted.T @ design + ridge, weighted.T @ target), centre, scale)


def _features(at: Array) -> Array:
    count = at.shape[1]
    upper = np.triu_indices(count)
    squares = (at[:, :, None] * at[:, None, :])[:, upper[0], upper[1]]
    return np.column_stack([np.ones(at.shape[0]), at, squares])


def directions(at: Array, said: Array, scatter: Array) -> Array:
    """The few directions in the latents along which the predictions move, (latents, directions).

    By a linear fit over prior draws, each prediction in units of its relative ``scatter``; the
    singular values say how much a direction can be learnt of. Across them all is as before.
    """
    target = np.log(np.maximum(said, TINY))
    target = (target - target.mean(axis=0)) / scatter
    design = at - at.mean(axis=0)
    ridge = RIDGE * at.shape[0] * np.eye(at.shape[1])
    slopes = np.linalg.solve(design.T @ design + ridge, design.T @ target)
    axes, sizes, _ = np.linalg.svd(slopes, full_matrices=False)
    kept = int(np.count_nonzero(sizes > LEAST))
    return np.asarray(axes[:, : min(kept, MOST)])
