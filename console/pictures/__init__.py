"""Pictures: the contract's records drawn in terminal cells, as pure functions.

Nothing heavy is imported with this module; the painters come with the first picture drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.contract import Bars, Curve, CutBox, Distribution, Picture, Stack, WaterLine
from console.pictures.palettes import DARK, LIGHT, NIGHT, PALETTES, Palette, contrast

if TYPE_CHECKING:
    from types import ModuleType

    from rich.text import Text

    from console.quantities import System

# Which module paints a record, and the smallest grid (cells, rows) it can be read on.
_PAINTERS: dict[type, tuple[str, int, int]] = {
    Stack: ("stack", 36, 7),
    Bars: ("bars", 32, 2),
    WaterLine: ("water_line", 44, 8),
    CutBox: ("cut_box", 56, 9),
    Curve: ("curve", 32, 6),
    Distribution: ("distribution", 32, 5),
}


def _painter(picture: Picture) -> tuple[ModuleType, int, int]:
    from importlib import import_module

    name, width, height = _PAINTERS[type(picture)]
    return import_module(f"console.pictures.{name}"), width, height


def draw(
    picture: Picture, width: int, height: int, system: System, palette: Palette, ascii_only: bool = False
) -> list[Text]:
    """A picture as at most ``height`` lines of at most ``width`` cells each.

    Numbers are in the owner's unit ``system``, colours from ``palette``; ``ascii_only`` uses no
    character beyond ASCII. Where there is too little room for the picture, its one sentence is
    given instead. What is NaN or infinite is left out as a gap. Raises KeyError for a record
    that is no picture.
    """
    from console.pictures.cells import Grid
    from console.pictures.words import Words

    painter, least_width, least_height = _painter(picture)
    words = Words(system, ascii_only)
    grid = Grid(width, height, ascii_only)
    if width < least_width or height < least_height:
        from console.pictures.words import wrap

        said = words.plain(painter.summarise(picture, words))
        for row, line in enumerate(wrap(said, width, height, ascii_only)):
            grid.put(row, 0, line)
    else:
        painter.paint(picture, grid, words)
    return grid.lines(palette)


def summary(picture: Picture, system: System, ascii_only: bool = False) -> str:
    """What a picture says, in one sentence: where nothing can be drawn, and for those who listen."""
    from console.pictures.words import Words

    words = Words(system, ascii_only)
    return words.plain(_painter(picture)[0].summarise(picture, words))


__all__ = ["DARK", "LIGHT", "NIGHT", "PALETTES", "Palette", "contrast", "draw", "summary"]
