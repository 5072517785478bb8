"""Distributions in cells: each group as a smooth row of blocks over its median and its range."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Distribution, Series
from console.pictures.axes import Area, draw_labels_along, tick_labels
from console.pictures.cells import Grid
from console.pictures.scales import Scale, extent, tight_scale
from console.pictures.shapes import density, middle
from console.pictures.words import Words, cells, clean, share_text

Array = NDArray[np.float64]


def said_of(group: Series, style: str, words: Words) -> str:
    found = middle(clean(group.values))
    return words.range(found.median, found.low, found.high, style) if found else "not known"


def beyond(group: Series, limit: float) -> str:
    """How much of a group lies above the limit, in words."""
    values = clean(group.values)
    values = values[np.isfinite(values)]
    return share_text(float((values > limit).mean())) if values.size and np.isfinite(limit) else ""


def summarise(picture: Distribution, words: Words) -> str:
    """The picture in one sentence."""
    said = [f"{words.plain(g.label)} {said_of(g, picture.style, words)}" for g in picture.groups]
    if picture.limit is not None:
        label, value = picture.limit
        above = [beyond(group, value) for group in picture.groups]
        said.append(
            f"{words.plain(label)} {words.say(value, picture.style)}"
            + (f", above it {words.plain(' then '.join(above))}" if all(above) and above else "")
        )
    return f"{words.plain(picture.title)}: {'; '.join(said) or 'nothing to show'}"


def title_tail(picture: Distribution, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return cells(words.titled("", words.unit(picture.style)))


def paint(picture: Distribution, grid: Grid, words: Words) -> None:
    """Paint distributions; the grid is at least 32 cells by 5 rows."""
    shown = [words.shown(group.values, picture.style) for group in picture.groups]
    limit = float(words.shown([picture.limit[1]], picture.style)[0]) if picture.limit else np.nan
    labels = [words.plain(group.label) for group in picture.groups]
    said = [words.plain(said_of(group, picture.style, words)) for group in picture.groups]
    above = (
        [words.plain(beyond(group, picture.limit[1])) for group in picture.groups]
        if picture.limit
        else [""] * len(labels)
    )
    # Name and numbers beside each group, one under the other; in the narrow only above it.
    width = max((*(cells(label) + 2 for label in labels), *map(cells, said)), default=0)
    side = min(width, grid.width * 2 // 5) + 2 if grid.width >= 60 else 0
    area = Area(side, 1, grid.width - side - 1, grid.height - 2 - (picture.limit is not None))
    scale = scale_of(shown, limit)

    grid.put(0, 0, words.fit(words.titled(picture.title, words.unit(picture.style)), grid.width), "strong")
    at = [area.column(scale.place(tick)) for tick in scale.ticks]
    ruler = area.bottom + 1
    draw_labels_along(
        grid, ruler, zip(at, tick_labels(scale), strict=True), max(0, area.left - 2), area.right + 1
    )
    groups = len(shown)
    each = area.rows // groups if groups else 0
    for number, values in enumerate(shown):
        top = area.top + number * each
        rows = each - (0 if side else 1)
        if rows < 2 or top + each > area.bottom + 1:
            break
        if side:
            texts = [(f"  {labels[number]}", "ink"), (said[number], "strong")]
            if above[number] and rows >= 3:
                texts.append((f"{above[number]} above the line", "muted"))
            for down, (text, colour) in enumerate(texts):
                grid.put(top + down, 0, words.fit(text, side - 1), colour)
            grid.cell(top, 0, grid.glyphs.rising[4], f"curve{number}")
        else:
            grid.put(top, 0, words.fit(f"{labels[number]} {said[number]}", grid.width))
            top += 1
        _draw_group(grid, Area(area.left, top, area.columns, rows), scale, values, number)
    if picture.limit is not None and np.isfinite(limit):
        _draw_limit(grid, area, scale, limit, picture.limit, picture.style, words)


def scale_of(shown: list[Array], limit: float) -> Scale:
    """Over nearly all of every group and the limit: a stray draw would flatten the rest."""
    edges = [
        np.percentile(values[np.isfinite(values)], (0.5, 99.5))
        for values in shown
        if np.isfinite(values).any()
    ]
    low, high = extent(*edges, np.array([limit]))
    room = 0.05 * (high - low)
    bottom = max(0.0, low - room) if low >= 0 else low - room
    return tight_scale(bottom, high + room, most=7, least=2)


def _draw_limit(
    grid: Grid, area: Area, scale: Scale, limit: float, named: tuple[str, float], style: str, words: Words
) -> None:
    column = area.column(scale.place(limit))
    for row in range(area.top, area.top + area.rows):
        under, colour = grid.chars[row][column], grid.fore[row][column]
        if under == grid.glyphs.rising[8]:  # over a full block in the ground's colour
            grid.cell(row, column, grid.glyphs.upright, "background", colour)
        elif under == " ":
            grid.cell(row, column, grid.glyphs.upright, "warn")
    text = words.fit(f"{words.plain(named[0])} {words.say(named[1], style)}", grid.width)
    row = area.bottom + 2
    begin = min(max(column - cells(text) // 2, 0), grid.width - cells(text))
    grid.put(row, begin, text, "warn")


def _draw_group(grid: Grid, area: Area, scale: Scale, values: Array, number: int) -> None:
    """Blocks as high as the draws are dense, over a whisker from P5 to P95 with the median on it."""
    found = middle(values)
    if found is None:
        return
    colour = f"curve{number}"
    heights = density(values, scale.low, scale.high, area.columns)
    for column, height in enumerate(heights.tolist()):
        if height * (area.rows - 1) * 8 >= 0.5:
            grid.rise(area.left + column, 1, area.bottom - 1, area.rows - 1, height, colour)
    begin, line, end = grid.glyphs.whisker
    first, last = (area.column(scale.place(edge)) for edge in (found.low, found.high))
    for column in range(first, last + 1):
        char = begin if column == first else end if column == last else line
        grid.cell(area.bottom, column, char, "line")
    grid.cell(area.bottom, area.column(scale.place(found.median)), grid.glyphs.point, "strong")
