"""What the log screen works with: groups, units of bare numbers, and the picture of a long log."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from console.boatfile import Boat, load
from console.logbook import Entry, Logbook
from console.logbook.desk import MOST_POINTS, LogDesk
from console.quantities import STYLES
from console.registry import Registry
from tests.logbook.conftest import event, reading


@pytest.fixture
def log(boat: Boat, boat_file: Path) -> LogDesk:
    return LogDesk(boat, boat_file)


def test_what_was_logged_lately_comes_first(log: LogDesk) -> None:
    log.write(reading())
    log.write(event())
    first = log.groups(log.read())[0]
    assert first.title == "Logged lately"
    assert [word.name for word in first.words] == ["defrosted", "fill_time"]


def test_every_reading_aboard_is_in_one_group_and_what_is_not_aboard_in_none(
    log: LogDesk, boat_file: Path, registry: Registry
) -> None:
    names = [word.name for group in log.groups(()) for word in group.words]
    assert len(names) == len(set(names))
    assert {"fill_time", "melt_water", "repair"} <= set(names)
    boat_file.write_text(boat_file.read_text().replace("[cold_box]\n", ""))
    without = LogDesk(load(boat_file, registry), boat_file)
    assert "melt_water" not in [word.name for group in without.groups(()) for word in group.words]


@pytest.mark.parametrize("system", ["us", "si"])
def test_a_bare_number_of_every_reading_is_taken_in_a_unit_that_is_told(log: LogDesk, system: str) -> None:
    for word in log.catalogue.words.values():
        if word.numeric:
            entry = log.understand(word, "0.5", "2026-07-21", "", system)  # type: ignore[arg-type]
            told = log.understand(word, f"0.5 {log.unit(word, system)}", "2026-07-21", "", system)  # type: ignore[arg-type]
            assert entry.value == told.value, word.name
            assert bool(log.unit(word, system)) == bool(STYLES[word.style].us), word.name  # type: ignore[arg-type]


def test_a_typed_unit_goes_before_the_usual_one(log: LogDesk) -> None:
    word = log.catalogue.words["cabin_temperature"]
    assert log.understand(word, "28 C", "now", "", "us").value == pytest.approx(301.15)
    assert log.understand(word, "82.4", "now", "", "us").value == pytest.approx(301.15)


def test_a_long_log_is_thinned_to_what_can_be_seen_and_keeps_its_extremes(log: LogDesk) -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC)
    entries = [
        Entry(start + timedelta(minutes=10 * n), "cabin_temperature", 290.0 + n % 11, "", "", si_unit="K")
        for n in range(5000)
    ]
    entries[1234] = Entry(entries[1234].at, "cabin_temperature", 330.0, "", "", si_unit="K")
    picture = log.timeline(log.catalogue.words["cabin_temperature"], [*entries, event()])
    assert picture is not None
    assert len(picture.at) <= MOST_POINTS
    assert list(picture.at) == sorted(picture.at)
    assert max(picture.series[0].values) == 330.0
    assert min(picture.series[0].values) == 290.0
    assert [label for _, label in picture.events] == ["Defrosted"]


def test_what_is_void_is_in_no_picture(log: LogDesk) -> None:
    log.write(reading())
    log.void(1, undo=False)
    assert log.timeline(log.catalogue.words["fill_time"], log.read()) is None


def test_the_signature_changes_with_every_write(log: LogDesk) -> None:
    seen = {log.signature()}
    for n in range(3):
        log.write(reading(40 + n))
        seen.add(log.signature())
    with Logbook(log.path) as other:
        other.add([reading(99)])
        seen.add(log.signature())
    assert len(seen) == 5


def test_looking_at_the_log_changes_nothing_on_the_disk(log: LogDesk) -> None:
    log.write(reading())
    before = log.signature()
    log.read()
    assert log.signature() == before
