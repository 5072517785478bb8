"""The causes as records: what they act on, where they begin, and what an owner is told to do."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest

from console.boatfile.boat import Boat
from console.boatfile.boat import loads as boat_from
from console.contract import Change
from console.engine.changes import reached, severity_of
from console.engine.run import Ran, run_day
from plugins.climate.cautions import CAUTIONS
from plugins.climate.changes import CAUSES
from plugins.climate.estimates import day_falls_short, mean_between
from plugins.climate.readings import READINGS
from plugins.climate.signs import falls_short
from tests.plugins.climate.boats import SUMMER_BOAT, climate_alone, daily, fahrenheit, hourly, run

NAMED = {change.key: change for change in CAUSES}
ALTERING = [change for change in CAUSES if change.alters]
DRAWS = 200


@cache
def silent() -> Boat:
    """A boat whose file says nothing but that there is an air conditioner."""
    return boat_from(SUMMER_BOAT, climate_alone())


@cache
def silent_day() -> Ran:
    return run_day(silent(), DRAWS)


def test_the_causes_are_those_that_scripts_rely_on() -> None:
    assert set(NAMED) == {
        "blocked_air_filter", "iced_evaporator", "low_refrigerant", "overcharge", "air_ingress",
        "supply_short_circuit", "restricted_duct", "thermostat_location", "undersized", "nothing_wrong",
    }  # fmt: skip
    assert {(change.kind, change.complaint, change.about) for change in CAUSES} == {
        ("cause", "climate", "climate")
    }


@pytest.mark.parametrize("change", ALTERING, ids=lambda change: change.key)
def test_a_cause_acts_where_the_file_is_silent(change: Change) -> None:
    for alter in change.alters:
        assert reached(silent(), alter.path)


@pytest.mark.parametrize("change", ALTERING, ids=lambda change: change.key)
def test_a_cause_begins_where_a_healthy_boat_ends(change: Change) -> None:
    """Else every well one would be a little ill. A thermostat may be out either way: there, few are near."""
    severity = severity_of("climate", change, silent(), DRAWS)
    assert severity is not None
    well = silent_day().draws.number(change.alters[0].path)[1:, 0]
    low, high = np.percentile(well, (5, 95))
    inside = np.mean((severity[1:] >= low) & (severity[1:] <= high))
    assert inside < (0.2 if change.key == "thermostat_location" else 0.03)


@pytest.mark.parametrize("change", CAUSES, ids=lambda change: change.key)
def test_a_cause_says_why_what_to_do_and_what_shows_that_it_worked(change: Change) -> None:
    for text in (change.title, change.why, change.remedy):
        assert len(text) > 20
        assert not re.search(r"\bdraws?\b|_", text), text
    assert change.minutes > 0
    assert change.prior > 0
    name, value = change.proof
    assert name in {"supply_air", "supply_voltage"} | {reading.name for reading in READINGS}
    assert value
    choices = next(reading.choices for reading in READINGS if reading.name == name)
    assert not choices or value in choices
    events = next(reading.choices for reading in READINGS if reading.role == "event")
    assert set(change.odds) <= set(events)
    assert all(odds > 0 for odds in change.odds.values())


def test_every_hazard_named_is_a_caution() -> None:
    known = {caution.key for caution in CAUTIONS}
    for change in CAUSES:
        assert set(change.hazards) <= known
    for reading in READINGS:
        assert set(reading.hazards) <= known


def test_refrigerant_is_for_licensed_hands_and_no_amount_is_given() -> None:
    for change in CAUSES:
        touches = any(alter.path == "climate.charge" for alter in change.alters)
        assert (change.who == "licensed") == touches
        assert ("refrigerant" in change.hazards) == touches
        if touches:
            assert not re.search(r"\d", change.remedy)


def test_bilge_air_warns_of_carbon_monoxide_before_anything_else() -> None:
    change = NAMED["air_ingress"]
    assert "carbon_monoxide" in change.hazards
    assert change.remedy.startswith("Alarm for carbon monoxide first")


def test_weights_before_any_reading_are_those_of_a_call_to_a_boat_that_cools_poorly() -> None:
    """Filter or ice 12 in a hundred, refrigerant 4, other 2 (from memory); ingress or load 10, of which
    the two halves of one run share 5."""

    def together(*keys: str) -> float:
        return sum(NAMED[key].prior for key in keys)

    assert together("blocked_air_filter", "iced_evaporator") == pytest.approx(0.12)
    assert together("low_refrigerant", "overcharge") == pytest.approx(0.04)
    assert NAMED["undersized"].prior == NAMED["nothing_wrong"].prior == pytest.approx(0.05)
    assert 0.09 < together("air_ingress", "supply_short_circuit", "undersized") < 0.12
    assert 0.02 < together("restricted_duct", "thermostat_location") < 0.04


# --- one run, two causes ----------------------------------------------------------------------------


def test_too_small_and_nothing_wrong_are_one_run_split_draw_by_draw() -> None:
    two = NAMED["undersized"], NAMED["nothing_wrong"]
    assert not any(change.alters or change.severity for change in two)
    short, held = (silent_day().figures[change.weighed_by] for change in two)
    assert short + held == pytest.approx(1.0)
    assert ((short >= 0.02) & (short <= 0.98)).all()


def test_a_small_units_day_falls_short_and_a_large_ones_does_not() -> None:
    shares = [
        run(f'capacity = "{label} Btu/h"\n', draws=40).figures["climate.falls_short"][1:, 0].mean()
        for label in (20000, 10000, 5000)
    ]
    assert shares == sorted(shares)
    assert shares[0] < 0.1
    assert shares[-1] > 0.8


def test_a_unit_too_small_is_fine_at_night_and_not_at_three_in_the_afternoon() -> None:
    """Owners' and makers' word for too much sun or too small a unit (supplier's page of questions; maker's
    "How to Size Your Boat")."""
    ran = run('capacity = "9000 Btu/h"\ncurrent = "7.5 A"\n')
    above = hourly(ran, "cabin_temperature") - fahrenheit(75)
    assert above[5] < 0.3
    assert above[15:19].max() > 1.0
    assert daily(ran, "load_afternoon") > 1.2 * daily(ran, "load_night")


def test_falling_short_goes_by_the_warmest_step() -> None:
    held = np.array([[297.0]])
    days = np.array([[297.0, 297.4], [297.0, 298.25], [299.5, 290.0]])
    assert day_falls_short(days, held)[:, 0] == pytest.approx([0.0, 0.5, 1.0])


def test_a_cabin_read_well_above_its_target_falls_short_now() -> None:
    """Whatever its usual day; less surely, for it may only have been started."""
    excess = np.array([0.0, 1.0, 3.0, 5.0, 9.0])
    assert falls_short(np.zeros(1), excess) == pytest.approx([0.02, 0.02, 0.4, 0.8, 0.8])
    assert falls_short(np.ones(1), excess) == pytest.approx(0.98)


def test_parts_of_the_day_are_means_over_their_hours() -> None:
    hours = np.arange(24) + 0.5
    values = np.where((hours > 22) | (hours < 6), 10.0, 1.0)[None, :]
    assert mean_between(values, hours, 22.0, 6.0)[0, 0] == 10.0
    assert mean_between(values, hours, 12.0, 18.0)[0, 0] == 1.0
    assert mean_between(values[:, 12:13], hours[12:13], 22.0, 6.0)[0, 0] == 1.0
    three_days = np.tile(values, (1, 3))
    assert mean_between(three_days, np.tile(hours, 3), 22.0, 6.0)[0, 0] == 10.0
