"""What the boat draws from shore: sums, sag, three hours, what holds."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from console.fields import Quantity, quantity
from console.fields import text as field_text
from plugins.power import shore, wire
from plugins.power.tables import FOOT

from . import conftest
from .conftest import QUIET, STIFF, air_conditioner, ice_box

HEATER = """
[[power.load]]
name = "water heater"
power = "1500 W"
hours = ["06:00-07:00", "18:30-19:30"]
kind = "heater"
"""


def stack(ran):
    return sum(ran.figures[n] for n in ran.figures if n.startswith("power.load_current."))


@pytest.mark.parametrize("draws", [0, 64])
def test_the_stack_by_load_sums_to_the_shore_current(day, draws):
    ran = day(
        "[climate]\n[power.shore]\n[power.bank]\n" + HEATER, air_conditioner(), ice_box(), draws=draws
    )
    assert stack(ran) == pytest.approx(ran.figures["power.shore_current"], abs=1e-9)


def test_the_stack_of_a_two_leg_inlet_sums_draw_by_draw(day):
    text = '[climate]\nvoltage = "230 V"\n[power.shore]\nlegs = "two"\n' + HEATER + 'leg = "both"\n'
    ran = day(text, air_conditioner(), ice_box(), draws=64)
    assert stack(ran) == pytest.approx(ran.figures["power.shore_current"], abs=1e-9)


def test_on_board_voltage_solves_its_own_equation_as_a_root_finder_does():
    """Against scipy.optimize.brentq on V = E - R (S/V + G V)."""
    e, r, s, g = 118.0, 0.25, 2600.0, 0.1
    root = brentq(lambda v: e - r * (s / v + g * v) - v, 80.0, 120.0)
    assert float(shore.onboard_voltage(e, r, s, g)) == pytest.approx(root, abs=1e-9)


def test_a_supply_that_collapses_gives_a_number_and_no_nan():
    assert float(shore.onboard_voltage(120.0, 2.0, 5000.0)) == pytest.approx(60.0)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 6000.0))
def test_more_resistance_never_raises_the_volts_on_board(r1, r2, apparent):
    low, high = sorted((r1, r2))
    assert (
        shore.onboard_voltage(120.0, high, apparent) <= shore.onboard_voltage(120.0, low, apparent) + 1e-9
    )


def test_fifty_feet_of_10_gauge_at_24_amps_drop_about_two_volts_and_a_half():
    """2.4 V by hand from NEC chapter 9 table 8."""
    drop = wire.voltage_drop(24.0, 50 * FOOT, wire.awg_area(10), 313.15)
    assert float(drop) == pytest.approx(2.5, abs=0.25)


def test_the_three_hour_mean_goes_round_midnight():
    current = np.zeros((1, 24))
    current[0, [23, 0, 1]] = 30.0
    assert shore.largest_running_mean(current, 3600.0).item() == pytest.approx(30.0)


@given(st.lists(st.floats(0, 60), min_size=24, max_size=24))
def test_peak_is_at_least_the_three_hour_mean_which_is_at_least_the_day_s(values):
    current = np.array([values])
    lasting = shore.largest_running_mean(current, 3600.0).item()
    assert current.max() >= lasting - 1e-9
    assert lasting >= current.mean() - 1e-9


def test_the_three_hour_mean_is_that_of_a_plain_loop():
    rng = np.random.default_rng(3)
    current = rng.uniform(0, 30, (5, 24))
    plain = [max(np.mean([row[(i + k) % 24] for k in range(3)]) for i in range(24)) for row in current]
    assert shore.largest_running_mean(current, 3600.0)[:, 0] == pytest.approx(plain)


def test_what_holds_is_the_least_of_all_the_current_passes(day):
    base = '[power.shore]\ninlet_current = "30 A"\n'
    assert day(base).daily("power.shore_limit")[0] == 30.0
    assert day(base + 'post_breaker = "20 A"').daily("power.shore_limit")[0] == 20.0
    assert day(base + 'adapter_current = "15 A"').daily("power.shore_limit")[0] == 15.0
    assert day(base + 'cord_gauge = "12 AWG"').daily("power.shore_limit")[0] == 20.0
    assert day(base + 'main_breaker = "25 A"').daily("power.shore_limit")[0] == 25.0


def test_a_16_amp_inlet_is_a_230_volt_one_with_a_10_amp_post(day):
    """Common practice: posts with 16 A sockets often have a 10 A breaker."""
    ran = day('[power.shore]\ninlet_current = "16 A"\n')
    assert ran.draws.number("power.shore.voltage")[0, 0] == 228.0
    assert ran.daily("power.shore_limit")[0] == 10.0


def test_a_silent_inlet_is_the_average_120_volt_one(day):
    ran = day("[power.shore]\n")
    assert ran.draws.number("power.shore.voltage")[0, 0] == 117.0
    assert ran.daily("power.shore_limit")[0] == 30.0


def test_half_of_a_240_volt_load_s_watts_is_on_each_leg(day):
    text = QUIET + '[power.shore]\nlegs = "two"\n' + STIFF + HEATER + 'share = "100 %"\nleg = "both"\n'
    ran = day(text)
    assert ran.daily("power.shore_peak")[0] == pytest.approx(1500 / 240, rel=0.01)


def test_240_volts_over_two_legs_are_read_as_120_each(day):
    text = QUIET + '[power.shore]\nlegs = "two"\nvoltage = "240 V"\n' + HEATER
    assert day(text).daily("power.inlet_voltage")[0] == pytest.approx(120.0, abs=3.0)


def test_a_kettle_of_minutes_is_an_amp_in_the_hour_and_thirteen_at_once(day):
    kettle = """
[[power.load]]
name = "kettle"
power = "1500 W"
hours = ["07:00-08:00"]
share = "8 %"
kind = "heater"
"""
    ran = day(QUIET + "[power.shore]\n" + STIFF + kettle)
    assert ran.daily("power.shore_peak")[0] == pytest.approx(1.0, abs=0.02)
    assert ran.daily("power.shore_together")[0] == pytest.approx(12.5, abs=0.1)


def test_a_heater_takes_fewer_amps_on_low_volts_and_electronics_more(day):
    low = '[power.shore]\nvoltage = "105 V ± 0 V"\ndock_resistance = "0 mohm"\n'

    def amps(kind):
        load = f'[[power.load]]\nname = "it"\npower = "600 W"\nshare = "100 %"\nkind = "{kind}"\n'
        return day(QUIET + low + load).daily("power.shore_current")[0]

    assert amps("heater") < 600 / 120
    assert amps("electronics") > 600 / 120 / 0.9


def test_moving_a_load_by_hours_keeps_the_day_s_energy(day):
    here = day(QUIET + "[power.shore]\n" + HEATER)
    text = HEATER.replace("06:00-07:00", "11:00-12:00").replace("18:30-19:30", "23:30-00:30")
    there = day(QUIET + "[power.shore]\n" + text)
    assert there.daily("power.energy_per_day")[0] == pytest.approx(
        here.daily("power.energy_per_day")[0], rel=1e-9
    )


def test_the_day_s_energy_is_the_loads_own_and_what_the_cord_loses(day):
    text = QUIET + "[power.shore]\n" + STIFF + HEATER + 'share = "100 %"\n'
    assert day(text).daily("power.energy_per_day")[0] * 24 == pytest.approx(3000.0, rel=0.005)


def test_the_post_s_meter_counts_what_cord_and_contacts_lose(day):
    """I²R of 20 A through 100 mohm of contacts and a cord of no length is 40 W."""
    text = (
        QUIET
        + "[power.shore]\n"
        + STIFF.replace('contact_resistance = "0 mohm"', 'contact_resistance = "100 mohm"')
    )
    load = '[[power.load]]\nname = "it"\ncurrent = "20 A"\nshare = "100 %"\npower = "2400 W"\nkind = "heater"\n'
    ran = day(text + load)
    amps = ran.daily("power.shore_current")[0]
    assert ran.daily("power.energy_per_day")[0] - 2400 == pytest.approx(amps**2 * 0.1, rel=0.05)
    assert ran.daily("power.contact_heat")[0] == pytest.approx(amps**2 * 0.1, rel=1e-6)


def test_the_ice_box_reaches_shore_through_the_charger(day):
    """2 A of a 12 V bank at its working 12.5 V, over the charger's 85 %."""
    ran = day(QUIET + "[power.shore]\n", ice_box(5.0, 2.0))
    watts = ran.daily("power.energy_per_day")[0]
    assert watts == pytest.approx(2 * 12.5 / 0.85, rel=0.01)
    assert ran.daily("power.running_current.ice_box")[0] > ran.daily("power.load_current.ice_box")[0]


def test_a_low_bank_is_put_back_from_the_hour_of_plugging_in(day):
    bank = '[power.bank]\nrecharge = "40 %"\nrecharge_from = "17:00"\nhealth = "100 %"\n'
    ran = day(QUIET + "[power.shore]\n" + bank)
    charger = ran.figures["power.load_current.charger"][0]
    assert np.argmax(charger) == 17
    assert charger[12] < 0.1 * charger[17]
    # 40 A of 13.8 V through 85 % efficiency and 0.85 power factor.
    assert charger[17] == pytest.approx(40 * 13.8 / 0.85 / 0.85 / 115, rel=0.05)


def test_the_air_conditioner_s_start_is_added_to_what_else_runs(day):
    ran = day("[climate]\n" + QUIET + "[power.shore]\n" + HEATER, air_conditioner())
    others = ran.figures["power.running_current.water_heater"][0, 6]
    assert ran.figures["power.start_peak"][0, 6] == pytest.approx(55.0 + others)
    assert ran.daily("power.start_voltage")[0] < ran.daily("power.inlet_voltage")[0]


def test_the_supply_at_label_amps_falls_with_cord_length(day):
    def volts(feet):
        return day(f'[climate]\n[power.shore]\ncord_length = "{feet} ft"\n', air_conditioner()).daily(
            "power.supply_voltage"
        )[0]

    assert volts(25) > volts(50) > volts(150)


def test_a_boat_without_shore_gives_the_label_s_volts_and_no_shore_figures(day):
    ran = day('[climate]\nvoltage = "230 V"\n', air_conditioner())
    assert ran.daily("power.supply_voltage")[0] == 230.0
    assert not any("shore" in name for name in ran.figures)


def test_a_boat_without_an_air_conditioner_has_shore_figures_all_the_same(day):
    ran = day("[power.shore]\n")
    assert ran.daily("power.shore_continuous")[0] > 0
    assert "power.load_current.air_conditioner" not in ran.figures


def test_a_listed_load_called_charger_does_not_hide_the_charger(day):
    ran = day(
        QUIET + '[power.shore]\n[power.bank]\n[[power.load]]\nname = "charger"\npower = "300 W"\n',
        ice_box(),
    )
    assert "power.load_current.charger_load" in ran.figures
    assert stack(ran) == pytest.approx(ran.figures["power.shore_current"], abs=1e-9)


def test_shore_loads_warm_the_cabin_only_with_shore_aboard(day):
    fan = '[[power.load]]\nname = "heater"\npower = "1000 W"\nshare = "100 %"\ncabin_heat_share = "100 %"\n'
    assert day(QUIET + "[power.shore]\n" + fan).daily("power.equipment_heat")[0] == pytest.approx(1000.0)
    assert day(QUIET + fan).daily("power.equipment_heat")[0] == 0.0


@settings(deadline=None, max_examples=15)
@given(st.floats(5, 300), st.floats(5, 300))
def test_a_longer_cord_never_raises_the_supply(one, other):
    short, long = sorted((one, other))
    resistance = [2 * n * FOOT * wire.conductor_resistance(5.26e-6, 313.15) for n in (short, long)]
    volts = [shore.onboard_voltage(117.0, r, 1440.0) for r in resistance]
    assert volts[1] <= volts[0] + 1e-12


def test_a_thing_that_cycles_heats_the_contacts_by_the_mean_of_the_square(day):
    """20 A for half of every hour through 100 mohm: 40 W for half the time is 20 W, not (10 A)² · 0.1."""
    text = (
        QUIET
        + "[power.shore]\n"
        + STIFF.replace('contact_resistance = "0 mohm"', 'contact_resistance = "100 mohm"')
    )
    load = (
        '[[power.load]]\nname = "it"\ncurrent = "20 A"\nshare = "50 %"\npower = "2400 W"\nkind = "heater"\n'
    )
    ran = day(text + load)
    amps = ran.daily("power.running_current.it")[0]
    assert ran.daily("power.shore_continuous")[0] == pytest.approx(amps / 2)
    assert ran.daily("power.contact_heat")[0] == pytest.approx(0.5 * amps**2 * 0.1, rel=1e-6)
    lost = ran.daily("power.energy_per_day")[0] - 1200
    assert lost == pytest.approx(0.5 * amps**2 * 0.1, rel=0.05)


@given(st.lists(st.tuples(st.floats(0, 50), st.floats(0, 1)), min_size=1, max_size=5))
def test_the_mean_square_is_that_of_all_the_ways_things_can_be_on(things):
    """Against every combination of on and off with its chance."""
    amps, shares = (np.array(part) for part in zip(*things, strict=True))
    by_hand = 0.0
    for n in range(2 ** len(things)):
        on = np.array([n >> i & 1 for i in range(len(things))])
        by_hand += float(np.prod(np.where(on, shares, 1 - shares)) * (on @ amps) ** 2)
    square = shore.mean_square_current(float(amps @ shares), list(amps), list(shares))
    assert float(square) == pytest.approx(by_hand, abs=1e-6)


def test_a_unit_over_both_legs_loses_the_volts_of_one_way_out_and_back(day):
    """240 V behind 60 mohm of dock, out and back: 20 A lose 1.2 V, not twice that."""
    text = '[climate]\nvoltage = "240 V"\ncurrent = "20 A"\n[power.shore]\nlegs = "two"\n' + STIFF.replace(
        'dock_resistance = "0 mohm"', 'dock_resistance = "60 mohm"'
    )
    ran = day(text, air_conditioner())
    assert ran.daily("power.supply_voltage")[0] == pytest.approx(
        brentq(lambda v: 240 - 0.06 * 4800 / v - v, 200, 240), abs=0.05
    )


def galley_heat(day, unit, more=""):
    text = '[power]\nalways_on = "0 A*h/day"\nstanding_heat = "0 W"\ngalley = "1 kWh/day"\n'
    return day(unit + text + more, air_conditioner()).daily("power.equipment_heat")[0] * 24


def test_the_same_meals_are_not_cooked_twice(day, monkeypatch):
    """What the air conditioner's table has its stove give (800 W for 45 min) is not given again."""
    fields = {"__annotations__": {"cooking_power": Quantity, "cooking_hours": list[str]}}
    fields["cooking_power"] = quantity("power", "800 W", hard=("0 W", "8000 W"), help="Burners.")
    fields["cooking_hours"] = field_text(["07:00-07:15", "18:00-18:30"], help="When.")
    assert galley_heat(day, "") == pytest.approx(1000.0)
    monkeypatch.setattr(
        conftest, "Unit", type("Stove", (conftest.Unit,), {**fields, "__module__": __name__})
    )
    assert galley_heat(day, "[climate]\n") == pytest.approx(400.0)
    assert galley_heat(day, "[climate]\n", 'galley_fuel = "gas"\n') == pytest.approx(400.0)
    stated = '[climate]\ncooking_power = "800 W"\n'
    assert galley_heat(day, stated) == pytest.approx(1000.0)
    assert galley_heat(day, stated, 'galley_fuel = "gas"\n') == pytest.approx(400.0)
    assert galley_heat(day, '[climate]\ncooking_hours = ["7 to 8"]\n') == pytest.approx(1000.0)
