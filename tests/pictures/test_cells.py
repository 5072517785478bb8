from __future__ import annotations

from console.pictures import DARK
from console.pictures.axes import draw_labels_along, hour_labels, spread_rows
from console.pictures.cells import Grid


def lines(grid: Grid) -> list[str]:
    return [text.plain for text in grid.lines(DARK)]


def test_writing_outside_the_grid_is_left_out() -> None:
    grid = Grid(4, 2)
    grid.put(0, -2, "abcdefgh")
    grid.put(5, 0, "no")
    grid.cell(-1, 0, "x")
    assert lines(grid) == ["cdef"]


def test_wide_characters_take_two_cells_and_are_never_halved() -> None:
    grid = Grid(5, 3)
    assert grid.put(0, 0, "漢字x") == 5
    grid.put(1, 0, "漢字x")
    grid.cell(1, 1, "-")
    grid.cell(1, 2, "-")
    grid.put(2, 2, "漢字")
    assert lines(grid) == ["漢字x", " -- x", "  漢"]
    assert all(text.cell_len <= 5 for text in grid.lines(DARK))


def test_trailing_blanks_and_blank_last_rows_are_left_out() -> None:
    grid = Grid(10, 3)
    grid.put(0, 0, "a   ")
    assert lines(grid) == ["a"]


def test_a_ground_reaches_to_its_last_blank() -> None:
    grid = Grid(10, 1)
    grid.put(0, 0, "a  ", "background", "fill0")
    (text,) = grid.lines(DARK)
    assert text.plain == "a  "


def test_a_column_of_blocks_is_as_high_as_its_share_and_never_nothing() -> None:
    grid = Grid(3, 4)
    grid.rise(0, 1, 3, 4, 0.5, "fill0")
    grid.rise(1, 1, 3, 4, 0.001, "fill0")
    grid.rise(2, 1, 3, 4, 0.0, "fill0")
    assert lines(grid) == ["", "", "█", "█▁"]


def test_labels_along_an_axis_never_touch() -> None:
    grid = Grid(20, 1)
    draw_labels_along(grid, 0, [(column, "12:00") for column in range(0, 20, 3)], 0, 20)
    assert set(lines(grid)[0].split()) == {"12:00"}
    assert lines(grid)[0].count("12:00") == 3


def test_midnight_is_24_only_at_the_end() -> None:
    assert hour_labels((0, 12, 24), 60) == ("00:00", "12:00", "24:00")
    assert hour_labels((18, 24, 30), 60) == ("18:00", "00:00", "06:00")
    assert hour_labels((0, 12, 24), 9) == ("00", "12", "24")


def test_labels_that_want_one_row_move_apart_in_order() -> None:
    assert spread_rows([5, 5, 5], 0, 9) == [5, 6, 7]
    assert spread_rows([9, 9, 2], 0, 9) == [8, 9, 2]
    assert spread_rows([0, 0, 0], 0, 1) == [0, 1, -1]
