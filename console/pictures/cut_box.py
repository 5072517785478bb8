"""The ice box in section, in cells: what crosses each face, and the frost on its plate."""

from __future__ import annotations

import math
from dataclasses import dataclass

from console.contract import Arrow, CutBox
from console.pictures.cells import Grid
from console.pictures.words import Words, cells, joined

# Which side of the drawing a face is seen on. The side walls are before and behind the cut;
# they are drawn with the front, the side that faces the cabin.
LEFT, RIGHT, TOP, BOTTOM = ("hull",), ("front", "sides"), ("lid",), ("bottom", "drain")
_LEAST_BOX = 24


@dataclass(frozen=True, slots=True)
class _Said:
    """An arrow as it is drawn: its words, and its shaft's length in cells."""

    arrow: Arrow
    label: str
    value: str
    shaft: int

    @property
    def text(self) -> str:
        return f"{self.label} {self.value}"

    def text_in(self, room: int, words: Words) -> str:
        """The words in so many cells: the label gives way, the value does not."""
        label = words.fit(self.label, max(0, room - cells(self.value) - 1))
        return words.fit(f"{label} {self.value}" if label else self.value, room)

    @property
    def colour(self) -> str:
        return "vapour" if self.arrow.what == "vapour" else "heat"

    @property
    def outward(self) -> bool:
        """Whether it leaves the box: what is negative does."""
        return self.arrow.value < 0

    @property
    def width(self) -> int:
        return cells(self.text) + self.shaft + 2


def value_text(picture: CutBox, arrow: Arrow, words: Words) -> str:
    style = picture.vapour_style if arrow.what == "vapour" else picture.style
    return words.say(abs(arrow.value), style) if math.isfinite(arrow.value) else "not known"


def share_of(picture: CutBox, arrow: Arrow) -> float:
    """An arrow's share (0..1) of the largest of its kind."""
    alike = [abs(a.value) for a in picture.arrows if a.what == arrow.what and math.isfinite(a.value)]
    largest = max(alike, default=0.0)
    return abs(arrow.value) / largest if largest > 0 and math.isfinite(arrow.value) else 0.0


def _said(picture: CutBox, words: Words, longest: int) -> list[_Said]:
    """Every arrow; a shaft is as long as its share of the largest of its kind, in ``longest`` cells."""
    return [
        _Said(
            arrow, words.plain(arrow.label), value_text(picture, arrow, words),
            round(share_of(picture, arrow) * longest),
        )
        for arrow in picture.arrows
    ]  # fmt: skip


def frost_words(picture: CutBox, words: Words) -> str:
    frost, limit = (words.say(value, "short_length") for value in (picture.frost, picture.frost_limit))
    if picture.frost > picture.frost_limit:
        return f"frost {frost}, past {limit}: defrost"
    return f"frost {frost}, defrost at {limit}"


def summarise(picture: CutBox, words: Words) -> str:
    """The picture in one sentence."""
    heat = [a for a in picture.arrows if a.what == "heat" and math.isfinite(a.value)]
    said = (
        f"inside {words.say(picture.inside, 'temperature')}, outside "
        f"{words.say(picture.outside, 'temperature')}"
    )
    if heat:
        most = max(heat, key=lambda arrow: arrow.value)
        said += f"; most heat by {words.plain(most.label)} {value_text(picture, most, words)}"
    return f"{words.plain(picture.title)}: {said}; {frost_words(picture, words)}"


def title_tail(picture: CutBox, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return cells(_heading(picture, width, words)) + 2


def paint(picture: CutBox, grid: Grid, words: Words) -> None:
    """Paint the box; the grid is at least 56 cells by 9 rows."""
    said = _said(picture, words, longest=2 if grid.width < 64 else 3 if grid.width < 90 else 6)
    sides = {
        name: [s for s in said if s.arrow.face in faces]
        for name, faces in (("left", LEFT), ("right", RIGHT), ("top", TOP), ("bottom", BOTTOM))
    }
    inside = [s for s in said if s.arrow.face == "inside"]
    # What the words need on either side, and where both need more, what is left, in halves.
    free = grid.width - _LEAST_BOX
    needs = [max((s.width for s in sides[side]), default=0) for side in ("left", "right")]
    left = min(needs[0], max(free // 2, free - needs[1]))
    right = grid.width - min(needs[1], free - left)
    # A box far wider than it is high would be no box.
    spare = right - left - max(_LEAST_BOX, grid.height * 3)
    if spare > 0:
        left, right = left + spare // 2, right - (spare - spare // 2)
    over = 0 if not sides["top"] else 2 if grid.height >= 13 and _width(sides["top"]) > grid.width else 1
    box = _Box(left, 1 + over, right, grid.height - 2 - bool(sides["bottom"]), 1 + (grid.height >= 13))

    _draw_title(picture, grid, words)
    _draw_walls(picture, grid, box)
    spill = _draw_across(grid, sides["top"], 1, over, box, downward=True)
    spill += _draw_across(grid, sides["bottom"], box.bottom + 1, 1, box, downward=False)
    spill += _draw_beside(grid, sides["left"], box, words, from_left=True)
    spill += _draw_beside(grid, sides["right"], box, words, from_left=False)
    spill += _draw_inside(picture, grid, inside, box, words)
    over_limit = picture.frost > picture.frost_limit
    notes = [frost_words(picture, words), *(s.text for s in spill)]
    line = words.fit(joined(notes, grid.width), grid.width)
    grid.put(grid.height - 1, 0, line, "bad" if over_limit else "ink")


@dataclass(frozen=True, slots=True)
class _Box:
    """The outer skin: its left column, top row, the column after its right, its bottom row."""

    left: int
    top: int
    right: int
    bottom: int
    foam: int  # how thick the insulation is drawn, in rows; twice that in columns

    @property
    def inner(self) -> tuple[int, int, int, int]:
        """First column, first row, column after the last and last row inside the insulation."""
        rows = self.foam - 1
        return (
            self.left + 1 + 2 * self.foam, self.top + 1 + rows,
            self.right - 1 - 2 * self.foam, self.bottom - 1 - rows,
        )  # fmt: skip


def _draw_title(picture: CutBox, grid: Grid, words: Words) -> None:
    begin = grid.put_right(0, grid.width, _heading(picture, grid.width, words), "ink")
    grid.put(0, 0, words.fit(picture.title, begin - 2), "strong")


def _heading(picture: CutBox, width: int, words: Words) -> str:
    return words.fit(outside_words(picture, words), width * 2 // 3)


def outside_words(picture: CutBox, words: Words) -> str:
    """How warm it is outside, and all the heat that comes in."""
    known = [a.value for a in picture.arrows if a.what == "heat" and math.isfinite(a.value)]
    heading = f"outside {words.say(picture.outside, 'temperature')}"
    return f"{heading}, heat in {words.say(sum(known), picture.style)}" if known else heading


def _draw_walls(picture: CutBox, grid: Grid, box: _Box) -> None:
    """Skin, insulation, and the opening between its seals: a lid in the top or a door in the front."""
    nw, ne, sw, se, flat, up = tuple(grid.glyphs.corners)
    first, top, after, last = box.inner
    for row in range(box.top, box.bottom + 1):
        for column in range(box.left, box.right):
            within = first <= column < after and top <= row <= last
            skin = (
                flat if row in (box.top, box.bottom) else up if column in (box.left, box.right - 1) else ""
            )
            if not within:
                grid.cell(row, column, skin or grid.glyphs.foam, "wall")
    for row, column, char in (
        (box.top, box.left, nw), (box.top, box.right - 1, ne),
        (box.bottom, box.left, sw), (box.bottom, box.right - 1, se),
    ):  # fmt: skip
        grid.cell(row, column, char, "wall")
    width, name = box.right - box.left, f" {picture.opening} "
    if picture.opening == "lid":
        seals = (box.left + width // 5, box.right - 1 - width // 5)
        for column in seals:
            for row in range(box.top, top):
                grid.cell(row, column, grid.glyphs.upright, "strong")
        grid.put(box.top, sum(seals) // 2 - len(name) // 2, name)
    else:
        for row in (top, last):
            for column in range(after, box.right):
                grid.cell(row, column, grid.glyphs.rule, "strong")
        grid.put(box.top, box.right - 1 - len(name), name)
    if any(arrow.face == "drain" for arrow in picture.arrows):
        name = f"{grid.glyphs.upright} drain {grid.glyphs.upright}"
        grid.put(box.bottom, (box.left + box.right) // 2 - len(name) // 2, name)


def _width(row: list[_Said]) -> int:
    return sum(cells(s.text) + 4 for s in row)


def _head(grid: Grid, said: _Said, inward: str) -> str:
    """The head of an arrow that points ``inward`` (right, left, down or up), or back out."""
    heads = grid.glyphs.damp if said.arrow.what == "vapour" else grid.glyphs.hot
    index = ("right", "left", "down", "up").index(inward)
    return heads[index ^ 1] if said.outward else heads[index]


def _draw_across(
    grid: Grid, row: list[_Said], first: int, rows: int, box: _Box, *, downward: bool
) -> list[_Said]:
    """Arrows through the lid or the bottom, side by side, centred on the box; gives what has no room."""
    rest = list(row)
    for at in range(first, first + rows):
        here: list[_Said] = []
        while rest and _width([*here, rest[0]]) - 2 <= grid.width:
            here.append(rest.pop(0))
        width = _width(here) - 2
        column = min(max((box.left + box.right - width) // 2, 0), max(0, grid.width - width))
        for said in here:
            if said.shaft or said.arrow.value:
                grid.cell(at, column, _head(grid, said, "down" if downward else "up"), said.colour)
            column = grid.put(at, column + 2, said.text) + 2
    return rest


def _draw_beside(
    grid: Grid, column: list[_Said], box: _Box, words: Words, *, from_left: bool
) -> list[_Said]:
    """Arrows through the hull's side or the front, one under the other; gives what has no room."""
    rows = range(box.top + 1, box.bottom)
    fitting = column[: len(rows)]
    gap = 2 if len(fitting) * 2 <= len(rows) else 1
    start = (len(rows) - (len(fitting) - 1) * gap - 1) // 2
    edge = box.left if from_left else box.right
    for number, said in enumerate(fitting):
        row = rows[start + number * gap]
        shaft = grid.glyphs.damp_shaft if said.colour == "vapour" else grid.glyphs.hot_shaft
        head = _head(grid, said, "right" if from_left else "left") if said.arrow.value else " "
        # The head is at the box going in, and at the words going out.
        arrow = shaft * said.shaft + head if said.outward != from_left else head + shaft * said.shaft
        room = (edge if from_left else grid.width - edge) - len(arrow) - 1
        text = said.text_in(room, words)
        if from_left:
            begin = grid.put_right(row, edge, arrow, said.colour)
            grid.put_right(row, begin - 1, text)
        else:
            at = grid.put(row, edge, arrow, said.colour)
            grid.put(row, at + 1, text)
    return column[len(rows) :]


def _draw_inside(picture: CutBox, grid: Grid, inside: list[_Said], box: _Box, words: Words) -> list[_Said]:
    """The plate against the hull's side, frost growing from it towards its limit, and what it says."""
    left, top, right, bottom = box.inner
    reach = max(4, min(10, (right - left) // 5))
    solid = "H" if grid.glyphs.dot.isascii() else grid.glyphs.rising[8]
    share = picture.frost / picture.frost_limit if picture.frost_limit > 0 else math.nan
    eighths = 0
    if math.isfinite(share) and share > 0:
        eighths = max(1, round(min(share, 1 + 2 / reach) * reach * 8))
    for row in range(top, bottom + 1):
        grid.cell(row, left, solid, "line")
        for number in range((eighths + 7) // 8):
            part = min(eighths - number * 8, 8)
            grid.cell(row, left + 1 + number, grid.glyphs.growing[part], "frost")
        # Frost that has reached its limit has the limit in it.
        past = eighths > reach * 8
        colours = ("background", "frost") if past else ("warn", "")
        grid.cell(row, left + 1 + reach, grid.glyphs.limit, *colours)
    at = left + max(reach + 3, (eighths + 7) // 8 + 2)
    room = right - at
    lines = []
    for label, value, colour in (("inside", picture.inside, "strong"), ("plate", picture.plate, "ink")):
        degrees = words.say(value, "temperature")
        whole = f"{label} {degrees}"
        # A number is never cut: it goes on a row of its own where the two have no room together.
        lines += [(text, colour) for text in ([whole] if cells(whole) <= room else [label, degrees])]
    fitting = [said for said in inside if cells(said.text) <= room][: max(0, bottom - top + 1 - len(lines))]
    lines += [(said.text, "ink") for said in fitting]
    for row, (text, colour) in enumerate(lines, top + max(0, (bottom - top + 1 - len(lines)) // 2)):
        if row <= bottom:
            grid.put(row, at, words.fit(text, room), colour)
    return [said for said in inside if said not in fitting]
