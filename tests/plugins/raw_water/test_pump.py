"""The pump's curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.raw_water.pump import Pump, at_speed, curve_exponent, with_air, worn

HEAD, FLOW = 4.27, 8.2e-4


def pump(exponent: float = 2.0) -> Pump:
    return Pump(np.array([[HEAD]]), np.array([[FLOW]]), np.array([[exponent]]))


def test_the_curve_goes_through_the_two_numbers_of_the_label() -> None:
    assert pump().head(0.0)[0, 0] == pytest.approx(HEAD)
    assert pump().head(FLOW)[0, 0] == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0.2, 0.9), st.floats(0.2, 0.9))
def test_the_curve_goes_through_the_third_point(head_share: float, flow_share: float) -> None:
    exponent = float(curve_exponent(HEAD, FLOW, HEAD * head_share, FLOW * flow_share))
    if 1.0 < exponent < 4.0:
        assert pump(exponent).head(FLOW * flow_share)[0, 0] == pytest.approx(HEAD * head_share, rel=1e-9)


@given(st.floats(1.0, 4.0), st.floats(0.2, 1.2))
def test_slope_of_the_curve_is_its_derivative(exponent: float, share: float) -> None:
    curve, q = pump(exponent), FLOW * share
    step = 1e-5 * q
    assert curve.slope(q)[0, 0] == pytest.approx(
        (curve.head(q + step) - curve.head(q - step))[0, 0] / (2 * step), rel=1e-3
    )


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
