"""Curves for a page: lines with their ranges shaded, states as marks, limits across."""

from __future__ import annotations

import numpy as np

from console.contract import Curve
from console.pictures.axes import hour_labels, tick_labels
from console.pictures.curve import CLOCK, Drawn, along_of, lines_of, titled, upright
from console.pictures.scales import Scale
from console.pictures.svg.canvas import DASHES, SMALL, Canvas, fitted, text_width
from console.pictures.svg.frame import (
    Frame,
    draw_along,
    draw_names,
    draw_point,
    draw_upright,
    gutter_for,
    runs,
)
from console.pictures.words import Words


def paint(picture: Curve, canvas: Canvas, words: Words) -> None:
    """Paint curves with their names beside their ends."""
    drawn = lines_of(picture, words)
    limits = words.shown([value for _, value in picture.limits], picture.y_style)
    scale = upright(drawn, limits, 6)
    names = [(number, series) for number, series in enumerate(drawn) if series.is_line]
    widest = max((text_width(series.label, SMALL + 0.5) for _, series in names), default=0.0)
    beside = min(widest + 30, canvas.width * 0.32) if names else 10.0
    top = canvas.heading(titled(picture, words))
    left = gutter_for(scale)
    frame = Frame(left, top + 4, canvas.width - left - beside - 6, 220)
    along = along_of(picture, words, int(frame.width / 8))

    draw_upright(canvas, frame, scale)
    labels = (
        hour_labels(along.ticks, int(frame.width / 8)) if picture.x_style == CLOCK else tick_labels(along)
    )
    x_title = words.plain(picture.x_label)
    x_unit = "" if picture.x_style == CLOCK else words.unit(picture.x_style)
    x_title = f"{x_title}, {x_unit}" if x_title and x_unit else x_title or x_unit
    ticks = [(along.place(tick), label) for tick, label in zip(along.ticks, labels, strict=True)]
    canvas.height = draw_along(canvas, frame, ticks, x_title) + 6

    for series in drawn:
        _draw_band(canvas, frame, scale, along, series)
    for value in limits.tolist():
        if np.isfinite(value):
            across = frame.y(scale.place(value))
            canvas.line(frame.left, across, frame.right, across, "warn", 1.8, "6 4")
    for number, series in reversed(list(enumerate(drawn))):  # the first lies on top
        for x, y in runs(along.places(series.x), scale.places(series.y)):
            canvas.path(frame.points(x, y), series.colour, 2.5, DASHES[number % len(DASHES)])
    _draw_states(canvas, frame, scale, along, drawn)
    for (label, si), value in zip(picture.limits, limits.tolist(), strict=True):
        if np.isfinite(value):
            across = frame.y(scale.place(value))
            text = f"{words.plain(label)} {words.say(si, picture.y_style)}"
            above = across - 6 if across - 20 > frame.top else across + 15
            canvas.text(frame.left + 6, above, text, "warn", size=SMALL + 0.5, halo=True)
    ends = []
    for number, series in names:
        last = int(np.flatnonzero(np.isfinite(series.y))[-1])
        end = frame.y(scale.place(float(series.y[last])))
        label = fitted(series.label, beside - 24, SMALL + 0.5)
        ends.append((end, label, series.colour, DASHES[number % len(DASHES)]))
    draw_names(canvas, frame, ends, frame.right + 6)


def _draw_band(canvas: Canvas, frame: Frame, scale: Scale, along: Scale, series: Drawn) -> None:
    x = along.places(series.x)
    known = np.isfinite(x)
    if known.sum() < 2 or not (np.diff(x[known]) > 0).all():
        return
    for at, low, high in runs(x, scale.places(series.low), scale.places(series.high)):
        outline = frame.points(at, high) + frame.points(at, low)[::-1]
        canvas.area(outline, series.colour, more="soft")


def _draw_states(canvas: Canvas, frame: Frame, scale: Scale, along: Scale, drawn: list[Drawn]) -> None:
    """Lone points, each with its series' name beside it where no other point or name stands."""
    spots: list[tuple[float, float, str]] = []
    taken: list[tuple[float, float, float, float]] = []
    for number, series in enumerate(drawn):
        for point in series.lone.tolist():
            x = frame.x(along.place(float(series.x[point])))
            y = frame.y(scale.place(float(series.y[point])))
            draw_point(canvas, x, y, number, series.colour, 5.5)
            taken.append((x - 6, y - 6, x + 6, y + 6))
            if not series.is_line:
                spots.append((x, y, series.label))
    for x, y, label in spots:
        width = text_width(label)
        around = ((x + 10, y + 4), (x - 10 - width, y + 4), (x - width / 2, y - 11), (x - width / 2, y + 21),
                  (x + 6, y - 11), (x + 6, y + 21), (x - 6 - width, y - 11), (x - 6 - width, y + 21))  # fmt: skip
        for left, base in around:
            box = (left, base - 11, left + width, base + 3)
            if (
                frame.left <= left
                and box[2] <= frame.right
                and not any(_touch(box, other) for other in taken)
            ):
                canvas.text(left, base, label, halo=True)
                taken.append(box)
                break


def _touch(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
