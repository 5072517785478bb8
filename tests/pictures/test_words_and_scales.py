from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from console.pictures.scales import hour_scale, round_scale, tight_scale
from console.pictures.shapes import resample
from console.pictures.words import (
    Words,
    cells,
    clock,
    column_texts,
    fit,
    plain,
    share_text,
    tick_text,
    wrap,
)

NUMBERS = st.floats(-1e25, 1e25)


@given(NUMBERS, NUMBERS, st.integers(3, 6))
@example(0.0, 0.0, 3)
@example(5e-324, 1e-300, 3)
def test_round_ticks_hold_the_values_and_are_three_to_so_many(low: float, high: float, most: int) -> None:
    low, high = sorted((low, high))
    scale = round_scale(low, high, most)
    slack = 1e-6 * (scale.high - scale.low)
    assert scale.low <= low + slack
    assert scale.high >= high - slack
    assert 3 <= len(scale.ticks) <= most
    assert list(scale.ticks) == sorted(set(scale.ticks))


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_round_ticks_are_one_two_two_and_a_half_or_five_times_a_power_of_ten(
    low: float, span: float
) -> None:
    step = round_scale(low, low + span).step
    lead = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(lead - nice) for nice in (1, 2, 2.5, 5)) < 1e-6


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.integers(3, 6))
def test_a_tight_scale_begins_and_ends_with_the_values(low: float, span: float, most: int) -> None:
    assume(span > 1e-6 * abs(low))
    scale = tight_scale(low, low + span, most)
    assert (scale.low, scale.high) == (low, low + span)
    assert 1 <= len(scale.ticks) <= most


def test_a_tight_scale_grows_upwards_for_want_of_ticks() -> None:
    scale = tight_scale(0.0, 19.0, 3, least=3)
    assert scale.ticks == (0.0, 10.0, 20.0)
    assert scale.low == 0.0


def test_hours_have_ticks_at_parts_of_a_day() -> None:
    assert hour_scale(0, 24, 5).ticks == (0, 6, 12, 18, 24)
    assert hour_scale(18, 30, 5).ticks == (18, 21, 24, 27, 30)
    assert hour_scale(7, 7).high > hour_scale(7, 7).low


@pytest.mark.parametrize(
    ("value", "step", "text"),
    [(0.0, 0.5, "0"), (0.5, 0.5, "0.5"), (0.25, 0.25, "0.25"), (2.5, 2.5, "2.5"), (15000.0, 5000.0, "15,000"),
     (-20.0, 20.0, "-20"), (1.0, 0.2, "1.0")],
)  # fmt: skip
def test_a_tick_has_the_decimals_of_its_step(value: float, step: float, text: str) -> None:
    assert tick_text(value, step) == text


def test_numbers_under_each_other_have_one_number_of_decimals() -> None:
    assert column_texts([24.6, 3.0, 0.0, None], Words("si")) == ["24.6", "3.0", "0.0", ""]
    assert column_texts([15123.0, 751.0, -204.6], Words("si")) == ["15,100", "751", "-205"]


def test_clock_time_is_of_24_hours() -> None:
    assert [clock(h) for h in (0.0, 13.5, 23.999, 25.0)] == ["00:00", "13:30", "00:00", "01:00"]


def test_a_share_is_never_said_to_be_nothing_or_all() -> None:
    assert [share_text(s) for s in (0.0, 0.004, 0.3, 0.996, 1.0)] == [
        "0 %", "under 1 %", "30 %", "over 99 %", "100 %"
    ]  # fmt: skip


@given(st.text())
def test_plain_text_is_one_printable_line_of_the_same_letters(text: str) -> None:
    line = plain(text)
    assert line.isprintable()
    assert "\n" not in line
    assert plain(line) == line
    assert plain(text, ascii_only=True).isascii()


def test_markup_is_left_as_it_is_written() -> None:
    assert plain("[bold]x kW] [/") == "[bold]x kW] [/"
    assert plain("a\x1b[31mb\x00\u202ec") == "a?[31mb??c"


@given(st.text(), st.integers(0, 30))
def test_fitted_text_fits(text: str, width: int) -> None:
    assert cells(fit(plain(text), width)) <= width


@given(st.text(), st.integers(0, 30), st.integers(0, 5))
def test_wrapped_text_fits(text: str, width: int, lines: int) -> None:
    out = wrap(plain(text), width, lines)
    assert len(out) <= lines
    assert all(cells(line) <= width for line in out)


def test_a_day_closes_between_its_last_and_its_first_hour() -> None:
    hours = np.arange(24) + 0.5
    values = np.where(hours == 23.5, 10.0, 0.0)
    at_midnight = resample(hours, values, np.array([0.0, 24.0]))[0]
    assert at_midnight.tolist() == [5.0, 5.0]


def test_half_a_step_beyond_the_last_value_is_still_its_own_and_more_is_a_gap() -> None:
    found = resample(np.array([10.0, 11.0]), np.array([1.0, 3.0]), np.array([9.4, 9.6, 10.5, 11.4, 11.6]))[
        0
    ]
    assert np.isnan(found[[0, 4]]).all()
    assert found[1:4].tolist() == [1.0, 2.0, 3.0]


def test_an_unknown_style_is_a_bare_number_not_an_error() -> None:
    words = Words("si")
    assert words.say(2.0, "no_such_style") == "2.0"
    assert words.unit("no_such_style") == ""
    assert words.say(math.inf, "temperature") == words.say(math.nan, "heat") == "–"
