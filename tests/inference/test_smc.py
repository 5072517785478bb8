"""The sampler of logs against posteriors known in closed form."""

import numpy as np
import pytest
from scipy import stats

from console.inference.smc import sample


def linear(latents, readings, noise, seed=3):
    """A linear model with normal errors: its posterior and evidence are exact."""
    random = np.random.default_rng(seed)
    slopes = random.standard_normal((readings, latents))
    data = slopes @ random.standard_normal(latents) + noise * random.standard_normal(readings)
    covariance = np.linalg.inv(np.eye(latents) + slopes.T @ slopes / noise**2)
    mean = covariance @ slopes.T @ data / noise**2
    evidence = stats.multivariate_normal(
        np.zeros(readings), slopes @ slopes.T + noise**2 * np.eye(readings)
    ).logpdf(data)
    normal = stats.norm(0, noise)
    return (lambda at: normal.logpdf(data - at @ slopes.T).sum(axis=1)), mean, covariance, evidence


@pytest.mark.parametrize(("latents", "readings", "noise"), [(2, 3, 0.5), (8, 16, 0.2), (13, 20, 0.1)])
def test_mean_spread_and_evidence_are_those_of_the_exact_posterior(latents, readings, noise):
    log, mean, covariance, evidence = linear(latents, readings, noise)
    made = sample(log, latents, 1500, 1, moves=10)
    deviation = np.sqrt(np.diag(covariance))
    assert np.abs((made.at.mean(axis=0) - mean) / deviation).max() < 0.2
    assert np.allclose(made.at.std(axis=0) / deviation, 1, atol=0.15)
    assert made.log_evidence == pytest.approx(evidence, abs=0.5)


def test_two_humps_are_both_kept():
    def log(at):
        return np.logaddexp(stats.norm(-1.5, 0.1).logpdf(at[:, 0]), stats.norm(1.5, 0.1).logpdf(at[:, 0]))

    made = sample(log, 2, 2000, 4)
    assert (made.at[:, 0] > 0).mean() == pytest.approx(0.5, abs=0.08)


def test_the_same_seed_gives_the_same_sample():
    log, *_ = linear(3, 4, 0.3)
    assert np.array_equal(sample(log, 3, 200, 7).at, sample(log, 3, 200, 7).at)


def test_a_likelihood_that_fails_somewhere_shuts_that_place_out():
    def log(at):
        return np.where(at[:, 0] > 0, -0.5 * np.square(at[:, 0] - 1), np.nan)

    assert sample(log, 1, 500, 2).at.min() > 0
