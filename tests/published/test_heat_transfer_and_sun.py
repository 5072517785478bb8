"""Films, walls, glass, sol-air, people, coils and infiltration against what is published.

The sun's position is checked with the weather, box walls with the ice box. Rows of this group that
no function of the program computes (a textbook's window of another make, counterflow and crossflow
exchangers, free convection off a hot plate) are not claimed here.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from console.properties import air
from plugins.climate import surfaces, tables
from plugins.climate.exchange import coil_air, effectiveness_phase_change, transfer_units_phase_change
from plugins.climate.load import air_heat, people_heat
from tests.published import agrees, rows

HEAT = rows("heat_transfer_and_sun")
AIR = rows("psychrometrics")
EXCHANGE = rows("air_exchange_and_frost")
KELVIN = 273.15


def test_phase_change_effectiveness_is_kays_and_londons() -> None:
    row = HEAT["D-eff-phase-1"]
    assert agrees(row, float(effectiveness_phase_change(row["inputs"]["NTU"])))


def test_condenser_mean_temperature_difference_is_cengels_11_3() -> None:
    """With one side at rest, LMTD = rise / NTU, and NTU is that of the effectiveness."""
    row = HEAT["D-cengel11-3-LMTD"]
    given = row["inputs"]
    rise = given["Tc_out"] - given["Tc_in"]
    units = transfer_units_phase_change(rise / (given["T_cond"] - given["Tc_in"]))
    assert agrees(row, float(rise / units))


def test_evaporator_mean_temperature_difference_is_hundys_1_10() -> None:
    row = HEAT["D-hundy1-10-LMTD"]
    given = row["inputs"]
    drop = given["T_in"] - given["T_out"]
    units = transfer_units_phase_change(drop / (given["T_in"] - given["T_ref"]))
    assert agrees(row, float(drop / units))


@pytest.mark.parametrize(
    ("row", "film"),
    [
        ("D-film-vert", tables.INSIDE_FILM["vertical"]),
        ("D-film-down", tables.INSIDE_FILM["heat_down"]),
    ],
)
def test_inside_films_are_ashraes(row: str, film: float) -> None:
    assert agrees(HEAT[row], film)


def test_outside_film_at_fifteen_miles_an_hour_is_ashraes() -> None:
    assert agrees(HEAT["D-film-out"], float(surfaces.outside_film_ashrae(6.7)))


def test_single_pane_heat_loss_and_inner_face_are_cengels_3_2() -> None:
    given = HEAT["D-cengel3-2-Q"]["inputs"]
    u = surfaces.transmittance(1 / given["h_i"], given["t"] / 1000 / given["k"], 1 / given["h_o"])
    heat = u * given["A"] * (given["T_i"] - given["T_o"])
    assert agrees(HEAT["D-cengel3-2-Q"], float(heat))
    face = surfaces.inside_surface_temperature(given["T_i"], given["T_o"], u, given["h_i"])
    assert agrees(HEAT["D-cengel3-2-Ts"], float(face))


def test_double_pane_transmittance_is_cengels_9_7() -> None:
    given = HEAT["D-cengel9-7-U"]["inputs"]
    u = surfaces.transmittance(1 / given["h_i"], 1 / given["h_space"], 1 / given["h_o"])
    assert agrees(HEAT["D-cengel9-7-U"], float(u))


def test_sandwich_wall_flux_is_gavhanes_2_8() -> None:
    row = HEAT["D-gavhane2-8-q"]
    given = row["inputs"]
    u = surfaces.transmittance(*(x / k for x, k in zip(given["x"], given["k"], strict=True)))
    assert agrees(row, float(u * (given["T1"] - given["T2"])))


def test_sol_air_temperature_of_a_dark_deck_is_the_equations() -> None:
    row = HEAT["D-solair-example"]
    given = row["inputs"]
    film = tables.SOL_AIR_FILM
    found = surfaces.sol_air_temperature(
        given["t_o"] + KELVIN, given["I_t"], given["alpha_over_ho"] * film, film, given["corr"]
    )
    assert agrees(row, float(found) - KELVIN)


def test_light_surface_and_sky_are_ashraes() -> None:
    assert agrees(HEAT["D-solair-alpha-light"], tables.ABSORPTANCE["light"] / tables.SOL_AIR_FILM)
    assert agrees(HEAT["D-solair-horiz"], tables.LONG_WAVE_HORIZONTAL / tables.SOL_AIR_FILM)
    # The dark one of the same table, α/h_o 0.052 (ASHRAE Fundamentals, as read with the light one).
    assert tables.ABSORPTANCE["dark"] / tables.SOL_AIR_FILM == pytest.approx(0.052, rel=0.01)


@pytest.mark.parametrize(
    ("row", "activity", "part"),
    [
        ("D-occ-sens-seated-at-theatre", "seated", 0),
        ("D-occ-lat-seated-at-theatre", "seated", 1),
        ("D-occ-sens-seated-vl", "light", 0),
        ("D-occ-lat-seated-vl", "light", 1),
        ("D-occ-lat-moderately-active-office-work", "office", 1),
        ("D-occ-sens-light-bench-work", "working", 0),
        ("D-occ-lat-light-bench-work", "working", 1),
    ],
)
def test_heat_of_one_person_is_ashraes(row: str, activity: str, part: int) -> None:
    assert agrees(HEAT[row], float(people_heat(np.ones((1, 1)), activity)[part][0, 0]))


def test_laminate_conducts_within_the_published_range() -> None:
    assert agrees(HEAT["D-k-GRP"], tables.GRP_CONDUCTIVITY)


def test_leakage_flow_is_ashraes_worked_house() -> None:
    row = EXCHANGE["E-ELA-lincoln-Q"]
    given = row["inputs"]
    # (L/s)²/cm⁴ is 100 (m³/s)²/m⁴.
    flow = surfaces.leakage_flow_lbl(
        given["AL"] * 1e-4, given["dT"], given["U"], given["Cs"] * 100, given["Cw"] * 100
    )
    assert agrees(row, float(flow) * 1000)


def _coil(t_in: float, rh: float, t_s: float, contact: float, volume: float):  # type: ignore[no-untyped-def]
    temperature = np.array([t_in + KELVIN])
    ratio = air.humidity_ratio(temperature, rh)
    enthalpy = air.enthalpy(temperature, ratio)
    flow = volume / air.specific_volume(temperature, ratio)
    return coil_air(temperature, ratio, enthalpy, flow, np.array([contact]), np.array([t_s + KELVIN])), flow


def test_coil_leaving_temperature_is_hundys_21_8() -> None:
    row = AIR["A-hundy21-8-T"]
    given = row["inputs"]
    left, _ = _coil(given["T_in"], 0.5, given["T_adp"], given["contact_factor"], 1.0)
    assert agrees(row, float(left.temperature[0]) - KELVIN)


def test_coil_condensate_is_cengels_14_6() -> None:
    """The example's air leaves saturated at 14 °C, that is a coil no air passes by."""
    row = AIR["A-cengel14-6-mw"]
    given = row["inputs"]
    left, _ = _coil(given["T1"], given["RH1"], given["T2"], 1.0, given["V_dot"] / 60)
    assert agrees(row, float(left.condensate[0]) * 60)
    # The same example's heat, 511 kJ/min, condensate leaving at 14 °C (Cengel and Boles, from memory).
    assert float(left.heat[0]) * 60e-3 == pytest.approx(511, rel=0.02)


def test_dehumidifier_condensate_is_morans_12_11() -> None:
    row = AIR["A-moran12-11-dw"]
    given = row["inputs"]
    left, flow = _coil(given["T1"], given["RH1"], given["T2"], 1.0, 280 / 60)
    assert agrees(row, float(left.condensate[0] / flow[0]))
    assert agrees(AIR["A-moran12-11-ma"], float(flow[0]) * 60)


def test_heat_of_infiltrating_air_is_hundys_23_2() -> None:
    given = AIR["A-hundy23-2-Qt"]["inputs"]
    outdoor, cabin = given["Tdb_o"] + KELVIN, given["T_i"] + KELVIN
    ratio = air.humidity_ratio_from_wet_bulb(outdoor, given["Twb_o"] + KELVIN)
    # CIBSE's percentage saturation: share of the saturated humidity ratio.
    inside = given["sat_i"] * air.saturation_humidity_ratio(cabin)
    one = np.ones(1)
    sensible, latent = air_heat(given["m"] * one, outdoor * one, ratio * one, cabin * one, inside * one)
    assert agrees(AIR["A-hundy23-2-Qt"], float(sensible[0] + latent[0]) / 1000)
    row = AIR["A-hundy23-2-Ql"]
    given = row["inputs"]
    x_o, x_i = given["x_o"] * one, given["x_i"] * one
    assert agrees(row, float(air_heat(given["m"] * one, outdoor * one, x_o, cabin * one, x_i)[1][0]) / 1000)


def test_vertical_film_agrees_with_iso_6946_within_the_standards_own_spread() -> None:
    """ASHRAE's 8.29 against 1/0.13 = 7.69 W/(m²·K): two standards, 8 % apart."""
    row = HEAT["D-iso6946-Rsi"]
    assert math.isclose(tables.INSIDE_FILM["vertical"], 1 / row["expected"], rel_tol=0.08)
