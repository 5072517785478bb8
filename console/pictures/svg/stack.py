"""A day's stack for a page: layers on each other, the lines they are held against, hours marked."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Stack
from console.pictures.axes import hour_labels
from console.pictures.cells import UNICODE
from console.pictures.scales import Scale, hour_scale
from console.pictures.shapes import day_span, layered, resample, step_of
from console.pictures.stack import Day, day_of, day_scale, fills_of, key_of, worst_words
from console.pictures.stack_key import Entry, Fill
from console.pictures.svg.canvas import DASHES, SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.svg.frame import Frame, draw_along, draw_upright, gutter_for, runs
from console.pictures.words import Words, column_texts

Array = NDArray[np.float64]

_FINE = 193  # hours the areas are drawn at, besides the record's own
_KEY = 236.0


def paint(picture: Stack, canvas: Canvas, words: Words) -> None:
    """Paint a stack with its key beside it, or under it where the page is narrow."""
    day = day_of(picture, words)
    beside = canvas.width >= 600
    scale = day_scale(day, 6)
    along = hour_scale(*day_span(day.hours), most=9 if beside else 5)
    groups: list[tuple[int, ...]] = [(index,) for index in range(day.layers.shape[0])]
    fills = fills_of(groups, day.layers)
    key = key_of(picture, day, groups, UNICODE.dashes, words)
    top = canvas.heading(words.titled(picture.title, words.unit(picture.style)))
    left = gutter_for(scale)
    room = canvas.width - left - 10 - (_KEY + 16 if beside else 0)
    over = 16 if picture.lines else 4  # a line at the very top has its name over it
    frame = Frame(left, top + over, room, max(200.0, 21.0 * len(key) + 10 if beside else 0.0))

    draw_upright(canvas, frame, scale)
    _draw_layers(canvas, frame, scale, along, day, fills)
    canvas.line(frame.left, frame.y(scale.place(0.0)), frame.right, frame.y(scale.place(0.0)), "muted")
    _draw_lines(canvas, frame, scale, along, day, [words.plain(s.label) for s in picture.lines])
    labels = hour_labels(along.ticks, int(frame.width / 8))
    ticks = [(along.place(tick), label) for tick, label in zip(along.ticks, labels, strict=True)]
    y = draw_along(canvas, frame, ticks)
    marked = [hour for hour in picture.marked if np.isfinite(hour)]
    if marked:
        y = _draw_marks(canvas, frame, along, day, marked, words.plain(picture.mark_note), y)
    if beside:
        bottom = _draw_key(canvas, frame.right + 20, frame.top, canvas.width - 4, day, key, words)
    else:
        bottom = _draw_key(canvas, 4, y + 8, canvas.width - 4, day, key, words)
    canvas.height = max(y, bottom) + 6


def _hours(along: Scale, day: Day) -> Array:
    own = day.hours[(day.hours >= along.low) & (day.hours <= along.high)]
    return np.unique(np.concatenate((np.linspace(along.low, along.high, _FINE), own)))


def _draw_layers(
    canvas: Canvas, frame: Frame, scale: Scale, along: Scale, day: Day, fills: list[Fill]
) -> None:
    if not fills:
        return
    hours = _hours(along, day)
    stacked = layered(resample(day.hours, day.layers, hours))
    x = along.places(hours)
    letters = []
    for index, fill in enumerate(fills):
        tops, bottoms = scale.places(stacked.tops[index]), scale.places(stacked.bottoms[index])
        thick = tops - bottoms
        there = thick > 0  # with the points beside them, where it runs out
        there[1:] |= thick[:-1] > 0
        there[:-1] |= thick[1:] > 0
        for at, top, low in runs(x, np.where(there, tops, np.nan), bottoms):
            outline = frame.points(at, top) + frame.points(at, low)[::-1]
            canvas.area(outline, fill.colour, "background", 0.8)
        thick = np.nan_to_num(thick) * frame.height
        if thick.size and thick.max() >= 12:
            # The letter stands in the middle of where the layer is thickest.
            widest = np.flatnonzero(thick >= 0.97 * thick.max())
            spot = int(widest[widest.size // 2])
            letters.append(
                (frame.x(float(x[spot])), frame.y(float(tops[spot] + bottoms[spot]) / 2), fill.letter)
            )
    for across, down, letter in letters:
        canvas.text(across, down + 4, letter, "background", "middle", SMALL, True)


def _draw_lines(
    canvas: Canvas, frame: Frame, scale: Scale, along: Scale, day: Day, labels: list[str]
) -> None:
    hours = _hours(along, day)
    spots: list[tuple[float, str]] = []
    for number, line in enumerate(day.lines):
        places = scale.places(resample(day.hours, line, hours)[0])
        found = runs(along.places(hours), places)
        near: list[float] = []
        for x, y in found:
            points = frame.points(x, y)
            canvas.path(points, "background", 5.0)  # stands clear of whatever lies under it
            canvas.path(points, "line", 2.2, DASHES[number % len(DASHES)])
            reach = frame.right - text_width(labels[number], SMALL + 0.5) - 8
            near += [down for across, down in points if across >= reach]
        if near:  # above all of the line the name lies over, else below it
            above = min(near) - 7
            spots.append((above if above - 11 > frame.top - 16 else max(near) + 16, labels[number]))
    for at, label in spots:
        canvas.text(frame.right - 4, at, label, "ink", "end", SMALL + 0.5, halo=True)


def _draw_marks(
    canvas: Canvas, frame: Frame, along: Scale, day: Day, marked: list[float], note: str, y: float
) -> float:
    """A band under the marked hours, and what they are."""
    half = step_of(day.hours) / 2
    spans: list[list[float]] = []
    for hour in sorted(marked):
        low, high = (min(max(along.place(hour + d), 0.0), 1.0) for d in (-half, half))
        if spans and low <= spans[-1][1] + 1e-9:
            spans[-1][1] = max(spans[-1][1], high)
        else:
            spans.append([low, high])
    for low, high in spans:
        canvas.rect(frame.x(low), y + 2, max(3.0, (high - low) * frame.width), 7, "bad")
    width = text_width(note, SMALL + 0.5)
    after, before = frame.x(spans[-1][1]) + 8, frame.x(spans[0][0]) - 8
    if after + width <= canvas.width - 4 and (after + width <= frame.right or before - width < 4):
        canvas.text(after, y + 10, note, "bad", size=SMALL + 0.5)
        return y + 16
    if before - width >= 4:
        canvas.text(before, y + 10, note, "bad", "end", SMALL + 0.5)
        return y + 16
    lines = wrapped(note, canvas.width - 8, SMALL + 0.5)
    return canvas.texts(4, y + 24, lines, "bad", size=SMALL + 0.5)


def _draw_key(
    canvas: Canvas, left: float, top: float, right: float, day: Day, key: list[Entry], words: Words
) -> float:
    """The lines, then the layers as they lie, each with its value at the worst hour; gives the y under."""
    heading = worst_words(day, words)
    y = top + 10
    if heading:
        canvas.text(right, y, heading, "strong", "end", bold=True)
        y += 22
    values = column_texts([entry.value for entry in key], words)
    lines = 0
    for entry, value in zip(key, values, strict=True):
        if isinstance(entry.sign, Fill):
            canvas.rect(left, y - 12, 16, 16, entry.sign.colour, corner=2)
            canvas.text(left + 8, y, entry.sign.letter, "background", "middle", SMALL, True)
        else:
            canvas.line(left, y - 4, left + 16, y - 4, "line", 2.2, DASHES[lines % len(DASHES)])
            lines += 1
        canvas.text(right, y, value, "ink", "end")
        room = right - left - 24 - text_width(value) - 8
        y = canvas.texts(left + 24, y, wrapped(entry.label, room), "ink") - SIZE * 1.25 + 21
    return y - 8
