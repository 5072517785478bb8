"""A day from its high, low, dew point and sky."""

import numpy as np
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.environment.design_day import (
    DAILY_RANGE_FRACTION,
    SKY_CLEARNESS,
    diffuse_fraction_erbs,
    humidity_ratio_of_held_dew_point,
    sunshine_under_cloud,
    temperature_daily_range_ashrae,
)
from console.properties import air

HOURS = np.arange(24) + 0.5
celsius = st.floats(-20.0, 45.0).map(lambda t: t + 273.15)


def test_the_high_falls_at_two_to_three_in_the_afternoon_and_the_low_at_five():
    at = temperature_daily_range_ashrae(306.0, 298.0, np.array([14.0, 14.5, 15.0, 5.0]))
    assert at == pytest.approx([306.0, 306.0, 306.0, 298.0])


def test_the_published_fractions_are_read_at_whole_hours():
    # ASHRAE Fundamentals, fraction of daily temperature range at 8, 12, 18 and 24 h (from memory).
    at = temperature_daily_range_ashrae(310.0, 300.0, np.array([8.0, 12.0, 18.0, 24.0]))
    assert 310.0 - at == pytest.approx([7.4, 1.3, 2.4, 8.2])


def test_the_table_of_fractions_is_as_it_was_checked():
    assert len(DAILY_RANGE_FRACTION) == 24
    assert sum(DAILY_RANGE_FRACTION) == pytest.approx(12.87)


@given(celsius, st.floats(0.0, 25.0), st.floats(0.0, 24.0))
def test_temperature_stays_between_low_and_high(high, swing, hour):
    found = float(temperature_daily_range_ashrae(high, high - swing, hour))
    assert high - swing - 1e-9 <= found <= high + 1e-9


def test_midnight_is_the_same_from_either_side():
    before, after = temperature_daily_range_ashrae(306.0, 298.0, np.array([23.9999, 0.0001]))
    assert before == pytest.approx(after, abs=1e-3)


def test_a_low_above_the_high_is_taken_as_the_high():
    assert temperature_daily_range_ashrae(300.0, 305.0, HOURS) == pytest.approx(np.full(24, 300.0))


@given(celsius, st.floats(0.0, 20.0), celsius)
def test_the_air_never_holds_more_than_saturation(high, swing, dew_point):
    temperature = temperature_daily_range_ashrae(high, high - swing, HOURS)
    ratio = humidity_ratio_of_held_dew_point(temperature, dew_point)
    assert np.all(air.relative_humidity(temperature, ratio) <= 1.0 + 2e-3)


def test_the_dew_point_is_held_while_the_air_is_warmer():
    temperature = temperature_daily_range_ashrae(306.0, 299.0, HOURS)
    ratio = humidity_ratio_of_held_dew_point(temperature, 297.0)
    assert air.dew_point(ratio) == pytest.approx(np.full(24, 297.0), abs=0.05)


@given(st.floats(0.0, 1.2))
def test_erbs_agrees_with_pvlib(clearness_index):
    zenith, extra = 30.0, 1361.0
    ghi = clearness_index * extra * np.cos(np.radians(zenith))
    pieces = pvlib.irradiance.erbs(ghi, zenith, pvlib.tools.np.array(172), max_zenith=89)
    k = float(pieces["kt"])
    assert float(diffuse_fraction_erbs(k)) == pytest.approx(
        float(pieces["dhi"]) / ghi if ghi > 1e-6 else 1.0, abs=1e-6
    )


zenith_up = st.floats(0.0, np.radians(88.0))
beam = st.floats(0.0, 1000.0)
sky = st.floats(0.0, 300.0)


@given(beam, sky, zenith_up)
def test_a_cloudless_sky_gives_back_the_cloudless_sunshine(dni, dhi, zenith):
    direct, diffuse, on_level = sunshine_under_cloud(dni, dhi, zenith, 1.0)
    assert float(direct) == pytest.approx(dni, abs=1e-6)
    assert float(diffuse) == pytest.approx(dhi, abs=1e-6)
    assert float(on_level) == pytest.approx(dni * np.cos(zenith) + dhi)


@given(beam, sky, st.floats(0.0, np.pi), st.floats(0.0, 1.5))
def test_direct_and_diffuse_add_up_to_the_global(dni, dhi, zenith, clearness):
    direct, diffuse, on_level = sunshine_under_cloud(dni, dhi, zenith, clearness)
    assert min(float(direct), float(diffuse), float(on_level)) >= 0.0
    assert float(direct * max(np.cos(zenith), 0.0) + diffuse) == pytest.approx(float(on_level), abs=1e-6)


@given(st.floats(200.0, 1000.0), st.floats(30.0, 200.0), zenith_up)
def test_more_cloud_never_gives_more_beam(dni, dhi, zenith):
    direct, _, _ = sunshine_under_cloud(dni, dhi, zenith, np.linspace(0.05, 1.0, 40))
    assert np.all(np.diff(direct) >= -1e-9)


def test_under_overcast_nearly_all_light_is_diffuse():
    direct, _, on_level = sunshine_under_cloud(850.0, 120.0, 0.5, SKY_CLEARNESS["overcast"])
    assert direct * np.cos(0.5) < 0.05 * on_level


def test_the_sky_words_follow_kasten_and_czeplak():
    # Kasten and Czeplak 1980, 1 - 0.75 (N/8)^3.4 (formula from memory), at 0, 5, 7 and 8 eighths.
    for word, eighths in (("clear", 0), ("partly_cloudy", 5), ("cloudy", 7), ("overcast", 8)):
        assert SKY_CLEARNESS[word] == pytest.approx(1 - 0.75 * (eighths / 8) ** 3.4, abs=0.005)
