"""The log commands: what scripts rely on, exit codes, one sentence, nothing harmful on the terminal."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from console.commands import cli, guarded_main


def run(*arguments: object, ok: bool = True) -> tuple[int, str, str]:
    """(exit code, stdout, stderr) of a log command, in this process."""
    out = CliRunner()
    with out.isolation() as (stdout, stderr, *_):
        code = guarded_main(lambda: cli(["log", *map(str, arguments)], standalone_mode=False)) or 0
        said, complained = stdout.getvalue().decode(), stderr.getvalue().decode()
    assert (code == 0) == ok, complained
    return code, said, complained


def as_json(*arguments: object) -> dict[str, object]:
    made: dict[str, object] = json.loads(run(*arguments, "--json")[1])
    return made


def values(boat: Path) -> list[object]:
    return [entry["value"] for entry in as_json("list", boat)["entries"]]  # type: ignore[index,attr-defined]


def test_add_writes_readings_and_events_of_one_moment(boat_file: Path) -> None:
    made = as_json("add", boat_file, "fill_time=47 s", "defrosted", "--reading", 'drain="plugged"',
                   "--event", "repair=seal", "--at", "2026-07-21 14:05", "--note", "x")  # fmt: skip
    assert [entry["reading"] for entry in made["added"]] == ["fill_time", "defrosted", "drain", "repair"]  # type: ignore[index,attr-defined]
    (first, *_) = made["added"]  # type: ignore[misc]
    assert (first["value"], first["si_unit"], first["written"], first["unit"]) == (47.0, "s", "47", "s")
    assert (first["at"], first["note"]) == ("2026-07-21T14:05:00-04:00", "x")
    assert (boat_file.parent / "samphire.log.sqlite").exists()


def test_the_same_typed_twice_is_said_and_not_doubled(boat_file: Path) -> None:
    for _ in range(2):
        made = as_json("add", boat_file, "fill_time=47 s", "--at", "2026-07-21")
    assert (len(made["added"]), len(made["known"])) == (0, 1)  # type: ignore[arg-type]
    assert (
        "Not doubled, entry 1 says that already"
        in run("add", boat_file, "fill_time=47 s", "--at", "2026-07-21")[1]
    )
    assert values(boat_file) == [47.0]


def test_correcting_keeps_what_stood_and_void_keeps_the_entry(boat_file: Path) -> None:
    run("add", boat_file, "fill_time=47 s", "--at", "2026-07-21")
    made = as_json("correct", boat_file, 1, "--value", "48 s", "--at", "2026-07-22", "--why", "misread")
    assert made["entry"]["value"] == 48.0  # type: ignore[index]
    run("void", boat_file, 1)
    assert values(boat_file) == []
    (entry,) = as_json("list", boat_file, "--all")["entries"]  # type: ignore[misc]
    assert entry["void"]
    assert [(old["value"], old["at"]) for old in entry["before"]] == [
        (47.0, "2026-07-21"),
        (48.0, "2026-07-22"),
    ]
    assert "was 2026-07-21" in run("list", boat_file, "--all")[1]
    run("void", boat_file, 1, "--undo")
    assert values(boat_file) == [48.0]


def test_list_narrows_by_name_and_time(boat_file: Path) -> None:
    for day in (20, 21, 22):
        run("add", boat_file, f"fill_time={day} s", "defrosted", "--at", f"2026-07-{day}")
    found = as_json(
        "list", boat_file, "--reading", "fill_time", "--since", "2026-07-21", "--until", "2026-07-22"
    )
    assert [entry["value"] for entry in found["entries"]] == [21.0]  # type: ignore[index,attr-defined]


def test_export_and_import_bring_the_log_to_another_boat(boat_file: Path, tmp_path: Path) -> None:
    run("add", boat_file, "fill_time=47 s ± 1 s", "defrosted", "--at", "2026-07-21", "--note", "=x")
    file = tmp_path / "log.csv"
    run("export", boat_file, "-o", file)
    assert file.read_text() == run("export", boat_file)[1].replace("\r\n", "\n")
    other = tmp_path / "other.toml"
    other.write_text(boat_file.read_text())
    made = as_json("import", other, file)
    assert (made["added"], made["known"], made["form"]) == (2, 0, "long")
    made = as_json("import", other, file)
    assert (made["added"], made["known_lines"]) == (0, [2, 3])
    assert run("export", other)[1] == run("export", boat_file)[1]


def test_export_replaces_no_file_unasked(boat_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "mine.csv"
    file.write_text("mine")
    code, _, said = run("export", boat_file, "-o", file, ok=False)
    assert (code, file.read_text()) == (2, "mine")
    assert "--replace" in said
    run("export", boat_file, "-o", file, "--replace")
    assert file.read_text().startswith("at,reading,value,unit,note")


def test_a_mapping_said_once_serves_every_later_file(boat_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "week.csv"
    file.write_text("When,Cabin\n7/21/26 14:00,84.1\n7/22/26 14:00,84.2\n")
    code, _, said = run("import", boat_file, file, ok=False)
    assert code == 2
    assert "its columns are When, Cabin" in said
    run("map", boat_file, "logger", "--at", "When", "--column", "Cabin=cabin_temperature F")
    assert as_json("import", boat_file, file)["mapping"] == "logger"
    assert as_json("map", boat_file)["mappings"][0]["name"] == "logger"  # type: ignore[index]
    assert "Cabin is cabin_temperature F" in run("map", boat_file)[1]


@pytest.mark.parametrize("arguments", [
    ("add", "{}"), ("add", "{}", "fil_time=47 s"), ("add", "{}", "fill_time=47"),
    ("add", "{}", "fill_time=47 s", "--at", "05/07/2026"), ("add", "{}", "fill_time=47 s", "--at", "soon"),
    ("add", "/no/such/boat.toml", "fill_time=47 s"), ("correct", "{}", "7", "--value", "1 s"),
    ("correct", "{}", "1"), ("correct", "{}", "x"), ("void", "{}", "7"), ("import", "{}", "/no/such.csv"),
    ("list", "{}", "--reading", "fil_time"), ("sheet", "{}", "--system", "sails"),
    ("map", "{}", "x"), ("map", "{}", "x", "--at", "A"), ("nothing",), ("export", "{}", "-o", "/no/such/x.csv"),
])  # fmt: skip
def test_bad_input_is_one_sentence_and_exit_code_2(boat_file: Path, arguments: tuple[str, ...]) -> None:
    code, said, complained = run(*(each.replace("{}", str(boat_file)) for each in arguments), ok=False)
    assert code == 2
    assert said == ""
    assert complained.startswith("boat-console: ")
    assert complained.count("\n") == 1
    assert not (boat_file.parent / "samphire.log.sqlite").exists()


def test_a_bad_import_writes_nothing_and_names_file_and_line(boat_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text("at,reading,value,unit,note\n2026-07-21,fill_time,47,s,\n2026-07-21,fil_time,47,s,\n")
    said = run("import", boat_file, file, ok=False)[2]
    assert "log.csv, line 3: there is no reading or event fil_time; did you mean fill_time?" in said
    assert "nothing was written" in said.lower()
    assert values(boat_file) == []


def test_a_day_still_to_come_is_written_and_pointed_out(boat_file: Path) -> None:
    assert "still to come" in run("add", boat_file, "fill_time=47 s", "--at", "2099-07-21")[1]
    assert values(boat_file) == [47.0]


NASTY = "x \x1b[31m\x07\x9b5m\u2028 [/ <b>"


def test_control_characters_never_reach_the_terminal(boat_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(
        f'at,reading,value,unit,note\n2026-07-21,contents,"{NASTY}",,"{NASTY}"\n', encoding="utf-8"
    )
    said = run("import", boat_file, file)[1]
    assert "control characters were left out" in said
    run("add", boat_file, "fill_time=47 s", "--note", NASTY, "--at", "2026-07-20")
    raw = boat_file.parent / "samphire.log.sqlite"
    import sqlite3

    with sqlite3.connect(raw) as db:  # a stranger's hand in the file itself
        db.execute("INSERT INTO entry VALUES (9, 'event')")
        db.execute("INSERT INTO event VALUES (9, 1, 0, '1970-01-01T00:00:00+00:00', 0, ?, NULL, ?, '', ?, '', NULL,"
                   " ?, 0, ?, '2026-01-01T00:00:00+00:00')", (NASTY,) * 5)  # fmt: skip
    db.close()
    outputs = [run("list", boat_file)[1], run("list", boat_file, "--all", "--json")[1], run("export", boat_file)[1],
               run("sheet", boat_file)[1], run("add", boat_file, f"{NASTY}=1", ok=False)[2]]  # fmt: skip
    for output in outputs:
        assert all(line.isprintable() for line in output.replace("\r\n", "\n").split("\n"))


def test_it_runs_as_a_program_with_the_same_exit_codes(boat_file: Path) -> None:
    program = [sys.executable, "-m", "console.commands", "log", "add", str(boat_file)]
    ran = [
        subprocess.run([*program, said], capture_output=True, text=True, timeout=60, check=False)
        for said in ("fill_time=47 s", "fill_time=47")
    ]
    assert [each.returncode for each in ran] == [0, 2]
    assert "Traceback" not in ran[1].stderr
