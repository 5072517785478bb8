"""Freezer and fridge in one: the cold that spills over, and that its balances close."""

import numpy as np
import pytest
from scipy.optimize import brentq

from console.engine.views import EstimateView
from plugins.cold_box.box import fridge_net
from plugins.cold_box.build import heat_capacity
from plugins.cold_box.temperature import fridge_steady
from tests.plugins.cold_box.boats import amp_hours, box, day

FREEZER = (
    'insulation = "4 in"\nset_point = "10 F"\n[cold_box.compressor]\ncurrent = "7 A"\n[cold_box.divider]\n'
)
CABIN = 'temperature = "82 F"\nswing = "6 C"\nhumidity = "65 %"'
HEATS = tuple(f"cold_box.heat.{part}" for part in ("walls", "seal", "openings", "contents", "drain"))


def divided(text: str = "", draws: int = 0):
    return day(FREEZER + text, CABIN, draws)


def fridge(text: str = "") -> float:
    """Its mean, °C."""
    return float(divided(text).figures["cold_box.fridge_temperature"].mean()) - 273.15


def test_the_fridge_s_side_lies_between_freezer_and_cabin():
    """Ice cream hard while the fridge is 32 to 40 °F is the test of a divider (technicians' articles)."""
    ran = divided(draws=32)
    f = ran.figures
    assert (f["cold_box.fridge_temperature"] > f["cold_box.box_temperature"]).all()
    assert (f["cold_box.fridge_temperature"] < f["cold_box.cabin_air"]).all()


def test_heat_and_water_of_both_sides_close():
    f = divided(draws=32).figures
    total = sum(f[name] for name in HEATS)
    out = f["cold_box.run_share"] * f["cold_box.cooling"] + f["cold_box.stored_heat"]
    assert f["cold_box.heat_total"] == pytest.approx(total, rel=1e-9)
    assert out == pytest.approx(f["cold_box.heat_total"], rel=1e-5)
    water = sum(f[f"cold_box.water.{way}"] for way in ("seal", "drain", "openings", "food"))
    gone = f["cold_box.frost_rate"] + f["cold_box.drip_rate"]
    assert gone == pytest.approx(water, rel=1e-6)


def test_over_a_day_neither_side_keeps_heat():
    stored = divided(draws=16).figures["cold_box.stored_heat"]
    assert np.abs(stored.mean(axis=1)).max() < 1e-6


def test_the_steady_fridge_is_a_root_finder_s():
    made = box(divided())
    inside = np.full((1, 24), made.divider.fan_set_point[0, 0] - 16.0)
    steady = fridge_steady(made, inside)
    other = brentq(
        lambda k: float(fridge_net(made, inside, np.full((1, 24), k))[0, 6]), 255.0, 300.0, xtol=1e-9
    )
    assert float(steady[0, 6]) == pytest.approx(other, abs=1e-4)


def test_more_holes_make_a_colder_fridge_and_thicker_foam_a_warmer_one():
    assert fridge('holes = "20 in**2"') < fridge() < fridge('holes = "0.2 in**2"')
    assert fridge('insulation = "4 in"') > fridge('insulation = "0.5 in"')


def test_a_fan_holds_the_fridge_at_its_set_point_and_counts_its_amps():
    tight = FREEZER + 'holes = "0.5 in**2"\ninsulation = "4 in"\n'
    fanned = tight + 'fan_flow = "6 cfm"\nfridge_set_point = "38 F"\n'
    without, with_it = day(tight + 'fan_flow = "0 cfm"', CABIN), day(fanned, CABIN)
    line = (38.0 - 32.0) / 1.8 + 273.15
    assert without.daily("cold_box.fridge_temperature")[0] > line + 3.0
    assert with_it.daily("cold_box.fridge_temperature")[0] == pytest.approx(line, abs=1.0)
    thirsty = day(fanned + 'fan_current = "1 A"', CABIN)
    assert amp_hours(thirsty) > amp_hours(with_it) + 1.0


def test_a_freezer_that_cannot_hold_drags_its_fridge_along():
    weak = day(FREEZER.replace("7 A", "1.8 A"), CABIN)
    assert weak.daily("cold_box.box_temperature")[0] > (10 - 32) / 1.8 + 273.15 + 2.0
    assert weak.daily("cold_box.fridge_temperature")[0] > divided().daily("cold_box.fridge_temperature")[0]
    f = weak.figures
    out = f["cold_box.run_share"] * f["cold_box.cooling"] + f["cold_box.stored_heat"]
    assert out == pytest.approx(f["cold_box.heat_total"], rel=1e-3)


def test_a_divided_box_frosts_as_its_two_sides_let_water_in():
    leaky = day(FREEZER + '[cold_box.seal]\nfailing_share = "80 %"\ngap = "2 mm"', CABIN)
    assert leaky.daily("cold_box.frost_rate")[0] > 2.0 * divided().daily("cold_box.frost_rate")[0]


@pytest.mark.parametrize(
    "fan",
    [
        'fan_flow = "8 cfm"',
        'fan_flow = "40 cfm"\nfreezer_share = "15 %"',
        'fan_flow = "40 cfm"\nholes = "30 in**2"',
    ],
)
def test_an_overloaded_freezer_and_its_fanned_fridge_agree_through_the_day(fan):
    """The larger side must not swing the smaller to and fro for ever: both balances close."""
    ran = day(f'set_point = "10 F"\n[cold_box.divider]\n{fan}', CABIN, 64)
    inside, beyond = (ran.figures[f"cold_box.{side}_temperature"] for side in ("box", "fridge"))
    assert (inside > (10 - 32) / 1.8 + 273.15 + 5.0).any()
    view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures)
    inertia = heat_capacity(view) * (1.0 - view.number("cold_box.divider.freezer_share")) / 3600.0
    kept = inertia * (beyond - np.roll(beyond, 1, axis=1))
    assert fridge_net(box(ran), inside, beyond) == pytest.approx(kept, abs=2e-3)
