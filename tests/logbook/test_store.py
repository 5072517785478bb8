"""The logbook keeps what was written: revisions, doubles, versions, order."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from console.logbook import Logbook, LogError, beside
from console.logbook.file import _statements
from console.logbook.schema import APPLICATION, MIGRATIONS, VERSION
from tests.logbook.conftest import event, reading


def test_it_lies_beside_the_boat_file() -> None:
    assert beside("/boats/marram.toml") == Path("/boats/marram.log.sqlite")


def test_looking_into_a_logbook_that_is_not_there_makes_no_file(book: Logbook) -> None:
    assert book.readings() == book.events() == book.entries() == ()
    assert not book.path.exists()


def test_entries_come_by_time_in_whatever_order_they_were_written(book: Logbook) -> None:
    book.add([reading(3, 30), reading(1, 10)])
    book.add([reading(2, 20)])
    assert [entry.value for entry in book.readings()] == [1.0, 2.0, 3.0]


def test_readings_and_events_are_asked_apart_by_name_and_time(book: Logbook) -> None:
    book.add([reading(1, 10), reading(2, 50, name="other"), event(), event("contents", "ice")])
    at = datetime(2026, 7, 21, 18, 10, tzinfo=UTC)
    assert [entry.value for entry in book.readings("fill_time")] == [1.0]
    assert [entry.reading for entry in book.events(["contents", "nothing"])] == ["contents"]
    assert [entry.value for entry in book.readings(since=at, until=at + timedelta(seconds=1))] == [1.0]
    assert book.readings(until=at) == ()  # the edge belongs to what follows
    assert len(book.entries()) == 4


def test_an_entry_comes_back_as_it_was_written(book: Logbook) -> None:
    given = replace(reading(47.5, 5, "x"), error=1.5, written="47.5 ± 1.5", at=datetime.fromisoformat(
        "2026-07-21T14:05:00.123456-04:00"))  # fmt: skip
    book.add([given])
    with Logbook(book.path) as other:
        (found,) = other.readings()
    assert replace(found, id=0, entered=None) == given
    assert found.at.utcoffset() == timedelta(hours=-4)
    assert found.entered is not None
    assert abs(found.entered - datetime.now(UTC)) < timedelta(minutes=1)


def test_a_correction_keeps_the_old_value_and_its_reason(book: Logbook) -> None:
    book.add([reading(47)])
    book.correct(1, lambda now: replace(now, value=48.0, written="48"), "misread")
    assert [entry.value for entry in book.readings()] == [48.0]
    assert [(e.value, e.revision, e.why) for e in book.history(1)] == [(47.0, 1, ""), (48.0, 2, "misread")]


def test_a_correction_that_changes_nothing_writes_nothing(book: Logbook) -> None:
    book.add([reading(47)])
    book.correct(1, lambda now: now)
    assert len(book.history(1)) == 1


def test_a_void_entry_counts_for_nothing_and_is_kept_and_can_come_back(book: Logbook) -> None:
    book.add([reading(47)])
    book.void(1, "wrong bucket")
    assert book.readings() == ()
    assert [entry.void for entry in book.entries(void=True)] == [True]
    book.void(1, undo=True)
    assert [entry.value for entry in book.readings()] == [47.0]
    assert len(book.history(1)) == 3


def test_a_correction_may_not_make_two_entries_the_same(book: Logbook) -> None:
    book.add([reading(47), reading(48)])
    with pytest.raises(LogError, match="entry 1 says already"):
        book.correct(2, lambda now: replace(now, value=47.0))
    assert [entry.value for entry in book.readings()] == [47.0, 48.0]


def test_an_entry_cannot_become_one_of_another_reading(book: Logbook) -> None:
    book.add([reading(47)])
    with pytest.raises(LogError, match="make it void"):
        book.correct(1, lambda now: replace(now, reading="other"))


@pytest.mark.parametrize("number", [0, 2, -1, 10**30])
def test_an_unknown_number_is_said(book: Logbook, number: int) -> None:
    book.add([reading()])
    with pytest.raises(LogError, match="there is no entry"):
        book.correct(number, lambda now: now)


def test_the_same_moment_name_value_and_note_is_not_doubled(book: Logbook) -> None:
    first = book.add([reading(47), reading(47)])
    again = book.add([reading(47), reading(47, note="another"), reading(47, 1), reading(48)])
    assert (len(first.added), len(first.known)) == (1, 1)
    assert (len(again.added), len(again.known)) == (3, 1)
    assert again.known[0].id == 1


def test_an_old_file_read_again_brings_back_neither_the_wrong_value_nor_the_void_one(book: Logbook) -> None:
    book.add([reading(47), reading(50, 1)])
    book.correct(1, lambda now: replace(now, value=48.0, written="48"))
    book.void(2)
    taken = book.add([reading(47), reading(50, 1)])
    assert taken.added == ()
    assert [entry.value for entry in book.readings()] == [48.0]


def test_of_several_entries_all_are_written_or_none(book: Logbook) -> None:
    bad = replace(reading(2, 2), note="\ud800")  # no such letter can be stored
    with pytest.raises(LogError):
        book.add([reading(1, 1), bad])
    assert book.readings() == ()
    book.add([reading(1, 1)])
    assert len(book.readings()) == 1


@pytest.mark.parametrize("statement", [
    "UPDATE reading SET value = 1", "DELETE FROM reading", "DELETE FROM entry", "UPDATE event SET void = 1",
    "DELETE FROM event",
])  # fmt: skip
def test_the_file_itself_refuses_to_change_or_lose_an_entry(book: Logbook, statement: str) -> None:
    book.add([reading(), event()])
    book.close()
    with sqlite3.connect(book.path) as raw, pytest.raises(sqlite3.Error, match="keeps what was written"):
        raw.execute(statement)


def test_every_write_is_on_the_disk_before_it_is_acknowledged(book: Logbook) -> None:
    book.add([reading()])
    assert book._db is not None
    assert book._db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert book._db.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL


def test_two_consoles_see_and_keep_each_others_entries(book: Logbook) -> None:
    with Logbook(book.path) as other:
        book.add([reading(1, 1)])
        assert [e.value for e in other.readings()] == [1.0]  # which was not there when it was opened
        other.add([reading(2, 2)])
        book.add([reading(3, 3)])
        assert [e.value for e in other.readings()] == [e.value for e in book.readings()]
        assert sorted(e.id for e in other.readings()) == [1, 2, 3]


def test_a_file_of_an_older_version_is_brought_up_with_all_its_entries(tmp_path: Path) -> None:
    path = tmp_path / "old.log.sqlite"
    raw = sqlite3.connect(path, isolation_level=None)
    for statement in _statements(MIGRATIONS[0]):
        raw.execute(statement)
    raw.execute(f"PRAGMA application_id = {APPLICATION}")
    raw.execute("PRAGMA user_version = 1")
    raw.execute("INSERT INTO entry VALUES (1, 'reading')")
    raw.execute("INSERT INTO reading VALUES (1, 1, 0, '1970-01-01T00:00:00+00:00', 0, 'fill_time', 47.0, NULL,"
                " 's', '47', 's', NULL, '', 0, '', '2026-01-01T00:00:00+00:00')")  # fmt: skip
    raw.close()
    with Logbook(path) as book:
        assert [entry.value for entry in book.readings()] == [47.0]
        book.keep_mapping("logger", "{}")
        assert book.mappings() == {"logger": "{}"}
    assert sqlite3.connect(path).execute("PRAGMA user_version").fetchone() == (VERSION,)


def test_a_mapping_said_again_stands_in_place_of_the_older(book: Logbook) -> None:
    book.keep_mapping("logger", "1")
    book.keep_mapping("other", "2")
    book.keep_mapping("logger", "3")
    assert book.mappings() == {"logger": "3", "other": "2"}
