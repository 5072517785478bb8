"""When: every way of writing it, the clock of the site, and questions in place of guesses."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.logbook.entry import LogError
from console.logbook.times import (
    day_begins,
    moment_of,
    offsets,
    on_clock,
    read_stamp,
    settle,
    zone_named,
)

NEW_YORK = ZoneInfo("America/New_York")
NOW = datetime(2026, 11, 25, 15, 30, tzinfo=UTC)  # 10:30 in New York


def said(text: str, order: str = "") -> str:
    return moment_of(text, NEW_YORK, NOW, order).at.isoformat()


@pytest.mark.parametrize("written", [
    "2026-07-21 14:05", "2026-07-21T14:05", "2026-07-21T14:05:00", "2026/7/21 14:05", "21.07.2026 14:05",
    "21.7.26 14:05", "7/21/2026 2:05 PM", "07/21/26 14:05:00.000", "21/07/2026 14:05", "21-07-2026 2:05 p.m.",
    "21 Jul 2026 14:05", "July 21, 2026 14:05", "Jul 21 2026, 2:05pm", "2026-07-21T18:05Z",
    "2026-07-21 20:05+02:00", "  2026-07-21   14:05 ", "2026-07-21 2:05\u202fPM",
])  # fmt: skip
def test_one_moment_in_many_spellings(written: str) -> None:
    assert datetime.fromisoformat(said(written)) == datetime(2026, 7, 21, 18, 5, tzinfo=UTC)


def test_a_date_alone_is_the_day_at_its_noon() -> None:
    found = moment_of("2026-07-21", NEW_YORK)
    assert found.day
    assert found.at.isoformat() == "2026-07-21T12:00:00-04:00"


@pytest.mark.parametrize(("written", "meant"), [
    ("now", "2026-11-25T10:30:00-05:00"), ("", "2026-11-25T10:30:00-05:00"),
    ("today", "2026-11-25T12:00:00-05:00"), ("Yesterday 18:30", "2026-11-24T18:30:00-05:00"),
    ("7:15", "2026-11-25T07:15:00-05:00"),
])  # fmt: skip
def test_what_people_say_at_the_chart_table(written: str, meant: str) -> None:
    assert said(written) == meant


@pytest.mark.parametrize("written", [
    "soon", "2026-02-30", "13/13/2026", "2026-07-21 25:00", "2026-07-21 14:60", "2026-7", "1/2/3", "14.05",
    "21 Foo 2026", "2026-07-21 13:05 PM", "2026-07-21 14:05+99:00", "9" * 80, "2026-07-21 14:05 x", "46224.5",
])  # fmt: skip
def test_what_is_no_time_is_refused_in_one_sentence(written: str) -> None:
    with pytest.raises(LogError) as error:
        said(written)
    assert "\n" not in str(error.value)
    assert "accepted is" in str(error.value)


def test_a_date_that_can_be_read_in_two_ways_is_asked_about() -> None:
    with pytest.raises(LogError) as error:
        said("05/07/2026")
    assert "5 July 2026 (day-first) or 7 May 2026 (month-first): say which with --dates" in str(error.value)
    assert said("05/07/2026", "dmy").startswith("2026-07-05")
    assert said("05/07/2026", "mdy").startswith("2026-05-07")
    assert said("05/05/2026").startswith("2026-05-05")  # both ways the same


def stamps(*texts: str) -> list[tuple[str, object]]:
    return [(f"line {n}", read_stamp(text)) for n, text in enumerate(texts, 2)]


def test_one_clear_date_settles_a_whole_file() -> None:
    assert settle(stamps("05/07/2026", "13/07/2026")) == "dmy"
    assert settle(stamps("05/07/2026", "07/13/2026")) == "mdy"
    assert settle(stamps("05/07/26", "07/13/26")) == "mdy"


def test_dates_in_two_orders_are_refused_with_both() -> None:
    with pytest.raises(LogError, match=r"13/07/2026 and 07/13/2026 \(line 3\)"):
        settle(stamps("13/07/2026", "07/13/2026"))


def test_the_owners_word_on_the_order_is_checked() -> None:
    with pytest.raises(LogError, match="line 3: 13/07/2026 is no date when read month-first"):
        settle(stamps("05/07/2026", "13/07/2026"), "mdy")


def test_an_hour_that_came_twice_is_asked_about_and_one_that_never_came_is_refused() -> None:
    with pytest.raises(LogError, match=r"came twice here.*-04:00 \(first\) or -05:00 \(second\)"):
        said("2026-11-01 01:30")
    assert said("2026-11-01 01:30-05:00") == "2026-11-01T01:30:00-05:00"
    with pytest.raises(LogError, match="did not exist here"):
        said("2026-03-08 02:30")


def through(*clock: str) -> list[str]:
    rows = stamps(*(f"2026-11-01 {each}" for each in clock))
    return [moment.at.strftime("%H:%M%z") for moment in on_clock(rows, "", NEW_YORK)]


def test_a_file_that_runs_twice_through_the_hour_tells_which_is_which() -> None:
    forward = through("00:50", "01:10", "01:50", "01:10", "01:50", "02:10")
    assert forward == ["00:50-0400", "01:10-0400", "01:50-0400", "01:10-0500", "01:50-0500", "02:10-0500"]
    backward = through("02:10", "01:50", "01:10", "01:50", "01:10", "00:50")
    assert backward == forward[::-1]


def test_a_file_that_runs_once_through_the_hour_is_asked_about() -> None:
    with pytest.raises(LogError, match=r"line 3: .* came twice"):
        through("00:50", "01:10", "02:10")


def test_a_day_of_a_filter_begins_at_midnight_of_the_site() -> None:
    assert day_begins("2026-07-21", NEW_YORK).isoformat() == "2026-07-21T00:00:00-04:00"
    assert day_begins("2026-07-21 06:00", NEW_YORK).isoformat() == "2026-07-21T06:00:00-04:00"


@pytest.mark.parametrize("name", ["America/New_York", "-05:00", "Z", "+0530"])
def test_a_clock_is_named_by_zone_or_offset(name: str) -> None:
    assert zone_named(name).utcoffset(datetime(2026, 1, 1)) is not None


def test_an_unknown_zone_is_refused() -> None:
    with pytest.raises(LogError, match="not a time zone"):
        zone_named("America/Nowhere")


@given(st.datetimes(datetime(1900, 1, 1), datetime(2099, 12, 31)),
       st.sampled_from(["America/New_York", "Europe/Athens", "Australia/Lord_Howe", "Africa/Monrovia", "UTC"]))  # fmt: skip
def test_every_moment_written_with_its_offset_is_read_back_the_same(local: datetime, zone: str) -> None:
    for at in offsets(local, ZoneInfo(zone)):
        assert moment_of(at.isoformat(), NEW_YORK).at == at
        assert at.astimezone(ZoneInfo(zone)).replace(tzinfo=None) == local  # no second of it is off


@given(st.dates(date(1950, 1, 1), date(2090, 1, 1)))
def test_every_day_is_read_back_the_same(day: date) -> None:
    found = moment_of(day.isoformat(), NEW_YORK)
    assert found.day
    assert found.at.date() == day
    assert found.at.utcoffset() in (timedelta(hours=-5), timedelta(hours=-4))
