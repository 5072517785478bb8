"""Bars for a page: each as long as its value, with its range as a whisker over it."""

from __future__ import annotations

import math

from console.contract import Bars
from console.pictures.bars import is_affine, is_share, measured, said_of
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.words import Words


def paint(picture: Bars, canvas: Canvas, words: Words) -> None:
    """Paint bars under each other: label, bar, value with its range, note."""
    y = canvas.heading(picture.title) + 6
    labels = [words.plain(bar.label) for bar in picture.bars]
    said = [words.plain(said_of(bar, picture.style, words)) for bar in picture.bars]
    label_width = min(max(map(text_width, labels), default=0.0), canvas.width * 0.34)
    said_width = max((text_width(text, SIZE, True) for text in said), default=0.0)
    beside = canvas.width - label_width - said_width - 40 >= 130  # else the value stands over its bar
    notes = [words.plain(bar.note) for bar in picture.bars]
    note_width = max((text_width(note, SMALL) for note in notes), default=0.0)
    left = 4 + label_width + 12
    length = canvas.width - left - 8 - (said_width + 12 if beside else 0)
    after = beside and 0 < note_width <= min(length - 200, 170)  # a short note follows the value
    length -= note_width + 14 if after else 0
    found = measured(picture, words)

    def x(value: float) -> float:
        return left + (value - found.low) / (found.high - found.low) * length

    zero = x(min(max(0.0, found.low), found.high))
    first = y
    for number in range(len(picture.bars)):
        lines = wrapped(labels[number], label_width + 2)
        y += 0 if beside else SIZE * 1.3
        value, low, high = found.values[number], found.lows[number], found.highs[number]
        if is_share(picture.style):
            canvas.rect(left, y, length, 17, "", "muted", 0.8, more="faint")
        if math.isfinite(value):
            if is_affine(picture.style):
                canvas.line(left, y + 8.5, left + length, y + 8.5, "muted", 0.7, more="faint")
                canvas.circle(x(value), y + 8.5, 5.5, "fill0")
            else:
                begin, end = sorted((zero, x(value)))
                canvas.rect(begin, y, max(end - begin, 1.0 if value else 0.0), 17, "fill0")
        if math.isfinite(low) and math.isfinite(high):
            _draw_whisker(canvas, x(min(low, high)), x(max(low, high)), y + 8.5)
        canvas.texts(4, y + 13, lines)
        if beside:
            canvas.text(left + length + 12, y + 13, said[number], "strong", bold=True)
        else:
            canvas.text(left, y - 4, said[number], "strong", bold=True)
        under = y + max(17.0, len(lines) * SIZE * 1.25)
        note = notes[number]
        if after:
            canvas.text(canvas.width - 4 - note_width, y + 13, note, "muted", size=SMALL)
        elif note.strip():
            x_note = zero + 5
            lines = wrapped(note, canvas.width - x_note - 4, SMALL)
            under = canvas.texts(x_note, y + 31, lines, "muted", size=SMALL)
        y = under + 9
    if picture.bars and not is_affine(picture.style):
        canvas.line(zero, first - 3, zero, y - 6, "muted", 1.0)
    if not picture.bars:
        canvas.text(4, y + 13, "nothing to show", "muted")
        y += 22
    canvas.height = y


def _draw_whisker(canvas: Canvas, low: float, high: float, y: float) -> None:
    """From low to high, with a halo where it lies on the bar."""
    for colour, thick in (("background", 4.0), ("line", 1.5)):
        canvas.line(low, y, high, y, colour, thick)
        for x in (low, high):
            canvas.line(x, y - 5, x, y + 5, colour, thick)
