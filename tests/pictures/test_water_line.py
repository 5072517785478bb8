from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import LinePart, WaterLine
from tests.pictures.reading import RISING, Drawn
from tests.pictures.samples import WATER

SIZES = pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])
PIPE = "━┃┏┓┗┛"


def water_row(drawn: Drawn) -> int:
    return next(i for i, line in enumerate(drawn.lines) if line.count("~") > 20)


def bars(drawn: Drawn) -> dict[int, float]:
    """Height in cells of the bar standing in each column."""
    out: dict[int, float] = {}
    for row in drawn.rows[water_row(drawn) :]:
        for column, cell in enumerate(row):
            if cell.char in RISING[1:] and cell.char and not cell.back:
                out[column] = out.get(column, 0.0) + RISING.index(cell.char) / 8
    return out


@SIZES
def test_parts_come_in_the_order_the_water_goes(width: int, height: int) -> None:
    drawn = Drawn(WATER, width, height)
    places = [
        drawn.lines[drawn.row_with(sign)].index(sign)
        for sign in ("≋▶", "⋈", "▶─◀", "[▒]", "(P)", "[≋]", "▷")
    ]
    assert places == sorted(places)


@SIZES
def test_what_lies_above_the_water_is_drawn_above_it(width: int, height: int) -> None:
    drawn = Drawn(WATER, width, height)
    water = water_row(drawn)
    assert drawn.row_with("(P)") > water
    assert drawn.row_with("≋▶") > water
    assert drawn.row_with("[≋]") < water
    assert drawn.row_with("▷") < water


MILLIMETRES = st.integers(-2000, 2000).map(lambda height: height / 1000)


@given(st.lists(MILLIMETRES, min_size=1, max_size=8), st.sampled_from([(76, 10), (116, 16), (90, 24)]))
def test_a_part_is_on_its_own_side_of_the_waterline(heights: list[float], size: tuple[int, int]) -> None:
    line = WaterLine("Line", tuple(LinePart("p", "pump", 0.1, h) for h in heights), 1e-4, 1.0)
    drawn = Drawn(line, *size)
    where = sorted(
        (row[column].char, column, number)
        for number, row in enumerate(drawn.rows[1:], 1)
        for column in range(len(row) - 2)
        if "".join(cell.char for cell in row[column : column + 3]) == "(P)"
    )
    rows = [number for _, _, number in sorted(where, key=lambda w: w[1])]
    assert len(rows) == len(heights)
    waters = [i for i, text in enumerate(drawn.lines) if "water ~" in text]
    assert len(waters) == 1
    for height, row in zip(heights, rows, strict=True):
        assert (height > 0) == (row < waters[0])
        assert (height < 0) == (row > waters[0])


@SIZES
def test_the_kinked_hose_is_pinched_and_says_so(width: int, height: int) -> None:
    drawn = Drawn(WATER, width, height)
    assert "━▶─◀━" in drawn.text
    assert "kink" in drawn.text or "seacock to strainer" in drawn.text
    assert "35 % open" in drawn.text
    straight = dataclasses.replace(WATER, parts=tuple(p for p in WATER.parts if p.kind != "kink"))
    assert "▶─◀" not in Drawn(straight, width, height).text


@SIZES
def test_each_loss_is_as_high_as_its_share(width: int, height: int) -> None:
    drawn = Drawn(WATER, width, height)
    seen = bars(drawn)
    numbers = drawn.row_with("lost")
    full = max(seen.values())
    for part, said in ((WATER.parts[3], "0.60"), (WATER.parts[7], "0.45")):
        column = drawn.lines[numbers].index(said) + 1
        assert seen[column] == pytest.approx(full * part.loss / 1.25, abs=0.13)


def test_the_flow_stands_at_the_outlet() -> None:
    drawn = Drawn(WATER, system="us")
    assert "▷ 2.1 gal/min" in drawn.text
    assert "8.1 L/min" in Drawn(WATER).text


def test_the_head_steps_down_along_the_way_where_there_is_room() -> None:
    drawn = Drawn(WATER, 116, 16)
    rows = [i for i, line in enumerate(drawn.lines) if any("⠀" < char <= "⣿" for char in line)]
    assert len(rows) == 3
    left = min(i for i, char in enumerate(drawn.lines[rows[0]]) if "⠀" < char <= "⣿")
    right = max(i for i, char in enumerate(drawn.lines[rows[-1]]) if "⠀" < char <= "⣿")
    assert left < 20 < 90 < right
    assert "3.2 m" in drawn.lines[rows[0]]
    assert not any("⠀" < char <= "⣿" for char in Drawn(WATER, 76, 10).text)


@SIZES
def test_no_two_labels_touch(width: int, height: int) -> None:
    drawn = Drawn(WATER, width, height)
    text = " ".join(drawn.lines)
    for word in ("intake", "seacock", "strainer", "pump", "overboard"):
        assert f" {word} " in f"{text} ", word


@pytest.mark.parametrize("width", [50, 60, 68, 76, 116])
def test_losses_under_the_parts_are_whole_numbers_that_do_not_touch(width: int) -> None:
    drawn = Drawn(WATER, width, 12, system="us")
    numbers = drawn.lines[drawn.row_with("lost")].split("lost")[1].split()
    assert all(float(number) >= 0 for number in numbers)
    assert {"4.1", "4"} & set(numbers)
    if width >= 76:
        said = [float(number) for number in numbers]
        assert said == pytest.approx([part.loss / 0.3048 for part in WATER.parts], rel=0.05)


@pytest.mark.parametrize("width", range(56, 80))
def test_a_line_of_eleven_parts_keeps_every_number_from_sixty_cells_on(width: int) -> None:
    line = dataclasses.replace(WATER, parts=(*WATER.parts, LinePart("lift", "lift", 0.3, 0.2)))
    numbers = Drawn(line, width, 16, system="us").lines
    said = next(row for row in numbers if "lost" in row).split("lost")[1].split()
    if width >= 60:
        assert len(said) == 11
    assert "-0" not in said


def test_plain_parts_with_little_loss_give_way_when_there_are_too_many() -> None:
    hoses = tuple(LinePart(f"hose {i}", "hose", 0.01, 0.1) for i in range(40))
    line = dataclasses.replace(WATER, parts=(*WATER.parts[:-1], *hoses, WATER.parts[-1]))
    drawn = Drawn(line, 76, 10)
    assert "▶─◀" in drawn.text
    assert "more take" in drawn.text
    assert "▷" in drawn.text


def test_an_unknown_flow_and_head_are_said_to_be_unknown() -> None:
    drawn = Drawn(dataclasses.replace(WATER, flow=math.nan, head_available=math.nan), 116, 16)
    assert "▷ –" in drawn.text


def test_pipes_join_without_a_break() -> None:
    drawn = Drawn(WATER, 116, 16)
    for column in range(len(drawn.rows[1])):
        chars = [cell.char for cell in drawn.column(column)]
        if "┃" in chars or ("┏" in chars and "┛" in chars):
            first = next(i for i, c in enumerate(chars) if c in "┏┓")
            last = next(i for i, c in enumerate(chars) if c in "┗┛")
            assert all(chars[i] == "┃" for i in range(first + 1, last))
