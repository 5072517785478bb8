"""Causes, what would help, and the repair: each moves what it should, on the real engine."""

import numpy as np
import pytest

from console.engine.changes import altered, reached
from console.engine.run import run_day, run_moment
from plugins.cold_box.cautions import CAUTIONS
from plugins.cold_box.changes import ACTIONS, CAUSES, CHANGES, REPAIRS
from plugins.cold_box.readings import READINGS
from plugins.cold_box.records import ESTIMATES, QUESTIONS
from tests.plugins.cold_box.boats import boat, day

CABIN = 'temperature = "84 F"\nhumidity = "68 %"'
BY_KEY = {change.key: change for change in CHANGES}
NAMES = (
    "leaking_seal", "open_drain", "thick_frost", "wet_insulation", "hot_condenser_space", "low_refrigerant",
    "low_feed_voltage", "overloaded_box", "many_openings", "nothing_wrong",
)  # fmt: skip
EVERYTHING_WRONG = (
    'drain = "open"\nwet_share = "50 %"\nopenings = "20 per day"\n[cold_box.seal]\nfailing_share = "60 %"\n'
    '[cold_box.plate]\nfrost = "8 mm"\n[cold_box.compressor]\nlocker_rise = "12 C"'
)
FIGURES = {given.name for estimate in ESTIMATES for given in estimate.gives}


@pytest.fixture(scope="module")
def healthy():
    return day('[cold_box.seal]\nfailing_share = "3 %"', CABIN, draws=64)


def figures(ran, key: str):
    change = BY_KEY[key]
    columns = altered(ran.draws, [("cold_box", change)])
    made = run_moment(ran.boat, ran, 15, columns=columns)
    assert made.unwell == []
    return {name: values[1:, 0] for name, values in made.figures.items()}


def test_the_causes_are_those_an_owner_is_told():
    assert tuple(sorted(c.key for c in CAUSES)) == tuple(sorted(NAMES))
    assert sum(c.prior for c in CAUSES) == pytest.approx(1.0, abs=0.1)
    assert all(c.complaint == "cold_box" and 0.0 < c.prior < 0.5 for c in CAUSES)


@pytest.mark.parametrize("change", CHANGES, ids=lambda c: f"{c.kind}-{c.key}")
def test_every_change_acts_on_inputs_that_are_there_and_says_enough(change):
    there = boat("")
    for alter in change.alters:
        assert reached(there, alter.path), alter.path
    assert set(change.hazards) <= {caution.key for caution in CAUTIONS}
    assert {effect.figure for effect in change.effects} <= FIGURES
    assert set(change.questions) <= {question.key for question in QUESTIONS}
    assert change.title
    assert change.why
    if change.kind == "cause":
        assert len(change.remedy) > 40
        assert change.key == "nothing_wrong" or change.proof[0] in {reading.name for reading in READINGS}
    for part in change.needs:
        for path in part.size.split("{")[1:]:
            assert path.split("}")[0] in there.inputs


@pytest.mark.parametrize(
    ("key", "figure", "sick"),
    [
        ("leaking_seal", "failing_share", lambda x: x > 0.2),
        ("open_drain", "drain_open", lambda x: x > 0.5),
        ("thick_frost", "frost_thickness", lambda x: x > 5e-3),
        ("hot_condenser_space", "locker_air", lambda x: x > 273.15 + 30.0),
        ("low_refrigerant", "wetted_share", lambda x: x < 0.75),
        ("low_feed_voltage", "terminal_voltage", lambda x: x < 12.0),
        ("many_openings", "openings_per_day", lambda x: x > 18.0 / 86400.0),
    ],
)
def test_a_cause_begins_where_health_ends(healthy, key, figure, sick):
    """Nine in ten of its draws are plainly ill."""
    assert np.mean(sick(figures(healthy, key)[f"cold_box.{figure}"])) > 0.9


@pytest.mark.parametrize(
    ("key", "figure", "up"),
    [
        ("leaking_seal", "frost_rate", True),
        ("open_drain", "frost_rate", True),
        ("many_openings", "frost_rate", True),
        ("thick_frost", "run_share", True),
        ("wet_insulation", "run_share", True),
        ("overloaded_box", "run_share", True),
        ("hot_condenser_space", "amp_hours_per_day", True),
        ("low_refrigerant", "run_share", True),
        ("low_refrigerant", "compressor_current", False),
        ("low_feed_voltage", "volts_allow", False),
        ("low_feed_voltage", "settled_temperature", True),
    ],
)
def test_a_cause_moves_what_an_owner_would_see(healthy, key, figure, up):
    well = figures(healthy, "nothing_wrong") if figure else {}
    ill = figures(healthy, key)
    moved = np.median(ill[f"cold_box.{figure}"]) - np.median(well[f"cold_box.{figure}"])
    assert (moved > 0.0) == up
    assert moved != 0.0


@pytest.mark.parametrize("action", ACTIONS, ids=lambda a: a.key)
def test_every_action_helps_a_box_with_everything_wrong(action):
    """On common draws: less of the first figure it is shown by, or less frost, never much more of either."""
    before = day(EVERYTHING_WRONG, CABIN, draws=24)
    columns = altered(before.draws, [("cold_box", action)])
    after = run_day(before.boat, 24, columns=columns)
    amps, frost = (
        np.median(after.daily(f"cold_box.{n}") / before.daily(f"cold_box.{n}"))
        for n in ("amp_hours_per_day", "frost_rate")
    )
    assert min(amps, frost) < 0.9995
    assert max(amps, frost) < 1.02
    days = [np.median(ran.daily("cold_box.days_to_defrost")) for ran in (before, after)]
    assert action.key != "defrost" or days[1] > days[0]


def test_plugging_a_plugged_drain_changes_nothing(healthy):
    after = run_day(healthy.boat, 64, columns=altered(healthy.draws, [("cold_box", BY_KEY["plug_drain"])]))
    name = "cold_box.amp_hours_per_day"
    assert after.figures[name] == pytest.approx(healthy.figures[name], rel=1e-12)


@pytest.mark.parametrize("mouth", ["lid", "door"])
@pytest.mark.parametrize("kept", [0.2, 0.5, 1.6])
def test_the_seal_s_repair_scales_the_leak_by_its_severity(mouth, kept):
    (repair,) = REPAIRS
    before = day(f'opening = "{mouth}"\n[cold_box.seal]\nfailing_share = "40 %"', CABIN, draws=8)
    columns = altered(before.draws, [("cold_box", repair)], {"cold_box.seal": np.full(9, kept)})
    after = run_day(before.boat, 8, columns=columns)
    whole_edge = before.draws.number("cold_box.seal.failing_share")[:, 0] * kept < 1.0
    ratio = after.daily("cold_box.air.seal") / before.daily("cold_box.air.seal")
    assert ratio[whole_edge] == pytest.approx(kept, rel=0.02)


def test_a_bad_to_a_good_door_seal_is_five_to_ten_times_the_melt_water_and_a_fifth_of_the_amp_hours():
    """A leak of 6 to 8 m³ a day against 0.3 to 0.6: 5 to 10 times and 8 to 22 %, computed from textbook physics."""
    text = 'opening = "door"\n[cold_box.seal]\nfailing_share = "{}"\ngap = "{}"'
    bad, good = (
        day(text.format(*seal), 'temperature = "80 F"\nhumidity = "70 %"')
        for seal in (("60 %", "1.45 mm"), ("15 %", "0.8 mm"))
    )
    water = bad.daily("cold_box.frost_rate")[0] / good.daily("cold_box.frost_rate")[0]
    amps = 1.0 - good.daily("cold_box.amp_hours_per_day")[0] / bad.daily("cold_box.amp_hours_per_day")[0]
    leaks = [ran.daily("cold_box.air.seal")[0] * 86_400.0 for ran in (bad, good)]
    assert 6.0 < leaks[0] < 8.0
    assert 0.3 < leaks[1] < 0.6
    assert 5.0 < water < 10.0
    assert 0.08 < amps < 0.22


def test_a_bad_to_a_good_lid_seal_is_five_to_ten_times_the_melt_water_and_few_amp_hours():
    """The drain plugged: a draught and the boat's slope do what a chimney would."""
    text = '[cold_box.seal]\nfailing_share = "{}"\ngap = "{}"'
    bad, good = (
        day(text.format(*seal), 'temperature = "80 F"\nhumidity = "70 %"')
        for seal in (("100 %", "2 mm"), ("10 %", "0.7 mm"))
    )
    water = bad.daily("cold_box.frost_rate")[0] / good.daily("cold_box.frost_rate")[0]
    amps = 1.0 - good.daily("cold_box.amp_hours_per_day")[0] / bad.daily("cold_box.amp_hours_per_day")[0]
    assert 5.0 < water < 10.0
    assert 0.05 < amps < 0.22


def test_a_draught_matters_to_a_lid_and_hardly_to_a_door():
    """A door has a top and a bottom: its own stack outdoes it."""
    text = 'opening = "{}"\n[cold_box.seal]\nfailing_share = "100 %"\ngap = "1.5 mm"\ndraught = "{}"'
    lid, door = (
        [day(text.format(kind, speed)).daily("cold_box.air.seal")[0] for speed in ("0 m/s", "0.6 m/s")]
        for kind in ("lid", "door")
    )
    assert lid[1] > 3.0 * lid[0]
    assert door[0] < door[1] < 1.2 * door[0]
