"""The posterior of a log under one hypothesis: aimed with a stand-in, weighed by the model itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from console.inference.log_model import LogModel
from console.inference.smc import Sample, sample
from console.inference.surrogate import directions, fitted

Array = NDArray[np.float64]

FIRST = 512
PARTICLES = 1000
ROUNDS = 3
ENOUGH = 300.0
"""Effective rows at which the fit is good enough to stop."""
TOO_FEW = 150.0
"""Below so many, what matters is looked for anew where the log is; then the model itself is asked."""
DIRECT = 400
DIRECT_MOVES = 20
NEAR = 0.5
"""Standard deviations about the log within which it is looked for."""


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
    along: Mapping[str, float] = field(default_factory=dict)

    def told(self, name: str) -> float:
        """How much of a latent (its variance before the log) lies along what the readings tell of."""
        return self.along.get(name, 1.0 if name in self.names else 0.0)

    def latent(self, name: str) -> Array:
        """The scores of a latent over the rows (0 where the log has nothing to say of it)."""
        return self.at[:, self.names.index(name)] if name in self.names else np.zeros(self.at.shape[0])


class _Search:
    """The latents of one hypothesis, and the few axes in them along which the readings tell."""

    def __init__(
        self, model: LogModel, changed: bool, seed: int, particles: int, told: Callable[[], None] | None
    ) -> None:
        self.model, self.changed, self.seed, self.particles = model, changed, seed, particles
        self.told = told or (lambda: None)
        self.moving = model.moving()
        self.severity = (model.severity_latent,) if changed and model.repair else ()
        self.rest = tuple(name for name in model.shown.names if name not in self.moving)
        self.scatter = model.shown.scatters / np.maximum(np.abs(model.shown.values), 1e-30)
        self.shows = [self.names.index(name) for name in model.shown.names]
        self.random = np.random.default_rng(seed)
        self.turn(np.zeros((len(self.moving), 0)))

    @property
    def names(self) -> tuple[str, ...]:
        return (*self.moving, *self.severity, *self.rest)

    @property
    def count(self) -> int:
        """Latents of the stand-in: the axes, and what the repair moves, which is one of its own."""
        return int(self.axes.shape[1]) + len(self.severity)

    def turn(self, axes: Array) -> None:
        """Take other axes."""
        self.axes = axes
        whole = np.zeros((self.count + len(self.rest), len(self.names)))
        whole[: axes.shape[1], : len(self.moving)] = axes.T
        whole[axes.shape[1] :, len(self.moving) :] = np.eye(len(self.severity) + len(self.rest))
        self._onto = np.ascontiguousarray(whole[:, self.shows])

    def spread_out(self, at: Array) -> Array:
        """All latents at rows of the few."""
        return np.hstack([at[:, : self.axes.shape[1]] @ self.axes.T, at[:, self.axes.shape[1] :]])

    def predict(self, whole: Array) -> Array:
        self.told()
        latents = {name: np.ascontiguousarray(whole[:, k]) for k, name in enumerate(self.names)}
        return self.model.predict(latents, whole.shape[0], self.changed)

    def explains(self, said: Array, whole: Array) -> Array:
        """The log likelihood of predictions at rows of all latents."""
        return self.model.shown.log_likelihood(said, whole[:, self.shows])

    def shown_at(self, few: Array) -> Array:
        """The instruments' latents at rows of the few, without spreading out the rest."""
        made = few @ self._onto
        return np.asarray(made)

    def look(self, centre: Array, spread: float) -> tuple[Array, Array]:
        """Choose the axes from rows about a place; the same rows along the axes, and their predictions."""
        rows = centre + spread * self.random.standard_normal((FIRST, centre.size))
        rows[:, len(self.moving) + len(self.severity) :] = 0.0
        found = directions(rows, self.predict(rows), self.scatter)[: len(self.moving)]
        self.turn(np.linalg.qr(found)[0])
        inner = np.hstack([rows[:, : len(self.moving)] @ self.axes, rows[:, len(self.moving) :]])
        return inner[:, : self.count], self.predict(self.spread_out(inner))

    def aimed(self, begun: tuple[Array, Array]) -> LogPosterior:
        """Aim with a stand-in, weigh with the model, and fit it anew where the log is."""
        (at, said), weights = begun, None
        best: LogPosterior | None = None
        for turn in range(ROUNDS):
            stand_in = fitted(at, said, weights)

            def log_of(few: Array, stand_in: Callable[[Array], Array] = stand_in) -> Array:
                said = stand_in(few[:, : self.count])
                return self.model.shown.log_likelihood(said, self.shown_at(few))

            drawn = sample(log_of, self.count + len(self.rest), self.particles, self.seed + turn)
            whole = self.spread_out(drawn.at)
            direct = self.predict(whole)
            ratio = self.explains(direct, whole) - drawn.log_likelihood
            top = float(ratio.max())
            counted = np.exp(ratio - top)
            size = float(counted.sum() ** 2 / np.square(counted).sum()) * _different(drawn.at)
            evidence = drawn.log_evidence + top + float(np.log(counted.mean()))
            made = self._posterior(whole, counted / counted.sum(), direct, evidence, size)
            if best is None or made.size > best.size:
                best = made
            if size >= ENOUGH:
                break
            # The far points are kept, so that the stand-in stays tame out there.
            at = np.vstack([begun[0], drawn.at[:, : self.count]])
            said = np.vstack([begun[1], direct])
            weights = np.concatenate([np.full(len(begun[0]), 0.05), np.ones(self.particles)])
        assert best is not None
        return best

    def asked(self) -> LogPosterior:
        """The model itself at every step: for one with a corner in it, which has no smooth stand-in."""

        def log_of(few: Array) -> Array:
            whole = self.spread_out(few)
            return self.explains(self.predict(whole), whole)

        drawn: Sample = sample(log_of, self.count + len(self.rest), DIRECT, self.seed, moves=DIRECT_MOVES)
        whole = self.spread_out(drawn.at)
        size = DIRECT * _different(drawn.at) * min(1.0, drawn.moved * DIRECT_MOVES / 2.0)
        return self._posterior(
            whole, np.full(DIRECT, 1.0 / DIRECT), self.predict(whole), drawn.log_evidence, size
        )

    def _posterior(
        self, whole: Array, weights: Array, said: Array, evidence: float, size: float
    ) -> LogPosterior:
        along = dict(zip(self.moving, np.square(self.axes).sum(axis=1).tolist(), strict=True))
        return LogPosterior(self.names, whole, weights, said, evidence, size, along)


def weigh_log(
    model: LogModel, changed: bool, seed: int = 1, particles: int = PARTICLES,
    told: Callable[[], None] | None = None,
) -> LogPosterior:  # fmt: skip
    """Weigh a log under "the boat was the same" or "the repair changed it".

    Raises ValueError when the model gives no number for what was logged.
    """
    search = _Search(model, changed, seed, particles, told)
    found = search.aimed(search.look(np.zeros(len(search.names)), 1.0))
    if found.size >= TOO_FEW:
        return found
    second = search.aimed(search.look(found.weights @ found.at, NEAR))
    if second.size >= TOO_FEW:
        return second
    third = search.asked()
    return max(found, second, third, key=lambda each: each.size)


def _different(at: Array) -> float:
    """The share of rows that are rows of their own."""
    return float(len(np.unique(at, axis=0)) / len(at))
