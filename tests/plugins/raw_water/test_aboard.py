"""When there is a raw-water line at all: with the unit it cools, or because the file describes one."""

from __future__ import annotations

import pytest

from console.boatfile import Boat
from console.boatfile.boat import loads
from console.contract import Urgency
from console.engine import estimate
from console.engine.changes import of_kind
from console.inference.readings import ReadingError, complaints_of, take_all
from console.jobs import work_list
from console.registry import Registry, discover

ICE_BOX = '[cold_box]\nopening = "lid"\n'
UNIT = '[climate]\ncapacity = "12000 Btu/h"\n'
CARDS = ("raw_water.flow", "raw_water.strainer")


@pytest.fixture(scope="module")
def every_plugin() -> Registry:
    return discover({})


@pytest.fixture(scope="module")
def ice_box_only(every_plugin: Registry) -> Boat:
    return loads(ICE_BOX, every_plugin)


def about_raw_water(boat: Boat) -> list[str]:
    return [change.key for _, change in of_kind(boat, "action") if change.about == "raw_water"]


def test_a_boat_with_neither_unit_nor_line_is_not_told_about_its_water(ice_box_only: Boat) -> None:
    cards = {card.question.key: card.answer for card in estimate(ice_box_only, 0, "us").cards}
    for key in CARDS:
        assert cards[key].urgency is Urgency.NOT_ABOARD
        assert "[[raw_water.line]]" in cards[key].next


def test_a_boat_with_neither_unit_nor_line_has_no_job_on_it_and_no_strainer_due(ice_box_only: Boat) -> None:
    assert not about_raw_water(ice_box_only)
    made = work_list(ice_box_only, "us", 0)
    assert "Clean the strainer" not in [due.title for due in made.due]
    assert [due.title for due in made.due]


def test_a_boat_without_an_air_conditioner_has_nothing_to_complain_of_in_it(ice_box_only: Boat) -> None:
    assert "climate" not in complaints_of(ice_box_only)
    assert "cold_box" in complaints_of(ice_box_only)
    with pytest.raises(ReadingError, match="not aboard"):
        take_all(ice_box_only, (), "climate")


@pytest.mark.parametrize("text", [UNIT, '[raw_water]\nfill_time = "60 s"\n'])
def test_a_unit_or_a_stated_fact_of_the_line_brings_the_whole_line(
    every_plugin: Registry, text: str
) -> None:
    boat = loads(text, every_plugin)
    assert "raw_water" not in boat.absent
    assert about_raw_water(boat)
    assert len(boat.item_paths["raw_water.line"]) == 10
