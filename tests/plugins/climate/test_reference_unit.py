"""The unit against a second solver: SciPy on direct CoolProp, at random states, wet and dry coil.

Everything the maps, the Newton steps and the arrays do is done again here in scalars: humid air by
CoolProp's humid-air functions, the refrigerant by its equations of state, the two balances by
SciPy's hybrid method from a start that knows nothing of the answer.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import CoolProp.CoolProp as coolprop
import numpy as np
import pytest
from scipy.optimize import root

from console.properties import air
from console.properties.refrigerants import refrigerant
from plugins.climate import tables
from plugins.climate.machine import Machine, vapour_cycle
from plugins.climate.unit import Conditions, UnitState, balance
from tests.plugins.climate.boats import made, one

KELVIN = 273.15
FLUIDS = {"R410A": "R410A", "R32": "R32", "R22": "R22", "R407C": "R407C", "R134a": "R134a"}
"""Of the label's refrigerants R454B is CoolProp's mixture of R32 and R1234yf, checked by itself."""


@cache
def _state(fluid: str) -> Any:
    return coolprop.AbstractState("HEOS", fluid)


def corners(fluid: str, evaporating: float, condensing: float) -> dict[str, float]:
    """Suction and liquid enthalpy, isentropic end, suction density and pressures, by CoolProp.

    Evaporating and condensing are dew temperatures; the liquid is subcooled below its bubble point.
    """
    state = _state(fluid)
    state.update(coolprop.QT_INPUTS, 1.0, evaporating)
    low = state.p()
    state.update(coolprop.QT_INPUTS, 1.0, condensing)
    high = state.p()
    state.update(coolprop.PQ_INPUTS, high, 0.0)
    bubble = state.T()
    state.update(coolprop.PT_INPUTS, high, bubble - tables.RATED_SUBCOOLING)
    liquid = state.hmass()
    state.update(coolprop.PT_INPUTS, low, evaporating + tables.RATED_SUPERHEAT)
    suction, density, entropy = state.hmass(), state.rhomass(), state.smass()
    state.update(coolprop.PSmass_INPUTS, high, entropy)
    return {
        "low": low, "high": high, "bubble": bubble, "liquid": liquid, "suction": suction, "density": density,
        "compressed": state.hmass(),
    }  # fmt: skip


def cycle_by_coolprop(
    fluid: str, swept: float, efficiency: float, rated: float, evaporating: float, condensing: float
) -> tuple[float, float, float]:
    """Cooling and power, W, and the bubble temperature, of the cycle of `vapour_cycle`."""
    at = corners(fluid, evaporating, condensing)
    ratio = at["high"] / at["low"]
    filled = 1.0 - tables.CLEARANCE * (ratio ** (1.0 / tables.EXPANSION_EXPONENT) - 1.0)
    flow = swept * filled * at["density"]
    off = 1.0 - tables.EFFICIENCY_CURVATURE * math.log(ratio / rated) ** 2
    power = flow * (at["compressed"] - at["suction"]) / (efficiency * off)
    return flow * (at["suction"] - at["liquid"]), power, at["bubble"]


@pytest.mark.parametrize("fluid", FLUIDS)
def test_cycle_is_coolprops_over_a_grid_of_temperatures(fluid: str) -> None:
    gas = refrigerant(fluid)
    for celsius_cold in (-15.0, -5.0, 0.0, 5.0, 10.0, 18.0):
        for celsius_hot in (25.0, 32.0, 40.0, 48.0, 56.0, 62.0):
            cold, hot = np.array([celsius_cold + KELVIN]), np.array([celsius_hot + KELVIN])
            found = vapour_cycle(gas, 5e-5, 0.6, 2.7, cold, hot)
            cooling, power, _ = cycle_by_coolprop(fluid, 5e-5, 0.6, 2.7, float(cold[0]), float(hot[0]))
            assert float(found.cooling[0]) == pytest.approx(cooling, rel=0.01)
            assert float(found.power[0]) == pytest.approx(power, rel=0.01)


def test_the_mixture_r454b_is_coolprops_r32_and_r1234yf() -> None:
    """68.9 % R32 and 31.1 % R1234yf by mass (ASHRAE 34); as a mixture CoolProp gives no subcooled
    flash, so its pressures, glide, suction gas and isentropic end are compared."""
    gas = refrigerant("R454B")
    light, heavy = 52.024, 114.0416
    moles = (0.689 / light) / (0.689 / light + 0.311 / heavy)
    mix = coolprop.AbstractState("HEOS", "R32&R1234yf")
    mix.set_mole_fractions([moles, 1.0 - moles])
    for celsius in (0.0, 10.0, 35.0, 45.0):
        mix.update(coolprop.QT_INPUTS, 1.0, celsius + KELVIN)
        pressure = mix.p()
        assert float(gas.pressure(celsius + KELVIN)) == pytest.approx(pressure, rel=0.01)
        mix.update(coolprop.PQ_INPUTS, pressure, 0.0)
        assert float(gas.glide(celsius + KELVIN)) == pytest.approx(celsius + KELVIN - mix.T(), abs=0.15)


# --- the whole balance --------------------------------------------------------------------------


def _number(value: object) -> float:
    return float(np.ravel(np.asarray(value))[0])


def balance_by_scipy(machine: Machine, fluid: str, at: Conditions) -> dict[str, float]:
    """Coil surface and condensing temperature of the balance, and what they give."""
    t, w = _number(at.return_temperature), _number(at.return_humidity_ratio)
    charge, face = _number(at.charge), 1.0 - _number(at.iced)
    wetted = min(charge, 1.0) ** tables.WETTED_EXPONENT
    airflow, water_in = _number(at.airflow), _number(at.water_temperature)
    pick = {name: _number(getattr(machine, name)) for name in (
        "displacement", "efficiency", "pressure_ratio", "airflow", "bypass", "coil_resistance", "refrigerant_side",
        "water_side", "area", "water_flow", "volts",
    )}  # fmt: skip

    def humid(what: str, temperature: float, ratio: float) -> float:
        return float(coolprop.HAPropsSI(what, "T", temperature, "W", ratio, "P", 101325.0))

    flow = pick["airflow"] * airflow / humid("Vda", t, w)
    units = -math.log(pick["bypass"]) * airflow ** (tables.AIR_FILM_EXPONENT - 1.0) * face
    contact = (1.0 - math.exp(-units)) * wetted
    enthalpy = humid("Hda", t, w)
    volts = _number(at.volts) / pick["volts"]
    slip = tables.RATED_SLIP / volts**2
    swept = pick["displacement"] * (1.0 - slip) / (1.0 - tables.RATED_SLIP)
    swept *= min(charge, 1.0) ** tables.STARVED_FLOW_EXPONENT
    losses = 1.0 + tables.COPPER_LOSS / volts**2 + tables.CORE_LOSS * volts**2
    efficiency = pick["efficiency"] * (1.0 + tables.COPPER_LOSS + tables.CORE_LOSS) / losses
    water = _number(at.water_flow) * _number(at.water_heat)
    share = _number(at.water_flow) / pick["water_flow"]
    film = pick["water_side"] * share**-tables.WATER_FILM_EXPONENT
    conductance = 1.0 / (pick["refrigerant_side"] + film + _number(at.scale) / pick["area"])
    conductance *= 1.0 - tables.OVERCHARGE_LOSS * max(charge - 1.0, 0.0)
    effective = water * (1.0 - math.exp(-conductance / water))

    def coil(surface: float) -> tuple[float, float]:
        wet = min(float(coolprop.HAPropsSI("W", "T", surface, "R", 1.0, "P", 101325.0)), w)
        drop = enthalpy - humid("Hda", surface, wet)
        carried = (w - wet) * 4186.0 * max(surface - KELVIN, 0.0)
        return flow * contact * (drop - carried), flow * contact * (w - wet)

    def parts(unknown: Any) -> tuple[float, float, float, float]:
        surface, condensing = float(unknown[0]), float(unknown[1])
        heat, _ = coil(surface)
        boiling = surface - heat * pick["coil_resistance"] / (wetted * face)
        cooling, power, bubble = cycle_by_coolprop(
            fluid, swept, efficiency, pick["pressure_ratio"], boiling, condensing
        )
        # A mixture that glides condenses, as the water sees it, at the mean of dew and bubble.
        mean = 0.5 * (condensing + bubble)
        return heat, cooling, power, effective * (mean - water_in)

    def left(unknown: Any) -> list[float]:
        heat, cooling, power, rejected = parts(unknown)
        return [heat - cooling, rejected - cooling - tables.HERMETIC_SHARE * power]

    solved = root(left, [t - 11.0, water_in + 12.0], method="hybr", options={"xtol": 1e-9})
    assert solved.success, solved.message
    surface, condensing = (float(v) for v in solved.x)
    heat, _, power, _ = parts(solved.x)
    return {
        "surface": surface, "condensing": condensing, "heat": heat, "power": power,
        "condensate": coil(surface)[1],
    }  # fmt: skip


def _random(seed: int) -> tuple[str, Machine, Conditions, UnitState] | None:
    rng = np.random.default_rng(seed)
    fluid = list(FLUIDS)[seed % len(FLUIDS)]
    machine = made(refrigerant=fluid, bypass=rng.uniform(0.08, 0.3), condensing=rng.uniform(312.0, 316.0))
    dry = rng.uniform(292.0, 305.0)
    # Every third coil is dry.
    share = rng.uniform(0.12, 0.25) if seed % 3 == 0 else rng.uniform(0.4, 0.85)
    at = Conditions(
        one(dry), air.humidity_ratio(one(dry), share), one(rng.uniform(288.15, 308.15)),
        machine.water_flow * rng.uniform(0.45, 1.6), one(4.1e6), one(rng.uniform(0.0, 2e-4)),
        one(115.0 * rng.uniform(0.9, 1.08)), one(1.0), one(rng.uniform(0.6, 1.0)),
        one(rng.choice([0.0, rng.uniform(0.0, 0.3)])), one(rng.uniform(0.7, 1.15)),
    )  # fmt: skip
    found = balance(machine, at)
    return None if _number(found.tripped) > 0.0 else (fluid, machine, at, found)


STATES = [seed for seed in range(90) if _random(seed) is not None][:60]


def test_there_are_sixty_states_wet_and_dry() -> None:
    drips = [_number(made_[3].condensate) > 0.0 for seed in STATES if (made_ := _random(seed))]
    assert len(drips) == 60
    assert 15 <= drips.count(False) <= 30


@pytest.mark.parametrize("seed", STATES)
def test_balance_is_scipys_on_coolprop_within_one_percent(seed: int) -> None:
    drawn = _random(seed)
    assert drawn
    fluid, machine, at, found = drawn
    direct = balance_by_scipy(machine, fluid, at)
    heat = _number(found.capacity) + _number(found.fan_heat)
    assert heat == pytest.approx(direct["heat"], rel=0.01)
    assert _number(found.compressor_power) == pytest.approx(direct["power"], rel=0.01)
    assert _number(found.coil_surface) == pytest.approx(direct["surface"], abs=0.1)
    assert _number(found.condensate) == pytest.approx(direct["condensate"], rel=0.01, abs=2e-6)
