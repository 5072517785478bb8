"""Wire runs: drop, heat, the size that will do."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.power import wire
from plugins.power.tables import FOOT

AREAS = st.floats(0.5e-6, 120e-6)
LENGTHS = st.floats(0.1, 60.0)
WARM = st.floats(273.0, 370.0)


@given(LENGTHS, LENGTHS, AREAS, WARM)
def test_a_longer_run_never_loses_less(one, other, area, warm):
    short, long = sorted((one, other))
    assert wire.voltage_drop(10.0, long, area, warm) >= wire.voltage_drop(10.0, short, area, warm)


@given(LENGTHS, AREAS, AREAS, WARM)
def test_a_thinner_wire_never_loses_less(length, one, other, warm):
    thin, thick = sorted((one, other))
    assert wire.voltage_drop(10.0, length, thin, warm) >= wire.voltage_drop(10.0, length, thick, warm)


@given(LENGTHS, AREAS, WARM, WARM)
def test_a_hotter_wire_never_loses_less(length, area, one, other):
    cool, hot = sorted((one, other))
    assert wire.voltage_drop(10.0, length, area, hot) >= wire.voltage_drop(10.0, length, area, cool)


@given(st.floats(0.5, 100.0), st.floats(0.5, 30.0))
def test_the_size_it_asks_for_passes_and_the_one_below_does_not(amps, length):
    area = float(wire.required_area(amps, length, 0.36))
    gauge = wire.smallest_gauge(area)
    copper = {name: mils * 5.067e-10 for name, mils in wire.SAE_MINIMUM_AREA.items()}
    if gauge is None:
        assert area > copper["4/0"]
        return
    assert copper[gauge] >= area * 0.999
    place = wire.GAUGES.index(gauge)
    assert place == 0 or copper[wire.GAUGES[place - 1]] < area * 1.001


def test_hot_wire_asks_for_more_copper():
    assert wire.required_area(10.0, 5.0, 0.36, 348.15) > 1.15 * wire.required_area(10.0, 5.0, 0.36)


def test_arrays_broadcast_over_draws_and_steps():
    drop = wire.voltage_drop(np.ones((5, 1)), 3.0, 2e-6, np.full((1, 24), 300.0))
    assert drop.shape == (5, 24)


CIRCUIT = """
[[power.circuit]]
name = "cold box feed"
current = "5.5 A ± 0 A"
length = "18 ft ± 0 ft"
gauge = "12 AWG"
temperature = "75 C ± 0 C"
"""


def test_the_drop_is_out_and_back_at_the_lowest_bank_voltage(day):
    """5.5 A · 12/11.5, 36 ft of 1.98 ohm/kft (NEC chapter 9 table 8 at 75 °C), of 12 V."""
    by_hand = 5.5 * 12 / 11.5 * 36 * 1.98e-3 / 12
    ran = day("[power.bank]\n" + CIRCUIT)
    assert ran.daily("power.circuit_drop.cold_box_feed")[0] == pytest.approx(by_hand, rel=0.005)
    assert ran.daily("power.circuit_voltage.cold_box_feed")[0] == pytest.approx(
        11.5 - 12 * by_hand, rel=0.001
    )


def test_the_same_run_on_24_volts_loses_half_the_share(day):
    low = day("[power.bank]\n" + CIRCUIT).daily("power.circuit_drop.cold_box_feed")[0]
    high = day('[power.bank]\nvoltage = "24 V"\n' + CIRCUIT).daily("power.circuit_drop.cold_box_feed")[0]
    assert high == pytest.approx(low / 2)


def test_a_critical_run_asks_for_more_copper_than_the_rest(day):
    rest = day(CIRCUIT).daily("power.circuit_area.cold_box_feed")[0]
    critical = day(CIRCUIT + "critical = true\n").daily("power.circuit_area.cold_box_feed")[0]
    assert critical == pytest.approx(rest * 0.10 / 0.03)


def test_circuits_of_one_name_have_figures_of_their_own(day):
    ran = day(CIRCUIT + CIRCUIT)
    assert {n for n in ran.figures if n.startswith("power.circuit_drop.")} == {
        "power.circuit_drop.cold_box_feed", "power.circuit_drop.cold_box_feed_2",
    }  # fmt: skip


def test_a_foot_is_a_foot():
    assert float(wire.voltage_drop(1.0, FOOT * 500, wire.awg_area(12), 348.15)) == pytest.approx(
        1.98, rel=0.005
    )


def test_the_range_of_a_drop_holds_boat_cable_of_the_least_copper(day):
    """12 AWG may have 5,833 circular mils (SAE, as in ABYC E-11, from memory) and not its nominal 6,530."""
    feed = '[[power.circuit]]\nname = "feed"\ncurrent = "5.5 A"\nlength = "18 ft"\ngauge = "12 AWG"\n'
    drop = day("[power.bank]\n" + feed, draws=256).daily("power.circuit_drop.feed")
    assert np.percentile(drop[1:], 95) >= drop[0] * 6530 / 5833 * 0.99
