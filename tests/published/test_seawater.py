"""Seawater against IAPWS, UNESCO, TEOS-10, ITTC and Sharqawy et al.: seawater.toml.

Not used: the latent heats (this program computes none of seawater).
"""

import pytest

from console.properties import seawater
from tests.published import agrees, rows

ROWS = rows("seawater")
REFERENCE = 35.16504 / 35.0  # Absolute Salinity of standard seawater, g/kg, per unit of PSS-78


def kelvin(celsius):
    return celsius + 273.15


def from_1968(celsius):
    """IPTS-68 to ITS-90."""
    return kelvin(celsius / 1.00024)


def test_iapws_density_of_standard_seawater():
    row = ROWS["B-iapws08-rho"]
    assert agrees(row, seawater.density(row["inputs"]["T"], row["inputs"]["S"]))


def test_iapws_heat_capacity_of_standard_seawater():
    row = ROWS["B-iapws08-cp"]
    # The row has the water of IAPWS-95, TEOS-10 that of Feistel (2003): 8e-6 apart.
    assert seawater.heat_capacity(row["inputs"]["T"], row["inputs"]["S"]) / 1e3 == pytest.approx(
        row["expected"], rel=1e-5
    )


def test_iapws_density_and_heat_capacity_of_fresh_water():
    assert agrees(ROWS["B-water0-rho"], seawater.density(273.15, 0.0))
    assert agrees(ROWS["B-water0-cp"], seawater.heat_capacity(273.15, 0.0) / 1e3)


def test_iapws_salt_term_of_conductivity():
    row = ROWS["B-iapws08-k20"]
    T, S = row["inputs"]["T"], row["inputs"]["S"]
    found = seawater.conductivity(T, S) - seawater.conductivity(T, 0.0)
    # 1e-8 of the row, and what the table's interpolation adds.
    assert found == pytest.approx(row["expected"], abs=1e-8 + 3e-8)


def test_iapws_conductivity_and_viscosity_of_fresh_water():
    # The rows are at 998 kg/m³, 2.2 MPa above the atmosphere: 0.2 % of conductivity.
    assert seawater.conductivity(298.15, 0.0) == pytest.approx(ROWS["B-k25"]["expected"], rel=0.003)
    assert seawater.viscosity(298.15, 0.0) == pytest.approx(ROWS["B-mu25"]["expected"], rel=0.003)


@pytest.mark.parametrize("name", [name for name in ROWS if name.startswith("B-eos80-")])
def test_unesco_density(name):
    row = ROWS[name]
    S = row["inputs"]["S"] * REFERENCE / 1e3
    found = seawater.density(from_1968(row["inputs"]["T"]), S)
    assert found == pytest.approx(row["expected"], abs=0.02)  # the row's note: TEOS-10 is 0.01 off


@pytest.mark.parametrize("name", [name for name in ROWS if name.startswith("B-eos80cp-")])
def test_unesco_heat_capacity(name):
    row = ROWS[name]
    S = row["inputs"]["S"] * REFERENCE / 1e3
    found = seawater.heat_capacity(from_1968(row["inputs"]["T"]), S)
    assert found == pytest.approx(row["expected"], rel=2e-3)  # the row's note


def test_teos_10_check_values_of_a_tropical_sea():
    rho, cp = ROWS["B-gsw-rho-tropic"], ROWS["B-gsw-cp-tropic"]
    T, S = kelvin(rho["inputs"]["T"]), rho["inputs"]["SA"] / 1e3
    # Interpolated: 0.0005 kg/m³ of the table besides the row's own 0.0001.
    assert seawater.density(T, S) == pytest.approx(rho["expected"], abs=0.0006)
    assert agrees(cp, seawater.heat_capacity(T, S))


@pytest.mark.parametrize("name", [name for name in ROWS if name.startswith("B-sharqawy-mu-")])
def test_sharqawy_viscosity_of_seawater(name):
    row = ROWS[name]
    assert agrees(row, seawater.viscosity(kelvin(row["inputs"]["T"]), row["inputs"]["S"] / 1e3))


def test_sharqawy_viscosity_of_fresh_water():
    row = ROWS["B-water-mu-20"]
    assert agrees(row, seawater.viscosity(kelvin(row["inputs"]["T"]), 0.0))


def test_ittc_density_of_seawater():
    row = ROWS["B-ittc-rho15"]
    assert agrees(row, seawater.density(kelvin(row["inputs"]["T"]), row["inputs"]["SA"] / 1e3))


def test_ittc_kinematic_viscosity_of_fresh_water():
    row = ROWS["B-ittc-fw15"]
    T = kelvin(row["inputs"]["T"])
    assert agrees(row, seawater.viscosity(T, 0.0) / seawater.density(T, 0.0))
