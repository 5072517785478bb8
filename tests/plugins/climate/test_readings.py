"""What an owner reads: each has its figure, its instrument, and chances that a table can hold."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile.boat import loads as boat_from
from console.contract import Reading
from console.engine.changes import altered, of_kind
from console.engine.run import Ran, run_day, run_moment
from console.engine.views import EstimateView
from console.guard import call
from console.properties import air
from console.quantities import parse_measure
from plugins.climate.chances import FLOOR
from plugins.climate.figures import ESTIMATES
from plugins.climate.readings import READINGS
from tests.plugins.climate.boats import BTU_H, CFM, GPM, SUMMER_BOAT, climate_alone, fahrenheit
from tests.plugins.climate.test_estimates import LABEL

NAMED = {reading.name: reading for reading in READINGS}
CONSOLE_OR_OTHERS = ("weather.",)

CHOICES = {
    "airflow": ("strong", "weak", "none", "uneven"),
    "evaporator_frost": ("none", "part", "all"),
    "trip": ("none", "high_pressure", "low_pressure", "voltage", "freeze", "unknown"),
    "runs": ("continuous", "cycling", "short_cycling"),
    "worst_time": ("always", "afternoon", "night", "evening"),
    "recent_event": (
        "none", "launched", "sailed", "stowed", "serviced", "cleaned_strainer", "idle_weeks", "moved_berth",
        "storm", "grounded",
    ),
}  # fmt: skip


@cache
def day() -> Ran:
    return run_day(boat_from(SUMMER_BOAT + LABEL, climate_alone()), 60)


def moment(**pins: float) -> Ran:
    made = run_moment(
        day().boat, day(), 15, {name.replace("__", "."): value for name, value in pins.items()}
    )
    assert not made.unwell
    return made


def nominal(ran: Ran, name: str) -> float:
    return float(ran.figures[f"climate.{name}"][0, 0])


# --- the records --------------------------------------------------------------------------------


@pytest.mark.parametrize("reading", READINGS, ids=lambda reading: reading.name)
def test_every_numeric_reading_names_a_figure_of_its_own_unit(reading: Reading) -> None:
    given_units = {given.name: given.unit for estimate in ESTIMATES for given in estimate.gives}
    for figure in filter(None, (reading.predicts, reading.expects)):
        assert figure in day().figures
        if not figure.startswith(CONSOLE_OR_OTHERS):
            assert given_units[figure] == reading.unit
    assert bool(reading.unit) == bool(reading.predicts)


def test_the_choices_are_the_words_that_scripts_rely_on() -> None:
    assert {name: reading.choices for name, reading in NAMED.items() if reading.choices} == CHOICES


def test_what_an_owner_measures_is_predicted_by_no_figure_the_day_must_give() -> None:
    """Evidence is compared in the moment, where stateful estimates do not run."""
    stateful = {given.name for e in ESTIMATES if e.stateful for given in e.gives}
    for reading in READINGS:
        if reading.role == "evidence" and reading.unit:
            assert reading.predicts not in stateful


def test_one_probe_makes_heat_good_to_a_tenth_and_two_do_not() -> None:
    """±9 to ±11 % of the heat rejected with one thermometer, ±17 to ±23 % with two, for a flow good to
    6 % and a rise of 10 °F (owners' instruments: common practice, no source)."""

    def half(text: str) -> float:
        return float(parse_measure(f"0 {text}", "temperature_difference").half or 0.0)

    water = NAMED["seawater_in"], NAMED["seawater_out"]
    assert len({reading.instrument for reading in water}) == 1
    own = np.hypot(*(half(reading.own_error) for reading in water))
    shared = np.sqrt(2.0) * half(water[0].shared_error)
    rise, flow = 10 / 1.8, 0.057
    assert 0.07 < np.hypot(flow, own / rise) < 0.11
    assert 0.17 < np.hypot(flow, np.hypot(own, shared) / rise) < 0.24


def test_every_probe_reading_shares_the_probes_error() -> None:
    probes = [r for r in READINGS if r.unit == "K" and r.name != "panel_air"]
    assert len(probes) >= 7
    assert len({(reading.instrument, reading.shared_error) for reading in probes}) == 1


# --- one reading takes the place of its figure, and the rest follows -----------------------------


def test_cabin_air_is_what_the_unit_draws_in_unless_the_return_is_read() -> None:
    warm = moment(climate__cabin_temperature=303.0)
    assert nominal(warm, "return_air_temperature") == pytest.approx(303.0, abs=1.0)
    read = moment(climate__cabin_temperature=303.0, climate__return_air_temperature=299.0)
    assert nominal(read, "return_air_temperature") == 299.0
    assert nominal(read, "drawn_temperature") == nominal(warm, "drawn_temperature")


@settings(max_examples=25, deadline=None)
@given(t=st.floats(288.0, 312.0), rh=st.floats(0.2, 0.98))
def test_wet_cotton_and_hygrometer_say_the_same_of_the_same_air(t: float, rh: float) -> None:
    ratio = float(air.humidity_ratio(t, rh))
    wet = float(air.wet_bulb(t, ratio))
    by_hygrometer = moment(climate__return_air_temperature=t, climate__return_humidity=rh)
    by_cotton = moment(climate__return_air_temperature=t, climate__return_wet_bulb=wet)
    for ran in (by_hygrometer, by_cotton):
        assert nominal(ran, "return_humidity_ratio") == pytest.approx(ratio, rel=1e-3)
    assert nominal(by_hygrometer, "air_split") == pytest.approx(nominal(by_cotton, "air_split"), abs=0.02)


@pytest.mark.parametrize(
    "pins",
    [{"return_wet_bulb": 310.0, "return_air_temperature": 300.0}, {"return_wet_bulb": 250.0},
     {"return_humidity": 1.0}, {"return_humidity": 0.0}, {"return_air_temperature": 260.0},
     {"cabin_humidity": 1.0, "cabin_temperature": 330.0}],
)  # fmt: skip
def test_readings_that_cannot_be_leave_every_figure_finite(pins: dict[str, float]) -> None:
    ran = moment(**{f"climate__{name}": value for name, value in pins.items()})
    for name, values in ran.figures.items():
        assert np.isfinite(values).all(), name


def test_a_wet_bulb_read_above_the_dry_one_is_saturated_air() -> None:
    ran = moment(climate__return_air_temperature=300.0, climate__return_wet_bulb=301.0)
    assert nominal(ran, "return_humidity_ratio") == pytest.approx(
        float(air.saturation_humidity_ratio(300.0)), rel=1e-3
    )


def test_the_day_draws_in_the_air_its_cabin_was_served_at() -> None:
    """In the day the return follows from the cabin's own figures, mixing and all."""
    for line in ("", 'supply_recirculated = "40 %"\n', 'return_from_bilge = "50 %"\n'):
        ran = run_day(boat_from(SUMMER_BOAT + LABEL + line, climate_alone()), 20)
        split = ran.figures["climate.supply_fall"]
        again = ran.figures["climate.air_split"]
        # Where a coil ices up and cuts out, a hair of the return's air decides which hour.
        clear = (ran.figures["climate.ice_share"].max(axis=1) < 0.01) & (
            ran.figures["climate.settled"][:, 0] == 1.0
        )
        assert clear.sum() > 10, line
        assert again[clear] == pytest.approx(split[clear], abs=0.3), line


# --- numbers an owner can check -------------------------------------------------------------------


def rated(dry: float, wet: float) -> Ran:
    """A clean 16,000 BTU/h unit of full output, 350 cfm a ton, in 85 °F water."""
    lines = (
        LABEL
        + 'delivered_share = "100 %"\nairflow = "467 cfm"\nfilter_blocked = "0 %"\nduct_restriction = "0 %"\n'
        'coil_bypass = "15 %"\ncharge = "100 %"\n'
    )
    ran = run_day(boat_from(SUMMER_BOAT + lines, climate_alone()))
    pins: dict[str, np.ndarray | float] = {
        "climate.return_air_temperature": fahrenheit(dry), "climate.return_wet_bulb": fahrenheit(wet),
        "weather.seawater_temperature": fahrenheit(85),
    }  # fmt: skip
    return run_moment(ran.boat, ran, 15, pins)


@pytest.mark.parametrize(
    ("dry", "wet", "split", "litres"),
    [(72, 59, 24, 0.8), (75, 63, 22, 1.2), (75, 65, 20, 1.8), (78, 66, 21, 1.6), (80, 67, 23, 1.4), (80, 70, 20, 2.0),
     (80, 72, 17, 2.6), (85, 74, 20, 2.3), (85, 77, 17, 2.9), (88, 81, 15, 3.4)],
)  # fmt: skip
def test_readings_of_the_return_give_the_split_and_the_drip_an_owner_should_see(
    dry: float, wet: float, split: float, litres: float
) -> None:
    """Expected split ±3 °F and condensate a ton (computed tables, common practice). At the dry end the
    table holds the output constant, which a real unit does not: one more degree there."""
    ran = rated(dry, wet)
    assert 1.8 * nominal(ran, "expected_split") == pytest.approx(split, abs=3.0 if wet > 62 else 4.0)
    drip = nominal(ran, "condensate_rate") * 3600 / (16 / 12)
    assert drip == pytest.approx(litres, rel=0.25, abs=0.25)


@pytest.mark.parametrize("gpm", [2.0, 4.0, 6.0])
def test_heat_rejected_is_490_a_gallon_a_minute_and_degree(gpm: float) -> None:
    """Q[BTU/h] = 490·gpm·rise[°F] in seawater, 68 W a L/min and K (eng-tips.com thread 99316 has 500 in
    fresh water; the rest computed)."""
    ran = moment(raw_water__flow=gpm * GPM)
    heat, rise = nominal(ran, "heat_rejected"), nominal(ran, "seawater_rise")
    assert heat / BTU_H / (gpm * 1.8 * rise) == pytest.approx(490, rel=0.012)
    assert heat / (gpm * 3.785412 * rise) == pytest.approx(68, rel=0.012)
    out = nominal(ran, "seawater_out") - float(ran.figures["weather.seawater_temperature"][0, 0])
    assert out == pytest.approx(rise)


@pytest.mark.parametrize(
    ("gpm_per_ton", "rise"), [(1.5, 20), (2.0, 15), (2.5, 12), (3.0, 10), (3.3, 9), (4.0, 8), (5.0, 6)]
)
def test_water_rises_as_the_trades_table_has_it(gpm_per_ton: float, rise: float) -> None:
    """At 15,000 BTU/h rejected a ton (computed table, common practice); ours rejects what it rejects."""
    tons = 16 / 12
    ran = run_moment(
        (at := rated(80, 67)).boat, run_day(at.boat), 15,
        {"climate.return_air_temperature": fahrenheit(80), "climate.return_wet_bulb": fahrenheit(67),
         "weather.seawater_temperature": fahrenheit(85), "raw_water.flow": gpm_per_ton * tons * GPM},
    )  # fmt: skip
    found = 1.8 * nominal(ran, "seawater_rise")
    rejected = nominal(ran, "heat_rejected") / BTU_H / tons
    assert 14000 < rejected < 16200
    assert found * 15000 / rejected == pytest.approx(rise, abs=0.55)


def test_water_in_a_jug_is_told_by_the_litre() -> None:
    style = NAMED["condensate_rate"].style
    assert parse_measure("2 L/h", style).value == pytest.approx(2 / 3600)
    assert parse_measure("0.5 gal/h", style).value == pytest.approx(0.5 * 3.785412 / 3600)


def test_air_through_the_unit_is_a_ton_of_350_cfm() -> None:
    assert rated(80, 67).draws.number("climate.airflow")[0, 0] == pytest.approx(467 * CFM)


# --- chances ------------------------------------------------------------------------------------

CHANCED = [reading for reading in READINGS if reading.chances]


@cache
def tables(key: str) -> dict[str, np.ndarray]:
    """Mean chance of each choice under a cause, or of the boat as it is."""
    columns = day().draws
    if key:
        named = next(found for found in of_kind(day().boat, "cause", "climate") if found[1].key == key)
        changed = altered(columns, [named])
        assert changed is not None
        columns = changed
    ran = run_moment(columns.boat, day(), 15, columns=columns)
    view = EstimateView(columns, ran.hours, 3600.0, ran.figures)
    made = {}
    for reading in CHANCED:
        table = np.asarray(call(reading.chances, view))
        assert table.shape == (61, len(reading.choices))
        assert table.sum(axis=1) == pytest.approx(1.0)
        assert table.min() >= FLOOR - 1e-12
        made[reading.name] = table.mean(axis=0)
    return made


KEYS = ("blocked_air_filter", "iced_evaporator", "low_refrigerant", "overcharge", "air_ingress",
        "supply_short_circuit", "restricted_duct", "thermostat_location")  # fmt: skip


@pytest.mark.parametrize("key", ["", *KEYS])
def test_chances_are_rows_that_add_to_one_and_leave_nothing_impossible(key: str) -> None:
    assert set(tables(key)) == {reading.name for reading in CHANCED}


@pytest.mark.parametrize(
    ("key", "reading", "choice"),
    [
        ("", "airflow", "strong"), ("", "evaporator_frost", "none"), ("", "trip", "none"),
        ("blocked_air_filter", "airflow", "weak"), ("iced_evaporator", "airflow", "weak"),
        ("low_refrigerant", "airflow", "strong"), ("restricted_duct", "airflow", "uneven"),
        ("iced_evaporator", "evaporator_frost", "all"), ("low_refrigerant", "evaporator_frost", "part"),
        ("supply_short_circuit", "runs", "short_cycling"), ("thermostat_location", "runs", "short_cycling"),
        ("low_refrigerant", "runs", "continuous"), ("air_ingress", "airflow", "strong"),
    ],
)  # fmt: skip
def test_the_likeliest_look_is_the_trades(key: str, reading: str, choice: str) -> None:
    """By "A/C System Ices Up" and davesrepair.com "frost pattern"; short cycles common practice."""
    table = tables(key)[reading]
    assert NAMED[reading].choices[int(np.argmax(table))] == choice


def test_a_fault_raises_the_chance_of_its_own_stop() -> None:
    trip = NAMED["trip"].choices
    well, iced = tables("")["trip"], tables("iced_evaporator")["trip"]
    for choice in ("low_pressure", "freeze", "unknown"):
        assert iced[trip.index(choice)] > 3 * well[trip.index(choice)]


def chances_at(name: str, **pins: float) -> np.ndarray:
    ran = moment(**pins)
    view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures)
    return np.asarray(call(NAMED[name].chances, view))[0]


def test_a_low_stream_brings_the_high_pressure_stop() -> None:
    high = NAMED["trip"].choices.index("high_pressure")
    chances = [chances_at("trip", raw_water__flow=gpm * GPM)[high] for gpm in (4.0, 1.2, 0.9, 0.2)]
    assert chances == sorted(chances)
    assert chances[0] < 0.05 < 0.6 < chances[-1]


def test_low_volts_bring_the_stop_for_volts_and_the_evening() -> None:
    trip, worst = NAMED["trip"].choices, NAMED["worst_time"].choices
    well, weak = (
        chances_at("trip", power__supply_voltage=volts)[trip.index("voltage")] for volts in (117.0, 94.0)
    )
    assert weak > 10 * well
    well, weak = (
        chances_at("worst_time", power__supply_voltage=volts)[worst.index("evening")]
        for volts in (117.0, 98.0)
    )
    assert weak > 2 * well


def test_a_unit_too_small_is_worst_in_the_afternoon_and_much_too_small_always() -> None:
    worst = NAMED["worst_time"].choices
    small = chances_at("worst_time", climate__load_afternoon=5000.0, climate__load_night=1500.0)
    tiny = chances_at("worst_time", climate__load_afternoon=9000.0, climate__load_night=7000.0)
    assert worst[int(np.argmax(small))] == "afternoon"
    assert worst[int(np.argmax(tiny))] == "always"
