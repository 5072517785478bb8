"""The raw-water line for a page: as it lies in the hull, and the head, each loss as wide as it is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from console.contract import LinePart, WaterLine
from console.pictures.shapes import shares
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, Point, text_width, wrapped
from console.pictures.svg.parts import draw_part
from console.pictures.water_line import drawable, height_marks, heights_of, kept, notes_of, size_of
from console.pictures.words import Words, clean, share_text

_LEAST_SLOT = 30.0
_PIPE_HEIGHT = 150.0
_STRIP = 26.0


@dataclass(frozen=True, slots=True)
class _Places:
    """Where the parts lie: ``slot`` wide from ``left``, the water's level, and units per metre."""

    left: float
    slot: float
    count: int
    water: float
    per_metre: float

    @property
    def right(self) -> float:
        return self.left + self.slot * self.count

    def middle(self, index: int) -> float:
        return self.left + (index + 0.5) * self.slot

    def y(self, height: float) -> float:
        return self.water - height * self.per_metre


def paint(picture: WaterLine, canvas: Canvas, words: Words) -> None:
    """Paint the line in the hull, under it what each part takes, and the head as a strip."""
    every = drawable(picture.parts)
    available = float(clean([picture.head_available])[0])
    flow = words.say(picture.flow, "flow")
    marks = [(words.plain(text), height) for text, height in height_marks(heights_of(every), words)]
    left = max(text_width(text, SMALL) for text, _ in marks) + 34  # room for any part's
    right = max(text_width(flow, SIZE, True) + 40, 70.0)
    room = canvas.width - left - right
    parts, left_out = kept(every, max(1, int(room / _LEAST_SLOT)))
    heights = heights_of(parts)
    marks = [(words.plain(text), height) for text, height in height_marks(heights, words)]
    top = canvas.heading(picture.title, f"head to spend {words.say(picture.head_available, 'head')}")
    highest, lowest = max([0.0, *heights]), min([0.0, *heights])
    span = highest - lowest
    per_metre = _PIPE_HEIGHT / span if span > 1e-9 else 0.0
    water = top + 34 + (highest * per_metre if per_metre else _PIPE_HEIGHT / 2)
    at = _Places(left, room / max(1, len(parts)), len(parts), water, per_metre)
    floor = water + (-lowest * per_metre if per_metre else _PIPE_HEIGHT / 2) + 34

    _draw_sea(canvas, at, top, floor)
    _draw_marks(canvas, at, marks)
    if parts:
        _draw_pipe(canvas, at, parts, heights, flow)
    labels_bottom = _draw_labels(canvas, at, parts, floor + 30, words)
    others = sum(map(size_of, left_out))
    y = _draw_head(canvas, parts, others, available, labels_bottom, words)
    for note in notes_of(parts, left_out, words):
        y = (
            canvas.texts(
                4, y + SIZE, wrapped(note, canvas.width - 8, SMALL + 0.5), "muted", size=SMALL + 0.5
            )
            - SIZE
            + 2
        )
    canvas.height = y + 6


def _draw_sea(canvas: Canvas, at: _Places, top: float, floor: float) -> None:
    """The sea outside the hull, its level, and the hull in section around the line."""
    width, bottom = canvas.width, floor + 12
    inner, outer = at.left - 14, at.right + 14
    canvas.area([(0, at.water), (inner, at.water), (inner, floor), (outer, floor), (outer, at.water),
                 (width, at.water), (width, bottom), (0, bottom)], "water", more="soft")  # fmt: skip
    wave = [(x, at.water + 1.6 * math.sin(x / 5)) for x in range(0, int(width) + 1, 2)]
    canvas.path([p for p in wave if p[0] <= inner], "water", 2.0)
    canvas.path([p for p in wave if p[0] >= outer], "water", 2.0)
    canvas.line(inner, at.water, outer, at.water, "water", 1.2, "6 5")
    deck = top + 4
    canvas.path([(inner, deck), (inner, floor), (outer, floor), (outer, deck)], "wall", 6)


def _draw_marks(canvas: Canvas, at: _Places, marks: list[tuple[str, float]]) -> None:
    free = -math.inf
    for text, height in sorted(marks, key=lambda mark: -mark[1]):
        y = max(at.y(height) + (14 if height == 0 else 4), free)
        canvas.text(4, y, text, "muted", size=SMALL, halo=True)
        free = y + 14


def _route(at: _Places, heights: list[float]) -> list[Point]:
    """The pipe from one hull side to the other: level along each part, upright between two."""
    points: list[Point] = [(at.left - 20, at.y(heights[0]))]
    for index, height in enumerate(heights):
        begin = at.left + index * at.slot
        if index:
            points.append((begin, at.y(heights[index - 1])))
            points.append((begin, at.y(height)))
    points.append((at.right + 20, at.y(heights[-1])))
    return points


def _draw_pipe(
    canvas: Canvas, at: _Places, parts: tuple[LinePart, ...], heights: list[float], flow: str
) -> None:
    route = _route(at, heights)
    canvas.path(route, "line", 8)
    canvas.path(route, "background", 5)
    canvas.path(route, "water", 5, more="round soft")
    out_y = at.y(heights[-1])
    end = at.right + 20
    if heights[-1] > 0:  # the stream falls into the sea
        canvas.path([(end, out_y), (end + 7, out_y + 3), (end + 10, max(at.water, out_y + 4))], "water", 3)
    else:
        canvas.path([(end, out_y), (end + 14, out_y)], "water", 3)
    # Beside the stream, clear of the water's line.
    text_y = out_y - 8 if heights[-1] >= 0 else out_y + 20
    canvas.text(canvas.width - 4, text_y, flow, "strong", "end", bold=True, halo=True)
    for index, (part, height) in enumerate(zip(parts, heights, strict=True)):
        draw_part(canvas, part.kind, at.middle(index), at.y(height), min(at.slot, 56.0))


def _draw_labels(canvas: Canvas, at: _Places, parts: tuple[LinePart, ...], y: float, words: Words) -> float:
    """Each part's name and loss under it, in so many rows that no word is broken; gives the y under all."""
    if not parts:
        return y
    worst = max(range(len(parts)), key=lambda i: size_of(parts[i]))
    names = [f"{number} {words.plain(part.label)}" for number, part in enumerate(parts, 1)]
    losses = [words.say(part.loss, "head") for part in parts]
    longest = max(text_width(word, SMALL, True) for text in (*names, *losses) for word in text.split(" "))
    rows = min(3, max(1, math.ceil((longest + 10) / at.slot), 2 if max(map(len, names)) > 14 else 1))
    room = rows * at.slot - 10
    lines = [wrapped(name, room, SMALL, most=3) for name in names]
    top = y
    under = [0.0] * len(parts)
    for row in range(rows):
        own = range(row, len(parts), rows)
        for index in own:
            half = max(text_width(line, SMALL) for line in lines[index]) / 2
            x = min(max(at.middle(index), half + 2), canvas.width - half - 2)
            if row:  # up to the part between its neighbours' names
                canvas.line(
                    at.middle(index), y - 12, at.middle(index), top - 12, "muted", 0.7, more="faint"
                )
            colour = "bad" if parts[index].kind == "kink" else "ink"
            below = canvas.texts(x, top, lines[index], colour, "middle", SMALL, halo=True)
            hot = index == worst and size_of(parts[index]) > 0
            canvas.text(
                x, below, losses[index], "bad" if hot else "strong", "middle", SMALL, True, halo=True
            )
            under[index] = below + 5
        top = max((under[index] for index in own), default=top) + 16
    return max(under)


def _draw_head(
    canvas: Canvas, parts: tuple[LinePart, ...], others: float, available: float, y: float, words: Words
) -> float:
    """All the head as a strip: each loss as wide as it is, in the line's order, and what is left."""
    losses = [*map(size_of, parts), others]
    spent = sum(losses)
    whole = max(spent, available if math.isfinite(available) and available > 0 else 0.0)
    if not whole > 0:
        return y
    top = y + 30
    width = canvas.width - 8
    canvas.text(4, y + 22, "Where the head goes, each loss as wide as it is", "muted", size=SMALL)
    begin = 4.0
    largest = max(losses[:-1], default=0.0)
    for index, (loss, share) in enumerate(zip(losses, shares(losses), strict=True)):
        if loss <= 0:
            continue
        wide = loss / whole * width
        percent = words.plain(share_text(share))
        if index < len(parts):
            name = f"{index + 1} {words.plain(parts[index].label)}"
            colour = "bad" if loss == largest else "fill0" if index % 2 else "fill1"
            texts = (f"{name}, {percent}", name, str(index + 1))
        else:
            colour, texts = "rest", (f"the others, {percent}", "the others", "others")
        canvas.rect(begin, top, wide, _STRIP, colour, "background", 1)
        for text in texts:
            if text_width(text, SMALL, True) <= wide - 6:
                canvas.text(begin + wide / 2, top + 17, text, "background", "middle", SMALL, True)
                break
        begin += wide
    if whole > spent * (1 + 1e-9):
        rest = width + 4 - begin
        canvas.rect(begin, top, rest, _STRIP, "", "muted", 1)
        left = f"{words.say(whole - spent, 'head')} left"
        if text_width(left, SMALL) <= rest - 6:
            canvas.text(begin + rest / 2, top + 17, left, "ink", "middle", SMALL)
    return top + _STRIP + 8
