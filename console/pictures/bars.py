"""Bars in cells: each as long as its value, with its range as a whisker over it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from console.contract import Bar, Bars
from console.pictures.cells import Grid
from console.pictures.scales import extent
from console.pictures.words import Words, cells, share_text
from console.quantities import STYLES


@dataclass(frozen=True, slots=True)
class _Ruler:
    """Where a value lies along ``columns`` cells. Lengths are counted in eighths of a cell.

    ``affine`` values (temperatures) have no zero to begin a bar at, only a place.
    """

    low: float
    high: float
    columns: int
    affine: bool

    @property
    def zero(self) -> int:
        """The column zero lies left of: bars begin on a cell's edge."""
        return min(max(round(-self.low / (self.high - self.low) * self.columns), 0), self.columns)

    def eighths(self, value: float) -> int:
        """Signed length of a value's bar; too little to see is still not nothing."""
        length = round(value / (self.high - self.low) * self.columns * 8)
        return length or (value > 0) - (value < 0)

    def column(self, value: float) -> int:
        """The column in which a value's bar ends, or the point lies."""
        if self.affine:
            at = int((value - self.low) / (self.high - self.low) * self.columns)
        else:
            length = self.eighths(value)
            at = self.zero + (length - (length > 0)) // 8
        return min(max(at, 0), self.columns - 1)


def is_share(style: str) -> bool:
    return style in ("share", "percent")


def said_of(bar: Bar, style: str, words: Words, with_range: bool = True) -> str:
    """Value with unit, and range when it is known."""

    def number(value: float) -> str:
        return words.plain(share_text(value)) if is_share(style) else words.say(value, style)

    said = number(bar.value)
    if with_range and bar.low is not None and bar.high is not None:
        low, high = (
            (number(edge).removesuffix(" %") if is_share(style) else words.number(edge, style))
            for edge in (bar.low, bar.high)
        )
        said += f" ({low} to {high})"
    return said


def summarise(picture: Bars, words: Words) -> str:
    """The picture in one sentence."""
    said = "; ".join(
        f"{words.plain(bar.label)} {said_of(bar, picture.style, words)}" for bar in picture.bars
    )
    return f"{words.plain(picture.title)}: {said or 'nothing to show'}"


def title_tail(picture: Bars, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return 0


def paint(picture: Bars, grid: Grid, words: Words) -> None:
    """Paint bars; the grid is at least 32 cells by 2 rows."""
    grid.put(0, 0, words.fit(picture.title, grid.width), "strong")
    room = grid.height - 1
    bars = picture.bars
    left_out = len(bars) - room + 1 if len(bars) > room else 0
    bars = bars[: len(bars) - left_out]
    label_width = min(max((cells(words.plain(bar.label)) for bar in bars), default=0), grid.width // 3)
    said_width = grid.width
    for with_range in (True, False):  # a cut range would mislead; none does not
        if said_width > grid.width - label_width - 14:
            said = [said_of(bar, picture.style, words, with_range) for bar in bars]
            said_width = max(map(cells, said), default=0)
    said_width = min(said_width, grid.width - label_width - 10)
    notes = [words.plain(bar.note) for bar in bars]
    note_width = max(map(cells, notes), default=0)
    free = grid.width - label_width - said_width - 3
    # Beside the values where the bars stay long, else in the row below while there are rows.
    beside = note_width + 1 if 0 < note_width <= free - max(24, free // 2) else 0
    apart = 2 if len(bars) * 2 <= room else 1
    below = bool(note_width) and not beside and apart == 2
    left = label_width + 1
    columns = grid.width - left - 1 - said_width - (beside + 1 if beside else 0)
    # Every bar counts for the scale, those left out too, so that a taller picture is no other picture.
    found = measured(picture, words)
    ruler = _Ruler(found.low, found.high, max(1, columns), is_affine(picture.style))
    row = 1
    for number, (bar, text, note) in enumerate(zip(bars, said, notes, strict=True)):
        value, low, high = found.values[number], found.lows[number], found.highs[number]
        grid.put(row, 0, words.fit(bar.label, label_width))
        if is_affine(picture.style):
            _draw_point(grid, row, left, ruler, value)
        else:
            _draw_bar(grid, row, left, ruler, value, track=is_share(picture.style))
        _draw_whisker(grid, row, left, ruler, value, low, high)
        at = grid.put(row, left + columns + 1, words.fit(text, said_width), "strong")
        if beside:
            at = left + columns + 1 + said_width + 2
            grid.put(row, at, words.fit(note, grid.width - at), "muted")
        elif below:
            grid.put(row + 1, left, words.fit(note, grid.width - left), "muted")
        row += apart
    if left_out:
        more = f"{grid.glyphs.more} and {left_out} more"
        grid.put(row, 0, words.fit(more, grid.width), "muted")


def is_affine(style: str) -> bool:
    """Whether zero of the scale is no nothing, so that a length from it would mislead."""
    return style in STYLES and STYLES[style].unit == "K"


@dataclass(frozen=True, slots=True)
class Measured:
    """Every bar in the unit shown (NaN where it is not known), and the range its picture covers."""

    values: list[float]
    lows: list[float]
    highs: list[float]
    low: float
    high: float


def measured(picture: Bars, words: Words) -> Measured:
    """The numbers of the bars. Shares are of the whole; temperatures have no zero to begin at."""

    def shown(values: list[float | None]) -> list[float]:
        raw = [math.nan if value is None else value for value in values]
        out: list[float] = words.shown(raw, picture.style).tolist()
        return out

    values = shown([bar.value for bar in picture.bars])
    lows, highs = shown([bar.low for bar in picture.bars]), shown([bar.high for bar in picture.bars])
    low, high = extent(np.array([*values, *lows, *highs]))
    if is_affine(picture.style):
        room = 0.05 * (high - low) or 1.0
        low, high = low - room, high + room
    else:
        low, high = min(low, 0.0), max(high, 0.0)
        if is_share(picture.style):  # of the whole, not of the largest
            high = max(high, float(words.shown([1.0], picture.style)[0]))
        if not high - low > 1e-25:
            high = low + 1.0
    return Measured(values, lows, highs, low, high)


def _draw_bar(grid: Grid, row: int, left: int, ruler: _Ruler, value: float, track: bool) -> None:
    if track:
        for column in range(ruler.columns):
            grid.cell(row, left + column, grid.glyphs.track, "muted")
    if math.isnan(value):
        return
    length = ruler.eighths(value)
    whole, part = divmod(abs(length), 8)
    zero = left + ruler.zero
    step = 1 if length >= 0 else -1
    first = zero if length >= 0 else zero - 1
    ascii_only = grid.glyphs.growing.isascii()
    for number in range(whole):
        grid.cell(
            row, first + step * number, grid.glyphs.growing[8], "fill0", "" if ascii_only else "fill0"
        )
    if part:
        at = first + step * whole
        if length > 0 or ascii_only:
            grid.cell(row, at, grid.glyphs.growing[part], "fill0")
        else:  # a block grows from the left: the bare part is drawn, on the bar's colour
            grid.cell(row, at, grid.glyphs.growing[8 - part], "background", "fill0")
    if not length and ruler.low < 0:
        grid.cell(row, zero, grid.glyphs.axis, "muted")


def _draw_point(grid: Grid, row: int, left: int, ruler: _Ruler, value: float) -> None:
    if not math.isnan(value):
        grid.cell(row, left + ruler.column(value), grid.glyphs.point, "fill0")


def _draw_whisker(
    grid: Grid, row: int, left: int, ruler: _Ruler, value: float, low: float, high: float
) -> None:
    """From low to high, leaving the bar's own end in sight; over the bar in the ground's colour."""
    if math.isnan(low) or math.isnan(high):
        return
    first, last = sorted((ruler.column(low), ruler.column(high)))
    begin, line, end = grid.glyphs.whisker
    own = None if math.isnan(value) else ruler.column(value)
    for column in range(first, last + 1):
        if column == own:
            continue
        char = begin if column == first else end if column == last else line
        at = left + column
        back = grid.back[row][at] if 0 <= at < grid.width else ""
        grid.cell(row, at, char, "background" if back else "line", back)
