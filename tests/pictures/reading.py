"""Reading a drawn picture back, cell by cell."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import get_character_cell_size
from rich.text import Text

from console.contract import Picture
from console.pictures import DARK, Palette, draw

RISING = " ▁▂▃▄▅▆▇█"
GROWING = " ▏▎▍▌▋▊▉█"


@dataclass(frozen=True)
class Cell:
    char: str
    fore: str
    back: str


def cells_of(line: Text, palette: Palette) -> list[Cell]:
    """A line's cells with the colours they are shown in; a wide character takes two."""
    fore = [palette.ink] * len(line.plain)
    back = [""] * len(line.plain)
    for span in line.spans:
        style = span.style
        assert not isinstance(style, str), "a style must be a style, not a name the theme may not have"
        for at in range(span.start, span.end):
            fore[at] = style.color.name if style.color else fore[at]
            back[at] = style.bgcolor.name if style.bgcolor else ""
    out: list[Cell] = []
    for cell in map(Cell, line.plain, fore, back):
        out.append(cell)
        out.extend([Cell("", cell.fore, cell.back)] * (get_character_cell_size(cell.char) - 1))
    return out


class Drawn:
    """A picture drawn, to be asked what stands where."""

    def __init__(
        self, picture: Picture, width: int = 76, height: int = 10, palette: Palette = DARK,
        system: str = "si", ascii_only: bool = False,
    ) -> None:  # fmt: skip
        self.palette = palette
        self.texts = draw(picture, width, height, system, palette, ascii_only)  # type: ignore[arg-type]
        self.lines = [text.plain for text in self.texts]
        blank = Cell(" ", palette.ink, "")
        self.rows = [cells_of(text, palette) for text in self.texts]
        self.rows = [row + [blank] * (width - len(row)) for row in self.rows]

    @property
    def text(self) -> str:
        return "\n".join(self.lines)

    def column(self, at: int) -> list[Cell]:
        return [row[at] for row in self.rows]

    def row_with(self, text: str) -> int:
        return next(i for i, line in enumerate(self.lines) if text in line)


def filled(cell: Cell, palette: Palette) -> float:
    """How much of a cell (0..1) is in an area's colour, from its bottom."""
    if cell.char in RISING and cell.char != " ":
        share = RISING.index(cell.char) / 8
        fore = share if cell.fore != palette.background else 0.0
        return fore + (1 - share if cell.back else 0.0)
    return 1.0 if cell.back else 0.0
