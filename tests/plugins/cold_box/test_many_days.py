"""From day to day: frost that grows costs, and a logged day is a day of hours."""

import numpy as np
import pytest

from console.contract import Alter, Change
from console.engine.changes import altered
from console.engine.run import run_day, run_steps
from tests.plugins.cold_box.boats import PER_DAY, amp_hours, day

LEAKY = 'opening = "door"\n[cold_box.seal]\nfailing_share = "70 %"\n[cold_box.plate]\nfrost_density = "180 kg/m3"\nfrost = "{}"'
CABIN = 'temperature = "84 F"\nhumidity = "72 %"'


def test_today_s_frost_changes_tomorrow_s_plate_and_amp_hours():
    """The day's growth, added as the days ahead add it, makes a colder plate and a dearer day."""
    today = day(LEAKY.format("0.5 mm"), CABIN)
    grown = 0.5e-3 + float(today.daily("cold_box.frost_thickness_rate")[0]) * PER_DAY
    tomorrow = day(LEAKY.format(f"{grown * 1e3:.6f} mm"), CABIN)
    colder = today.daily("cold_box.plate_temperature")[0] - tomorrow.daily("cold_box.plate_temperature")[0]
    print(
        f"{(grown - 0.5e-3) * 1e3:.2f} mm more: plate {colder:.2f} K colder, {amp_hours(tomorrow) - amp_hours(today):+.2f} Ah"
    )
    assert grown > 0.7e-3
    assert colder > 0.02
    assert amp_hours(tomorrow) > amp_hours(today) + 0.01
    assert tomorrow.daily("cold_box.days_to_defrost")[0] < today.daily("cold_box.days_to_defrost")[0]


def logged(base, warm, wet, inside=None, columns=None):
    """The log's timeline: one step a day, with that day's means pinned."""
    rows, steps = base.draws.draws + 1, len(warm)

    def each(values):
        return np.broadcast_to(np.asarray(values, dtype=float), (rows, steps))

    hours = np.full(steps, 12.0)
    pins = {
        "climate.cabin_temperature": each(warm), "climate.cabin_humidity": each(wet),
        "cold_box.stored_heat": each(0.0), "cold_box.wall_factor": each(1.0), "cold_box.leak_factor": each(1.0),
        "weather.seawater_temperature": each(302.0), "weather.outdoor_temperature": each(warm) + 0.0,
        "weather.outdoor_humidity_ratio": each(0.016), "weather.direct_normal": each(0.0),
        "weather.diffuse_horizontal": each(0.0), "weather.sun_zenith": each(1.5), "weather.sun_azimuth": each(3.0),
    }  # fmt: skip
    if inside is not None:
        pins |= {"cold_box.box_temperature": each(inside), "cold_box.fridge_temperature": each(inside)}
    made = run_steps(columns or base.draws, hours, 86_400.0, pins, held=inside is not None)
    assert [u for u in made.unwell if u.plugin == "cold_box"] == []
    return made


def test_a_logged_day_is_the_mean_of_its_hours():
    """Melt-water and amp-hours of one step a day against 24 an hour, within the log's own noise."""
    for warm, swing, humidity in ((298.15, 6.0, 0.6), (303.15, 8.0, 0.7)):
        text = 'hull_side_share = "0 %"'
        hourly = day(
            text, f'temperature = "{warm - 273.15} C"\nswing = "{swing} C"\nhumidity = "{humidity * 100} %"'
        )
        one = logged(hourly, [warm, warm], [humidity, humidity], inside=277.04)
        for name, room in (("cold_box.amp_hours_per_day", 0.03), ("cold_box.frost_rate", 0.06)):
            off = float(one.figures[name][0, 0] / hourly.daily(name)[0]) - 1.0
            print(f"{name}: {off:+.1%}")
            assert abs(off) < room


def test_the_log_s_days_answer_each_with_its_own_air_and_box():
    base = day("", CABIN, draws=16)
    made = logged(base, [295.0, 300.0, 305.0], [0.5, 0.6, 0.7], inside=[277.0, 277.0, 278.5])
    amps, frost = made.figures["cold_box.amp_hours_per_day"], made.figures["cold_box.frost_rate"]
    assert amps.shape == frost.shape == (17, 3)
    assert (np.diff(amps, axis=1) > 0.0).all()
    assert (np.diff(frost, axis=1) > 0.0).all()


def test_the_log_s_timeline_also_steps_the_box_where_nobody_read_it():
    base = day("", CABIN, draws=4)
    made = logged(base, [295.0, 300.0, 305.0], [0.5, 0.6, 0.7])
    assert made.figures["cold_box.box_temperature"][0] == pytest.approx(277.04, abs=0.05)


def test_a_repaired_seal_shows_in_the_log_s_melt_water_far_more_than_in_its_amp_hours():
    base = day('opening = "door"\n[cold_box.seal]\nfailing_share = "60 %"', CABIN, draws=8)
    seal = Change("seal", "repair", "seal", (Alter("cold_box.seal.failing_share", "scale", "0.2"),
                                             Alter("cold_box.seal.breathing", "scale", "0.2")))  # fmt: skip
    air = ([300.0, 302.0], [0.65, 0.7], 277.0)
    before = logged(base, *air)
    after = logged(base, *air, columns=altered(base.draws, [("cold_box", seal)]))
    melt, amps = (
        np.median(after.figures[n] / before.figures[n])
        for n in ("cold_box.frost_rate", "cold_box.amp_hours_per_day")
    )
    assert melt < 0.6
    assert 0.75 < amps < 0.99


def test_a_period_of_several_days_is_hours_as_one_day_is():
    one = day("", CABIN)
    hours = np.tile(np.arange(24) + 0.5, 3)
    pins = {n: np.tile(v, 3) for n, v in one.figures.items() if n.startswith(("weather.", "climate."))}
    three = run_steps(one.draws, hours, 3600.0, pins)
    for name in ("cold_box.amp_hours_per_day", "cold_box.days_to_defrost", "cold_box.hours_to_food_line"):
        assert three.figures[name].mean() == pytest.approx(one.figures[name].mean(), rel=1e-9)


def test_nothing_of_a_run_moves_for_want_of_a_table():
    """The boat without week, jug and divider is the boat as its sizes say."""
    ran = day("", CABIN)
    assert run_day(ran.boat, 0).figures["cold_box.heat_total"] == pytest.approx(
        ran.figures["cold_box.heat_total"]
    )
