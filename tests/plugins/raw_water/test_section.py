"""The [raw_water] table: what is assumed, what is refused and in which words."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.boatfile import Boat, BoatFileError
from plugins.raw_water.whole_line import WHOLE_LINE, completed_line

Read = Callable[[str], Boat]
PARTS = ("intake", "seacock", "hose", "strainer", "pump", "condenser", "overboard")
ITEM = "[[raw_water.line]]\n"


def test_a_silent_file_has_a_whole_line_and_no_warning_about_it(read: Read) -> None:
    boat = read("")
    assert len(boat.item_paths["raw_water.line"]) == len(WHOLE_LINE)
    assert not [line for line in boat.warnings if "raw_water" in line]
    assert {entry.origin for path, entry in boat.inputs.items() if path.startswith("raw_water.")} == {
        "assumed"
    }


@pytest.mark.parametrize(
    "path",
    ["intake.blocked", "seacock.open_share", "seacock_to_strainer.open_width", "strainer.blocked", "pump.wear",
     "pump.suction_air", "pump.air", "pump.stopped", "condenser.scale"],
)  # fmt: skip
@pytest.mark.parametrize("text", ["", ITEM + 'part = "hose"\nname = "seacock to strainer"\n'])
def test_every_cause_has_an_input_even_when_the_file_is_silent(read: Read, text: str, path: str) -> None:
    assert f"raw_water.line.{path}" in read(text).inputs


def test_the_missing_parts_of_a_line_are_named_in_one_warning(read: Read) -> None:
    boat = read(
        ITEM
        + 'part = "intake"\n'
        + ITEM
        + 'part = "seacock"\n'
        + ITEM
        + 'part = "hose"\n'
        + ITEM
        + 'part = "strainer"\n'
    )
    (warning,) = [line for line in boat.warnings if "raw_water" in line]
    assert (
        warning
        == "[[raw_water.line]] does not list a pump, a condenser and an overboard; average ones are assumed"
    )


@given(st.lists(st.sampled_from(PARTS), max_size=9))
def test_a_completed_line_keeps_the_owners_items_in_order_and_has_every_part(parts: list[str]) -> None:
    given_items = [{"part": part} for part in parts]
    line = completed_line(given_items)
    assert [item for item in line if any(item is one for one in given_items)] == given_items
    assert {item["part"] for item in line} == set(PARTS)


def test_an_assumed_pump_comes_after_the_strainer_and_before_the_unit() -> None:
    given_items = [
        {"part": part} for part in ("intake", "hose", "strainer", "hose", "condenser", "hose", "overboard")
    ]
    order = [item["part"] for item in completed_line(given_items)]
    assert order.index("strainer") < order.index("pump") < order.index("condenser")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            'part = "hose"\nblocked = "30 %"',
            "a hose has no field blocked; it belongs to intake and strainer",
        ),
        ('part = "intake"\nlength = "3 ft"', "an intake has no field length; it belongs to hose"),
        ('part = "hose"\nlenght = "3 ft"', "a hose has no field lenght; did you mean length?"),
        ('part = "hoze"', "item 1 of the line: there is no part hoze; did you mean hose?"),
        ('bore = "3/4 in"', "item 1 of the line does not say its part"),
        ('part = "pump"\ncurve = [{ head = "3 ft" }]', "needs both its flow and its head"),
        ('part = "pump"\ncurve = [{ flow = "3 gpm", head = "9 ft" }]', "its curve has one point"),
        (
            'part = "pump"\ncurve = [{ flow = "3 gpm", head = "9 ft" }, { flow = "5 gpm", head = "9 ft" }]',
            "its curve does not fall",
        ),
        (
            'part = "pump"\ncurve = [{ flow = "3 gpm", head = "9 ft" }, { flow = "3 gpm", head = "7 ft" }]',
            "two heads at one flow",
        ),
        (
            'part = "pump"\nmax_head = "8 ft"\nmax_flow = "9 gpm"\ncurve = [{ flow = "3 gpm", head = "9 ft" }]',
            "its max_head is not above the first point of its curve",
        ),
        (
            'part = "pump"\nmax_head = "12 ft"\nmax_flow = "2 gpm"\ncurve = [{ flow = "3 gpm", head = "9 ft" }]',
            "its max_flow is not beyond the last point of its curve",
        ),
        ('part = "pump"\n[[raw_water.line]]\npart = "pump"', "the line lists 2 of pump; it has one pump"),
        ('part = "overboard"\n[[raw_water.line]]\npart = "pump"', "after the overboard"),
        ('part = "pump"\n[[raw_water.line]]\npart = "intake"', "begins with a pump before the intake"),
        ('part = "hose"\nbore = "0 in"', "accepted is"),
        ('part = "hose"\nlength = "-3 ft"', "accepted is"),
        ('part = "hose"\nopen_width = "130 %"', "accepted is 0 % to 100 %"),
        ('part = "pump"\nmax_flow = "13 psi"', "is not a unit of flow"),
    ],
)
def test_a_wrong_item_is_refused_in_one_sentence(read: Read, text: str, sentence: str) -> None:
    with pytest.raises(BoatFileError) as refused:
        read(ITEM + text + "\n")
    assert sentence in str(refused.value)


def test_an_item_that_is_no_table_is_refused_in_one_sentence(read: Read) -> None:
    with pytest.raises(BoatFileError, match="item 1 of the line is x; accepted is a table of fields"):
        read('[raw_water]\nline = ["x"]\n')
