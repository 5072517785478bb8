"""Entries from CSV: the long form, and a spreadsheet or logger whose columns were named once.

A file is read whole or not at all: one line that cannot be understood is named, and nothing is
taken. Empty cells are gaps, counted and told.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

from console.logbook.catalogue import Catalogue, NoValue, catalogue_of, clean
from console.logbook.entry import Doubt, Entry, LogError, Unmapped
from console.logbook.mapping import HowToRead, Mapping, mappings_of
from console.logbook.tabular import (
    Grid,
    Row,
    decimal_of,
    grid_of,
    likely_columns,
    read_text,
    unmarked,
    with_point,
    write_rows,
)
from console.logbook.times import (
    NOON,
    ORDERS,
    Moment,
    Stamp,
    on_clock,
    read_clock,
    read_stamp,
    settle,
    zone_named,
    zone_of,
)
from console.quantities import shown

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.logbook.store import Logbook

LONG = ("at", "reading", "value")
COLUMNS = ("at", "reading", "value", "unit", "note")
GAPS = {"", "-", "--", "–", "—", "nan", "n/a", "na", "null", "#n/a"}


@dataclass(frozen=True, slots=True)
class Found:
    """What a file holds: entries with their lines, and what an owner should know of it."""

    entries: tuple[tuple[int, Entry], ...]
    gaps: int = 0
    warnings: tuple[str, ...] = ()
    form: str = "long"
    mapping: str = ""


def read_file(
    text: str, catalogue: Catalogue, zone: tzinfo, mappings: Sequence[Mapping] = (),
    how: HowToRead | None = None, wanted: str = "",
) -> Found:  # fmt: skip
    """The entries of a file's text: long form, else by the mapping that fits its columns.

    ``wanted`` names the mapping to use. Raises `LogError` with one sentence.
    """
    how = how or HowToRead()
    if not text.strip():
        raise LogError("the file is empty")
    if wanted:
        named = next((each for each in mappings if each.name == wanted), None)
        if named is None:
            known = ", ".join(sorted(each.name for each in mappings)) or "none yet"
            raise LogError(f"there is no mapping {shown(wanted)}; kept are {known}")
        mappings = [named]
    else:
        grid = grid_of(text, LONG)
        if grid is not None:
            return _long(grid, catalogue, zone, how)
    fitting = [(each, grid_of(text, each.headings())) for each in mappings]
    found = [(each, grid) for each, grid in fitting if grid is not None]
    most = max((len(each.headings()) for each, _ in found), default=0)
    found = [pair for pair in found if len(pair[0].headings()) == most]
    if len(found) > 1:
        names = tuple((each.name, f"columns {', '.join(each.headings())}") for each, _ in found)
        said = ", ".join(name for name, _ in names)
        raise Doubt(f"its columns fit more than one mapping ({said})", "map", names)
    if not found:
        raise _no_mapping(text, mappings if wanted else ())
    mapping, grid = found[0]
    assert grid is not None
    return _wide(grid, mapping, catalogue, zone, how)


def _no_mapping(text: str, wanted: Sequence[Mapping]) -> LogError:
    columns = likely_columns(text)
    said = ", ".join(shown(name, 30) for name, _ in columns[:12]) or "none that can be told"
    if wanted:
        return LogError(f"mapping {wanted[0].name} does not fit its columns, which are {said}")
    sentence = (
        f"its columns are {said}, which is not at,reading,value,unit,note nor a mapping kept here; "
        "say once which is what: boat-console log map SCENARIO NAME --at COLUMN "
        '--column "COLUMN=READING UNIT"'
    )
    return Unmapped(sentence, columns) if columns else LogError(sentence)


class _Troubles:
    """The lines that cannot be taken: the first is told, the others counted."""

    def __init__(self) -> None:
        self.first = ""
        self.lines: set[int] = set()

    def add(self, line: int, error: LogError) -> None:
        self.first = self.first or f"line {line}: {error}"
        self.lines.add(line)

    def raise_any(self) -> None:
        if self.first:
            more = len(self.lines) - 1
            others = f" (and {more} more {'line' if more == 1 else 'lines'})" if more else ""
            raise LogError(f"{self.first}{others}")


def _moments(
    stamps: list[tuple[int, Stamp]], zone: tzinfo, how: HowToRead, mapping: Mapping | None = None
) -> dict[int, Moment]:
    order = how.dates or (mapping.dates if mapping else "")
    clock = how.zone or (mapping.zone if mapping else "")
    placed = [(f"line {line}", stamp) for line, stamp in stamps]
    moments = on_clock(
        placed, settle(placed, ORDERS.get(order, order)), zone_named(clock) if clock else zone
    )
    return {line: moment for (line, _), moment in zip(stamps, moments, strict=True)}


# --- the long form -------------------------------------------------------------------------------


def _long(grid: Grid, catalogue: Catalogue, zone: tzinfo, how: HowToRead) -> Found:
    places = {name: grid.column(name) for name in LONG}
    keys = [each.strip().lower() for each in grid.heading]
    places |= {name: grid.column(name) for name in ("unit", "note") if name in keys}
    spare = [each for each in grid.heading if each.strip().lower() not in COLUMNS and each.strip()]
    warnings = [f"column {shown(each)} was not read" for each in spare]
    troubles, stamps, kept, gaps = _Troubles(), [], [], 0

    def cell(row: Row, name: str) -> str:
        at = places.get(name)
        return "" if at is None or at >= len(row.cells) else unmarked(row.cells[at].strip())

    for row in grid.rows:
        extra = [each for each in row.cells[len(grid.heading) :] if each.strip()]
        if extra:
            troubles.add(row.line, LogError(f"{shown(extra[0].strip())} stands behind the last column; is a comma "
                                            "not in quotes?"))  # fmt: skip
            continue
        try:
            word = catalogue.word(cell(row, "reading"))
            stamps.append((row.line, read_stamp(cell(row, "at"))))
            kept.append((row, word))
        except LogError as error:
            troubles.add(row.line, error)
    troubles.raise_any()
    numbers = [(row.line, cell(row, "value")) for row, word in kept if word.numeric]
    decimal = decimal_of(numbers, grid.separator, how.decimal)
    moments = _moments(stamps, zone, how)
    entries = []
    for row, word in kept:
        value = cell(row, "value")
        try:
            if not word.event and value.lower() in GAPS:
                raise NoValue(word.name)
            entries.append((row.line, catalogue.entry(
                word.name, with_point(value, decimal) if word.numeric else value, cell(row, "unit"),
                moments[row.line], cell(row, "note"))))  # fmt: skip
            warnings += _control_warning(row)
        except NoValue:
            gaps += 1
        except LogError as error:
            troubles.add(row.line, error)
    troubles.raise_any()
    return Found(tuple(entries), gaps, tuple(warnings))


def _control_warning(row: Row) -> list[str]:
    odd = any(not c.isprintable() and not c.isspace() for cell in row.cells for c in cell)
    return [f"line {row.line}: control characters were left out"] if odd else []


# --- the wide form -------------------------------------------------------------------------------


def _wide(grid: Grid, mapping: Mapping, catalogue: Catalogue, zone: tzinfo, how: HowToRead) -> Found:
    at = grid.column(mapping.at)
    time_at = grid.column(mapping.time) if mapping.time else None
    note_at = grid.column(mapping.note) if mapping.note else None
    columns = [
        (grid.column(column.heading), catalogue.word(column.reading), column.unit)
        for column in mapping.columns
    ]
    troubles, stamps, rows = _Troubles(), [], []

    def cell(row: Row, place: int | None) -> str:
        return "" if place is None or place >= len(row.cells) else unmarked(row.cells[place].strip())

    for row in grid.rows:
        try:
            stamps.append((row.line, _wide_stamp(cell(row, at), cell(row, time_at), mapping)))
            rows.append(row)
        except LogError as error:
            troubles.add(row.line, error)
    troubles.raise_any()
    numbers = [(row.line, cell(row, place)) for row in rows for place, word, _ in columns if word.numeric]
    decimal = decimal_of(numbers, grid.separator, how.decimal or mapping.decimal)
    moments = _moments(stamps, zone, how, mapping)
    entries, gaps = [], 0
    for row in rows:
        for place, word, unit in columns:
            value = cell(row, place)
            if value.lower() in GAPS:
                gaps += 1
                continue
            try:
                if word.numeric:
                    value = _without_unit(with_point(value, decimal), unit)
                entries.append((row.line, catalogue.entry(
                    word.name, value, unit, moments[row.line], cell(row, note_at))))  # fmt: skip
            except LogError as error:
                heading = shown(grid.heading[place])
                troubles.add(row.line, LogError(f"column {heading}: {error}"))
    troubles.raise_any()
    return Found(tuple(entries), gaps, (), "mapped", mapping.name)


def _without_unit(value: str, unit: str) -> str:
    """A number that repeats its column's unit, without it."""
    tail = re.sub(r"^[-+−\d.,\s]+", "", value)
    return value.removesuffix(tail).strip() if tail and tail.lower() == unit.lower() else value


def _wide_stamp(day: str, clock: str, mapping: Mapping) -> Stamp:
    stamp = read_stamp(day)
    if not mapping.time or not clock:
        return stamp
    if stamp.clock not in (None, NOON.replace(hour=0)):
        raise LogError(f"column {shown(mapping.at)} has a time and so has {shown(mapping.time)}")
    when, offset = read_clock(clock)
    return replace(stamp, text=f"{stamp.text} {clean(clock)}", clock=when, offset=offset)


# --- into the logbook ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Imported:
    """What became of a file: entries written, lines that were there already, empty cells."""

    added: tuple[Entry, ...]
    known_lines: tuple[int, ...]
    stand_otherwise: int
    gaps: int
    warnings: tuple[str, ...]
    form: str
    mapping: str

    def said(self) -> str:
        """All of it in one or two sentences."""
        count = len(self.added)
        parts = [f"{count or 'No'} {'entry' if count == 1 else 'entries'} written"]
        if self.known_lines:
            once = list(dict.fromkeys(self.known_lines))
            few = ", ".join(str(line) for line in once[:8])
            more = ", …" if len(once) > 8 else ""
            lines = "line" if len(once) == 1 else "lines"
            parts.append(f"{len(self.known_lines)} there already and not doubled ({lines} {few}{more})")
        if self.stand_otherwise:
            parts.append(f"{self.stand_otherwise} of those corrected or void by now, and left so")
        if self.gaps:
            parts.append(f"{self.gaps} {'value' if self.gaps == 1 else 'values'} empty")
        return "; ".join(parts) + "."


def import_file(
    book: Logbook, path: Path, boat: Boat, how: HowToRead | None = None, wanted: str = ""
) -> Imported:
    """Read a CSV file into the logbook, all of it or nothing. Raises `LogError`."""
    text, guessed = read_text(path)
    found = read_file(
        text, catalogue_of(boat.registry), zone_of(boat), mappings_of(book.mappings()), how, wanted
    )
    taken = book.add(entry for _, entry in found.entries)
    written = {entry.key for entry in taken.added}
    known_lines = []
    for line, entry in found.entries:
        if entry.key in written:
            written.discard(entry.key)  # its first line; a second one says it again
        else:
            known_lines.append(line)
    standing = {entry.key for entry in (*taken.added, *taken.known) if not entry.void}
    stand_otherwise = sum(1 for _, entry in found.entries if entry.key not in standing)
    warnings = ((guessed,) if guessed else ()) + found.warnings
    return Imported(
        taken.added, tuple(known_lines), stand_otherwise, found.gaps, warnings, found.form, found.mapping
    )


# --- out -----------------------------------------------------------------------------------------


def to_csv(entries: Sequence[Entry]) -> str:
    """Entries in the long form, by time: read again, they are the same entries."""
    return write_rows([COLUMNS, *(
        (entry.at_text, entry.reading, entry.written, entry.unit, entry.note) for entry in entries
    )])  # fmt: skip
