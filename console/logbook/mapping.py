"""Which column of a spreadsheet or a temperature logger is what: said once, and kept."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping as MappingType
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any

from console.logbook.catalogue import Catalogue
from console.logbook.entry import LogError
from console.logbook.times import Moment, zone_named
from console.quantities import shown

_ANY = Moment(datetime(2000, 1, 1, tzinfo=UTC))


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a wide file, and the reading (or event) it holds; its unit when it has one."""

    heading: str
    reading: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Mapping:
    """Which column of a spreadsheet or logger is what, as the owner said once."""

    name: str
    at: str
    columns: tuple[Column, ...]
    time: str = ""
    note: str = ""
    dates: str = ""
    decimal: str = ""
    zone: str = ""

    def headings(self) -> tuple[str, ...]:
        """Every column that must be there."""
        named = (self.at, self.time, self.note, *(column.heading for column in self.columns))
        return tuple(each for each in named if each)

    def to_json(self) -> str:
        """The mapping as it is kept in the logbook."""
        return json.dumps(asdict(self), ensure_ascii=False)

    @classmethod
    def from_json(cls, text: str) -> Mapping:
        """A mapping as it was kept. Raises `LogError` when it is none."""
        try:
            found: dict[str, Any] = json.loads(text)
            columns = tuple(Column(**column) for column in found.pop("columns"))
            return cls(columns=columns, **found)
        except (ValueError, TypeError, KeyError, AttributeError):
            raise LogError("a mapping kept in the logbook cannot be read; map the columns again") from None


@dataclass(frozen=True, slots=True)
class HowToRead:
    """What the owner says of a file besides its columns; empty is as the file itself shows."""

    dates: str = ""
    decimal: str = ""
    zone: str = ""


def mapping_of(
    name: str, at: str, columns: Sequence[str], catalogue: Catalogue, time: str = "", note: str = "",
    how: HowToRead | None = None,
) -> Mapping:  # fmt: skip
    """A mapping as the owner says it: each column ``"HEADING=READING UNIT"``.

    Raises `LogError` when a reading is unknown, or a unit is missing or does not suit it.
    """
    how = how or HowToRead()
    if not re.fullmatch(r"[\w.-]{1,40}", name):
        raise LogError(
            f"{shown(name) or 'nothing'} is no name for a mapping; accepted is one word such as cabin-logger"
        )
    if not columns:
        raise LogError('a mapping needs a column: --column "COLUMN=READING UNIT"')
    made = []
    for said in columns:
        heading, equals, rest = said.rpartition("=")
        reading, _, unit = rest.strip().replace(",", " ", 1).partition(" ")
        if not equals or not heading.strip() or not reading:
            raise LogError(f'--column is "{shown(said)}"; accepted is "COLUMN=READING UNIT"')
        word, unit = catalogue.word(reading), unit.strip()
        if word.numeric:
            unit = unit or _unit_in(heading)
            try:
                catalogue.entry(word.name, "0.5", unit, _ANY)
            except LogError as error:
                raise LogError(f"column {shown(heading)}: {error}") from None
        elif unit:
            raise LogError(f"{word.name} has no unit, and given is {shown(unit)}")
        made.append(Column(heading.strip(), word.name, unit))
    if how.zone:
        zone_named(how.zone)
    mapping = Mapping(name, at.strip(), tuple(made), time.strip(), note.strip(), how.dates, how.decimal,
                      how.zone)  # fmt: skip
    headings = [each.lower() for each in mapping.headings()]
    twice = next((each for each in headings if headings.count(each) > 1), "")
    if twice:
        raise LogError(f"column {shown(twice)} is named twice")
    return mapping


def _unit_in(heading: str) -> str:
    """The unit a heading states in brackets: ``Temp (°C)``."""
    found = re.search(r"[(\[]([^)\]]{1,12})[)\]]\s*$", heading)
    return found[1].strip() if found else ""


def mappings_of(kept: MappingType[str, str]) -> list[Mapping]:
    """The mappings a logbook keeps."""
    return [Mapping.from_json(text) for text in kept.values()]
