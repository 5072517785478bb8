from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from console.contract import Series, Stack
from console.pictures import DARK, NIGHT, PALETTES
from console.pictures.shapes import layered, resample
from tests.pictures.reading import Cell, Drawn, filled
from tests.pictures.samples import CABIN_HEAT, HOURS, SHORE_CURRENT, bump

# A load that jumps over a level capacity at 12:00 and back below it at 18:00, by quarter hours.
QUARTERS = tuple((i + 0.5) / 4 for i in range(96))
CROSSING = Stack(
    "Load", "current", QUARTERS,
    (Series("load", tuple(20.0 if 12 < h < 18 else 2.0 for h in QUARTERS)),),
    (Series("limit", (10.0,) * 96),), tuple(h for h in QUARTERS if 12 < h < 18), "over",
)  # fmt: skip
SIZES = pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])


def plot(drawn: Drawn) -> tuple[int, int, list[list[Cell]]]:
    """First column and number of columns of the plot, and its cells from the top row down."""
    left = drawn.lines[1].index("│") + 1 if "│" in drawn.lines[1] else drawn.lines[1].index("┤") + 1
    rows = [row for row in drawn.rows if row[left - 1].char in "│┤"]
    # The hours end where the plot does: "24" with its last column, "24:00" one beyond it.
    hours = drawn.lines[1 + len(rows)]
    columns = hours.index("24") + (4 if "24:00" in hours else 2) - left
    return left, columns, rows


def heights(drawn: Drawn, at: int, rows: list[list[Cell]]) -> float:
    """Height of everything filled in a column, in cells."""
    return sum(filled(row[at], drawn.palette) for row in rows)


def is_line(cell: Cell) -> bool:
    return "⠀" < cell.char <= "⣿"


@SIZES
def test_the_column_where_load_passes_capacity_is_the_figures_hour(width: int, height: int) -> None:
    drawn = Drawn(CROSSING, width, height)
    left, columns, rows = plot(drawn)
    line_row = next(row for row in rows if sum(map(is_line, row)) > columns // 2)
    above = rows[: rows.index(line_row)]
    over = [c for c in range(left, left + columns) if heights(drawn, c, above) > 0]
    assert len(over) > 10
    assert (over[0] - left) / columns * 24 == pytest.approx(12, abs=24 / columns)
    assert (over[-1] + 1 - left) / columns * 24 == pytest.approx(18, abs=24 / columns)
    # The line itself changes its ground there, from bare to the load's own colour.
    grounds = [bool(line_row[c].back) for c in range(left, left + columns)]
    assert grounds == [c in over for c in range(left, left + columns)]


@SIZES
def test_marks_stand_under_the_marked_hours_and_no_others(width: int, height: int) -> None:
    drawn = Drawn(CROSSING, width, height)
    left, columns, _ = plot(drawn)
    row = drawn.rows[drawn.row_with("▲")]
    marked = [c for c in range(left, left + columns) if row[c].char == "▲"]
    assert marked == list(range(marked[0], marked[-1] + 1))
    assert (marked[0] - left) / columns * 24 == pytest.approx(12, abs=24 / columns)
    assert (marked[-1] + 1 - left) / columns * 24 == pytest.approx(18, abs=24 / columns)
    assert "over" in drawn.lines[drawn.row_with("▲")]


@SIZES
def test_a_line_steps_at_its_own_hour(width: int, height: int) -> None:
    stepping = dataclasses.replace(
        CROSSING, marked=(), lines=(Series("limit", tuple(25.0 if h < 15 else 12.0 for h in QUARTERS)),)
    )
    drawn = Drawn(stepping, width, height)
    left, columns, rows = plot(drawn)
    level = [next(i for i, row in enumerate(rows) if is_line(row[c])) for c in range(left, left + columns)]
    # The last column is on its way back to the first, as a day closes.
    steps = [c for c in range(1, columns - 1) if level[c] != level[c - 1]]
    assert level[0] < level[-2]
    assert [c / columns * 24 for c in steps] == pytest.approx([15] * len(steps), abs=48 / columns)


@SIZES
def test_the_stack_is_as_high_as_its_total_within_an_eighth(width: int, height: int) -> None:
    picture = Stack(
        "Load", "current", HOURS, (Series("a", bump(14, 4, 10, 2)), Series("b", bump(8, 3, 6, 1)))
    )
    drawn = Drawn(picture, width, height)
    left, columns, rows = plot(drawn)
    at = (np.arange(columns) + 0.5) / columns * 24
    total = resample(np.array(HOURS), np.array([s.values for s in picture.layers]), at).sum(axis=0)
    seen = np.array([heights(drawn, left + c, rows) for c in range(columns)])
    per_unit = seen.max() / total.max()
    assert np.abs(seen - total * per_unit).max() < 0.2
    # And the scale is the axis's own: the tick of 10 is where a height of 10 ends.
    ten = next(i for i, row in enumerate(rows) if drawn.lines[i + 1].lstrip().startswith("10┤"))
    assert (len(rows) - ten - 0.5) / 10 == pytest.approx(per_unit, rel=0.15)


def test_each_layer_is_as_thick_as_its_value() -> None:
    picture = Stack("Load", "current", HOURS, (Series("a", (10.0,) * 24), Series("b", (20.0,) * 24)))
    drawn = Drawn(picture, 76, 16)
    left, columns, rows = plot(drawn)
    column = [row[left + columns // 2 + 2] for row in rows]
    thick = {0: 0.0, 1: 0.0}
    for cell in column:
        for layer in (0, 1):
            colour = DARK.fills[layer]
            if cell.char == "█":
                thick[layer] += cell.fore == colour
            elif cell.char in " ▁▂▃▄▅▆▇":
                part = " ▁▂▃▄▅▆▇█".index(cell.char) / 8
                thick[layer] += part * (cell.fore == colour) + (1 - part) * (cell.back == colour)
            else:
                thick[layer] += cell.back == colour
    assert thick[1] == pytest.approx(2 * thick[0], abs=0.25)


def test_what_is_negative_hangs_below_zero() -> None:
    picture = Stack("Heat", "power", HOURS, (Series("up", (10.0,) * 24), Series("down", (-10.0,) * 24)))
    drawn = Drawn(picture, 76, 16)
    left, columns, rows = plot(drawn)
    column = [row[left + columns // 2] for row in rows]
    zero = next(i for i in range(len(rows)) if drawn.lines[i + 1].lstrip().startswith("0┤"))
    above = {cell.back for cell in column[:zero] if cell.back}
    below = {cell.back for cell in column[zero + 1 :] if cell.back}
    assert above == {DARK.fills[0]}
    assert below == {DARK.fills[1]}


def test_layers_stack_to_their_sum_on_either_side_of_zero() -> None:
    stacked = layered(np.array([[3.0, -1.0], [2.0, -2.0], [-4.0, 5.0]]))
    assert stacked.tops.max(axis=0).tolist() == [5.0, 5.0]
    assert stacked.bottoms.min(axis=0).tolist() == [-4.0, -3.0]
    assert stacked.total.tolist() == [1.0, 2.0]
    assert stacked.hangs


def test_a_gap_in_any_layer_is_a_gap_in_the_stack() -> None:
    values = list((10.0,) * 24)
    values[10:14] = [math.nan] * 4
    picture = Stack("Load", "current", HOURS, (Series("a", tuple(values)), Series("b", (5.0,) * 24)))
    drawn = Drawn(picture, 116, 16)
    left, columns, rows = plot(drawn)
    at = lambda hour: left + int(hour / 24 * columns)  # noqa: E731
    assert heights(drawn, at(12), rows) == 0
    assert heights(drawn, at(8), rows) > 5
    assert heights(drawn, at(16), rows) > 5


@pytest.mark.parametrize("picture", [CABIN_HEAT, SHORE_CURRENT], ids=["heat", "amps"])
@SIZES
def test_every_layer_and_line_is_named_in_the_key(picture: Stack, width: int, height: int) -> None:
    drawn = Drawn(picture, width, height)
    for series in (*picture.lines, *picture.layers):
        # The least of them may be folded together, but the first letters are there.
        assert series.label[:4] in drawn.text, series.label


def test_the_key_says_each_layers_value_at_the_worst_hour() -> None:
    drawn = Drawn(SHORE_CURRENT, 116, 16)
    assert "at 18:30" in drawn.lines[0]
    assert drawn.lines[drawn.row_with("water heater")].rstrip().endswith("12.5")
    assert drawn.lines[drawn.row_with("battery charger")].rstrip().endswith("3.0")
    assert "24.6" in drawn.lines[0]


def test_a_drawn_layer_carries_its_letter_so_that_colour_is_not_all() -> None:
    drawn = Drawn(SHORE_CURRENT, 116, 16)
    left, columns, rows = plot(drawn)
    letters = {
        cell.char
        for row in rows
        for cell in row[left : left + columns]
        if cell.back and cell.char.isalpha()
    }
    assert {"a", "b", "c", "d"} <= letters


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_lines_and_letters_over_an_area_are_in_the_grounds_colour(palette: object) -> None:
    drawn = Drawn(CABIN_HEAT, 116, 16, palette)  # type: ignore[arg-type]
    left, columns, rows = plot(drawn)
    over = [
        cell for row in rows for cell in row[left : left + columns]
        if cell.back and (is_line(cell) or cell.char.isalpha())
    ]  # fmt: skip
    assert len(over) > 10
    assert {cell.fore for cell in over} == {drawn.palette.background}


def test_a_lines_name_stands_at_its_right_end() -> None:
    drawn = Drawn(CABIN_HEAT, 116, 16)
    left, columns, rows = plot(drawn)
    in_plot = [line[left : left + columns].rstrip() for line in drawn.lines]
    row = next(i for i, line in enumerate(in_plot) if line.endswith("unit's capacity"))
    line = next(i for i, cells in enumerate(rows) if is_line(cells[left + columns - 1])) + 1
    assert abs(row - line) <= 2


def test_the_owners_units_are_on_the_axis() -> None:
    assert "BTU/h" in Drawn(CABIN_HEAT, system="us").lines[0]
    assert ", W" in Drawn(CABIN_HEAT, system="si").lines[0]


def test_the_day_runs_from_midnight_to_midnight() -> None:
    drawn = Drawn(CABIN_HEAT, 116, 16)
    _, _, rows = plot(drawn)
    hours = drawn.lines[1 + len(rows)].split()
    assert hours[0].startswith("00")
    assert hours[-1].startswith("24")


def test_night_areas_that_touch_differ() -> None:
    drawn = Drawn(CABIN_HEAT, 116, 16, NIGHT)
    left, columns, rows = plot(drawn)
    column = [row[left + columns * 5 // 8] for row in rows]
    fills = [cell.back for cell in column if cell.back]
    runs = [fill for i, fill in enumerate(fills) if i == 0 or fill != fills[i - 1]]
    assert len(runs) >= 4


def test_plain_terminals_get_letters_for_areas() -> None:
    drawn = Drawn(SHORE_CURRENT, 76, 10, ascii_only=True)
    assert drawn.text.isascii()
    assert "aaaaaaaa" in drawn.text
    assert "bbb" in drawn.text
