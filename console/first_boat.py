"""A boat file of the owner's own, begun with a few facts that need no tool.

Which facts is for the sections to say (`console.contract.FirstFact`); this writes the file.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import groupby
from typing import TYPE_CHECKING

from console.boatfile import Boat, loads
from console.contract import FirstFact, Section
from console.wording import safe

if TYPE_CHECKING:
    from console.boatfile import Input
    from console.registry import Registry

HEAD = """\
# A boat file: what is known of her. Whatever is not here is assumed, with an honest spread; the
# console says which assumption is worth replacing by a fact of your own.
#
# Every number is text: a value, its unit and, if you like, how sure you are: "36 ft ± 1 ft".
# A line that begins with # says nothing yet: take the # away once you know.

format = 1
"""
NOTE_COLUMN = 31


class Without(Enum):
    """What stands for an answer where none was given."""

    UNKNOWN = "not known"
    ABSENT = "not aboard"


Said = str | Without


@dataclass(frozen=True, slots=True)
class Ask:
    """One of the first facts: its input, and what the boat itself knows of that input.

    ``absentable`` says that a boat may do without the thing: then it is not aboard.
    """

    path: str
    section: Section
    fact: FirstFact
    item: Input
    absentable: bool

    @property
    def table(self) -> str:
        """The table of the boat file it stands in."""
        return self.path.rpartition(".")[0]

    @property
    def field(self) -> str:
        """Its name in that table."""
        return self.path.rpartition(".")[2]


def first_asks(registry: Registry) -> tuple[Ask, ...]:
    """The first facts of all sections in their order; a section that does not work has none."""
    every = [
        (section, fact, f"{section.key}.{fact.path}")
        for _, section in registry.sections
        for fact in section.first_facts
    ]
    tables = {path.rpartition(".")[0] for _, _, path in every}
    boat = loads("".join(f"[{table}]\n" for table in sorted(tables)), registry)
    bare = loads("", registry)
    made = []
    for section, fact, path in every:
        item = boat.inputs.get(path)
        if item is not None:
            table = path.rpartition(".")[0]
            gone = any(table == each or table.startswith(f"{each}.") for each in bare.absent)
            made.append(Ask(path, section, fact, item, gone))
    return tuple(made)


def begun(registry: Registry, asks: tuple[Ask, ...], said: Mapping[str, Said]) -> Boat:
    """The boat of some answers, by path; what was not asked yet is not known.

    Raises `BoatFileError` with one sentence when an answer is refused.
    """
    return loads(boat_text(asks, said), registry)


def boat_text(asks: tuple[Ask, ...], said: Mapping[str, Said]) -> str:
    """The file as it is written: each fact with a note of where it is from, unknown ones as a comment."""
    parts = [HEAD]
    for table, members in groupby(asks, key=lambda ask: ask.table):
        rows, absent = [], False
        for ask in members:
            answer = said.get(ask.path, Without.UNKNOWN)
            absent = absent or answer is Without.ABSENT
            rows.append(_row(ask, answer))
        if absent:
            parts.append(f"# [{table}]  is left out: there is none aboard.\n")
        else:
            parts.append("\n".join([f"[{table}]", *rows]) + "\n")
    return "\n".join(parts)


def _row(ask: Ask, answer: Said) -> str:
    mark = ""
    if isinstance(answer, Without):
        mark, answer = "# ", ask.fact.example
    text = f"{mark}{ask.field} = {json.dumps(safe(answer).strip(), ensure_ascii=False)}"
    return f"{text:<{NOTE_COLUMN}}# {ask.fact.note}" if ask.fact.note else text


__all__ = ["Ask", "Said", "Without", "begun", "boat_text", "first_asks"]
