"""Sun on a panel, against pvlib."""

import numpy as np
import pvlib
import pytest

from console.environment.sun import plane_irradiance
from plugins.power import solar
from tests.published import note

from .conftest import QUIET

PANEL = "[power.bank]\n[power.solar]\n"


def test_cells_are_as_warm_as_pvlib_s_ross_says():
    air, sun = np.array([15.0, 30.0]), np.array([250.0, 900.0])
    theirs = pvlib.temperature.ross(sun, air, noct=47.0) + 273.15
    ours = solar.cell_temperature_ross(sun, air + 273.15, noct=320.15)
    note("cell temperature, pvlib", ours[1], theirs[1])
    assert ours == pytest.approx(theirs)


def test_power_is_as_pvlib_s_pvwatts_says():
    sun, cells = np.array([100.0, 500.0, 1000.0]), np.array([10.0, 40.0, 65.0])
    theirs = pvlib.pvsystem.pvwatts_dc(sun, cells, pdc0=200.0, gamma_pdc=-0.004)
    ours = solar.panel_power_pvwatts(sun, cells + 273.15, 200.0)
    note("panel power, pvlib", ours[1], theirs[1])
    assert ours == pytest.approx(theirs)


def test_a_swinging_panel_sees_the_mean_of_all_bearings():
    tilt, zenith, azimuth = np.radians([30.0, 40.0, 135.0])
    around = np.arange(360) * np.pi / 180
    mean = np.mean([sum(plane_irradiance(tilt, a, zenith, azimuth, 800.0, 120.0)) for a in around])
    assert float(solar.swinging_irradiance(tilt, zenith, azimuth, 800.0, 120.0)) == pytest.approx(
        float(mean), rel=1e-3
    )


def test_a_level_panel_sees_what_the_level_sees():
    zenith = np.radians(40.0)
    level = 800.0 * np.cos(zenith) + 120.0
    assert float(solar.swinging_irradiance(0.0, zenith, 2.0, 800.0, 120.0)) == pytest.approx(level)


def test_a_summer_day_yields_what_owners_count(day):
    """0.28 of the rated watts in Ah a day at 12 V, 0.12 to 0.40 (common practice: a quarter to a third)."""
    ran = day(PANEL + 'peak_power = "100 W ± 0 W"\n', draws=256)
    yields = ran.daily("power.solar_amp_hours_per_day") * 24
    assert 24 <= yields[0] <= 40
    low, high = np.percentile(yields[1:], (5, 95))
    assert 10 <= low <= yields[0] <= high <= 70


def test_the_night_has_no_sun(day):
    amps = day(PANEL).figures["power.solar_amp_hours_per_day"][0]
    assert amps[[0, 1, 2, 3, 23]].max() == 0.0
    assert amps.argmax() in (11, 12, 13, 14)


@pytest.mark.parametrize(
    "field",
    ['shading = "60 %"', 'efficiency = "40 %"', 'sky = "0.3"', 'peak_power = "50 W"', 'tilt = "60 deg"'],
)
def test_every_loss_lowers_the_yield(day, field):
    usual = day(PANEL).daily("power.solar_amp_hours_per_day")[0]
    assert day(PANEL + field).daily("power.solar_amp_hours_per_day")[0] < usual


def test_a_boat_without_panels_has_a_night_all_the_same(day):
    ran = day(QUIET + "[power.bank]\n")
    assert "power.solar_amp_hours_per_day" not in ran.figures
    assert ran.daily("power.recovery")[0] == 0.0


def test_sunset_is_found_where_the_sun_sets_and_said_where_it_does_not():
    hours = np.arange(24) + 0.5
    zenith = np.where((hours > 6) & (hours < 19), 1.0, 2.0)
    assert solar.sunset_step(zenith, hours) == 19
    assert solar.sunset_step(np.full(24, 1.0), hours) in (20, 21)
    assert solar.sunset_step(np.full(24, 2.0), hours) in (20, 21)
