"""The house: README, CI, documents and packages keep their word."""

import re
import subprocess
import sys
import tomllib
from importlib.metadata import entry_points
from pathlib import Path

import pytest

from console import contract

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_ci_runs_the_readmes_own_test_command():
    commands = re.findall(r"```sh\n(python3 -m venv .*)\n```", README)
    assert len(commands) == 2
    assert commands[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_readme_opens_with_the_job_then_a_picture_that_is_there():
    picture = re.search(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert picture
    assert README.index("You live aboard") < picture.start() < README.index("## Two commands")
    assert (ROOT / picture[1]).is_file()


def test_every_dependency_has_a_line_that_says_why():
    wanted = [*PROJECT["project"]["dependencies"], *PROJECT["project"]["optional-dependencies"]["test"]]
    for requirement in wanted:
        name = re.match(r"[A-Za-z0-9_-]+", requirement)[0]
        assert re.search(rf"^\| `{re.escape(name)}` \|", DEVELOPERS, re.M), name
        assert "<" in requirement or "==" in requirement, f"{name} has no upper bound"


@pytest.mark.parametrize("hook", contract.HOOK_NAMES)
def test_every_hook_has_its_signature_in_the_manual(hook):
    returns = getattr(contract.Hooks, hook).__annotations__["return"]
    assert f"`{hook}() -> {returns}`" in DEVELOPERS.replace("\\|", "|")


def test_every_plugin_folder_is_an_entry_point_and_a_package():
    folders = {path.parent.name for path in (ROOT / "plugins").glob("*/__init__.py")}
    assert folders == {
        e.name for e in entry_points(group=contract.ENTRY_POINT_GROUP) if e.value.startswith("plugins.")
    }
    assert {f"plugins.{name}" for name in folders} <= set(PROJECT["tool"]["setuptools"]["packages"])


def test_every_package_reaches_the_wheel():
    listed = set(PROJECT["tool"]["setuptools"]["packages"])
    for top in ("console", "plugins"):
        for init in (ROOT / top).rglob("__init__.py"):
            assert ".".join(init.parent.relative_to(ROOT).parts) in listed


def test_a_plugins_wiring_is_short():
    for path in (ROOT / "plugins").glob("*/__init__.py"):
        code = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        assert len(code) <= 60, path


HEAVY = ("numpy", "pint", "pydantic", "CoolProp", "scipy", "pandas", "pvlib", "gsw", "fluids", "tomlkit")


def loaded_after(code: str) -> set[str]:
    """The heavy modules in sys.modules after some code ran in a fresh interpreter."""
    check = f"{code}\nimport sys\nprint(' '.join(m for m in {HEAVY!r} if m in sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", check], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())


def test_discovering_the_plugins_imports_nothing_heavy():
    assert loaded_after("from console.registry import discover; discover()") == set()


def test_the_command_line_imports_nothing_heavy_before_it_is_asked():
    assert loaded_after("import console.commands") == set()


def test_physics_knows_neither_screens_nor_units_nor_files():
    allowed_files = {"section.py", "defaults.py"}
    for path in (ROOT / "plugins").glob("*/*.py"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(
            r"^\s*(import|from) (textual|pint|scipy|CoolProp|pathlib|os|time)\b", text, re.M
        ), path
        if path.name not in allowed_files:
            assert not re.search(r"^\s*(import|from) (pydantic)\b", text, re.M), path


# One module on purpose: all that a plugin author must read; and all that knows units.
LARGE = {"contract.py": 690, "quantities.py": 500}


def test_no_file_is_a_room_too_many():
    for top in ("console", "plugins"):
        for path in (ROOT / top).rglob("*.py"):
            lines = len(path.read_text(encoding="utf-8").splitlines())
            assert lines <= LARGE.get(path.name, 420), path
