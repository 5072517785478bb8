"""Stores and the network against analytic answers and SciPy's integrator."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from plugins.climate.thermal import lagged_mean, network

CAPACITY = np.array([[6.5e4, 2.2e6, 4.4e5, 4.0e5, 5.4e5]])
TO_AIR = np.array([[330.0, 70.0, 130.0, 66.0]])
TO_OUTSIDE = np.array([[20.0, 0.0, 70.0, 130.0, 66.0]])


def _matrix() -> np.ndarray:
    """dT/dt = A T + u e0 / C0 of the same network."""
    g = np.zeros((5, 5))
    g[0, 0] = TO_OUTSIDE[0, 0] + TO_AIR.sum()
    for k in range(1, 5):
        g[0, k] = g[k, 0] = -TO_AIR[0, k - 1]
        g[k, k] = TO_AIR[0, k - 1] + TO_OUTSIDE[0, k]
    return -g / CAPACITY[0][:, None]


def _march(step: float, steps: int, heat: float) -> np.ndarray:
    net = network(CAPACITY, TO_AIR, TO_OUTSIDE, step)
    state = np.zeros_like(net.keep)
    for _ in range(steps):
        state = net.keep * state + net.gain * heat
    return net.node_temperatures(state)[:, 0]


def test_one_store_follows_the_analytic_step_response() -> None:
    """x = 1 - e^(-t/τ); its mean over a step is 1 - τ/Δ·(e^(-a) - e^(-b))."""
    tau, step, steps = 5400.0, 1800.0, 12
    forcing = np.ones((1, steps))
    forcing[0, 0] = 0.0
    found = lagged_mean(forcing, np.array([[tau]]), step, periodic=False)[0]
    for k in range(1, steps):
        a, b = (k - 1) * step / tau, k * step / tau
        assert found[k] == pytest.approx(1 - (math.exp(-a) - math.exp(-b)) / (b - a), abs=1e-12)


def test_one_store_in_a_repeating_day_is_a_damped_and_delayed_wave() -> None:
    """Amplitude 1/√(1 + (ωτ)²) and lag atan(ωτ)/ω of a first-order store (any text)."""
    tau, step = 3 * 3600.0, 60.0
    t = (np.arange(1440) + 0.5) * step
    omega = 2 * np.pi / 86400
    found = lagged_mean(np.sin(omega * t)[None, :], np.array([[tau]]), step, periodic=True)[0]
    amplitude, lag = 1 / math.hypot(1, omega * tau), math.atan(omega * tau)
    assert np.abs(found - amplitude * np.sin(omega * t - lag)).max() < 1e-4


def test_a_repeating_day_lets_as_much_through_as_comes_in() -> None:
    forcing = np.random.default_rng(3).normal(size=(3, 24))
    found = lagged_mean(forcing, np.array([[900.0], [9e3], [9e4]]), 3600.0, periodic=True)
    assert found.mean(axis=1) == pytest.approx(forcing.mean(axis=1), abs=1e-12)


def test_network_step_response_is_the_matrix_exponentials() -> None:
    """T = A^-1 (e^(At) - 1) b, by SciPy."""
    a = _matrix()
    b = np.array([1000.0 / CAPACITY[0, 0], 0, 0, 0, 0])
    exact = np.linalg.solve(a, (expm(a * 7200.0) - np.eye(5)) @ b)
    assert _march(3600.0, 2, 1000.0) == pytest.approx(exact, rel=1e-9)


def test_network_follows_an_independent_integrator() -> None:
    a = _matrix()

    def rate(_: float, x: np.ndarray) -> np.ndarray:
        return a @ x + np.array([800.0 / CAPACITY[0, 0], 0, 0, 0, 0])

    solved = solve_ivp(rate, (0.0, 5 * 3600.0), np.zeros(5), method="Radau", rtol=1e-9, atol=1e-9)
    assert _march(3600.0, 5, 800.0) == pytest.approx(solved.y[:, -1], rel=1e-6)


@pytest.mark.parametrize("step", [1.0, 3600.0, 86400.0, 3e6])
def test_network_is_stable_and_reaches_the_steady_answer_at_any_step(step: float) -> None:
    """At rest the air stands at u over the conductance of all ways out."""
    outward = TO_OUTSIDE[0, 0] + sum(
        TO_AIR[0, k] * TO_OUTSIDE[0, k + 1] / (TO_AIR[0, k] + TO_OUTSIDE[0, k + 1]) for k in range(4)
    )
    steps = int(max(3e6 / step, 1))
    if steps > 20_000:
        # Too many to march: one step must lie on the way, and not beyond.
        assert 0 < _march(step, 1, 500.0)[0] < 500.0 / outward
        return
    assert _march(step, steps, 500.0)[0] == pytest.approx(500.0 / outward, rel=1e-6)


def test_two_short_steps_are_one_long_one() -> None:
    assert _march(1800.0, 2, 300.0) == pytest.approx(_march(3600.0, 1, 300.0), rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-3000, 3000), min_size=3, max_size=24))
def test_periodic_start_leads_back_to_itself(heats: list[float]) -> None:
    net = network(CAPACITY, TO_AIR, TO_OUTSIDE, 3600.0)

    def through(state: np.ndarray) -> np.ndarray:
        for u in heats:
            state = net.keep * state + net.gain * u
        return state

    first = np.zeros_like(net.keep)
    start = net.periodic_start(first, through(first), len(heats))
    assert through(start) == pytest.approx(start, rel=1e-9, abs=1e-9)


def test_mean_of_the_air_over_a_step_is_the_integral() -> None:
    """By heat: what goes in less what goes out is what is stored."""
    step, heat = 3600.0, 700.0
    net = network(CAPACITY, TO_AIR, TO_OUTSIDE, step)
    state = np.zeros_like(net.keep)
    means = np.einsum("dnm,md->nd", net.shape, net.mean_state * state + net.mean_gain * heat)[:, 0]
    after = net.node_temperatures(net.gain * heat)[:, 0]
    stored = float((after * CAPACITY[0]).sum())
    shed = float((means * TO_OUTSIDE[0]).sum()) * step
    assert heat * step == pytest.approx(stored + shed, rel=1e-12)
    assert float((net.mean_u * heat)[0]) == pytest.approx(means[0], rel=1e-12)
