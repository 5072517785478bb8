"""Frost: against independent water properties, and what must always hold."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from plugins.cold_box import frost
from tests.plugins.cold_box.boats import day

ZERO = 273.15
cold = st.floats(ZERO - 30.0, ZERO)


@pytest.mark.parametrize("celsius", [1.0, 10.0, 25.0])
def test_vapour_and_liquid_enthalpies_are_those_of_iapws_95(celsius):
    """Saturated enthalpies from CoolProp's water, datum liquid at the triple point."""
    vapour = PropsSI("H", "T", celsius + ZERO, "Q", 1, "Water")
    liquid = PropsSI("H", "T", celsius + ZERO, "Q", 0, "Water")
    assert float(frost.vapour_enthalpy(celsius + ZERO)) == pytest.approx(vapour, rel=1e-3)
    assert float(frost.liquid_enthalpy(celsius + ZERO)) == pytest.approx(liquid, abs=200.0)


def test_sublimation_heat_rises_as_it_gets_colder():
    """2834 kJ/kg at 0 °C, 2838 at -20 °C."""
    assert float(frost.sublimation_heat(ZERO)) == pytest.approx(2834e3, rel=5e-4)
    assert float(frost.sublimation_heat(ZERO - 20.0)) == pytest.approx(2838e3, rel=5e-4)


def test_a_deposit_is_ice_below_freezing_and_water_above():
    assert frost.frozen_share(ZERO - 1.0) == 1.0
    assert frost.frozen_share(ZERO + 1.0) == 0.0
    assert frost.deposit_heat(277.0, ZERO - 1.0) > frost.deposit_heat(277.0, ZERO + 1.0)


@given(cold, st.floats(0.0, 15.0))
def test_fresh_frost_is_never_lighter_than_50_nor_denser_than_old_snow_ice(surface, under):
    assert 50.0 <= frost.fresh_frost_density(surface, surface - under) <= 600.0


@given(cold, cold)
def test_warmer_fresh_frost_is_never_lighter(one, other):
    low, high = sorted((one, other))
    assert frost.fresh_frost_density(low, low - 3.0) <= frost.fresh_frost_density(high, high - 3.0)


def test_the_published_laws_say_nothing_of_a_box_s_plate_but_their_floor():
    """Why density is an input: at a fridge's and a freezer's plate both laws give 50 or less."""
    for surface in (-10.0, -15.0, -25.0):
        assert frost.fresh_frost_density(ZERO + surface, ZERO + surface - 3.0) < 51.0


@given(st.floats(50.0, 300.0))
def test_conductivity_lies_within_the_published_laws(density):
    laws = [
        float(law(density))
        for law in (
            frost.frost_conductivity_yonko_sepsy,
            frost.frost_conductivity_lee,
            frost.frost_conductivity_sanders,
        )
    ]
    assert min(laws) <= float(frost.frost_conductivity(density)) <= max(laws)


def test_a_quarter_inch_on_200_square_inches_weighs_what_is_told():
    """120 to 410 g (computed; no source): nine of ten boxes whose frost nobody weighed lie about there."""
    density = day("", draws=512).draws.number("cold_box.plate.frost_density")
    low, high = np.percentile(density[1:] * 0.00635 * 200 * 0.0254**2 * 1e3, (5, 95))
    assert low == pytest.approx(120.0, rel=0.25)
    assert high == pytest.approx(410.0, rel=0.25)


@pytest.mark.parametrize("cabin", ["60 F", "80 F", "100 F"])
def test_frost_thickens_by_its_mass_over_the_density_entered(cabin):
    """However warm its surface: no law of fresh frost makes an old crust of it."""
    ran = day('[cold_box.plate]\nfrost_density = "200 kg/m3"\narea = "1 m**2"', f'temperature = "{cabin}"')
    mass, growth = (ran.daily(f"cold_box.{n}")[0] for n in ("frost_rate", "frost_thickness_rate"))
    assert mass == pytest.approx(growth * 200.0, rel=1e-6)


def test_vapour_conductance_is_the_lewis_analogy_whatever_the_density():
    film, area, density, heat = 5.0, 0.4, 1.25, 1006.0
    speed = frost.mass_transfer_coefficient_lewis(film, density, heat)
    assert float(frost.vapour_conductance(film, area)) == pytest.approx(float(speed * density * area))


def test_thickness_rate_times_area_and_density_is_the_mass():
    rate = frost.frost_thickness_rate(1e-6, 200.0, 0.4)
    assert np.asarray(rate) * 200.0 * 0.4 == pytest.approx(1e-6)
