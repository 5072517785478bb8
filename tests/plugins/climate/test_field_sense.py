"""What the trade knows of such units (common practice, no source), and labels that cannot be."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from console.boatfile import BoatFileError
from console.boatfile.boat import loads as boat_from
from console.engine.run import run_day
from console.registry import discover
from plugins.climate.unit import balance
from tests.plugins.climate.boats import BTU_H, SUMMER_BOAT, climate_alone, conditions, daily, made, one, run

GPM = 6.30902e-5
CELSIUS = 273.15


def number(value: np.ndarray) -> float:
    return float(value[0, 0])


# --- field sense, common practice, no source --------------------------------------------------------


@pytest.mark.parametrize("size", [6000, 9000, 12000, 16000, 24000])
def test_all_in_current_is_three_quarters_to_nearly_one_amp_for_each_thousand(size: int) -> None:
    """0.75 to 0.95 A per 1,000 BTU/h at 115 V, compressor, fan and pump, label unread."""
    ran = run(f'capacity = "{size} Btu/h"\nvoltage = "115 V"\n')
    assert 0.75 <= daily(ran, "unit_current") / (size / 1000) <= 0.95


def test_seawater_rises_eight_to_twelve_fahrenheit_at_three_gallons_a_ton() -> None:
    machine = made(delivered=1.0)
    tons = 16000 / 12000
    share = 3.0 * tons * GPM / number(machine.water_flow)
    state = balance(machine, conditions(machine, flow_share=share))
    assert 8.0 <= number(state.seawater_rise) * 1.8 <= 12.0


def test_fan_and_pump_draw_what_they_do() -> None:
    """Fan 0.5 to 1.2 A, pump 0.8 to 1.6 A at 115 V (from memory)."""
    ran = run('capacity = "14000 Btu/h"\nvoltage = "115 V"\n')
    assert 0.5 <= daily(ran, "fan_current") <= 1.2
    assert 0.8 <= daily(ran, "pump_current") <= 1.9


def test_energy_of_a_humid_summers_day_is_what_owners_meter() -> None:
    """10 to 20 kWh a day for 12,000 BTU/h, factor 1.4 either way (computed by the trade)."""
    a_day = daily(run('capacity = "12000 Btu/h"\nvoltage = "115 V"\n'), "energy") * 24 / 1000
    assert 10 / 1.4 < a_day < 20 * 1.4


@pytest.mark.parametrize("refrigerant", ["R410A", "R32", "R454B", "R407C", "R22", "R134a"])
def test_from_the_label_alone_it_runs_from_cool_to_hot_seawater(refrigerant: str) -> None:
    """15 to 35 °C: ever less cooling, ever more current, no jump, nothing that is not finite."""
    machine = made(refrigerant)
    water = np.linspace(15.0, 35.0, 21)
    at = conditions(machine)
    state = balance(machine, replace(at, water_temperature=water[None, :] + CELSIUS))
    capacity, current = state.capacity[0], state.current[0]
    assert (state.tripped == 0.0).all()
    assert (np.diff(capacity) < 0).all()
    assert (np.diff(current) > 0).all()
    assert np.abs(np.diff(capacity)).max() < 0.02 * capacity[0]
    assert 0.75 < capacity[-1] / capacity[0] < 0.95


@pytest.mark.parametrize("water", [15.0, 25.0, 35.0])
def test_from_full_to_no_flow_it_cools_less_draws_more_and_then_trips(water: float) -> None:
    machine = made()
    shares = np.concatenate([np.linspace(1.2, 0.02, 60), [0.0]])
    at = replace(
        conditions(machine), water_temperature=one(water + CELSIUS), water_flow=machine.water_flow * shares[None, :]
    )  # fmt: skip
    state = balance(machine, at)
    runs = state.high_pressure[0] == 0.0
    assert runs[0]
    assert not runs[-1]
    # Once it trips it stays so with still less water.
    assert not runs[int(np.argmin(runs)) :].any()
    assert (np.diff(state.capacity[0][runs]) < 1e-6).all()
    assert (np.diff(state.current[0][runs]) > -1e-9).all()
    for value in (state.capacity, state.current, state.seawater_rise, state.supply_temperature):
        assert np.isfinite(value).all()


def test_locked_rotor_amps_of_the_label_stand_before_the_multiple() -> None:
    """A nameplate of 41 A starts at 41 A, with fan and pump beside it."""
    lines = 'capacity = "10000 Btu/h"\ncurrent = "8 A"\nvoltage = "115 V"\nlocked_rotor = "41 A"\n'
    ran = run(lines)
    volts = 115 * 1.017
    beside = daily(ran, "fan_current") + daily(ran, "pump_current")
    assert daily(ran, "start_current") == pytest.approx(41 * volts / 115 + beside, rel=1e-6)
    assert daily(run(lines + "soft_start = true\n"), "start_current") < 0.55 * daily(ran, "start_current")


def test_efficiency_of_the_label_gives_the_power() -> None:
    ran = run('capacity = "16000 Btu/h"\neer = "11"\npump_power = "0 W"\nvoltage = "115 V"\n')
    rated = 16000 * BTU_H / (11 * BTU_H)
    assert daily(ran, "unit_power") == pytest.approx(rated, rel=0.08)


@pytest.mark.parametrize(
    ("line", "figure", "sign"),
    [('set_point = "78 F"', "energy", -1), ('awning = "90 %"', "shortfall", -1), ('people = "8"', "shortfall", 1)],
)  # fmt: skip
def test_shortfall_and_energy_move_as_they_must(line: str, figure: str, sign: int) -> None:
    small = 'capacity = "9000 Btu/h"\nvoltage = "115 V"\n'
    assert np.sign(daily(run(small + line + "\n"), figure) - daily(run(small), figure)) == sign


def test_short_hours_and_running_hours_are_of_the_day() -> None:
    ran = run('capacity = "8000 Btu/h"\nvoltage = "115 V"\n')
    over = ran.figures["climate.shortfall"][0] > 0.5
    assert daily(ran, "short_hours") == pytest.approx(over.mean())
    assert daily(ran, "shortfall") == ran.figures["climate.shortfall"][0].max()
    assert 0.3 < daily(ran, "run_hours") <= 1.0


# --- shelter ----------------------------------------------------------------------------------------


def test_a_stated_wind_is_not_sheltered_once_more() -> None:
    windy = SUMMER_BOAT.replace("[climate]", 'wind = "8 knots"\n[climate]')
    open_, enclosed = (run(f'berth = "{b}"\n', boat=windy) for b in ("open", "enclosed"))
    assert daily(open_, "load.fresh_air") == daily(enclosed, "load.fresh_air")


def test_an_assumed_wind_goes_with_the_berth() -> None:
    found = [daily(run(f'berth = "{b}"\n'), "load.fresh_air") for b in ("enclosed", "harbour", "open")]
    assert all(a < b for a, b in pairwise(found))


def test_fresh_air_of_a_stated_wind_is_the_lbl_models_without_shelter() -> None:
    """ASHRAE, one storey: Q = A(145e-6·ΔT + 319e-6·U²)^½ with A in cm², Q in L/s (class 1)."""
    boat = SUMMER_BOAT.replace("[climate]", 'wind = "5 m/s"\n[climate]')
    ran = run('leakage_area = "300 cm2"\nvents_shut = "0 %"\nhatch_open = "0 %"\n', boat=boat)
    hour = int(np.argmax(ran.figures["climate.cooling_load"][0]))
    outdoor = ran.figures["weather.outdoor_temperature"][0, hour]
    difference = abs(outdoor - (75 + 459.67) / 1.8)
    flow = 300 * (145e-6 * difference + 319e-6 * 25.0) ** 0.5 / 1000
    from console.properties import air

    ratio = ran.figures["weather.outdoor_humidity_ratio"][0, hour]
    inside = float(air.humidity_ratio((75 + 459.67) / 1.8, 0.6))
    density = 1.0 / float(air.specific_volume(outdoor, ratio))
    heat = flow * density * (1006 * (outdoor - (75 + 459.67) / 1.8) + 2.454e6 * (ratio - inside))
    assert ran.figures["climate.load.fresh_air"][0, hour] == pytest.approx(heat, rel=0.03)


# --- what cannot be ---------------------------------------------------------------------------------

IMPOSSIBLE = {
    "an efficiency of 30": ('[climate]\neer = "30"', "climate.eer"),
    "no volts": ('[climate]\nvoltage = "0 V"', "climate.voltage"),
    "seawater near boiling": ('[site]\nseawater_temperature = "98 C"', "site.seawater_temperature"),
    "a cabin without a deck": ('[climate]\nroof_area = "0 ft**2"', "climate.roof_area"),
    "a cabin without sides": ('[climate]\nside_area = "0 ft**2"', "climate.side_area"),
    "one amp for a ton and more": ('[climate]\ncapacity = "16000 Btu/h"\ncurrent = "1 A"\nvoltage = "115 V"', "climate"),
    "a capacity below nothing": ('[climate]\ncapacity = "-12000 Btu/h"', "climate.capacity"),
    "a refrigerant nobody has": ('[climate]\nrefrigerant = "R999"', "climate.refrigerant"),
    "an hour after midnight's end": ('[climate]\nset_point = "300 F"', "climate.set_point"),
}  # fmt: skip


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_what_cannot_be_is_refused_in_one_sentence_that_says_what_is_accepted(name: str) -> None:
    lines, where = IMPOSSIBLE[name]
    with pytest.raises(BoatFileError) as refused:
        boat_from(f"format = 1\n{lines}\n", climate_alone())
    said = str(refused.value)
    assert where in said
    assert "accepted" in said
    assert len(said.splitlines()) == 1


def test_hours_that_cannot_be_read_leave_the_rest_of_the_boat_well() -> None:
    ran = run_day(boat_from(SUMMER_BOAT + 'precool = "3 F"\nprecool_hours = ["noonish"]\n', discover({})))
    told = [each for each in ran.unwell if each.stage == "climate.cabin"]
    assert len(told) == 1
    assert "is not a span of the day" in told[0].error
    assert "raw_water.flow" in ran.figures
