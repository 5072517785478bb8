"""Cases as owners bring them, on an ordinary boat: the traps of the trade among them.

What each should come to is the trade's own reasoning (signatures of faults as service people tell
them; the traps are common practice, no source).
"""

from functools import cache

import pytest

from console.inference import Consultation
from tests.inference.fleet import owners_boat

SUBSYSTEM_OF_WATER = {
    "clogged_strainer", "fouled_intake", "seacock_part_shut", "kinked_hose", "suction_air_leak", "air_lock",
    "worn_pump", "dead_pump", "intermittent_pump", "scaled_condenser",
}  # fmt: skip


@cache
def boat():
    return owners_boat(0)


def asked(text, complaint="climate", **more):
    given = [tuple(each.split("=", 1)) for each in text.split("|")]
    return Consultation(boat(), complaint, given, draws=192, **more).settle()


def chance(found, *keys):
    return sum(found.presence[key][0] for key in keys if key in found.presence)


@pytest.mark.parametrize(
    ("readings", "cause"),
    [
        ("strainer=packed|fill_time=95 s|trip=high_pressure|seawater_in=84 F|seawater_out=112 F", "clogged_strainer"),
        ("recent_event=launched|overboard_stream=none|pump_sound=racing|strainer=clean", "air_lock"),
        ("overboard_stream=none|pump_sound=silent|trip=high_pressure", "dead_pump"),
        ("recent_event=stowed|strainer=clean|intake_gush=strong|hose_look=pinched|fill_time=70 s", "kinked_hose"),
        ("strainer=clean|intake_gush=weak|fill_time=80 s|seacock=open", "fouled_intake"),
        ("fill_time=30 s|seawater_in=84 F|seawater_out=87.5 F|return_air=80 F|return_humidity=55 %|supply_air=72 F|"
         "unit_current=9 A|airflow=strong", "low_refrigerant"),
        ("supply_voltage=102 V|fill_time=31 s|airflow=strong|worst_time=evening", "low_voltage"),
        ("fill_time=30 s|seawater_in=84 F|seawater_out=92.5 F|return_air=85 F|return_humidity=75 %|cabin_air=78 F|"
         "cabin_humidity=55 %|supply_air=67 F", "air_ingress"),
        ("evaporator_frost=all|airflow=none|fill_time=30 s", "iced_evaporator"),
    ],
)  # fmt: skip
def test_a_plain_case_is_named(readings, cause):
    assert asked(readings).verdict == cause


def test_a_small_split_in_damp_air_is_no_lack_of_refrigerant():
    """88 °F and 75 % at the return: a healthy unit gives about 15 °F there."""
    found = asked(
        "fill_time=28 s|seawater_in=84 F|seawater_out=94 F|return_air=88 F|return_humidity=75 %|supply_air=72 F|"
        "unit_current=14 A|cabin_air=88 F|airflow=strong"
    )
    assert chance(found, "low_refrigerant") < 0.05


def test_a_strainer_just_cleaned_and_found_clean_is_not_blamed_again():
    found = asked("recent_event=cleaned_strainer|strainer=clean|fill_time=75 s")
    assert chance(found, "clogged_strainer") < 0.15
    assert max(found.presence, key=lambda key: found.presence[key][0]) in SUBSYSTEM_OF_WATER - {
        "clogged_strainer"
    }


def test_more_heat_than_the_label_allows_is_challenged_and_nothing_is_diagnosed():
    found = asked("raw_water_flow=6 gpm|seawater_in=84 F|seawater_out=109 F")
    assert found.verdict == "cannot tell"
    assert found.challenged is not None
    assert {"raw_water_flow", "seawater_out"} & set(found.challenged.readings)


def test_a_bucket_that_fills_beside_no_stream_is_challenged():
    found = asked("overboard_stream=none|fill_time=30 s|seawater_in=84 F|seawater_out=93 F")
    assert found.challenged is not None
    assert "overboard_stream" in found.challenged.readings


def test_one_supply_temperature_alone_cannot_tell():
    found = asked("supply_air=62 F")
    assert found.verdict == "cannot tell"
    assert found.next_reading is not None
    assert not found.next_reading.reading.hazards


def test_a_stiff_seacock_leaves_no_step_that_opens_the_line():
    found = asked("seacock=stiff|fill_time=70 s")
    offered = [found.next_reading.reading.hazards] if found.next_reading else []
    offered += [found.next_action.cause.change.hazards] if found.next_action else []
    assert all("below_waterline" not in hazards for hazards in offered)


def test_a_boat_that_reads_as_it_should_has_nothing_wrong():
    found = asked(
        "fill_time=27 s|seawater_in=84 F|seawater_out=92.5 F|return_air=76 F|return_humidity=55 %|cabin_air=76 F|"
        "cabin_humidity=55 %|supply_air=57 F|unit_current=13.5 A|supply_voltage=117 V|airflow=strong|strainer=clean|"
        "panel_air=76 F|overboard_stream=full"
    )
    assert max(found.presence, key=lambda key: found.presence[key][0]) == "nothing_wrong"
    assert "nothing_wrong" in found.verdict


def test_a_weaker_pump_in_the_file_makes_the_same_seconds_less_of_a_fault():
    text = "fill_time=48 s"
    strong = asked(text)
    weak_boat = boat().with_edit("raw_water.line.pump.max_flow", "7 gpm").with_edit(
        "raw_water.line.pump.max_head", "9 ft"
    )  # fmt: skip
    weak = Consultation(weak_boat, "climate", [("fill_time", "48 s")], draws=192).settle()
    assert chance(weak, "clogged_strainer") < chance(strong, "clogged_strainer") - 0.05


def test_the_voltage_system_does_not_change_the_result():
    readings = "strainer=half|fill_time=55 s|seawater_in=84 F|seawater_out=99 F|supply_voltage={} V|unit_current={} A"
    at_230 = boat()
    for path, text in (
        ("climate.voltage", "230 V"), ("climate.current", "6.2 A"), ("power.shore.voltage", "240 V"),
        ("power.shore.frequency", "60 Hz"),
    ):  # fmt: skip
        at_230 = at_230.with_edit(path, text)
    given = [tuple(each.split("=", 1)) for each in readings.format(234, 7.2).split("|")]
    doubled = Consultation(at_230, "climate", given, draws=192).settle()
    found = asked(readings.format(117, 14.4))
    for cause, (share, _) in found.presence.items():
        assert doubled.presence[cause][0] == pytest.approx(share, abs=0.08), cause


def test_what_mending_it_gives_comes_out_of_the_forward_model():
    from console.inference import telling

    given = [("strainer", "packed"), ("fill_time", "95 s")]
    consultation = Consultation(boat(), "climate", given, draws=192)
    told = telling.told_of(consultation, consultation.settle(), "us")["clogged_strainer"]
    assert told.repair is not None
    meaning, _, before, after = told.repair.effects[0]
    assert "flow" in meaning.lower()
    assert after.low > before.high
    assert told.severity is not None
    assert "blocked" in told.severity


@pytest.mark.parametrize(
    ("readings", "cause"),
    [
        ("trip_device=ground_fault|heater_alone=trips|branches_off=holds", "heater_leakage"),
        ("main_off=trips|trip_weather=wet_only|trip_device=ground_fault", "wet_cord_or_inlet"),
        ("trip_when=minutes_loaded|trip_device=breaker|light_load=holds", "overload"),
        ("branches_off=trips|main_off=holds|trip_device=ground_fault", "neutral_ground_joined"),
    ],
)
def test_the_dock_breaker_is_found_by_switching_branches(readings, cause):
    assert asked(readings, "shore").verdict == cause
