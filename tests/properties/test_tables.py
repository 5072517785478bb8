"""The interpolators, against numpy and scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from console.properties.tables import Line, Sheet, inverse, polynomial, powers, within

RNG = np.random.default_rng(7)
X = 250.0 + 0.5 * np.arange(101)
VALUES = RNG.normal(size=101)
LINE = Line(250.0, 0.5, VALUES)


def test_a_line_is_numpys_interpolation():
    x = RNG.uniform(250.0, 299.999, 1000)
    assert LINE(x) == pytest.approx(np.interp(x, X, VALUES), rel=1e-9, abs=1e-9)


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_a_line_is_nan_outside_and_only_there(x):
    value = LINE(np.array([x]))[0]
    if 250.0 + 1e-9 < x < 300.0 - 1e-9:
        assert np.isfinite(value)
    elif not 250.0 - 1e-9 <= x <= 300.0 + 1e-9:
        assert np.isnan(value)


def test_a_lines_slope_is_its_difference():
    x = RNG.uniform(250.1, 299.8, 200)
    value, slope = LINE.with_slope(x)
    assert value == pytest.approx(LINE(x))
    cell = np.floor((x - 250.0) / 0.5).astype(int)
    assert slope == pytest.approx(np.diff(VALUES)[cell] / 0.5)


def test_a_sheet_is_scipys_bilinear_interpolation():
    values = RNG.normal(size=(30, 12))
    x, y = 270.0 + 0.2 * np.arange(30), 0.0005 * np.arange(12)
    u, v = RNG.uniform(270.0, 275.79, 500), RNG.uniform(0.0, 0.0054, 500)
    expected = RegularGridInterpolator((x, y), values)(np.stack([u, v], axis=-1))
    assert Sheet((270.0, 0.2), (0.0, 0.0005), values)(u, v) == pytest.approx(expected, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize(
    "point", [(269.9, 0.001), (275.9, 0.001), (271.0, -1e-6), (271.0, 0.0056), (np.nan, 0.001)]
)
def test_a_sheet_is_nan_outside(point):
    sheet = Sheet((270.0, 0.2), (0.0, 0.0005), np.ones((30, 12)))
    assert np.isnan(sheet(*map(np.array, point)))


def test_an_inverse_holds_its_node_exactly():
    x = np.linspace(0.0, 10.0, 2001)
    bent = np.where(x < 4.0, 2.0 * x, 8.0 + 3.0 * (x - 4.0))
    line = inverse(bent, x, 8.0, 0.1)
    assert line(np.array(8.0)) == pytest.approx(4.0, abs=1e-12)
    assert line(np.array([7.95, 8.05])) == pytest.approx([3.975, 4.0 + 0.05 / 3], abs=1e-9)


def test_a_polynomial_is_numpys():
    x = RNG.uniform(-1, 1, 50)
    c = tuple(RNG.normal(size=6).tolist())
    assert polynomial(x, c) == pytest.approx(np.polynomial.polynomial.polyval(x, c))


def test_powers_are_powers():
    x = RNG.uniform(-1, 1, (3, 4))
    assert powers(x, 5) == pytest.approx(x[..., None] ** np.arange(5))


def test_nothing_stays_nothing():
    assert within(np.empty((0, 24)), 0.0, 1.0, 0.0).shape == (0, 24)
    assert LINE(np.empty((0, 24))).shape == (0, 24)


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_within_keeps_what_is_inside_and_nothing_else(x):
    kept = within(np.array([0.5, x]), 0.0, 1.0, 1e-9)
    assert kept[0] == 0.5
    assert (
        (kept[1] == x) if -1e-9 < x < 1 + 1e-9 else np.isnan(kept[1]) or abs(x) < 2e-9 or abs(x - 1) < 2e-9
    )
