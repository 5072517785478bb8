"""Distributions for a page: how densely the draws lie, over the range nine in ten fall in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Distribution
from console.pictures.axes import tick_labels
from console.pictures.distribution import beyond, said_of, scale_of
from console.pictures.scales import Scale
from console.pictures.shapes import density, middle
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.svg.frame import Frame, draw_along
from console.pictures.words import Words

Array = NDArray[np.float64]

_EACH = 82.0
_COLUMNS = 120


def paint(picture: Distribution, canvas: Canvas, words: Words) -> None:
    """Paint distributions under each other, each with its name and its numbers."""
    shown = [words.shown(group.values, picture.style) for group in picture.groups]
    limit = float(words.shown([picture.limit[1]], picture.style)[0]) if picture.limit else np.nan
    top = canvas.heading(words.titled(picture.title, words.unit(picture.style)))
    scale = scale_of(shown, limit)
    side = canvas.width * 0.36 if canvas.width >= 560 else 0.0
    each = _EACH + (0 if side else 40)
    frame = Frame(side + 8, top, canvas.width - side - 24, max(each * len(shown), 20.0))
    labels = tick_labels(scale)
    ticks = [(scale.place(tick), label) for tick, label in zip(scale.ticks, labels, strict=True)]
    y = draw_along(canvas, frame, ticks, rules=True)
    for number, values in enumerate(shown):
        bottom = frame.top + (number + 1) * each
        _draw_group(
            canvas, Frame(frame.left, bottom - _EACH + 8, frame.width, _EACH - 14), scale, values, number
        )
    if picture.limit is not None and np.isfinite(limit):
        x = frame.x(scale.place(limit))
        canvas.line(x, frame.top, x, frame.bottom, "warn", 1.8, "6 4")
        text = f"{words.plain(picture.limit[0])} {words.say(picture.limit[1], picture.style)}"
        half = text_width(text) / 2
        centre = min(max(x, half + 4), canvas.width - half - 4)
        canvas.text(centre, y + 12, text, "warn", "middle")
        y += 18
    for number, group in enumerate(picture.groups):
        over = beyond(group, picture.limit[1]) if picture.limit else ""
        texts = (group.label, said_of(group, picture.style, words), over)
        _draw_words(canvas, 4, frame.top + number * each + 16, side, number, *map(words.plain, texts))
    canvas.height = y + 4


def _draw_words(
    canvas: Canvas, x: float, y: float, side: float, number: int, label: str, said: str, over: str
) -> None:
    room = (side or canvas.width) - 26
    canvas.rect(x, y - 11, 12, 12, f"curve{number}")
    lines = wrapped(label, room, most=2 if side else 1)
    y = canvas.texts(x + 19, y, lines, "ink", halo=True)
    if side:
        y = canvas.texts(x + 19, y, wrapped(said, room, bold=True, most=2), "strong", bold=True)
        if over:
            canvas.text(x + 19, y, f"{over} above the line", "muted", size=SMALL + 0.5)
    else:
        canvas.text(x + 19, y, said, "strong", bold=True, halo=True)


def _draw_group(canvas: Canvas, frame: Frame, scale: Scale, values: Array, number: int) -> None:
    found = middle(values)
    if found is None:
        canvas.text(frame.left + 6, frame.bottom - SIZE, "not known", "muted")
        return
    base = frame.bottom - 12
    heights = density(values, scale.low, scale.high, _COLUMNS)
    drawn = np.flatnonzero(heights > 0.003)
    if drawn.size:
        columns = range(max(0, int(drawn[0]) - 1), min(_COLUMNS, int(drawn[-1]) + 2))
        outline = [
            (frame.x((column + 0.5) / _COLUMNS), base - float(heights[column]) * (frame.height - 14))
            for column in columns
        ]
        outline = [(outline[0][0], base), *outline, (outline[-1][0], base)]
        canvas.area(outline, f"curve{number}", more="")
    low, median, high = (frame.x(scale.place(edge)) for edge in (found.low, found.median, found.high))
    y = frame.bottom - 4
    canvas.line(low, y, high, y, "line", 2.0)
    for x in (low, high):
        canvas.line(x, y - 4, x, y + 4, "line", 2.0)
    canvas.circle(median, y, 4.5, "strong", "background", 1)
