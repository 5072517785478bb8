"""The sun of a place and day."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.environment import store, sun_table
from console.environment.sun_table import (
    build_sun_table,
    day_of_hottest_month,
    sun_day,
    sun_day_is_stored,
    sun_key,
    utc_offset_of,
)

PLACE = (32.1, -80.9, -4.0, date(2026, 7, 26))


def test_a_days_cloudless_sunshine_is_that_of_pvlibs_own_fine_steps():
    sun = sun_day(*PLACE)
    times = pd.date_range("2026-07-26 00:00:30", periods=1440, freq="min", tz="Etc/GMT+4")
    clear = pvlib.location.Location(32.1, -80.9, altitude=0).get_clearsky(times)
    ours = np.sum(sun.clear_direct * np.maximum(np.cos(sun.zenith), 0.0) + sun.clear_diffuse)
    assert ours == pytest.approx(clear["ghi"].sum() / 60.0, rel=0.01)


def test_solar_noon_is_when_the_sun_is_highest():
    sun = sun_day(*PLACE)
    clock = np.arange(24) + 0.5
    noon = np.interp(12.0, sun.solar_hour[5:20], clock[5:20])
    highest = pvlib.solarposition.sun_rise_set_transit_spa(
        pd.DatetimeIndex(["2026-07-26"], tz="Etc/GMT+4"), 32.1, -80.9
    )["transit"].iloc[0]
    assert noon == pytest.approx(highest.hour + highest.minute / 60.0, abs=0.05)


def test_a_stored_day_comes_back_the_same():
    built = sun_day(*PLACE)
    sun_day.cache_clear()
    assert sun_day_is_stored(*PLACE)
    again = sun_day(*PLACE)
    assert again is not built
    assert np.array_equal(again.zenith, built.zenith)
    assert np.array_equal(again.clear_direct, built.clear_direct)


def test_a_stored_day_is_used_without_building(monkeypatch: pytest.MonkeyPatch):
    sun_day(*PLACE)
    sun_day.cache_clear()
    monkeypatch.setattr(sun_table, "build_sun_table", lambda *_: pytest.fail("built again"))
    assert sun_day(*PLACE).zenith.shape == (24,)


def test_a_damaged_day_is_built_again():
    built = sun_day(*PLACE)
    path = store.table_path(sun_key(*PLACE))
    raw = bytearray(path.read_bytes())
    raw[-5] ^= 0xFF
    path.write_bytes(raw)
    sun_day.cache_clear()
    assert np.array_equal(sun_day(*PLACE).solar_hour, built.solar_hour)
    assert store.load_table(sun_key(*PLACE)) is not None


def test_a_stored_day_with_a_hole_in_it_is_built_again():
    store.save_table(sun_key(*PLACE), np.full((5, 24), np.nan))
    assert np.all(np.isfinite(sun_day(*PLACE).zenith))


def test_a_cache_that_cannot_be_written_still_gives_the_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BOAT_CONSOLE_CACHE", str(tmp_path / "file" / "cache"))
    assert sun_day(*PLACE).clear_direct.max() > 700.0


def test_the_key_follows_pvlibs_version(monkeypatch: pytest.MonkeyPatch):
    before = store.table_path(sun_key(*PLACE))
    monkeypatch.setattr(sun_table, "_pvlib_version", lambda: "0.0.1")
    assert store.table_path(sun_key(*PLACE)) != before


def test_one_table_serves_a_harbour():
    assert sun_key(32.11, -80.93, -4.0, PLACE[3]) == sun_key(32.08, -80.88, -4.0, PLACE[3])


@settings(max_examples=15, deadline=None)
@given(
    st.floats(-66.0, 66.0), st.floats(-180.0, 180.0), st.dates(date(1950, 1, 1), date(2099, 12, 31))
)  # fmt: skip
def test_every_place_and_day_gives_finite_hours(latitude: float, longitude: float, day: date):
    table = build_sun_table(latitude, longitude, utc_offset_of("", longitude, day), day)
    assert table.shape == (5, 24)
    assert np.all(np.isfinite(table))
    assert np.all(table[2:4] >= 0.0)
    assert np.all(table[2:4, table[0] > np.pi / 2] == 0.0)


def test_the_clock_counts_daylight_saving():
    assert utc_offset_of("America/New_York", -80.9, date(2026, 7, 26)) == -4.0
    assert utc_offset_of("America/New_York", -80.9, date(2026, 1, 26)) == -5.0
    assert utc_offset_of("Asia/Kolkata", 72.0, date(2026, 1, 26)) == 5.5


def test_without_a_time_zone_the_clock_is_the_suns():
    day = date(2026, 7, 26)
    sun = sun_day(32.1, -80.9, utc_offset_of("", -80.9, day), day)
    # The clock runs even; the sun runs up to 16.5 minutes fast or slow of it.
    assert np.abs(sun.solar_hour - (np.arange(24) + 0.5)).max() < 17 / 60


def test_the_silent_day_is_in_the_hottest_month():
    assert (day_of_hottest_month(32.0).month, day_of_hottest_month(-20.0).month) == (7, 1)
    assert day_of_hottest_month(0.0).day == 21


def test_a_stored_day_needs_neither_pvlib_nor_pandas_nor_scipy(cache: Path):
    sun_day(*PLACE)
    code = (
        "import sys; from datetime import date; from console.environment.sun_table import sun_day;"
        "sun_day(32.1, -80.9, -4.0, date(2026, 7, 26));"
        "print(sorted({'pvlib', 'pandas', 'scipy', 'pint', 'pydantic', 'CoolProp'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
