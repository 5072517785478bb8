"""The file of a logbook: opened, brought up to the present version, guarded, written all or nothing."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Self, TypeVar

from console.guard import one_line
from console.logbook.entry import LogError
from console.logbook.schema import APPLICATION, MIGRATIONS, VERSION
from console.quantities import shown

T = TypeVar("T")

PATIENCE = 5.0
"""Seconds to wait for another program that is writing."""


class BookFile:
    """A SQLite file with a write-ahead log, on the disk before a write is acknowledged.

    What SQLite refuses is said in one sentence (`LogError`); nothing in the file is changed then.
    """

    def __init__(self, path: Path | str, *, patience: float = PATIENCE, check: bool = True) -> None:
        self.path = Path(path)
        self._patience = patience
        self._check = check
        self._db: sqlite3.Connection | None = None
        self._read_only = False
        if self.path.exists():
            self._guarded(self._open)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; it stays as it is."""
        db, self._db = self._db, None
        if db is not None:
            with contextlib.suppress(sqlite3.Error):
                db.close()

    def _rows(self, query: str, values: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
        if self._db is None and self.path.exists():  # another console has made it meanwhile
            self._open()
        return [] if self._db is None else self._db.execute(query, values).fetchall()

    def _execute(self, query: str, values: tuple[object, ...]) -> int:
        assert self._db is not None
        return self._db.execute(query, values).lastrowid or 0

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
        try:
            self._connect("rwc")
            try:
                self._prepare()
            except sqlite3.OperationalError as error:
                if _code(error) not in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN):
                    raise
                self.close()
                self._open_to_read()
        except BaseException:
            self.close()
            raise

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
