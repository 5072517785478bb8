"""`diagnose` from the command line, and the job sheet: forms, words, refusals."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from console.boatfile import load
from console.commands import cli, guarded_main
from console.inference import ReadingError
from console.inference.job_sheet import job_sheet, sheet_json, sheet_text, sized
from console.inference.readings import take as taken
from console.registry import discover
from tests.inference import heater

MARRAM = str(Path(__file__).resolve().parents[2] / "scenarios" / "marram.toml")
READ = (
    "--reading", "seawater_in=84 F", "--reading", "return_air=78 F", "--reading", "return_humidity=60 %",
    "--reading", "supply_air=60 F", "--reading", "airflow=weak", "--reading", "recent_event=none",
)  # fmt: skip


def ran(*arguments):
    done = CliRunner().invoke(cli, ["diagnose", MARRAM, *arguments])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.fixture(scope="module")
def diagnosis():
    return json.loads(ran(*READ, "--json"))


def test_the_json_has_the_form_scripts_rely_on(diagnosis):
    assert {"verdict", "causes", "inseparable", "next_reading", "challenged", "cautions"} <= set(diagnosis)
    for cause in diagnosis["causes"]:
        assert {"cause", "probability", "severity", "why", "remedy", "who"} <= set(cause)
        assert 0 <= cause["probability"] <= 1
        assert cause["who"] in ("owner", "licensed")
    following = diagnosis["next_reading"]
    assert following is None or {"reading", "how", "gain_bits", "minutes"} <= set(following)
    assert all({"key", "text"} <= set(caution) for caution in diagnosis["cautions"])


def test_causes_come_likeliest_first(diagnosis):
    chances = [cause["probability"] for cause in diagnosis["causes"]]
    assert chances == sorted(chances, reverse=True)


def test_the_verdict_is_a_cause_above_half_a_group_or_that_it_cannot_be_told(diagnosis):
    chances = {cause["cause"]: cause["probability"] for cause in diagnosis["causes"]}
    verdict = diagnosis["verdict"]
    top = max(chances, key=lambda key: chances[key])
    if chances[top] > 0.5:
        assert verdict == top
    else:
        assert verdict == "cannot tell" or verdict.split(" or ") in diagnosis["inseparable"]


def test_the_units_shown_do_not_change_the_result(diagnosis):
    si = json.loads(ran(*READ, "--json", "--units", "si"))
    assert [c["probability"] for c in si["causes"]] == [c["probability"] for c in diagnosis["causes"]]


def test_the_text_says_the_verdict_first_and_cautions_before_their_step():
    lines = ran(*READ).splitlines()
    assert lines[0].endswith((".", "%).", "yet."))
    for at, line in enumerate(lines):
        if line.startswith("Look at next"):
            following = [text.strip() for text in lines[at + 1 : at + 6]]
            cautions = [k for k, text in enumerate(following) if text.startswith("CAUTION")]
            how = next(k for k, text in enumerate(following) if not text.startswith("CAUTION"))
            assert all(k < how for k in cautions)


def test_no_key_of_a_file_stands_alone_where_words_are_due():
    text = ran(*READ)
    assert "raw_water." not in text
    assert "draws" not in text


def test_the_note_says_what_was_read_and_what_is_asked():
    text = ran(*READ, "--note")
    assert "What was read" in text
    assert "What is asked" in text
    assert "60 °F" in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--reading", "suply_air=60 F"), "did you mean supply_air"),
        (("--reading", "after_sail=yes"), "unit_current"),  # near nothing: every name, not a wrong guess
        (("--reading", "supply_air"), "accepted is NAME="),
        (("--reading", "supply_air=60 gal"), "not a unit of temperature"),
        (("--reading", "airflow=wek"), "did you mean weak"),
        (("--reading", "amp_hours_per_day=75 kg"), "not a unit of amp-hours a day"),
        (("--reading", "amp_hours_per_day=75 A"), "amp-hours are asked for"),
        (("--complaint", "climat"), "did you mean climate"),
        (("--cannot", "supply_ai"), "did you mean supply_air"),
        (("--complaint", "cold_box", "--reading", "melt_water=900 g"), "in 7 days"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_two(arguments, says, capsys):
    code = guarded_main(lambda: cli(["diagnose", MARRAM, *arguments], standalone_mode=False))
    said = capsys.readouterr().err.strip()
    assert code == 2
    assert says in said
    assert "\n" not in said


def test_the_complaint_is_what_the_readings_speak_to():
    made = json.loads(
        ran("--reading", "plate_frost=all", "--reading", "melt_water=900 g in 7 days", "--json")
    )
    assert made["complaint"] == "cold_box"


def test_a_job_sheet_has_parts_by_the_boats_own_inputs_steps_and_proof():
    boat = heater.boat('[still]\nclean = "12 L/min"')
    sheet = job_sheet(boat, "blocked_pipe", "si")
    assert sheet.parts == ((1, "brush", "12 L/min"),)
    assert sheet.steps == ("Shut the valve.", "Clean it.")
    assert sheet.proof.startswith("Seconds to fill")
    assert "s" in sheet.proof_range
    assert sheet_json(sheet)["cautions"][0]["key"] == "opens_the_pipe"
    text = sheet_text(boat, sheet)
    assert text.index("CAUTION") < text.index("1. [ ] Shut the valve")


def test_the_size_of_a_part_follows_the_boats_file():
    boat = heater.boat('[still]\ncontainer = "5 L"')
    assert sized(boat, "of {still.container}", "si") == "of 5 L"
    assert sized(boat, "of {still.nowhere}", "si") == "of as fitted"


def test_a_job_of_no_known_name_is_refused_with_the_nearest():
    with pytest.raises(ReadingError, match="did you mean blocked_pipe"):
        job_sheet(heater.boat(), "blocked_pip", "si")


@pytest.mark.parametrize(
    "name", ["climate.blocked_air_filter", "climate.low_refrigerant", "cold_box.open_drain"]
)
def test_a_cause_of_the_real_boat_has_a_sheet_with_steps_and_proof(name):
    boat = load(MARRAM, discover())
    sheet = job_sheet(boat, name, "us")
    assert sheet.steps
    assert sheet.proof
    assert sheet.cautions or sheet.who == "owner"


@pytest.mark.parametrize(
    "written", ["75 Ah", "75 A*h/day", "75 Ah +/- 5 Ah/day", "75 Ah ± 10 %", "75 Ah in 1 day"]
)
def test_a_days_amp_hours_are_taken_with_or_without_the_day(written):
    said = taken(load(Path(MARRAM), discover()), "cold_box", "amp_hours_per_day", written)
    assert said.value == pytest.approx(75 / 24)
