"""The commands: JSON as documented, exit codes, one sentence for bad input, never a traceback."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from console.commands import cli, guarded_main

SCENARIOS = sorted((Path(__file__).resolve().parent.parent / "scenarios").glob("*.toml"))
BERTH = next(path for path in SCENARIOS if path.name == "marram.toml")


def run(*arguments, ok=True):
    """(exit code, stdout, stderr) of a command, in this process."""
    out = CliRunner()
    result = {}
    with out.isolation() as (stdout, stderr, *_):
        result["code"] = guarded_main(lambda: cli([str(a) for a in arguments], standalone_mode=False)) or 0
        said, complained = stdout.getvalue().decode(), stderr.getvalue().decode()
    if ok:
        assert result["code"] == 0, complained
    return result["code"], said, complained


def estimate(*arguments):
    return json.loads(run("estimate", *arguments, "--json", "--draws", "64")[1])


@pytest.fixture(scope="module")
def made():
    return estimate(BERTH, "--hourly")


def test_estimate_gives_the_keys_that_scripts_rely_on(made):
    assert set(made) >= {"scenario", "units", "draws", "figures", "answers", "inputs", "warnings", "unwell"}
    assert made["unwell"] == []


def test_every_figure_has_value_range_unit_and_meaning(made):
    for name, figure in made["figures"].items():
        assert set(figure) >= {"value", "low", "high", "unit", "meaning"}, name
        assert figure["meaning"], name
        if figure["value"] is not None:
            assert figure["low"] <= figure["value"] <= figure["high"], name


def test_hourly_gives_24_values_with_their_range(made):
    hourly = made["figures"]["climate.cooling_load"]["hourly"]
    assert [len(hourly[key]) for key in ("value", "low", "high")] == [24, 24, 24]


def test_every_answer_has_what_a_script_reads(made):
    for answer in made["answers"]:
        assert set(answer) >= {
            "question",
            "verdict",
            "value",
            "low",
            "high",
            "unit",
            "reasons",
            "next",
            "cautions",
            "missing",
        }
        assert answer["verdict"]


def test_every_input_has_an_origin(made):
    assert {entry["origin"] for entry in made["inputs"].values()} <= {"measured", "given", "assumed"}


def test_the_json_holds_no_nan(made):
    json.dumps(made, allow_nan=False)


def test_units_change_the_numbers_but_not_what_they_mean():
    us, si = estimate(BERTH, "--units", "us"), estimate(BERTH, "--units", "si")
    flow = [made["figures"]["raw_water.flow"] for made in (us, si)]
    assert [f["unit"] for f in flow] == ["gal/min", "L/min"]
    assert flow[0]["value"] * 3.785411784 == pytest.approx(flow[1]["value"])


def test_set_changes_an_input_for_the_run():
    kinked = estimate(BERTH, "--set", "raw_water.line.seacock_to_strainer.open_width=20 %")
    open_ = estimate(BERTH, "--set", "raw_water.line.seacock_to_strainer.open_width=100 %")
    assert kinked["figures"]["raw_water.flow"]["value"] < open_["figures"]["raw_water.flow"]["value"]


def test_compare_gives_before_after_and_the_change_with_its_range():
    made = json.loads(
        run("compare", BERTH, "--set", "climate.set_point=78 F", "--json", "--draws", "64")[1]
    )
    load = made["figures"]["climate.cooling_load"]
    assert load["after"] < load["before"]
    assert load["change"]["low"] <= load["change"]["value"] <= load["change"]["high"] <= 0


def test_compare_against_another_file_starts_from_that_one():
    made = json.loads(run("compare", BERTH, "--against", BERTH, "--json", "--draws", "0")[1])
    assert all(figure["change"]["value"] == 0 for figure in made["figures"].values())


def test_the_text_of_a_comparison_lists_what_moves_and_counts_the_rest():
    opened = "raw_water.line.seacock_to_strainer.open_width=100 %"
    said = run("compare", BERTH, "--set", opened, "--draws", "64")[1]
    assert "  raw_water.flow  " in said
    assert " points (" in said  # a share that goes from 76 to 98 % has not gained 22 % of itself
    assert "more move by less than" in said
    assert "cold_box.compressor_current" not in said


def test_what_would_sharpen_an_answer_is_named_in_words_and_by_its_path():
    said = run("estimate", BERTH, "--draws", "64")[1]
    assert "thermostat offset (climate.thermostat_offset)" in said


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_bundled_boat_is_sound_and_answered(path):
    assert "is sound" in run("check", path)[1]
    made = estimate(path)
    assert made["unwell"] == []
    assert len(made["answers"]) >= 4
    assert not any(answer["missing"] for answer in made["answers"])


def test_the_text_output_says_the_verdict_before_the_number_and_cautions_before_the_next_step():
    said = run("estimate", BERTH, "--draws", "64")[1]
    assert "CAUTION" in said
    block = next(b for b in said.split("\n\n") if "CAUTION" in b and "Next:" in b)
    assert block.index("CAUTION") < block.index("Next:")


@pytest.mark.parametrize("command", [("check", BERTH), ("schema",), ("plugins",)])
def test_every_command_takes_the_options_that_the_readme_says(command):
    json.loads(run(*command, "--json", "--units", "si", "--set", "climate.set_point=75 F")[1])


def test_schema_is_json_with_every_section():
    schema = json.loads(run("schema")[1])
    assert {"boat", "site", "weather", "climate", "cold_box", "raw_water", "power"} <= set(
        schema["properties"]
    )


def test_plugins_lists_the_four_and_their_health():
    rows = json.loads(run("plugins", "--json")[1])["plugins"]
    assert {
        row["name"]: row["state"] for row in rows if row["distribution"] == "boat-console"
    } == dict.fromkeys(("climate", "cold_box", "power", "raw_water"), "well")


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("estimate", "no-such.toml"), "no such file"),
        (("estimate", BERTH, "--set", "x"), "accepted is PATH"),
        (("estimate", BERTH, "--set", "climate.set_pint=75 F"), "did you mean climate.set_point"),
        (("estimate", BERTH, "--set", "climate.set_point=75 kg"), "not a unit of temperature"),
        (("estimate", BERTH, "--set", "climate.set_point=75 F\n[boat]"), "accepted is"),
        (("estimate", BERTH, "--draws", "-3"), "draws"),
        (("estimate", BERTH, "--units", "imperial"), "units"),
        (("estimate",), "SCENARIO"),
        (("compare", BERTH), "needs a change"),
        (("estimate", BERTH, "--set", "climate.set_point=75 kg"), "--set climate.set_point: "),
        (("check", "/tmp"), "tmp: is a folder; accepted is a boat file"),
        (("--no-such",), "no-such"),
        (("estimat",), "no command or file estimat; commands are"),
        (("estimat", BERTH), "no command or file estimat"),
    ],
)
def test_bad_input_gives_one_sentence_and_exit_2(arguments, hint):
    code, said, complained = run(*arguments, ok=False)
    assert code == 2
    assert hint in complained
    assert complained.count("\n") == 1
    assert said == ""


def process(*arguments, **environ):
    return subprocess.run(
        [sys.executable, "-m", "console.commands", *map(str, arguments)], capture_output=True, text=True,
        env={**os.environ, **environ}, timeout=120, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def test_without_a_terminal_the_console_points_to_estimate():
    done = process()
    assert done.returncode == 2
    assert "boat-console estimate" in done.stderr


def test_a_broken_pipe_is_no_error():
    done = subprocess.run(
        f"{sys.executable} -m console.commands schema | head -1",
        shell=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert "Traceback" not in done.stderr


def test_with_stored_tables_an_estimate_loads_nothing_heavy():
    process("estimate", BERTH, "--draws", "0")
    code = (
        "import sys; from console.commands import cli; "
        f"cli(['estimate', {str(BERTH)!r}, '--draws', '16', '--json'], standalone_mode=False); "
        "print([m for m in ('pint', 'CoolProp', 'scipy', 'pandas', 'pvlib', 'gsw', 'tomlkit', 'textual') if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120)
    assert done.stderr.strip().endswith("[]")


PLUGINS = ("climate", "cold_box", "raw_water", "power")


@pytest.mark.parametrize("left_out", PLUGINS)
def test_without_one_plugin_its_own_figures_are_gone_and_the_others_answer(left_out):
    rest = ",".join(name for name in PLUGINS if name != left_out)
    done = process("estimate", BERTH, "--json", "--draws", "32", BOAT_CONSOLE_PLUGINS=rest)
    made = json.loads(done.stdout)
    owners = {name.split(".")[0] for name in made["figures"]}
    assert left_out not in owners
    assert owners >= set(PLUGINS) - {left_out}
    assert made["unwell"] == []
    assert any(left_out in warning for warning in made["warnings"])
    assert all(
        a["verdict"] and not a["missing"]
        for a in made["answers"]
        if a["question"].split(".")[0] != left_out
    )


STRANGER = """
from console.contract import hookimpl
def _raise():
    raise RuntimeError("stranger " * 3)
{hooks}
"""


def test_a_stranger_that_raises_on_every_hook_leaves_the_rest_the_same_to_the_bit(tmp_path):
    from console.contract import HOOK_NAMES

    hooks = "\n".join(f"@hookimpl\ndef {name}():\n    _raise()\n    yield" for name in HOOK_NAMES)
    (tmp_path / "stranger.py").write_text(STRANGER.format(hooks=hooks))
    info = tmp_path / "stranger-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: stranger\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text("[boat_console.plugins]\nstranger = stranger\n")
    path = f"{tmp_path}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"
    alone = json.loads(process("estimate", BERTH, "--json", "--draws", "32").stdout)
    beside = json.loads(process("estimate", BERTH, "--json", "--draws", "32", PYTHONPATH=path).stdout)
    assert len(beside["unwell"]) == len(HOOK_NAMES)
    assert {u["plugin"] for u in beside["unwell"]} == {"stranger"}
    assert {**beside, "unwell": []} == alone
