"""The long checks at full count; the suite runs the same with fewer examples.

pytest tests/long
"""

import datetime
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.boatfile import BoatFileError
from console.engine import run_day
from console.quantities import STYLES, QuantityError, parse_measure
from tests.test_whole_boat import BOATS, HUMID_COAST, boat, mutated, runs_or_is_refused, text_of


@settings(max_examples=5_000)
@given(st.sampled_from(BOATS), st.data())
def test_a_mutated_boat_runs_or_is_refused_but_never_breaks(name, data):
    assert runs_or_is_refused(mutated(name, data))


@settings(max_examples=50_000)
@given(st.text(max_size=60), st.sampled_from(sorted(STYLES)))
def test_any_text_gives_a_finite_number_or_one_sentence(text, style):
    try:
        measure = parse_measure(text, style)
    except QuantityError:
        return
    assert math.isfinite(measure.value)


@pytest.mark.parametrize("month", range(1, 13))
def test_every_day_of_a_real_year_of_a_humid_coast_runs(month):
    made = boat("marram").with_edit("weather.file", str(HUMID_COAST))
    day = datetime.date(2026, month, 1)
    while day.month == month:
        ran = run_day(made.with_edit("weather.date", day.isoformat()), 8)
        assert ran.unwell == [], day
        assert ran.warnings == [], day
        day += datetime.timedelta(days=1)


@settings(max_examples=2_000)
@given(st.data())
def test_numbers_anywhere_within_the_hard_limits_give_finite_figures_or_one_sentence(data):
    made = boat("marram")
    paths = sorted(path for path, entry in made.inputs.items() if entry.kind == "quantity")
    for path in data.draw(st.lists(st.sampled_from(paths), min_size=1, max_size=4, unique=True)):
        entry = made.inputs[path]
        low, high = entry.hard
        share = data.draw(st.sampled_from([0.0, 1e-6, 0.01, 0.5, 0.99, 1.0]))
        value = low + share * (high - low)
        unit = {"temperature": "kelvin", "wire": "m**2"}.get(entry.style)

        text = f"{value!r} {unit}" if unit else text_of(value, entry.style)
        try:
            made = made.with_edit(path, text)
        except BoatFileError:
            return
    for unwell in run_day(made).unwell:
        # A cabin of 80 °C is outside the tables; a Python error is never the answer.
        assert "no finite number" in unwell.error or "not working" in unwell.error, unwell
