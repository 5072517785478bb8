"""A day's stack in cells: layers on each other, the lines they are held against, hours marked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Series, Stack
from console.pictures.axes import (
    Area,
    draw_labels_along,
    draw_upright_axis,
    hour_labels,
    tick_labels,
    ticks_for,
)
from console.pictures.cells import Grid
from console.pictures.dots import Dots
from console.pictures.scales import Scale, extent, hour_scale, tight_scale
from console.pictures.shapes import Layered, day_span, gathered, layered, resample, step_of, worst_index
from console.pictures.stack_key import Entry, Fill, draw_key, natural_width
from console.pictures.words import Words, cells, clean, clock, fit, matched
from console.quantities import number_text

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_LETTER_EVERY = 8


@dataclass(frozen=True, slots=True)
class Day:
    """What is drawn, in the unit shown: at the record's own hours."""

    hours: Array
    layers: Array
    lines: Array
    total: Array
    worst: int | None


def _rows_of(series: tuple[tuple[float, ...], ...], count: int) -> Array:
    """Series as an array (series, hours): short ones end in gaps, long ones are cut."""
    return np.array([matched(values, count) for values in series]).reshape(len(series), count)


def day_of(picture: Stack, words: Words) -> Day:
    hours = clean(picture.hours)
    known = np.isfinite(hours)

    def shown(series: tuple[Series, ...]) -> Array:
        rows = _rows_of(tuple(s.values for s in series), hours.size)
        return words.shown(rows[:, known], picture.style)

    layers, lines = shown(picture.layers), shown(picture.lines)
    total = layered(layers).total
    return Day(hours[known], layers, lines, total, worst_index(total))


def summarise(picture: Stack, words: Words) -> str:
    """The picture in one sentence."""
    day = day_of(picture, words)
    unit = words.unit(picture.style)
    if day.worst is None:
        said = "nothing to show"
    else:
        said = f"most {number_text(float(day.total[day.worst]))} {unit} at {clock(day.hours[day.worst])}"
        for series, line in zip(picture.lines, day.lines, strict=True):
            said += f"; {words.plain(series.label)} {number_text(float(line[day.worst]))} {unit}"
    note = words.plain(picture.mark_note) if picture.marked else ""
    return f"{words.plain(picture.title)}: {said}" + (f"; {note}" if note else "")


def title_tail(picture: Stack, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    heading = worst_words(day_of(picture, words), words)
    unit = cells(words.titled("", words.unit(picture.style)))
    return unit + (cells(heading) + 2 if heading and width >= 60 else 0)


def paint(picture: Stack, grid: Grid, words: Words) -> None:
    """Paint a stack; the grid is at least 36 cells by 7 rows."""
    day = day_of(picture, words)
    marked = [hour for hour in picture.marked if np.isfinite(hour)]
    beside = grid.width >= 60
    under = 0 if beside or grid.height < 13 else grid.height // 3
    rows = grid.height - 2 - bool(marked) - under
    scale = day_scale(day, ticks_for(rows))
    groups = gathered(day.layers, least=0.75 * (scale.high - scale.low) / rows)
    key = key_of(picture, day, groups, grid.glyphs.dashes, words)
    key_width = min(max(natural_width(key, words), 18), 26 if grid.width < 100 else 34) if beside else 0
    gutter = max(map(len, tick_labels(scale))) + 2
    area = Area(gutter, 1, grid.width - gutter - (key_width + 2 if beside else 0), rows)

    along = hour_scale(*day_span(day.hours), most=max(2, area.columns // 5))
    draw_upright_axis(grid, area, scale)
    _draw_layers(grid, area, scale, day, along, groups)
    _draw_lines(grid, area, scale, day, along, [words.plain(s.label) for s in picture.lines])
    at = [area.column(along.place(tick)) for tick in along.ticks]
    labels = hour_labels(along.ticks, area.columns)
    draw_labels_along(grid, area.bottom + 1, zip(at, labels, strict=True), area.left - 1, area.right + 1)
    if marked:
        _draw_marks(grid, area, along, day, marked, words.plain(picture.mark_note))
    _draw_title(grid, words.titled(picture.title, words.unit(picture.style)), day, words)
    if beside:
        last_row_free = grid.is_free(grid.height - 1, area.right + 1, grid.width)
        room = grid.height - 1 if last_row_free else grid.height - 2
        draw_key(grid, area.right + 2, 1, grid.width, room, key, words)
    elif under:
        draw_key(grid, 0, grid.height - under, grid.width, under, key, words)


def _draw_title(grid: Grid, title: str, day: Day, words: Words) -> None:
    """The title, and over the key the worst hour with its total."""
    begin = grid.width + 1
    heading = worst_words(day, words)
    if heading and (cells(title) + cells(heading) + 2 <= grid.width or grid.width >= 60):
        begin = grid.put_right(0, grid.width, heading, "strong")
    grid.put(0, 0, words.fit(title, begin - 1), "strong")


def worst_words(day: Day, words: Words) -> str:
    if day.worst is None:
        return ""
    return f"at {clock(day.hours[day.worst])}  {words.plain(number_text(float(day.total[day.worst])))}"


def key_of(
    picture: Stack, day: Day, groups: list[tuple[int, ...]], dashes: tuple[str, ...], words: Words
) -> list[Entry]:
    """The lines, then the layers as they lie, top first."""
    fills = {
        layer: fill
        for group, fill in zip(groups, fills_of(groups, day.layers), strict=True)
        for layer in group
    }

    def value(values: Array) -> float | None:
        return None if day.worst is None else float(values[day.worst])

    lines = [
        Entry(dashes[i % len(dashes)], words.plain(series.label), value(day.lines[i]))
        for i, series in enumerate(picture.lines)
    ]
    layers = [
        Entry(fills[i], words.plain(series.label), value(day.layers[i]))
        for i, series in enumerate(picture.layers)
    ]
    return [*lines, *reversed(layers)]


def day_scale(day: Day, most: int) -> Scale:
    stacked = layered(day.layers)
    low, high = extent(stacked.bottoms, stacked.tops, day.lines, np.zeros(1))
    # A little air above the highest, so that a limit is not the picture's edge.
    return tight_scale(low, high + 0.06 * (high - low), most, least=3)


def _column_hours(area: Area, along: Scale) -> Array:
    """The hour at the middle of each column."""
    share = (np.arange(area.columns) + 0.5) / area.columns
    return along.low + share * (along.high - along.low)


def fill_indices(area: Area, scale: Scale, stacked: Layered) -> Indices:
    """The layer at the middle of each eighth of each cell (rows × 8, columns), -1 for none.

    Row 0 is the top. Where layers overlap (a gap between rounding) the lower one shows.
    """
    eighths = area.rows * 8
    heights = scale.low + (1 - (np.arange(eighths) + 0.5) / eighths) * (scale.high - scale.low)
    out = np.full((eighths, area.columns), -1)
    for index in reversed(range(stacked.tops.shape[0])):
        with np.errstate(invalid="ignore"):
            inside = (heights[:, None] >= stacked.bottoms[index]) & (heights[:, None] < stacked.tops[index])
        out[inside] = index
    return out


def _draw_layers(
    grid: Grid, area: Area, scale: Scale, day: Day, along: Scale, groups: list[tuple[int, ...]]
) -> None:
    if not groups:
        return
    fills = fills_of(groups, day.layers)
    merged = np.array([day.layers[list(group)].sum(axis=0) for group in groups])
    columns = resample(day.hours, merged, _column_hours(area, along))
    layer = fill_indices(area, scale, layered(columns)).reshape(area.rows, 8, area.columns)
    lower, upper, count = _two_of(layer)
    ascii_only = grid.glyphs.rising.isascii()
    for row in range(area.rows):
        y = area.top + row
        for x, low, up, part in zip(
            range(area.left, area.right),
            lower[row].tolist(), upper[row].tolist(), count[row].tolist(),
            strict=True,
        ):  # fmt: skip
            if low == up:
                if low >= 0:
                    _draw_full(grid, y, x, fills[low], ascii_only)
            elif ascii_only:
                _draw_full(grid, y, x, fills[low if low >= 0 else up], True)
            elif low < 0:  # the layer hangs: the block drawn is the bare ground below it
                grid.cell(y, x, grid.glyphs.rising[part], "background", fills[up].colour)
            else:
                ground = fills[up].colour if up >= 0 else ""
                grid.cell(y, x, grid.glyphs.rising[part], fills[low].colour, ground)
    if not ascii_only:
        _draw_letters(grid, area, np.where(lower == upper, lower, -1), fills)


def fills_of(groups: list[tuple[int, ...]], layers: Array) -> list[Fill]:
    """How each group is told; places are counted apart for what rises from zero and what hangs."""
    out, rising, hanging = [], 0, 1
    for group in groups:
        if (np.nan_to_num(layers[list(group)]) > 0).any():
            out.append(Fill.of(group, rising))
            rising += 1
        else:
            out.append(Fill.of(group, hanging))
            hanging += 1
    return out


def _two_of(layer: Indices) -> tuple[Indices, Indices, Indices]:
    """The lower and the upper layer each cell shows, and how many of its eighths are the lower.

    A cell has two colours. Where it has bare ground, that is one of them, so that the outline is
    true to an eighth; the layer in the middle of what is left is the other. With more layers,
    those at its quarter and three quarters stand for them.
    """
    foot, head = layer[:, 7], layer[:, 0]
    only_two = ((layer == foot[:, None]) | (layer == head[:, None])).all(axis=1)
    lower = np.where(only_two, foot, layer[:, 5])
    upper = np.where(only_two, head, layer[:, 2])
    first = np.where(only_two, 0, 2)  # below its quarter a cell of many layers is the lower one's
    other = (layer[:, ::-1] != lower[:, None]) & (np.arange(8)[None, :, None] >= first[:, None])
    count = np.clip(other.argmax(axis=1), 1, 7)

    bare = (layer < 0).sum(axis=1)
    part = (bare > 0) & (bare < 8)
    ends, hangs = part & (head < 0), part & (head >= 0) & (foot < 0)

    def at(from_top: Indices) -> Indices:
        return np.take_along_axis(layer, np.clip(from_top, 0, 7)[:, None], axis=1)[:, 0]

    lower = np.where(ends, at(7 - (8 - bare) // 2), np.where(hangs, -1, lower))
    upper = np.where(ends, -1, np.where(hangs, at((8 - bare) // 2), upper))
    return lower, upper, np.where(ends, 8 - bare, np.where(hangs, bare, count))


def _draw_full(grid: Grid, row: int, column: int, fill: Fill, ascii_only: bool) -> None:
    if ascii_only:
        grid.cell(row, column, fill.letter, fill.colour)
    else:  # the same colour on and under the block, so that no seam shows
        grid.cell(row, column, "█", fill.colour, fill.colour)


def _draw_letters(grid: Grid, area: Area, whole: Indices, fills: list[Fill]) -> None:
    """Each layer's letter along its middle, so that colour is not all that tells it.

    One that no regular place falls on gets its letter where it is thickest.
    """
    lettered = set()
    places = [
        (layer, column) for column in range(3, area.columns, _LETTER_EVERY) for layer in range(len(fills))
    ]
    for layer in range(len(fills)):
        places.append((layer, int((whole == layer).sum(axis=0).argmax())))
    regular = len(places) - len(fills)
    for number, (layer, column) in enumerate(places):
        rows = np.flatnonzero(whole[:, column] == layer)
        if rows.size and (number < regular or layer not in lettered):
            lettered.add(layer)
            fill = fills[layer]
            row = int(rows[rows.size // 2])
            grid.cell(area.top + row, area.left + column, fill.letter, "background", fill.colour)


def _draw_lines(grid: Grid, area: Area, scale: Scale, day: Day, along: Scale, labels: list[str]) -> None:
    ends: list[tuple[int, str]] = []
    for number, line in enumerate(day.lines):
        plain = grid.glyphs.dashes[number % 3] if grid.glyphs.dashes[0].isascii() else ""
        dots = Dots(area.columns, area.rows, plain)
        hours = along.low + dots.middles * (along.high - along.low)
        places = scale.places(resample(day.hours, line, hours)[0])
        dots.path(dots.middles, places, number)
        for row, column, char in dots.cells():
            if plain:
                grid.cell(area.top + row, area.left + column, char, "line")
            else:
                _draw_over(grid, area.top + row, area.left + column, char)
        drawn = np.flatnonzero(np.isfinite(places))
        if drawn.size:
            ends.append((area.row(float(places[drawn[-1]])), labels[number]))
    for row, label in ends:
        _label_end(grid, area, row, label)


def _draw_over(grid: Grid, row: int, column: int, char: str) -> None:
    """A dot over an area is in the ground's colour, so that it stands out from every fill."""
    if not (0 <= row < grid.height and 0 <= column < grid.width):
        return
    under, fore, back = grid.chars[row][column], grid.fore[row][column], grid.back[row][column]
    if under in grid.glyphs.rising[1:] and under != " ":
        mostly_fore = grid.glyphs.rising.index(under) >= 4
        fill = fore if mostly_fore else back
    else:
        fill = back
    if fill in ("", "background"):
        grid.cell(row, column, char, "line")
    else:
        grid.cell(row, column, char, "background", fill)


def _label_end(grid: Grid, area: Area, row: int, label: str) -> None:
    """A line's name at its right end: above it, else below, where the ground is bare."""
    width = cells(label)
    for at in (row - 1, row + 1, row - 2, row + 2):
        if area.top <= at <= area.bottom and grid.is_free(at, area.right - width - 1, area.right):
            grid.put_right(at, area.right, label, "ink")
            return


def _draw_marks(grid: Grid, area: Area, along: Scale, day: Day, marked: list[float], note: str) -> None:
    """Under every marked hour's columns, with the note where there is room for it."""
    row = area.bottom + 2
    half = step_of(day.hours) / 2
    columns = {area.column(along.place(hour)) for hour in marked}
    for column, hour in enumerate(_column_hours(area, along).tolist(), area.left):
        if any(abs(hour - mark) <= half for mark in marked):
            columns.add(column)
    for column in columns:
        grid.cell(row, column, grid.glyphs.mark, "bad")
    after, before = max(columns) + 2, min(columns) - 1
    if after + cells(note) > area.right and cells(note) <= before:
        grid.put_right(row, before, note, "bad")
    else:
        grid.put(row, after, fit(note, grid.width - after, grid.glyphs.mark.isascii()), "bad")
