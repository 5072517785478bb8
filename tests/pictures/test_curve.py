from __future__ import annotations

import dataclasses
import math
from itertools import pairwise

import numpy as np
import pytest

from console.contract import Curve, Series
from console.pictures import DARK
from console.pictures.dots import Dots
from tests.pictures.reading import Drawn
from tests.pictures.samples import AIR_STATES, CHARGE

SIZES = pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])


def simple(values: tuple[float, ...], **more: object) -> Curve:
    x = tuple(float(i) for i in range(len(values)))
    return Curve("Curve", "number", "number", x, (Series("line", values),), **more)  # type: ignore[arg-type]


def dots(drawn: Drawn, colour: str) -> list[tuple[float, float]]:
    """Row and column (in cells) of the middle of every dot of a colour."""
    bits = {0: (0, 0), 1: (1, 0), 2: (2, 0), 6: (3, 0), 3: (0, 1), 4: (1, 1), 5: (2, 1), 7: (3, 1)}
    out = []
    for number, row in enumerate(drawn.rows):
        for column, cell in enumerate(row):
            if "⠀" < cell.char <= "⣿" and cell.fore == colour:
                code = ord(cell.char) - 0x2800
                for bit, (down, across) in bits.items():
                    if code >> bit & 1:
                        out.append((number + (down + 0.5) / 4, column + (across + 0.5) / 2))
    return out


@SIZES
def test_a_straight_line_is_drawn_straight_from_corner_to_corner(width: int, height: int) -> None:
    drawn = Drawn(simple((0.0, 25.0, 50.0, 75.0, 100.0)), width, height)
    where = np.array(dots(drawn, DARK.curves[0]))
    slope, offset = np.polyfit(where[:, 1], where[:, 0], 1)
    assert slope < 0
    assert np.abs(where[:, 0] - (slope * where[:, 1] + offset)).max() < 0.3
    ticks = {label: next(i for i, line in enumerate(drawn.lines) if line.lstrip().startswith(f"{label}┤"))
             for label in ("0", "100")}  # fmt: skip
    assert where[:, 0].min() == pytest.approx(ticks["100"] + 0.5, abs=0.6)
    assert where[:, 0].max() == pytest.approx(ticks["0"] + 0.5, abs=0.6)


def test_every_column_between_the_ends_of_a_line_has_a_dot() -> None:
    drawn = Drawn(simple(tuple(math.sin(i / 3) for i in range(60))), 116, 16)
    columns = {int(column) for _, column in dots(drawn, DARK.curves[0])}
    assert columns == set(range(min(columns), max(columns) + 1))
    assert len(columns) > 80


def test_a_gap_in_a_series_is_a_gap_in_its_line() -> None:
    values = [1.0] * 60
    values[25:35] = [math.nan] * 10
    drawn = Drawn(simple(tuple(values)), 116, 16)
    columns = sorted({int(column) for _, column in dots(drawn, DARK.curves[0])})
    assert len({row for row, _ in dots(drawn, DARK.curves[0])}) == 1
    gaps = np.diff(columns)
    span = columns[-1] - columns[0]
    assert (gaps > 1).sum() == 1
    assert gaps.max() == pytest.approx(11 / 59 * span, abs=2)


def test_a_range_is_stippled_between_low_and_high() -> None:
    x = tuple(float(i) for i in range(10))
    series = Series("line", (5.0,) * 10, (2.0,) * 10, (8.0,) * 10)
    drawn = Drawn(
        Curve("Curve", "number", "number", x, (series,), limits=(("top", 10.0), ("foot", 0.0))), 76, 16
    )
    rows = np.array(dots(drawn, DARK.curves[0]))[:, 0]
    ten, zero = (drawn.row_with(name) for name in ("10.0┤", " 0┤"))
    per_unit = (zero - ten) / 10
    assert rows.min() == pytest.approx(ten + 0.5 + 2 * per_unit, abs=0.5)
    assert rows.max() == pytest.approx(zero + 0.5 - 2 * per_unit, abs=0.5)
    line = ten + 0.5 + 5 * per_unit
    assert (np.abs(rows - line) < 0.6).sum() > 3 * (np.abs(rows - line + 1.5) < 0.6).sum() / 2


def test_a_limit_lies_at_its_value_and_has_its_name() -> None:
    drawn = Drawn(CHARGE, 116, 16)
    limit = next(i for i, line in enumerate(drawn.lines) if line.count("┄") > 20)
    sixty, forty = drawn.row_with("60┤"), drawn.row_with("40┤")
    assert limit == pytest.approx((sixty + forty) / 2, abs=1)
    assert abs(drawn.row_with("keep above 50 %") - limit) <= 1


@SIZES
def test_each_line_is_named_beside_its_end(width: int, height: int) -> None:
    drawn = Drawn(CHARGE, width, height)
    assert drawn.row_with("after the repair") < drawn.row_with("usual night")


@SIZES
def test_a_state_is_a_point_with_its_name_near(width: int, height: int) -> None:
    drawn = Drawn(AIR_STATES, width, height)
    for name, sign in (("outdoor", "◆"), ("cabin", "■"), ("return", "▲"), ("supply", "○")):
        row = drawn.row_with(name)
        at = next(i for i, line in enumerate(drawn.lines) if sign in line)
        assert abs(row - at) <= 2, name


def test_states_among_a_curves_points_do_not_break_it() -> None:
    drawn = Drawn(AIR_STATES, 116, 16)
    columns = sorted({int(column) for _, column in dots(drawn, DARK.curves[0])})
    gaps = np.diff(columns)
    assert gaps.max() <= 4  # a state's own sign and name may stand on it, no more


def test_an_axis_of_local_hours_is_said_as_clock_time() -> None:
    curve = Curve(
        "Night", "clock", "share", tuple(18.0 + h for h in range(13)), (Series("charge", (0.5,) * 13),)
    )
    text = Drawn(curve, 116, 16).text
    assert "18:00" in text
    assert "00:00" in text
    assert "06:00" in text


def test_an_axis_in_hours_has_ticks_at_parts_of_a_day() -> None:
    drawn = Drawn(CHARGE, 116, 16)
    ticks = drawn.lines[-2].split()
    steps = {int(b) - int(a) for a, b in pairwise(ticks)}
    assert steps <= {1, 2, 3, 4, 6, 12}
    assert len(steps) == 1


def test_two_curves_are_told_apart_without_colour() -> None:
    drawn = Drawn(dataclasses.replace(CHARGE, series=tuple(
        dataclasses.replace(s, low=(), high=(), values=tuple(v - i * 0.3 for v in s.values))
        for i, s in enumerate(CHARGE.series))), 116, 16)  # fmt: skip
    solid, dashed = ({round(c * 2) for _, c in dots(drawn, DARK.curves[i])} for i in (0, 1))
    assert len(dashed) < 0.75 * len(solid)
    plain = Drawn(CHARGE, 116, 16, ascii_only=True).text
    assert "ooooo" in plain
    assert "*****" in plain


def test_a_path_outside_its_raster_is_left_out() -> None:
    raster = Dots(10, 4)
    raster.path(np.array([0.0, 1.0]), np.array([5.0, 5.0]))
    assert raster.cells() == []
    raster.path(np.array([0.0, 1.0]), np.array([0.0, 1.0]))
    assert raster.on[0, -1]
    assert raster.on[-1, 0]
