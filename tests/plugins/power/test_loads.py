"""Hours to shares of a step: fractions, midnight, what is on at once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.power import loads

HOURS = np.arange(24) + 0.5

minutes = st.integers(0, 1439)
spans = st.lists(st.tuples(minutes, minutes).filter(lambda s: s[0] != s[1]), max_size=5)


def texts(pairs):
    return [f"{a // 60:02d}:{a % 60:02d}-{b // 60:02d}:{b % 60:02d}" for a, b in pairs]


def test_an_hour_half_used_is_half_a_share():
    share = loads.coverage(loads.clock_intervals(["18:30-19:30"]), HOURS, 3600.0)
    assert share[18] == pytest.approx(0.5)
    assert share[19] == pytest.approx(0.5)
    assert share.sum() == pytest.approx(1.0)


def test_hours_may_cross_midnight():
    share = loads.coverage(loads.clock_intervals(["22:15-01:00"]), HOURS, 3600.0)
    assert share[[22, 23, 0]] == pytest.approx([0.75, 1.0, 1.0])
    assert share.sum() == pytest.approx(2.75)


def test_a_step_that_straddles_midnight_sees_both_sides():
    """Steps centred on the whole hours: the first reaches from 23:30 to 00:30."""
    share = loads.coverage(loads.clock_intervals(["23:00-24:00"]), np.arange(24.0), 3600.0)
    assert share[[23, 0]] == pytest.approx([0.5, 0.5])
    assert share.sum() == pytest.approx(1.0)


def test_no_hours_means_all_day():
    assert loads.coverage((), HOURS, 3600.0).min() == 1.0


def test_a_whole_day_s_step_has_the_day_s_share():
    share = loads.coverage(loads.clock_intervals(["06:00-07:30"]), np.array([12.0]), 86400.0)
    assert share == pytest.approx([1.5 / 24])


def test_overlapping_spans_count_once():
    assert loads.clock_intervals(["06:00-08:00", "07:00-09:00"]) == ((6.0, 9.0),)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("6-7", "accepted is"),
        ("06:00-25:00", "24:00"),
        ("06:00-06:00", "same time"),
        ("[red]06:00", "accepted is"),
    ],
)
def test_a_span_that_cannot_be_read_says_what_is_accepted(text, said):
    with pytest.raises(ValueError, match=said):
        loads.clock_intervals([text])


@given(spans)
def test_covered_hours_are_the_length_of_the_union(pairs):
    """Counted minute by minute in plain Python."""
    intervals = loads.clock_intervals(texts(pairs))
    on = {m % 1440 for a, b in pairs for m in range(a, b if b > a else b + 1440)}
    if pairs:
        share = loads.coverage(intervals, HOURS, 3600.0)
        assert share.sum() * 60 == pytest.approx(len(on))
        for hour in range(24):
            assert share[hour] * 60 == pytest.approx(sum(m // 60 == hour for m in on), abs=1e-6)


@given(spans.filter(bool), st.integers(0, 23))
def test_moving_a_load_by_hours_keeps_its_energy(pairs, hours):
    moved = [((a + 60 * hours) % 1440, (b + 60 * hours) % 1440) for a, b in pairs]
    before = loads.coverage(loads.clock_intervals(texts(pairs)), HOURS, 3600.0)
    after = loads.coverage(loads.clock_intervals(texts(moved)), HOURS, 3600.0)
    assert after == pytest.approx(np.roll(before, hours), abs=1e-9)


@given(spans, st.floats(0.01, 30.0))
def test_a_thing_being_charged_stops_when_it_is_full(pairs, run_hours):
    intervals = loads.clock_intervals(texts(pairs))
    covered = loads.coverage(intervals, HOURS, 3600.0)
    kept = loads.until_filled(covered, intervals, HOURS, 3600.0, np.array([[run_hours]]))
    assert kept.sum() == pytest.approx(min(run_hours, covered.sum()))
    assert np.all(kept <= covered + 1e-12)


def test_charging_starts_at_its_first_hour_past_midnight_too():
    intervals = loads.clock_intervals(["22:00-04:00"])
    covered = loads.coverage(intervals, HOURS, 3600.0)
    kept = loads.until_filled(covered, intervals, HOURS, 3600.0, np.array([[3.0]]))[0]
    assert kept[[22, 23, 0]] == pytest.approx([1, 1, 1])
    assert kept.sum() == pytest.approx(3.0)


def test_two_in_the_same_hour_that_do_not_touch_are_not_added():
    one = loads.slots_on(loads.clock_intervals(["07:00-07:30"]), HOURS, 3600.0)
    other = loads.slots_on(loads.clock_intervals(["07:30-08:00"]), HOURS, 3600.0)
    ten = np.full((1, 1), 10.0)
    assert loads.largest_together([ten, ten], [one, other])[0, 7] == 10.0
    assert loads.largest_together([ten, ten], [one, one])[0, 7] == 20.0


@given(spans, spans)
def test_together_is_never_less_than_the_larger_nor_more_than_the_sum(first, second):
    on = [loads.slots_on(loads.clock_intervals(texts(p)), HOURS, 3600.0) for p in (first, second)]
    amps = [np.full((2, 24), 7.0), np.full((2, 1), 5.0)]
    most = loads.largest_together(amps, on)
    alone = [a * o.max(axis=-1) for a, o in zip(amps, on, strict=True)]
    assert np.all(most >= np.maximum(*alone) - 1e-12)
    assert np.all(most <= sum(alone) + 1e-12)
