"""The logbook beside a boat file: readings and events, entered when there is time for it.

``open(path)`` gives a `Logbook`; ``log_of(boat)`` the log of a boat, and ``read_csv(path, boat)``
that of a file. Each is asked ``readings(names, since, until)`` and ``events(names, since, until)``,
both of immutable `Entry` records.
"""

from __future__ import annotations

from pathlib import Path

from console.logbook.entry import Entries, Entry, Log, LogError
from console.logbook.source import log_of, read_csv
from console.logbook.store import Logbook, Taken, beside


def open(path: Path | str) -> Logbook:
    """The logbook at ``path`` (empty when there is none yet). Raises `LogError`."""
    return Logbook(path)


__all__ = [
    "Entries",
    "Entry",
    "Log",
    "LogError",
    "Logbook",
    "Taken",
    "beside",
    "log_of",
    "open",
    "read_csv",
]
