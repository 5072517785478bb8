from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import Arrow, CutBox
from console.pictures import DARK
from tests.pictures.reading import GROWING, Drawn
from tests.pictures.samples import ICE_BOX

SIZES = pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])
DOOR = dataclasses.replace(
    ICE_BOX, opening="door",
    arrows=(Arrow("front", "door seal", 15.0), Arrow("front", "damp air", 1e-6, "vapour"), *ICE_BOX.arrows[3:4],
            Arrow("bottom", "sea below", -3.0)),
)  # fmt: skip


def frost_cells(drawn: Drawn) -> float:
    """Thickness of the frost in cells, on a row in the box's middle."""
    widths = []
    for row in drawn.rows:
        width = 0.0
        for cell in row:
            if cell.fore == DARK.frost and cell.char in GROWING[1:]:
                width += GROWING.index(cell.char) / 8
            elif cell.back == DARK.frost:
                width += 1
        widths.append(width)
    return max(widths)


def limit_cells(drawn: Drawn) -> int:
    """Where the limit stands, in cells from the plate."""
    for row in drawn.rows:
        plate = next((i for i, c in enumerate(row) if c.char == "█" and c.fore == DARK.line), None)
        if plate is not None:
            return next(i for i in range(plate, len(row)) if row[i].char == "┊") - plate - 1
    raise AssertionError("no plate")


@SIZES
def test_heat_crosses_each_face_on_its_own_side(width: int, height: int) -> None:
    drawn = Drawn(ICE_BOX, width, height)
    hull, front = (drawn.lines[drawn.row_with(name)] for name in ("hull side", "front"))
    assert hull.index("hull side") < hull.index("▶║") < hull.index("░")
    assert front.index("║◀") < front.index("front")
    box = [i for i, line in enumerate(drawn.lines) if "║" in line]
    assert drawn.row_with("▼ lid") < box[0]
    assert drawn.row_with("▲ bottom") > box[-1]


@SIZES
def test_every_arrow_says_its_value(width: int, height: int) -> None:
    drawn = Drawn(ICE_BOX, width, height)
    for said in ("lid 4.0 W", "seal 11 W", "52 g/day", "hull side 9.0 W", "front 7.0 W", "sides 12 W", "bottom 5.0 W",
                 "drain 3.0 W", "17 g/day", "food and drink 6.0 W"):  # fmt: skip
        assert said in drawn.text, said


@pytest.mark.parametrize("ascii_only", [False, True], ids=["unicode", "ascii"])
def test_vapour_has_another_shape_than_heat(ascii_only: bool) -> None:
    drawn = Drawn(DOOR, 116, 16, ascii_only=ascii_only)
    heat, vapour = drawn.lines[drawn.row_with("door seal")], drawn.lines[drawn.row_with("damp air")]
    assert ("(~" if ascii_only else "◁~") in vapour
    assert ("<=" if ascii_only else "◀━") in heat


def test_heat_that_leaves_points_out() -> None:
    assert "▼ sea below 3.0 W" in Drawn(DOOR).text
    into = dataclasses.replace(
        DOOR, arrows=(Arrow("bottom", "sea below", 3.0), Arrow("hull", "hull", -2.0))
    )
    drawn = Drawn(into, 116, 16)
    assert "▲ sea below 3.0 W" in drawn.text
    assert "◀━" in drawn.lines[drawn.row_with("hull")]


def test_a_shaft_is_as_long_as_its_share() -> None:
    box = dataclasses.replace(ICE_BOX, arrows=(Arrow("hull", "much", 12.0), Arrow("front", "half", 6.0)))
    drawn = Drawn(box, 116, 16)
    left, right = drawn.lines[drawn.row_with("much")].split("║", 1)
    assert left.count("━") == 2 * right.count("━") == 6


@given(st.floats(0.0, 0.006))
def test_frost_is_as_thick_as_it_is_against_its_limit(frost: float) -> None:
    drawn = Drawn(dataclasses.replace(ICE_BOX, frost=frost), 116, 16)
    assert frost_cells(drawn) == pytest.approx(frost / 0.006 * limit_cells(drawn), abs=0.2)


def test_frost_past_its_limit_grows_past_it_and_says_defrost() -> None:
    drawn = Drawn(dataclasses.replace(ICE_BOX, frost=0.0075), 116, 16)
    assert frost_cells(drawn) > limit_cells(drawn)
    assert "past 6.0 mm: defrost" in drawn.text
    assert "past" not in Drawn(ICE_BOX, 116, 16).text


@SIZES
def test_a_lid_is_on_top_and_a_door_is_in_front(width: int, height: int) -> None:
    lid, door = Drawn(ICE_BOX, width, height), Drawn(DOOR, width, height)
    assert " lid " in lid.lines[lid.row_with("╔")]
    assert "door" not in lid.text
    seals = [line for line in door.lines if "┄" in line]
    assert len(seals) == 2
    assert "door" in door.lines[door.row_with("╔")]


def test_inside_plate_and_outside_are_said() -> None:
    text = Drawn(ICE_BOX, system="us").text
    for said in ("inside 39 °F", "plate 14 °F", "outside 86 °F"):
        assert said in text


def test_the_heat_is_summed_over_all_faces() -> None:
    assert "heat in 57 W" in Drawn(ICE_BOX).lines[0]


def test_more_arrows_than_rows_are_told_below() -> None:
    many = tuple(Arrow("hull", f"leak {i}", float(i)) for i in range(12))
    drawn = Drawn(dataclasses.replace(ICE_BOX, arrows=many), 116, 10)
    assert "leak 11" in drawn.lines[-1]


def test_what_is_not_known_is_said_to_be_not_known() -> None:
    box = CutBox(
        "Box", "heat", "lid", (Arrow("hull", "hull", math.nan),), math.nan, 300.0, 270.0, math.nan, 0.006
    )
    text = Drawn(box).text
    assert "hull not known" in text
    assert "frost –" in text


@pytest.mark.parametrize("width", range(56, 80))
def test_the_temperatures_inside_are_never_cut(width: int) -> None:
    drawn = Drawn(ICE_BOX, width, 16, system="us")
    assert "39 °F" in drawn.text
    assert "14 °F" in drawn.text
