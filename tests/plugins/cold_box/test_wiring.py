"""What the plugin contributes, and that its readings and cautions hang together."""

import subprocess
import sys

import numpy as np
import pytest

from console.engine.views import EstimateView
from console.guard import load
from console.quantities import STYLES, parse_measure, style_of
from plugins.cold_box.cautions import CAUTIONS
from plugins.cold_box.readings import READINGS
from plugins.cold_box.records import ESTIMATES
from tests.plugins.cold_box.boats import boat, day

KEYS = {caution.key for caution in CAUTIONS}
GIVEN = {given.name: given for estimate in ESTIMATES for given in estimate.gives}
CHOICES = [reading for reading in READINGS if reading.chances]


def test_importing_the_wiring_imports_only_the_contract():
    code = (
        "import sys; import plugins.cold_box as p; list(p.boat_sections()); "
        "bad = [m for m in ('numpy', 'pydantic', 'pint', 'CoolProp', 'textual') if m in sys.modules]; "
        "print(bad); sys.exit(len(bad))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_an_absent_table_is_not_aboard():
    from console.boatfile import loads
    from tests.plugins.cold_box.boats import HEADER, _registry

    assert "cold_box" not in loads(HEADER, _registry(False)).tables
    assert "cold_box" in boat("").tables


@pytest.mark.parametrize("reading", READINGS, ids=lambda r: r.name)
def test_every_reading_hangs_together(reading):
    assert set(reading.hazards) <= KEYS
    if reading.role == "event":
        return
    assert reading.choices or reading.predicts
    if reading.predicts.startswith("cold_box."):
        given = GIVEN[reading.predicts]
        assert reading.unit == given.unit or reading.over.startswith("since:")
    if reading.unit:
        style = style_of(reading.unit, reading.style)
        for spread in filter(None, (reading.shared_error, reading.own_error)):
            parse_measure(f"1 {STYLES[style].si} {spread}", style)


@pytest.mark.parametrize("reading", CHOICES, ids=lambda r: r.name)
def test_chances_of_a_look_are_chances(reading):
    ran = day('drain = "trapped"', draws=32)
    view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures)
    chances = load(reading.chances)(view)
    assert chances.shape == (33, len(reading.choices))
    assert chances.sum(axis=1) == pytest.approx(1.0)
    assert (chances > 0.0).all()


@pytest.mark.parametrize(
    ("name", "text", "likeliest"),
    [
        ("plate_frost", "", "all"),
        ("plate_frost", '[cold_box.compressor]\ncharge = "45 %"', "part"),
        ("compressor_runs", "", "cycling"),
        ("compressor_runs", 'ice = "14 kg/day"', "off"),
        ("compressor_runs", 'insulation = "0.6 in"\nset_point = "33 F"', "continuous"),
        ("compressor_runs", '[cold_box.compressor]\nfeed_voltage = "10.75 V"', "tries_and_stops"),
        ("condenser_fan", "", "turns"),
        ("condenser_fan", '[cold_box.compressor]\napproach = "35 C"', "still"),
        ("drain", 'drain = "open"', "open"),
        ("drain", 'drain = "trapped"', "trapped"),
        ("paper_slip", '[cold_box.seal]\nfailing_share = "0 %"', "holds"),
        ("paper_slip", '[cold_box.seal]\nfailing_share = "20 %"', "slips_some"),
        ("paper_slip", '[cold_box.seal]\nfailing_share = "80 %"', "slips_many"),
    ],
)
def test_what_the_box_is_like_is_what_is_likely_seen(name, text, likeliest):
    ran = day(text, 'temperature = "92 F"')
    reading = next(r for r in READINGS if r.name == name)
    chances = load(reading.chances)(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))
    assert reading.choices[int(np.argmax(chances[0]))] == likeliest


def test_every_caution_says_enough_to_act_on():
    assert len(KEYS) == len(CAUTIONS)
    assert all(len(caution.text) > 40 and caution.source for caution in CAUTIONS)


def test_every_figure_has_a_meaning_and_a_style():
    for given in GIVEN.values():
        assert given.meaning
        assert style_of(given.unit, given.style)
