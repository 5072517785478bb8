"""Readings over days for a page: points with their ranges, events as marked columns, local dates."""

from __future__ import annotations

import math

from console.contract import Timeline
from console.pictures.dates import date_scale, date_text
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.svg.frame import (
    Frame,
    draw_along,
    draw_key_row,
    draw_point,
    draw_upright,
    gutter_for,
)
from console.pictures.timeline import Days, days_of, upright
from console.pictures.words import Words


def paint(picture: Timeline, canvas: Canvas, words: Words) -> None:
    """Paint a timeline with the key of its events under it."""
    days = days_of(picture, words)
    scale = upright(days, 6)
    title = words.titled(picture.title, words.unit(picture.style))
    top = canvas.heading(title, days.span()) + (16 if days.events else 0)
    left = gutter_for(scale)
    frame = Frame(left, top + 4, canvas.width - left - 14, 210)
    draw_upright(canvas, frame, scale)
    if days.first is None or days.last is None:
        canvas.text(frame.left + 10, frame.top + frame.height / 2, "no readings yet", "muted")
        canvas.height = frame.bottom + 8
        return
    most = max(2, int(frame.width / 75))
    along = date_scale(days.first, days.last, days.where, most)
    ticks = [(along.place(tick), label) for tick, label in zip(along.ticks, along.labels, strict=True)]
    y = draw_along(canvas, frame, ticks)
    free = -math.inf
    row = 0
    for event in days.events:
        x = frame.x(along.place(event.at))
        canvas.line(x, frame.top, x, frame.bottom, "warn", 1.6, "5 4")
        row = 1 - row if x < free else 0  # letters of events close together stand in two rows
        canvas.text(x, frame.top - 5 + 15 * row, event.letter, "warn", "middle", SIZE, True, halo=True)
        free = x + text_width(event.letter, SIZE, True)
    for number, one in reversed(list(enumerate(days.series))):  # the first lies on top
        colour = f"curve{number}"
        points = zip(
            one.at.tolist(), one.values.tolist(), one.lows.tolist(), one.highs.tolist(), strict=True
        )
        for at, value, low, high in points:
            x = frame.x(along.place(at))
            if math.isfinite(low) and math.isfinite(high):
                ends = frame.y(scale.place(low)), frame.y(scale.place(high))
                canvas.line(x, ends[0], x, ends[1], colour, 1.6)
                for end in ends:
                    canvas.line(x - 4, end, x + 4, end, colour, 1.6)
            draw_point(canvas, x, frame.y(scale.place(value)), number, colour)
    named = [(number, f"curve{number}", one.label) for number, one in enumerate(days.series) if one.label]
    if named:
        y = draw_key_row(canvas, y + 14, named) - 6
    canvas.height = _draw_events(canvas, days, y + 16) if days.events else y + 8


def _draw_events(canvas: Canvas, days: Days, y: float) -> float:
    """Letter, date and words of every event; gives the y under them."""
    dates = [date_text(event.at, days.where) for event in days.events]
    width = max(map(text_width, dates))
    for event, date in zip(days.events, dates, strict=True):
        canvas.text(10, y, event.letter, "warn", "middle", SIZE, True)
        canvas.text(24, y, date, "muted")
        x = 24 + width + 14
        y = canvas.texts(x, y, wrapped(event.label, canvas.width - x - 4)) + 3
    return y - SMALL + 2
