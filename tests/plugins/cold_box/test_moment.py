"""The box at one moment: its temperature read off a thermometer, a trouble switched on."""

import pytest

from console.engine.run import run_moment
from tests.plugins.cold_box.boats import boat, day

CABIN = 'temperature = "84 F"\nhumidity = "65 %"'
FIFTY = (50.0 - 32.0) / 1.8 + 273.15


def moment(text: str = "", pins: dict[str, float] | None = None, draws: int = 32):
    made = run_moment(boat(text, CABIN), day("", CABIN, draws), 14, pins)
    assert made.unwell == []
    return made


def test_without_readings_the_moment_is_the_day_s_hour():
    whole = day("", CABIN, 32)
    now = run_moment(boat("", CABIN), whole, 14)
    for name in ("cold_box.run_share", "cold_box.frost_rate", "cold_box.amp_hours_per_day"):
        assert now.figures[name][:, 0] == pytest.approx(whole.figures[name][:, 14], rel=1e-6)


def test_a_warm_box_calls_for_all_the_machine_has():
    now = moment(pins={"cold_box.box_temperature": FIFTY})
    assert now.figures["cold_box.run_share"] == pytest.approx(1.0)


def test_a_trouble_shows_at_once_though_the_box_is_still_cold():
    """Its temperature is the healthy day's; the share it must run for it is the sick machine's."""
    well, ill = moment(), moment('[cold_box.compressor]\ncharge = "45 %"')
    assert (ill.figures["cold_box.run_share"] >= well.figures["cold_box.run_share"]).all()
    assert ill.figures["cold_box.run_share"][0, 0] > 1.3 * well.figures["cold_box.run_share"][0, 0]
    assert (
        ill.figures["cold_box.plate_temperature"][0, 0] < well.figures["cold_box.plate_temperature"][0, 0]
    )


def test_a_cabin_reading_replaces_the_cabin():
    cooler = moment(pins={"climate.cabin_temperature": 290.0})
    assert cooler.figures["cold_box.cabin_air"] == pytest.approx(290.0)
    assert cooler.figures["cold_box.heat_total"][0, 0] < moment().figures["cold_box.heat_total"][0, 0]
