from __future__ import annotations

import dataclasses
import re
from datetime import UTC, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import Series, Timeline
from console.pictures import DARK, rows_wanted, summary
from console.pictures.dates import date_scale, date_text, span_text, zone
from tests.pictures.reading import Drawn
from tests.pictures.samples import BUCKETS

SIZES = pytest.mark.parametrize(("width", "height"), [(70, 16), (56, 16), (110, 20)])
DAY = 86400.0


def at(text: str, where: str = "UTC") -> float:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(where)).timestamp()


@given(st.floats(1.0e9, 3.0e9), st.floats(60.0, 3.0e9), st.sampled_from(["UTC", "America/New_York", "Asia/Kolkata"]),
       st.integers(1, 12))  # fmt: skip
def test_ticks_are_round_local_times_in_order_and_not_too_many(
    first: float, span: float, name: str, most: int
) -> None:
    scale = date_scale(first, first + span, zone(name), most)
    assert len(scale.ticks) <= most
    assert len(scale.labels) == len(scale.ticks)
    assert all(a < b for a, b in pairwise(scale.ticks))
    assert scale.low <= first
    assert scale.high >= first + span
    for tick, label in zip(scale.ticks, scale.labels, strict=True):
        when = datetime.fromtimestamp(tick, ZoneInfo(name))
        assert (when.minute, when.second) == (0, 0)
        if ":" in label:
            assert label == f"{when:%H:%M}"
        else:
            assert when.hour == 0
            assert label in (f"{when.day} {when:%b}", f"{when:%b}", f"{when:%Y}")


def test_dates_are_the_owners_own() -> None:
    evening = at("2026-11-24T02:00")  # still the 23rd in New York
    assert date_text(evening, zone("America/New_York")) == "23 Nov"
    assert date_text(evening, zone("UTC"), True) == "24 Nov 2026"
    moved = dataclasses.replace(BUCKETS, events=((evening, "looked"),))
    assert "a 23 Nov looked" in Drawn(moved, 70, 16).text
    assert "a 24 Nov looked" in Drawn(dataclasses.replace(moved, timezone="UTC"), 70, 16).text


def test_a_zone_nobody_knows_is_utc() -> None:
    assert zone("no/such") is UTC
    assert zone("") is UTC
    assert zone("../../etc/passwd") is UTC


def test_midnights_stay_midnights_when_the_clocks_change() -> None:
    scale = date_scale(at("2026-10-24"), at("2026-10-28"), zone("Europe/Berlin"), 8)
    hours = {datetime.fromtimestamp(t, ZoneInfo("Europe/Berlin")).hour for t in scale.ticks}
    assert hours == {0}
    assert 25 * 3600 in {round(b - a) for a, b in pairwise(scale.ticks)}


def test_a_span_says_its_year_once() -> None:
    one, other = at("2026-10-03"), at("2026-11-25")
    assert span_text(one, other, UTC) == "3 Oct to 25 Nov 2026"
    assert span_text(at("2025-12-30"), other, UTC) == "30 Dec 2025 to 25 Nov 2026"


@SIZES
def test_a_reading_stands_at_its_value_and_between_its_ends(width: int, height: int) -> None:
    drawn = Drawn(BUCKETS, width, height)
    ticks = {int(m[1]): r for r, line in enumerate(drawn.lines) if (m := re.match(r"\s*(\d+)┤", line))}
    (low, low_row), *_, (high, high_row) = sorted(ticks.items())
    points = sorted(
        (column, row) for row, cells in enumerate(drawn.rows[: drawn.row_with("measured")])
        for column, cell in enumerate(cells) if cell.char == "●"
    )  # fmt: skip
    assert len(points) == len(BUCKETS.at)
    for (column, row), value in zip(points, BUCKETS.series[0].values, strict=True):
        assert row == pytest.approx(low_row + (high_row - low_row) * (value - low) / (high - low), abs=1.01)
        around = [cells[column].char for cells in drawn.rows[row - 2 : row + 3]]
        assert "╷" in around or "╵" in around


@SIZES
def test_an_event_is_a_column_with_its_letter_and_its_words_in_the_key(width: int, height: int) -> None:
    drawn = Drawn(BUCKETS, width, height)
    assert "a 13 Nov strainer cleaned" in drawn.text
    assert "hose between seacock and strainer replaced" in drawn.text
    columns = [i for i, cell in enumerate(drawn.rows[1]) if cell.char in "ab" and cell.fore == DARK.warn]
    assert len(columns) == 2
    points = [i for i, cell in enumerate(drawn.rows[drawn.row_with("◆")]) if cell.char == "◆"]
    assert sum(p < columns[0] for p in points) == 5
    assert sum(p < columns[1] for p in points) == 7
    assert sum(cells[columns[0]].char == "┊" for cells in drawn.rows) >= height - 9


def test_the_key_of_many_events_is_whole_when_it_has_the_rows_it_wants() -> None:
    many = tuple((BUCKETS.at[0] + DAY * i, f"strainer looked at, {i}") for i in range(20))
    picture = dataclasses.replace(BUCKETS, events=many)
    for width in (56, 70):
        text = Drawn(picture, width, rows_wanted(picture, width, 16, "si")).text
        assert all(f"looked at, {i}" in text for i in range(20))
        assert "…" not in text


def test_letters_of_events_on_one_day_do_not_hide_each_other() -> None:
    day = BUCKETS.at[3]
    drawn = Drawn(dataclasses.replace(BUCKETS, events=((day, "one"), (day, "two"))), 70, 16)
    column = next(i for i, cell in enumerate(drawn.rows[1]) if cell.char == "a")
    assert drawn.rows[2][column].char == "b"


def test_without_a_reading_it_says_so() -> None:
    empty = Timeline("Readings", "seconds", (), (Series("measured", ()),))
    assert "no readings yet" in Drawn(empty, 70, 12).text
    assert "not known" in summary(empty, "si")


def test_the_sentence_has_the_last_reading_with_its_date_and_the_events() -> None:
    said = summary(BUCKETS, "us")
    assert "measured 8 readings, the last 29 s on 23 Nov" in said
    assert "13 Nov strainer cleaned" in said
