"""The key of a stack: which letter and colour is which layer, and what each is at the worst hour."""

from __future__ import annotations

import math
import string
from collections.abc import Sequence
from dataclasses import dataclass

from console.pictures.cells import Grid
from console.pictures.words import Words, cells, column_texts

LETTERS = string.ascii_lowercase + string.ascii_uppercase


@dataclass(frozen=True, slots=True)
class Fill:
    """How a layer is told from the others: by colour and by letter."""

    colour: str
    letter: str

    @classmethod
    def of(cls, group: Sequence[int], place: int) -> Fill:
        """The fill of a group of layers: its own for one, a common one for thin ones together."""
        if len(group) > 1:
            return cls(f"rest@{place}", TOGETHER)
        return cls(f"fill{group[0]}@{place}", LETTERS[group[0] % len(LETTERS)])


TOGETHER = "+"


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of the key: what stands for it in the picture, its name, its value at the worst hour."""

    sign: Fill | str
    label: str
    value: float | None

    @property
    def size(self) -> float:
        """How large it is, to choose which to fold."""
        return abs(self.value) if self.value is not None and math.isfinite(self.value) else 0.0


def folded(key: list[Entry], room: int) -> list[Entry]:
    """The key in so many rows: the least of the layers become one row, with their names."""
    if len(key) <= room:
        return key
    layers = [entry for entry in key if isinstance(entry.sign, Fill)]
    keep = max(0, room - (len(key) - len(layers)) - 1)
    rest = sorted(layers, key=lambda entry: entry.size, reverse=True)[keep:]
    known = [entry.value for entry in rest if entry.value is not None]
    drawn = [e.sign for e in rest if isinstance(e.sign, Fill) and e.sign.letter == TOGETHER]
    sign = drawn[0] if drawn else Fill("rest", TOGETHER)
    together = Entry(sign, " + ".join(entry.label for entry in rest), sum(known) if known else None)
    kept = [entry for entry in key if not any(entry is other for other in rest)]
    return [*kept[: max(0, room - 1)], together][:room]


def natural_width(key: list[Entry], words: Words) -> int:
    """The cells the key takes with nothing cut."""
    values = column_texts([entry.value for entry in key], words)
    return max((cells(e.label) + cells(v) + 3 for e, v in zip(key, values, strict=True)), default=0)


def draw_key(
    grid: Grid, left: int, top: int, right: int, rows: int, key: list[Entry], words: Words
) -> None:
    """Draw the key in ``rows`` rows from ``top``, columns ``left`` to before ``right``."""
    entries = folded(key, rows)
    values = column_texts([entry.value for entry in entries], words)
    for row, (entry, value) in enumerate(zip(entries, values, strict=True), top):
        begin = grid.put_right(row, right, value)
        if isinstance(entry.sign, str):
            grid.cell(row, left, entry.sign, "line")
        elif words.ascii_only:
            grid.cell(row, left, entry.sign.letter, entry.sign.colour)
        else:
            grid.cell(row, left, entry.sign.letter, "background", entry.sign.colour)
        grid.put(row, left + 2, words.fit(entry.label, begin - left - 3))
