"""The bank through the night: Peukert, charging, and what is left at dawn."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plugins.power import bank

from .conftest import QUIET, air_conditioner, ice_box

AH = 3600.0
LEAD = {"chemistry": "lead", "exponent": 1.2, "efficiency": 0.85, "working_voltage": 12.5, "nominal": 12.0}
LITHIUM = {
    "chemistry": "lithium",
    "exponent": 1.0,
    "efficiency": 1.0,
    "working_voltage": 13.2,
    "nominal": 12.0,
}
FAN = '[[power.load]]\nname = "fan"\npower = "{}"\nwhere = "bank"\nshare = "100 %"\n'


def states(load, charge, start=1.0, capacity=100 * AH, **more):
    known = {**LEAD, **more}
    return bank.states_of_charge(load, charge, start, capacity, step_seconds=3600.0, **known)


def test_a_steady_load_empties_the_bank_in_peukert_s_time():
    """At the working voltage's watts; the volts of a lead bank stay within 5 % of it."""
    found = states(np.full((1, 24), 10.0), np.zeros((1, 24)))
    hours = float(bank.peukert_seconds(100 * AH, 10.0, 1.2)) / 3600
    empty = int(np.argmax(found[0] <= 0)) + 1
    assert empty == pytest.approx(hours, rel=0.15)


def test_lithium_loses_just_its_amp_hours():
    found = states(np.full((1, 10), 5.0), np.zeros((1, 10)), **LITHIUM)
    assert found[0, -1] == pytest.approx(0.5, abs=0.01)


def test_below_the_rated_current_nothing_is_credited():
    assert float(bank.peukert_current(1.0, 100 * AH, 1.3)) == 1.0
    assert float(bank.peukert_current(20.0, 100 * AH, 1.3)) > 20.0


def test_charge_comes_back_less_what_charging_loses():
    found = states(np.zeros((1, 1)), np.full((1, 1), 10.0), start=0.5, chemistry="lithium")
    assert found[0, 0] == pytest.approx(0.5 + 0.085)


def test_the_last_tenth_of_a_lead_bank_is_slow():
    into = bank.accepted_charge(np.array([0.5, 0.95]), 40.0, 100 * AH, "lead", 3600.0)
    assert into[0] == pytest.approx(24.3 * AH, rel=0.05)
    assert into[1] < 3.0 * AH


@settings(max_examples=60)
@given(
    st.lists(st.floats(0, 60), min_size=12, max_size=12),
    st.lists(st.floats(0, 60), min_size=12, max_size=12),
    st.lists(st.floats(0, 40), min_size=12, max_size=12),
    st.sampled_from(["lead", "lithium"]),
    st.floats(0, 1),
)
def test_more_sun_never_lowers_the_charge_at_any_hour(load, sun, more, chemistry, start):
    known = {"chemistry": chemistry, "start": start}
    less = states(np.array([load]), np.array([sun]), **known)
    bright = states(np.array([load]), np.array([sun]) + np.array([more]), **known)
    assert np.all(bright >= less - 1e-12)


@settings(max_examples=60)
@given(
    st.lists(st.floats(0, 200), min_size=12, max_size=12),
    st.lists(st.floats(0, 200), min_size=12, max_size=12),
    st.sampled_from(["lead", "lithium"]),
)
def test_the_state_stays_between_empty_and_full(load, sun, chemistry):
    found = states(np.array([load]), np.array([sun]), start=0.3, chemistry=chemistry)
    assert np.all((found >= 0) & (found <= 1))


@given(st.floats(0, 100), st.floats(0, 300), st.floats(0.01, 1))
def test_what_a_charger_puts_back_is_what_was_missing(other, rating, missing):
    amps = bank.recharge_currents(
        missing,
        np.full((1, 240), other),
        rating,
        100 * AH,
        chemistry="lead",
        efficiency=0.8,
        step_seconds=3600.0,
    )
    spare = max(rating - other, 0.0)
    assert np.all(amps <= spare + 1e-9)
    put = amps.sum() * 0.8
    assert put <= missing * 100 + 1e-6
    if spare > 20:
        assert put == pytest.approx(missing * 100, rel=0.02)


def test_a_converter_is_worst_at_light_load():
    light, heavy = 10.0, 500.0
    share = [p / float(bank.converter_input(p, 0.9, 12.0)) for p in (light, heavy)]
    assert share[0] < 0.5 < 0.87 < share[1] < 0.9


def test_rest_volts_double_on_a_24_volt_bank():
    assert bank.rest_voltage(0.5, "lead", 24.0) == pytest.approx(2 * 12.24)


def test_the_night_begins_at_sunset_with_the_stated_charge(day):
    ran = day(QUIET + '[power.bank]\nstate_at_sunset = "80 % ± 0 %"\n' + FAN.format("60 W"))
    state = ran.figures["power.state_of_charge"][0]
    evening = int(np.argmax(state))
    assert 18 <= evening <= 21
    assert 0.76 < state[evening] < 0.80


def test_dawn_without_sun_is_the_load_until_noon(day):
    text = '[power.bank]\ncapacity = "200 A*h"\nchemistry = "lithium"\nhealth = "100 %"\nstate_at_sunset = "100 %"\n'
    ran = day(QUIET + text + FAN.format("66 W"))
    # 5 A from the sunset of 20 h to noon: 16 or 17 hours, 80 to 85 Ah of 200.
    assert ran.daily("power.dawn_state_of_charge")[0] == pytest.approx(1 - 82.5 / 200, abs=0.025)


def test_more_panels_never_lower_the_charge_at_dawn(day):
    text = QUIET + "[power.bank]\n" + FAN.format("60 W") + "[power.solar]\n"
    few, many = (
        day(text + f'peak_power = "{w} W"\n', draws=64).daily("power.dawn_state_of_charge")
        for w in (50, 400)
    )
    assert np.all(many >= few - 1e-12)
    assert many[0] > few[0]


def test_dc_loads_sum_to_the_day_s_amp_hours(day):
    text = "[climate]\n[power]\n[power.inverter]\nair_conditioner = true\n[power.bank]\n" + FAN.format(
        "60 W"
    )
    ran = day(text, air_conditioner(), ice_box(), draws=32)
    parts = sum(ran.figures[n] for n in ran.figures if n.startswith("power.dc_load."))
    assert parts == pytest.approx(ran.figures["power.dc_amp_hours_per_day"], abs=1e-9)
    assert ran.daily("power.dc_load.air_conditioner")[0] * 12.5 == pytest.approx(
        0.6 * 1300 / 0.88, rel=0.01
    )


@pytest.mark.parametrize(
    ("way", "watts"),
    [
        ("direct", 60.0),
        ("regulated_12", 60 / 0.9 + 0.4),
        ("inverter", 60 / 0.88 + 12),
        ("inverter_charger", 60 / 0.85 / 0.88 + 12),
    ],
)
def test_each_path_takes_what_its_converters_lose(day, way, watts):
    ran = day(QUIET + "[power.bank]\n" + FAN.format("60 W") + f'path = "{way}"\n')
    assert ran.daily("power.dc_amp_hours_per_day")[0] * 12.5 == pytest.approx(watts, rel=1e-6)


def test_a_device_charged_at_constant_current_takes_its_energy_and_stops(day):
    device = FAN.format("120 W") + 'hours = ["20:00-08:00"]\npath = "regulated_24"\nenergy = "600 Wh"\n'
    ran = day(QUIET + "[power.bank]\n" + device)
    amps = ran.figures["power.dc_amp_hours_per_day"][0]
    assert np.count_nonzero(amps) == 5
    assert amps.sum() * 12.5 == pytest.approx(5 * (120 / 0.9 + 0.4), rel=1e-6)


def test_the_amps_of_a_24_volt_bank_are_half(day):
    low = day(QUIET + "[power.bank]\n" + FAN.format("60 W")).daily("power.dc_amp_hours_per_day")[0]
    high = day(QUIET + '[power.bank]\nvoltage = "24 V"\n' + FAN.format("60 W")).daily(
        "power.dc_amp_hours_per_day"
    )[0]
    assert high == pytest.approx(low / 2)


def test_what_hangs_on_the_inverter_is_on_shore_at_the_dock(day):
    text = QUIET + "[power.shore]\n[power.bank]\n" + FAN.format("60 W") + 'path = "inverter"\n'
    ran = day(text)
    assert ran.daily("power.load_current.fan")[0] > 0
    assert "power.load_current.charger" not in ran.figures


def test_the_bank_lasts_peukert_s_hours_at_the_most_it_is_asked_for(day):
    text = (
        QUIET
        + '[power.bank]\ncapacity = "200 A*h"\nhealth = "100 %"\nusable_share = "50 %"\npeukert = "1.25"\n'
    )
    ran = day(text + FAN.format("500 W"))
    by_hand = 0.5 * 20 * (200 / (40 * 20)) ** 1.25
    assert ran.daily("power.bank_hours")[0] / 3600 == pytest.approx(by_hand, rel=1e-6)


def test_rated_shares_are_what_is_asked_over_what_may_be_given(day):
    text = (
        QUIET
        + '[power.bank]\ncurrent_limit = "100 A"\n[power.inverter]\npower = "1000 W"\nleft_on = false\n'
    )
    ran = day(text + FAN.format("500 W") + 'path = "inverter"\n')
    assert ran.daily("power.rated_share.inverter")[0] == pytest.approx(0.5)
    assert ran.daily("power.rated_share.bank")[0] == pytest.approx((500 / 0.88 + 12) / 12.5 / 100)


def test_a_trickle_is_not_credited_with_more_than_the_label(day):
    """10 W of 200 Ah at 12.5 V: 100 Ah that may be used, over 0.8 A; a trickle is 125 h of it."""
    text = (
        QUIET
        + '[power.bank]\ncapacity = "200 A*h"\nhealth = "100 %"\nusable_share = "50 %"\npeukert = "1.25"\n'
    )
    hours = day(text + FAN.format("10 W")).daily("power.bank_hours")[0] / 3600
    assert hours == pytest.approx(100 / 0.8, rel=1e-6)
    tiny = day(text + FAN.format("0.5 W")).daily("power.bank_hours")[0] / 3600
    assert tiny == pytest.approx(100 / 0.04, rel=1e-6)


@pytest.mark.parametrize(
    ("stated", "nominal"), [(6, 6), (11.8, 12), (12.8, 12), (14.4, 12), (25.6, 24), (28.8, 24), (51.2, 48)]
)
def test_a_label_s_or_a_meter_s_volts_are_those_of_the_bank(stated, nominal):
    assert float(bank.nominal_voltage(stated)) == nominal


def test_a_lithium_bank_labelled_12_8_volts_is_a_12_volt_one(day):
    text = QUIET + '[power.bank]\nchemistry = "lithium"\nvoltage = "{} V"\n' + FAN.format("60 W")
    one, other = (day(text.format(volts)).figures["power.dc_amp_hours_per_day"] for volts in ("12", "12.8"))
    np.testing.assert_array_equal(one, other)
