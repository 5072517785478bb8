"""Refrigerants against the ASHRAE R134a table and textbook cycles: refrigerant_cycle.toml.

Textbooks have enthalpy data of their own; only differences are compared, save for the ASHRAE
table, whose datum (IIR) is CoolProp's. Not used: the rating points (definitions), and Hundy 6.1
and 10.3 (arithmetic without a property).
"""

import pytest

from console.properties.refrigerants import refrigerant
from tests.published import agrees, rows

ROWS = rows("refrigerant_cycle")


def kelvin(celsius):
    return celsius + 273.15


def saturated(name="R134a"):
    """The refrigerant with saturated suction gas, as the ideal textbook cycle has it."""
    return refrigerant(name, 0.0)


def kelvin_at(kilopascal):
    return saturated().saturation_temperature(kilopascal * 1e3)


@pytest.mark.parametrize("name", [name for name in ROWS if name.startswith("F-r134a-p-")])
def test_ashrae_saturation_pressure_of_r134a(name):
    row = ROWS[name]
    assert agrees(row, saturated().pressure(kelvin(row["inputs"]["T"])) / 1e3)


@pytest.mark.parametrize(
    "name", [name for name in ROWS if name.startswith("F-r134a-hf-") and "-m" not in name]
)
def test_ashrae_liquid_enthalpy_of_r134a(name):
    row = ROWS[name]
    assert agrees(row, saturated().liquid_enthalpy(kelvin(row["inputs"]["T"])) / 1e3)


def test_ashrae_liquid_enthalpy_of_r134a_below_the_condensing_range():
    """-20 °C is no condensing temperature, but 10 K of subcooling from -10 °C comes there."""
    row = ROWS["F-r134a-hf-m20"]
    assert agrees(row, saturated().liquid_enthalpy(kelvin(row["inputs"]["T"] + 10), 10.0) / 1e3)


@pytest.mark.parametrize(
    "name", [n for n in ROWS if n.startswith("F-r134a-hg-") and ROWS[n]["inputs"]["T"] <= 35]
)  # fmt: skip
def test_ashrae_vapour_enthalpy_of_r134a(name):
    row = ROWS[name]
    assert agrees(row, saturated().vapour_enthalpy(kelvin(row["inputs"]["T"])) / 1e3)


def test_bubble_pressure_of_r410a():
    row = ROWS["F-r410a-p-0"]
    r = refrigerant("R410A")
    dew = kelvin(row["inputs"]["T"])
    for _ in range(5):  # the dew temperature of the pressure whose bubble temperature is 0 °C
        dew = kelvin(row["inputs"]["T"]) + r.glide(dew)
    assert agrees(row, r.pressure(dew) / 1e3)


def test_saturation_pressure_of_r32():
    row = ROWS["F-r32-p-5"]
    assert agrees(row, refrigerant("R32").pressure(kelvin(row["inputs"]["T"])) / 1e3)


def ideal(t_evap, t_cond, subcooling=0.0, efficiency=1.0):
    """Cooling and work, kJ/kg, of a cycle with saturated suction."""
    r = saturated()
    cooling = r.vapour_enthalpy(t_evap) - r.liquid_enthalpy(t_cond, subcooling)
    return cooling / 1e3, r.isentropic_rise(t_evap, t_cond) / efficiency / 1e3


def test_cengel_11_1_ideal_cycle():
    i = ROWS["F-cengel11-1-QL"]["inputs"]
    cooling, work = ideal(kelvin_at(i["p_evap"]), kelvin_at(i["p_cond"]))
    assert agrees(ROWS["F-cengel11-1-COP"], cooling / work)
    assert agrees(ROWS["F-cengel11-1-QL"], i["m"] * cooling)


def test_cengel_11_2_actual_cycle():
    """Suction 140 kPa -10 °C, discharge 800 kPa 50 °C, liquid 720 kPa 26 °C: the discharge
    temperature gives the efficiency.
    """
    i = ROWS["F-cengel11-2-QL"]["inputs"]
    t_evap, t_cond, t_liquid = kelvin_at(i["p1"]), kelvin_at(i["p2"]), kelvin_at(i["p3"])
    r = refrigerant("R134a", float(kelvin(i["T1"]) - t_evap))
    low, high = 0.5, 1.0
    for _ in range(50):
        efficiency = (low + high) / 2
        too_hot = r.discharge_temperature(t_evap, t_cond, efficiency) > kelvin(i["T2"])
        low, high = (efficiency, high) if too_hot else (low, efficiency)
    work = i["m"] * r.isentropic_rise(t_evap, t_cond) / efficiency / 1e3
    subcooling = float(t_liquid - kelvin(i["T3"]))
    cooling = i["m"] * (r.vapour_enthalpy(t_evap) - r.liquid_enthalpy(t_liquid, subcooling)) / 1e3
    assert agrees(ROWS["F-cengel11-2-W"], work)
    assert agrees(ROWS["F-cengel11-2-QL"], cooling)
    assert agrees(ROWS["F-cengel11-2-COP"], cooling / work)


def test_moran_10_1_ideal_cycle():
    i = ROWS["F-moran10-1-W"]["inputs"]
    cooling, work = ideal(kelvin(i["T_evap"]), kelvin(i["T_cond"]))
    assert agrees(ROWS["F-moran10-1-W"], i["m"] * work)
    assert agrees(ROWS["F-moran10-1-Q"], i["m"] * cooling * 60 / 211)


def test_moran_10_2_ideal_cycle_at_a_given_pressure():
    i = ROWS["F-moran10-2-COP"]["inputs"]
    cooling, work = ideal(kelvin(i["T_evap"]), kelvin_at(i["p_cond"] * 100))
    assert agrees(ROWS["F-moran10-2-COP"], cooling / work)


def test_moran_10_3_worse_compressor_and_subcooled_liquid():
    row = ROWS["F-moran10-3-W"]
    i = row["inputs"]
    _, work = ideal(kelvin(i["T_evap"]), kelvin_at(i["p_cond"] * 100), efficiency=i["eta_s"])
    assert agrees(row, i["m"] * work)


def test_low_back_pressure_cycle_of_a_homework_solution():
    row = ROWS["F-hw22-COP"]
    cooling, work = ideal(kelvin(row["inputs"]["T_evap"]), kelvin_at(row["inputs"]["p_cond"]))
    assert agrees(row, cooling / work)


def test_hundy_2_1_ideal_cycle():
    row = ROWS["F-hundy2-1-COP"]
    cooling, work = ideal(kelvin(row["inputs"]["T_evap"]), kelvin(row["inputs"]["T_cond"]))
    assert agrees(row, cooling / work)


def test_hundy_25_3_mass_flow_for_a_load():
    row = ROWS["F-hundy25-3-m"]
    i = row["inputs"]
    r = refrigerant("R134a", i["T_suction"] - i["T_evap"])
    cooling = r.vapour_enthalpy(kelvin(i["T_evap"])) - r.liquid_enthalpy(kelvin(i["T_liq"]))
    assert agrees(row, i["Q"] * 1e3 / cooling)
