"""Logbooks are tried on the real plugins' words, with a boat on the New York clock."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from console.boatfile import Boat, load
from console.logbook import Entry, Logbook
from console.logbook.catalogue import Catalogue, catalogue_of
from console.registry import Registry, discover

BOAT = 'format = 1\n[boat]\nname = "Samphire"\n[site]\ntimezone = "America/New_York"\n[raw_water]\n[cold_box]\n'


@pytest.fixture(scope="session")
def registry() -> Registry:
    return discover({})


@pytest.fixture(scope="session")
def words(registry: Registry) -> Catalogue:
    return catalogue_of(registry)


@pytest.fixture
def boat_file(tmp_path: Path) -> Path:
    path = tmp_path / "samphire.toml"
    path.write_text(BOAT, encoding="utf-8")
    return path


@pytest.fixture
def boat(boat_file: Path, registry: Registry) -> Boat:
    return load(boat_file, registry)


@pytest.fixture
def book(tmp_path: Path) -> Logbook:
    return Logbook(tmp_path / "samphire.log.sqlite", patience=0.2)


def reading(seconds: float = 47.0, minute: int = 0, note: str = "", name: str = "fill_time") -> Entry:
    """Bucket seconds at a minute of an afternoon."""
    at = datetime(2026, 7, 21, 18, tzinfo=UTC).replace(minute=minute % 60, hour=18 - minute // 60 % 12)
    return Entry(at, name, float(seconds), f"{seconds:g}", "s", note=note, si_unit="s")


def event(name: str = "defrosted", value: str = "", hour: int = 9) -> Entry:
    """Something that happened at an hour of that day."""
    return Entry(datetime(2026, 7, 21, hour, tzinfo=UTC), name, value, value, "", event=True)
