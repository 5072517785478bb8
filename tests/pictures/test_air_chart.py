"""The psychrometric chart in cells. Moist air is checked against psychrolib (ASHRAE Fundamentals 2017, ch. 1)."""

from __future__ import annotations

import dataclasses
import re

import psychrolib
import pytest

from console.contract import AirChart, AirState
from console.pictures import DARK
from console.pictures.air_lines import chart_of
from console.pictures.words import Words
from tests.pictures.reading import Drawn
from tests.pictures.samples import AIR
from tests.pictures.test_curve import dots

SIZES = pytest.mark.parametrize(("width", "height"), [(70, 16), (56, 20), (110, 24)])


@pytest.fixture(autouse=True)
def _si() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("share", [1.0, 0.6, 0.2])
def test_humidity_lines_agree_with_an_independent_library(share: float) -> None:
    chart = chart_of(AIR, Words("si"), 5, 4)
    line = next(line for line in chart.lines if line.share == share)
    for x, y in list(zip(line.x, line.y, strict=True))[::20]:
        expected = 1000 * psychrolib.GetHumRatioFromRelHum(float(x), share, 101325.0)
        # Real gas against ideal gas: the enhancement factor makes half a per cent.
        assert y == pytest.approx(expected, rel=0.008)


@SIZES
def test_a_state_stands_where_its_temperature_and_humidity_are(width: int, height: int) -> None:
    drawn = Drawn(AIR, width, height)
    foot = next(i for i, line in enumerate(drawn.lines) if line.startswith("1 outdoor"))
    chart_rows = range(1, foot - 1)
    ticks = {
        float(m[1]): row for row in chart_rows if (m := re.search(r"├ (\d+)$", drawn.lines[row].rstrip()))
    }
    (low, low_row), *_, (high, high_row) = sorted(ticks.items())
    for state, sign in zip(AIR.states, "1234", strict=True):
        row = next(
            r
            for r in chart_rows
            if any(c.char == sign and c.fore == DARK.background for c in drawn.rows[r])
        )
        wanted = low_row + (high_row - low_row) * (1000 * state.humidity_ratio - low) / (high - low)
        assert row == pytest.approx(wanted, abs=1.01)
    at = [next(i for i, c in enumerate(drawn.rows[r]) if c.char == s and c.back) for s in "4231"
          for r in chart_rows if any(c.char == s and c.back for c in drawn.rows[r])]  # fmt: skip
    assert at == sorted(at), "from the coldest to the warmest"


@SIZES
def test_the_key_gives_temperature_humidity_and_dew_point(width: int, height: int) -> None:
    drawn = Drawn(AIR, width, height, system="us")
    row = drawn.lines[drawn.row_with("2 cabin")]
    assert "79 °F" in row
    relative = psychrolib.GetRelHumFromHumRatio(26.0, 0.0118, 101325.0)
    assert int(re.search(r"(\d+) %", row)[1]) == pytest.approx(100 * relative, abs=0.6)  # type: ignore[index]
    dew = psychrolib.GetTDewPointFromHumRatio(26.0, 0.0118, 101325.0) * 1.8 + 32
    assert int(re.search(r"dew point (\d+)", row)[1]) == pytest.approx(dew, abs=0.6)  # type: ignore[index]


def test_nothing_of_the_key_is_cut_at_half_a_screen() -> None:
    assert "…" not in Drawn(AIR, 56, 20, system="us").text


def test_no_line_lies_above_saturation() -> None:
    drawn = Drawn(AIR, 110, 24)
    saturated = dots(drawn, DARK.water)
    lowest = {}
    for row, column in saturated:
        lowest[int(column)] = min(row, lowest.get(int(column), 99.0))
    for row, column in dots(drawn, DARK.muted):
        if int(column) in lowest:
            assert row >= lowest[int(column)] - 1


def test_states_in_one_place_stand_side_by_side() -> None:
    twins = dataclasses.replace(AIR, states=(AIR.states[1],) * 3, steps=())
    drawn = Drawn(twins, 70, 16)
    plot = "\n".join(drawn.lines[: drawn.row_with("1 cabin")])
    assert {"1", "2", "3"} <= {c.char for row in drawn.rows[1:10] for c in row if c.back}
    assert "312" in plot or "12" in plot


def test_a_process_has_a_head_that_points_its_way() -> None:
    assert "◀" in Drawn(AIR, 70, 16).text
    back = dataclasses.replace(AIR, steps=((3, 2),))
    text = Drawn(back, 70, 16).text
    assert "▶" in text
    assert "◀" not in text


def test_air_outside_the_range_of_its_properties_is_still_listed() -> None:
    hot = AirChart("Air", (AirState("engine room", 390.0, 0.01), AirState("dry", 300.0, 0.0)))
    text = Drawn(hot, 70, 16).text
    assert "117 °C" in text
    assert "–" in text
