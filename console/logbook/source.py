"""The log of a boat: its logbook, or a CSV file in its place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from console.logbook.catalogue import catalogue_of
from console.logbook.entry import Entries, Entry, LogError
from console.logbook.store import Logbook, beside
from console.logbook.times import zone_of

if TYPE_CHECKING:
    from console.boatfile import Boat


def read_csv(path: Path | str, boat: Boat) -> Entries:
    """The entries of a CSV file in the long form, without a logbook. Raises `LogError`.

    A line that stands there twice counts once; ``warnings`` tell of it.
    """
    from console.logbook.importing import read_file
    from console.logbook.tabular import read_text

    path = Path(path)
    text, guessed = read_text(path)
    try:
        found = read_file(text, catalogue_of(boat.registry), zone_of(boat))
    except LogError as error:
        from console.quantities import shown

        raise LogError(f"{shown(path.name, 80)}, {error}" if str(error).startswith("line ")
                       else f"{shown(path.name, 80)}: {error}") from None  # fmt: skip
    once: dict[tuple[object, ...], Entry] = {}
    warnings = [*([guessed] if guessed else []), *found.warnings]
    for line, entry in found.entries:
        if entry.key in once:
            warnings.append(f"line {line} says what an earlier line says; it counts once")
        once.setdefault(entry.key, entry)
    return Entries(tuple(once.values()), tuple(warnings))


def log_of(boat: Boat, csv: Path | str | None = None) -> Entries:
    """The log of a boat: of the CSV file when one is named, else of the logbook beside it.

    A boat without a file, or without a logbook, has an empty log. Raises `LogError`.
    """
    if csv is not None:
        return read_csv(csv, boat)
    path = beside(boat.path) if boat.path else None
    if path is None or not path.exists():
        return Entries()
    with Logbook(path) as book:
        return Entries(book.entries())
