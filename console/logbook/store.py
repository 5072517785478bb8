"""The logbook itself: a SQLite file beside the boat's, append-only, safe against a pulled plug.

Every write is one transaction, on the disk (``synchronous=FULL``) before it is acknowledged:
all of it is there, or nothing. Readers and one writer go together (write-ahead log).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from console.guard import one_line
from console.logbook.entry import Entry, LogError
from console.logbook.file import BookFile
from console.quantities import shown

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


class Logbook(BookFile):
    """An open logbook. Use as a context manager, or call `close`.

    A logbook that is not there yet has no entries; its file is made by the first write. Every
    method raises `LogError` with one sentence when the file cannot be used.
    """

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

        if self._db is None and not self.path.exists():
            self._kind(number)  # there is nothing to correct, and no file to be made for it
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


def _microseconds(at: datetime) -> int:
    return (at - _EPOCH) // timedelta(microseconds=1)


def _entry(row: tuple[object, ...], event: bool) -> Entry:
    (number, revision, at, day, name, value, words, si_unit, written, unit, error, note, void, why,
     entered) = row  # fmt: skip
    return Entry(
        at=datetime.fromisoformat(str(at)), reading=_printable(name),
        value=float(value) if isinstance(value, int | float) else _printable(words),
        written=_printable(written), unit=_printable(unit),
        error=float(error) if isinstance(error, int | float) else None,
        note=_printable(note), day=bool(day), event=event, si_unit=_printable(si_unit),
        id=int(str(number)), revision=int(str(revision)),
        entered=datetime.fromisoformat(str(entered)), void=bool(void), why=_printable(why),
    )  # fmt: skip


def _printable(text: object) -> str:
    # What is written here is clean; another hand may have been in the file.
    said = str(text)
    return said if said.isprintable() else one_line(said, len(said))
