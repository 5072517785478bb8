"""Putting a table aboard that the file is silent about."""

from __future__ import annotations

import pytest

from console.boatfile import BoatFileError, loads
from console.registry import discover

SOURCE = """# a comment
[boat]
length = "34 ft"  # measured

[power.shore]
inlet_current = "30 A"
"""


def test_an_absent_table_is_added_empty_and_reads_back_as_the_average_one() -> None:
    registry = discover({})
    boat = loads(SOURCE, registry)
    assert "power.bank" in boat.absent
    added = boat.with_table("power.bank")
    assert "power.bank" not in added.absent
    assert added.inputs["power.bank.capacity"].origin == "assumed"
    assert added.text.startswith("# a comment")
    assert "[power.bank]" in added.text
    again = loads(added.text, registry)
    assert dict(again.inputs).keys() == dict(added.inputs).keys()
    assert "power.bank" not in again.absent


def test_an_added_table_takes_edits() -> None:
    boat = loads(SOURCE, discover({})).with_table("power.bank").with_edit("power.bank.capacity", "210 A*h")
    assert boat.inputs["power.bank.capacity"].origin == "given"
    assert loads(boat.text, boat.registry).inputs["power.bank.capacity"].text == "210 A*h"


@pytest.mark.parametrize("path", ["power.shore", "power.bnk", ""])
def test_what_is_aboard_or_unknown_is_not_added(path: str) -> None:
    with pytest.raises(BoatFileError, match="there is no such table to add"):
        loads(SOURCE, discover({})).with_table(path)
