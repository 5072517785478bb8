"""What an owner sees: each look is likeliest where the line is like it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from console.contract import Reading
from console.engine.run import EstimateView, Ran
from console.guard import load
from console.quantities import STYLES, parse_measure
from console.registry import Registry
from plugins.raw_water import chances as chances_module
from tests.plugins.raw_water.conftest import FULL_LINE, Runner

LINE = "raw_water.line"


def chances(registry: Registry, ran: Ran, name: str) -> dict[str, float]:
    reading = reading_of(registry, name)
    rows = load(reading.chances)(EstimateView(ran.draws, ran.hours, 3600.0, ran.figures))
    assert rows.shape == (ran.draws.draws + 1, len(reading.choices))
    assert rows.min() > 0
    assert np.allclose(rows.sum(axis=1), 1.0)
    return dict(zip(reading.choices, rows[0], strict=True))


def reading_of(registry: Registry, name: str) -> Reading:
    return next(reading for _, reading in registry.readings if reading.name == name)


def likeliest(found: dict[str, float]) -> str:
    return max(found, key=lambda choice: found[choice])


@pytest.mark.parametrize(
    ("name", "changes", "choice"),
    [
        ("strainer", {"strainer.blocked": "2 %"}, "clean"),
        ("strainer", {"strainer.blocked": "55 %"}, "half"),
        ("strainer", {"strainer.blocked": "97 %"}, "packed"),
        ("seacock", {}, "open"),
        ("seacock", {"seacock.open_share": "40 %"}, "partly"),
        ("hose_look", {}, "clear"),
        ("hose_look", {"seacock_to_strainer.open_width": "30 %"}, "pinched"),
        ("bubbles", {}, "none"),
        ("bubbles", {"pump.suction_air": "3 %"}, "some"),
        ("bubbles", {"pump.suction_air": "10 %"}, "many"),
        ("intake_gush", {}, "strong"),
        ("intake_gush", {"intake.blocked": "80 %"}, "weak"),
        ("intake_gush", {"intake.blocked": "100 %"}, "none"),
        ("overboard_stream", {}, "full"),
        ("overboard_stream", {"strainer.blocked": "98 %"}, "weak"),
        ("overboard_stream", {"pump.stopped": "50 %"}, "pulsing"),
        ("overboard_stream", {"pump.stopped": "100 %"}, "none"),
        ("pump_sound", {}, "normal"),
        ("pump_sound", {"pump.air": "100 %"}, "racing"),
        ("after_cleaning", {"strainer.blocked": "97 %"}, "restored"),
        ("after_cleaning", {"seacock_to_strainer.open_width": "8 %"}, "unchanged"),
        ("after_cleaning", {"strainer.blocked": "2 %"}, "unchanged"),
    ],
)
def test_the_likeliest_look_is_the_true_one(
    registry: Registry, run: Runner, name: str, changes: dict[str, str], choice: str
) -> None:
    ran = run("", 30, {f"{LINE}.{path}": f"{value} ± 0 %" for path, value in changes.items()})
    assert likeliest(chances(registry, ran, name)) == choice


def test_every_choice_reading_has_chances_that_add_up_on_a_line_with_every_fault(
    registry: Registry, run: Runner
) -> None:
    ran = run(FULL_LINE, 50)
    for _, reading in registry.readings:
        if reading.chances:
            chances(registry, ran, reading.name)


def test_looks_are_weighed_by_figures_alone() -> None:
    """An input is not asked, so that a day pinned by a reading and a moment speak alike."""
    source = Path(chances_module.__file__ or "").read_text("utf-8")
    assert "run.number" not in source
    assert "run.figure" in source


def test_no_look_is_ever_impossible(registry: Registry, run: Runner) -> None:
    extremes = [
        {"strainer.blocked": "100 %"}, {"pump.stopped": "100 %"}, {"pump.air": "100 %"}, {"intake.blocked": "100 %"},
        {"seacock.open_share": "0 %"}, {"pump.suction_air": "100 %"},
    ]  # fmt: skip
    for changes in extremes:
        ran = run("", 0, {f"{LINE}.{path}": value for path, value in changes.items()})
        for _, reading in registry.readings:
            if reading.chances:
                assert min(chances(registry, ran, reading.name).values()) >= 0.0095


def test_a_silent_pump_is_one_that_stands_still(registry: Registry, run: Runner) -> None:
    runs = {
        v: chances(registry, run("", 0, {f"{LINE}.pump.stopped": v}), "pump_sound")
        for v in ("0 %", "100 %")
    }
    quiet = {value: found["silent"] + found["humming"] for value, found in runs.items()}
    assert quiet["100 %"] > 0.9 > 0.1 > quiet["0 %"]


def test_numeric_readings_name_a_figure_and_errors_that_can_be_read(
    registry: Registry, run: Runner
) -> None:
    ran = run("")
    for name in ("fill_time", "raw_water_flow"):
        reading = reading_of(registry, name)
        assert reading.predicts in ran.figures
        assert ran.meanings[reading.predicts].unit == reading.unit == STYLES[reading.style].unit
        for error in (reading.shared_error, reading.own_error):
            probe = parse_measure(f"100 {STYLES[reading.style].si} {error}", reading.style)
            assert 0 < (probe.half or 0) < 0.2


def test_opening_below_the_waterline_is_never_offered_without_its_caution(registry: Registry) -> None:
    for name in ("strainer", "intake_gush", "after_cleaning"):
        assert "below_waterline" in reading_of(registry, name).hazards
