"""The current a wire carries as it lies, and the size that passes both drop and heat."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import Listing, Urgency
from plugins.power import answer_wire, wire
from plugins.power.tables import AMPACITY, GAUGE_NUMBER
from tests.published import note

from .conftest import found

RATINGS = st.sampled_from(sorted(AMPACITY))
AMPS = st.floats(0.5, 290.0)
COUNTS = st.integers(1, 40)

TABLE = {  # 33 CFR 183.425, table 5 (from memory)
    ("105C", 16): 25, ("105C", 12): 45, ("105C", 4): 160, ("105C", -3): 445, ("75C", 10): 40, ("75C", 2): 170,
    ("60C", 14): 20, ("90C", 6): 100,
}  # fmt: skip


@pytest.mark.parametrize(("rating", "gauge"), TABLE)
def test_amps_of_a_single_conductor_are_the_table_s(rating, gauge):
    amps = float(wire.allowable_current(wire.awg_area(gauge), rating))
    note(f"ampacity {rating} {gauge}, 33 CFR 183.425", amps, TABLE[rating, gauge])
    assert amps == pytest.approx(TABLE[rating, gauge], rel=1e-9)


def test_an_engine_space_and_a_bundle_take_their_share():
    """105 C wire: 0.85 in an engine space (33 CFR 183.425, from memory), 0.70 of three in a bundle."""
    area = wire.awg_area(10)
    assert float(wire.allowable_current(area, "105C", 1, True)) == pytest.approx(51.0)
    assert float(wire.allowable_current(area, "105C", 3, False)) == pytest.approx(42.0)
    assert float(wire.allowable_current(area, "105C", 8, True)) == pytest.approx(25.5)


@given(st.floats(0.2e-6, 110e-6), st.floats(0.2e-6, 110e-6), RATINGS, COUNTS, st.booleans())
def test_a_thicker_wire_never_carries_less(one, other, rating, count, engine):
    thin, thick = sorted((one, other))
    amps = wire.allowable_current(np.array([thin, thick]), rating, count, engine)
    assert amps[0] <= amps[1] + 1e-9


@given(st.floats(0.9e-6, 100e-6), RATINGS, COUNTS, COUNTS)
def test_a_larger_bundle_never_carries_more(area, rating, one, other):
    few, many = sorted((one, other))
    assert wire.allowable_current(area, rating, many) <= wire.allowable_current(area, rating, few)


@given(AMPS, RATINGS, st.integers(1, 3), st.booleans())
def test_the_area_asked_for_carries_just_the_current(amps, rating, count, engine):
    area = wire.heat_area(amps, rating, count, engine)
    if np.isfinite(area):
        assert float(wire.allowable_current(area * (1 + 1e-9), rating, count, engine)) >= amps * (1 - 1e-6)
        assert float(wire.allowable_current(area * 0.98, rating, count, engine)) < amps
    else:
        assert float(wire.allowable_current(wire.awg_area(-3), rating, count, engine)) < amps


def test_every_column_of_the_table_has_every_gauge():
    for amps in AMPACITY.values():
        assert len(amps) == len(GAUGE_NUMBER)
        assert list(amps) == sorted(amps)


def run_of(current, length, gauge, more=""):
    return (
        f'[[power.circuit]]\nname = "winch"\ncurrent = "{current} ± 0 A"\nlength = "{length}"\ngauge = "{gauge}"\n'
        f"{more}\n"
    )


def test_a_hundred_amps_over_five_feet_are_sized_by_the_heat_and_not_by_the_drop(day):
    """By drop 8 AWG would do, which carries 80 A; 100 A of 105 C wire ask for 6 AWG in the open (120 A)."""
    bare = day(run_of("100 A", "5 ft", "8 AWG"))
    assert wire.smallest_gauge(float(bare.daily("power.circuit_area.winch")[0])) == "8"
    known = day(run_of("100 A", "5 ft", "8 AWG", 'insulation = "105C"'))
    assert known.daily("power.circuit_limit.winch")[0] == pytest.approx(80.0)
    card = answer_wire.answer(found(known))
    assert card.urgency is Urgency.ACT
    assert "can burn" in card.verdict
    assert "fit 6 AWG (16 mm² metric), which passes the drop and carries the current" in card.next


def test_the_size_named_passes_both_when_fitted(day):
    lies = 'insulation = "75C"\nbundled = "4"\nengine_space = true'
    card = answer_wire.answer(found(day(run_of("30 A", "12 ft", "14 AWG", lies))))
    gauge = card.next.split("fit ")[1].split(" AWG")[0]
    again = day(run_of("30 A", "12 ft", f"{gauge} AWG", lies))
    assert again.daily("power.circuit_load.winch")[0] <= 1.0
    assert again.daily("power.circuit_drop.winch")[0] <= 0.10


def test_the_lesser_of_what_is_stated_and_the_table_holds(day):
    both = run_of("10 A", "5 ft", "12 AWG", 'insulation = "105C"\ncurrent_limit = "20 A"')
    assert day(both).daily("power.circuit_limit.winch")[0] == 20.0
    assert day(both.replace('"20 A"', '"60 A"')).daily("power.circuit_limit.winch")[0] == pytest.approx(
        45.0
    )


def test_the_table_of_circuits_has_each_run_with_its_verdict(day):
    text = run_of("100 A", "5 ft", "8 AWG", 'insulation = "105C"') + run_of("2 A", "5 ft", "14 AWG")
    card = answer_wire.answer(found(day(text)))
    listing = next(p for p in card.pictures if isinstance(p, Listing))
    assert [row.cells[-1] for row in listing.rows] == ["can burn", "big enough, heat not checked"]
    assert [row.urgency for row in listing.rows] == [Urgency.ACT, Urgency.FINE]
    assert all(len(row.cells) == len(listing.heads) for row in listing.rows)


def test_a_run_without_a_length_is_never_called_big_enough(day):
    card = answer_wire.answer(
        found(day('[[power.circuit]]\nname = "feed"\ncurrent = "1 A"\ngauge = "10 AWG"\n'))
    )
    assert card.urgency is Urgency.UNKNOWN
    assert "Feed has no length" in card.verdict


def test_a_relay_beside_the_battery_gives_the_solenoid_what_the_key_switch_takes(day):
    """20 A · 12/11.5 by 2 m of 2.5 mm² at 40 °C, and 0.15 A through the long run to the coil; by hand."""
    text = (
        '[power.bank]\n[[power.circuit]]\nname = "starter"\ncurrent = "20 A ± 0 A"\nlength = "8 m"\n'
        'gauge = "2.5 mm2"\ntemperature = "40 C ± 0 C"\nleast_voltage = "9.5 V"\n'
    )
    ran = day(text)
    ohm = 1.0213 * 1.7241e-8 * (1 + 0.00393 * 20) / 2.5e-6
    amps = 20 * 12 / 11.5
    by_key = 11.5 - amps * 16 * ohm - 9.5
    by_relay = min(11.5 - amps * 2 * ohm, 11.5 - 0.15 * 16 * ohm) - 9.5
    assert ran.daily("power.circuit_spare.starter")[0] == pytest.approx(by_key, rel=1e-3)
    assert ran.daily("power.circuit_relay.starter")[0] == pytest.approx(by_relay, rel=1e-3)
    card = answer_wire.answer(found(ran))
    assert by_key < 0 < by_relay
    assert "a relay near the battery cures it" in card.next


def test_a_relay_whose_own_coil_gets_too_little_is_no_cure(day):
    """0.15 A through 200 m of 0.5 mm² and back: 2.3 V gone at the coil, by hand."""
    text = (
        '[power.bank]\n[[power.circuit]]\nname = "far"\ncurrent = "1 A ± 0 A"\nlength = "200 m"\n'
        'gauge = "0.5 mm2"\ntemperature = "40 C ± 0 C"\nleast_voltage = "10.5 V"\n'
    )
    ran = day(text)
    ohm = 1.0213 * 1.7241e-8 * (1 + 0.00393 * 20) / 0.5e-6
    assert ran.daily("power.circuit_relay.far")[0] == pytest.approx(
        11.5 - 0.15 * 400 * ohm - 10.5, rel=1e-3
    )
    assert "A relay near the battery does not cure it" in answer_wire.answer(found(ran)).next


def test_fuses_are_left_to_the_named_standard(day):
    card = answer_wire.answer(found(day(run_of("2 A", "5 ft", "14 AWG"))))
    said = " ".join(reason.text for reason in card.reasons)
    assert "Fuses are not sized here" in said
    assert "ABYC E-11 or ISO 13297" in said


def test_a_run_that_fails_by_a_length_that_is_only_taken_is_measured_before_wire_is_bought(day):
    thin = '[[power.circuit]]\nname = "feed"\ncurrent = "8 A"\ngauge = "18 AWG"\ncritical = true\n'
    card = answer_wire.answer(found(day(thin)))
    assert "20 ft taken for its length" in card.verdict
    assert card.next.startswith("Measure its run one way")
    known = answer_wire.answer(found(day(thin + 'length = "20 ft"\n')))
    assert "taken for" not in known.verdict
    assert known.next.startswith("Fit ")
