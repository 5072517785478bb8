"""The unit's refrigeration cycle against worked examples and against CoolProp called directly."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import CoolProp.CoolProp as coolprop
import numpy as np
import pytest
from scipy.optimize import brentq

from console.properties.refrigerants import refrigerant
from plugins.climate import tables
from plugins.climate.machine import Machine, vapour_cycle, volumetric_efficiency
from plugins.climate.unit import balance
from tests.plugins.climate.boats import BTU_H, conditions, fahrenheit, made
from tests.published import agrees, rows

CYCLE = rows("refrigerant_cycle")
KELVIN = 273.15


@pytest.fixture(autouse=True)
def _iir_datum() -> Iterator[None]:
    """CoolProp's datum is global: put it back after each test."""
    yield
    for fluid in ("R134a", "R410A", "R22", "R32"):
        coolprop.set_reference_state(fluid, "DEF")


def _ideal(
    evaporating: float, condensing: float, flow: float, subcooling: float = 0.0
) -> tuple[float, float]:
    """Cooling and power of an ideal R134a cycle with dry saturated suction, W, for a mass flow."""
    gas = refrigerant("R134a", superheat=0.0)
    t_e, t_c = np.array([evaporating]), np.array([condensing])
    ratio = gas.pressure(t_c) / gas.pressure(t_e)
    density = gas.suction_density(t_e)
    swept = flow / (density * volumetric_efficiency(ratio))
    made_ = vapour_cycle(gas, swept, 1.0, ratio, t_e, t_c, subcooling)
    assert float(made_.flow[0]) == pytest.approx(flow, rel=1e-9)
    return float(made_.cooling[0]), float(made_.power[0])


def _saturation(kilopascal: float) -> float:
    return float(refrigerant("R134a", superheat=0.0).saturation_temperature(kilopascal * 1000))


@pytest.mark.parametrize(
    ("row", "low", "high", "flow"),
    [
        ("F-cengel11-1-COP", ("p", 140), ("p", 800), 0.05),
        ("F-moran10-2-COP", ("t", -10), ("p", 900), 0.08),
        ("F-hw22-COP", ("t", -20), ("p", 1200), 0.05),
        ("F-hundy2-1-COP", ("t", -5), ("t", 35), 0.05),
    ],
)
def test_ideal_cycle_performance_is_the_textbooks(
    row: str, low: tuple[str, float], high: tuple[str, float], flow: float
) -> None:
    cold, warm = (_saturation(v) if kind == "p" else v + KELVIN for kind, v in (low, high))
    cooling, power = _ideal(cold, warm, flow)
    assert agrees(CYCLE[row], cooling / power)


def test_ideal_cycle_cooling_is_cengels_11_1() -> None:
    cooling, _ = _ideal(_saturation(140), _saturation(800), 0.05)
    assert agrees(CYCLE["F-cengel11-1-QL"], cooling / 1000)


def test_ideal_cycle_power_and_capacity_are_morans_10_1() -> None:
    cooling, power = _ideal(KELVIN, 26 + KELVIN, 0.08)
    assert agrees(CYCLE["F-moran10-1-W"], power / 1000)
    assert agrees(CYCLE["F-moran10-1-Q"], cooling * 60 / 211e3)


def test_real_compressor_power_is_morans_10_3() -> None:
    """The same cycle with 80 % isentropic efficiency and liquid at 30 °C."""
    gas = refrigerant("R134a", superheat=0.0)
    row = CYCLE["F-moran10-3-W"]
    t_e, t_c = np.array([KELVIN - 10]), np.array([_saturation(900)])
    ratio = gas.pressure(t_c) / gas.pressure(t_e)
    swept = 0.08 / (gas.suction_density(t_e) * volumetric_efficiency(ratio))
    found = vapour_cycle(gas, swept, 0.8, ratio, t_e, t_c, t_c - (30 + KELVIN))
    assert agrees(row, float(found.power[0]) / 1000)


# --- one balance, solved again with CoolProp and nested bracketing ------------------------------


def _direct(machine: Machine, fluid: str, state: dict[str, float]) -> dict[str, float]:
    """The same equations in scalars, every property from CoolProp, solved by bracketing."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    pick = {name: float(np.ravel(getattr(machine, name))[0]) for name in (
        "displacement", "efficiency", "pressure_ratio", "airflow", "bypass", "coil_resistance",
        "refrigerant_side", "water_side", "area", "water_flow",
    )}  # fmt: skip
    t, w = state["t"], state["w"]

    def humid(what: str, *pairs: object) -> float:
        return float(coolprop.HAPropsSI(what, *pairs))

    air_flow = pick["airflow"] / humid("Vda", "T", t, "W", w, "P", 101325.0)
    contact = 1.0 - pick["bypass"]
    enthalpy = humid("Hda", "T", t, "W", w, "P", 101325.0)

    def coil(surface: float) -> float:
        saturated = humid("W", "T", surface, "R", 1.0, "P", 101325.0)
        at = min(saturated, w)
        drop = enthalpy - humid("Hda", "T", surface, "W", at, "P", 101325.0)
        water = 4186.0 * max(surface - KELVIN, 0.0)
        return air_flow * contact * (drop - (w - at) * water)

    def props(what: str, *pairs: object) -> float:
        return float(coolprop.PropsSI(what, *pairs, fluid))

    def cycle(evaporating: float, condensing: float) -> tuple[float, float]:
        low = props("P", "T", evaporating, "Q", 1)
        high = props("P", "T", condensing, "Q", 1)
        suction = ("P", low, "T", evaporating + tables.RATED_SUPERHEAT)
        h1, rho, s1 = (props(name, *suction) for name in ("H", "D", "S"))
        h2s = props("H", "P", high, "S", s1)
        bubble = props("T", "P", high, "Q", 0)
        h3 = props("H", "P", high, "T", bubble - tables.RATED_SUBCOOLING)
        ratio = high / low
        swept = 1.0 - tables.CLEARANCE * (ratio ** (1.0 / tables.EXPANSION_EXPONENT) - 1.0)
        flow = pick["displacement"] * swept * rho
        off = 1.0 - tables.EFFICIENCY_CURVATURE * math.log(ratio / pick["pressure_ratio"]) ** 2
        return flow * (h1 - h3), flow * (h2s - h1) / (pick["efficiency"] * off)

    share = state["flow"] / pick["water_flow"]
    water = state["flow"] * state["water_heat"]
    conductance = 1.0 / (
        pick["refrigerant_side"]
        + pick["water_side"] * share**-tables.WATER_FILM_EXPONENT
        + state["scale"] / pick["area"]
    )
    effective = water * (1.0 - math.exp(-conductance / water))

    def surface_at(condensing: float) -> float:
        def left(surface: float) -> float:
            heat = coil(surface)
            return heat - cycle(surface - heat * pick["coil_resistance"], condensing)[0]

        return float(brentq(left, 274.0, t - 0.5, xtol=1e-6))

    def water_left(condensing: float) -> float:
        surface = surface_at(condensing)
        cooling, power = cycle(surface - coil(surface) * pick["coil_resistance"], condensing)
        return effective * (condensing - state["water"]) - cooling - tables.HERMETIC_SHARE * power

    condensing = float(brentq(water_left, state["water"] + 2.0, fahrenheit(146.0), xtol=1e-5))
    surface = surface_at(condensing)
    heat = coil(surface)
    evaporating = surface - heat * pick["coil_resistance"]
    return {
        "condensing": condensing, "evaporating": evaporating, "heat": heat,
        "power": cycle(evaporating, condensing)[1],
    }  # fmt: skip


@pytest.mark.parametrize("fluid", ["R410A", "R22", "R32"])
@pytest.mark.parametrize(
    ("dry", "wet", "water", "share", "scale"),
    [(80, 67, 85, 1.0, 0.0), (88, 79, 92, 0.6, 2e-4), (72, 60, 68, 1.4, 5e-5)],
)
def test_balance_is_the_one_coolprop_gives_solved_directly(
    fluid: str, dry: float, wet: float, water: float, share: float, scale: float
) -> None:
    machine = made(refrigerant=fluid)
    at = conditions(machine, dry=dry, wet=wet, water=water, flow_share=share, scale=scale)
    found = balance(machine, at)
    direct = _direct(
        machine, fluid,
        {
            "t": float(at.return_temperature[0, 0]), "w": float(at.return_humidity_ratio[0, 0]),
            "water": fahrenheit(water), "flow": float(at.water_flow[0, 0]),
            "water_heat": float(at.water_heat[0, 0]), "scale": scale,
        },
    )  # fmt: skip
    assert float(found.condensing[0, 0]) == pytest.approx(direct["condensing"], abs=0.1)
    assert float(found.evaporating[0, 0]) == pytest.approx(direct["evaporating"], abs=0.1)
    heat = float(found.capacity[0, 0] + found.fan_heat[0, 0])
    assert heat == pytest.approx(direct["heat"], abs=10.0 * BTU_H)
    assert float(found.compressor_power[0, 0]) == pytest.approx(direct["power"], rel=0.003)


def test_three_refrigerants_of_one_label_part_only_off_the_rating_point() -> None:
    """All are fitted to the same label; off it R22, of the highest critical point, loses least."""
    lost = {}
    for fluid in ("R22", "R410A"):
        machine = made(refrigerant=fluid)
        rated = float(balance(machine, conditions(machine)).capacity[0, 0])
        hot = float(balance(machine, conditions(machine, water=100)).capacity[0, 0])
        assert rated == pytest.approx(16000 * 0.9 * BTU_H, rel=1e-3)
        lost[fluid] = 1.0 - hot / rated
    assert all(a < b for a, b in pairwise(lost.values()))
