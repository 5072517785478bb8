"""What the box holds: against a root finder and an integrator of scipy."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from console.engine.views import EstimateView
from plugins.cold_box.box import balance
from plugins.cold_box.build import heat_capacity
from plugins.cold_box.temperature import rows_of, settle
from tests.plugins.cold_box.boats import box, day

THIN = 'insulation = "0.6 in"\nlid_insulation = "0.2 in"\nset_point = "36 F"'
SET = (36.0 - 32.0) / 1.8 + 273.15


def net(made_box, kelvin: float, hour: int = 0) -> float:
    made = balance(made_box, np.full((1, 24), kelvin), full=True)
    return float((made.total - made.run_share * made.cooling)[0, hour])


def test_a_box_that_can_is_held_at_its_set_point():
    ran = day("", 'temperature = "85 F"\nswing = "10 C"')
    assert np.ptp(ran.figures["cold_box.box_temperature"]) == 0.0
    assert (ran.figures["cold_box.stored_heat"] == 0.0).all()


def steady(text: str = THIN):
    """A day without sun, swing or sea: the same every hour."""
    return day(text + '\nhull_side_share = "0 %"', 'temperature = "95 F"\nhumidity = "70 %"')


def test_a_box_that_cannot_settles_where_heat_in_is_all_it_can_lift():
    ran = steady()
    held = ran.figures["cold_box.box_temperature"][0]
    expected = brentq(lambda k: net(box(ran), k), SET, SET + 30.0, xtol=1e-9)
    assert held == pytest.approx(expected, abs=1e-5)
    assert expected > SET + 1.0
    assert ran.figures["cold_box.run_share"][0] == pytest.approx(1.0, abs=1e-6)


def test_through_a_swinging_day_it_follows_an_integrator():
    """scipy's solve_ivp over the same hourly surroundings, started where the day closes."""
    ran = day(THIN, 'temperature = "92 F"\nswing = "12 C"\nhumidity = "60 %"')
    held = ran.figures["cold_box.box_temperature"][0]
    assert held.min() > SET  # never caught up, so plain integration is the whole truth
    made_box = box(ran)
    capacity = float(heat_capacity(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))[0, 0])
    nodes = np.linspace(SET - 1.0, SET + 25.0, 27)
    made = [balance(made_box, np.full((1, 24), k), full=True) for k in nodes]
    table = np.stack([(m.total - m.run_share * m.cooling)[0] for m in made], axis=-1)
    start, path = held[-1], []
    for hour in range(24):
        solved = solve_ivp(
            lambda _, y, hour=hour: [np.interp(y[0], nodes, table[hour]) / capacity],
            (0.0, 3600.0), [start], rtol=1e-8,
        )  # fmt: skip
        start = float(solved.y[0, -1])
        path.append(start)
    assert held == pytest.approx(np.array(path), abs=0.15)
    assert np.ptp(held) > 1.0


def test_the_fuller_box_swings_less():
    def swing(full: str) -> float:
        ran = day(f'{THIN}\nfill_share = "{full}"', 'temperature = "92 F"\nswing = "12 C"')
        return float(np.ptp(ran.figures["cold_box.box_temperature"]))

    assert swing("90 %") < 0.6 * swing("20 %")


def test_a_box_colder_than_its_set_point_is_not_heated():
    """A winter cabin at freezing: nothing to do, and no current."""
    ran = day('warm_food = "0 kg/day"\nhull_side_share = "0 %"', 'temperature = "0 C"\nhumidity = "60 %"')
    assert ran.figures["cold_box.box_temperature"] == pytest.approx(273.15, abs=0.2)
    assert ran.daily("cold_box.amp_hours_per_day")[0] == pytest.approx(0.0, abs=1e-9)


def test_without_enough_volts_it_warms_to_the_cabin():
    ran = day('[cold_box.compressor]\nfeed_voltage = "10 V"', 'temperature = "80 F"')
    assert ran.daily("cold_box.amp_hours_per_day")[0] == 0.0
    assert ran.figures["cold_box.box_temperature"] == pytest.approx((80 - 32) / 1.8 + 273.15, abs=1.5)


def test_draws_that_fall_short_are_solved_as_if_alone():
    ran = day('insulation = "1 in ± 60 %"', 'temperature = "90 F"\nswing = "8 C"', draws=48)
    held = ran.figures["cold_box.box_temperature"]
    set_point = ran.draws.number("cold_box.set_point")
    short = np.flatnonzero((held > set_point + 0.5).any(axis=1))
    assert 0 < short.size < 49
    view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures)
    whole, capacity = box(ran), heat_capacity(view)
    for row in short[:3]:
        one = np.array([row])
        alone, _, _ = settle(rows_of(whole, one, 49), set_point[one], capacity[one], 3600.0, (1, 24))
        assert held[row] == pytest.approx(alone[0], abs=1e-6)
