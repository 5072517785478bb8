"""What an owner is told to do next: wise for this box, and with its caution before the step."""

import pytest

from console.contract import Urgency
from plugins.cold_box import questions
from tests.plugins.cold_box.boats import day, found

COOL = 'temperature = "78 F"\nhumidity = "60 %"'


def cost(text: str, cabin: str = COOL):
    return questions.what_it_costs(found(day(text, cabin)))


def defrost(text: str, cabin: str = COOL):
    return questions.when_to_defrost(found(day(text, cabin)))


def test_frost_that_comes_by_the_drain_brings_the_drain_s_caution():
    answer = defrost('drain = "open"\n[cold_box.seal]\nfailing_share = "80 %"\ngap = "2 mm"')
    assert answer.next.startswith("Plug the drain")
    assert answer.hazards[0] == "drain_to_bilge"


def test_frost_that_comes_by_opening_is_not_blamed_on_the_seal_nor_left_alone():
    answer = defrost('opening = "door"\nopenings = "60 per day"\n[cold_box.seal]\nfailing_share = "2 %"')
    assert answer.next.startswith("Open the door less often")


def test_frost_that_comes_from_food_says_to_cover_it():
    answer = defrost('food_water = "40 g/day"\n[cold_box.seal]\nfailing_share = "2 %"\ngap = "0.5 mm"')
    assert answer.next.startswith("Cover wet food")


def test_a_freezer_is_not_to_be_held_with_ice():
    """Ice melts at 32 °F, and a freezer's food is soft long before."""
    warm = cost('set_point = "0 F"')
    assert warm.urgency is Urgency.ACT
    assert "ice" not in warm.next
    assert "not frozen" in warm.next
    assert "Load ice" in cost('insulation = "0.8 in"', 'temperature = "96 F"\nhumidity = "70 %"').next


def test_a_box_that_hardly_costs_anything_is_left_alone():
    answer = cost("", 'temperature = "45 F"\nhumidity = "60 %"')
    assert answer.urgency is Urgency.FINE
    assert answer.next.startswith("Nothing")


def test_a_machine_that_stands_still_is_not_said_to_run_nor_asked_for_its_amp_hours():
    answer = cost('[cold_box.compressor]\nfeed_voltage = "10.4 V"')
    assert "cannot run" in answer.verdict
    said = " ".join(reason.text for reason in answer.reasons)
    assert "it runs" not in said
    assert "Ah/day" not in said
    assert "amp-hours" not in said
    assert "battery" in answer.hazards


def test_a_box_full_of_ice_needs_no_hours_counted():
    answer = cost('ice = "14 kg/day"')
    said = " ".join(reason.text for reason in answer.reasons)
    assert "by itself, as long as ice is put in" in said
    assert "8760" not in said


@pytest.mark.parametrize(
    ("measured", "doubted"),
    [
        ('[cold_box.week]\namp_hours = "900 A*h/day"', "your amp-hours are more"),
        ('[cold_box.week]\namp_hours = "1 A*h/day"', "your amp-hours are less"),
        ('[cold_box.melt]\namount = "40 kg"\ndays = "2 days"', "your melt-water is more"),
        ('[cold_box.week]\namp_hours = "38 A*h/day"', ""),
    ],
)
def test_a_measurement_no_such_box_gives_is_doubted(measured, doubted):
    ran = questions.what_it_costs(found(day(measured, COOL, usual=False)))
    said = " ".join(reason.text for reason in ran.reasons)
    assert doubted in said if doubted else "look at the figure" not in said
