"""The posterior of a log under one hypothesis: aimed with a stand-in, weighed by the model itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.inference.log_model import LogModel
from console.inference.smc import sample
from console.inference.surrogate import fitted, influential

Array = NDArray[np.float64]

FIRST = 512
PARTICLES = 1000
ROUNDS = 4
ENOUGH = 300.0
"""Effective rows at which the fit is good enough to stop."""


@dataclass(frozen=True, slots=True)
class LogPosterior:
    """Rows of latents (n, latents) with weights, the predictions there, and the log evidence.

    ``size`` is the effective number of rows.
    """

    names: tuple[str, ...]
    at: Array
    weights: Array
    said: Array
    log_evidence: float
    size: float

    def latent(self, name: str) -> Array:
        """The scores of a latent over the rows (0 where the log has nothing to say of it)."""
        return self.at[:, self.names.index(name)] if name in self.names else np.zeros(self.at.shape[0])


def weigh_log(
    model: LogModel, changed: bool, seed: int = 1, particles: int = PARTICLES,
    told: Callable[[], None] | None = None,
) -> LogPosterior:  # fmt: skip
    """Weigh a log under "the boat was the same" or "the repair changed it".

    Raises ValueError when the model gives no number for what was logged.
    """
    random = np.random.default_rng(seed)
    moving, shown = model.moving(), model.shown_latents()
    severity = (model.severity_latent,) if changed and model.repair else ()
    all_names = (*moving, *severity)
    first = random.standard_normal((FIRST, len(all_names)))
    said = model.predict(_named(all_names, first), FIRST, changed)
    chosen = influential(all_names, first, said, severity)
    names = tuple(all_names[k] for k in chosen)
    extra = tuple(name for name in shown if name not in names)
    every = (*names, *extra)
    at, rows, count = first[:, chosen], said, None
    best: LogPosterior | None = None
    for turn in range(ROUNDS):
        if told:
            told()
        stand_in = fitted(at, rows, count)

        def log_of(latents: Array, stand_in: Callable[[Array], Array] = stand_in) -> Array:
            return model.log_likelihood(stand_in(latents[:, : len(names)]), _column(every, latents))

        drawn = sample(log_of, len(every), particles, seed + turn)
        direct = model.predict(_named(every, drawn.at), particles, changed)
        truth = model.log_likelihood(direct, _column(every, drawn.at))
        ratio = truth - drawn.log_likelihood
        top = float(ratio.max())
        weights = np.exp(ratio - top)
        size = float(weights.sum() ** 2 / np.square(weights).sum()) * _different(drawn.at)
        made = LogPosterior(
            every, drawn.at, weights / weights.sum(), direct,
            drawn.log_evidence + top + float(np.log(weights.mean())), size,
        )  # fmt: skip
        if best is None or made.size > best.size:
            best = made
        if size >= ENOUGH:
            break
        # Fit anew where the log is, with the far points kept so that it stays tame out there.
        at = np.vstack([first[:, chosen], drawn.at[:, : len(names)]])
        rows = np.vstack([said, direct])
        count = np.concatenate([np.full(FIRST, 0.05), np.ones(particles)])
    assert best is not None
    return best


def _different(at: Array) -> float:
    """The share of rows that are rows of their own."""
    return float(len(np.unique(at, axis=0)) / len(at))


def _named(names: tuple[str, ...], at: Array) -> dict[str, Array]:
    return {name: np.ascontiguousarray(at[:, k]) for k, name in enumerate(names)}


def _column(names: tuple[str, ...], at: Array) -> Callable[[str], Array]:
    def of(name: str) -> Array:
        return at[:, names.index(name)] if name in names else np.zeros(at.shape[0])

    return of
