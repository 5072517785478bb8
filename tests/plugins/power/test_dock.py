"""Two legs, the sun at the dock, prices, pairs, and what is not listed."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from console.contract import Listing, Urgency
from console.engine.changes import altered
from console.engine.run import run_day
from console.engine.views import Draws
from plugins.power import answer_inlet, loads, shore
from plugins.power.changes import ACTIONS
from plugins.power.inlet import clashing_pairs, inlet_of
from tests.published import note

from .conftest import QUIET, STIFF, air_conditioner, boat_of, found, ice_box
from .test_answers import load, texts

SIZE = st.floats(0, 4000)


@given(SIZE, SIZE, st.floats(0, 0.2), st.floats(0.0, 0.3))
def test_two_legs_that_share_a_neutral_are_kirchhoff_s(one, two, element, resistance):
    """Against scipy.optimize.fsolve: hot and neutral alike, the neutral carries the difference."""
    volts = shore.split_phase_voltages(120.0, resistance, (one, two), (element, 0.0))

    def left(v):
        i = one / v[0] + element * v[0], two / v[1]
        half = resistance / 2
        return (
            120 - half * i[0] - half * (i[0] - i[1]) - v[0],
            120 - half * i[1] - half * (i[1] - i[0]) - v[1],
        )

    root, _, fine, _ = fsolve(left, (118.0, 118.0), full_output=True)
    if fine == 1 and min(root) > 90:
        note("two legs, Kirchhoff by scipy", float(volts[0]), root[0])
        assert [float(v) for v in volts] == pytest.approx(list(root), abs=2e-3)


def test_balanced_legs_lose_half_of_what_one_alone_loses():
    alone = 120 - float(shore.onboard_voltage(120.0, 0.1, 2400.0))
    both = 120 - float(shore.split_phase_voltages(120.0, 0.1, (2400.0, 2400.0), (0.0, 0.0))[0])
    assert both == pytest.approx(alone / 2, rel=0.02)


def test_the_light_leg_rises_where_the_other_is_loaded():
    one, two = shore.split_phase_voltages(120.0, 0.1, (3600.0, 0.0), (0.0, 0.0))
    assert float(one) < 120 < float(two)


def test_two_equal_loads_on_two_legs_lose_in_the_cord_what_one_hot_wire_each_loses(day):
    """20 A out by one hot wire and back by the other: I²R of both hots, nothing in the neutral."""
    stiff = STIFF.replace('contact_resistance = "0 mohm"', 'contact_resistance = "100 mohm"')
    heads = QUIET + '[power.shore]\nlegs = "two"\n' + stiff
    each = "".join(load(leg, 20, "00:00-24:00") + f'leg = "{leg}"\n' for leg in ("one", "two"))
    ran = day(heads + each)
    amps = ran.daily("power.shore_current")[0]
    lost = ran.daily("power.energy_per_day")[0] - 2 * 20 * 120
    # The elements take a little less at the lower volts: their stated watts are counted whole.
    assert lost == pytest.approx(amps**2 * 0.1, rel=0.05)


def test_panels_at_the_dock_take_their_part_of_the_charger(day):
    base = QUIET + "[power.shore]\n[power.bank]\n"
    without = day(base, ice_box(5.0, 4.0)).daily("power.energy_per_day")[0]
    small = day(base + '[power.solar]\npeak_power = "60 W"\n', ice_box(5.0, 4.0))
    large = day(base + '[power.solar]\npeak_power = "3000 W"\n', ice_box(5.0, 4.0))
    saved = small.daily("power.solar_amp_hours_per_day")[0] * 12.5 / 0.85
    assert without - small.daily("power.energy_per_day")[0] == pytest.approx(saved, rel=0.02)
    noon = large.figures["power.load_current.ice_box"][0, 12]
    assert noon == 0.0
    assert large.daily("power.energy_per_day")[0] > 0  # the nights are the dock's


def test_panels_fill_a_low_bank_before_the_dock_does(day):
    base = QUIET + '[power.shore]\n[power.bank]\nrecharge = "30 %"\nrecharge_from = "08:00"\n'
    without = day(base).daily("power.energy_per_day")[0]
    assert day(base + "[power.solar]\n").daily("power.energy_per_day")[0] < 0.8 * without


@pytest.mark.parametrize(
    ("fields", "limit", "line", "volts"),
    [
        ('inlet_current = "30 A"', 30, 24, 117),
        ('legs = "two"', 50, 40, 117),
        ('inlet_current = "16 A"\npost_breaker = "16 A"', 16, 12.8, 228),
        ('inlet_current = "32 A"', 32, 25.6, 228),
    ],
)
def test_each_kind_of_inlet_has_its_limit_its_line_and_its_volts(day, fields, limit, line, volts):
    """120 V 30 A, 120/240 V 50 A, 230 V 16 A and 32 A: ratings IEC 60309 and NEMA, 80 % by NEC 210.19."""
    ran = day(f"[power.shore]\n{fields}\n")
    card = answer_inlet.answer(found(ran))
    assert ran.daily("power.shore_limit")[0] == limit
    stack = card.pictures[0]
    assert stack.lines[0].values[0] == pytest.approx(line)
    assert ran.draws.number("power.shore.voltage")[0, 0] == volts


def test_a_price_becomes_a_cost_a_day(day):
    text = (
        QUIET
        + '[power.shore]\ntariff = "0.30 per kWh"\nmoney = "shells"\n'
        + STIFF
        + load("one", 10, "00:00-24:00")
    )
    ran = day(text)
    kwh = ran.daily("power.energy_per_day")[0] * 24 / 1000
    assert ran.daily("power.cost_per_day.shore")[0] * 86_400 == pytest.approx(0.30 * kwh)
    assert "in shells" in texts(answer_inlet.answer(found(ran)))
    assert "price" not in texts(answer_inlet.answer(found(day("[power.shore]\n"))))


def test_a_nameplate_sum_is_named_common_practice_and_moves_nothing(day):
    text = (
        QUIET + "[power.shore]\n" + STIFF + load("one", 20, "08:00-09:00") + load("two", 10, "18:00-19:00")
    )
    ran = day(text)
    assert ran.daily("power.nameplate_current")[0] == pytest.approx(25.0, rel=0.02)
    assert ran.daily("power.shore_together")[0] == pytest.approx(20.0, rel=0.02)
    assert "Common practice, no source" in texts(answer_inlet.answer(found(ran)))


def test_what_is_not_listed_may_be_on_for_minutes(day):
    ran = day(
        QUIET + '[power]\nunlisted_current = "12 A"\n'.replace("[power]\n", "") + "[power.shore]\n" + STIFF
    )
    assert ran.daily("power.shore_together")[0] == pytest.approx(12.0, rel=0.02)
    assert ran.daily("power.shore_continuous")[0] == pytest.approx(1.2, rel=0.02)


def test_lower_volts_of_the_dock_lower_the_supply_with_and_without_a_shore_table(day):
    for shore_table in ("", "[power.shore]\n"):
        usual = day(f"[climate]\n{shore_table}", air_conditioner()).daily("power.supply_voltage")[0]
        low = day(f'[power]\nsupply_share = "85 %"\n[climate]\n{shore_table}', air_conditioner())
        assert low.daily("power.supply_voltage")[0] == pytest.approx(0.85 * usual, rel=0.02)
        assert low.daily("power.expected_supply_voltage")[0] == low.daily("power.supply_voltage")[0]


LISTED = (
    ("one", 13, "06:10-08:05"), ("two", 12.5, "07:30-09:00"), ("three", 14, "08:10-08:20"),
    ("four", 6, "00:00-24:00"), ("five", 11, "18:00-18:10"), ("six", 13, "18:15-18:40"), ("seven", 31, "12:00-12:10"),
)  # fmt: skip


def test_clashing_pairs_are_those_of_a_search_over_all_subsets_and_slots(day):
    """Brute force over every subset at every five minutes: a set clashes if it is on together and over
    the line, and the least such sets of two are the card's pairs, at the same hours."""
    text = QUIET + "[power.shore]\n" + STIFF + "".join(load(*each) for each in LISTED)
    ran = day(text)
    seen = found(ran)
    inlet = inlet_of(seen)
    line, breaker = float(inlet.line[0]), float(inlet.breaker[0])
    amps = {name: ran.figures[f"power.running_current.{name}"][0] for name, _, _ in LISTED}
    on = {
        name: loads.slots_on(loads.clock_intervals([hours]), np.arange(24) + 0.5, 3600.0) > 0
        for name, _, hours in LISTED
    }
    wanted = {}
    alone = {name for name in amps if amps[name].max() > breaker}
    names = [name for name in amps if name not in alone]
    for size in range(2, len(names) + 1):
        for chosen in itertools.combinations(names, size):
            for hour, slot in itertools.product(range(24), range(loads.SLOTS)):
                together = all(on[name][hour, slot] for name in chosen)
                if together and sum(amps[name][hour] for name in chosen) > line * (1 + 1e-9):
                    wanted.setdefault(frozenset(chosen), set()).add(hour)
    pairs = {
        frozenset(pair): set(np.flatnonzero(mask)) for pair, mask in clashing_pairs(seen, inlet).items()
    }
    assert pairs == {chosen: hours for chosen, hours in wanted.items() if len(chosen) == 2}
    assert frozenset(("one", "two")) in pairs
    assert frozenset(("five", "six")) not in pairs  # the same hour, but never together
    assert frozenset(("one", "three")) not in pairs
    # No pair is missed inside a larger set that clashes only through it.
    assert all(any(pair <= chosen for pair in pairs) or len(chosen) > 2 for chosen in wanted)


def test_the_list_of_two_at_once_says_which_may(day):
    text = QUIET + "[power.shore]\n" + STIFF + "".join(load(*each) for each in LISTED)
    card = answer_inlet.answer(found(day(text)))
    listing = next(p for p in card.pictures if isinstance(p, Listing))
    told = {row.cells[0]: row.cells[2] for row in listing.rows}
    assert told["one + two"].startswith("minutes, not hours (07:00 to 09:00")
    assert (
        told["six + five"].startswith("within")
        if "six + five" in told
        else told["five + six"].startswith("within")
    )
    assert "too much by itself" in next(words for pair, words in told.items() if "seven" in pair)
    assert "safe" not in " ".join(told.values())


HEATER = (
    '[[power.load]]\nname = "water heater"\npower = "1500 W"\nkind = "heater"\nhours = ["18:30-20:30"]\n'
)


def test_the_water_heater_may_be_run_from_three_in_the_night():
    evening = np.where((np.arange(24) >= 9) & (np.arange(24) < 23), 1.0, 0.3)
    boat = boat_of("[climate]\n" + QUIET + "[power.shore]\n" + HEATER, air_conditioner(run_share=evening))
    action = next(a for a in ACTIONS if a.key == "heat_water_at_night")
    before = run_day(boat, 16)
    after = run_day(boat, 16, columns=altered(Draws(boat, 16), [("power", action)]))
    on = after.figures["power.load_current.water_heater"][0] > 0
    assert set(np.flatnonzero(on)) == {3, 4}
    assert np.all(after.daily("power.shore_continuous") < before.daily("power.shore_continuous"))
    assert after.daily("power.load_current.water_heater") == pytest.approx(
        before.daily("power.load_current.water_heater"), rel=0.02
    )


@pytest.mark.parametrize(
    ("name", "moved"),
    [
        ("Hot-water tank", True),
        ("the old BOILER", True),
        ("kettle for hot water", False),
        ("hot water pump", False),
        ("toaster", False),
    ],
)
def test_what_heats_a_tank_is_known_by_its_name_however_it_is_called(name, moved):
    text = (
        QUIET
        + '[power]\nhot_water = "night"\n'.replace("[power]\n", "")
        + "[power.shore]\n"
        + load(name, 10, "18:00-19:00")
    )
    ran = run_day(boat_of(text))
    (figure,) = (f for f in ran.figures if f.startswith("power.load_current."))
    assert int(np.argmax(ran.figures[figure][0])) == (3 if moved else 18)


@given(st.integers(0, 1439), st.integers(1, 1400), st.floats(0, 23.75))
def test_hours_moved_to_a_start_keep_their_length_and_begin_there(first, length, hour):
    span = f"{first // 60:02d}:{first % 60:02d}-{(first + length) % 1440 // 60:02d}:{(first + length) % 60:02d}"
    moved = loads.begun_at(loads.clock_intervals([span]), hour)
    assert sum(end - start for start, end in moved) * 60 == pytest.approx(length)
    assert loads.first_start(moved) == pytest.approx(hour)


# --- two legs, adapters, contacts, labels ---------------------------------------------------

ON_TWO = 'leg = "two"\n'
TWO_LEGS = '[power.shore]\nlegs = "two"\n'


def test_what_is_too_much_on_the_lighter_leg_is_told(day):
    """A long modest load makes leg one the heavier over three hours; minutes on leg two trip its breaker."""
    text = QUIET + TWO_LEGS + STIFF + load("long", 20, "00:00-24:00")
    text += load("one", 30, "18:00-18:10") + ON_TWO + load("other", 28, "18:00-18:10") + ON_TWO
    ran = day(text)
    card = answer_inlet.answer(found(ran))
    assert ran.daily("power.shore_continuous")[0] == pytest.approx(20.0, rel=0.02)
    assert ran.daily("power.shore_together")[0] == pytest.approx(58.0, rel=0.03)
    assert card.urgency <= Urgency.WATCH
    assert "One and other must not run together" in texts(card)


def test_things_on_different_legs_are_not_added(day):
    text = (
        QUIET
        + TWO_LEGS
        + STIFF
        + load("one", 30, "18:00-19:00")
        + load("other", 30, "18:00-19:00")
        + ON_TWO
    )
    ran = day(text)
    assert ran.daily("power.shore_together")[0] == pytest.approx(30.0, rel=0.02)
    assert clashing_pairs(found(ran), inlet_of(found(ran))) == {}
    rows = answer_inlet.answer(found(ran)).pictures[-1].rows
    assert any("different legs" in row.cells[2] for row in rows)


def test_three_on_the_second_leg_that_only_together_trip_are_named(day):
    text = QUIET + TWO_LEGS + STIFF + load("long", 15, "00:00-24:00")
    for name in ("ash", "birch", "cedar"):
        text += load(name, 19, "18:00-18:05") + ON_TWO
    said = answer_inlet.answer(found(day(text))).next
    assert all(name in said.lower() for name in ("ash", "birch", "cedar"))
    assert "long" not in said


def test_more_than_an_adapter_is_made_for_is_not_said_to_be_right_for_minutes(day):
    text = QUIET + '[power.shore]\nadapter_current = "15 A"\n' + STIFF
    text += load("one", 10, "18:00-18:10") + load("other", 11, "18:00-18:10")
    card = answer_inlet.answer(found(day(text)))
    assert "no breaker trips" in card.verdict
    assert "must not run together" in texts(card)
    assert "for minutes" not in texts(card)
    assert card.next.startswith("Leave the adapter out")


def test_one_that_is_too_much_for_the_adapter_is_told_alone(day):
    text = QUIET + '[power.shore]\nadapter_current = "15 A"\n' + STIFF + load("kettle", 18, "18:00-18:10")
    card = answer_inlet.answer(found(day(text)))
    assert card.urgency == Urgency.ACT
    assert (
        card.verdict
        == "The kettle alone takes 18 A: more than the 15 A adapter is made for, and no breaker trips."
    )


@pytest.mark.parametrize(
    ("contact", "urgency"), [("50 mohm", Urgency.ACT), ("12 mohm", Urgency.WATCH), ("3 mohm", Urgency.FINE)]
)
def test_contacts_the_owner_states_are_judged_by_their_heat(day, contact, urgency):
    """20 A through 50 mohm is 20 W in a plug, through 12 mohm 5 W, through 3 mohm 1.2 W (I²R)."""
    stiff = STIFF.replace('contact_resistance = "0 mohm"', f'contact_resistance = "{contact}"')
    card = answer_inlet.answer(
        found(day(QUIET + "[power.shore]\n" + stiff + load("one", 20, "08:00-20:00")))
    )
    assert card.urgency == urgency
    if urgency is not Urgency.FINE:
        assert card.next.startswith("Breaker at the post off first")


@pytest.mark.parametrize(
    ("label", "dock", "said"),
    [
        ("115 V", 'inlet_current = "16 A"', "it burns"),
        ("230 V", 'inlet_current = "30 A"', "does not start on it"),
        ("230 V", 'legs = "two"', ""),
        ("208 V", 'legs = "two"', ""),
        ("230 V", 'inlet_current = "16 A"', ""),
        ("115 V", 'inlet_current = "30 A"', ""),
    ],
)  # fmt: skip
def test_an_air_conditioner_for_other_volts_than_the_dock_s_is_stopped(day, label, dock, said):
    text = f'[climate]\nvoltage = "{label}"\n[power.shore]\n{dock}\n'
    card = answer_inlet.answer(found(day(text, air_conditioner(unit_current=3.0))))
    assert ("label asks for" in card.verdict) == bool(said)
    assert said in card.verdict
    assert not said or card.urgency == Urgency.ACT


def test_a_move_that_is_not_enough_says_so(day):
    text = QUIET + "[power.shore]\n" + STIFF + load("long", 26, "00:00-24:00")
    move = load("other", 3, "18:00-20:00") + load("third", 2, "18:00-20:00")
    assert "still too much" in answer_inlet.answer(found(day(text + move))).next
    enough = (
        QUIET
        + "[power.shore]\n"
        + STIFF
        + load("long", 13, "18:00-22:00")
        + load("other", 12, "18:00-22:00")
    )
    assert "still" not in answer_inlet.answer(found(day(enough))).next
