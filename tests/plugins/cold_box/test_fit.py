"""Fitting to a week of amp-hours and to a jug: a known truth comes back."""

import numpy as np
import pytest

from console.contract import Alter, Change
from console.engine.changes import altered
from console.engine.run import run_day
from plugins.cold_box.build import fitted
from plugins.cold_box.fit import factor_that_gives
from tests.plugins.cold_box.boats import PER_DAY, box, day, grams

TRUE = 'wet_share = "55 %"\nbridges = "35 %"\nhull_side_share = "{hull}"\n'
CABINS = (
    ("72 F", "6 C", "60 %"),
    ("78 F", "9 C", "66 %"),
    ("84 F", "8 C", "70 %"),
    ("81 F", "5 C", "58 %"),
)


def a_week(text: str):
    """Hour by hour through days of different weather: means as an owner would note them."""
    days = [
        day(text, f'temperature = "{warm}"\nswing = "{swing}"\nhumidity = "{wet}"')
        for warm, swing, wet in (*CABINS, *CABINS[:3])
    ]

    def mean(name: str) -> float:
        return float(np.mean([ran.figures[name].mean() for ran in days]))

    return {
        "amps": mean("cold_box.amp_hours_per_day") * 24.0, "cabin": mean("cold_box.cabin_air") - 273.15,
        "humidity": 100.0 * mean("climate.cabin_humidity"), "box": mean("cold_box.box_temperature") - 273.15,
        "grams": mean("cold_box.frost_rate") * PER_DAY * 1e3, "conductance": mean("cold_box.conductance"),
        "leak": mean("cold_box.air.seal"),
    }  # fmt: skip


def week(w, spread: bool = True) -> str:
    bare = "" if spread else " ± 0 "
    return (
        f'[cold_box.week]\namp_hours = "{w["amps"]:.4f} A*h/day{bare and " ± 0 %"}"\n'
        f'cabin_temperature = "{w["cabin"]:.4f} C{bare and " ± 0 C"}"\n'
        f'cabin_humidity = "{w["humidity"]:.4f} %{bare and " ± 0 %"}"\n'
        f'box_temperature = "{w["box"]:.4f} C{bare and " ± 0 C"}"\n'
    )


def melt(w, days: float = 7.0) -> str:
    return (
        f'[cold_box.melt]\namount = "{w["grams"] * days:.4f} g"\ndays = "{days} days"\n'
        f'cabin_temperature = "{w["cabin"]:.4f} C"\ncabin_humidity = "{w["humidity"]:.4f} %"\n'
        f'box_temperature = "{w["box"]:.4f} C"\n'
    )


@pytest.mark.parametrize(("hull", "room"), [("0 %", 0.02), ("25 %", 0.04)])
def test_a_week_gives_the_true_conductance_back(hull, room):
    """Foam twice as wet as the file says; amp-hours and temperatures of an hourly week, no error.

    Within 2 %, or 4 where a hull side stands in the sun: the week's means stand for its hours.
    """
    truth = a_week(TRUE.format(hull=hull))
    fitted = day(f'hull_side_share = "{hull}"\n' + week(truth, spread=False), 'temperature = "80 F"')
    plain = day(f'hull_side_share = "{hull}"\n', 'temperature = "80 F"')
    found, was = (ran.daily("cold_box.conductance")[0] for ran in (fitted, plain))
    print(f"conductance: true {truth['conductance']:.3f}, sizes {was:.3f}, fitted {found:.3f} W/K")
    assert abs(was / truth["conductance"] - 1.0) > 0.2
    assert found == pytest.approx(truth["conductance"], rel=room)


def test_a_jug_gives_the_true_leak_back():
    """Within a tenth: the mean humidity at the mean temperature is drier than the week's hours were,
    which is the whole of it, and less than a jug is wrong by."""
    leaky = '[cold_box.seal]\nfailing_share = "75 %"\ngap = "1.5 mm"\n'
    truth = a_week('opening = "door"\n' + leaky)
    fitted = day('opening = "door"\n' + melt(truth), 'temperature = "79 F"\nhumidity = "64 %"')
    plain = day('opening = "door"\n', 'temperature = "79 F"\nhumidity = "64 %"')
    fits = fitted.daily("cold_box.air.seal")[0] / truth["leak"] - 1.0
    print(f"leak: true {truth['leak'] * PER_DAY:.2f} m³/day, fitted {fits:+.1%}")
    assert plain.daily("cold_box.air.seal")[0] < 0.6 * truth["leak"]
    assert fitted.daily("cold_box.air.seal")[0] == pytest.approx(truth["leak"], rel=0.1)
    assert grams(fitted) == pytest.approx(truth["grams"], rel=0.1)


def test_week_and_jug_together_give_both_back():
    truth = a_week(TRUE.format(hull="0 %") + '[cold_box.seal]\nfailing_share = "90 %"\n')
    fitted = day(
        'hull_side_share = "0 %"\n' + week(truth) + melt(truth), 'temperature = "79 F"\nhumidity = "64 %"'
    )
    assert fitted.daily("cold_box.conductance")[0] == pytest.approx(truth["conductance"], rel=0.03)
    assert fitted.daily("cold_box.air.seal")[0] == pytest.approx(truth["leak"], rel=0.1)


def test_the_truth_lies_in_the_range_and_the_range_of_amp_hours_narrows():
    truth = a_week(TRUE.format(hull="10 %"))
    cabin = 'temperature = "82 F"\nswing = "8 C"\nhumidity = "66 %"'
    plain, fitted = (day(text, cabin, draws=300) for text in ("", week(truth)))

    def spread(ran, name: str) -> tuple[float, float]:
        low, high = np.percentile(ran.daily(name)[1:], (5, 95))
        return float(low), float(high)

    low, high = spread(fitted, "cold_box.conductance")
    assert low < truth["conductance"] < high
    before, after = (np.subtract(*spread(r, "cold_box.amp_hours_per_day")[::-1]) for r in (plain, fitted))
    assert after < 0.45 * before


def test_a_trouble_switched_on_is_not_fitted_away():
    truth = a_week("")
    ran = day(week(truth), 'temperature = "80 F"', draws=8)
    wet = Change("wet", "action", "wet", (Alter("cold_box.wet_share", "set", "70 %"),))
    ill = run_day(ran.boat, 8, columns=altered(ran.draws, [("cold_box", wet)]))
    assert ill.figures["cold_box.wall_factor"] == pytest.approx(
        ran.figures["cold_box.wall_factor"], rel=1e-12
    )
    assert (ill.daily("cold_box.conductance") > 1.15 * ran.daily("cold_box.conductance")).all()


def test_melt_water_over_thickness_and_area_is_the_frost_s_density():
    text = '[cold_box.plate]\narea = "0.4 m**2"\n[cold_box.melt]\namount = "600 g"\ndays = "20 days"\nthickness = "5 mm"'
    assert day(text).daily("cold_box.frost_density")[0] == pytest.approx(0.6 / (0.4 * 0.005), rel=1e-9)


def test_a_cabin_as_cold_as_the_box_says_nothing_of_the_walls():
    text = '[cold_box.week]\namp_hours = "20 A*h/day"\ncabin_temperature = "41 F"\nbox_temperature = "39 F"'
    assert day(text).daily("cold_box.wall_factor")[0] == 1.0


def test_a_reading_beyond_reach_is_held_at_the_edge():
    text = '[cold_box.week]\namp_hours = "900 A*h/day"\ncabin_temperature = "80 F"'
    assert day(text).daily("cold_box.wall_factor")[0] == pytest.approx(5.0)


def test_nothing_measured_changes_nothing():
    ran = day("", draws=4)
    assert (ran.figures["cold_box.wall_factor"] == 1.0).all()
    assert (ran.figures["cold_box.leak_factor"] == 1.0).all()


def test_the_factor_is_that_at_which_a_rising_model_meets_the_measurement():
    measured = np.array([[2.0], [7.0], [1e-9]])
    found = factor_that_gives(lambda f: 3.0 * f**0.7, measured, 0.1, 10.0)
    assert found[:2, 0] == pytest.approx((measured[:2, 0] / 3.0) ** (1 / 0.7), rel=1e-6)
    assert found[2, 0] == pytest.approx(0.1)


def test_a_week_of_a_divided_box_counts_its_fan():
    """The monitor counted the divider's fan; left out, its amp-hours would be taken for walls."""
    divider = 'set_point = "10 F"\n[cold_box.divider]\nfan_flow = "8 cfm"\nfan_current = "1 A"\n'
    cabin = 'temperature = "78 F"\nhumidity = "60 %"'
    plain = 'hull_side_share = "0 %"\n' + divider
    w = day(plain, cabin)
    amps = w.daily("cold_box.amp_hours_per_day")[0] * 24.0
    noted = (
        f'[cold_box.week]\namp_hours = "{amps:.4f} A*h/day"\ncabin_temperature = "78 F"\n'
        'cabin_humidity = "60 %"\nbox_temperature = "10 F"\n'
    )
    assert day(plain + noted, cabin).daily("cold_box.wall_factor")[0] == pytest.approx(1.0, abs=0.01)


def test_a_fitted_leak_takes_with_it_all_that_gets_in_while_the_box_is_shut():
    made = box(day('[cold_box.seal]\nmissing_share = "10 %"'))
    thrice = fitted(made, np.full((1, 1), 1.0), np.full((1, 1), 3.0))
    assert thrice.breathing == pytest.approx(3.0 * made.breathing)
    assert thrice.leaks.bare is not None
    for part, before in zip(thrice.leaks.parts(), made.leaks.parts(), strict=True):
        assert part.failing == pytest.approx(3.0 * before.failing)
