"""A grid of terminal cells that painters fill by colour name, and that leaves as lines of text.

Writing outside the grid is ignored, so that no painter needs to mind the edges.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rich.cells import get_character_cell_size
from rich.style import Style
from rich.text import Text

from console.pictures.palettes import Palette


@dataclass(frozen=True, slots=True)
class Glyphs:
    """The characters of one kind of terminal."""

    rising: str  # from empty to full, growing from the bottom
    growing: str  # from empty to full, growing from the left
    axis: str
    axis_tick: str
    axis_tick_right: str
    rule: str
    mark: str
    dashes: tuple[str, ...]
    whisker: tuple[str, str, str]
    point: str
    points: str
    upright: str
    more: str
    track: str
    water: str
    pipe: dict[str, str]
    drop: str
    outlet: str
    hot: tuple[str, str, str, str]  # heat going right, left, down, up
    damp: tuple[str, str, str, str]  # vapour likewise
    hot_shaft: str
    damp_shaft: str
    foam: str
    corners: str  # ╔╗╚╝═║
    limit: str
    dot: str


UNICODE = Glyphs(
    rising=" ▁▂▃▄▅▆▇█",
    growing=" ▏▎▍▌▋▊▉█",
    axis="│",
    axis_tick="┤",
    axis_tick_right="├",
    rule="┄",
    mark="▲",
    dashes=("━", "╍", "┅"),
    whisker=("├", "─", "┤"),
    point="●",
    points="●◆■▲○◇",
    upright="┊",
    more="…",
    track="·",
    water="~",
    pipe={"flat": "━", "up": "┃", "left-up": "┛", "left-down": "┓", "up-right": "┗", "down-right": "┏"},
    drop="╎",
    outlet="▷",
    hot=("▶", "◀", "▼", "▲"),
    damp=("▷", "◁", "▽", "△"),
    hot_shaft="━",
    damp_shaft="~",
    foam="░",
    corners="╔╗╚╝═║",
    limit="┊",
    dot="·",
)

ASCII = Glyphs(
    rising="   .oo###",
    growing="   |||###",
    axis="|",
    axis_tick="+",
    axis_tick_right="+",
    rule="-",
    mark="^",
    dashes=("-", "=", "."),
    whisker=("[", "-", "]"),
    point="o",
    points="o*x+@%",
    upright=":",
    more=".",
    track=".",
    water="~",
    pipe={"flat": "=", "up": "|", "left-up": "+", "left-down": "+", "up-right": "+", "down-right": "+"},
    drop=":",
    outlet=">",
    hot=(">", "<", "v", "^"),
    damp=(")", "(", "u", "n"),
    hot_shaft="=",
    damp_shaft="~",
    foam=":",
    corners="++++=|",
    limit=":",
    dot=".",
)


@lru_cache(maxsize=4096)
def _style(palette: Palette, fore: str, back: str) -> Style:
    bold = fore in ("strong", "bad")
    return Style(
        color=palette.colour(fore), bgcolor=palette.colour(back) if back else None, bold=bold or None
    )


class Grid:
    """``height`` rows of ``width`` cells, each a character with a colour name and a ground name.

    An empty ground is whatever the picture lies on.
    """

    def __init__(self, width: int, height: int, ascii_only: bool = False) -> None:
        self.width, self.height = max(0, width), max(0, height)
        self.glyphs = ASCII if ascii_only else UNICODE
        self.chars = [[" "] * self.width for _ in range(self.height)]
        self.fore = [["ink"] * self.width for _ in range(self.height)]
        self.back = [[""] * self.width for _ in range(self.height)]

    def cell(self, row: int, column: int, char: str, fore: str = "ink", back: str = "") -> None:
        """Set one cell to a character one cell wide."""
        if 0 <= row < self.height and 0 <= column < self.width:
            line = self.chars[row]
            if line[column] == "":  # the right half of a wide character: its left half goes too
                line[column - 1] = " "
            if column + 1 < self.width and line[column + 1] == "":
                line[column + 1] = " "
            line[column] = char
            self.fore[row][column] = fore
            self.back[row][column] = back

    def put(self, row: int, column: int, text: str, fore: str = "ink", back: str = "") -> int:
        """Write a text (already made plain) from a column on; gives the column after it."""
        for char in text:
            size = 1 if char.isascii() else get_character_cell_size(char)
            if size == 2:
                if column >= 0 and column + 1 < self.width:
                    self.cell(row, column, " ", fore, back)
                    self.cell(row, column + 1, " ", fore, back)
                    if 0 <= row < self.height:
                        self.chars[row][column], self.chars[row][column + 1] = char, ""
            elif size == 1:
                self.cell(row, column, char, fore, back)
            column += size
        return column

    def put_right(self, row: int, end: int, text: str, fore: str = "ink", back: str = "") -> int:
        """Write a text that ends just before column ``end``; gives the column where it begins."""
        begin = end - sum(1 if c.isascii() else get_character_cell_size(c) for c in text)
        self.put(row, begin, text, fore, back)
        return begin

    def is_free(self, row: int, first: int, last: int) -> bool:
        """Whether the cells first..last-1 of a row are inside the grid and empty."""
        return (
            0 <= row < self.height
            and 0 <= first <= last <= self.width
            and all(
                char == " " and not back
                for char, back in zip(self.chars[row][first:last], self.back[row][first:last], strict=True)
            )
        )

    def rise(self, column: int, width: int, bottom: int, rows: int, share: float, fore: str) -> None:
        """A column of blocks ``width`` wide, standing on row ``bottom``, ``share`` of ``rows`` high.

        A share above zero always shows at least the thinnest block.
        """
        eighths = max(round(share * rows * 8), 1 if share > 0 else 0)
        for up in range(rows):
            part = min(max(eighths - 8 * up, 0), 8)
            if part:
                for x in range(column, column + width):
                    self.cell(bottom - up, x, self.glyphs.rising[part], fore)

    def lines(self, palette: Palette) -> list[Text]:
        """The grid as lines in a palette's colours, without trailing blanks."""
        out = [self._line(row, palette) for row in range(self.height)]
        while out and not out[-1].plain:
            out.pop()
        return out

    def _line(self, row: int, palette: Palette) -> Text:
        chars, fore, back = self.chars[row], self.fore[row], self.back[row]
        end = self.width
        while end and chars[end - 1] == " " and not back[end - 1]:
            end -= 1
        text = Text(end="", no_wrap=True)
        start = 0
        for column in range(1, end + 1):
            if column == end or (
                (fore[column] != fore[start] or back[column] != back[start]) and chars[column] != ""
            ):
                run = "".join(chars[start:column])
                blank = run.isspace() and not back[start]
                text.append(run, None if blank else _style(palette, fore[start], back[start]))
                start = column
        return text
