"""Quantities: our grammar, pint's factors, the owner's spellings, and dressing for reading."""

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.quantities import (
    STYLES,
    QuantityError,
    _pint_to_si,
    convert,
    number_text,
    parse_measure,
    pretty_unit,
    say,
    say_range,
    shown_unit,
    style_of,
    wire_area,
    wire_gauge,
)
from console.unit_factors import FACTORS

PINT = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "style", "value", "unit"),
    [
        ("1,500 W", "power", 1500, "W"),
        ("3/4 in", "short_length", 0.75, "inch"),
        ("1 1/8 in", "short_length", 1.125, "inch"),
        ("1½ in", "short_length", 1.5, "inch"),
        (".5 ft", "length", 0.5, "ft"),
        ("3.5 gpm", "flow", 3.5, "gallon/minute"),
        ("200 gph", "flow", 200, "gallon/hour"),
        ("30 amps", "current", 30, "A"),
        ("16,000 Btu/h", "heat", 16000, "BTU/hour"),
        ("1.5 ton", "heat", 1.5, "ton_of_refrigeration"),
        ("900 cu ft", "space", 900, "ft**3"),
        ("20 mOhm", "resistance", 0.020, "ohm"),
        ("300 Ah", "charge", 300, "A*hour"),
        ("2.2 psi", "pressure", 2.2, "psi"),
        ("28 g/kg", "salinity", 0.028, "dimensionless"),
        ("210 deg", "angle", 210, "degree"),
        ("6 mm2", "wire", 6, "mm**2"),
        ("12 h/day", "hours_per_day", 0.5, "dimensionless"),
        ("−5 degC", "temperature", 268.15, "kelvin"),
    ],
)
def test_a_quantity_is_read_as_pint_reads_its_number_and_unit(text, style, value, unit):
    expected = PINT.Quantity(value, unit).to(STYLES[style].unit.replace("delta_degC", "kelvin")).magnitude
    assert parse_measure(text, style).value == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kelvin"), [("32 F", 273.15), ("212 °F", 373.15), ("-40 C", 233.15), ("25 degC", 298.15)]
)
def test_a_temperature_has_its_offset(text, kelvin):
    assert parse_measure(text, "temperature").value == pytest.approx(kelvin)


def test_84_f_is_a_temperature_and_never_farad():
    assert parse_measure("84 F", "temperature").value == pytest.approx(302.039, abs=1e-3)


def test_the_spread_of_a_temperature_is_a_difference():
    assert parse_measure("84 F ± 9 F", "temperature").half_si == pytest.approx(5.0)


def test_a_spread_in_percent_is_relative():
    assert parse_measure("1 mm ± 50 %", "short_length").half_si == pytest.approx(0.0005)


def test_a_spread_in_percent_of_a_percentage_is_in_points():
    assert parse_measure("35 % ± 10 %", "share").half_si == pytest.approx(0.10)


def test_the_unit_may_stand_behind_the_spread():
    measure = parse_measure("84 +/- 3 F", "temperature")
    assert (measure.value, measure.half) == (pytest.approx(302.039, abs=1e-3), pytest.approx(5 / 3))


@pytest.mark.parametrize(
    ("text", "style", "hint"),
    [
        ("84 F ± 5 %", "temperature", "no meaning on a temperature"),
        ("5", "length", "no unit"),
        ("1,5 L", "volume", "accepted is"),
        ("3 galons", "volume", 'did you mean "gal"'),
        ("3 kg", "length", "not a unit of length"),
        ("1/0 ft", "length", "accepted is"),
        ("", "length", "accepted is"),
        ("ten ft", "length", "accepted is"),
        ("5 ft ± -1 ft", "length", "spread"),
        ("5 ft ± much", "length", "spread"),
        ("1e999 ft", "length", "accepted is"),
        ("5 __import__", "length", "accepted is"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(text, style, hint):
    with pytest.raises(QuantityError) as caught:
        parse_measure(text, style)
    assert hint in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("wrong", [True, None, [1], {"a": 1}, 5, 5.0])
def test_what_is_not_text_is_refused_where_a_unit_is_needed(wrong):
    with pytest.raises(QuantityError, match="accepted is"):
        parse_measure(wrong, "length")


@given(st.text(max_size=60), st.sampled_from(sorted(STYLES)))
def test_any_text_gives_a_finite_number_or_one_sentence(text, style):
    try:
        measure = parse_measure(text, style)
    except QuantityError as error:
        assert str(error).isprintable()
    else:
        assert math.isfinite(measure.value)
        assert math.isfinite(measure.half_si)
        assert measure.half_si >= 0


@given(
    st.sampled_from([s for s in STYLES if s != "wire"]), st.sampled_from(["us", "si"]),
    st.floats(-1e6, 1e6).filter(lambda x: abs(x) > 1e-6),
)  # fmt: skip
def test_what_is_shown_reads_back_the_same(style, system, number):
    unit = shown_unit(style, system)
    measure = parse_measure(f"{number!r} {unit}", style)
    assert convert(measure.value, style, system) == pytest.approx(number, rel=1e-9, abs=1e-9)


# ASTM B258-02: nominal diameters of solid round wire (10 AWG also in the published rows).
@pytest.mark.parametrize(
    ("gauge", "inches"), [(0, 0.3249), (6, 0.1620), (10, 0.1019), (14, 0.0641), (18, 0.0403)]
)
def test_wire_gauge_has_the_diameter_of_astm_b258(gauge, inches):
    diameter = math.sqrt(wire_area(gauge) * 4 / math.pi) / 0.0254
    assert diameter == pytest.approx(inches, abs=5e-5)


@pytest.mark.parametrize("name", ["4/0 AWG", "2/0 AWG", "1/0 AWG", "2 AWG", "10 AWG", "18 AWG"])
def test_a_wire_gauge_survives_the_round_trip(name):
    assert wire_gauge(parse_measure(name, "wire").value) == name


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (-0.0001, "-0.0001"),
        (-4e-16, "0"),
        (4e-16, "0"),
        (1234.5, "1230"),
        (16000.4, "16,000"),
        (2.149, "2.15"),
        (0.0306, "0.0306"),
        (math.nan, "–"),
    ],
)
def test_a_number_has_three_significant_digits_at_most(value, text):
    assert number_text(value) == text


def test_a_range_carries_its_unit_once():
    assert say_range(1e-4, 0.8e-4, 1.3e-4, "flow", "si") == "6.0 L/min (4.8 to 7.8)"


def test_a_temperature_is_said_in_whole_degrees():
    assert say(302.0389, "temperature", "us") == "84 °F"


def test_a_latitude_is_said_to_a_tenth_of_a_degree():
    assert say(math.radians(-80.9), "angle", "us") == "-80.9°"


def test_every_style_has_a_unit_pint_knows_and_a_pretty_one():
    for key, style in STYLES.items():
        for system in ("us", "si"):
            assert isinstance(pretty_unit(key, system), str)
        assert style_of(style.unit, key) == key


def test_every_stored_factor_is_pints_own():
    for (unit, si_unit), pair in FACTORS.items():
        assert _pint_to_si.__wrapped__(unit, si_unit) == pair


def test_reading_a_usual_unit_does_not_load_pint():
    code = "from console.quantities import *; parse_measure('3/4 in ± 5 %', 'short_length'); import sys; print('pint' in sys.modules)"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
        == "False\n"
    )


def test_a_unit_nobody_foresaw_goes_to_pint():
    assert parse_measure("2 fathom", "length").value == pytest.approx(2 * PINT("fathom").to("m").magnitude)


@pytest.mark.parametrize("style", sorted(STYLES))
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 0.0, -1e-300, 1e300])
def test_any_number_can_be_said(style, value):
    assert say(value, style, "us").isprintable()


def test_a_relative_spread_of_a_plain_number_is_relative():
    assert parse_measure("2 ± 60 %", "number").half_si == pytest.approx(1.2)


def test_a_whole_count_has_no_decimals() -> None:
    assert say(2.0, "number", "us") == "2"
    assert say(2.5, "number", "us") == "2.5"
