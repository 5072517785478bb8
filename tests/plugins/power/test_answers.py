"""The three cards: what they say, how sure, and what they draw."""

import numpy as np
import pytest

from console.contract import Bars, Curve, Stack, Urgency
from console.engine.run import run_day
from plugins.power import answer_anchor, answer_inlet, answer_wire
from plugins.power.phrases import often

from .conftest import QUIET, STIFF, air_conditioner, boat_of, found, ice_box

HEATER = """
[[power.load]]
name = "water heater"
power = "1500 W"
hours = ["18:00-20:00"]
share = "100 % ± 0 %"
kind = "heater"
"""
BIG_UNIT = {"run_share": 0.95, "unit_current": 14.5, "unit_power": 1500.0}


def load(name, amps, hours):
    return (
        f'[[power.load]]\nname = "{name}"\ncurrent = "{amps} A ± 0 A"\nshare = "100 % ± 0 %"\n'
        f'hours = ["{hours}"]\nkind = "heater"\n'
    )


def inlet(ran):
    return answer_inlet.answer(found(ran))


def texts(answer):
    return " ".join([answer.verdict, answer.next, *(reason.text for reason in answer.reasons)])


# --- the inlet --------------------------------------------------------------------------------


def test_three_hours_over_the_line_are_said_to_cook_the_plug(day):
    evening = HEATER.replace("18:00-20:00", "18:00-21:00")
    ran = day("[climate]\n[power.shore]\n" + evening, air_conditioner(**BIG_UNIT), draws=64)
    card = inlet(ran)
    assert card.urgency == Urgency.ACT
    assert "for three hours is over the 24 A" in card.verdict
    assert "no breaker will trip" in card.verdict
    assert "the plug will cook" in card.verdict
    assert card.sure is not None
    assert card.sure > 0.5


def test_30_and_30_and_12_amps_must_warn(day):
    """Mean 24 A over three hours is just at the line, and 30 A for two hours is no comfort."""
    text = QUIET + "[power.shore]\n" + STIFF
    text += load("one", 30, "18:00-20:00") + load("two", 12, "20:00-21:00")
    ran = day(text)
    assert ran.daily("power.shore_continuous")[0] == pytest.approx(24.0, abs=0.1)
    card = inlet(ran)
    assert card.urgency <= Urgency.WATCH
    assert "over the 24 A" in card.verdict


def test_a_day_near_the_line_says_how_often_it_is_over(day):
    ran = day("[climate]\n[power.shore]\n" + HEATER, air_conditioner(**BIG_UNIT), draws=64)
    card = inlet(ran)
    assert card.urgency == Urgency.WATCH
    assert card.sure is not None
    assert f"{often(1 - card.sure)} it is over" in texts(card)


def test_29_amps_in_one_hour_alone_still_warn(day):
    ran = day(QUIET + "[power.shore]\n" + STIFF + load("one", 29, "18:00-19:00"))
    card = inlet(ran)
    assert card.urgency == Urgency.WATCH
    assert "from 18:00" in card.verdict


def test_an_hour_over_the_breaker_is_said_to_trip_it(day):
    text = (
        QUIET + "[power.shore]\n" + STIFF + load("one", 20, "18:00-19:00") + load("two", 18, "18:00-19:00")
    )
    card = inlet(day(text))
    assert card.urgency == Urgency.ACT
    assert "it will trip" in card.verdict
    assert "One and two must not run together" in texts(card)


def test_fits_is_never_said_to_be_safe(day):
    card = inlet(day(QUIET + "[power.shore]\n" + load("one", 10, "18:00-19:00")))
    assert card.verdict == "Within 24 A, if the contacts are good: feel the plug after an hour."
    assert card.urgency == Urgency.UNKNOWN
    assert card.sure is None  # "not known" beside "almost certain" would say two things
    assert "safe" not in texts(card).lower()
    assert "inlet_overheating" in card.hazards


def test_contacts_are_unknown_until_stated(day):
    assert "contacts are unknown" in texts(inlet(day("[power.shore]\n")))
    known = inlet(day('[power.shore]\ncontact_resistance = "3 mohm"\n'))
    assert "contacts are unknown" not in texts(known)
    assert known.urgency == Urgency.FINE


def test_a_kettle_that_trips_only_when_all_is_on_is_told(day):
    kettle = load("kettle", 12.5, "18:00-19:00").replace("100 % ± 0 %", "5 % ± 0 %")
    text = QUIET + "[power.shore]\n" + STIFF + load("one", 20, "17:00-19:00") + kettle
    card = inlet(day(text))
    assert card.urgency == Urgency.WATCH
    assert "on at once" in card.verdict


def test_three_that_only_together_trip_are_named(day):
    text = QUIET + "[power.shore]\n" + STIFF
    for name, amps in (("one", 13), ("two", 12), ("three", 11)):
        text += load(name, amps, "18:00-18:10")
    card = inlet(day(text))
    assert card.next.startswith("One, two and three together take 36 A")
    assert "leave one off (18:00 to 19:00)" in card.next


def test_a_kettle_too_large_for_the_post_is_told_alone(day):
    """Common practice: a kettle of up to 13 A trips a 10 A post by itself."""
    kettle = load("kettle", 12.5, "07:00-07:10")
    card = inlet(
        day(QUIET + '[power.shore]\ninlet_current = "16 A"\n' + kettle + load("fan", 1, "07:00-08:00"))
    )
    assert card.urgency == Urgency.ACT
    assert card.verdict.startswith("The kettle alone takes 1")
    assert "10 A breaker" in card.verdict
    assert card.verdict.endswith("it trips sooner or later.")
    assert "must not run together" not in texts(card)
    assert card.next.startswith("Leave the kettle off on this post")


def test_a_draw_without_a_number_leaves_the_cards_readable(day):
    """Another plugin's estimate may fail in a draw; the sentences stay whole."""

    def current(run):
        amps = np.full((run.draws, 1), 12.0)
        amps[-1] = np.nan
        return amps

    boat = boat_of(
        '[climate]\n[power.shore]\ncontact_resistance = "3 mohm"\n[power.bank]\n'
        "[power.inverter]\nair_conditioner = true\n[power.solar]\n",
        air_conditioner(unit_current=current, unit_power=lambda r: 100 * current(r)),
    )
    ran = run_day(boat, 32)
    for card in (inlet(ran), anchor(ran)):
        assert "–" not in texts(card).replace(" – ", "")
        assert "nan" not in texts(card)
        assert card.sure is not None
        assert np.isfinite(card.sure)
        for picture in card.pictures:
            assert "nan" not in repr(picture)


def test_a_usual_day_without_a_number_is_never_called_within(day):
    hours = np.where(np.arange(24) == 15, np.nan, 12.0)

    def first(run):
        return np.where(np.arange(run.draws)[:, None] == 0, hours, 12.0)

    text = "[climate]\n[power.shore]\n[power.bank]\n[power.inverter]\nair_conditioner = true\n"
    ran = run_day(boat_of(text, air_conditioner(unit_current=first, unit_power=first)), 8)
    for card in (inlet(ran), anchor(ran)):
        assert card.urgency == Urgency.UNKNOWN
        assert card.verdict.startswith("Cannot be told")


def test_moving_a_load_is_offered_with_what_it_does(day):
    cool_night = np.where((np.arange(24) >= 9) & (np.arange(24) < 23), 1.0, 0.3)
    unit = air_conditioner(run_share=cool_night, unit_current=14.0)
    ran = day("[climate]\n" + QUIET + "[power.shore]\n" + HEATER, unit)
    card = inlet(ran)
    assert card.next.startswith("Move the hours of water heater")
    # Do as it says and see.
    hour = int(card.next.split("(")[1][:2])
    moved = HEATER.replace("18:00-20:00", f"{hour:02d}:00-{(hour + 2) % 24:02d}:00")
    then = day("[climate]\n" + QUIET + "[power.shore]\n" + moved, unit)
    told = float(card.next.rsplit("to ", 1)[1].split(" ")[0])
    assert then.daily("power.shore_continuous")[0] == pytest.approx(told, abs=0.6)
    assert then.daily("power.shore_continuous")[0] < ran.daily("power.shore_continuous")[0]


def test_the_worst_hour_s_reasons_have_the_shares_of_the_stack(day):
    ran = day("[climate]\n[power.shore]\n" + HEATER, air_conditioner(), ice_box())
    shares = [reason.share for reason in inlet(ran).reasons if reason.share is not None]
    assert sum(shares) == pytest.approx(1.0, abs=0.06)
    assert shares == sorted(shares, reverse=True)


def test_the_stack_marks_the_hours_over_the_line(day):
    ran = day("[climate]\n[power.shore]\n" + HEATER, air_conditioner(**BIG_UNIT))
    stack = next(picture for picture in inlet(ran).pictures if isinstance(picture, Stack))
    total = np.sum([layer.values for layer in stack.layers], axis=0)
    assert stack.lines[0].values[0] == pytest.approx(24.0)
    assert stack.lines[1].values[0] == pytest.approx(30.0)
    assert stack.marked == tuple(np.array(stack.hours)[total > 24.0])
    assert {18.5, 19.5} <= set(stack.marked)


def test_outside_the_us_the_line_is_our_own(day):
    card = inlet(day('[power.shore]\ninlet_current = "16 A"\n'))
    assert "our own caution" in texts(card)
    assert "post breaker" in texts(card)


def test_low_volts_are_said(day):
    assert "stop the motors" in texts(inlet(day('[power.shore]\nvoltage = "101 V"\n')))
    assert "low; watch the meter" in texts(inlet(day('[power.shore]\nvoltage = "107 V"\n')))


def test_a_load_that_is_counted_by_itself_is_pointed_out(day):
    card = inlet(day('[power.shore]\n[[power.load]]\nname = "Charger"\npower = "300 W"\n', ice_box()))
    assert "counted by itself as well" in texts(card)


def test_a_name_is_text_whatever_is_in_it(day):
    name = "[bold]kettle[/] {x}"
    ran = day(f'[power.shore]\n[[power.load]]\nname = "{name}"\npower = "900 W"\nhours = ["07:00-08:00"]\n')
    assert name in texts(inlet(ran))


def test_no_key_of_a_figure_is_shown(day):
    ran = day(
        "[climate]\n[power.shore]\n[power.bank]\n[power.solar]\n" + HEATER,
        air_conditioner(**BIG_UNIT),
        ice_box(),
        draws=32,
    )
    for card in (inlet(ran), anchor(ran)):
        assert "power." not in texts(card)
        assert "air_conditioner" not in texts(card)
        assert "draws" not in texts(card)


# --- at anchor --------------------------------------------------------------------------------

FAN = '[[power.load]]\nname = "fan"\npower = "{} W ± 0 W"\nwhere = "bank"\nshare = "100 % ± 0 %"\n'
BANK = QUIET + '[power.bank]\ncapacity = "200 A*h"\n'


def anchor(ran):
    return answer_anchor.answer(found(ran))


def test_a_light_night_is_a_yes(day):
    ran = day(BANK + FAN.format(10), draws=64)
    card = anchor(ran)
    assert card.urgency == Urgency.FINE
    assert card.verdict.startswith("Yes")
    assert card.sure is not None
    assert card.sure >= 0.9


def test_a_yes_says_for_how_many_nights(day):
    """8 W of a bank of 200 Ah: spare at dawn over what a day takes that the sun does not put back."""
    lone = day(BANK + FAN.format(8))
    spare, use = lone.daily("power.dawn_amp_hours")[0], lone.daily("power.dc_amp_hours_per_day")[0] * 86400
    assert f"Yes, for about {1 + int(spare / use)} nights" in anchor(lone).verdict
    assert "no sun puts it back" in anchor(lone).verdict
    sunny = anchor(day(BANK + FAN.format(10) + '[power.solar]\npeak_power = "400 W"\n'))
    assert sunny.verdict.startswith("Yes: ")
    assert "the sun puts the day back" in sunny.verdict


def test_a_heavy_night_is_a_no_and_says_when(day):
    ran = day(BANK + FAN.format(150), draws=64)
    card = anchor(ran)
    assert card.urgency == Urgency.ACT
    assert card.verdict.startswith("No: below 55 % by ")
    hour = int(card.verdict.split("by ")[1][:2])
    states = ran.figures["power.state_of_charge"][0]
    assert states[hour - 1] < 0.55 <= states[hour - 2]


def test_a_doubtful_night_says_how_often_it_is_short(day):
    ran = day(BANK + FAN.format(42), draws=256)
    card = anchor(ran)
    assert card.urgency == Urgency.WATCH
    assert "in ten it is short" in card.verdict
    assert card.sure is not None
    assert 0.5 < card.sure < 0.9


def test_amps_the_bank_may_not_give_are_a_no(day):
    card = anchor(day(BANK + 'current_limit = "50 A"\n' + FAN.format(900) + 'hours = ["18:00-18:10"]\n'))
    assert card.urgency == Urgency.ACT
    assert "at once, and the bank may give 50 A" in card.verdict


def test_watts_the_inverter_cannot_give_are_a_no(day):
    text = BANK + '[power.inverter]\npower = "500 W"\nleft_on = false\n' + FAN.format(900)
    card = anchor(day(text + 'path = "inverter"\nhours = ["18:00-18:10"]\n'))
    assert card.verdict.startswith("No: 900 W at once, and the inverter gives 500 W")


def test_a_steady_appliance_straight_on_the_bank_is_flagged(day):
    steady = FAN.format(20) + 'supply = "steady"\n'
    assert "steady supply" in texts(anchor(day(BANK + steady)))
    assert "steady supply" not in texts(anchor(day(BANK + steady + 'path = "regulated_12"\n')))


def test_tomorrow_s_sun_is_given_on_its_low_side(day):
    ran = day(BANK + FAN.format(40) + "[power.solar]\n", draws=128)
    low = np.percentile(ran.daily("power.recovery")[1:], 25)
    assert f"one in four) only {low * 100:.0f} %" in texts(anchor(ran))


def test_what_the_air_conditioner_would_take_is_told_but_not_counted(day):
    ran = day("[climate]\n" + BANK + FAN.format(10), air_conditioner())
    assert "air conditioner from the bank would take 118 A" in texts(anchor(ran))
    assert ran.daily("power.dc_amp_hours_per_day")[0] == pytest.approx(10 / 12.5)


def test_generators_are_cautioned_at_anchor(day):
    assert "carbon_monoxide" in anchor(day(BANK)).hazards


def test_the_curve_starts_full_at_sunset_and_has_its_range_around_it(day):
    ran = day(BANK + FAN.format(48) + "[power.solar]\n", draws=64)
    curve = anchor(ran).pictures[0]
    assert isinstance(curve, Curve)
    (charge,) = curve.series
    assert curve.x[0] == 0.0
    assert curve.x[-1] == 86400.0
    assert charge.values[0] == pytest.approx(0.92)
    assert min(charge.values[:17]) == pytest.approx(ran.daily("power.dawn_state_of_charge")[0], abs=1e-9)
    assert all(lo <= v <= hi for lo, v, hi in zip(charge.low, charge.values, charge.high, strict=True))


# --- wire -------------------------------------------------------------------------------------


def wire(ran):
    return answer_wire.answer(found(ran))


def circuit(name="feed", current="5 A", length="18 ft", gauge="12 AWG", more=""):
    return f'[[power.circuit]]\nname = "{name}"\ncurrent = "{current}"\nlength = "{length}"\ngauge = "{gauge}"\n{more}\n'


def test_no_circuits_is_not_aboard_with_the_line_that_adds_one(day):
    card = wire(day(""))
    assert card.urgency == Urgency.NOT_ABOARD
    assert "[[power.circuit]]" in card.next


def test_a_hundred_amps_over_five_feet_pass_the_drop_and_burn_all_the_same(day):
    ran = day(circuit("winch", "100 A", "5 ft", "8 AWG", 'current_limit = "70 A"'))
    assert ran.daily("power.circuit_drop.winch")[0] < 0.10
    card = wire(ran)
    assert card.urgency == Urgency.ACT
    assert "can burn" in card.verdict
    assert "wire_heat" in card.hazards


def test_without_a_current_limit_only_the_drop_is_claimed(day):
    card = wire(day(circuit()))
    assert "drop only, heat not checked" in card.verdict
    known = wire(day(circuit(more='current_limit = "25 A"')))
    assert "not checked" not in texts(known)


def test_a_thin_critical_run_names_the_size_that_will_do(day):
    card = wire(day(circuit("bilge pump", "8 A", "25 ft", "16 AWG", "critical = true")))
    assert card.urgency == Urgency.ACT
    assert "3.0 % is the practice for what must not fail" in card.verdict
    assert "Fit 8 AWG" in card.next


def test_the_size_named_passes_when_fitted(day):
    card = wire(day(circuit("bilge pump", "8 A", "25 ft", "16 AWG", "critical = true")))
    gauge = card.next.split("Fit ")[1].split(" (")[0]
    again = wire(day(circuit("bilge pump", "8 A", "25 ft", gauge, "critical = true")))
    assert again.urgency >= Urgency.WATCH
    assert "is the practice for" not in again.verdict


def test_the_metric_size_named_is_sold_and_thicker_than_what_is_there(day):
    for gauge in ("16 AWG", "12 AWG", "2.5 mm2", "4 mm2"):
        card = wire(day(circuit("bilge pump", "8 A", "25 ft", gauge, "critical = true")))
        there = {"16 AWG": 1.31, "12 AWG": 3.31, "2.5 mm2": 2.5, "4 mm2": 4.0}[gauge]
        named = float(card.next.split("(")[1].split(" mm² metric")[0])
        assert named > there
        assert named in (4.0, 6.0, 10.0, 16.0)  # IEC 60228


def test_a_solenoid_that_will_not_pull_in_is_offered_a_relay(day):
    card = wire(day(circuit("windlass control", "10 A", "40 ft", "16 AWG", 'least_voltage = "9.5 V"')))
    assert card.urgency == Urgency.ACT
    assert "needs 9.50 V" in card.verdict
    assert "relay near the battery" in card.next


def test_a_bus_bar_over_its_rating_is_told(day):
    runs = circuit("a", "30 A", "2 ft", "6 AWG") + circuit("b", "40 A", "2 ft", "6 AWG")
    over = wire(day('[power]\nbus_bar_rating = "60 A"\n' + runs))
    assert over.urgency == Urgency.ACT
    assert "70 A on the bus bar, over its 60 A" in over.verdict
    assert wire(day('[power]\nbus_bar_rating = "100 A"\n' + runs)).urgency == Urgency.FINE


def test_the_worst_run_comes_first(day):
    card = wire(day(circuit("good", "1 A") + circuit("bad", "20 A", "40 ft", "16 AWG")))
    assert card.reasons[0].text.startswith("Bad")
    assert card.figure == "power.circuit_drop.bad"
    bars = next(picture for picture in card.pictures if isinstance(picture, Bars))
    assert bars.bars[0].value > 1.0 > bars.bars[1].value


# --- no claim beyond what is counted ----------------------------------------------------------


def test_a_yes_without_the_air_conditioner_says_so(day):
    text = "[climate]\n" + BANK + FAN.format(10)
    assert anchor(day(text, air_conditioner())).verdict.startswith("Yes, without the air conditioner")
    doubtful = "[climate]\n" + BANK + FAN.format(42)
    said = anchor(day(doubtful, air_conditioner(), draws=256)).verdict
    assert said.startswith("On a usual night, without the air conditioner")
    on_it = '[power.inverter]\nair_conditioner = true\nair_conditioner_hours = ["21:00-21:05"]\n'
    assert "without" not in anchor(day(text + on_it, air_conditioner())).verdict


def test_a_bank_low_at_sunset_is_said_to_be_so(day):
    card = anchor(day(BANK + 'state_at_sunset = "40 %"\n' + FAN.format(8)))
    assert card.verdict.startswith("No: below 55 % already at sunset")


def test_nothing_on_the_bank_is_not_put_back_by_a_sun_that_is_not_there(day):
    card = anchor(day(BANK))
    assert "sun" not in card.verdict
    assert "nothing that is listed takes from it" in card.verdict


def test_a_sun_that_does_on_most_days_is_not_said_to_do_on_all(day):
    card = anchor(day(BANK + FAN.format(8) + '[power.solar]\npeak_power = "75 W"\n', draws=256))
    assert card.verdict.startswith("Yes: ")
    assert "a usual day's sun puts the day back" in card.verdict
    assert "in ten it does not" in card.verdict


def test_two_numbers_said_alike_are_not_said_to_be_one_over_the_other(day):
    text = QUIET + "[power.shore]\n" + STIFF + load("one", 24.02, "00:00-24:00")
    card = inlet(day(text))
    assert "24 A for three hours is a shade over the 24 A" in card.verdict


def test_one_that_trips_the_breaker_alone_is_as_sure_as_its_own_amps(day):
    text = QUIET + "[power.shore]\n" + STIFF
    big = '[[power.load]]\nname = "welder"\ncurrent = "31 A ± 3 A"\nhours = ["10:00-10:20"]\n'
    small = load("kettle", 12, "10:00-10:20").replace('"100 % ± 0 %"', '"30 % ± 0 %"')
    ran = day(text + big + 'share = "30 % ± 0 %"\nkind = "heater"\n' + small, draws=128)
    card = inlet(ran)
    assert "The welder alone" in card.verdict
    largest = ran.figures["power.running_current.welder"].max(axis=-1)[1:]
    assert card.sure == pytest.approx(np.mean(largest > 30.0))
    assert card.sure < 0.9


SOLENOID = """
[power.bank]
[[power.circuit]]
name = "solenoid"
current = "2 A"
length = "60 ft"
gauge = "16 AWG"
least_voltage = "{}"
"""


def test_the_size_that_is_said_gives_the_volts_that_are_needed(day):
    card = answer_wire.answer(found(day(SOLENOID.format("11.2 V"))))
    assert "needs 11.2 V" in card.verdict
    # 2 A · 12/11.5 over 120 ft with 0.3 V to lose: 11.2 · 2.09 · 120 / 0.3 = 9,310 circular mils at 40 °C.
    assert "else fit 10 AWG" in card.next


def test_no_wire_is_said_to_cure_what_the_bank_itself_lacks(day):
    card = answer_wire.answer(found(day(SOLENOID.format("11.6 V"))))
    assert "no wire cures it" in card.next
    assert "AWG" not in card.next


def test_the_ice_box_is_never_asked_to_run_fewer_hours(day):
    ran = day(QUIET + '[power.bank]\ncapacity = "100 A*h"\n', ice_box(running=10.0, mean=6.0))
    said = answer_anchor.answer(found(ran)).next
    assert "ice box" in said
    assert "no fewer hours" in said
