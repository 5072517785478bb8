"""The compressor: against direct CoolProp, and from its label both ways."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from console.properties.refrigerants import refrigerant
from plugins.cold_box import compressor as cp
from plugins.cold_box.compressor import compressor_from_power, condensing_at, efficiency_against_best
from plugins.cold_box.tables import (
    BEST_RATIO,
    CLEARANCE,
    EFFICIENCY_FALL,
    EXPANSION,
    RATING_POINTS,
    SUBCOOLING,
    USUAL_CONDENSING,
    USUAL_EVAPORATING,
    ZERO_CELSIUS,
)

ZERO = 273.15
FLUIDS = {"R134a": "R134a", "R1234yf": "R1234yf", "R600a": "IsoButane", "R290": "n-Propane"}
R134A = refrigerant("R134a")


@pytest.mark.parametrize("name", FLUIDS)
def test_cooling_and_work_per_swept_volume_are_coolprop_s(name):
    """One cycle at -12/45 °C, 5 K superheat, computed directly."""
    fluid, low, high = FLUIDS[name], ZERO - 12.0, ZERO + 45.0
    p1, p2 = PropsSI("P", "T", low, "Q", 1, fluid), PropsSI("P", "T", high, "Q", 1, fluid)
    h1, s1, rho = (PropsSI(x, "T", low + 5.0, "P", p1, fluid) for x in ("H", "S", "D"))
    h2 = PropsSI("H", "S", s1, "P", p2, fluid)
    h3 = PropsSI("H", "T", high - SUBCOOLING, "P", p2, fluid)
    share = 1 + CLEARANCE - CLEARANCE * (p2 / p1) ** (1 / EXPANSION)
    made = refrigerant(name)
    state = cp.condensing_at(made, high)
    assert float(cp.volumetric_cooling(made, low, state)) == pytest.approx(
        share * rho * (h1 - h3), rel=2e-3
    )
    assert float(cp.volumetric_work(made, low, state)) == pytest.approx(share * rho * (h2 - h1), rel=3e-3)


def test_from_its_amps_it_takes_those_watts_at_the_usual_state():
    made = cp.compressor_from_power(R134A, 63.0, 0.47)
    usual = cp.condensing_at(R134A, ZERO + 45.0)
    assert float(made.power(ZERO - 12.0, usual)) == pytest.approx(63.0, rel=1e-9)


def test_cooling_per_watt_at_the_usual_state_is_the_one_told():
    """1.0 to 1.8 is told of such machines in an 80 °F cabin (from memory)."""
    made = cp.compressor_from_power(R134A, 63.0, 0.47)
    usual = cp.condensing_at(R134A, ZERO + 45.0)
    assert 1.0 < float(made.cooling(ZERO - 12.0, usual) / made.power(ZERO - 12.0, usual)) < 1.8


@pytest.mark.parametrize("name", FLUIDS)
@pytest.mark.parametrize("point", RATING_POINTS)
def test_from_its_rated_cooling_it_gives_it_with_the_rating_point_s_own_gas_and_liquid(point, name):
    """Directly from CoolProp: the warm suction gas and, at ASHRAE's, the liquid cooled to 32.2 °C."""
    fluid = FLUIDS[name]
    low, high, gas, liquid = (t + ZERO for t in RATING_POINTS[point])
    p1, p2 = PropsSI("P", "T", low, "Q", 1, fluid), PropsSI("P", "T", high, "Q", 1, fluid)
    h1, rho = (PropsSI(x, "T", gas, "P", p1, fluid) for x in ("H", "D"))
    h3 = PropsSI("H", "T", min(liquid, high - 1e-3), "P", p2, fluid)
    share = 1 + CLEARANCE - CLEARANCE * (p2 / p1) ** (1 / EXPANSION)
    made = cp.compressor_from_capacity(refrigerant(name), 50.0, point, 500.0)
    assert float(made.swept) * share * rho * (h1 - h3) == pytest.approx(50.0, rel=4e-3)


def test_two_cubic_centimetres_at_3500_turns_are_rated_as_such_compressors_are():
    """60 to 80 W at ASHRAE's low-back-pressure point, R134a: data sheets, from memory."""
    made = cp.compressor_from_capacity(R134A, 70.0, "ashrae_lbp", 60.0)
    assert 1.8e-6 < float(made.swept) / (3500 / 60) < 2.4e-6


def test_a_label_that_promises_more_than_its_amps_can_lift_is_held_to_the_amps():
    """200 W at ASHRAE's point out of 30 W is no compressor."""
    made = cp.compressor_from_capacity(R134A, 200.0, "ashrae_lbp", 30.0)
    usual = cp.condensing_at(R134A, ZERO + 45.0)
    assert float(made.power(ZERO - 12.0, usual)) == pytest.approx(30.0, rel=1e-9)
    assert 1.0 / float(made.work_price) == pytest.approx(cp.MOST_EFFICIENT)


def test_amps_and_capacity_make_the_same_machine():
    efficiency, point = 0.47, "ashrae_lbp"
    watts = cp.usual_power(R134A, 40.0, point, efficiency)
    rated = cp.compressor_from_capacity(R134A, 40.0, point, watts)
    metered = cp.compressor_from_power(R134A, watts, efficiency)
    assert float(metered.swept) == pytest.approx(float(rated.swept), rel=1e-9)
    assert float(metered.work_price) == pytest.approx(float(rated.work_price), rel=1e-9)


warm = st.floats(ZERO + 20.0, ZERO + 60.0)
plate = st.floats(ZERO - 40.0, ZERO + 5.0)


@given(plate, plate, warm)
def test_a_warmer_plate_never_gives_less_cooling(one, other, condensing):
    made = cp.compressor_from_power(R134A, 63.0, 0.47)
    state = cp.condensing_at(R134A, condensing)
    low, high = sorted((one, other))
    assert made.cooling(low, state) <= made.cooling(high, state) * (1 + 1e-9)


@given(plate, warm, warm)
def test_a_hotter_condenser_never_helps(evaporating, one, other):
    made = cp.compressor_from_power(R134A, 63.0, 0.47)
    cool, hot = (cp.condensing_at(R134A, t) for t in sorted((one, other)))
    assert made.cooling(evaporating, hot) <= made.cooling(evaporating, cool) * (1 + 1e-6)
    better = made.cooling(evaporating, cool) / made.power(evaporating, cool)
    assert made.cooling(evaporating, hot) / made.power(evaporating, hot) <= better * (1 + 1e-6)


def test_beyond_the_map_nothing_is_nan():
    made = cp.compressor_from_power(R134A, 63.0, 0.47)
    state = cp.condensing_at(R134A, np.array([250.0, 300.0, 400.0]))
    for evaporating in (150.0, 250.0, 350.0):
        assert np.isfinite(made.cooling(evaporating, state)).all()
        assert np.isfinite(made.power(evaporating, state)).all()


def test_low_volts_stop_it_by_degrees():
    assert cp.running_share_allowed(10.6, 10.6) == 0.0
    assert 0.0 < cp.running_share_allowed(10.8, 10.6) < 1.0
    assert cp.running_share_allowed(12.6, 10.6) == 1.0


def test_efficiency_is_best_at_its_own_ratio_and_falls_both_ways():
    assert efficiency_against_best(BEST_RATIO, 0.09) == pytest.approx(1.0)
    assert efficiency_against_best(15.0, 0.09) < 1.0 > efficiency_against_best(2.0, 0.09)
    assert efficiency_against_best(1e9, 0.5) == pytest.approx(0.3)
    assert efficiency_against_best(14.0, 0.0) == 1.0


def test_a_freezer_s_ratio_costs_the_tenth_that_data_sheets_show():
    """8 % less isentropic efficiency at -25/55 °C than at -10/55 °C: from memory of data sheets."""
    fluid = refrigerant("R134a")
    high = condensing_at(fluid, 55.0 + ZERO_CELSIUS)
    ratios = [float(high.pressure / fluid.pressure(t + ZERO_CELSIUS)) for t in (-25.0, -10.0)]
    cold, mild = (float(efficiency_against_best(r, EFFICIENCY_FALL)) for r in ratios)
    assert cold / mild == pytest.approx(0.92, abs=0.02)


def test_at_the_usual_state_the_fall_changes_nothing():
    fluid = refrigerant("R134a")
    plain = compressor_from_power(fluid, 63.0, 0.47)
    falling = compressor_from_power(fluid, 63.0, 0.47, np.asarray(0.2))
    high = condensing_at(fluid, USUAL_CONDENSING)
    assert falling.power(USUAL_EVAPORATING, high) == pytest.approx(
        float(plain.power(USUAL_EVAPORATING, high))
    )
