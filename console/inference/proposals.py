"""Where to draw more rows of a block: near the readings, without losing the prior.

Plain draws from the prior grow thin when many sharp readings agree. The rows at hand, weighed by a
tempered likelihood, give a linear fit of what the instruments show over the latents that matter;
with it the Gaussian posterior of those latents is known, and more rows are drawn from a Student-t
about it. All stages together are one mixture, so that no weight can run away.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from console.inference.likelihood import SCALE, Spoken
from console.inference.stacks import Block, Stage

Array = NDArray[np.float64]

MOST = 14
"""Latents a proposal moves at most."""
LEAST_SHARE = 0.01
"""Share of a reading's variance below which a latent is left to the prior."""
TEMPERED = 0.15
WIDER = 1.35
DEGREES = 8.0
FARTHEST = 5.0


def _tempered(log: Array, prior_ratio: Array, least: float) -> Array:
    """Weights with the likelihood to a power at which at least ``least`` rows count."""

    def weights(power: float) -> Array:
        both = prior_ratio + power * log
        made = np.exp(both - both.max())
        return np.asarray(made / made.sum())

    low, high = 0.0, 1.0
    if 1.0 / np.square(weights(1.0)).sum() >= least:
        return weights(1.0)
    for _ in range(18):
        middle = 0.5 * (low + high)
        if 1.0 / np.square(weights(middle)).sum() >= least:
            low = middle
        else:
            high = middle
    return weights(low)


def proposed(
    block: Block, said: Sequence[Spoken], paths: Sequence[str], severities: Sequence[str], rows: int
) -> Stage | None:
    """A further stage of a block, not yet run; None when there is nothing to aim at.

    ``paths`` are all latents of the block, ``severities`` those of its causes.
    """
    numbers = [each for each in said if each.predicted is not None]
    if not numbers or block.size < 32:
        return None
    latents = np.stack([block.latent(path) for path in paths], axis=1)
    log = np.sum([each.log for each in said], axis=0)
    weights = _tempered(log, block.log_prior_ratio(), max(60.0, TEMPERED * block.stages[0].rows.size))
    shows = np.stack(
        [np.clip(each.predicted, -40.0, 40.0) for each in numbers if each.predicted is not None], axis=1
    )
    chosen = _influential(latents, shows, weights, [paths.index(s) for s in severities if s in paths])
    if not chosen:
        return None
    mean, covariance = _gaussian(latents[:, chosen], shows, weights, _choices(said, latents[:, chosen]))
    names = [paths[k] for k in chosen]
    try:
        root = np.asarray(np.linalg.cholesky(WIDER * covariance), dtype=np.float64)
    except np.linalg.LinAlgError:
        return None
    seed = hashlib.blake2b("|".join([*block.key, str(len(block.stages))]).encode(), digest_size=8).digest()
    random = np.random.default_rng(int.from_bytes(seed, "big"))
    normal = random.standard_normal((rows, len(chosen)))
    stretch = np.sqrt(DEGREES / random.chisquare(DEGREES, rows))[:, None]
    at = np.clip(mean + (normal * stretch) @ root.T, -FARTHEST, FARTHEST)
    first = block.stages[0].rows
    index = first[(np.arange(rows) + 7 * len(block.stages)) % first.size]
    latents_of = {name: np.ascontiguousarray(at[:, k]) for k, name in enumerate(names)}
    return Stage(index, latents_of, log_ratio=_log_ratio(names, mean, root))


def _influential(latents: Array, shows: Array, weights: Array, always: Sequence[int]) -> list[int]:
    """Columns of the latents that the shown values go with."""
    centred = latents - weights @ latents
    spread = np.sqrt(weights @ np.square(centred))
    off = shows - weights @ shows
    size = np.sqrt(weights @ np.square(off))
    together = (centred * weights[:, None]).T @ off
    scale = np.maximum(np.outer(spread, size), 1e-12)
    share = np.square(together / scale).max(axis=1)
    noise = 3.0 * np.square(weights).sum()
    ranked = np.argsort(-share)
    found = [int(k) for k in ranked[:MOST] if share[k] > max(LEAST_SHARE, noise)]
    return sorted(set(found) | set(always))


def _choices(said: Sequence[Spoken], latents: Array) -> tuple[Array, Array]:
    """Mean and precision of each latent given the choices alone, as seen in the rows."""
    logs = [each.log for each in said if each.predicted is None]
    count = latents.shape[1]
    if not logs:
        return np.zeros(count), np.ones(count)
    weights = _tempered(np.sum(logs, axis=0), np.zeros(latents.shape[0]), 50.0)
    mean = weights @ latents
    variance = np.clip(weights @ np.square(latents - mean), 0.05, 1.0)
    trust = variance < 0.8
    return np.where(trust, mean, 0.0), np.where(trust, 1.0 / variance, 1.0)


def _gaussian(
    latents: Array, shows: Array, weights: Array, before: tuple[Array, Array]
) -> tuple[Array, Array]:
    """Mean and covariance of the latents given that every instrument shows what was read (0)."""
    design = np.column_stack([np.ones(latents.shape[0]), latents])
    weighted = design * weights[:, None]
    normal = weighted.T @ design + np.diag([0.0, *([0.02] * latents.shape[1])])
    slopes = np.linalg.solve(normal, weighted.T @ shows)
    left = shows - design @ slopes
    noise = SCALE**2 + 0.3 + weights @ np.square(left)
    centre, precision = before
    gain = slopes[1:]
    information = np.diag(precision) + (gain / noise) @ gain.T
    covariance = np.linalg.inv(information)
    mean = covariance @ (precision * centre - (gain / noise) @ slopes[0])
    return np.clip(mean, -3.5, 3.5), 0.5 * (covariance + covariance.T)


def _log_ratio(names: Sequence[str], mean: Array, root: Array) -> Callable[[Callable[[str], Array]], Array]:
    count = len(names)
    constant = (
        math.lgamma(0.5 * (DEGREES + count)) - math.lgamma(0.5 * DEGREES)
        - 0.5 * count * math.log(DEGREES * math.pi) - float(np.log(np.diag(root)).sum())
    )  # fmt: skip
    inverse = np.linalg.inv(root)

    def ratio(latent: Callable[[str], Array]) -> Array:
        at = np.stack([latent(name) for name in names], axis=1)
        distance = np.square((at - mean) @ inverse.T).sum(axis=1)
        density = constant - 0.5 * (DEGREES + count) * np.log1p(distance / DEGREES)
        prior = -0.5 * np.square(at).sum(axis=1) - 0.5 * count * math.log(2 * math.pi)
        return np.asarray(density - prior)

    return ratio
