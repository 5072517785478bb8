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

MOST = 18
"""Latents a proposal moves at most."""
MOST_OF_ONE = 7
"""And for one reading."""
NOISE = 5.0
"""Chance likeness of the best of many columns, as a share of variance times the rows that count."""
SETTLED = 0.4
"""Standard deviations of a reading left over below which nothing more is sought."""
LEAST_SHARE = 0.01
"""Share of a reading's variance below which a latent is left to the prior."""
TEMPERED = 0.2
CURVED = 4
"""Latents in which what is shown may bend."""
GAUSS_NEWTON = 6
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
    always = [paths.index(s) for s in severities if s in paths]
    chosen, strong = _influential(latents, shows, weights, always)
    if not chosen:
        return None
    curved = [chosen.index(k) for k in dict.fromkeys([*always, *strong]) if k in chosen][:CURVED]
    before = _choices(said, latents[:, chosen])
    mean, covariance = _gaussian(latents[:, chosen], shows, weights, before, curved)
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


def _influential(
    latents: Array, shows: Array, weights: Array, always: Sequence[int]
) -> tuple[list[int], list[int]]:
    """Columns of the latents that the shown values go with, in order; and strongest first.

    Each is sought in what those before it leave of a value: a severity that moves all of it would
    hide what the readings, once they have settled the severity, turn on.
    """
    root = np.sqrt(weights)[:, None]
    columns = (latents - weights @ latents) * root
    columns /= np.maximum(np.sqrt(np.square(columns).sum(axis=0)), 1e-12)
    noise = max(LEAST_SHARE, NOISE * float(np.square(weights).sum()))
    strength: dict[int, float] = {}
    for value in shows.T:
        left = (value - weights @ value) * root[:, 0]
        whole = float(left @ left)
        basis: list[Array] = []
        for _ in range(MOST_OF_ONE):
            rest = float(left @ left)
            if rest < SETTLED**2 or whole <= 0:
                break
            along = columns.T @ left
            best = int(np.argmax(np.abs(along)))
            if along[best] ** 2 < noise * rest:
                break
            strength[best] = max(strength.get(best, 0.0), float(along[best] ** 2))
            direction = columns[:, best]
            for each in basis:
                direction = direction - (each @ direction) * each
            length = float(np.sqrt(direction @ direction))
            if length < 1e-6:
                break
            basis.append(direction / length)
            left = left - (basis[-1] @ left) * basis[-1]
    ranked = sorted(strength, key=lambda k: (-strength[k], k))[:MOST]
    return sorted(set(ranked) | set(always)), ranked


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
    latents: Array, shows: Array, weights: Array, before: tuple[Array, Array], curved: Sequence[int]
) -> tuple[Array, Array]:
    """Mean and covariance of the latents given that every instrument shows what was read (0).

    What they show is fitted by a linear form in all latents and a quadratic one in the ``curved``,
    since water through a narrowing warms as its inverse; then Gauss-Newton to the best latents.
    """
    count = latents.shape[1]
    corners = [(i, j) for at, i in enumerate(curved) for j in curved[at:]]
    bent = np.column_stack([latents[:, i] * latents[:, j] for i, j in corners]) if corners else None
    design = np.column_stack([np.ones(latents.shape[0]), latents, *([] if bent is None else [bent])])
    weighted = design * weights[:, None]
    ridge = np.diag([0.0, *([0.02] * (design.shape[1] - 1))])
    fit = np.linalg.solve(weighted.T @ design + ridge, weighted.T @ shows)
    left = shows - design @ fit
    noise = SCALE**2 + 0.2 + weights @ np.square(left)
    centre, precision = before
    mean = np.clip(weights @ latents, -2.0, 2.0)
    for _ in range(GAUSS_NEWTON):
        slopes = fit[1 : count + 1].copy()
        value = fit[0] + mean @ fit[1 : count + 1]
        for row, (i, j) in enumerate(corners, count + 1):
            value = value + fit[row] * mean[i] * mean[j]
            slopes[i] = slopes[i] + fit[row] * mean[j]
            slopes[j] = slopes[j] + fit[row] * mean[i]
        information = np.diag(precision) + (slopes / noise) @ slopes.T
        covariance = np.linalg.inv(information)
        target = covariance @ (precision * centre + (slopes / noise) @ (mean @ slopes - value))
        mean = np.clip(mean + np.clip(target - mean, -1.0, 1.0), -3.5, 3.5)
    return mean, 0.5 * (covariance + covariance.T)


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
