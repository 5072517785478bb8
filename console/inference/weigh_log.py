"""The posterior of a log under one hypothesis: aimed with a stand-in, weighed by the model itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from console.inference.log_model import LogModel
from console.inference.smc import sample
from console.inference.surrogate import directions, fitted

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
    axes: Mapping[str, float] = field(default_factory=dict)

    def told(self, name: str) -> float:
        """How much of a latent (its variance before the log) lies along what the readings tell of."""
        return self.axes.get(name, 1.0 if name in self.names else 0.0)

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
    first = random.standard_normal((FIRST, len(moving) + len(severity)))
    said = model.predict(_named((*moving, *severity), first), FIRST, changed)
    scatter = np.array([model.scatter(each) / max(abs(each.value), 1e-30) for each in model.evidence])
    # What the repair moves is an axis of its own; of the rest only what the readings can tell of.
    axes = directions(first, said, scatter)[: len(moving)]
    axes, _ = np.linalg.qr(axes)
    count = axes.shape[1] + len(severity)
    along = dict(zip(moving, np.square(axes).sum(axis=1).tolist(), strict=True))
    rest = tuple(name for name in shown if name not in moving)
    inner = count + len(rest)

    def spread_out(at: Array) -> tuple[tuple[str, ...], Array]:
        """All latents at a row of the few: (names, (n, latents))."""
        parts = [at[:, : axes.shape[1]] @ axes.T, at[:, axes.shape[1] :]]
        return (*moving, *severity, *rest), np.hstack(parts)

    # The instruments of conditions are latents of the model; those of evidence come after it.
    at = np.hstack([first[:, : len(moving)] @ axes, first[:, len(moving) :]])
    names, whole = spread_out(np.hstack([at, np.zeros((FIRST, len(rest)))]))
    rows = model.predict(_named(names, whole), FIRST, changed)
    begun, weights_of = (at, rows), None
    best: LogPosterior | None = None
    for turn in range(ROUNDS):
        if told:
            told()
        stand_in = fitted(at, rows, weights_of)

        def log_of(latents: Array, stand_in: Callable[[Array], Array] = stand_in) -> Array:
            return model.log_likelihood(stand_in(latents[:, :count]), _column(*spread_out(latents)))

        drawn = sample(log_of, inner, particles, seed + turn)
        names, whole = spread_out(drawn.at)
        direct = model.predict(_named(names, whole), particles, changed)
        truth = model.log_likelihood(direct, _column(names, whole))
        ratio = truth - drawn.log_likelihood
        top = float(ratio.max())
        weights = np.exp(ratio - top)
        size = float(weights.sum() ** 2 / np.square(weights).sum()) * _different(drawn.at)
        made = LogPosterior(
            names, whole, weights / weights.sum(), direct,
            drawn.log_evidence + top + float(np.log(weights.mean())), size, along,
        )  # fmt: skip
        if best is None or made.size > best.size:
            best = made
        if size >= ENOUGH:
            break
        # Fit anew where the log is, with the far points kept so that it stays tame out there.
        at = np.vstack([begun[0], drawn.at[:, :count]])
        rows = np.vstack([begun[1], direct])
        weights_of = np.concatenate([np.full(FIRST, 0.05), np.ones(particles)])
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
