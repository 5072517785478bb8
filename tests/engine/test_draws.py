"""Draws: the meaning of a spread, stratification, and common columns."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from console.engine.draws import column, order, scores, spread_about

N = 2000


def central_half(values):
    low, high = np.percentile(values[1:], (5, 95))
    return (high - low) / 2


@pytest.mark.parametrize(
    ("law", "median", "half"),
    [
        ("plain", 20.0, 3.0),
        ("scale", 2.0, 0.6),
        ("scale", 2.0, 3.0),
        ("fraction", 0.3, 0.15),
        ("fraction", 0.9, 0.08),
    ],
)
def test_a_spread_is_the_half_width_of_the_central_90_percent(law, median, half):
    assert central_half(column("a", N, median, half, law)) == pytest.approx(half, rel=0.01)


@pytest.mark.parametrize(
    ("law", "median", "half"), [("plain", 20.0, 3.0), ("scale", 2.0, 0.6), ("fraction", 0.3, 0.15)]
)
def test_the_nominal_is_the_median_of_the_draws(law, median, half):
    made = column("a", N, median, half, law)
    assert made[0] == median
    assert np.median(made[1:]) == pytest.approx(median, rel=1e-3)


def test_a_positive_scale_is_log_normal():
    made = column("a", N, 2.0, 1.0, "scale")[1:]
    assert stats.kstest(np.log(made / 2.0) / np.std(np.log(made)), "norm").pvalue > 0.99


def test_scores_are_those_of_scipys_normal():
    expected = stats.norm.ppf((np.arange(N) + 0.5) / N)
    assert np.sort(scores("a", N)) == pytest.approx(expected, abs=1e-9)


def test_truncated_scores_are_those_of_scipys_truncated_normal():
    made = np.sort(scores("a", N, -1.0, 0.5))
    expected = stats.truncnorm.ppf((np.arange(N) + 0.5) / N, -1.0, 0.5)
    assert made == pytest.approx(expected, abs=1e-4)


def test_a_share_at_zero_spreads_inward_only_with_90_percent_within():
    made = column("a", N, 0.0, 0.2, "fraction", (0.0, 1.0))[1:]
    assert made.min() >= 0
    assert np.mean(made <= 0.2) == pytest.approx(0.90, abs=0.002)


def test_a_share_at_one_spreads_inward_only():
    made = column("a", N, 1.0, 0.2, "fraction", (0.0, 1.0))
    assert made.max() == 1.0
    assert made.min() < 0.85


def test_every_tenth_of_the_probability_gets_a_tenth_of_the_draws():
    made = stats.norm.cdf(scores("b", 100))
    assert np.histogram(made, 10, (0, 1))[0].tolist() == [10] * 10


def test_another_input_does_not_reshuffle_the_first():
    assert np.array_equal(order("a", 50), order("a", 50))
    assert not np.array_equal(order("a", 50), order("b", 50))


def test_columns_of_two_inputs_are_not_correlated():
    assert abs(np.corrcoef(scores("a", N), scores("b", N))[0, 1]) < 0.06


@given(
    st.sampled_from(["plain", "scale", "fraction"]), st.floats(0, 1), st.floats(0, 10),
    st.floats(0, 1), st.floats(0, 1),
)  # fmt: skip
def test_draws_are_finite_and_never_leave_the_hard_limits(law, median, half, a, b):
    low, high = min(a, b, median), max(a, b, median)
    made = column("p", 64, median, half, law, (low, high))
    assert np.isfinite(made).all()
    assert made.min() >= low
    assert made.max() <= high


def test_a_computed_default_spreads_about_each_of_its_medians():
    medians = np.full(N + 1, 10.0)
    medians[1:] *= np.linspace(0.5, 1.5, N)
    made = spread_about("c", medians, 0.25, True, "scale")
    assert central_half(made / medians) == pytest.approx(0.25, rel=0.01)
    assert made[0] == 10.0
