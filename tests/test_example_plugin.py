"""The plugin of DEVELOPERS.md works as it stands there."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MANUAL = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SCRIPT = [sys.executable, "-m", "console.commands"]


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """A folder of installed packages that holds the manual's plugin, found by its entry point."""
    folder = tmp_path_factory.mktemp("site")
    project, wiring, model = re.search(
        r"```toml\n(.*?)```.*?```python\n(.*?)```.*?```python\n(.*?)```", MANUAL, re.S
    ).groups()
    (folder / "tank_days.py").write_text(wiring)
    (folder / "tank_days_model.py").write_text(model)
    info = folder / "tank_days-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: tank-days\nVersion: 1.0\n")
    entry = re.search(r'\[project\.entry-points\."(.*?)"\]\n(\w+) = "(\w+)"', project)
    (info / "entry_points.txt").write_text(f"[{entry[1]}]\n{entry[2]} = {entry[3]}\n")
    return folder


def run(installed, *arguments):
    environ = {**os.environ, "PYTHONPATH": f"{installed}{os.pathsep}{ROOT}", "BOAT_CONSOLE_PLUGINS": "tank"}
    return subprocess.run([*SCRIPT, *arguments], capture_output=True, text=True, env=environ, timeout=60)


def test_it_is_about_forty_lines():
    code = "".join(re.findall(r"```python\n(.*?)```", MANUAL, re.S))
    assert len([line for line in code.splitlines() if line.strip()]) <= 45


def test_it_is_listed_as_well(installed):
    rows = json.loads(run(installed, "plugins", "--json").stdout)["plugins"]
    assert {row["name"]: row["state"] for row in rows}["tank"] == "well"


def test_it_answers_for_a_boat_that_has_the_table(installed, tmp_path):
    boat = tmp_path / "boat.toml"
    boat.write_text('[tank]\nvolume = "240 L"\n')
    done = run(installed, "estimate", str(boat), "--json", "--draws", "64")
    made = json.loads(done.stdout)
    assert made["figures"]["tank.lasts"]["value"] == pytest.approx(10.0)
    assert made["figures"]["tank.lasts"]["unit"] == "day"
    assert any(a["question"] == "tank.water" and "10 days" in a["verdict"] for a in made["answers"])


def test_its_bad_input_is_one_sentence(installed, tmp_path):
    boat = tmp_path / "boat.toml"
    boat.write_text('[tank]\nvolume = "240 kg"\n')
    done = run(installed, "estimate", str(boat))
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "line 2" in done.stderr
