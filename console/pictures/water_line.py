"""The raw-water line in cells, as it lies on the boat, with what each part takes under it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from console.contract import LinePart, WaterLine
from console.pictures.cells import Grid
from console.pictures.dots import Dots
from console.pictures.shapes import shares
from console.pictures.words import Words, cells, clean, joined, share_text
from console.quantities import number_text

# What a part looks like on the pipe, and the word that stands for it where its label has no room.
_SIGNS: dict[str, tuple[str, str, str]] = {  # kind: sign, sign in ASCII, short word
    "intake": ("≋▶", "~>", "intake"),
    "seacock": ("⋈", "><", "seacock"),
    "strainer": ("[▒]", "[#]", "strainer"),
    "pump": ("(P)", "(P)", "pump"),
    "hose": ("", "", "hose"),
    "kink": ("▶─◀", ">-<", "kink"),
    "bend": ("", "", "bend"),
    "fitting": ("╋", "+", "fitting"),
    "condenser": ("[≋]", "[%]", "coil"),
    "overboard": ("", "", "outlet"),
    "lift": ("", "", "lift"),
}
_OTHER = ("[·]", "[.]", "")
_LEAST_SLOT, _ROOMY_SLOT = 3, 5
"""Cells a part has at the least, and from when on its number and its word stand clear of the next."""


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where things lie: ``slot`` cells to a part from column ``left``, and the rows."""

    left: int
    slot: int
    pipe: int  # first row of the pipe
    pipe_rows: int
    labels: int
    label_rows: int
    bars: int
    bar_rows: int
    numbers: int
    head: int
    head_rows: int
    notes: int

    def begin(self, index: int) -> int:
        return self.left + index * self.slot

    def middle(self, index: int) -> int:
        return self.left + index * self.slot + self.slot // 2


def summarise(picture: WaterLine, words: Words) -> str:
    """The picture in one sentence."""
    said = f"{words.say(picture.flow, 'flow')} comes out"
    if picture.parts:
        parts = shares([part.loss for part in picture.parts])
        worst = max(range(len(parts)), key=parts.__getitem__)
        if parts[worst] > 0:
            part = picture.parts[worst]
            said += (
                f"; most is lost in {words.plain(part.label)}, "
                f"{words.say(part.loss, 'head')} ({words.plain(share_text(parts[worst]))})"
            )
    return f"{words.plain(picture.title)}: {said}"


def title_tail(picture: WaterLine, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return cells(_heading(picture, width, words)[0]) + 2


def paint(picture: WaterLine, grid: Grid, words: Words) -> None:
    """Paint the line; the grid is at least 44 cells by 8 rows."""
    flow = words.fit(words.say(picture.flow, "flow"), grid.width // 4)
    every = drawable(picture.parts)
    gutter = _gutter(every, grid.width, words)
    heading, wide = _heading(picture, grid.width, words)
    outlet = cells(flow) + 3 if wide else 2
    parts, left_out = kept(every, max(1, (grid.width - gutter - outlet) // _LEAST_SLOT))
    heights = heights_of(parts)
    slot = (grid.width - gutter - outlet) // max(1, len(parts))
    notes = notes_of(parts, left_out, words)
    marks = [(words.fit(text, gutter - 1), height) for text, height in height_marks(heights, words)]
    at = _layout(grid, gutter, slot, parts, bool(notes), words)

    begin = grid.put_right(0, grid.width, heading, "muted" if wide else "strong")
    grid.put(0, 0, words.fit(picture.title, begin - 2), "strong")
    rows = _rows(heights, at.pipe, at.pipe_rows)
    water = _water_row(heights, at.pipe, at.pipe_rows)
    end = at.begin(len(parts))
    for column in range(at.left, end + outlet - 1):
        grid.cell(water, column, grid.glyphs.water, "water")
    _draw_marks(grid, at, marks, heights, rows, water)
    _draw_pipe(grid, at, parts, rows)
    _draw_outlet(grid, at, parts, rows, water, flow if wide else "")
    _draw_labels(grid, at, parts, words)
    _draw_losses(grid, at, parts, words)
    if at.head_rows:
        _draw_head(grid, at, parts, picture.head_available, words, said_at_end=wide)
    if notes:
        grid.put(at.notes, 0, words.fit(joined(notes, grid.width), grid.width), "muted")


def _gutter(parts: tuple[LinePart, ...], width: int, words: Words) -> int:
    marks = [text for text, _ in height_marks(heights_of(parts), words)]
    return min(max(map(cells, [*marks, lost_words(words)])), width // 4) + 1


def _heading(picture: WaterLine, width: int, words: Words) -> tuple[str, bool]:
    """What stands at the right of the title, and whether the flow has room where it comes out.

    Where it would squeeze the parts, it is the heading.
    """
    flow = words.fit(words.say(picture.flow, "flow"), width // 4)
    parts = drawable(picture.parts)
    wide = width - _gutter(parts, width, words) - cells(flow) - 3 >= _ROOMY_SLOT * max(1, len(parts))
    head = f"head to spend {words.say(picture.head_available, 'head')}"
    return words.fit(head if wide else f"flow {flow}", width // 2), wide


def drawable(parts: tuple[LinePart, ...]) -> tuple[LinePart, ...]:
    """The parts with NaN for every number that cannot be drawn."""
    losses = clean([part.loss for part in parts]).tolist()
    heights = clean([part.height for part in parts]).tolist()
    return tuple(
        replace(part, loss=loss, height=height)
        for part, loss, height in zip(parts, losses, heights, strict=True)
    )


def heights_of(parts: tuple[LinePart, ...]) -> list[float]:
    """Each part's height; one that is not known lies with the part before it."""
    out: list[float] = []
    for part in parts:
        out.append(part.height if math.isfinite(part.height) else out[-1] if out else 0.0)
    return out


def kept(parts: tuple[LinePart, ...], most: int) -> tuple[tuple[LinePart, ...], tuple[LinePart, ...]]:
    """The parts there is room for, in their order, and those left out: the plain ones that take least."""
    if len(parts) <= most:
        return parts, ()

    def weight(index: int) -> tuple[bool, bool, float]:
        part = parts[index]
        ends = index in (0, len(parts) - 1)
        return (ends, part.kind not in ("hose", "bend", "fitting"), size_of(part))

    kept = set(sorted(range(len(parts)), key=weight, reverse=True)[:most])
    return (
        tuple(part for i, part in enumerate(parts) if i in kept),
        tuple(part for i, part in enumerate(parts) if i not in kept),
    )


def size_of(part: LinePart) -> float:
    return part.loss if part.loss > 0 else 0.0  # NaN is not


def lost_words(words: Words) -> str:
    return f"{words.unit('head')} lost"


def _layout(
    grid: Grid, left: int, slot: int, parts: tuple[LinePart, ...], notes: bool, words: Words
) -> _Layout:
    """Share the rows out: the bars get what the pipe, the labels and the notes leave."""
    widest = max((cells(words.plain(part.label)) for part in parts), default=0)
    label_rows = 1 if widest <= slot - 1 or grid.height < 9 else 2
    free = grid.height - 1 - label_rows - 1 - notes
    head_rows = 3 if free >= 10 else 0
    free -= head_rows
    pipe_rows = 3 if free < 8 else 5 if free < 13 else 7
    pipe = 1
    labels = pipe + pipe_rows
    bars = labels + label_rows
    bar_rows = max(1, min(free - pipe_rows, 8))
    numbers = bars + bar_rows
    head = numbers + 1
    return _Layout(
        left, slot, pipe, pipe_rows, labels, label_rows, bars, bar_rows, numbers, head, head_rows,
        head + head_rows,
    )  # fmt: skip


# --- the pipe -------------------------------------------------------------------------------


def _above_below(heights: list[float], rows: int) -> tuple[int, int]:
    """Rows above and below the waterline: in proportion, at least one where anything lies there."""
    top, bottom = max([0.0, *heights]), -min([0.0, *heights])
    free = rows - 1
    if top <= 0 or bottom <= 0:
        return (
            (free, 0) if bottom <= 0 < top else (0, free) if top <= 0 < bottom else (free // 2, free // 2)
        )
    above = min(max(round(free * (top / (top + bottom))), 1), free - 1)
    return above, free - above


def _water_row(heights: list[float], first: int, rows: int) -> int:
    return first + _above_below(heights, rows)[0]


def _rows(heights: list[float], first: int, rows: int) -> list[int]:
    """The row of each part: never on the waterline's own unless it lies there."""
    above, below = _above_below(heights, rows)
    top, bottom = max([0.0, *heights]), -min([0.0, *heights])
    water = first + above
    out = []
    for height in heights:
        if height > 0:
            out.append(water - max(1, math.ceil(height / top * above - 1e-9)))
        elif height < 0:
            out.append(water + max(1, math.ceil(-height / bottom * below - 1e-9)))
        else:
            out.append(water)
    return out


def height_marks(heights: list[float], words: Words) -> list[tuple[str, float]]:
    """What the gutter says of heights: the highest, the water, the lowest."""
    marks = [("water", 0.0)]
    if heights and max(heights) > 0:
        marks.append((f"{words.say(max(heights), 'height')} up", max(heights)))
    if heights and min(heights) < 0:
        marks.append((f"{words.say(-min(heights), 'height')} down", min(heights)))
    return marks


def _draw_marks(
    grid: Grid,
    at: _Layout,
    marks: list[tuple[str, float]],
    heights: list[float],
    rows: list[int],
    water: int,
) -> None:
    for text, height in marks:
        row = water if height == 0 else rows[heights.index(height)]
        grid.put_right(row, at.left - 1, text, "muted")


def _draw_pipe(grid: Grid, at: _Layout, parts: tuple[LinePart, ...], rows: list[int]) -> None:
    pipe = grid.glyphs.pipe
    last = len(parts) - 1
    for index, row in enumerate(rows):
        first = at.middle(0) if index == 0 else at.begin(index) + 1
        end = at.middle(last) if index == last else at.begin(index + 1)
        for column in range(first, end + (index == last)):
            grid.cell(row, column, pipe["flat"], "line")
        if index < last:
            column, there = at.begin(index + 1), rows[index + 1]
            if there == row:
                grid.cell(row, column, pipe["flat"], "line")
                continue
            for between in range(min(row, there) + 1, max(row, there)):
                grid.cell(between, column, pipe["up"], "line")
            grid.cell(row, column, pipe["left-up" if there < row else "left-down"], "line")
            grid.cell(there, column, pipe["down-right" if there < row else "up-right"], "line")
    ascii_only = grid.glyphs.dot.isascii()
    for index, (part, row) in enumerate(zip(parts, rows, strict=True)):
        sign = _SIGNS.get(part.kind, _OTHER)[1 if ascii_only else 0]
        column = at.middle(index) - len(sign) // 2
        grid.put(row, column, sign, "bad" if part.kind == "kink" else "strong")


def _draw_outlet(
    grid: Grid, at: _Layout, parts: tuple[LinePart, ...], rows: list[int], water: int, flow: str
) -> None:
    """The stream leaving the last part, falling to the water when that lies above it."""
    if not parts:
        return
    sign = _SIGNS.get(parts[-1].kind, _OTHER)[0]
    column, row = at.middle(len(parts) - 1) + 1 + len(sign) // 2, rows[-1]
    grid.cell(row, column, grid.glyphs.outlet, "water")
    for below in range(row + 1, water):
        grid.cell(below, column, grid.glyphs.drop, "water")
    grid.put(row, min(column + 2, grid.width - cells(flow)), flow, "strong")


# --- what each part takes -------------------------------------------------------------------


def _short(part: LinePart, room: int, words: Words) -> str:
    """A part's label where it fits, else the word for its kind, else the label cut."""
    label = words.plain(part.label)
    word = _SIGNS.get(part.kind, _OTHER)[2]
    if cells(label) > room and word and cells(word) <= room:
        return word
    return words.fit(label, room)


def _draw_labels(grid: Grid, at: _Layout, parts: tuple[LinePart, ...], words: Words) -> None:
    """Labels under their parts; in two rows every other one is lower and has twice the room."""
    room = at.slot - 1 if at.label_rows == 1 else 2 * at.slot - 1
    for index, part in enumerate(parts):
        text = _short(part, room, words)
        row = at.labels + (index % at.label_rows)
        begin = at.middle(index) - cells(text) // 2
        begin = min(max(begin, 0), grid.width - cells(text))
        grid.put(row, begin, text, "bad" if part.kind == "kink" else "ink")


def _loss_text(part: LinePart, room: int, words: Words) -> str:
    """A part's loss in so many cells, to one digit where two have no room; nothing rather than cut."""
    texts = (words.number(part.loss, "head"), number_text(float(words.shown([part.loss], "head")[0]), 1))
    return next((text for text in map(words.plain, texts) if cells(text) <= room), "")


def _draw_losses(grid: Grid, at: _Layout, parts: tuple[LinePart, ...], words: Words) -> None:
    largest = max(map(size_of, parts), default=0.0)
    grid.put(at.numbers, 0, words.fit(lost_words(words), at.left - 1), "muted")
    for index, part in enumerate(parts):
        begin, wide = at.begin(index) + 1, max(1, at.slot - 1)
        share = size_of(part) / largest if largest > 0 else 0.0
        colour = "bad" if share == 1 else "fill0"
        grid.rise(begin, wide, at.bars + at.bar_rows - 1, at.bar_rows, share, colour)
        text = _loss_text(part, at.slot - 1, words)
        grid.put(at.numbers, at.middle(index) - cells(text) // 2, text, colour if share == 1 else "ink")


def _draw_head(
    grid: Grid,
    at: _Layout,
    parts: tuple[LinePart, ...],
    available: float,
    words: Words,
    *,
    said_at_end: bool,
) -> None:
    """The head that is left, stepping down at every part from all there is."""
    columns = at.slot * len(parts)
    losses = np.nan_to_num([part.loss for part in parts])
    available = float(clean([available])[0])
    if not available > 0 or not columns:
        return
    left = (available - np.concatenate(([0.0], np.cumsum(losses)))) / available
    middles = (np.arange(len(parts)) + 0.5) / len(parts)
    x = np.concatenate(([0.0], np.repeat(middles, 2), [1.0]))
    y = np.repeat(left, 2)
    dots = Dots(columns, at.head_rows, "-" if grid.glyphs.dot.isascii() else "")
    dots.path(x, np.clip(y, 0.0, 1.0))
    for row, column, char in dots.cells():
        grid.cell(at.head + row, at.left + column, char, "water")
    said = words.fit(words.say(available, "head"), at.left - 1)
    grid.put_right(at.head, at.left - 1, said, "muted")
    grid.put_right(at.head + 1, at.left - 1, "left", "muted")
    end = float(left[-1]) * available
    text = f"{words.say(end, 'head')} left"
    if said_at_end and grid.is_free(at.head + at.head_rows - 1, at.left + columns, grid.width):
        grid.put(at.head + at.head_rows - 1, at.left + columns + 1, words.fit(text, 13), "muted")


def notes_of(parts: tuple[LinePart, ...], left_out: tuple[LinePart, ...], words: Words) -> list[str]:
    """What there is to say of the parts, those that take most first."""
    out = []
    for part in sorted(parts, key=size_of, reverse=True):
        if part.note:
            out.append(f"{words.plain(part.label)}: {words.plain(part.note)}")
    if left_out:
        out.append(f"{len(left_out)} more take {words.say(sum(map(size_of, left_out)), 'head')}")
    return out
