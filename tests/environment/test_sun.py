"""Sunshine on planes, against pvlib's own transposition."""

import numpy as np
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.environment.sun import SOLAR_CONSTANT, incidence_cosine, plane_irradiance

angle = st.floats(0.0, np.pi)
bearing = st.floats(0.0, 2 * np.pi)
zenith_above_horizon = st.floats(0.0, np.radians(88.9))
beam = st.floats(0.0, 1050.0)
sky = st.floats(0.0, 500.0)


@given(angle, bearing, zenith_above_horizon, bearing, beam, sky, st.floats(0.0, 0.9))
def test_plane_irradiance_agrees_with_pvlib_hay_davies(tilt, azimuth, zenith, sun, dni, dhi, albedo):
    direct, diffuse = plane_irradiance(tilt, azimuth, zenith, sun, dni, dhi, albedo)
    degrees = [float(np.degrees(a)) for a in (tilt, azimuth, zenith, sun)]
    ghi = dni * np.cos(zenith) + dhi
    expected = pvlib.irradiance.get_total_irradiance(
        degrees[0], degrees[1], degrees[2], degrees[3], dni, ghi, dhi,
        dni_extra=SOLAR_CONSTANT, albedo=albedo, model="haydavies",
    )  # fmt: skip
    assert float(direct) == pytest.approx(float(expected["poa_direct"]), abs=1e-6)
    assert float(diffuse) == pytest.approx(float(expected["poa_diffuse"]), abs=1e-6)


@given(angle, bearing, angle, bearing)
def test_incidence_cosine_is_between_zero_and_one(tilt, azimuth, zenith, sun):
    assert 0.0 <= float(incidence_cosine(tilt, azimuth, zenith, sun)) <= 1.0


@given(angle, bearing, zenith_above_horizon, bearing)
def test_incidence_cosine_agrees_with_pvlib(tilt, azimuth, zenith, sun):
    degrees = [float(np.degrees(a)) for a in (tilt, azimuth, zenith, sun)]
    expected = max(0.0, float(pvlib.irradiance.aoi_projection(*degrees)))
    assert float(incidence_cosine(tilt, azimuth, zenith, sun)) == pytest.approx(expected, abs=1e-9)


def test_no_beam_reaches_any_plane_when_the_sun_is_below_the_horizon():
    tilt, azimuth = np.meshgrid(np.linspace(0, np.pi, 19), np.linspace(0, 2 * np.pi, 37))
    direct, _ = plane_irradiance(tilt, azimuth, np.radians(95.0), 1.0, 500.0, 0.0)
    assert np.all(direct == 0.0)


def test_a_deck_takes_exactly_the_global_horizontal():
    zenith = np.radians([[0.0, 30.0, 60.0]])
    direct, diffuse = plane_irradiance(0.0, 0.0, zenith, 2.0, 800.0, 120.0)
    assert direct + diffuse == pytest.approx(800.0 * np.cos(zenith) + 120.0)


def test_a_topside_toward_the_sun_takes_more_than_the_one_behind():
    sunny = sum(plane_irradiance(np.pi / 2, 1.0, 1.0, 1.0, 700.0, 100.0))
    shady = sum(plane_irradiance(np.pi / 2, 1.0 + np.pi, 1.0, 1.0, 700.0, 100.0))
    assert sunny > 3 * shady


def test_draws_and_hours_broadcast():
    direct, diffuse = plane_irradiance(
        np.full((5, 1), 0.3), np.full((5, 1), 0.3), np.full(24, 0.5), np.full(24, 3.0), 700.0, 90.0
    )
    assert direct.shape == diffuse.shape == (5, 24)
