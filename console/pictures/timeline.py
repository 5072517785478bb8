"""Readings over days in cells: points with their ranges, events as marked columns, local dates."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import tzinfo

import numpy as np
from numpy.typing import NDArray

from console.contract import Timeline
from console.pictures.axes import Area, draw_labels_along, draw_upright_axis, tick_labels, ticks_for
from console.pictures.cells import Grid
from console.pictures.dates import date_scale, date_text, drawable, span_text, zone
from console.pictures.scales import Scale, extent, tight_scale
from console.pictures.stack_key import LETTERS
from console.pictures.words import Words, cells, matched, wrap

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Told:
    """One series in the unit shown: its known points in the order of time."""

    label: str
    at: Array
    values: Array
    lows: Array
    highs: Array


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened: when, what, and the letter that stands for it."""

    at: float
    label: str
    letter: str


@dataclass(frozen=True, slots=True)
class Days:
    """What is drawn of a timeline; ``first`` and ``last`` are None when nothing is known."""

    series: tuple[Told, ...]
    events: tuple[Event, ...]
    where: tzinfo
    first: float | None
    last: float | None

    def span(self) -> str:
        """From when to when, in words."""
        if self.first is None or self.last is None:
            return ""
        return span_text(self.first, self.last, self.where)


def days_of(picture: Timeline, words: Words) -> Days:
    """The readings in the owner's units, with what cannot be drawn left out."""
    at = np.array([time if drawable(time) else math.nan for time in picture.at], dtype=float)
    told = []
    for series in picture.series:
        values, lows, highs = (
            words.shown(matched(row, at.size), picture.style)
            for row in (series.values, series.low, series.high)
        )
        known = np.flatnonzero(np.isfinite(at) & np.isfinite(values))
        known = known[np.argsort(at[known], kind="stable")]
        told.append(Told(words.plain(series.label), at[known], values[known], lows[known], highs[known]))
    happened = sorted((time, label) for time, label in picture.events if drawable(time))
    events = tuple(
        Event(time, words.plain(label), LETTERS[i % len(LETTERS)])
        for i, (time, label) in enumerate(happened)
    )
    times = [*(float(t) for one in told for t in one.at), *(event.at for event in events)]
    return Days(
        tuple(told), events, zone(picture.timezone), min(times, default=None), max(times, default=None)
    )


def upright(days: Days, most: int) -> Scale:
    """The scale of the readings and their ranges."""
    low, high = extent(*(array for one in days.series for array in (one.values, one.lows, one.highs)))
    room = 0.06 * (high - low)
    # What never goes below zero is not drawn with room for it.
    return tight_scale(max(0.0, low - room) if low >= 0 else low - room, high + room, most, least=3)


def event_texts(days: Days) -> list[str]:
    """The key of the events: letter, local date, what."""
    return [f"{event.letter} {date_text(event.at, days.where)} {event.label}" for event in days.events]


def summarise(picture: Timeline, words: Words) -> str:
    """The picture in one sentence."""
    days = days_of(picture, words)
    said = []
    for one, series in zip(days.series, picture.series, strict=True):
        known = [value for value in series.values if math.isfinite(value)]
        if not one.at.size or not known:
            said.append(f"{one.label} not known")
            continue
        order = [
            (time, value)
            for time, value in zip(picture.at, series.values, strict=False)
            if drawable(time) and math.isfinite(value)
        ]
        last = max(order, default=(math.nan, math.nan))
        count = f"{len(order)} reading{'s' if len(order) > 1 else ''}"
        when = f" on {date_text(last[0], days.where)}" if order else ""
        said.append(f"{one.label} {count}, the last {words.say(last[1], picture.style)}{when}")
    said.extend(f"{date_text(event.at, days.where)} {event.label}" for event in days.events)
    return f"{words.plain(picture.title)}: {'; '.join(said) or 'nothing to show'}"


def title_tail(picture: Timeline, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    unit = words.unit(picture.style)
    span = days_of(picture, words).span()
    return (cells(unit) + 2 if unit else 0) + (cells(span) + 2 if _says_span(width) and span else 0)


def _says_span(width: int) -> bool:
    return width >= 50


def wanted_rows(picture: Timeline, width: int, tall: int, words: Words) -> int:
    """Rows with the whole key beneath a plot of some height; events alone want little of it."""
    if _events_alone(days_of(picture, words)):
        return 7 + len(_key_rows(days_of(picture, words), width, 99, words))
    return max(tall, 11 + len(_key_rows(days_of(picture, words), width, 99, words)))


def _events_alone(days: Days) -> bool:
    return bool(days.events) and not any(one.at.size for one in days.series)


def _key_rows(days: Days, width: int, most: int, words: Words) -> list[str]:
    """The events under each other, or side by side where there are many; none is lost unless rows lack."""
    texts = event_texts(days)
    if len(texts) <= min(most, 4) and all(cells(text) <= width for text in texts):
        return texts
    rows: list[str] = []
    for text in texts:
        if rows and cells(rows[-1]) + cells(text) + 3 <= width:
            rows[-1] += f"   {text}"
        else:
            rows.extend(wrap(text, width, 9, words.ascii_only))
    if len(rows) > most:
        rows = [*rows[: max(0, most - 1)], words.fit(" ".join(rows[max(0, most - 1) :]), width)][:most]
    return rows


def paint(picture: Timeline, grid: Grid, words: Words) -> None:
    """Paint a timeline; the grid is at least 32 cells by 7 rows."""
    days = days_of(picture, words)
    named = [one for one in days.series if one.label]
    key = _key_rows(days, grid.width, max(int(grid.height >= 8), grid.height - 9), words)
    rows = grid.height - 2 - len(key) - bool(named)
    scale = upright(days, ticks_for(rows))
    scaled = not _events_alone(days)  # nothing is measured along an axis then
    gutter = max(map(len, tick_labels(scale))) + 2 if scaled else 3
    area = Area(gutter, 1, grid.width - gutter - 1, rows)

    span = days.span() if _says_span(grid.width) else ""
    begin = grid.put_right(0, grid.width, words.fit(span, grid.width // 2), "muted")
    title = words.titled(picture.title, words.unit(picture.style))
    grid.put(0, 0, words.fit(title, begin - 2 if span else grid.width), "strong")
    if scaled:
        draw_upright_axis(grid, area, scale)
    if days.first is None or days.last is None:
        grid.put(area.top + area.rows // 2, area.left + 2, words.fit("no readings yet", area.columns - 2))
        return
    along = date_scale(days.first, days.last, days.where, most=max(1, area.columns // 9))
    at = [area.column(along.place(tick)) for tick in along.ticks]
    draw_labels_along(
        grid, area.bottom + 1, zip(at, along.labels, strict=True), max(0, area.left - 2), grid.width
    )
    _draw_events(grid, area, days, [area.column(along.place(event.at)) for event in days.events])
    for number, one in reversed(list(enumerate(days.series))):  # the first lies on top
        columns = [area.column(along.place(time)) for time in one.at.tolist()]
        _draw_points(grid, area, scale, one, columns, number)
    row = area.bottom + 2
    if named:
        _draw_series_key(grid, row, days, words)
        row += 1
    for text in key:
        grid.put(row, 0, text)
        row += 1


def _draw_events(grid: Grid, area: Area, days: Days, columns: list[int]) -> None:
    for column in columns:
        for row in range(area.top, area.bottom + 1):
            grid.cell(row, column, grid.glyphs.upright, "warn")
    for event, column in zip(days.events, columns, strict=True):
        # Letters that would stand on each other go under each other.
        row = area.top
        while row < area.bottom and grid.chars[row][column] != grid.glyphs.upright:
            row += 1
        grid.cell(row, column, event.letter, "warn")


def _draw_points(grid: Grid, area: Area, scale: Scale, one: Told, columns: list[int], number: int) -> None:
    colour = f"curve{number}"
    begin, end = ("|", "|") if grid.glyphs.dot.isascii() else ("╷", "╵")
    middle = "|" if grid.glyphs.dot.isascii() else "│"
    for column, low, high in zip(columns, one.lows.tolist(), one.highs.tolist(), strict=True):
        if not (math.isfinite(low) and math.isfinite(high)):
            continue
        top, foot = sorted((area.row(scale.place(high)), area.row(scale.place(low))))
        for row in range(top, foot + 1):
            char = middle if top < row < foot else begin if row == top else end
            grid.cell(row, column, middle if top == foot else char, colour)
    sign = grid.glyphs.points[number % len(grid.glyphs.points)]
    for column, value in zip(columns, one.values.tolist(), strict=True):
        grid.cell(area.row(scale.place(value)), column, sign, colour)


def _draw_series_key(grid: Grid, row: int, days: Days, words: Words) -> None:
    column = 0
    for number, one in enumerate(days.series):
        text = words.fit(one.label, grid.width - column - 2)
        if not one.label or column + 4 > grid.width:
            continue
        grid.cell(row, column, grid.glyphs.points[number % len(grid.glyphs.points)], f"curve{number}")
        column = grid.put(row, column + 2, text) + 3
