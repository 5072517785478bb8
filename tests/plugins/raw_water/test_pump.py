"""The pump's curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from plugins.raw_water.pump import Pump, at_speed, pump_through, with_air, worn

HEAD, FLOW = 4.27, 8.2e-4


def pump() -> Pump:
    return Pump(np.array([[HEAD]]), np.array([[FLOW]]))


def column(value: float) -> np.ndarray:
    return np.array([[value]])


def test_the_curve_goes_through_the_two_numbers_of_the_label() -> None:
    assert pump().head(0.0)[0, 0] == pytest.approx(HEAD)
    assert pump().head(FLOW)[0, 0] == pytest.approx(0.0, abs=1e-12)


@st.composite
def falling_points(draw: st.DrawFn) -> list[tuple[float, float]]:
    count = draw(st.integers(2, 9))
    steps = draw(st.lists(st.floats(0.05, 1.0), min_size=2 * count, max_size=2 * count))
    flows, heads = np.cumsum(steps[:count]), np.cumsum(steps[count:])[::-1]
    return [(float(q) * 1e-4, float(h)) for q, h in zip(flows, heads, strict=True)]


@given(falling_points())
def test_a_curve_of_any_length_goes_through_its_points_and_falls(points: list[tuple[float, float]]) -> None:
    made = pump_through([column(q) for q, _ in points], [column(h) for _, h in points], None, None)
    for flow, head in points:
        assert made.head(column(flow))[0, 0] == pytest.approx(head, rel=1e-3, abs=1e-3)
    along = np.linspace(0.0, 1.3, 131)[None, :] * made.free_flow
    assert np.all(np.diff(made.head(along)) <= 1e-12)
    assert made.head(along)[0, 0] == pytest.approx(made.shut_off[0, 0])
    assert made.head(made.free_flow)[0, 0] == pytest.approx(0.0, abs=1e-9)


def test_between_its_points_the_curve_is_scipys_monotone_cubic() -> None:
    flows, heads = [0.0, 2e-4, 3e-4, 6e-4, 8e-4], [4.2, 4.0, 3.5, 1.6, 0.0]
    made = pump_through([column(q) for q in flows], [column(h) for h in heads], None, None)
    along = np.linspace(0.0, 8e-4, 97)
    library = PchipInterpolator(flows, heads)
    assert made.head(along[None, :])[0] == pytest.approx(library(along), abs=2e-4)
    assert made.slope(along[None, :])[0] == pytest.approx(library.derivative()(along), abs=30.0)


def test_points_off_a_parabola_bring_back_its_ends() -> None:
    flows = [1e-4, 3e-4, 5e-4, 7e-4]
    heads = [HEAD * (1 - (q / FLOW) ** 2) for q in flows]
    made = pump_through([column(q) for q in flows], [column(h) for h in heads], None, None)
    assert made.shut_off[0, 0] == pytest.approx(HEAD)
    assert made.free_flow[0, 0] == pytest.approx(FLOW)
    assert made.head(column(4e-4)) == pytest.approx(pump().head(4e-4), rel=0.01)


def test_uncertain_points_out_of_order_still_make_a_falling_curve() -> None:
    flows = [np.array([[2e-4], [3.2e-4]]), np.array([[3e-4], [2.9e-4]])]
    heads = [np.array([[3.0], [2.0]]), np.array([[2.5], [2.6]])]
    made = pump_through(flows, heads, np.full((2, 1), 4.0), np.full((2, 1), 8e-4))
    along = np.linspace(0.0, 1.0, 60)[None, :] * made.free_flow
    assert np.isfinite(made.head(along)).all()
    assert np.all(np.diff(made.head(along), axis=1) <= 1e-12)


@given(falling_points(), st.floats(0.02, 1.2))
def test_slope_of_the_curve_is_its_derivative(points: list[tuple[float, float]], share: float) -> None:
    made = pump_through([column(q) for q, _ in points], [column(h) for _, h in points], None, None)
    for one in (pump(), made):
        q = one.free_flow * share
        step = 1e-6 * q
        tangent = (one.head(q + step) - one.head(q - step))[0, 0] / (2 * step[0, 0])
        scale = one.shut_off[0, 0] / one.free_flow[0, 0]
        assert one.slope(q)[0, 0] == pytest.approx(tangent, rel=1e-2, abs=1e-2 * scale)


def test_fifty_hertz_gives_five_sixths_of_the_flow_and_the_square_of_it_in_head() -> None:
    slow = at_speed(pump(), 50 / 60)
    assert slow.free_flow[0, 0] == pytest.approx(FLOW * 5 / 6)
    assert slow.shut_off[0, 0] == pytest.approx(HEAD * 25 / 36)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_wear_and_air_never_help(wear: float, drawn: float, pocket: float) -> None:
    poor = with_air(worn(pump(), wear), drawn, pocket)
    flow = np.linspace(0, FLOW, 9)[None, :]
    assert np.all(np.maximum(poor.head(flow), 0) <= pump().head(flow) + 1e-12)


def test_a_tenth_of_air_by_volume_all_but_ends_the_pumping() -> None:
    # Common practice, from memory of pump handbooks.
    few, many = (with_air(pump(), air, 0.0).shut_off[0, 0] / HEAD for air in (0.03, 0.12))
    assert 0.8 < few < 0.95
    assert many == pytest.approx(0.0, abs=1e-12)
