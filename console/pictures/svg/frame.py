"""The plot area of a page's picture, its axes and its marks, shared by the painters over a scale."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.pictures.axes import spread_rows, tick_labels
from console.pictures.scales import Scale
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, Point, text_width

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Frame:
    """A plot's rectangle. Places run from 0 (left, bottom) to 1 (right, top)."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    def x(self, place: float) -> float:
        return self.left + place * self.width

    def y(self, place: float) -> float:
        return self.bottom - place * self.height

    def points(self, x: Array, y: Array) -> list[Point]:
        """Places as points; they must be finite."""
        return [(self.x(a), self.y(b)) for a, b in zip(x.tolist(), y.tolist(), strict=True)]


def gutter_for(scale: Scale) -> float:
    """The room the numbers of an upright axis take."""
    return max(text_width(label, SMALL) for label in tick_labels(scale)) + 14


def draw_upright(canvas: Canvas, frame: Frame, scale: Scale, right: bool = False) -> None:
    """A rule across at every tick, and the ticks' numbers left (or right) of the frame."""
    for tick, label in zip(scale.ticks, tick_labels(scale), strict=True):
        y = frame.y(scale.place(tick))
        canvas.line(frame.left, y, frame.right, y, "muted", 0.7, more="faint")
        x = frame.right + 8 if right else frame.left - 8
        canvas.text(x, y + 4, label, "muted", "start" if right else "end", SMALL)
    edge = frame.right if right else frame.left
    canvas.line(edge, frame.top, edge, frame.bottom, "muted", 1.0)


def draw_along(
    canvas: Canvas, frame: Frame, ticks: Sequence[tuple[float, str]], title: str = "", rules: bool = False
) -> float:
    """The axis under the frame: (place, label) ticks and its title; gives the y under all."""
    canvas.line(frame.left, frame.bottom, frame.right, frame.bottom, "muted", 1.0)
    free = -math.inf
    for place, label in ticks:
        x = frame.x(place)
        if rules:
            canvas.line(x, frame.top, x, frame.bottom, "muted", 0.7, more="faint")
        canvas.line(x, frame.bottom, x, frame.bottom + 4, "muted", 1.0)
        half = text_width(label, SMALL) / 2
        middle = min(max(x, half + 2), canvas.width - half - 2)
        if middle - half < free + 4:  # numbers never touch
            continue
        canvas.text(middle, frame.bottom + 17, label, "muted", "middle", SMALL)
        free = middle + half
    y = frame.bottom + 22
    if title:
        canvas.text(frame.right, y + 12, title, "muted", "end", SMALL)
        y += 16
    return y


def runs(x: Array, *rows: Array) -> list[tuple[Array, ...]]:
    """The unbroken runs in which x and every row are finite, each of two points at least."""
    known = np.isfinite(np.array([x, *rows])).all(axis=0)
    out = []
    for run in np.split(np.arange(known.size), np.flatnonzero(np.diff(known)) + 1):
        if run.size > 1 and known[run[0]]:
            out.append((x[run], *(row[run] for row in rows)))
    return out


def under_top(x: Array, y: Array) -> tuple[Array, Array]:
    """A rising curve up to where it leaves the frame at its top (place 1), that point included."""
    over = np.flatnonzero(~(y <= 1))
    if not over.size:
        return x, y
    first = int(over[0])
    if first == 0 or not np.isfinite(y[first]):
        return x[:first], y[:first]
    share = (1 - y[first - 1]) / (y[first] - y[first - 1])
    at = x[first - 1] + share * (x[first] - x[first - 1])
    return np.append(x[:first], at), np.append(y[:first], 1.0)


def draw_names(
    canvas: Canvas, frame: Frame, names: Sequence[tuple[float, str, str, str]], left: float
) -> None:
    """Names beside the ends of curves: (y, text, colour, dash), moved apart where ends lie close."""
    height = 16.0
    first, last = 0, max(0, int(frame.height / height) - 1)
    wanted = [min(max(int((y - frame.top) / height), first), last) for y, *_ in names]
    for row, (_, text, colour, dash) in zip(spread_rows(wanted, first, last), names, strict=True):
        if row >= 0:
            y = frame.top + row * height + 11
            canvas.line(left, y - 4, left + 16, y - 4, colour, 2.5, dash)
            canvas.text(left + 21, y, text, size=SMALL + 0.5)


def draw_point(canvas: Canvas, x: float, y: float, number: int, colour: str, radius: float = 4.5) -> None:
    """A mark whose shape, not only its colour, tells the series: disc, diamond, square, triangle, ring."""
    shape = number % 5
    r = radius
    if shape == 0:
        canvas.circle(x, y, r, colour, "background", 1)
    elif shape == 1:
        canvas.area(
            [(x, y - r * 1.3), (x + r * 1.3, y), (x, y + r * 1.3), (x - r * 1.3, y)],
            colour,
            "background",
            1,
        )
    elif shape == 2:
        canvas.rect(x - r, y - r, 2 * r, 2 * r, colour, "background", 1)
    elif shape == 3:
        canvas.area([(x, y - r * 1.2), (x + r * 1.2, y + r), (x - r * 1.2, y + r)], colour, "background", 1)
    else:
        canvas.circle(x, y, r, "background", colour, 2)


def draw_key_row(canvas: Canvas, y: float, entries: Iterable[tuple[int, str, str]]) -> float:
    """Marks and their names (number, colour, label) side by side; gives the y under them."""
    x = 4.0
    for number, colour, label in entries:
        width = text_width(label)
        if x > 4 and x + 16 + width > canvas.width:
            x, y = 4.0, y + 19
        draw_point(canvas, x + 6, y - 4, number, colour)
        canvas.text(x + 17, y, label)
        x += 17 + width + 20
    return y + SIZE
