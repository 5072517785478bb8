from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from console.contract import Distribution, Series
from console.pictures.shapes import density, middle
from tests.pictures.reading import Drawn
from tests.pictures.samples import FLOWS

SIZES = pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])


def whiskers(drawn: Drawn) -> list[tuple[int, int, int]]:
    """Columns of P5, median and P95 of each group."""
    return [(line.index("├"), line.index("●"), line.index("┤")) for line in drawn.lines if "├" in line]


def column_of(drawn: Drawn, value: float) -> float:
    """Where a value lies, by the drawing's own ticks (labels centred on their columns)."""
    line = drawn.lines[-2]
    ticks = [(float(t), line.index(f" {t}") + 1 + len(t) // 2) for t in line.split()]
    (a, at_a), (b, at_b) = ticks[0], ticks[-1]
    return at_a + (value - a) / (b - a) * (at_b - at_a)


@SIZES
def test_median_and_range_lie_where_numpy_puts_them(width: int, height: int) -> None:
    drawn = Drawn(FLOWS, width, height)
    for group, columns in zip(FLOWS.groups, whiskers(drawn), strict=True):
        wanted = np.percentile(np.array(group.values) * 60_000, (5, 50, 95))
        for value, column in zip(wanted, columns, strict=True):
            assert column == pytest.approx(column_of(drawn, float(value)), abs=1.5)


@SIZES
def test_numbers_stand_beside_each_group(width: int, height: int) -> None:
    drawn = Drawn(FLOWS, width, height, system="us")
    assert "2.1 gal/min (1.5 to 2.9)" in drawn.text
    assert "3.8 gal/min (2.9 to 4.8)" in drawn.text


def test_the_limit_lies_at_its_value_and_says_how_much_is_beyond() -> None:
    drawn = Drawn(FLOWS, 116, 16)
    column = drawn.lines[1].index("┊")
    assert column == pytest.approx(column_of(drawn, 1.9e-4 * 60_000), abs=1.5)
    share = np.mean([np.array(FLOWS.groups[1].values) > 1.9e-4])
    assert f"{round(float(share) * 100)} % above the line" in drawn.text
    assert "enough for the unit 11 L/min" in drawn.text


def test_density_is_highest_where_draws_are_densest_and_sums_like_a_histogram() -> None:
    rng = np.random.default_rng(1)
    values = rng.normal(3.0, 0.5, 20_000)
    dense = density(values, 0.0, 6.0, 60)
    assert abs((dense.argmax() + 0.5) * 0.1 - 3.0) < 0.25
    # Against the normal density itself: exp(-z²/2) with its largest 1.
    at = (np.arange(60) + 0.5) * 0.1
    assert np.abs(dense - np.exp(-0.5 * ((at - 3.0) / 0.5) ** 2)).max() < 0.08


def test_draws_that_are_all_alike_are_one_spike() -> None:
    dense = density(np.full(500, 2.0), 0.0, 4.0, 41)
    assert dense.argmax() == 20
    assert (dense > 0.05).sum() <= 3


def test_the_middle_leaves_out_what_is_not_known() -> None:
    found = middle(np.array([1.0, 2.0, 3.0, math.nan]))
    assert found is not None
    assert (found.median, found.count) == (2.0, 3)
    assert middle(np.array([math.nan])) is None


def test_a_stray_draw_does_not_flatten_the_rest() -> None:
    values = (*FLOWS.groups[0].values, 1.0)
    stray = dataclasses.replace(FLOWS, groups=(Series("before", values), FLOWS.groups[1]))
    (low, _, high), _ = whiskers(Drawn(stray, 116, 16))
    assert high - low > 15


def test_a_narrow_screen_has_the_words_above_each_group() -> None:
    one = Distribution("Flow", "flow", FLOWS.groups[:1], FLOWS.limit)
    drawn = Drawn(one, 44, 9, system="us")
    assert "before 2.1 gal/min (1.5 to 2.9)" in drawn.text
    assert "●" in drawn.text
