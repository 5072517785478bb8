"""Tempered sequential Monte Carlo: a sample of a posterior over standard normal latents.

The readings are let in little by little; at each step the particles are resampled and moved by
random walks and by jumps drawn from a Student-t about them all, until they have forgotten where they came
from (Del Moral, Doucet and Jasra, J. R. Stat. Soc. B 68, 2006, 411-436). Plain sampling from the
prior collapses on a log: some ten unknowns against as many sharp readings.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

KEEP = 0.5
"""Share of the particles that must count after each step."""
MOVES = 6
DEGREES = 6.0
MOST_STEPS = 40
FARTHEST = 6.0
"""No latent goes farther out than so many standard deviations."""


@dataclass(frozen=True, slots=True)
class Sample:
    """Particles (n, latents) of equal weight, their log likelihood, and the log of the evidence.

    ``moved`` is the share of proposed moves that were taken at the end: near 0 the sample is stuck.
    """

    at: Array
    log_likelihood: Array
    log_evidence: float
    moved: float


def sample(
    log_likelihood: Callable[[Array], Array], latents: int, particles: int, seed: int, moves: int = MOVES
) -> Sample:
    """Sample prior N(0, 1) per latent times a likelihood.

    ``log_likelihood`` takes (n, latents) and gives (n,); what is not finite counts as impossible.
    """
    random = np.random.default_rng(seed)

    def log_of(at: Array) -> Array:
        made = np.asarray(log_likelihood(at), dtype=float)
        return np.where(np.isfinite(made), made, -1e300)

    at = random.standard_normal((particles, latents))
    log = log_of(at)
    power, evidence, moved, scale = 0.0, 0.0, 1.0, 2.4 / math.sqrt(max(latents, 1))
    for _ in range(MOST_STEPS):
        step = _next_power(log, power)
        weights = np.exp((step - power) * (log - log.max()))
        evidence += float(np.log(weights.mean()) + (step - power) * log.max())
        power = step
        weights = weights / weights.sum()
        mean = weights @ at
        off = at - mean
        covariance = (off * weights[:, None]).T @ off + 1e-9 * np.eye(latents)
        root = np.linalg.cholesky(0.5 * (covariance + covariance.T))
        index = _systematic(weights, random)
        at, log = at[index], log[index]
        taken = 0.0
        for move in range(moves):
            if move % 2:
                at, log, share = _jump(at, log, power, mean, root, log_of, random)
            else:
                at, log, share = _walk(at, log, power, scale * root, log_of, random)
                scale *= math.exp(share - 0.28)
            taken += share / moves
        moved = taken
        if power >= 1.0:
            break
    return Sample(at, log, evidence, moved)


def _next_power(log: Array, power: float) -> float:
    """The next power of the likelihood: the largest at which enough particles still count."""

    def count(step: float) -> float:
        weights = np.exp((step - power) * (log - log.max()))
        return float(weights.sum() ** 2 / np.square(weights).sum())

    if count(1.0) >= KEEP * log.size:
        return 1.0
    low, high = power, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        if count(middle) >= KEEP * log.size:
            low = middle
        else:
            high = middle
    return max(low, power + 1e-12)


def _systematic(weights: Array, random: np.random.Generator) -> NDArray[np.intp]:
    places = (np.arange(weights.size) + random.random()) / weights.size
    return np.minimum(np.searchsorted(np.cumsum(weights), places), weights.size - 1)


def _walk(
    at: Array, log: Array, power: float, root: Array, log_of: Callable[[Array], Array],
    random: np.random.Generator,
) -> tuple[Array, Array, float]:  # fmt: skip
    there = at + random.standard_normal(at.shape) @ root.T
    return _taken(at, log, there, power, log_of, random, np.zeros(log.size))


def _jump(
    at: Array, log: Array, power: float, mean: Array, root: Array, log_of: Callable[[Array], Array],
    random: np.random.Generator,
) -> tuple[Array, Array, float]:  # fmt: skip
    stretch = np.sqrt(DEGREES / random.chisquare(DEGREES, log.size))[:, None]
    there = mean + (random.standard_normal(at.shape) * stretch) @ root.T
    return _taken(at, log, there, power, log_of, random, _log_t(at, mean, root) - _log_t(there, mean, root))


def _log_t(at: Array, mean: Array, root: Array) -> Array:
    distance = np.square(np.linalg.solve(root, (at - mean).T)).sum(axis=0)
    return np.asarray(-0.5 * (DEGREES + at.shape[1]) * np.log1p(distance / DEGREES))


def _taken(
    at: Array, log: Array, there: Array, power: float, log_of: Callable[[Array], Array],
    random: np.random.Generator, proposal: Array,
) -> tuple[Array, Array, float]:  # fmt: skip
    inside = np.abs(there).max(axis=1) < FARTHEST
    there = np.where(inside[:, None], there, at)
    new = log_of(there)
    ratio = power * (new - log) + 0.5 * (np.square(at) - np.square(there)).sum(axis=1) + proposal
    take = inside & (np.log(random.random(log.size)) < ratio)
    return np.where(take[:, None], there, at), np.where(take, new, log), float(take.mean())
