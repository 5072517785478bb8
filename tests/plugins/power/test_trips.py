"""The dock's device: what each state of the switches says, and that every cause speaks."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from console.commands import cli
from console.engine.changes import altered
from console.engine.run import run_steps
from console.engine.views import Draws, EstimateView
from plugins.power import chances, trips
from plugins.power.changes import CHANGES, DOCK_CAUSES, LOW_VOLTAGE
from plugins.power.readings import READINGS

from .conftest import air_conditioner, boat_of

HOURS = np.arange(24) + 0.5
BOAT = """
[climate]
[power.shore]
[[power.load]]
name = "water heater"
power = "1500 W"
kind = "heater"
hours = ["18:00-19:00"]
"""
CHOICES = {reading.name: reading for reading in READINGS if reading.chances}


def seen(text=BOAT, cause=None, draws=200):
    """The chances of every reading, (draws, choices), with a cause switched on."""
    base = Draws(boat_of(text, air_conditioner()), draws)
    made = base if cause is None else altered(base, [("power", cause)])
    assert made is not None
    ran = run_steps(made, HOURS, 3600.0)
    assert ran.unwell == []
    view = EstimateView(made, HOURS, 3600.0, ran.figures)
    return {
        name: getattr(chances, reading.chances.split(":")[1])(view) for name, reading in CHOICES.items()
    }


def cause_named(key):
    return next(cause for cause in DOCK_CAUSES if cause.key == key)


def likely(made, reading, choice):
    return float(made[reading][1:, CHOICES[reading].choices.index(choice)].mean())


def test_a_residual_current_device_goes_between_half_its_rating_and_its_rating():
    """IEC 61008-1 (from memory): not at 0.5 of the rating, always at 1; UL 943 class A: 4 to 6 mA."""
    half, whole, double = trips.residual_trip_chance(np.array([15e-3, 30e-3, 60e-3]), 30e-3)
    print(f"30 mA device: {half:.1%} at 15 mA, {whole:.1%} at 30 mA, {double:.1%} at 60 mA")
    assert half < 0.10
    assert whole > 0.85
    assert double > 0.99
    class_a = trips.residual_trip_chance(np.array([4e-3, 6e-3]), 6e-3)
    assert class_a[0] < 0.5 < class_a[1]


def test_a_breaker_holds_its_rating_and_goes_well_over_it():
    """IEC 60898 (from memory): holds 1.13 for an hour at 30 °C, goes at 1.45; UL 489: goes at 1.35."""
    at = trips.overload_trip_chance(np.array([0.8, 1.0, 1.35, 1.45]) * 30, 30.0)
    print("breaker at 0.8, 1, 1.35, 1.45 of its rating:", " ".join(f"{chance:.1%}" for chance in at))
    assert at[0] < 0.01
    assert at[1] < 0.2
    assert at[2] > 0.85
    assert at[3] > 0.95


def test_a_start_of_ten_times_goes_at_once_and_of_three_does_not():
    """The instantaneous trip of 5 to 10 times (from memory)."""
    three, ten = trips.start_trip_chance(np.array([90.0, 300.0]), 30.0)
    assert three < 0.05
    assert ten > 0.85


@given(st.floats(1e-4, 10), st.floats(1e-4, 10), st.floats(5e-3, 0.3))
def test_more_leakage_never_trips_less_often(one, other, rating):
    low, high = sorted((one, other))
    assert trips.residual_trip_chance(low, rating) <= trips.residual_trip_chance(high, rating)


@pytest.mark.parametrize("cause", [None, *DOCK_CAUSES], ids=lambda c: getattr(c, "key", "sound"))
def test_chances_are_rows_of_one_with_a_floor(cause):
    for name, rows in seen(cause=cause).items():
        assert rows.shape == (201, len(CHOICES[name].choices))
        assert rows.sum(axis=1) == pytest.approx(1.0)
        assert rows.min() >= 0.009


EXPECTED = (
    ("overload", "trip_when", "minutes_loaded"), ("overload", "light_load", "holds"),
    ("start_current", "unit_alone", "trips_at_start"), ("start_current", "trip_when", "unit_starts"),
    ("heater_leakage", "heater_alone", "trips"), ("heater_leakage", "trip_when", "heater_starts"),
    ("heater_leakage", "unit_alone", "holds"), ("compressor_leakage", "unit_alone", "trips_running"),
    ("compressor_leakage", "heater_alone", "holds"), ("neutral_ground_joined", "branches_off", "trips"),
    ("neutral_ground_joined", "main_off", "holds"), ("neutral_ground_joined", "trip_device", "ground_fault"),
    ("wet_cord_or_inlet", "main_off", "trips"), ("wet_cord_or_inlet", "trip_weather", "wet_only"),
    ("wet_cord_or_inlet", "plug_feel", "hot"), ("dock_device", "light_load", "trips"),
    ("dock_device", "main_off", "trips"),
)  # fmt: skip


@pytest.mark.parametrize(("key", "reading", "choice"), EXPECTED)
def test_a_cause_makes_its_own_sign_likelier_than_a_sound_boat(key, reading, choice):
    sound, faulty = seen(), seen(cause=cause_named(key))
    # What holds anyway cannot get likelier: then it must stay as it is.
    assert likely(faulty, reading, choice) > min(1.5 * likely(sound, reading, choice), 0.9)


def test_on_another_post_a_worn_device_s_boat_holds_where_a_leaking_one_trips():
    worn, leaking = (seen(cause=cause_named(k)) for k in ("dock_device", "neutral_ground_joined"))
    assert likely(worn, "other_post", "holds") > 2 * likely(leaking, "other_post", "holds")


def test_every_cause_alters_an_input_of_a_silent_file():
    base = Draws(boat_of("", air_conditioner()), 4)
    for cause in (LOW_VOLTAGE, *DOCK_CAUSES):
        made = altered(base, [("power", cause)])
        assert made is not None, cause.key
        path = cause.alters[0].path
        assert not np.array_equal(made.number(path), base.number(path))


def test_a_sound_boat_is_not_within_the_reach_of_any_severity():
    """Severity begins where healthy ends."""
    base = Draws(boat_of("[power.shore]\n", air_conditioner()), 400)
    for cause in (LOW_VOLTAGE, *DOCK_CAUSES):
        path = cause.alters[0].path
        usual, faulty = base.number(path)[1:], altered(base, [("power", cause)]).number(path)[1:]
        if np.median(faulty) > np.median(usual):
            assert np.percentile(faulty, 1) > np.percentile(usual, 99), cause.key
        else:
            assert np.percentile(faulty, 99) < np.percentile(usual, 1), cause.key


FORBIDDEN = (
    "bypass the",
    "defeat the",
    "larger breaker",
    "open the panel",
    "remove the cover",
    "hold the breaker",
)


def test_no_remedy_and_no_test_defeats_a_device_or_opens_a_panel():
    for each in (*CHANGES, *READINGS):
        said = " ".join(str(getattr(each, name, "")) for name in ("how", "remedy", "why")).lower()
        assert not any(words in said for words in FORBIDDEN), said


def test_mains_faults_are_for_qualified_hands_and_say_their_hazards():
    for cause in DOCK_CAUSES:
        assert {"mains_work", "shock_in_the_water"} <= set(cause.hazards)
    for key in (
        "heater_leakage",
        "compressor_leakage",
        "neutral_ground_joined",
        "start_current",
        "dock_device",
    ):
        assert cause_named(key).who == "licensed"


def test_whoever_looks_for_a_leak_is_first_told_what_its_trip_means():
    for each in (*READINGS, *DOCK_CAUSES):
        asked = "shore" in getattr(each, "complaints", ())
        leaks = any("leakage" in alter.path for alter in getattr(each, "alters", ()))
        if asked or leaks:
            assert "ground_fault_trip" in each.hazards, each


def test_another_post_is_tried_only_where_a_leak_would_be_seen():
    """A post without a ground-fault device holds whatever leaks, and the water has it."""
    (other,) = (reading for reading in READINGS if reading.name == "other_post")
    assert "test button" in other.how


def test_names_are_those_of_the_complaint():
    assert {cause.key for cause in DOCK_CAUSES} == {
        "overload", "start_current", "heater_leakage", "compressor_leakage", "neutral_ground_joined",
        "wet_cord_or_inlet", "dock_device",
    }  # fmt: skip
    assert LOW_VOLTAGE.key == "low_voltage"
    assert LOW_VOLTAGE.complaint == "climate"
    volts = next(reading for reading in READINGS if reading.name == "supply_voltage")
    assert (volts.role, volts.predicts) == ("condition", "power.supply_voltage")


CASES = (
    ("heater_leakage", ("trip_when=heater_starts", "heater_alone=trips", "unit_alone=holds")),
    ("neutral_ground_joined", ("trip_when=main_on", "branches_off=trips", "main_off=holds")),
    ("wet_cord_or_inlet", ("main_off=trips", "trip_weather=wet_only")),
    ("start_current", ("trip_when=unit_starts", "unit_alone=trips_at_start")),
)


@pytest.mark.parametrize(("cause", "readings"), CASES)
def test_a_clear_case_is_named_by_the_console_s_own_weighing(cause, readings):
    given = [part for reading in readings for part in ("--reading", reading)]
    boat = str(Path(__file__).resolve().parents[3] / "scenarios" / "marram.toml")
    done = CliRunner().invoke(cli, ["diagnose", boat, "--complaint", "shore", *given, "--json"])
    made = json.loads(done.output)
    assert made["verdict"] == cause
    assert any("Mains kill" in str(caution) for caution in made["cautions"])
