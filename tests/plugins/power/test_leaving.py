"""Leaving, casting off, one thing more: figures against plain loops and references, and the cards."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from console.contract import Estimate, Given, Listing, Urgency
from plugins.power import answer_ask, answer_away, answer_casting_off, bank
from tests.published import note
from tests.toy import module, plugin

from .conftest import QUIET, STIFF, air_conditioner, found, ice_box
from .test_answers import texts

AH = 3600.0
BOX = "[cold_box]\n"


def plain_loop(net, start, floor, most):
    """Step by step, full being full."""
    state = start
    if state < floor:
        return 0.0
    for step in range(int(most)):
        after = min(state + net[step % len(net)], 1.0)
        if after < floor:
            return step + (state - floor) / (state - after)
        state = after
    return float(most)


def test_what_comes_into_a_full_bank_is_lost():
    """From 0.95 by six steps of +0.05 to full and no more, then -0.06 a step: 0.5 is passed at 8 1/3 of them."""
    net = np.array([[0.05] * 6 + [-0.06] * 12])
    assert bank.lasting_steps(net, np.array([[0.95]]), 0.5, 400)[0, 0] == pytest.approx(6 + 0.5 / 0.06)


@settings(max_examples=200)
@given(
    st.lists(st.floats(-0.08, 0.08), min_size=6, max_size=24),
    st.floats(0.3, 1.0),
    st.floats(0.1, 0.6),
)
def test_how_long_the_bank_lasts_is_that_of_a_plain_loop(net, start, floor):
    most = 20 * len(net)
    ours = bank.lasting_steps(np.array([net]), np.array([[start]]), floor, most)
    theirs = plain_loop(net, start, floor, most)
    if theirs < most and abs(sum(net)) > 1e-6:
        # Where a state stands just at the floor a step's rounding decides.
        assert ours[0, 0] == pytest.approx(theirs, abs=1e-6) or _grazes(net, start, floor, most)
    elif abs(sum(net)) > 1e-6:
        assert ours[0, 0] == pytest.approx(most) or _grazes(net, start, floor, most)


def _grazes(net, start, floor, most):
    return plain_loop(net, start, floor - 1e-9, most) != pytest.approx(
        plain_loop(net, start, floor + 1e-9, most), abs=1e-6
    )


@pytest.mark.parametrize(("state", "amps"), [(0.3, 40.0), (0.6, 10.0), (0.9, 100.0), (0.985, 20.0)])
def test_the_time_to_fill_is_that_of_the_law_integrated(state, amps):
    """Against scipy.integrate.solve_ivp on dS/dt = min(I/C, (1 - S)/τ), τ = 5400 s."""
    full = 300 * AH

    def full_enough(_, s):
        return s[0] - 0.98

    full_enough.terminal = True
    solved = solve_ivp(
        lambda _, s: [min(amps / full, (1 - s[0]) / 5400.0)], (0, 1e5), [state], events=full_enough, rtol=1e-9,
        max_step=60.0,
    )  # fmt: skip
    theirs = solved.t_events[0][0] if solved.t_events[0].size else 0.0
    ours = float(bank.fill_seconds(state, 0.98, amps, full, "lead"))
    if theirs:
        note(f"time to fill from {state}", ours, theirs)
    assert ours == pytest.approx(theirs, abs=2.0)


def test_lithium_fills_at_its_full_current_to_the_end():
    assert float(bank.fill_seconds(0.5, 1.0, 50.0, 100 * AH, "lithium")) == pytest.approx(3600.0)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(1, 200), st.floats(1, 200))
def test_a_fuller_bank_and_a_larger_charger_never_take_longer(one, other, small, large):
    low, high = sorted((one, other))
    weak, strong = sorted((small, large))
    args = (0.98, 300 * AH, "lead")
    fill = bank.fill_seconds
    assert fill(high, args[0], weak, *args[1:]) <= fill(low, args[0], weak, *args[1:]) + 1e-6
    assert fill(low, args[0], strong, *args[1:]) <= fill(low, args[0], weak, *args[1:]) + 1e-6


# --- leaving ----------------------------------------------------------------------------------

BANK = QUIET + '[power.shore]\n[power.bank]\ncapacity = "200 A*h ± 0 %"\nhealth = "100 % ± 0 %"\n'
FULL = '[power.away]\nstate = "100 % ± 0 %"\nstops_at = "{} h"\n'


def cold_box(warms=6.0, running=5.0, mean=2.0):
    """An ice box that also tells how long it takes to the food line, hours."""

    def estimate(run):
        return {
            "cold_box.compressor_current": [[running]],
            "cold_box.amp_hours_per_day": [[mean]],
            "cold_box.hours_to_food_line": [[warms * 3600.0]],
        }

    made = module(estimate=estimate)
    gives = (
        Given("cold_box.compressor_current", "A", "A stand-in's figure"),
        Given("cold_box.amp_hours_per_day", "A", "A stand-in's figure"),
        Given("cold_box.hours_to_food_line", "s", "A stand-in's figure"),
    )
    from console.contract import Section
    from console.fields import Table

    box = module(Box=type("Box", (Table,), {"__module__": __name__}))
    return plugin(
        "cold_box",
        boat_sections=lambda: [Section("cold_box", f"{box.__name__}:Box", "Stand-in", "not_aboard")],
        boat_estimates=lambda: [Estimate("cold_box.stand_in", f"{made.__name__}:estimate", (), gives)],
    )


def test_without_sun_the_bank_lasts_its_amp_hours_and_the_food_some_hours_more(day):
    """45 % of 200 Ah at 2 A (below the 20-hour rate, so no Peukert): 45 h; and 6 h of the box's own."""
    ran = day(BANK + FULL.format(18) + BOX, cold_box())
    usable = ran.draws.number("power.bank.usable_share")[0, 0]
    assert ran.daily("power.away_bank_time")[0] / 3600 == pytest.approx(200 * usable / 2, rel=1e-6)
    more = ran.daily("power.away_food_time")[0] - ran.daily("power.away_bank_time")[0]
    assert more / 3600 == pytest.approx(6.0)


def test_power_that_stops_in_the_morning_has_the_day_s_sun_before_it(day):
    panels = '[power.solar]\npeak_power = "60 W ± 0 W"\n'
    hours = {
        stop: day(BANK + panels + FULL.format(stop) + BOX, cold_box()).daily("power.away_bank_time")[0]
        for stop in (8, 18)
    }
    assert hours[8] != hours[18]
    alone = day(BANK + FULL.format(18) + BOX, cold_box()).daily("power.away_bank_time")[0]
    assert min(hours.values()) > alone


def test_panels_that_outdo_the_box_carry_it_a_fortnight_and_more(day):
    ran = day(BANK + '[power.solar]\npeak_power = "600 W"\n' + FULL.format(18) + BOX, cold_box())
    assert ran.daily("power.away_bank_time")[0] == pytest.approx(14 * 86_400.0)
    card = answer_away.answer(found(ran))
    assert card.urgency is Urgency.FINE
    assert "a fortnight or more" in texts(card)


def test_the_shut_cabin_s_humidity_is_that_of_its_air(day):
    """Against psychrolib at the day's mean air, 2 K warmer and 1 g/kg wetter."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ran = day("[power.shore]\n")
    warm = ran.figures["weather.outdoor_temperature"][0].mean() - 273.15 + 2.0
    wet = ran.figures["weather.outdoor_humidity_ratio"][0].mean() + 0.001
    theirs = psychrolib.GetRelHumFromHumRatio(warm, wet, 101325.0)
    ours = ran.daily("power.away_humidity")[0]
    note("shut cabin humidity, psychrolib", ours, theirs)
    assert ours == pytest.approx(theirs, rel=0.005)


def test_the_card_of_leaving_ends_in_a_list(day):
    ran = day("[climate]\n" + BANK + FULL.format(18) + BOX, cold_box(), air_conditioner(), draws=32)
    card = answer_away.answer(found(ran))
    assert card.urgency is Urgency.WATCH
    assert card.verdict.startswith("If shore power stops at 18:00 the food passes its line after")
    listing = card.pictures[-1]
    assert isinstance(listing, Listing)
    told = " ".join(" ".join(row.cells) for row in listing.rows)
    for thing in ("seacock", "ice box", "bank", "strainer", "gas", "plug and inlet"):
        assert thing in told
    assert "left_alone" in card.hazards


def test_a_boat_without_a_bank_or_a_box_is_told_of_its_damp(day):
    card = answer_away.answer(found(day("[power.shore]\n")))
    assert "humidity" in card.verdict
    assert "ice box" not in card.verdict


# --- casting off ------------------------------------------------------------------------------


def test_the_bank_s_fill_takes_what_others_leave_of_the_charger(day):
    text = BANK + '[power.charger]\ncurrent = "30 A ± 0 A"\n[power.anchor]\nstate_now = "50 % ± 0 %"\n'
    quick = day(text).daily("power.fill_time")[0]
    slow = day(text, ice_box(9.0, 9.0)).daily("power.fill_time")[0]
    into = (30 - 9) * 0.85
    assert slow == pytest.approx(float(bank.fill_seconds(0.5, 0.98, into, 200 * AH, "lead")), rel=1e-6)
    assert quick < slow


def test_the_schedule_is_by_the_clock_and_nothing_clashes_at_its_end(day):
    heater = (
        '[[power.load]]\nname = "water heater"\npower = "2000 W"\nkind = "heater"\nhours = ["18:00-19:00"]\n'
        'share = "100 % ± 0 %"\n'
    )
    text = (
        "[climate]\n"
        + QUIET
        + "[power.shore]\n"
        + STIFF
        + "[power.bank]\n"
        + heater
        + '[power.anchor]\nleave_at = "10 h"\n'
        + BOX
    )
    ran = day(text, cold_box(), air_conditioner(unit_current=14.0), draws=16)
    card = answer_casting_off.answer(found(ran))
    rows = [row.cells for row in card.pictures[0].rows]
    what = [cells[1] for cells in rows]
    assert what[0].startswith("Ice box")
    assert rows[0][0] == "22:00"  # twelve hours before ten
    assert what[-1] == "Cast off"
    assert rows[-1][0] == "10:00"
    heater_on = next(cells for cells in rows if cells[1].startswith("Water heater"))
    assert heater_on[0] == "08:30"  # an hour of it, done half an hour before the cord
    unit = next(cells for cells in rows if cells[1].startswith("Air conditioner"))
    assert "until 08:30" in unit[2]  # 14 A and 17 A must not run together on a 30 A post


def test_a_bank_that_cannot_be_full_in_time_is_told(day):
    text = BANK + '[power.charger]\ncurrent = "3 A"\n[power.anchor]\nstate_now = "30 %"\nleave_at = "6 h"\n'
    card = answer_casting_off.answer(found(day(text, draws=16)))
    assert card.urgency is Urgency.WATCH
    assert card.verdict.startswith("Not full by 06:00")


# --- one thing more ---------------------------------------------------------------------------


def ask(day, more, loads="", draws=64):
    return answer_ask.answer(found(day(BANK + loads + "[power.ask]\n" + more, draws=draws)))


def test_unasked_it_tells_what_there_is_to_spend(day):
    card = answer_ask.answer(found(day(BANK)))
    assert card.urgency is Urgency.FINE
    assert card.verdict.startswith("To spare tonight: 100 W for")


def test_the_three_answers_are_energy_power_and_recovery(day):
    card = ask(day, 'name = "pump"\npower = "60 W"\nhours = "2 h"\n', "[power.solar]\n")
    said = [reason.text for reason in card.reasons]
    assert said[0].startswith("Energy: at dawn")
    assert said[1].startswith("Power: ")
    assert said[2].startswith("Recovery: tomorrow's sun")
    assert "pump for 2.0 h" in card.verdict


def test_a_thing_the_night_cannot_carry_is_a_no_by_energy(day):
    card = ask(day, 'name = "heater"\npower = "500 W"\nhours = "8 h"\n')
    assert card.urgency is Urgency.ACT
    assert card.verdict.startswith("No to heater for 8.0 h")


def test_a_start_the_inverter_cannot_give_is_a_no_by_power(day):
    more = 'name = "saw"\npower = "600 W"\nhours = "0.2 h"\nstart = "3000 W"\npath = "inverter"\n'
    card = ask(day, more, '[power.inverter]\npower = "1500 W"\n')
    assert card.urgency is Urgency.ACT
    assert "3000 W at once, and the inverter gives 1500 W" in card.verdict


def test_without_sun_a_yes_is_for_tonight_alone(day):
    card = ask(day, 'name = "fan"\npower = "20 W"\nhours = "3 h"\n')
    assert card.urgency is Urgency.WATCH
    assert "tonight, not every night" in card.verdict


def test_what_it_takes_is_its_amps_for_its_hours_at_a_light_load(day):
    """20 W for 3 h at 12.5 V are 4.8 Ah: below the 20-hour rate, so nothing by Peukert."""
    ran = day(BANK + '[power.ask]\npower = "20 W ± 0 W"\nhours = "3 h ± 0 h"\n')
    assert ran.daily("power.ask_charge")[0] / 3600 == pytest.approx(4.8)
    left = ran.daily("power.dawn_state_of_charge")[0] - ran.daily("power.ask_dawn")[0]
    assert left == pytest.approx(4.8 / 200)


def test_what_it_takes_is_its_own_beside_what_else_is_on(day):
    """60 W beside it take what they took without it: 20 W for 3 h are 4.8 Ah still, all below the rate."""
    other = '[[power.load]]\nname = "fan"\npower = "60 W ± 0 W"\nwhere = "bank"\nshare = "100 % ± 0 %"\n'
    ran = day(BANK + other + '[power.ask]\npower = "20 W ± 0 W"\nhours = "3 h ± 0 h"\n')
    assert ran.daily("power.ask_charge")[0] / 3600 == pytest.approx(4.8)


def test_what_the_sun_puts_back_is_told_on_its_low_side(day):
    ran = day(BANK + '[power.solar]\n[power.ask]\npower = "200 W"\nhours = "5 h"\n', draws=128)
    seen = found(ran)
    low = np.percentile(ran.daily("power.ask_recovery")[1:], 25)
    assert f"on a poor day (one in four) {seen.say(low, 'percent')} or less" in texts(
        answer_ask.answer(seen)
    )


def test_a_hard_load_costs_more_than_its_amp_hours(day):
    ran = day(BANK + '[power.ask]\npower = "1000 W ± 0 W"\nhours = "1 h ± 0 h"\n')
    assert ran.daily("power.ask_charge")[0] / 3600 > 1.3 * 1000 / 12.5


@pytest.mark.parametrize(("chemistry", "slow"), [("lead", True), ("lithium", False)])
def test_only_lead_is_said_to_have_a_slow_last_tenth(day, chemistry, slow):
    ran = day(QUIET + f'[power.shore]\n[power.bank]\nchemistry = "{chemistry}"\n')
    assert ("last tenth" in texts(answer_casting_off.answer(found(ran)))) is slow


def test_a_water_heater_on_the_lighter_leg_is_in_the_plan_all_the_same(day):
    text = QUIET + '[power.shore]\nlegs = "two"\n' + STIFF + "[power.bank]\n"
    text += '[[power.load]]\nname = "water heater"\npower = "1500 W"\nkind = "heater"\nleg = "two"\n'
    text += 'hours = ["06:00-07:30"]\nshare = "100 % ± 0 %"\n'
    text += '[[power.load]]\nname = "long"\npower = "2000 W"\n'
    ran = day(text)
    assert ran.daily("power.load_hours.water_heater")[0] == pytest.approx(1.5 * 3600)
    assert answer_casting_off.heater_hours(found(ran)) == [("water heater", 1.5)]
