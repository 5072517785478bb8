"""What cannot be, or hardly: a sentence, or a stated physical answer."""

import numpy as np
import pytest

from console.boatfile.errors import BoatFileError
from console.engine.run import run_day
from plugins.cold_box import questions, walls
from plugins.cold_box.build import heat_capacity
from plugins.cold_box.plate import BoxAir, at_surface
from tests.plugins.cold_box.boats import PER_DAY, amp_hours, boat, box, day, found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('insulation = "0 in"', 'cold_box.insulation: given is "0 in"; accepted is 0.40 in to 12 in'),
        ('openings = "2000 per day"', "accepted is 0 a day to 500 a day"),
        ('set_point = "90 F"', "accepted is -25 °F to 60 °F"),
        ('[cold_box.melt]\namount = "0 g"', "accepted is 1.0 g"),
        ('[cold_box.divider]\nfreezer_share = "120 %"', "cold_box.divider.freezer_share"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(text, words):
    with pytest.raises(BoatFileError, match=r"line \d+") as told:
        boat(text)
    assert words in str(told.value)


def test_two_hundred_openings_are_unusual_and_cost_what_they_swap():
    """A lid: 200 times 30 % of its air a day, no more; a door never more than its whole air."""
    many = boat('openings = "200 per day"', 'temperature = "80 F"')
    assert any("unusual" in warning for warning in many.warnings)
    ran = run_day(many, 0)
    air = float(box(ran).air_volume[0, 0])
    assert ran.daily("cold_box.air.openings")[0] * PER_DAY == pytest.approx(200 * 0.3 * air, rel=1e-9)
    assert amp_hours(ran) > amp_hours(day("", 'temperature = "80 F"'))
    door = run_day(boat('opening = "door"\nopenings = "200 per day"', 'temperature = "80 F"'), 0)
    assert door.daily("cold_box.air.openings")[0] * PER_DAY <= 200 * air * (1 + 1e-9)


def test_a_box_warmer_than_its_cabin_needs_no_machine_and_says_so():
    ran = day('set_point = "58 F"\nhull_side_share = "0 %"\nwarm_food = "0 kg/day"', 'temperature = "45 F"')
    assert ran.daily("cold_box.amp_hours_per_day")[0] == pytest.approx(0.0, abs=1e-9)
    assert (ran.figures["cold_box.box_temperature"] < (58 - 32) / 1.8 + 273.15).all()
    assert "warmer than food keeps" in questions.what_it_costs(found(ran)).verdict
    winter = day('hull_side_share = "0 %"\nwarm_food = "0 kg/day"', 'temperature = "36 F"')
    assert "hardly needs to run" in questions.what_it_costs(found(winter)).verdict


def test_a_plate_warmer_than_its_box_takes_neither_heat_nor_water():
    made = box(day("", 'temperature = "80 F"'))
    inside = np.full((1, 1), 277.0)
    state = BoxAir(
        inside, np.full((1, 1), 1e-5), np.full((1, 1), 1e-7), np.full((1, 1), 5.2e-3), np.full((1, 1), 20.0),
        np.full((1, 1), 2.49e6), np.full((1, 1), 4.0), np.full((1, 1), 3e-3),
    )  # fmt: skip
    plated = at_surface(made.plate, made.machine, state, inside + 5.0, np.full((1, 1), 1.0), 1.0)
    assert float(plated.deposit[0, 0]) == 0.0
    assert float(plated.sensible[0, 0]) == pytest.approx(0.0, abs=1e-4)


def test_no_plate_ever_comes_out_warmer_than_its_box():
    ran = day('[cold_box.plate]\noffset = "0 C"\narea = "3000 in**2"', 'temperature = "95 F"', draws=64)
    assert (ran.figures["cold_box.plate_temperature"] < ran.figures["cold_box.box_temperature"]).all()


def test_a_wall_of_no_thickness_is_its_air_films():
    """The formula's own limit, though the file refuses it: U = h/2 per face, not infinity."""
    made = walls.box_conductances(0.5, 0.5, 0.5, 1e-12, 1e-9, 1e-9, 0.03, 0.0, 0.0, 0.0, 0.0)
    assert float(made.total) == pytest.approx(6 * 0.25 * 8.29 / 2.0, rel=1e-3)


def test_an_empty_box_still_has_a_heat_capacity():
    from console.engine.views import EstimateView

    ran = day('fill_share = "0 %"', 'temperature = "80 F"')
    assert float(heat_capacity(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))[0, 0]) > 1e3
