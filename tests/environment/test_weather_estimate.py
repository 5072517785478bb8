"""The console's own estimate, run by the engine with no plugin aboard."""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from console import prepare
from console.boatfile import Boat, BoatFileError
from console.engine.run import run_day
from console.engine.views import Draws, EstimateView, InputView
from console.environment import boat_estimates
from console.environment.building import build_in_child
from console.environment.estimates import needs_building, weather_day
from console.properties import seawater
from console.properties import store as properties_store
from tests.environment.conftest import PVLIB_DATA

Made = Callable[..., Boat]

HARBOUR = """format = 1
[site]
latitude = "32.1 deg"
longitude = "-80.9 deg"
timezone = "America/New_York"
seawater_temperature = "84 F ± 3 F"
[weather]
date = 2026-07-26
high = "91 F"
low = "77 F"
dew_point = "75 F"
sky = "hazy"
"""


def figures(boat: Boat, draws: int = 0) -> dict[str, np.ndarray]:
    ran = run_day(boat, draws)
    assert not ran.unwell, ran.unwell
    return ran.figures


def test_a_silent_boat_has_all_its_weather(boat: Made):
    found = figures(boat(), 64)
    (estimate,) = boat_estimates()
    assert {given.name for given in estimate.gives} == set(found)
    for name, values in found.items():
        assert values.shape == (65, 24), name
        assert np.all(np.isfinite(values)), name


def test_the_stated_high_low_and_dew_point_are_the_days(boat: Made):
    found = figures(boat(HARBOUR))
    temperature = found["weather.outdoor_temperature"][0] - 273.15
    assert temperature.max() == pytest.approx((91 - 32) / 1.8, abs=0.05)
    assert temperature.min() == pytest.approx((77 - 32) / 1.8, abs=0.1)
    dew_point = found["weather.outdoor_dew_point"][0] - 273.15
    assert dew_point == pytest.approx(np.full(24, (75 - 32) / 1.8))


def test_the_hottest_hour_is_in_the_afternoon_of_the_boats_clock(boat: Made):
    temperature = figures(boat(HARBOUR))["weather.outdoor_temperature"][0]
    # 14 to 15 h by the sun is about 15:30 to 16:30 on summer time there.
    assert int(np.argmax(temperature)) in (15, 16)


def test_every_uncertain_part_of_the_weather_varies_over_the_draws(boat: Made):
    found = figures(boat(HARBOUR), 64)
    for name in ("outdoor_temperature", "outdoor_humidity_ratio", "wind_speed", "direct_normal",
                 "diffuse_horizontal", "global_horizontal", "seawater_temperature"):  # fmt: skip
        assert np.ptp(found[f"weather.{name}"][:, 13]) > 0.0, name


def test_row_zero_is_the_nominal_run(boat: Made):
    alone, many = figures(boat(HARBOUR)), figures(boat(HARBOUR), 32)
    for name, values in alone.items():
        assert np.array_equal(values[0], many[name][0]), name


def test_a_clouded_day_has_less_sun_than_a_clear_one(boat: Made):
    clear, cloudy = (
        figures(boat(HARBOUR.replace("hazy", sky)))["weather.global_horizontal"].sum()
        for sky in ("clear", "cloudy")
    )
    assert cloudy == pytest.approx(0.52 * clear, rel=1e-6)


def test_a_stated_clearness_stands_over_the_sky(boat: Made):
    half = figures(boat(HARBOUR + 'clearness = "50 %"\n'))["weather.global_horizontal"].sum()
    clear = figures(boat(HARBOUR.replace("hazy", "clear")))["weather.global_horizontal"].sum()
    assert half == pytest.approx(0.5 * clear, rel=1e-6)


def test_a_wet_bulb_gives_the_dew_point_of_the_psychrometric_chart(boat: Made):
    text = HARBOUR.replace('dew_point = "75 F"', 'wet_bulb = "25 degC"').replace('"91 F"', '"32 degC"')
    dew_point = figures(boat(text))["weather.outdoor_dew_point"][0, 14] - 273.15
    # 32 °C dry bulb and 25 °C wet bulb: psychrolib, as an independent reference.
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    assert dew_point == pytest.approx(psychrolib.GetTDewPointFromTWetBulb(32.0, 25.0, 101325.0), abs=0.1)


def test_a_humidity_at_the_hottest_hour_is_the_humidity_there(boat: Made):
    text = HARBOUR.replace('dew_point = "75 F"', 'humidity = "60 %"')
    found = figures(boat(text))
    from console.properties import air

    hour = int(np.argmax(found["weather.outdoor_temperature"][0]))
    relative = air.relative_humidity(
        found["weather.outdoor_temperature"][0, hour], found["weather.outdoor_humidity_ratio"][0, hour]
    )
    assert float(relative) == pytest.approx(0.60, abs=0.01)


def test_no_draw_of_the_sea_leaves_the_range_of_the_seawater_tables(boat: Made):
    text = 'format = 1\n[site]\nsalinity = "41 g/kg ± 3 g/kg"\nseawater_temperature = "38 C ± 4 C"\n'
    draws = Draws(boat(text), 256)
    salinity, temperature = draws.number("site.salinity"), draws.number("site.seawater_temperature")
    assert np.all(np.isfinite(seawater.heat_capacity(temperature, salinity)))


def test_colder_water_assumes_cooler_air(boat: Made):
    found = figures(boat('format = 1\n[site]\nseawater_temperature = "15 degC"\n'))
    assert found["weather.outdoor_temperature"][0].max() == pytest.approx(273.15 + 19.0, abs=0.1)


def test_a_southern_boat_has_her_summer_in_january(boat: Made):
    noon = figures(boat('format = 1\n[site]\nlatitude = "-23 deg"\n'))["weather.sun_zenith"][0].min()
    assert np.degrees(noon) < 8.0


def test_a_time_zone_without_a_longitude_puts_noon_near_its_hour(boat: Made):
    text = HARBOUR.replace('longitude = "-80.9 deg"\n', "")
    zenith = figures(boat(text))["weather.sun_zenith"][0]
    assert int(np.argmin(zenith)) == 13  # 13:06 on summer time, on the zone's meridian


def test_a_southern_time_zone_has_its_standard_meridian(boat: Made):
    inputs = InputView(Draws(boat('format = 1\n[site]\ntimezone = "Australia/Sydney"\n'), 0))
    assert np.degrees(inputs.number("site.longitude")) == pytest.approx(150.0)


def test_the_sun_stands_in_the_east_before_and_in_the_west_after_noon(boat: Made):
    azimuth = np.degrees(figures(boat(HARBOUR))["weather.sun_azimuth"][0])
    assert 60 < azimuth[8] < 120
    assert 240 < azimuth[18] < 300


def test_an_unknown_time_zone_is_refused_with_the_nearest(boat: Made):
    with pytest.raises(BoatFileError, match=r'did you mean "America/New_York"'):
        boat(HARBOUR.replace("New_York", "New_Yrok"))


@pytest.mark.parametrize(
    "zone",
    ["America", "../../etc/passwd", "/etc/localtime", "\\u0001", "x" * 400],
    ids=["folder", "upward", "absolute", "control", "long"],
)
def test_a_hostile_time_zone_is_refused(boat: Made, zone: str):
    with pytest.raises(BoatFileError):
        boat(f'format = 1\n[site]\ntimezone = "{zone}"\n')


# --- weather files ----------------------------------------------------------------------------


def with_file(name: str, rest: str = "") -> str:
    return f"format = 1\n[weather]\nfile = '{PVLIB_DATA / name}'\n{rest}"


def test_a_weather_file_gives_its_hottest_day(boat: Made):
    temperature = figures(boat(with_file("12839.tm2")))["weather.outdoor_temperature"][0]
    assert 302.0 < temperature.max() < 308.0


def test_a_weather_files_sun_is_that_of_its_own_place(boat: Made):
    # Noon at Sand Point, 55.3 north, 5 July: the sun is 32.5° from overhead (declination 22.8°).
    zenith = figures(boat(with_file("703165TY.csv", "date = 2026-07-05\n")))["weather.sun_zenith"][0]
    assert np.degrees(zenith.min()) == pytest.approx(55.3 - 22.8, abs=0.7)


def test_a_files_sunshine_closes_with_its_own_global(boat: Made):
    """Its direct and diffuse, on the sun of its place and hour, make the global it states."""
    from console.environment.weather_days import chosen_day, file_weather

    weather = file_weather(PVLIB_DATA / "723170TYA.CSV")
    stated = weather.values[chosen_day(weather, None), :, 5]
    found = figures(boat(with_file("723170TYA.CSV")))["weather.global_horizontal"][0]
    assert found.sum() == pytest.approx(stated.sum(), rel=0.03)
    assert np.corrcoef(found, stated)[0, 1] > 0.995


def test_what_the_berth_is_warmer_is_added_to_the_file(boat: Made):
    plain = figures(boat(with_file("12839.tm2")))["weather.outdoor_temperature"][0]
    warmer = figures(boat(with_file("12839.tm2", 'warmer_here = "2 delta_degC"\n')))
    assert warmer["weather.outdoor_temperature"][0] == pytest.approx(plain + 2.0)


def test_a_csv_without_sun_takes_it_from_the_sky(boat: Made, tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text(
        "time,temperature C\n" + "".join(f"2026-07-26 {h:02d}:00,{25 + h % 9}\n" for h in range(24))
    )
    text = HARBOUR + f"file = '{path}'\n"
    assert figures(boat(text))["weather.global_horizontal"] == pytest.approx(
        figures(boat(HARBOUR))["weather.global_horizontal"]
    )


def test_a_weather_file_that_is_not_there_is_said_in_one_sentence(boat: Made):
    ran = run_day(boat("format = 1\n[weather]\nfile = '/nowhere/harbour.epw'\n"), 0)
    (unwell,) = ran.unwell
    assert 'There is no weather file "harbour.epw"' in unwell.error


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ('file = "gone.epw"', 'There is no weather file "gone.epw"'),
        ('file = "log.csv"\ndate = 2026-09-01', "has no whole day for 2026-09-01"),
    ],
    ids=["gone", "another day"],
)
def test_a_weather_file_that_cannot_serve_is_bad_input(tmp_path: Path, lines: str, says: str):
    rows = "".join(f"2026-07-26 {hour:02d}:00,25\n" for hour in range(24))
    (tmp_path / "log.csv").write_text("time,temperature C\n" + rows)
    (tmp_path / "boat.toml").write_text(f"format = 1\n[weather]\n{lines}\n")
    code = "import sys; from console.commands import main; sys.exit(main())"
    done = subprocess.run(
        [sys.executable, "-c", code, "check", str(tmp_path / "boat.toml")], capture_output=True, text=True
    )
    assert done.returncode == 2, done.stdout
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_weather_file_lies_beside_the_boat_file(boat: Made, tmp_path: Path):
    rows = "".join(f"2026-07-26 {hour:02d}:00,{25 + hour % 9}\n" for hour in range(24))
    (tmp_path / "log.csv").write_text("time,temperature C\n" + rows)
    aboard = boat('format = 1\n[weather]\nfile = "log.csv"\n', tmp_path / "boat.toml")
    assert figures(aboard)["weather.outdoor_temperature"].max() == pytest.approx(273.15 + 33, abs=1)
    assert aboard.inputs["weather.file"].text == "log.csv"


# --- building and speed -----------------------------------------------------------------------


def test_a_new_place_needs_building_and_a_known_one_does_not(boat: Made):
    inputs = InputView(Draws(boat(HARBOUR), 0))
    assert needs_building(inputs)
    figures(boat(HARBOUR))
    assert not needs_building(inputs)


def test_a_new_weather_file_needs_building_and_a_known_one_does_not(boat: Made):
    inputs = InputView(Draws(boat(with_file("12839.tm2")), 0))
    assert needs_building(inputs)
    figures(boat(with_file("12839.tm2")))
    assert not needs_building(inputs)


def test_a_file_that_cannot_be_read_needs_no_building(boat: Made):
    assert not needs_building(InputView(Draws(boat("format = 1\n[weather]\nfile = '/gone.epw'\n"), 0)))


def test_the_console_says_that_sun_and_weather_are_to_be_built_and_builds_them(boat: Made):
    made = boat(HARBOUR)
    assert prepare.SUN in prepare.missing(made)
    prepare.prepare(made)
    assert prepare.missing(made) == []


@pytest.mark.parametrize("text", [HARBOUR, with_file("12839.tm2")], ids=["place", "file"])
def test_a_child_builds_what_is_missing(boat: Made, text: str, cache: Path):
    inputs = InputView(Draws(boat(text), 0))
    build_in_child(inputs)
    assert not needs_building(inputs)
    assert list((cache / "environment").iterdir())


def test_the_weather_of_a_known_place_takes_less_than_a_millisecond(boat: Made):
    view = EstimateView(Draws(boat(HARBOUR), 0), np.arange(24) + 0.5, 3600.0, {})
    weather_day(view)
    best = min(_seconds(view) for _ in range(20))
    assert best < 1e-3


def _seconds(view: EstimateView) -> float:
    start = time.perf_counter()
    weather_day(view)
    return time.perf_counter() - start


def test_the_weather_of_a_known_place_imports_neither_pvlib_nor_pandas_nor_scipy(boat: Made):
    figures(boat(HARBOUR))
    code = f"""
import sys
from console.boatfile import loads
from console.engine.run import run_day
from console.registry import discover
ran = run_day(loads({HARBOUR!r}, discover(found=[])), 8)
assert not ran.unwell and "weather.direct_normal" in ran.figures
heavy = {{"pvlib", "pandas", "h5py", "CoolProp", "scipy.optimize", "scipy.interpolate", "scipy.stats"}}
print(sorted(heavy & set(sys.modules)))
"""
    # The map of moist air is another's to build: the child finds it ready.
    for key, arrays in properties_store._maps.items():
        properties_store._write(key, arrays)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


@pytest.mark.parametrize(
    ("latitude", "day", "low", "high"),
    [
        # Surface water, monthly climatology of those coasts (from memory), °C.
        (45, "2026-01-15", 8, 13), (45, "2026-07-21", 18, 21), (-34, "2026-01-21", 21, 27),
        (-34, "2026-07-15", 14, 19), (17, "2026-01-15", 24, 27), (60, "2026-02-10", 3, 7),
    ],
)  # fmt: skip
def test_assumed_seawater_is_that_of_the_season(boat: Made, latitude, day, low, high):
    text = f'[site]\nlatitude = "{latitude} deg"\n[weather]\ndate = {day}\nhigh = "20 C"\n'
    water = figures(boat(text))["weather.seawater_temperature"][0] - 273.15
    assert low < water.mean() < high


def test_without_a_day_the_warmest_seawater_is_assumed(boat: Made):
    silent = figures(boat('[site]\nlatitude = "45 deg"\n'))["weather.seawater_temperature"].mean()
    text = '[site]\nlatitude = "45 deg"\n[weather]\ndate = 2026-08-10\nhigh = "25 C"\n'
    assert figures(boat(text))["weather.seawater_temperature"].mean() == pytest.approx(silent)


# --- days in a row ----------------------------------------------------------------------------


def test_a_design_day_of_several_days_is_the_same_day_again(boat: Made):
    one, three = figures(boat(HARBOUR), 8), figures(boat(HARBOUR + 'days = "3"\n'), 8)
    for name, values in one.items():
        assert three[name].shape == (9, 72), name
        assert np.array_equal(three[name], np.tile(values, 3)), name


def test_days_of_a_file_follow_each_other_as_the_file_has_them(boat: Made):
    singles = [
        figures(boat(with_file("12839.tm2", f"date = 2026-07-{day}\n"))) for day in ("10", "11", "12")
    ]
    together = figures(boat(with_file("12839.tm2", 'date = 2026-07-10\ndays = "3"\n')))
    for name in set(singles[0]) - {"weather.seawater_temperature"}:
        assert together[name] == pytest.approx(np.concatenate([s[name] for s in singles], axis=1)), name
    temperature = together["weather.outdoor_temperature"][0]
    assert np.abs(temperature[:24] - temperature[24:48]).max() > 0.1


def test_without_a_date_the_hottest_days_in_a_row_are_taken(boat: Made):
    from console.environment.weather_days import file_weather

    found = figures(boat(with_file("12839.tm2", 'days = "5"\n')))["weather.outdoor_temperature"][0]
    means = file_weather(PVLIB_DATA / "12839.tm2").values[:, :, 0].mean(axis=1)
    best = max(means[k : k + 5].mean() for k in range(len(means) - 4))
    assert found.mean() == pytest.approx(best, abs=0.3)


def test_days_the_file_does_not_have_are_told_in_one_sentence(boat: Made):
    ran = run_day(boat(with_file("12839.tm2", 'date = 2026-12-28\ndays = "9"\n')), 0)
    (unwell,) = ran.unwell
    assert "no 9 whole days in a row from 2025-12-28 on" in unwell.error


@pytest.mark.parametrize("days", ['"0"', '"15"', '"-2"', '"3 ± 1"', '"many"'])
def test_a_number_of_days_that_is_none_is_refused(boat: Made, days: str):
    with pytest.raises(BoatFileError):
        boat(HARBOUR + f"days = {days}\n")


def test_a_child_builds_the_sun_of_every_day(boat: Made):
    inputs = InputView(Draws(boat(with_file("12839.tm2", 'date = 2026-07-10\ndays = "4"\n')), 0))
    build_in_child(inputs)
    assert not needs_building(inputs)
