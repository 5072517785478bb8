"""Whole days of a weather file, on the boat's clock."""

from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from console.environment import store, weather_days
from console.environment.weather_days import (
    chosen_day,
    day_on_boat_clock,
    days_of,
    file_is_stored,
    file_weather,
)
from console.environment.weather_file import Records, WeatherFileError, read_records
from tests.environment.conftest import PVLIB_DATA

MIAMI = PVLIB_DATA / "12839.tm2"


def log(hours: np.ndarray, start: datetime = datetime(2026, 7, 26), offset: float | None = None) -> Records:
    """An owner's log whose temperature rises by one kelvin an hour."""
    values = np.full((len(hours), 6), np.nan)
    values[:, 0] = 290.0 + hours
    times = [start + timedelta(hours=float(h)) for h in hours]
    return Records("CSV", times, values, offset, None, None, False)


def test_a_typical_year_has_its_365_days(miami: Records):
    weather = days_of(miami)
    assert weather.values.shape == (365, 24, 6)
    assert np.all(np.diff(weather.days) > 0)
    assert np.all(np.isfinite(weather.values))


def test_months_of_different_years_make_one_year():
    records = read_records(PVLIB_DATA / "723170TYA.CSV")
    assert len({stamp.year for stamp in records.times}) > 2
    weather = days_of(records)
    assert len(set((weather.days // 10_000).tolist())) == 1
    assert weather.values[:, :, 5].ravel() == pytest.approx(records.values[:, 5])


def test_a_typical_years_sunshine_stays_in_its_hour(miami: Records):
    weather = days_of(miami)
    assert weather.values[:, :, 5].ravel() == pytest.approx(miami.values[:, 5])


def test_what_is_read_at_the_hours_end_is_moved_to_its_middle(miami: Records):
    weather = days_of(miami)
    between = 0.5 * (miami.values[1:24, 0] + miami.values[0:23, 0])
    assert weather.values[0, 1:, 0] == pytest.approx(between)


def test_readings_are_joined_by_straight_lines():
    weather = days_of(log(np.arange(0.0, 24.1, 3.0)))
    assert weather.values[0, :, 0] == pytest.approx(290.5 + np.arange(24))


def test_a_gap_of_more_than_three_hours_takes_the_day_out():
    hours = np.concatenate([np.arange(0.0, 9.0), np.arange(13.0, 48.0)])
    assert days_of(log(hours)).days.tolist() == [20260727]


def test_a_log_without_a_whole_day_is_refused():
    with pytest.raises(WeatherFileError, match="no whole day"):
        days_of(log(np.arange(0.0, 12.0)))


def test_without_a_date_the_hottest_day_is_taken():
    weather = days_of(log(np.arange(0.0, 72.0)))
    assert weather.days[chosen_day(weather, None)] == 20260728


def test_a_date_takes_that_day_of_a_typical_year(miami: Records):
    weather = days_of(miami)
    assert weather.days[chosen_day(weather, date(2031, 7, 26))] % 10_000 == 726


def test_a_leap_day_takes_the_28th_of_february_of_a_typical_year(miami: Records):
    weather = days_of(miami)
    assert weather.days[chosen_day(weather, date(2028, 2, 29))] % 10_000 == 228


def test_a_date_the_file_lacks_is_said_in_one_sentence():
    weather = days_of(log(np.arange(0.0, 72.0)))
    with pytest.raises(WeatherFileError, match="no whole day for 2026-09-01; it has 3 between 2026-07-26"):
        chosen_day(weather, date(2026, 9, 1))


def test_a_clock_an_hour_ahead_reads_the_hour_before():
    weather = days_of(log(np.arange(0.0, 72.5, 0.5), offset=-5.0))
    day = day_on_boat_clock(weather, 1, -4.0)
    assert day.temperature == pytest.approx(weather.values[1, :, 0] - 1.0)


def test_a_clock_half_an_hour_off_reads_between_the_hours():
    weather = days_of(log(np.arange(0.0, 72.5, 0.5), offset=5.0))
    day = day_on_boat_clock(weather, 1, 5.5)
    assert day.temperature == pytest.approx(weather.values[1, :, 0] - 0.5)


def test_a_lone_day_on_another_clock_takes_its_hours_from_its_other_end():
    weather = days_of(log(np.arange(0.0, 24.1), offset=-5.0))
    day = day_on_boat_clock(weather, 0, -4.0)
    assert day.temperature == pytest.approx(np.roll(weather.values[0, :, 0], 1))


def test_a_file_is_read_once_and_kept_under_its_content(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    first = file_weather(MIAMI)
    copy = tmp_path / "other-name.tm2"
    copy.write_bytes(MIAMI.read_bytes())
    assert file_is_stored(copy)
    monkeypatch.setattr(weather_days, "parse_records", lambda *_: pytest.fail("read again"))
    again = file_weather(copy)
    assert np.array_equal(again.values, first.values)
    assert np.array_equal(again.days, first.days)
    assert again.latitude == first.latitude


def test_a_changed_file_is_read_again(tmp_path: Path):
    path = tmp_path / "log.csv"
    rows = "time,temperature C\n" + "".join(f"2026-07-26 {h:02d}:00,{{}}\n" for h in range(24))
    path.write_text(rows.replace("{}", "25"))
    file_weather(path)
    path.write_text(rows.replace("{}", "26.5"))
    assert file_weather(path).values[0, 3, 0] == pytest.approx(299.65)


def test_a_stored_file_that_is_damaged_is_read_again(cache: Path):
    first = file_weather(MIAMI)
    (path,) = (cache / "environment").glob("weather-*")
    path.write_bytes(path.read_bytes()[:-10])
    weather_days._weather.cache_clear()
    assert np.array_equal(file_weather(MIAMI).values, first.values)


def test_a_stored_table_of_the_wrong_shape_is_read_again():
    key = weather_days._key(MIAMI.read_bytes())
    store.save_table(key, np.zeros((3, 3)))
    assert file_weather(MIAMI).values.shape == (365, 24, 6)


def test_a_missing_file_is_one_sentence(tmp_path: Path):
    with pytest.raises(WeatherFileError, match="There is no weather file"):
        file_weather(tmp_path / "gone.epw")
