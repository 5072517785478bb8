"""The log on the desk: what the log screen shows and does, without a screen.

Each call opens the file, does its work and closes it, so that another console, or a command, may
write in between. All of it may wait for the disk: call it from a thread.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from console.contract import Series, Timeline
from console.logbook.catalogue import Catalogue, Word, catalogue_of, parts_of
from console.logbook.entry import Entry
from console.logbook.importing import Imported, import_file, to_csv
from console.logbook.mapping import HowToRead, Mapping
from console.logbook.sheet import sheet_html, sheet_of, sheet_text, systems
from console.logbook.store import Logbook, Taken, beside
from console.logbook.telling import title_of, value_text
from console.logbook.times import Moment, moment_of, zone_of
from console.logbook.writing import write_file
from console.quantities import QuantityError, parse_measure, pretty_unit, shown_unit

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.quantities import System

PATIENCE = 2.0
OFTEN = 5
MOST_POINTS = 400
EVENTS_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Group:
    """Some readings under a heading."""

    title: str
    words: tuple[Word, ...]


class LogDesk:
    """A boat's logbook, as a screen works with it."""

    def __init__(self, boat: Boat, home: Path) -> None:
        self.boat = boat
        self.path = beside(home)
        self.catalogue: Catalogue = catalogue_of(boat.registry)
        self.zone = zone_of(boat)

    # --- reading ----------------------------------------------------------------------------

    def read(self) -> tuple[Entry, ...]:
        """All entries by time, the void ones, too. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE) as book:
            return book.entries(void=True)

    def history(self, number: int) -> tuple[Entry, ...]:
        """Every revision of one entry. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE, check=False) as book:
            return book.history(number)

    def signature(self) -> tuple[object, ...]:
        """Another one whenever the file may hold something else."""
        made: list[object] = []
        for path in (self.path, self.path.with_name(self.path.name + "-wal")):
            try:
                stat = path.stat()
                made.append((stat.st_mtime_ns, stat.st_size))
            except OSError:
                made.append(None)
        return tuple(made)

    def groups(self, entries: Sequence[Entry]) -> list[Group]:
        """The readings by system, those logged most lately first; what happened comes last."""
        words = self.catalogue.words
        late = sorted(
            (e for e in entries if not e.void), key=lambda e: (str(e.entered), e.id), reverse=True
        )
        often = [words[name] for name in dict.fromkeys(e.reading for e in late) if name in words][:OFTEN]
        made = [Group("Logged lately", tuple(often))] if often else []
        taken: set[str] = set()
        for key, title in systems(self.boat).items():
            if key in self.boat.absent:
                continue
            own = [w for w in words.values() if key in w.owners and not w.event and w.name not in taken]
            taken |= {word.name for word in own}
            # What is measured first: it is what the sums live on.
            own.sort(key=lambda word: not word.numeric)
            made.append(Group(title, tuple(own)))
        happened = tuple(word for word in words.values() if word.event)
        return [group for group in (*made, Group("What happened", happened)) if group.words]

    # --- writing ----------------------------------------------------------------------------

    def unit(self, word: Word, system: System) -> str:
        """The unit a bare number is taken in."""
        if not word.numeric:
            return ""
        pretty = pretty_unit(word.style, system)
        try:
            parse_measure(f"0.5 {pretty}", word.style)
        except QuantityError:
            return shown_unit(word.style, system)
        return pretty

    def understand(self, word: Word, value: str, when: str, note: str, system: System) -> Entry:
        """What was typed, as an entry; a bare number has the owner's unit. Raises `LogError`."""
        moment: Moment = moment_of(when, self.zone)
        unit = ""
        if word.numeric and value.strip():
            unit = "" if parts_of(value.strip())[1] else self.unit(word, system)
        return self.catalogue.entry(word.name, value, unit, moment, note)

    def write(self, entry: Entry) -> Taken:
        """Write one entry down. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE, check=False) as book:
            return book.add([entry])

    def correct(self, number: int, entry: Entry, why: str = "") -> Entry:
        """Put an entry right; the old one is kept. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE, check=False) as book:
            return book.correct(number, lambda _now: entry, why)

    def void(self, number: int, undo: bool) -> Entry:
        """Let an entry count for nothing, or again. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE, check=False) as book:
            return book.void(number, "", undo)

    # --- files ------------------------------------------------------------------------------

    def import_file(self, path: Path, how: HowToRead | None = None, wanted: str = "") -> Imported:
        """Read a CSV file in. Raises `LogError`, `Doubt` or `Unmapped`."""
        with Logbook(self.path, patience=PATIENCE) as book:
            return import_file(book, path, self.boat, how, wanted)

    def keep_mapping(self, mapping: Mapping) -> None:
        """Keep which column is what. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE) as book:
            book.keep_mapping(mapping.name, mapping.to_json())

    def export(self, path: Path, replace: bool) -> int:
        """Write what counts as CSV; how many entries. Raises `LogError`."""
        with Logbook(self.path, patience=PATIENCE) as book:
            entries = book.entries()
        write_file(to_csv(entries), path, replace)
        return len(entries)

    def sheet(self, path: Path, system: System, replace: bool) -> int:
        """Write the paper sheets, as HTML or text by the file's ending; how many pages."""
        sheets = [
            sheet_of(self.boat, key, system) for key in systems(self.boat) if key not in self.boat.absent
        ]
        as_html = path.suffix.lower() in (".html", ".htm")
        write_file(sheet_html(sheets) if as_html else "\n".join(map(sheet_text, sheets)), path, replace)
        return len(sheets)

    # --- the picture ------------------------------------------------------------------------

    def timeline(self, word: Word | None, entries: Sequence[Entry]) -> Timeline | None:
        """A reading over its days with the events among them; None when there is nothing to draw."""
        counting = [entry for entry in entries if not entry.void]
        own = [entry for entry in counting if word is not None and entry.reading == word.name]
        numbers = [(e.at.timestamp(), e.value, e.error) for e in own if isinstance(e.value, float)]
        told = [entry for entry in counting if entry.event]
        if word is not None and not word.numeric and not word.event:
            told = [*told, *own]
        elif word is not None and word.event:
            told = own
        told.sort(key=lambda entry: entry.at)
        if not numbers and not told:
            return None
        numbers = _thinned(numbers)
        happened = tuple((e.at.timestamp(), self._happened(e)) for e in told[-EVENTS_SHOWN:])
        style = word.style if word is not None and word.numeric else "number"
        series: tuple[Series, ...] = ()
        if numbers and word is not None:
            errors = any(error for _, _, error in numbers)
            edges = [
                [v + sign * (error or 0.0) for _, v, error in numbers] if errors else [] for sign in (-1, 1)
            ]
            series = (
                Series(word.title, tuple(v for _, v, _ in numbers), tuple(edges[0]), tuple(edges[1])),
            )
        title = word.title if word is not None else "What happened"
        at = tuple(at for at, _, _ in numbers)
        return Timeline(title, style, at, series, happened, getattr(self.zone, "key", "UTC"))

    def _happened(self, entry: Entry) -> str:
        value = value_text(entry)
        return f"{title_of(entry, self.catalogue)}{': ' if value else ''}{value}"[:40]


Point = tuple[float, float, float | None]


def _thinned(points: Sequence[Point]) -> list[Point]:
    """At most some points to draw: of each stretch of a long log its least and its largest."""
    if len(points) <= MOST_POINTS:
        return list(points)
    stretch = -(-len(points) * 2 // MOST_POINTS)
    kept: list[Point] = []
    for start in range(0, len(points), stretch):
        part = points[start : start + stretch]
        least, most = min(part, key=lambda p: p[1]), max(part, key=lambda p: p[1])
        kept += sorted({least, most}, key=lambda p: p[0])
    return kept
