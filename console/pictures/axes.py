"""The plot area with its axes, shared by the painters that draw over a scale."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from console.pictures.cells import Grid
from console.pictures.dots import Dots
from console.pictures.scales import Scale
from console.pictures.words import cells, clock, tick_text


@dataclass(frozen=True, slots=True)
class Area:
    """A plot's cells: ``columns`` by ``rows``, its left and top ones at ``left``, ``top``."""

    left: int
    top: int
    columns: int
    rows: int

    @property
    def bottom(self) -> int:
        """The last row."""
        return self.top + self.rows - 1

    @property
    def right(self) -> int:
        """The column after the last."""
        return self.left + self.columns

    def row(self, place: float) -> int:
        """The row that holds a height (0 bottom, 1 top); those outside go to the nearest."""
        return self.top + min(max(int((1 - place) * self.rows), 0), self.rows - 1)

    def column(self, place: float) -> int:
        """The column that holds a place along the width (0 left, 1 right), likewise."""
        return self.left + min(max(int(place * self.columns), 0), self.columns - 1)


def tick_labels(scale: Scale) -> tuple[str, ...]:
    """The ticks as they are written."""
    largest = max(map(abs, scale.ticks), default=0.0)
    return tuple(tick_text(tick, scale.step, largest) for tick in scale.ticks)


def ticks_for(rows: int) -> int:
    """How many ticks a plot of so many rows bears without crowding: 3 to 5."""
    return 3 if rows < 6 else 4 if rows < 10 else 5


def draw_upright_axis(grid: Grid, area: Area, scale: Scale, right: bool = False) -> None:
    """The line left (or right) of an area, with its ticks' numbers beyond it."""
    at = area.right if right else area.left - 1
    tick_mark = grid.glyphs.axis_tick_right if right else grid.glyphs.axis_tick
    for row in range(area.top, area.top + area.rows):
        grid.cell(row, at, grid.glyphs.axis, "muted")
    taken: set[int] = set()
    for tick, label in zip(scale.ticks, tick_labels(scale), strict=True):
        row = area.row(scale.place(tick))
        if row not in taken:
            taken.add(row)
            grid.cell(row, at, tick_mark, "muted")
            if right:
                grid.put(row, at + 2, label, "muted")
            else:
                grid.put_right(row, at, label, "muted")


def draw_dots(grid: Grid, area: Area, dots: Dots, colour: str) -> None:
    """Dots join those already in a cell: a crossing loses none of them."""
    for row, column, char in dots.cells():
        under = grid.chars[area.top + row][area.left + column]
        if not dots.plain and "⠀" <= under <= "⣿":
            char = chr(ord(char) | ord(under))
        grid.cell(area.top + row, area.left + column, char, colour)


def draw_labels_along(
    grid: Grid, row: int, marks: Iterable[tuple[int, str]], first: int, last: int
) -> None:
    """Labels centred under their columns between ``first`` and ``last``, leaving out what would touch."""
    free = first
    for column, label in marks:
        width = cells(label)
        begin = max(first, min(column - width // 2, last - width))
        if begin >= free and begin + width <= last:
            grid.put(row, begin, label, "muted")
            free = begin + width + 1


def hour_labels(ticks: Sequence[float], columns: int) -> tuple[str, ...]:
    """Hours as clock time, with minutes where there is room; midnight at the end is 24."""
    long = columns >= 7 * max(1, len(ticks))
    out = []
    for tick in ticks:
        text = clock(tick)
        if tick == 24 and tick == ticks[-1]:
            text = "24:00"
        out.append(text if long or not text.endswith(":00") else text[:2])
    return tuple(out)


def spread_rows(wanted: Sequence[int], first: int, last: int) -> list[int]:
    """Rows near the wanted ones, one each, in the wanted order; those without room get -1.

    For labels beside the ends of curves, which may end close together.
    """
    out = [-1] * len(wanted)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    kept = order[: max(0, last - first + 1)]
    free = first
    for place, index in enumerate(kept):
        # Leave a row to each of the labels still to come.
        row = min(max(wanted[index], free), last - (len(kept) - 1 - place))
        out[index] = row
        free = row + 1
    return out
