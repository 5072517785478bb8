"""The cards of the air drop and of the damp, and the surfaces and ice behind them."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import AirChart, Answer, Curve, Urgency
from console.engine.estimate import Found
from console.engine.run import Ran
from console.properties import air
from plugins.climate import surfaces, tables
from plugins.climate.air_drop import is_air_cold_enough
from plugins.climate.dampness import does_it_stay_dry
from plugins.climate.icing import MOST_ICED, ice_share_day, ice_that_fills
from plugins.climate.load import wetting_of
from plugins.climate.moisture import pane_conductance
from plugins.climate.words import clock, hours_in_words
from tests.plugins.climate.boats import SUMMER_BOAT, daily, fahrenheit, hourly, one, run

KELVIN = 273.15
LABEL = 'capacity = "16000 Btu/h"\ncurrent = "12.2 A"\n'
DRY_DAY = SUMMER_BOAT.replace('"75 F"', '"50 F"')
WET_DAY = SUMMER_BOAT.replace('"75 F"', '"79 F"').replace('"77 F"', '"81 F"')


def air_drop(ran: Ran, system: str = "us") -> Answer:
    return is_air_cold_enough(Found(ran, system))  # type: ignore[arg-type]


def damp(ran: Ran, system: str = "us") -> Answer:
    return does_it_stay_dry(Found(ran, system))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def usual() -> Ran:
    return run(LABEL, draws=40)


# --- the air drop -------------------------------------------------------------------------------


def test_the_air_drop_is_said_as_a_range_with_the_air_it_holds_for(usual: Ran) -> None:
    answer = air_drop(usual)
    assert answer.verdict.startswith("An air drop of ")
    assert " to " in answer.verdict
    back = round(daily(usual, "return_air_temperature") * 1.8 - 459.67)
    assert f"return air of {back} °F and {round(100 * daily(usual, 'return_humidity'))} %" in answer.verdict
    assert answer.figure == "climate.expected_split"
    assert {"refrigerant", "hot_and_sharp"} <= set(answer.hazards)


def test_a_humid_cabin_has_a_smaller_normal_drop_and_the_fixed_rule_is_told_off() -> None:
    """What a fixed rule would have sent to a refrigerant technician."""
    humid = run(LABEL + 'hatch_open = "100 %"\nreturn_from_bilge = "40 %"\n', boat=WET_DAY)
    dry = run(LABEL, boat=DRY_DAY)
    assert daily(humid, "expected_split") < daily(dry, "expected_split") - 2.0
    assert "starved of air" in air_drop(dry).reasons[0].text
    assert "fixed rule of 15 to 20 °F (common practice)" in air_drop(humid).reasons[0].text


def test_a_sick_unit_is_told_beside_its_healthy_self() -> None:
    weak = air_drop(run(LABEL + 'charge = "45 %"\n'))
    assert weak.verdict.startswith("As she is now it drops the air by")
    assert weak.urgency is Urgency.WATCH
    starved = air_drop(run(LABEL + 'airflow_share = "45 %"\n'))
    assert any("little air" in reason.text for reason in starved.reasons)


def test_the_chart_holds_the_states_of_the_hottest_hour(usual: Ran) -> None:
    chart, through = air_drop(usual).pictures
    assert isinstance(chart, AirChart)
    assert isinstance(through, Curve)
    hour = int(np.argmax(hourly(usual, "cooling_load")))
    states = {state.label: state for state in chart.states}
    assert set(states) == {"cabin", "return", "supply", "outside"}
    assert states["cabin"].temperature == hourly(usual, "cabin_temperature")[hour]
    share = air.relative_humidity(states["cabin"].temperature, states["cabin"].humidity_ratio)
    assert float(share) == pytest.approx(hourly(usual, "cabin_humidity")[hour], abs=2e-3)
    assert states["supply"].temperature < states["return"].temperature
    assert states["supply"].humidity_ratio <= states["return"].humidity_ratio
    assert [chart.states[a].label for a, _ in chart.steps] == ["cabin", "return", "supply"]


def test_a_day_without_heat_promises_no_drop() -> None:
    cold = SUMMER_BOAT.replace('"91 F"', '"40 F"').replace('"77 F"', '"28 F"').replace('"75 F"', '"25 F"')
    answer = air_drop(run(LABEL, boat=cold.replace('"84 F"', '"45 F"')))
    assert "hardly runs" in answer.verdict


# --- damp ---------------------------------------------------------------------------------------


def test_the_coldest_surface_is_named_with_its_hours() -> None:
    ran = run(LABEL + 'fan = "always"\nset_point = "68 F"\nduct_insulation = "0 in"\n')
    answer = damp(ran)
    assert "grille" in answer.verdict or "duct" in answer.verdict
    assert "dew point" in answer.verdict
    assert "condensation" in answer.hazards
    assert answer.urgency is Urgency.WATCH
    assert "Let the fan stop" in answer.next


def test_margin_and_hours_are_those_of_the_coldest_surface(usual: Ran) -> None:
    coldest = np.min(
        [hourly(usual, f"surface.{n}") for n in ("duct", "grille", "glass", "hull", "locker")], axis=0
    )
    margin = coldest - hourly(usual, "cabin_dew_point")
    assert hourly(usual, "dry_margin") == pytest.approx(margin)
    assert daily(usual, "dry_margin") == margin.min()
    assert daily(usual, "damp_hours") == pytest.approx((margin < 0).mean())


def test_a_dry_day_stays_dry() -> None:
    answer = damp(run(LABEL, boat=DRY_DAY))
    assert answer.verdict.startswith("Yes: ")
    assert answer.urgency is Urgency.FINE
    assert not answer.hazards


def test_screen_text_of_both_cards_holds_no_key(usual: Ran) -> None:
    for answer in (damp(usual), air_drop(usual, "si")):
        said = " ".join([answer.verdict, answer.next, *(reason.text for reason in answer.reasons)])
        assert "climate." not in said
        assert "_" not in said


def test_a_locker_over_a_cold_sea_is_colder_than_the_sole() -> None:
    cabin, sea = 293.0, 278.0
    skin = float(surfaces.locker_skin_temperature(cabin, sea, 0.0))
    u = surfaces.hull_transmittance(0.0)
    sole = float(surfaces.inside_surface_temperature(cabin, sea, u, tables.INSIDE_FILM["vertical"]))
    assert sea < skin < sole < cabin
    # Laminate 15 mm of 0.30 W/(m·K) against a locker of 0.30 m²·K/W and a film of 8.29, by hand.
    share = (0.015 / 0.30) / (0.015 / 0.30 + 0.30 + 1 / 8.29)
    assert skin == pytest.approx(sea + share * (cabin - sea), abs=1e-9)


@given(st.floats(285, 300), st.floats(278, 290), st.floats(0, 0.05))
def test_a_duct_skin_lies_between_its_air_and_the_cabins(cabin: float, stream: float, foam: float) -> None:
    skin = float(surfaces.stream_surface_temperature(cabin, stream, foam))
    assert min(cabin, stream) - 1e-9 <= skin <= max(cabin, stream) + 1e-9
    assert abs(cabin - skin) <= abs(cabin - float(surfaces.stream_surface_temperature(cabin, stream, 0.0)))


def test_wet_things_dry_as_psychrolibs_air_is_short_of_saturation() -> None:
    """Dalton: in proportion to the saturated humidity ratio less the air's own."""
    psychrolib.SetUnitSystem(psychrolib.SI)

    def short(celsius: float, share: float) -> float:
        wet = psychrolib.GetHumRatioFromRelHum(celsius, 1.0, 101325)
        return float(wet - psychrolib.GetHumRatioFromRelHum(celsius, share, 101325))

    stated = 1.7e-5
    found = float(wetting_of(one(stated))[0, 0])
    assert found * short(24.0, 0.6) == pytest.approx(stated, rel=0.01)
    assert found * short(5.0, 0.6) < 0.35 * stated


def test_a_pane_takes_vapour_by_lewis_relation() -> None:
    """h_m = h/(c_p·Le^(2/3)), Le = 0.85 (any text): 3.9 g/(m²·s) for each kg/kg at 3.5 W/(m²·K)."""
    assert float(pane_conductance(np.array(1.0))) == pytest.approx(3.5 / (1006 * 0.85 ** (2 / 3)), rel=0.01)


def test_a_winter_cabin_is_not_soaked_by_what_would_not_dry() -> None:
    """Dew on the panes and slower drying hold the air of a shut cabin below saturation."""
    cold = SUMMER_BOAT.replace('"91 F"', '"45 F"').replace('"77 F"', '"34 F"').replace('"75 F"', '"30 F"')
    ran = run(LABEL, boat=cold.replace('"84 F"', '"48 F"'))
    assert (hourly(ran, "cabin_humidity") > 0.97).mean() < 0.15
    assert daily(ran, "damp_hours") > 0.2


# --- ice ----------------------------------------------------------------------------------------


def test_two_kilograms_of_frost_shut_the_coil_of_a_usual_unit() -> None:
    assert 1.2 < float(ice_that_fills(np.array(0.22))) < 3.0


def test_ice_grows_by_its_condensate_and_only_below_freezing() -> None:
    hours = np.ones((6, 1))
    full = np.array([2.0])

    def grown(surface: float, run_share: float = 1.0) -> np.ndarray:
        return ice_share_day(
            3600.0, surface * hours, 1e-4 * hours, run_share * hours, 0 * hours, 0 * hours, full, False
        )[:, 0]

    # 0.36 kg an hour on a coil of 2 kg: 18 % of it an hour; the second round begins where the first ended.
    assert np.diff(grown(268.0)).max() <= 0.18 + 1e-12
    assert grown(268.0)[0] == pytest.approx(MOST_ICED)
    assert grown(275.0).max() == 0.0


def test_resting_thaws_the_coil() -> None:
    surface, run_share = np.full((24, 1), 268.0), np.ones((24, 1))
    run_share[12:] = 0.2
    share = ice_share_day(
        3600.0, surface, np.full((24, 1), 2e-4), run_share, np.zeros((24, 1)), np.full((24, 1), 4000.0),
        np.array([2.0]), False,
    )[:, 0]  # fmt: skip
    assert share[11] > 0.9
    assert share[-1] < 0.1


def test_a_starved_coil_ices_over_by_itself_and_cools_less_than_its_filter_alone_explains() -> None:
    iced = run(LABEL + 'filter_blocked = "88 %"\nset_point = "66 F"\n')
    assert daily(iced, "ice_share") > 0.5
    assert hourly(iced, "airflow_share").min() < 0.3
    assert daily(run(LABEL), "ice_share") == 0.0


def test_a_tripped_unit_does_not_count_as_running() -> None:
    ran = run(LABEL + 'trip_temperature = "116 F"\nrated_condensing = "124 F"\n')
    assert daily(ran, "run_hours") < 0.02
    assert hourly(ran, "run_share").max() == 1.0


# --- hours in words -----------------------------------------------------------------------------


def test_hours_of_several_days_are_said_with_the_days() -> None:
    marked = np.zeros(72, dtype=bool)
    marked[[14, 15, 16, 62, 63]] = True
    assert hours_in_words(marked) == "from 14:00 to 17:00 on 2 of 3 days"


def test_the_clock_of_several_days_goes_on_by_the_hour() -> None:
    assert clock(72)[23:26] == (23.5, 24.5, 25.5)
    assert clock(48)[-1] == 47.5
    assert clock(12) == tuple(2 * k + 1.0 for k in range(12))


def test_a_week_of_the_same_day_is_that_day() -> None:
    week = run(LABEL, boat=SUMMER_BOAT.replace("[climate]", 'days = "7"\n[climate]'))
    single = run(LABEL)
    for name in ("cabin_temperature", "run_hours", "energy", "damp_hours", "cooling_load"):
        assert daily(week, name) == pytest.approx(daily(single, name), rel=2e-3)
    assert hourly(week, "run_share").size == 168
    assert fahrenheit(70) < daily(week, "cabin_temperature") < fahrenheit(80)


# --- days that do not come to rest ----------------------------------------------------------------


def test_a_day_that_does_not_come_to_rest_is_seen_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from plugins.climate import cabin
    from plugins.climate.questions import can_it_keep_cool

    def told(ran: Ran) -> bool:
        answer = can_it_keep_cool(Found(ran, "us"))  # type: ignore[arg-type]
        return any("did not come to rest" in reason.text for reason in answer.reasons)

    well = run(LABEL)
    assert daily(well, "settled") == 1.0
    assert not told(well)
    monkeypatch.setattr(cabin, "MOST_SWEEPS", 1)
    cut_short = run(LABEL)
    assert daily(cut_short, "settled") == 0.0
    assert told(cut_short)


@pytest.mark.parametrize(
    "lines", ["", 'set_point = "66 F"\n', 'supply_recirculated = "30 %"\n', 'charge = "45 %"\nset_point = "70 F"\n']
)  # fmt: skip
def test_every_draw_of_a_usual_or_sick_boat_comes_to_rest(lines: str) -> None:
    assert run(LABEL + lines, draws=150).figures["climate.settled"].min() == 1.0


def test_a_unit_that_a_switch_stops_is_not_said_to_lack_heat() -> None:
    stopped = is_air_cold_enough(Found(run('low_pressure_trip = "30 F"\niced_share = "95 %"\n'), "us"))  # type: ignore[arg-type]
    assert "a switch stops it" in stopped.verdict
    assert "heat to take out" not in stopped.next
