"""The ice box in section for a page: what crosses each face, as thick as it is, and its frost."""

from __future__ import annotations

import math
from dataclasses import dataclass

from console.contract import Arrow, CutBox
from console.pictures.cut_box import (
    BOTTOM,
    LEFT,
    RIGHT,
    TOP,
    frost_words,
    outside_words,
    share_of,
    value_text,
)
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.words import Words

THICKEST = 13.0
"""How thick the shaft of the largest arrow of its kind is."""
_SHAFT, _EACH = 40.0, 42.0


@dataclass(frozen=True, slots=True)
class _Said:
    """An arrow with its words and how thick it is drawn."""

    arrow: Arrow
    label: str
    value: str
    thick: float

    @property
    def colour(self) -> str:
        return "vapour" if self.arrow.what == "vapour" else "heat"


@dataclass(frozen=True, slots=True)
class _Box:
    """The outer skin, and how thick the walls are."""

    left: float
    top: float
    right: float
    bottom: float
    wall: float = 22.0

    @property
    def inner(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom inside the walls."""
        w = self.wall
        return self.left + w, self.top + w, self.right - w, self.bottom - w


def paint(picture: CutBox, canvas: Canvas, words: Words) -> None:
    """Paint the box with its arrows, the words of each beside it."""
    said = [
        _Said(
            a,
            words.plain(a.label),
            words.plain(value_text(picture, a, words)),
            THICKEST * share_of(picture, a),
        )
        for a in picture.arrows
    ]
    by_side = [[s for s in said if s.arrow.face in faces] for faces in (LEFT, RIGHT, TOP, BOTTOM)]
    left, right, over, under = by_side
    inside = [s for s in said if s.arrow.face == "inside"]
    y = canvas.heading(picture.title, outside_words(picture, words))
    side = min(max((_width(s) for s in [*left, *right]), default=60.0), canvas.width * 0.24)
    margin = side + _SHAFT + 16
    rows = max(len(left), len(right), 3, (3 + len(inside)) * 0.6)
    heads = _height_across(over, canvas.width)
    top = y + heads + (_SHAFT if over else 6)
    box = _Box(margin, top, canvas.width - margin, top + max(190.0, rows * _EACH + 20))

    _draw_walls(canvas, picture, box)
    _draw_across(canvas, over, box, y, downward=True)
    _draw_beside(canvas, left, box, side, from_left=True)
    _draw_beside(canvas, right, box, side, from_left=False)
    _draw_plate(canvas, picture, box, words)
    deepest = _draw_inside(canvas, picture, inside, box, words)
    y = box.bottom + (_SHAFT + _height_across(under, canvas.width) if under else 4)
    _draw_across(canvas, under, box, box.bottom + _SHAFT, downward=False)
    past = picture.frost > picture.frost_limit
    text = words.plain(frost_words(picture, words))
    lines = wrapped(text, canvas.width - 8, bold=past)
    y = canvas.texts(4, y + 20, lines, "bad" if past else "ink", bold=past)
    canvas.height = max(y - 6, deepest)


def _width(said: _Said) -> float:
    return max(text_width(said.label), text_width(said.value, SIZE, True)) + 2


def _draw_walls(canvas: Canvas, picture: CutBox, box: _Box) -> None:
    left, top, right, bottom = box.inner
    canvas.rect(box.left, box.top, box.right - box.left, box.bottom - box.top, "wall", "strong", 1.5, 3)
    canvas.rect(left, top, right - left, bottom - top, "background", "strong", 1)
    width = right - left
    if picture.opening == "lid":
        a, b = left + width * 0.18, right - width * 0.18
        for x in (a, b):
            canvas.line(x, box.top - 3, x, top + 2, "background", 4)
            canvas.line(x, box.top - 3, x, top + 2, "strong", 1.6, "3 2")
        canvas.text((a + b) / 2, box.top + 15, "lid", "background", "middle", SMALL, True)
    else:
        for y in (top + 6, bottom - 6):
            canvas.line(right - 2, y, box.right + 3, y, "background", 4)
            canvas.line(right - 2, y, box.right + 3, y, "strong", 1.6, "3 2")
        canvas.text(right - 7, bottom - 12, "door", "muted", "end", SMALL)
    if any(arrow.face == "drain" for arrow in picture.arrows):
        x = left + width * 0.5
        canvas.rect(x - 6, bottom, 12, box.wall, "background", "strong", 1)


def _arrow(canvas: Canvas, said: _Said, begin: tuple[float, float], end: tuple[float, float]) -> None:
    """A block arrow from begin to end (or back, when it leaves), its shaft as thick as what it carries."""
    value = said.arrow.value
    if not math.isfinite(value) or value == 0:
        return
    if value < 0:
        begin, end = end, begin
    length = math.hypot(end[0] - begin[0], end[1] - begin[1])
    ax, ay = (end[0] - begin[0]) / length, (end[1] - begin[1]) / length
    half = max(said.thick, 1.2) / 2
    wing, head = half + 4.5, 12.0
    neck = (end[0] - ax * head, end[1] - ay * head)

    def off(point: tuple[float, float], by: float) -> tuple[float, float]:
        return point[0] - ay * by, point[1] + ax * by

    outline = [off(begin, half), off(neck, half), off(neck, wing), end, off(neck, -wing), off(neck, -half),
               off(begin, -half)]  # fmt: skip
    if said.arrow.what == "vapour":  # told by its hollow shape too
        canvas.area(outline, "background", said.colour, 1.8)
    else:
        canvas.area(outline, said.colour)


def _draw_beside(canvas: Canvas, column: list[_Said], box: _Box, side: float, *, from_left: bool) -> None:
    if not column:
        return
    each = (box.bottom - box.top - 16) / len(column)
    for number, said in enumerate(column):
        y = box.top + 8 + (number + 0.5) * each
        edge = box.left if from_left else box.right
        out = edge - _SHAFT if from_left else edge + _SHAFT
        tip = edge + 12 if from_left else edge - 12  # into the wall
        _arrow(canvas, said, (out, y), (tip, y))
        x = out - 8 if from_left else out + 8
        lines = wrapped(said.label, side + 4, SIZE, most=2)
        under = canvas.texts(x, y - 3 - (len(lines) - 1) * 8, lines, anchor="end" if from_left else "start")
        canvas.text(x, under, said.value, "strong", "end" if from_left else "start", bold=True)


def _slot(row: list[_Said], width: float) -> float:
    return min((width - 8) / max(1, len(row)), 170.0)


def _lines(said: _Said, slot: float) -> list[str]:
    return wrapped(said.label, slot - 8, SIZE, most=3)


def _height_across(row: list[_Said], width: float) -> float:
    slot = _slot(row, width)
    return max(((len(_lines(s, slot)) + 1) * SIZE * 1.25 for s in row), default=0.0) + (6 if row else 0)


def _draw_across(canvas: Canvas, row: list[_Said], box: _Box, top: float, *, downward: bool) -> None:
    """Arrows through the lid or the bottom, side by side, each with its words over or under it."""
    slot = _slot(row, canvas.width)
    first = (canvas.width - slot * len(row)) / 2
    height = _height_across(row, canvas.width)
    for number, said in enumerate(row):
        x = first + (number + 0.5) * slot
        # Words keep their slot; the arrow under them bends to where the box is.
        at = min(max(x, box.left + 14), box.right - 14)
        lines = _lines(said, slot)
        if downward:
            y = top + height - (len(lines)) * SIZE * 1.25 - 4
            _arrow(canvas, said, (at, box.top - _SHAFT + 4), (at, box.top + 8))
        else:
            y = top + SIZE
            _arrow(canvas, said, (at, box.bottom + _SHAFT - 4), (at, box.bottom - 8))
        under = canvas.texts(x, y, lines, anchor="middle")
        canvas.text(x, under, said.value, "strong", "middle", bold=True)


def _draw_plate(canvas: Canvas, picture: CutBox, box: _Box, words: Words) -> None:
    """The plate against the hull's side, and its frost as thick as its share of the limit."""
    left, top, right, bottom = box.inner
    reach = min(46.0, (right - left) * 0.2)
    high = bottom - top - 36
    y = top + 12
    share = picture.frost / picture.frost_limit if picture.frost_limit > 0 else math.nan
    if math.isfinite(share) and share > 0:
        thick = max(1.0, min(share, 1.3) * reach)
        canvas.rect(left + 12, y, thick, high, "frost", corner=min(3.0, thick / 2))
    canvas.rect(left + 7, y - 2, 5, high + 4, "strong")
    if picture.frost_limit > 0:
        canvas.line(left + 12 + reach, y - 4, left + 12 + reach, y + high + 6, "warn", 1.8, "4 3")
        canvas.text(left + 12, bottom - 7, "frost limit", "warn", size=SMALL, halo=True)


def _draw_inside(canvas: Canvas, picture: CutBox, inside: list[_Said], box: _Box, words: Words) -> float:
    """What it is like inside, beside the plate; gives the y under the words."""
    left, top, right, _ = box.inner
    x = left + 12 + min(46.0, (right - left) * 0.2) * 1.3 + 14
    room = right - x - 6
    y = top + 26
    for label, value, colour in (("inside", picture.inside, "strong"), ("plate", picture.plate, "ink")):
        text = f"{label} {words.say(value, 'temperature')}"
        size = 15.0 if label == "inside" else SIZE
        y = (
            canvas.texts(x, y, wrapped(text, room, size, True), colour, size=size, bold=label == "inside")
            + 3
        )
    for said in inside:
        lines = wrapped(f"{said.label} {said.value}", room - 16)
        canvas.circle(x + 5, y - 4, 2 + 3 * said.thick / THICKEST, said.colour)
        y = canvas.texts(x + 16, y, lines) + 2
    return y
