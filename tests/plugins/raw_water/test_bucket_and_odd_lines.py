"""Today's bucket, a maker's curve in the file, and lines that cannot work: a sentence or no flow, never a NaN."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from console.boatfile import Boat, BoatFileError
from console.contract import Curve, Listing, Urgency
from console.engine.estimate import Found
from console.engine.run import Ran
from console.properties import seawater
from plugins.raw_water import tables
from plugins.raw_water.questions import is_water_getting_through
from plugins.raw_water.strainer_question import when_is_strainer_due
from tests.plugins.raw_water.conftest import Runner
from tests.published import note

LINE = "raw_water.line"
NOW = '[raw_water]\ncontainer = "10 L"\nfill_time_now = "%s"\n'


def nominal(ran: Ran, name: str) -> float:
    return float(ran.daily(f"raw_water.{name}")[0])


@pytest.mark.parametrize("seconds", [25, 47, 90, 240])
def test_the_line_as_it_is_passes_what_todays_bucket_showed(run: Runner, seconds: int) -> None:
    ran = run(NOW % f"{seconds} s", 100)
    shown = ran.draws.number("raw_water.fill_time_now")[:, 0]
    assert ran.daily("raw_water.fill_time") == pytest.approx(shown, rel=1e-5)


def test_the_clean_bucket_and_todays_stand_side_by_side(run: Runner) -> None:
    text = '[raw_water]\ncontainer = "10 L ± 0 L"\nfill_time = "40 s ± 0 s"\nfill_time_now = "80 s ± 0 s"\n'
    ran = run(text, 60)
    assert ran.daily("raw_water.flow_share") == pytest.approx(0.5, rel=1e-5)
    assert ran.daily("raw_water.clean_flow") == pytest.approx(0.010 / 40, rel=1e-5)
    # Nothing described explains it: what is to be found gives it all back.
    assert nominal(ran, "regain.rest") == pytest.approx(0.010 / 40 - 0.010 / 80, rel=0.05)


def test_a_label_and_seconds_alone_are_answered(run: Runner) -> None:
    text = NOW % "95 s" + '[[raw_water.line]]\npart = "pump"\nmax_head = "14 ft"\nmax_flow = "13 gpm"\n'
    answer = is_water_getting_through(Found(run(text, 100), "us"))
    assert answer.verdict.startswith("Flow is down to")
    assert answer.urgency is Urgency.ACT
    assert any("fitted to the seconds your bucket takes now" in reason.text for reason in answer.reasons)
    assert "gush" in answer.next
    assert "below_waterline" in answer.hazards


def test_a_blocked_basket_explains_its_part_of_todays_bucket(run: Runner) -> None:
    plain, blocked = (
        run(NOW % "80 s", 0, {f"{LINE}.strainer.blocked": share}) for share in ("0 %", "95 %")
    )
    assert nominal(blocked, "loss.unexplained") < nominal(plain, "loss.unexplained")
    assert nominal(blocked, "regain.strainer") > nominal(plain, "regain.strainer")
    assert nominal(blocked, "fill_time") == pytest.approx(nominal(plain, "fill_time"), rel=1e-6)


def test_a_clean_basket_and_a_slow_bucket_put_the_blockage_elsewhere(run: Runner) -> None:
    text = '[raw_water]\nfill_time = "40 s"\nfill_time_now = "80 s"\n'
    answer = when_is_strainer_due(Found(run(text, 60, {f"{LINE}.strainer.blocked": "2 %"}), "us"))
    assert answer.verdict == "The basket is clean and the flow is 50 % of clean: the blockage is elsewhere."
    packed = when_is_strainer_due(Found(run(text, 60, {f"{LINE}.strainer.blocked": "97 %"}), "us"))
    assert packed.verdict == "The strainer is due now."


def test_the_best_job_and_the_best_two_are_said_with_their_ranges(run: Runner) -> None:
    ran = run('[raw_water]\nwater = "average"\n', 150, {
        f"{LINE}.strainer.blocked": "96.5 % ± 1 %", f"{LINE}.pump_to_unit.open_width": "7 % ± 2 %",
    })  # fmt: skip
    answer = is_water_getting_through(Found(ran, "us"))
    assert "gives back" in answer.verdict
    assert "cleaning the strainer" in answer.verdict.lower()
    assert "straightening the hose" in answer.verdict.lower()
    assert answer.verdict.count("(") == 2
    assert any("the best two" in reason.text for reason in answer.reasons)


# --- the maker's curve ----------------------------------------------------------------------


def curve(points: list[tuple[float, float]]) -> str:
    listed = ", ".join(f'{{ flow = "{q} gpm", head = "{h} ft" }}' for q, h in points)
    return f'[[raw_water.line]]\npart = "pump"\ncurve = [{listed}]\n'


def test_points_off_the_labels_own_parabola_make_the_labels_pump(run: Runner) -> None:
    label = run('[[raw_water.line]]\npart = "pump"\nmax_head = "14 ft"\nmax_flow = "13 gpm"\n')
    flows = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 13.0]
    listed = run(curve([(q, 14 * (1 - (q / 13) ** 2)) for q in flows]))
    assert nominal(listed, "flow") == pytest.approx(nominal(label, "flow"), rel=3e-3)
    assert nominal(listed, "free_flow") == pytest.approx(nominal(label, "free_flow"))


def test_points_may_stand_in_any_order(run: Runner) -> None:
    points = [(0.0, 14.0), (4.0, 13.0), (8.0, 9.5), (11.0, 4.0)]
    assert nominal(run(curve(points)), "flow") == nominal(run(curve(points[::-1])), "flow")


def test_a_flatter_curve_pumps_more_through_the_same_line(run: Runner) -> None:
    steep, flat = (run(curve([(0.0, 14.0), (5.0, head), (13.0, 0.0)])) for head in (8.0, 13.0))
    assert nominal(flat, "flow") > 1.1 * nominal(steep, "flow")


def test_a_curve_runs_on_fifty_hertz_and_wears_as_a_label_does(run: Runner) -> None:
    text = curve([(0.0, 14.0), (4.0, 13.0), (8.0, 9.5), (13.0, 0.0)])
    pump = f"{LINE}.pump"
    fifty = run(text, 0, {f"{pump}.supply_frequency": "50 Hz", f"{pump}.rated_frequency": "60 Hz"})
    assert nominal(fifty, "free_flow") == pytest.approx(nominal(run(text), "free_flow") * 5 / 6)
    assert nominal(run(text, 0, {f"{pump}.wear": "40 %"}), "flow") < 0.85 * nominal(run(text), "flow")


# --- what cannot work -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"overboard.height": "20 ft"}, "the pump's head is less than the lift to the overboard"),
        ({"pump.max_head": "1 ft", "overboard.height": "2 ft"}, "the pump's head is less than the lift"),
        ({"condenser.height": "20 ft"}, "the pump cannot start it over the high spots"),
        ({"pump_to_unit.hump": "15 ft"}, "it is lost to air in the high spots of the hose"),
    ],
)
def test_a_line_that_cannot_work_has_no_flow_and_says_why(
    run: Runner, changes: dict[str, str], words: str
) -> None:
    text = '[raw_water]\nwater = "average"\n'
    ran = run(text, 40, {f"{LINE}.{path}": f"{value} ± 0 in" for path, value in changes.items()})
    answer = is_water_getting_through(Found(ran, "us"))
    assert nominal(ran, "flow") == 0
    assert words in answer.verdict
    for name, figure in ran.figures.items():
        assert np.isfinite(figure).all(), name
    assert when_is_strainer_due(Found(ran, "us")).verdict


@pytest.mark.parametrize(
    "text",
    [
        '[[raw_water.line]]\npart = "pump"\n[[raw_water.line]]\npart = "pump"\n',
        '[[raw_water.line]]\npart = "hose"\nbore = "0 in"\n',
        '[[raw_water.line]]\npart = "pump"\nmax_head = "0 ft"\n',
        '[[raw_water.line]]\npart = "pump"\nmax_head = "-3 ft"\n',
        '[raw_water]\nfill_time_now = "0 s"\n',
        '[raw_water]\nfill_time_now = "forever"\n',
        '[raw_water]\nline = [3]\n',
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_is_refused_in_one_sentence(read: Callable[[str], Boat], text: str) -> None:
    with pytest.raises(BoatFileError) as refused:
        read(text)
    sentence = str(refused.value)
    assert "\n" not in sentence
    assert len(sentence) < 300


# --- the forecast, the list, the rule of the trade ------------------------------------------


def test_the_forecast_shows_flow_and_basket_with_their_ranges(run: Runner) -> None:
    answer = when_is_strainer_due(Found(run('[raw_water]\nwater = "average"\n', 80), "us"))
    picture = answer.pictures[0]
    assert isinstance(picture, Curve)
    flow, basket = picture.series
    assert np.all(np.diff(flow.values) <= 1e-9)
    assert np.all(np.diff(basket.values) >= -1e-12)
    for one in picture.series:
        assert len(one.low) == len(one.high) == len(picture.x)
        assert np.all(np.array(one.low) <= np.array(one.values) + 1e-12)
        assert np.all(np.array(one.high) >= np.array(one.values) - 1e-12)
    assert picture.limits == (("your limit for the flow", 0.75),)


def test_a_narrower_pace_narrows_the_day(run: Runner) -> None:
    """The pace is what a fit to logged cleanings moves; the day then follows it."""
    spans = []
    for pace in ("1 ± 75 %", "1 ± 10 %"):
        days = run(f'[raw_water]\nfouling_pace = "{pace}"\n', 300).daily("raw_water.days_to_clean")[1:]
        spans.append(np.subtract(*np.percentile(days, (95, 5))) / np.median(days))
    assert spans[1] < 0.75 * spans[0]


def test_an_idle_day_grows_half_of_what_a_day_of_twelve_hours_does(run: Runner) -> None:
    ran = run("")
    assert nominal(ran, "idle_blocking_rate") == pytest.approx(
        0.5 * nominal(ran, "blocking_rate"), rel=0.02
    )


def test_debris_that_comes_once_a_fortnight_comes_first_more_often_than_not(run: Runner) -> None:
    text = '[raw_water]\ndebris_every = "10 days"\n'
    answer = when_is_strainer_due(Found(run(text, 60), "us"))
    (said,) = [reason.text for reason in answer.reasons if "debris" in reason.text]
    assert "once in 10 days" in said
    days = nominal(run(text), "days_to_clean") / 86400
    assert f"{100 * (1 - np.exp(-days / 10)):.0f} %" in said


def test_a_clear_lid_saves_the_opening(run: Runner) -> None:
    clear, closed = (
        when_is_strainer_due(
            Found(run('[raw_water]\nwater = "clean"\n', 0, {f"{LINE}.strainer.lid": lid}), "us")
        )
        for lid in ("clear", "closed")
    )
    assert "saves the opening" in clear.next
    assert "below_waterline" not in clear.hazards
    assert "a clear lid would save the opening" in closed.next
    assert "below_waterline" in closed.hazards


def test_warm_water_run_long_wants_a_look_in_a_fortnight_and_cool_water_far_less_often(run: Runner) -> None:
    """Common practice, no source: about every two weeks in warm water at 12 to 16 h a day."""
    days = {}
    for celsius in (27, 12):
        text = f'[site]\nseawater_temperature = "{celsius} degC"\n[raw_water]\nwater = "average"\n'
        clean = run(text, 0, {f"{LINE}.strainer.blocked": "0 %"})
        days[celsius] = nominal(clean, "days_to_clean") / 86400
    note("raw water, days from clean to due in summer water against two weeks of practice", days[27], 14.0)
    assert 9 < days[27] < 19
    assert days[12] > 2 * days[27]


def test_the_list_of_parts_takes_the_pumps_head_and_no_more(run: Runner) -> None:
    answer = is_water_getting_through(Found(run('[raw_water]\nwater = "average"\n', 20), "us"))
    (listing,) = [one for one in answer.pictures if isinstance(one, Listing)]
    shares = [float(row.cells[4].removesuffix(" %")) for row in listing.rows]
    assert sum(shares) == pytest.approx(100, abs=3)
    assert all(len(row.cells) == len(listing.heads) for row in listing.rows)


@pytest.mark.parametrize(("salinity", "rule"), [(0.035, 490.0), (0.0, 500.0)])
def test_the_heat_rule_of_the_trade_follows_from_the_waters_own_properties(
    salinity: float, rule: float
) -> None:
    """BTU/h = 490 × gal/min × °F in seawater, 500 in fresh: an engineers' forum; ours from TEOS-10."""
    kelvin = (85 - 32) / 1.8 + 273.15
    per_second = float(seawater.density(kelvin, salinity)) * float(seawater.heat_capacity(kelvin, salinity))
    ours = per_second * tables.GALLON_PER_MINUTE / 1.8 / tables.BTU_PER_HOUR
    note(f"raw water, heat rule {rule:.0f}", ours, rule)
    assert ours == pytest.approx(rule, rel=0.01)
