"""The cabin's day: thermostat, drift, water, and the balances that must close."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.linalg import expm

from console.properties import air
from plugins.climate import surfaces, tables
from plugins.climate.cabin import CabinDay, Controls, cabin_day
from plugins.climate.load import Inside, Loads, Outside, Shell, component_loads
from plugins.climate.machine import Machine
from plugins.climate.moisture import pan_return
from plugins.climate.thermostat import run_share_needed
from plugins.climate.unit import Start, UnitState, balance
from tests.plugins.climate.boats import aboard, conditions, fahrenheit, hull, made, one, summer

Array = NDArray[np.float64]
STEP = 3600.0


def live(
    machine: Machine, outside: Outside | None = None, shell: Shell | None = None, inside: Inside | None = None,
    *, fan_always: bool = False, from_bilge: float = 0.05, recirculated: float = 0.0, periodic: bool = True,
    **state: float,
) -> tuple[Loads, CabinDay]:  # fmt: skip
    inside = inside or aboard()
    loads = component_loads(outside or summer(), shell or hull(), inside, STEP, periodic)
    base = conditions(machine, **state)
    controls = Controls(
        inside.target, air.humidity_ratio(inside.target, inside.held_humidity), one(27.5), one(from_bilge),
        one(recirculated), fan_always, machine.airflow,
    )  # fmt: skip

    def serve(temperature: Array, ratio: Array, start: Start | None, *_: object) -> UnitState:
        at = replace(base, return_temperature=temperature, return_humidity_ratio=ratio)
        return balance(machine, at, start)

    return loads, cabin_day(loads, controls, serve, STEP, periodic)


BIG, SMALL = made(), made(capacity=8000 * 0.29307, power=700.0, airflow=0.11, fan_power=50.0)


def fails_to_close(loads: Loads, day: CabinDay) -> tuple[float, float]:
    """Heat and water left over, as a share of what went through."""
    heat = (day.heat.sum() - day.shed.sum()) * STEP - day.stored_heat.sum()
    through = np.abs(loads.sensible_total).sum() * STEP
    brought = loads.fresh_flow * loads.fresh_humidity_ratio + loads.bilge_flow * loads.bilge_humidity_ratio
    lost = (
        (loads.fresh_flow + loads.bilge_flow) * day.humidity_ratio
        + day.drained
        + day.on_walls
        - day.evaporated
    )
    water = (loads.vapour + brought - lost).sum() * STEP - day.stored_water.sum()
    return abs(float(heat / through)), abs(float(water / (brought.sum() * STEP)))


@pytest.mark.parametrize("fan_always", [False, True])
@pytest.mark.parametrize("machine", [BIG, SMALL])
def test_heat_and_water_of_the_day_balance(machine: Machine, fan_always: bool) -> None:
    loads, day = live(machine, fan_always=fan_always)
    heat, water = fails_to_close(loads, day)
    assert heat < 1e-6
    assert water < 1e-6


@settings(max_examples=15, deadline=None)
@given(
    st.floats(0.4, 1.2), st.floats(0.0, 0.5), st.floats(0.0, 0.4), st.floats(0.0, 0.5), st.floats(60, 82),
    st.floats(0.004, 0.024), st.booleans(),
)  # fmt: skip
def test_heat_and_water_balance_whatever_the_day(
    size: float, hatch: float, bilge: float, again: float, target: float, wet: float, fan_always: bool
) -> None:
    machine = made(capacity=4689.0 * size, power=1318.0 * size, airflow=0.22 * size)
    loads, day = live(
        machine, summer(humidity_ratio=np.full(24, wet)), hull(hatch_open=hatch),
        aboard(target=fahrenheit(target), bilge_flow=0.25 * bilge),
        fan_always=fan_always, from_bilge=bilge, recirculated=again,
    )  # fmt: skip
    heat, water = fails_to_close(loads, day)
    assert heat < 1e-6
    assert water < 1e-6
    assert np.isfinite(day.temperature).all()
    assert (day.on_walls >= -1e-12).all()
    assert (air.relative_humidity(day.temperature, day.humidity_ratio) <= 1.0 + 1e-6).all()


def test_a_unit_with_room_to_spare_holds_the_set_point() -> None:
    _, day = live(BIG)
    assert np.abs(day.temperature - fahrenheit(75)).max() < 0.01
    assert day.run_share.min() > 0.0
    assert day.run_share.max() < 1.0


def test_day_closes_and_the_unit_stands_at_the_return_air_of_the_cabin() -> None:
    for machine in (BIG, SMALL):
        _, day = live(machine)
        assert day.settled.all()
        # The stores end as warm and as wet as they began: heat of a few hundredths of a degree.
        assert abs(float(day.stored_heat[0])) < 0.05 * 3.6e6
        assert abs(float(day.stored_water[0])) < 0.02
        expected = 0.95 * day.temperature + 0.05 * (
            summer().temperature + 0.6 * (summer().sea - summer().temperature)
        )
        assert np.abs(day.return_temperature - expected).max() < 0.1


def test_run_share_times_what_the_unit_takes_is_what_was_removed() -> None:
    _, day = live(SMALL)
    base = conditions(SMALL)
    at = replace(
        base, return_temperature=day.return_temperature, return_humidity_ratio=day.return_humidity_ratio
    )
    unit = balance(SMALL, at)
    full = unit.sensible - unit.casing_heat - unit.fan_heat
    assert day.supply_temperature[0] == pytest.approx(unit.supply_temperature[0], abs=0.05)
    assert (day.run_share * full)[0] == pytest.approx(day.removed[0], rel=0.01, abs=5.0)


def test_a_unit_too_small_runs_without_a_stop_and_the_cabin_floats_up() -> None:
    _, day = live(SMALL)
    short = day.run_share[0] > 0.999
    assert short[13:18].all()
    assert not short[2:5].any()
    assert day.temperature[0][short].max() > fahrenheit(75) + 1.0
    assert day.temperature[0][~short] == pytest.approx(fahrenheit(75), abs=0.6)


@settings(max_examples=12, deadline=None)
@given(st.floats(0.3, 1.0), st.floats(1.02, 1.6))
def test_cabin_never_gets_warmer_with_a_larger_unit(size: float, more: float) -> None:
    def warmest(scale: float) -> float:
        machine = made(capacity=4689.0 * scale, power=1318.0 * scale, airflow=0.22 * scale)
        return float(live(machine, periodic=True)[1].temperature.max())

    assert warmest(size * more) <= warmest(size) + 0.05


@settings(max_examples=12, deadline=None)
@given(st.floats(64, 78), st.floats(0.2, 4.0))
def test_cabin_and_run_share_are_monotone_in_the_set_point(target: float, warmer: float) -> None:
    _, cool = live(SMALL, inside=aboard(target=fahrenheit(target)))
    _, warm = live(SMALL, inside=aboard(target=fahrenheit(target + warmer)))
    assert (warm.temperature >= cool.temperature - 0.1).all()
    assert (warm.run_share <= cool.run_share + 0.01).all()


def test_without_a_unit_the_cabin_is_the_whole_network_solved_directly() -> None:
    """Air and stores integrated by SciPy's matrix exponential in plain temperatures, no
    deviation and no superposition: a shut, tight cabin in a day that repeats."""
    day_outside = summer(direct_normal=np.zeros(24), diffuse=np.zeros(24))
    shell = hull(leakage_area=0.0)
    inside = aboard(people=0.0, equipment=300.0, evaporation=0.0, bilge_flow=0.0)
    loads = component_loads(day_outside, shell, inside, STEP, periodic=True)
    machine = BIG
    base = conditions(machine, flow_share=0.0)
    controls = Controls(inside.target, one(0.011), one(27.5), one(0.0), one(0.0), False, machine.airflow)

    def serve(temperature: Array, ratio: Array, start: Start | None, *_: object) -> UnitState:
        at = replace(base, return_temperature=temperature, return_humidity_ratio=ratio)
        return balance(machine, at, start)

    found = cabin_day(loads, controls, serve, STEP, periodic=True)
    assert (found.run_share[0] == 1.0).any()

    film = surfaces.outside_film_ashrae(2.5)
    walls = np.array([
        float(surfaces.deck_transmittance(0.0127, film)) * 20.0,
        float(surfaces.side_transmittance(0.003, film)) * 20.0,
        float(surfaces.hull_transmittance(0.0016)) * 18.0,
    ])  # fmt: skip
    glass = 0.8 * float(surfaces.glass_transmittance(film, True)) + 0.71 * float(
        surfaces.glass_transmittance(film)
    )
    capacity = loads.capacity[0]
    to_air = np.array([27.5 * tables.FURNISHINGS_FILM_AREA, *(2 * walls)])
    g = np.zeros((5, 5))
    g[0, 0] = -(glass + to_air.sum())
    g[0, 1:] = g[1:, 0] = to_air
    g[1, 1] = -to_air[0]
    for k in range(3):
        g[k + 2, k + 2] = -4 * walls[k]
    a = g / capacity[:, None]
    step = expm(a * 60.0)
    gain = np.linalg.solve(a, step - np.eye(5))
    temperature = np.full(5, fahrenheit(84))
    means = np.zeros(24)
    for _ in range(12):
        for hour in range(24):
            outdoor, sea = float(day_outside.temperature[0, hour]), float(day_outside.sea[0, hour])
            sol_air = [outdoor - tables.LONG_WAVE_HORIZONTAL / film, outdoor, sea]
            heat = np.array([
                glass * outdoor + 0.7 * 300.0, 0.3 * 300.0, *(2 * w * t for w, t in zip(walls, sol_air, strict=True))
            ])  # fmt: skip
            total = 0.0
            for _ in range(60):
                after = step @ temperature + gain @ (heat / capacity)
                total += 0.5 * (temperature[0] + after[0])
                temperature = after
            means[hour] = total / 60
    warm = means > fahrenheit(75)
    assert warm.all()
    assert found.temperature[0] == pytest.approx(means, abs=0.03)


# --- damp -------------------------------------------------------------------------------------


def test_a_fan_left_on_makes_the_night_damper() -> None:
    cycling, always = live(BIG)[1], live(BIG, fan_always=True)[1]
    assert always.humidity_ratio[0, :6].mean() > 1.15 * cycling.humidity_ratio[0, :6].mean()


def test_a_fan_left_on_is_heat_to_be_removed_all_day() -> None:
    def beyond_the_load(fan_always: bool) -> float:
        loads, day = live(BIG, fan_always=fan_always)
        # Wet things dry off, and cool, more or less than in the state the load is reckoned at.
        more_dry = tables.VAPORISATION * (loads.dries_off - day.evaporated)
        return float((day.removed - loads.sensible_total - more_dry).mean())

    assert beyond_the_load(True) == pytest.approx(93.0, abs=1.0)
    assert beyond_the_load(False) == pytest.approx(0.0, abs=1.0)


def test_fan_left_on_blows_nothing_back_once_the_unit_hardly_stops() -> None:
    assert pan_return(np.array([0.0, 0.4, 0.8, 1.0]), True) == pytest.approx([1.0, 0.5, 0.0, 0.0])
    assert (pan_return(np.array([0.0, 0.5]), False) == 0).all()


@given(st.floats(1, 4000), st.floats(50, 4000), st.floats(0, 3000))
def test_run_share_solves_its_own_equation(need: float, full: float, latent: float) -> None:
    share = float(run_share_needed(np.array(need), np.array(full), np.array(latent)))
    assert 0.0 <= share <= 1.0
    removed = share * (full + float(pan_return(np.array(share), True)) * latent)
    if share < 0.999:
        assert removed == pytest.approx(need, rel=1e-6)
    else:
        assert need >= full * 0.999 - 1e-6


def test_hygroscopic_cabin_damps_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """The buffer takes in water by night and gives it back: smaller swing than the air alone."""
    _, with_buffer = live(BIG)
    monkeypatch.setattr(tables, "BUFFER_MASS", 1e-6)
    _, without = live(BIG)
    assert np.ptp(with_buffer.humidity_ratio) < np.ptp(without.humidity_ratio)


def test_air_held_at_saturation_condenses_on_the_walls() -> None:
    """A wet, cold cabin whose unit has nothing to do."""
    outside = summer(
        temperature=np.full(24, 288.0), humidity_ratio=np.full(24, 0.0106), sea=np.full(24, 281.0),
        direct_normal=np.zeros(24), diffuse=np.zeros(24),
    )  # fmt: skip
    loads, day = live(
        BIG, outside, hull(), aboard(people=4.0, equipment=0.0, evaporation=2e-4, bilge_flow=0.0)
    )
    assert day.on_walls.sum() > 0
    assert day.run_share.max() == 0.0
    assert fails_to_close(loads, day)[1] < 1e-6


# --- return air -------------------------------------------------------------------------------


def test_bilge_air_warms_the_return_and_recirculation_cools_it() -> None:
    plain = live(BIG, from_bilge=0.0)[1]
    bilge = live(BIG, inside=aboard(bilge_flow=0.06), from_bilge=0.25)[1]
    again = live(BIG, from_bilge=0.0, recirculated=0.4)[1]
    noon = 15
    assert bilge.return_temperature[0, noon] > plain.return_temperature[0, noon] + 0.8
    assert again.return_temperature[0, noon] < plain.return_temperature[0, noon] - 1.0


def test_a_unit_that_starves_when_cold_and_recovers_when_warm_settles() -> None:
    """Low charge: it trips on low pressure at the set-point; the answer stays finite and calm."""
    machine = BIG
    _, day = live(machine, charge=0.22, inside=aboard(target=fahrenheit(66)))
    assert day.settled.all()
    assert np.isfinite(day.temperature).all()
    assert day.temperature.max() < 330.0


def test_a_run_that_is_no_day_goes_through_once() -> None:
    loads, day = live(BIG, periodic=False)
    heat, water = fails_to_close(loads, day)
    assert heat < 1e-6
    assert water < 1e-6
