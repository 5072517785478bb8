"""The logbook itself: a SQLite file beside the boat's, append-only, safe against a pulled plug.

Every write is one transaction, on the disk (``synchronous=FULL``) before it is acknowledged:
all of it is there, or nothing. Readers and one writer go together (write-ahead log).
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TypeVar

from console.guard import one_line
from console.logbook.entry import Entry, LogError
from console.logbook.schema import APPLICATION, MIGRATIONS, VERSION
from console.quantities import shown

T = TypeVar("T")

PATIENCE = 5.0
"""Seconds to wait for another program that is writing."""

SUFFIX = ".log.sqlite"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_COLUMNS = (
    "id, revision, at, day, name, value, words, si_unit, written, unit, error, note, void, why, entered"
)


def beside(scenario: Path | str) -> Path:
    """Where the logbook of a boat file lies: ``marram.toml`` has ``marram.log.sqlite``."""
    path = Path(scenario)
    path = path.resolve() if path.is_symlink() else path
    name = path.name.removesuffix(".toml")
    return path.with_name(name + SUFFIX)


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of entries handed in: written now, or there already (as they stand there)."""

    added: tuple[Entry, ...]
    known: tuple[Entry, ...]


class Logbook:
    """An open logbook. Use as a context manager, or call `close`.

    A logbook that is not there yet has no entries; its file is made by the first write. Every
    method raises `LogError` with one sentence when the file cannot be used.
    """

    def __init__(self, path: Path | str, *, patience: float = PATIENCE, check: bool = True) -> None:
        self.path = Path(path)
        self._patience = patience
        self._check = check
        self._db: sqlite3.Connection | None = None
        self._read_only = False
        if self.path.exists():
            self._guarded(self._open)

    def __enter__(self) -> Logbook:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; it stays as it is."""
        db, self._db = self._db, None
        if db is not None:
            with contextlib.suppress(sqlite3.Error):
                db.close()

    # --- reading ----------------------------------------------------------------------------

    def readings(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Readings that count, by time: those ``names`` (None: all), since <= at < until."""
        return self._guarded(lambda: self._select("reading", names, since, until))

    def events(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Events that count, by time."""
        return self._guarded(lambda: self._select("event", names, since, until))

    def entries(self, void: bool = False) -> tuple[Entry, ...]:
        """Readings and events together, by time; ``void`` ones, too, when asked."""

        def read() -> tuple[Entry, ...]:
            both = [*self._select("reading", void=void), *self._select("event", void=void)]
            return tuple(sorted(both, key=lambda entry: (entry.at, entry.id)))

        return self._guarded(read)

    def history(self, number: int) -> tuple[Entry, ...]:
        """Every revision of one entry, the first one first; LogError when there is no such entry."""

        def read() -> tuple[Entry, ...]:
            kind = self._kind(number)
            rows = self._rows(f"SELECT {_COLUMNS} FROM {kind} WHERE id = ? ORDER BY revision", (number,))
            return tuple(_entry(row, kind == "event") for row in rows)

        return self._guarded(read)

    def _select(
        self, table: str, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None, void: bool = False,
    ) -> tuple[Entry, ...]:  # fmt: skip
        wanted = None if names is None else [names] if isinstance(names, str) else sorted(set(names))
        newest = f"revision = (SELECT max(revision) FROM {table} AS r WHERE r.id = {table}.id)"
        where: list[str] = [newest]
        values: list[object] = []
        if not void:
            where.append("void = 0")
        if wanted is not None:
            where.append(f"name IN ({', '.join('?' * len(wanted))})")
            values += wanted
        for sign, edge in ((">=", since), ("<", until)):
            if edge is not None:
                where.append(f"utc {sign} ?")
                values.append(_microseconds(edge))
        rows = self._rows(
            f"SELECT {_COLUMNS} FROM {table} WHERE {' AND '.join(where)} ORDER BY utc, id", tuple(values)
        )
        return tuple(_entry(row, table == "event") for row in rows)

    def _rows(self, query: str, values: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
        return [] if self._db is None else self._db.execute(query, values).fetchall()

    def _kind(self, number: int) -> str:
        rows = self._rows("SELECT kind FROM entry WHERE id = ?", (number,)) if 0 < number < 2**63 else []
        if not rows:
            raise LogError(f"there is no entry {number} in {shown(self.path.name, 80)}")
        return str(rows[0][0])

    # --- writing ----------------------------------------------------------------------------

    def add(self, entries: Iterable[Entry]) -> Taken:
        """Write entries, all of them or none. One that is there already is not doubled.

        An entry counts as there when any revision of any entry says the same, be it corrected
        or void by now: reading an old file again brings nothing back.
        """
        wanted = list(entries)

        def write() -> Taken:
            added: list[Entry] = []
            known: list[Entry] = []
            now = datetime.now(UTC)
            for entry in wanted:
                there = self._like(entry)
                if there is not None:
                    known.append(there)
                    continue
                kind = "event" if entry.event else "reading"
                number = self._execute("INSERT INTO entry (kind) VALUES (?)", (kind,))
                made = replace(entry, id=number, revision=1, entered=now, void=False, why="")
                self._insert(made)
                added.append(made)
            return Taken(tuple(added), tuple(known))

        return self._transaction(write) if wanted else Taken((), ())

    def correct(self, number: int, change: Callable[[Entry], Entry], why: str = "") -> Entry:
        """Write another revision of an entry: ``change`` makes it of the present one.

        The old one is kept. Gives the entry as it stands then; nothing is written when nothing
        is another.
        """

        def write() -> Entry:
            now = self.history(number)[-1]
            made = replace(change(now), id=number, revision=now.revision + 1, event=now.event,
                           entered=datetime.now(UTC), why=why)  # fmt: skip
            if (made.key, made.error, made.void, made.said) == (now.key, now.error, now.void, now.said):
                return now
            if made.reading != now.reading:
                raise LogError(f"entry {number} is of {now.reading}; make it void and write another")
            other = self._like(made, but=number)
            if other is not None and not made.void and not other.void:
                raise LogError(f"that is what entry {other.id} says already; make one of them void")
            self._insert(made)
            return made

        return self._transaction(write)

    def void(self, number: int, why: str = "", undo: bool = False) -> Entry:
        """Let an entry count for nothing (with ``undo``: count again). It is kept."""
        return self.correct(number, lambda entry: replace(entry, void=not undo), why)

    def _like(self, entry: Entry, but: int = 0) -> Entry | None:
        """An entry (as it stands now) one of whose revisions says the same."""
        table = "event" if entry.event else "reading"
        rows = self._rows(
            f"SELECT {_COLUMNS} FROM {table} WHERE name = ? AND utc = ? AND id <> ? ORDER BY id",
            (entry.reading, _microseconds(entry.at), but),
        )
        for row in rows:
            found = _entry(row, entry.event)
            if found.key == entry.key:
                return self.history(found.id)[-1]
        return None

    def _insert(self, e: Entry) -> None:
        number = e.value if isinstance(e.value, float) else None
        words = None if number is not None else str(e.value)
        table = "event" if e.event else "reading"
        self._execute(
            f"INSERT INTO {table} ({_COLUMNS}, utc) VALUES ({', '.join('?' * 16)})",
            (e.id, e.revision, e.at.isoformat(), int(e.day), e.reading, number, words, e.si_unit, e.written,
             e.unit, e.error, e.note, int(e.void), e.why,
             (e.entered or datetime.now(UTC)).isoformat(), _microseconds(e.at)),
        )  # fmt: skip

    def _execute(self, query: str, values: tuple[object, ...]) -> int:
        assert self._db is not None
        return self._db.execute(query, values).lastrowid or 0

    # --- which column is what ---------------------------------------------------------------

    def mappings(self) -> dict[str, str]:
        """The mappings of spreadsheets and loggers, as JSON by name; the newest of a name."""
        query = "SELECT name, mapping FROM mapping ORDER BY number"
        return self._guarded(lambda: {str(name): str(text) for name, text in self._rows(query)})

    def keep_mapping(self, name: str, mapping: str) -> None:
        """Keep a mapping (JSON) under a name; an older one of that name stays in the file."""
        values = (name, mapping, datetime.now(UTC).isoformat())
        self._transaction(
            lambda: self._execute("INSERT INTO mapping (name, mapping, entered) VALUES (?, ?, ?)", values)
        )

    # --- the file ---------------------------------------------------------------------------

    def _transaction(self, write: Callable[[], T]) -> T:
        def run() -> T:
            if self._db is None:
                self._open()
            assert self._db is not None
            if self._read_only:
                raise LogError(self._sentence("cannot be written (it is read-only)"))
            self._db.execute("BEGIN IMMEDIATE")
            try:
                made = write()
                self._db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")
                raise
            return made

        return self._guarded(run)

    def _open(self) -> None:
        if not self.path.parent.is_dir():
            raise LogError(f"there is no folder {shown(self.path.parent, 120)} for the logbook")
        if self.path.is_dir():
            raise LogError(f"{shown(self.path.name, 80)} is a folder, not a logbook")
        self._connect("rwc")
        try:
            self._prepare()
        except sqlite3.OperationalError as error:
            if _code(error) not in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN):
                raise
            self.close()
            self._open_to_read()

    def _connect(self, mode: str) -> None:
        uri = f"{self.path.absolute().as_uri()}?mode={mode}"
        self._db = sqlite3.connect(
            uri, uri=True, timeout=self._patience, isolation_level=None, check_same_thread=False
        )

    def _prepare(self) -> None:
        """Have the tables of the present version, and the settings that keep entries safe."""
        assert self._db is not None
        if self._version() < VERSION:
            self._db.execute("BEGIN IMMEDIATE")  # of two consoles one makes the tables
            try:
                for script in MIGRATIONS[self._version() :]:
                    for statement in _statements(script):
                        self._db.execute(statement)
                self._db.execute(f"PRAGMA application_id = {APPLICATION}")
                self._db.execute(f"PRAGMA user_version = {VERSION}")
                self._db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")
                raise
        self._db.execute("PRAGMA journal_mode = WAL")
        self._db.execute("PRAGMA synchronous = FULL")
        self._db.execute("PRAGMA foreign_keys = ON")
        self._sound()

    def _open_to_read(self) -> None:
        """A file or a folder that cannot be written can still be read."""
        self._read_only = True
        self._connect("ro")
        assert self._db is not None
        try:
            version = self._version()
        except sqlite3.OperationalError:
            if self.path.with_name(self.path.name + "-wal").exists():
                raise  # the newest entries are in a file that cannot be joined from here
            self.close()
            self._connect("ro&immutable=1")
            version = self._version()
        if version < VERSION:
            raise LogError(self._sentence("is of an older version, and cannot be written to bring it up"))
        self._sound()

    def _version(self) -> int:
        """The file's version; LogError when it is no logbook, or one of a newer program."""
        assert self._db is not None
        version = int(self._db.execute("PRAGMA user_version").fetchone()[0])
        mark = int(self._db.execute("PRAGMA application_id").fetchone()[0])
        filled = self._db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if (filled or version) and mark != APPLICATION:
            raise LogError(self._sentence("is not a boat's logbook"))
        if version > VERSION:
            raise LogError(
                self._sentence(
                    f"was written by a newer boat-console (version {version}, this one knows {VERSION});"
                    " use that one"
                )
            )
        return version

    def _sound(self) -> None:
        assert self._db is not None
        if self._check:
            said = self._db.execute("PRAGMA quick_check(1)").fetchone()[0]
            if said != "ok":
                raise LogError(self._damaged())

    def _sentence(self, what: str) -> str:
        return f"{shown(self.path.name, 80)} {what}; nothing in it was changed"

    def _damaged(self) -> str:
        return self._sentence("is damaged, so it was not used: put a copy of it back, or move it away and "
                              "import your last CSV")  # fmt: skip

    def _guarded(self, run: Callable[[], T]) -> T:
        """The value of ``run``; what SQLite refuses becomes one sentence."""
        try:
            return run()
        except LogError:
            raise
        except sqlite3.Error as error:
            raise LogError(self._said(error)) from None
        except (OSError, UnicodeError, ValueError) as error:
            raise LogError(self._sentence(f"cannot be used ({one_line(error, 120)})")) from None

    def _said(self, error: sqlite3.Error) -> str:
        name, kept = shown(self.path.name, 80), "what was there before is kept"
        match _code(error):
            case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
                return f"{name} is being written by another program; nothing was written, try again"
            case sqlite3.SQLITE_FULL:
                return f"the disk is full, so nothing was written to {name}; {kept}"
            case sqlite3.SQLITE_IOERR:
                return f"the disk refused {name} (full, or failing), so nothing was written; {kept}"
            case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
                return self._sentence("cannot be written (it is read-only)")
            case sqlite3.SQLITE_CANTOPEN:
                return self._sentence("cannot be opened (is the folder yours to write?)")
            case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
                return self._damaged()
        return self._sentence(f"cannot be used ({one_line(error, 120)})")


def _code(error: sqlite3.Error) -> int:
    # The low byte is the kind; the rest says which of its kind.
    return int(getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF


def _statements(script: str) -> Iterator[str]:
    """The statements of a script, a trigger being one."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def _microseconds(at: datetime) -> int:
    return (at - _EPOCH) // timedelta(microseconds=1)


def _entry(row: tuple[object, ...], event: bool) -> Entry:
    (number, revision, at, day, name, value, words, si_unit, written, unit, error, note, void, why,
     entered) = row  # fmt: skip
    return Entry(
        at=datetime.fromisoformat(str(at)), reading=str(name),
        value=float(value) if isinstance(value, int | float) else str(words),
        written=str(written), unit=str(unit),
        error=float(error) if isinstance(error, int | float) else None,
        note=str(note), day=bool(day), event=event, si_unit=str(si_unit),
        id=int(str(number)), revision=int(str(revision)),
        entered=datetime.fromisoformat(str(entered)), void=bool(void), why=str(why),
    )  # fmt: skip
