"""The full count of pulled plugs: 500 kills at random moments, within writes and within imports."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.logbook.crash import kill_and_look


@pytest.mark.parametrize("kind", ["add", "import"])
def test_250_killed_writers_lose_nothing_acknowledged(tmp_path: Path, kind: str) -> None:
    path, write = tmp_path / "killed.log.sqlite", 0
    for seed in range(250):
        write = kill_and_look(path, kind, write, seed)
    assert write >= 250
