"""Entries in words and as JSON: for the command line and the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from console.guard import one_line
from console.logbook.catalogue import Catalogue
from console.logbook.entry import Entry

AHEAD = timedelta(days=1)


def title_of(entry: Entry, catalogue: Catalogue) -> str:
    """What was read or what happened, in plain words."""
    word = catalogue.words.get(entry.reading)
    return one_line(word.title if word else entry.reading.replace("_", " "), 60)


def when_text(entry: Entry) -> str:
    """When, on the clock it was taken by: to the minute, or the day alone."""
    if entry.day:
        return entry.at.date().isoformat()
    return entry.at.strftime("%Y-%m-%d %H:%M")


def value_text(entry: Entry) -> str:
    """The value as it was written; a choice in plain words."""
    text = entry.said if entry.si_unit else str(entry.value).replace("_", " ")
    return one_line(text, 120)


def entry_text(entry: Entry, catalogue: Catalogue) -> str:
    """One entry on one line."""
    value, note = value_text(entry), one_line(entry.note, 200)
    said = f"{when_text(entry)}  {title_of(entry, catalogue)}{': ' if value else ''}{value}"
    return f"{said}  ({note})" if note else said


def still_to_come(entries: Sequence[Entry]) -> list[str]:
    """Warnings about entries that lie in the future."""
    edge = datetime.now(UTC) + AHEAD
    return [
        f"{when_text(entry)} is still to come; is the year right?" for entry in entries if entry.at > edge
    ]


def entry_json(entry: Entry) -> dict[str, Any]:
    """One entry for a script: the value in SI (or words) and as it was written."""
    return {
        "id": entry.id, "kind": "event" if entry.event else "reading", "at": entry.at_text,
        "reading": entry.reading, "value": entry.value, "si_unit": entry.si_unit, "error": entry.error,
        "written": entry.written, "unit": entry.unit, "note": entry.note, "revision": entry.revision,
        "entered": entry.entered.isoformat() if entry.entered else None, "void": entry.void,
        "why": entry.why,
    }  # fmt: skip
