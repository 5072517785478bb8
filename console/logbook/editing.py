"""Correcting an entry: what the owner says is right, in place of what stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import tzinfo

from console.logbook.catalogue import LONGEST_NOTE, Catalogue, clean
from console.logbook.entry import Entry
from console.logbook.times import Moment, moment_of


def corrected(
    now: Entry, catalogue: Catalogue, zone: tzinfo, *, value: str | None = None, at: str | None = None,
    note: str | None = None,
) -> Entry:  # fmt: skip
    """The entry with another value, time or note; None leaves what stands. Raises `LogError`."""
    when = Moment(now.at, now.day) if at is None else moment_of(at, zone)
    said = now.note if note is None else clean(note, LONGEST_NOTE)
    if value is None:  # the plugin that declares it need not be loaded
        return replace(now, at=when.at, day=when.day, note=said)
    return replace(catalogue.entry(now.reading, value.strip().strip('"'), "", when, said), id=now.id)
