"""Curves in cells: lines of dots with their ranges stippled, states as points, limits across."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Curve, Series
from console.pictures.axes import (
    Area,
    draw_dots,
    draw_labels_along,
    draw_upright_axis,
    hour_labels,
    spread_rows,
    tick_labels,
    ticks_for,
)
from console.pictures.cells import Grid
from console.pictures.dots import Dots
from console.pictures.scales import Scale, extent, hour_scale, tight_scale
from console.pictures.words import Words, cells, clean, matched

Array = NDArray[np.float64]

# An axis of local hours is no quantity of `STYLES`: its values are hours, said as clock time.
CLOCK = "clock"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A series in the unit shown: its runs of points, and its range where x only rises."""

    label: str
    colour: str
    x: Array
    y: Array
    low: Array
    high: Array

    @property
    def lone(self) -> NDArray[np.int64]:
        """Points without a neighbour: states, not a line."""
        known = np.isfinite(self.y) & np.isfinite(self.x)
        beside = np.zeros(known.size + 2, dtype=bool)
        beside[1:-1] = known
        return np.flatnonzero(known & ~beside[:-2] & ~beside[2:])

    @property
    def is_line(self) -> bool:
        return bool((np.isfinite(self.y) & np.isfinite(self.x)).sum() > self.lone.size)


def x_shown(picture: Curve, words: Words) -> Array:
    return clean(picture.x) if picture.x_style == CLOCK else words.shown(picture.x, picture.x_style)


def lines_of(picture: Curve, words: Words) -> list[Drawn]:
    x = x_shown(picture, words)

    def one(number: int, series: Series) -> Drawn:
        y, low, high = (
            words.shown(matched(values, x.size), picture.y_style)
            for values in (series.values, series.low, series.high)
        )
        return Drawn(words.plain(series.label), f"curve{number}", x, y, low, high)

    return [one(number, series) for number, series in enumerate(picture.series)]


def summarise(picture: Curve, words: Words) -> str:
    """The picture in one sentence."""
    said: list[str] = []
    for series in picture.series:
        values = clean(series.values)
        known = values[np.isfinite(values)]
        label = words.plain(series.label)
        if not known.size:
            said.append(f"{label} not known")
        elif known.size == 1:
            said.append(f"{label} {words.say(float(known[0]), picture.y_style)}")
        else:
            first, last = (words.say(float(known[i]), picture.y_style) for i in (0, -1))
            low, high = (words.number(float(v), picture.y_style) for v in (known.min(), known.max()))
            said.append(f"{label} from {first} to {last}, between {low} and {high}")
    said.extend(
        f"{words.plain(label)} {words.say(value, picture.y_style)}" for label, value in picture.limits
    )
    return f"{words.plain(picture.title)}: {'; '.join(said) or 'nothing to show'}"


def title_tail(picture: Curve, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return cells(titled(picture, words)) - cells(words.plain(picture.title))


def titled(picture: Curve, words: Words) -> str:
    title = f"{picture.title}: {picture.y_label}" if picture.y_label else picture.title
    return words.titled(title, words.unit(picture.y_style))


def paint(picture: Curve, grid: Grid, words: Words) -> None:
    """Paint curves; the grid is at least 32 cells by 6 rows."""
    drawn = lines_of(picture, words)
    limits = words.shown([value for _, value in picture.limits], picture.y_style)
    x_title = words.plain(picture.x_label)
    x_unit = "" if picture.x_style == CLOCK else words.unit(picture.x_style)
    x_title = f"{x_title}, {x_unit}" if x_title and x_unit else x_title or x_unit
    rows = grid.height - 2 - bool(x_title)
    scale = upright(drawn, limits, ticks_for(rows))
    gutter = max(map(len, tick_labels(scale))) + 2
    names = [(number, series) for number, series in enumerate(drawn) if series.is_line]
    labels = max((cells(series.label) for _, series in names), default=0)
    labels = min(labels, grid.width // 4) + 4 if grid.width >= 50 and labels else 0
    area = Area(gutter, 1, grid.width - gutter - labels, rows)
    along = along_of(picture, words, area.columns)

    grid.put(0, 0, words.fit(titled(picture, words), grid.width), "strong")
    draw_upright_axis(grid, area, scale)
    at = [area.column(along.place(tick)) for tick in along.ticks]
    ticks = hour_labels(along.ticks, area.columns) if picture.x_style == CLOCK else tick_labels(along)
    draw_labels_along(grid, area.bottom + 1, zip(at, ticks, strict=True), area.left - 1, area.right + 1)
    grid.put_right(area.bottom + 2, area.right, words.fit(x_title, area.columns), "muted")

    for series in drawn:
        _draw_band(grid, area, scale, along, series)
    _draw_limits(grid, area, scale, limits)
    for number, series in reversed(list(enumerate(drawn))):  # the first lies on top
        _draw_line(grid, area, scale, along, series, number)
    _draw_states(grid, area, scale, along, drawn, words)
    _draw_limit_names(grid, area, scale, picture, limits, words)
    if labels:
        _draw_names(grid, area, scale, names, words)


def upright(drawn: list[Drawn], limits: Array, most: int) -> Scale:
    every = [array for series in drawn for array in (series.y, series.low, series.high)]
    low, high = extent(*every, limits)
    room = 0.04 * (high - low)
    # What never goes below zero is not drawn with room for it.
    bottom = max(0.0, low - room) if low >= 0 else low - room
    return tight_scale(bottom, high + room, most, least=3)


def along_of(picture: Curve, words: Words, columns: int) -> Scale:
    low, high = extent(x_shown(picture, words))
    if picture.x_style in (CLOCK, "hours"):
        return hour_scale(low, high, most=max(2, columns // 6))
    return tight_scale(low, high, most=max(2, min(9, columns // 9)))


def _draw_limits(grid: Grid, area: Area, scale: Scale, limits: Array) -> None:
    for value in limits.tolist():
        if np.isfinite(value):
            row = area.row(scale.place(value))
            for column in range(area.left, area.right):
                grid.cell(row, column, grid.glyphs.rule, "warn")


def _draw_limit_names(
    grid: Grid, area: Area, scale: Scale, picture: Curve, limits: Array, words: Words
) -> None:
    """A limit's name above or below its line, at whichever end is bare; on the line if neither is."""
    for (label, si), value in zip(picture.limits, limits.tolist(), strict=True):
        if not np.isfinite(value):
            continue
        row = area.row(scale.place(value))
        text = words.fit(f"{words.plain(label)} {words.say(si, picture.y_style)}", area.columns - 2)
        width = cells(text)
        spots = [
            (at, column)
            for at in (row - 1, row + 1)
            for column in (area.left + 1, area.right - width - 1)
            if area.top <= at <= area.bottom and grid.is_free(at, column - 1, column + width + 1)
        ]
        at, column = spots[0] if spots else (row, area.left + 1)
        grid.put(at, column, text, "warn")


def _draw_band(grid: Grid, area: Area, scale: Scale, along: Scale, series: Drawn) -> None:
    known = np.isfinite(series.x) & np.isfinite(series.low) & np.isfinite(series.high)
    x = series.x[known]
    if x.size < 2 or not (np.diff(x) > 0).all() or grid.glyphs.dot.isascii():
        return
    dots = Dots(area.columns, area.rows)
    at = along.low + dots.middles * (along.high - along.low)
    # NaN kept in place, so that a gap in the range is a gap in the band.
    rising = np.isfinite(series.x)
    lows, highs = (
        np.interp(at, series.x[rising], edge[rising], left=np.nan, right=np.nan)
        for edge in (series.low, series.high)
    )
    dots.band(scale.places(lows), scale.places(highs))
    draw_dots(grid, area, dots, series.colour)


def _draw_line(grid: Grid, area: Area, scale: Scale, along: Scale, series: Drawn, number: int) -> None:
    plain = grid.glyphs.points[number % len(grid.glyphs.points)] if grid.glyphs.dot.isascii() else ""
    dots = Dots(area.columns, area.rows, plain)
    dots.path(along.places(series.x), scale.places(series.y), number)
    draw_dots(grid, area, dots, series.colour)


def _draw_states(
    grid: Grid, area: Area, scale: Scale, along: Scale, drawn: list[Drawn], words: Words
) -> None:
    """Lone points, each with its series' name beside it where there is room."""
    spots: list[tuple[int, int, str]] = []
    for number, series in enumerate(drawn):
        sign = grid.glyphs.points[number % len(grid.glyphs.points)]
        for point in series.lone.tolist():
            row = area.row(scale.place(float(series.y[point])))
            column = area.column(along.place(float(series.x[point])))
            grid.cell(row, column, sign, series.colour)
            if not series.is_line:
                spots.append((row, column, words.fit(series.label, area.columns // 3)))
    for row, column, text in spots:
        width = cells(text)
        beside = [(row, column + 2), (row, column - width - 1)]
        around = [
            (row + d, c) for d in (-1, 1, -2, 2) for c in (column - width // 2, column + 1, column - width)
        ]
        for at, begin in beside + around:
            inside = area.left <= begin and begin + width <= area.right and area.top <= at <= area.bottom
            if inside and grid.is_free(at, max(begin - 1, area.left), begin + width):
                grid.put(at, begin, text)
                break


def _draw_names(grid: Grid, area: Area, scale: Scale, names: list[tuple[int, Drawn]], words: Words) -> None:
    """Each line's name beside its right end, moved apart where ends lie close."""
    ends = [float(series.y[np.flatnonzero(np.isfinite(series.y))[-1]]) for _, series in names]
    rows = spread_rows([area.row(scale.place(end)) for end in ends], area.top, area.bottom)
    ascii_only = grid.glyphs.dot.isascii()
    for row, (number, series) in zip(rows, names, strict=True):
        if row >= 0:
            signs = grid.glyphs.points if ascii_only else grid.glyphs.dashes
            grid.cell(row, area.right + 1, signs[number % len(signs)], series.colour)
            grid.put(row, area.right + 3, words.fit(series.label, grid.width - area.right - 3))
