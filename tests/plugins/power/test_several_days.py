"""A run of several days: the same day twice has the figures of one."""

import numpy as np
import pytest

from console.engine.run import run_steps
from console.engine.views import Draws
from plugins.power import answer_anchor, answer_inlet, loads

from .conftest import QUIET, air_conditioner, boat_of, found, ice_box

TEXT = (
    "[climate]\n"
    + QUIET
    + '[power.shore]\n[power.bank]\nrecharge = "0 % ± 0 %"\n[power.solar]\npeak_power = "50 W"\n'
    + '[[power.load]]\nname = "tool"\ncurrent = "3 A"\nenergy = "60 Wh"\nwhere = "bank"\nhours = ["20:00-02:00"]\n'
    '[[power.load]]\nname = "water heater"\npower = "1500 W"\nkind = "heater"\nhours = ["18:00-20:00"]\n'
)
SAME = (
    "power.energy_per_day", "power.dc_amp_hours_per_day", "power.solar_amp_hours_per_day", "power.recovery",
    "power.shore_continuous", "power.shore_peak", "power.equipment_heat", "power.away_bank_time", "power.fill_time",
    "power.ask_recovery", "power.contact_heat", "power.dc_load.tool",
)  # fmt: skip


def days(count):
    columns = Draws(boat_of(TEXT, air_conditioner(unit_current=14.5), ice_box()), 8)
    ran = run_steps(columns, (np.arange(24 * count) + 0.5) % 24, 3600.0)
    assert ran.unwell == []
    return ran


@pytest.mark.parametrize("figure", SAME)
def test_figures_of_a_day_are_the_same_over_three_like_it(figure):
    assert days(3).daily(figure) == pytest.approx(days(1).daily(figure), rel=1e-9)


def test_the_worst_of_three_nights_is_no_better_than_the_first():
    one, three = days(1), days(3)
    figure = "power.dawn_state_of_charge"
    assert np.all(three.daily(figure) <= one.daily(figure) + 1e-12)
    assert three.daily(figure)[0] < one.daily(figure)[0]


def test_a_thing_being_charged_is_filled_anew_each_day():
    spans = loads.clock_intervals(["22:00-04:00"])
    hours = (np.arange(48) + 0.5) % 24
    covered = loads.coverage(spans, hours, 3600.0)
    kept = loads.until_filled(covered, spans, hours, 3600.0, np.array([[3.0]]))[0]
    assert kept.sum() == pytest.approx(6.0)
    assert kept[[22, 23, 0]] == pytest.approx([1, 1, 1])


def test_the_cards_of_three_days_speak_of_hours_of_the_day():
    ran = found(days(3))
    inlet, anchor = answer_inlet.answer(ran), answer_anchor.answer(ran)
    said = " ".join([inlet.verdict, *(r.text for r in inlet.reasons), anchor.verdict])
    assert "18:00 to 20:00" in said
    assert inlet.pictures[0].hours[-1] == 71.5
    assert anchor.pictures[0].x[-1] == 72 * 3600.0
