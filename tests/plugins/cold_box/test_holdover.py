"""How long food keeps without power: against an integrator, and what must hold."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from console.engine.views import EstimateView
from plugins.cold_box.box import heat_in
from plugins.cold_box.build import contents_mass
from plugins.cold_box.contents import warming_heat
from plugins.cold_box.holdover import log_mean, seconds_to_line
from plugins.cold_box.tables import FOOD_RULE, FOOD_SAFE, FREEZER_SOFT, LINER_HEAT, LONGEST_INTERVAL
from tests.plugins.cold_box.boats import box, day

STEADY = 'temperature = "84 F"\nhumidity = "60 %"'


def hours(text: str, cabin: str = STEADY) -> float:
    return float(day(text, cabin).daily("cold_box.hours_to_food_line")[0]) / 3600.0


@pytest.mark.parametrize(
    ("start", "line", "room"), [(275.0, FOOD_SAFE, 0.01), (276.0, 283.0, 0.02), (258.0, FREEZER_SOFT, 0.05)]
)
def test_it_is_the_time_an_integrator_takes(start, line, room):
    """scipy's solve_ivp on heat in and the food's enthalpy, the hull out of the sun."""
    ran = day('hull_side_share = "0 %"', STEADY)
    made = box(ran)
    mass = contents_mass(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))
    ours = float(
        seconds_to_line(made, mass, np.zeros((1, 1)), np.full((1, 1), start), np.full((1, 1), line))[0, 0]
    )

    def rate(_: float, y: np.ndarray) -> list[float]:
        k = float(y[0])
        c = float(warming_heat(mass, k - 0.05, k + 0.05)[0, 0]) / 0.1 + LINER_HEAT
        return [float(heat_in(made, np.full((1, 24), k))[0, 0]) / c]

    def over(_: float, y: np.ndarray) -> float:
        return float(y[0]) - line

    over.terminal = True
    solved = solve_ivp(rate, (0.0, 4.0 * ours), [start], events=over, rtol=1e-7, max_step=ours / 40)
    print(f"{ours / 3600:.2f} h, integrated {solved.t_events[0][0] / 3600:.2f} h")
    assert ours == pytest.approx(float(solved.t_events[0][0]), rel=room)


def test_colder_fuller_better_insulated_and_frosted_keep_longer():
    assert hours('set_point = "36 F"') > hours('set_point = "38 F"')
    assert hours('set_point = "36 F"\nfill_share = "80 %"') > hours(
        'set_point = "36 F"\nfill_share = "20 %"'
    )
    assert hours('set_point = "36 F"\ninsulation = "5 in"') > hours(
        'set_point = "36 F"\ninsulation = "2 in"'
    )
    frosted = 'set_point = "36 F"\n[cold_box.plate]\nfrost = "{}"'
    assert hours(frosted.format("6 mm")) > hours(frosted.format("0 mm"))
    assert hours('set_point = "36 F"', 'temperature = "70 F"') > hours(
        'set_point = "36 F"', 'temperature = "90 F"'
    )


def test_a_box_over_the_line_has_no_hours_left_and_food_two():
    ran = day('set_point = "45 F"', STEADY)
    assert ran.daily("cold_box.hours_to_food_line")[0] == 0.0
    assert ran.daily("cold_box.hold_over")[0] == FOOD_RULE


def test_a_cabin_under_the_line_never_spoils_it():
    ran = day('hull_side_share = "0 %"', 'temperature = "36 F"\nhumidity = "50 %"')
    assert ran.daily("cold_box.hours_to_food_line")[0] == LONGEST_INTERVAL


def test_a_full_freezer_keeps_many_times_as_long_as_a_fridge():
    freezer = 'set_point = "0 F"\ninsulation = "5 in"\nfill_share = "80 %"'
    assert hours(freezer) > 5.0 * hours("")


def test_the_log_mean_of_equals_is_themselves():
    assert log_mean(np.array(3.0), np.array(3.0)) == pytest.approx(3.0)
    assert log_mean(np.array(4.0), np.array(2.0)) == pytest.approx(2.0 / np.log(2.0))


@pytest.mark.parametrize(("cabin", "rule"), [("84 F", 2.0), ("95 F", 1.0)])
def test_food_over_the_line_keeps_two_hours_and_one_in_hot_air(cabin, rule):
    """USDA and FDA guidance, from memory: one hour where the air is above 90 °F."""
    ran = day("", f'temperature = "{cabin}"\nhumidity = "50 %"')
    kept = ran.daily("cold_box.hold_over")[0] - ran.daily("cold_box.hours_to_food_line")[0]
    assert kept / 3600.0 == pytest.approx(rule)
