"""The screens are driven through the real engine, with a sample plugin found as any is."""

from __future__ import annotations

from importlib.metadata import EntryPoint
from pathlib import Path

import pytest

from console.contract import ENTRY_POINT_GROUP
from console.registry import Registry, discover
from tests.tui.sample import NASTY

BOAT = (
    f"""# what the owner wrote stays
format = 1

[boat]
name = {NASTY!r}
length = "36 ft"  # measured by hand

[sample]
depth = "6 in ± 1 in"
kind = "diaphragm"

[[sample.load]]
name = {NASTY!r}
power = "80 W"
""".replace("'", '"')
    .replace("\\x1b", "\\u001b")
    .replace("\\x07", "\\u0007")
)


@pytest.fixture(autouse=True)
def _errors_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.delenv("NO_COLOR", raising=False)


@pytest.fixture(scope="session")
def sample() -> Registry:
    """The wiring of the sample plugin alone."""
    entry = EntryPoint("sample", "tests.tui.sample", ENTRY_POINT_GROUP)
    return discover({}, [entry])


@pytest.fixture
def boat_file(tmp_path: Path) -> Path:
    path = tmp_path / "marsh.toml"
    path.write_text(BOAT, encoding="utf-8")
    return path
