from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import Bar, Bars
from tests.pictures.reading import GROWING, Drawn
from tests.pictures.samples import CAUSES, LOSSES


def length(drawn: Drawn, row: int) -> float:
    """Length of a row's bar in cells, whisker over it counted as bar."""
    whole = 0.0
    for cell in drawn.rows[row]:
        if cell.back and cell.char != "":
            inverse = cell.fore == drawn.palette.background and cell.char in GROWING and cell.char != " "
            whole += 1 - GROWING.index(cell.char) / 8 if inverse else 1.0
        elif cell.char in GROWING[1:] and cell.fore == drawn.palette.fills[0]:
            whole += GROWING.index(cell.char) / 8
    return whole


@given(st.lists(st.floats(0.01, 1.0), min_size=2, max_size=8), st.sampled_from([(76, 10), (116, 16)]))
def test_bars_are_as_long_as_their_values_within_one_cell(
    values: list[float], size: tuple[int, int]
) -> None:
    bars = Bars("Losses", "head", tuple(Bar(f"part {i}", value) for i, value in enumerate(values)))
    drawn = Drawn(bars, *size)
    lengths = [length(drawn, drawn.row_with(f"part {i} ")) for i in range(len(values))]
    per_unit = max(lengths) / max(values)
    for value, seen in zip(values, lengths, strict=True):
        assert seen == pytest.approx(value * per_unit, abs=1.0)


def test_a_bar_is_no_shorter_for_its_whisker() -> None:
    bare = Bars("Losses", "head", (Bar("one", 1.0, 0.4, 1.0), Bar("two", 1.0)))
    drawn = Drawn(bare)
    assert length(drawn, 1) == pytest.approx(length(drawn, drawn.row_with("two")), abs=1.0)


def test_a_whisker_reaches_from_low_to_high_in_proportion() -> None:
    drawn = Drawn(Bars("Losses", "head", (Bar("one", 2.0, 1.0, 4.0), Bar("two", 4.0))), 116, 10)
    row, full = drawn.lines[1], length(drawn, drawn.row_with("two"))
    start = drawn.lines[drawn.row_with("two")].index("█")
    assert row.index("├") - start == pytest.approx(full / 4, abs=1.0)
    assert row.index("┤") + 1 - start == pytest.approx(full, abs=1.0)


def test_a_whisker_never_hides_where_the_bar_ends() -> None:
    drawn = Drawn(LOSSES, 116, 10)
    for row in (1, 2, 3):
        inside = drawn.lines[row][drawn.lines[row].index("├") : drawn.lines[row].rindex("┤")]
        assert any(char in GROWING[1:] for char in inside)


def test_a_negative_bar_lies_left_of_zero_and_a_positive_one_right() -> None:
    drawn = Drawn(Bars("Change", "head", (Bar("more", 1.0), Bar("less", -0.5))))
    more, less = drawn.rows[drawn.row_with("more")], drawn.rows[drawn.row_with("less")]
    first = min(i for i, cell in enumerate(more) if cell.char == "█")
    last = max(i for i, cell in enumerate(less) if cell.char == "█")
    assert last < first
    assert length(drawn, drawn.row_with("more")) == pytest.approx(
        2 * length(drawn, drawn.row_with("less")), abs=1.0
    )


def test_a_share_is_drawn_of_the_whole_not_of_the_largest() -> None:
    drawn = Drawn(CAUSES)
    row = drawn.row_with("strainer")
    track = sum(cell.char == "·" for cell in drawn.rows[row])
    bar = length(drawn, row)
    assert bar / (bar + track) == pytest.approx(0.62, abs=0.03)


def test_a_little_is_drawn_as_a_little_and_nothing_as_nothing() -> None:
    drawn = Drawn(Bars("Losses", "head", (Bar("much", 100.0), Bar("little", 1e-4), Bar("none", 0.0))))
    assert 0 < length(drawn, drawn.row_with("little")) < 1
    assert length(drawn, drawn.row_with("none")) == 0


def test_value_unit_and_range_stand_beside_each_bar() -> None:
    drawn = Drawn(LOSSES, system="us")
    assert "4.1 ft (2.6 to 6.2)" in drawn.lines[1]
    assert "0.66 ft" in drawn.text


def test_where_there_is_no_room_for_the_range_the_value_stands_alone() -> None:
    bars = Bars("Heat", "heat", (Bar("roof and deck", 4000.0, 3000.0, 5500.0),))
    drawn = Drawn(bars, 42, 6, system="us")
    assert "13,600 BTU/h" in drawn.text
    assert "(" not in drawn.text


def test_a_probability_is_never_said_to_be_nothing_or_certain() -> None:
    drawn = Drawn(Bars("Causes", "share", (Bar("one", 0.999), Bar("two", 0.001))))
    assert "over 99 %" in drawn.text
    assert "under 1 %" in drawn.text


def test_bars_without_room_are_counted() -> None:
    bars = Bars("Losses", "head", tuple(Bar(f"part {i}", 1.0) for i in range(20)))
    drawn = Drawn(bars, 76, 10)
    assert len(drawn.lines) == 10
    assert "and 12 more" in drawn.lines[-1]


def test_an_unknown_value_has_no_bar() -> None:
    drawn = Drawn(Bars("Losses", "head", (Bar("known", 1.0), Bar("not", math.nan, math.nan, math.nan))))
    assert length(drawn, drawn.row_with("not")) == 0


def test_temperatures_are_points_since_their_zero_is_no_nothing() -> None:
    drawn = Drawn(Bars("Air", "temperature", (Bar("cabin", 300.0, 298.0, 302.0), Bar("supply", 287.0))))
    cabin, supply = (drawn.lines[drawn.row_with(name)] for name in ("cabin", "supply"))
    assert "█" not in drawn.text
    assert cabin.index("●") > supply.index("●")


def test_notes_stand_beside_the_bars_where_they_stay_long() -> None:
    assert "35 % open" in Drawn(LOSSES, 116, 16).text
