"""What is written in a logbook: one reading or one event, and what can be asked of a log."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


class LogError(ValueError):
    """Something that cannot be logged, read or written; the message is one sentence."""


class Doubt(LogError):
    """A file that can be read in more ways than one: ``ask`` is what to say of it.

    ``choices`` are what may be said, each with what it would mean, in words.
    """

    def __init__(self, sentence: str, ask: str, choices: tuple[tuple[str, str], ...]) -> None:
        super().__init__(f"{sentence}: say which with --{ask}")
        self.sentence = sentence
        self.ask = ask
        self.choices = choices


class Unmapped(LogError):
    """A file whose columns nobody has named yet; they are ``columns``, each with a sample."""

    def __init__(self, sentence: str, columns: tuple[tuple[str, str], ...]) -> None:
        super().__init__(sentence)
        self.columns = columns


@dataclass(frozen=True, slots=True)
class Entry:
    """One reading or event, as it stands now. Immutable; correcting it makes another revision.

    ``at`` is aware, in the clock time of where it was taken. With ``day`` only a date was
    written: the entry is of that whole day, and ``at`` its noon. ``reading`` is the name of a
    reading or event that a plugin declares.

    ``value`` is in SI for a reading or event with a unit (``si_unit`` is that unit, as pint
    spells it), else the choice or the words; ``""`` for an event that has no more to say.
    ``written`` and ``unit`` are the value as the owner wrote it. ``error`` is the half-width of
    its central 90 % in SI, None when none was written.

    ``id`` is its number in the logbook (0: in none), ``revision`` counts its corrections,
    ``entered`` is when this revision was written down, ``why`` the reason of a correction. A
    ``void`` entry is kept, and counts for nothing.
    """

    at: datetime
    reading: str
    value: float | str
    written: str
    unit: str
    error: float | None = None
    note: str = ""
    day: bool = False
    event: bool = False
    si_unit: str = ""
    id: int = 0
    revision: int = 1
    entered: datetime | None = None
    void: bool = False
    why: str = ""

    @property
    def said(self) -> str:
        """The value as it was written, with its unit."""
        main, mark, spread = self.written.partition(" ± ")
        return " ".join(part for part in (main, self.unit, f"± {spread}" if mark else "") if part)

    @property
    def at_text(self) -> str:
        """When, as a file says it: a date, or a time with its offset from UTC."""
        return self.at.date().isoformat() if self.day else self.at.isoformat()

    @property
    def key(self) -> tuple[object, ...]:
        """Entries with the same key say the same thing: moment, name, value and note."""
        value = f"{self.value:.9g}" if isinstance(self.value, float) else self.value
        moment: object = self.at.date() if self.day else self.at.timestamp()
        return (self.event, self.reading, self.day, moment, value, self.note)


class Log(Protocol):
    """What a verdict asks of a log, be it a logbook or a file of readings."""

    def readings(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> Sequence[Entry]:  # fmt: skip
        """Readings that count, by time: those ``names`` (None: all), since <= at < until."""

    def events(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> Sequence[Entry]:  # fmt: skip
        """Events that count, by time."""


@dataclass(frozen=True, slots=True)
class Entries:
    """A log without a logbook: the entries of a file, say, and what to know of them."""

    entries: tuple[Entry, ...] = ()
    warnings: tuple[str, ...] = ()

    def readings(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Readings that count, by time."""
        return select(self.entries, False, names, since, until)

    def events(
        self, names: Iterable[str] | str | None = None, since: datetime | None = None,
        until: datetime | None = None,
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Events that count, by time."""
        return select(self.entries, True, names, since, until)


def select(
    entries: Iterable[Entry], event: bool, names: Iterable[str] | str | None,
    since: datetime | None, until: datetime | None,
) -> tuple[Entry, ...]:  # fmt: skip
    """The entries of a kind that count, are named and lie within, by time and number."""
    wanted = None if names is None else {names} if isinstance(names, str) else set(names)
    found = [
        entry for entry in entries
        if entry.event == event and not entry.void
        and (wanted is None or entry.reading in wanted)
        and (since is None or entry.at >= since) and (until is None or entry.at < until)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda entry: (entry.at, entry.id)))
