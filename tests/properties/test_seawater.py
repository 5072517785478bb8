"""Seawater against gsw (TEOS-10) and CoolProp."""

import gsw
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from console.properties import seawater

RNG = np.random.default_rng(3)
T = np.concatenate([RNG.uniform(271.15, 318.15, 4000), [271.15, 318.15, 271.15, 318.15]])
S = np.concatenate([RNG.uniform(0.0, 0.042, 4000), [0.0, 0.0, 0.042, 0.042]])
FUNCTIONS = (
    seawater.density,
    seawater.heat_capacity,
    seawater.viscosity,
    seawater.conductivity,
    seawater.vapour_pressure,
)


def test_density_is_gsws_within_a_thousandth_of_a_kilogram():
    assert np.abs(seawater.density(T, S) - gsw.rho_t_exact(1e3 * S, T - 273.15, 0.0)).max() < 1e-3


def test_heat_capacity_is_gsws():
    assert np.abs(seawater.heat_capacity(T, S) / gsw.cp_t_exact(1e3 * S, T - 273.15, 0.0) - 1).max() < 1e-5


def test_freezing_temperature_is_gsws():
    assert (
        np.abs(seawater.freezing_temperature(S) - 273.15 - gsw.t_freezing(1e3 * S, 0.0, 0.0)).max() < 1e-3
    )


def coolprop_brine(output):
    """CoolProp's own fit of the same paper, above 0 °C, which strays from it by up to 1 %."""
    at = [(t, s) for t in (273.65, 283.15, 298.15, 308.15, 318.15) for s in (0.0, 0.01, 0.035, 0.042)]
    t, s = np.array(at).T
    return t, s, np.array([PropsSI(output, "T", a, "P", 101_325.0, f"INCOMP::MITSW[{b}]") for a, b in at])


def test_viscosity_agrees_with_coolprops_fit_of_the_same_paper():
    t, s, expected = coolprop_brine("V")
    assert np.abs(seawater.viscosity(t, s) / expected - 1).max() < 0.0125


def test_conductivity_agrees_with_coolprops_brine():
    # Another correlation (Jamieson and Tudhope): its fresh water is 2.8 % above IAPWS at 0 °C.
    t, s, expected = coolprop_brine("L")
    assert np.abs(seawater.conductivity(t, s) / expected - 1).max() < 0.035


def test_fresh_water_agrees_with_coolprops_water():
    for t in np.arange(274.15, 318.15, 4.0):
        assert seawater.vapour_pressure(t, 0.0) == pytest.approx(
            PropsSI("P", "T", t, "Q", 0, "Water"), rel=2e-4
        )
        assert seawater.conductivity(t, 0.0) == pytest.approx(
            PropsSI("L", "T", t, "P", 101_325, "Water"), rel=1e-4
        )
        assert seawater.viscosity(t, 0.0) == pytest.approx(
            PropsSI("V", "T", t, "P", 101_325, "Water"), rel=0.005
        )
        assert seawater.density(t, 0.0) == pytest.approx(
            PropsSI("D", "T", t, "P", 101_325, "Water"), rel=1e-5
        )


def test_salt_lowers_the_vapour_pressure_as_raoult_has_it():
    # Sharqawy, Lienhard and Zubair (2010) eq. 28, which is Raoult's law for the ions of sea salt;
    # real seawater, TEOS-10's, falls 0.2 % of the pressure short of it.
    for t in (273.15, 293.15, 313.15):
        for s in (0.005, 0.02, 0.035, 0.042):
            ratio = seawater.vapour_pressure(t, s) / seawater.vapour_pressure(t, 0.0)
            raoult = 1 / (1 + 0.57357 * s / (1 - s))
            assert raoult < ratio < raoult + 0.0025
            assert 0.88 < (1 - ratio) / (1 - raoult) < 0.96


@given(st.floats(272.0, 318.0), st.floats(0.0, 0.04))
def test_salt_makes_water_heavier_thicker_and_less_willing_to_boil_and_to_freeze(t, s):
    more = s + 0.002
    assert seawater.density(t, more) > seawater.density(t, s)
    assert seawater.viscosity(t, more) > seawater.viscosity(t, s)
    assert seawater.heat_capacity(t, more) < seawater.heat_capacity(t, s)
    assert seawater.vapour_pressure(t, more) < seawater.vapour_pressure(t, s)
    assert seawater.freezing_temperature(more) < seawater.freezing_temperature(s)


@given(st.floats(271.2, 317.0), st.floats(0.0, 0.042))
def test_warmer_water_is_thinner_conducts_better_and_has_more_vapour(t, s):
    assert seawater.viscosity(t + 1, s) < seawater.viscosity(t, s)
    assert seawater.conductivity(t + 1, s) > seawater.conductivity(t, s)
    assert seawater.vapour_pressure(t + 1, s) > seawater.vapour_pressure(t, s)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("function", FUNCTIONS)
@pytest.mark.parametrize(
    "wrong", [(270.0, 0.03), (320.0, 0.03), (290.0, -0.001), (290.0, 0.05), (np.nan, 0.03)]
)
def test_out_of_range_is_nan_and_its_neighbours_stay(function, wrong):
    t, s = np.array([290.0, wrong[0], 271.15, 318.15]), np.array([0.03, wrong[1], 0.0, 0.042])
    assert np.isnan(function(t, s)).tolist() == [False, True, False, False]


@pytest.mark.filterwarnings("error")
def test_freezing_out_of_range_is_nan():
    assert np.isnan(seawater.freezing_temperature([0.0, -0.001, 0.042, 0.05])).tolist() == [
        False,
        True,
        False,
        True,
    ]


@pytest.mark.parametrize("function", FUNCTIONS)
def test_salinity_of_draws_broadcasts_over_hours(function):
    t, s = np.linspace(285, 300, 24)[None, :], np.linspace(0.0, 0.04, 6)[:, None]
    assert function(t, s).shape == (6, 24)
    assert function(t, s)[4, 9] == pytest.approx(function(t[0, 9], s[4, 0]))
    assert isinstance(function(290.0, 0.03), float)
