"""From likelihoods to probabilities, with the error the drawing itself leaves."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.inference.causes import Hypothesis
from console.inference.likelihood import Spoken
from console.inference.stacks import Block

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A hypothesis weighed: log evidence with its standard error, and the weight of every row."""

    hypothesis: Hypothesis
    block: Block
    log_evidence: float
    error: float
    weights: Array
    size: float
    """Effective number of rows."""

    @property
    def log_posterior(self) -> float:
        return self.hypothesis.log_prior + self.log_evidence


def weigh(hypothesis: Hypothesis, block: Block, said: Sequence[Spoken]) -> Weighed:
    """Evidence of a hypothesis by importance sampling: log mean of the rows' weights.

    log Z = logsumexp(log w) - log n; its relative standard error is sqrt(Σw²/(Σw)² - 1/n).
    """
    log = block.log_prior_ratio()
    for each in said:
        log = log + each.log
    for figure in hypothesis.weighed_by:
        share = block.figure(figure)
        if share is not None:
            flat = share.mean(axis=1) if share.ndim > 1 else share
            log = log + np.log(np.clip(np.nan_to_num(flat), 1e-6, 1.0))
    top = float(log.max())
    raw = np.exp(log - top)
    total, squares = float(raw.sum()), float(np.square(raw).sum())
    size = total * total / squares
    count = raw.size
    error = math.sqrt(max(squares / (total * total) - 1.0 / count, 0.0))
    return Weighed(hypothesis, block, top + math.log(total / count), error, raw / total, size)


class Posterior:
    """Probabilities of the hypotheses, and the chance that each cause is present."""

    def __init__(self, weighed: Sequence[Weighed], probability: Array, error: Array) -> None:
        self.weighed, self.probability, self.error = tuple(weighed), probability, error
        self._keys = [each.hypothesis.keys for each in weighed]
        self._own = np.array([each.error for each in weighed])
        self._causes: dict[str, float] = {}

    def presence(self, *keys: str) -> tuple[float, float]:
        """The chance that any of some causes is present, pairs included, and its standard error."""
        inside = np.array([not each.isdisjoint(keys) for each in self._keys])
        chance = float(self.probability[inside].sum())
        slope = self.probability * (inside - chance)
        return chance, float(np.sqrt(np.square(slope * self._own).sum()))

    def causes(self) -> dict[str, float]:
        """The chance of presence of every cause, likeliest first (then by name)."""
        if not self._causes:
            found = {key: self.presence(key)[0] for key in sorted(frozenset().union(*self._keys))}
            self._causes = dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))
        return self._causes

    def evidence(self) -> dict[str, float]:
        """Log evidence of every cause alone."""
        return {
            each.hypothesis.causes[0].key: each.log_evidence
            for each in self.weighed if len(each.hypothesis.causes) == 1
        }  # fmt: skip

    def alone(self, key: str) -> Weighed:
        """A cause alone, weighed."""
        return next(each for each in self.weighed if each.hypothesis.keys == {key})


def posterior(weighed: Sequence[Weighed]) -> Posterior:
    """Probabilities by log-sum-exp over prior times evidence."""
    logs = np.array([each.log_posterior for each in weighed])
    probability = np.exp(logs - logs.max())
    probability = probability / probability.sum()
    own = np.array([each.error for each in weighed])
    spread = np.square(probability * own)
    # dp_h = p_h (e_h - sum_k p_k e_k)
    variance = np.square(probability) * (np.square(own) * (1 - 2 * probability) + spread.sum())
    error = np.sqrt(np.maximum(variance, 0.0))
    return Posterior(weighed, probability, error)


def weigh_all(
    hypotheses: Sequence[Hypothesis], blocks: Mapping[tuple[str, ...], Block],
    said: Mapping[tuple[str, ...], Sequence[Spoken]],
) -> Posterior:  # fmt: skip
    """The posterior over hypotheses whose blocks have been run."""
    return posterior([weigh(h, blocks[h.block], said[h.block]) for h in hypotheses if h.block in blocks])
