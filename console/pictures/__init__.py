"""Pictures: the contract's records drawn in terminal cells, as pure functions.

Nothing heavy is imported with this module; the painters come with the first picture drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.contract import (
    AirChart,
    Bars,
    Curve,
    CutBox,
    Distribution,
    Listing,
    Picture,
    Stack,
    Timeline,
    WaterLine,
)
from console.pictures.palettes import DARK, LIGHT, NIGHT, PALETTES, Palette, contrast

if TYPE_CHECKING:
    from types import ModuleType

    from rich.text import Text

    from console.pictures.words import Words
    from console.quantities import System

# Which module paints a record, and the smallest grid (cells, rows) it can be read on.
_PAINTERS: dict[type, tuple[str, int, int]] = {
    Stack: ("stack", 36, 7),
    Bars: ("bars", 32, 2),
    WaterLine: ("water_line", 44, 8),
    CutBox: ("cut_box", 56, 9),
    Curve: ("curve", 32, 6),
    Distribution: ("distribution", 32, 5),
    AirChart: ("air_chart", 40, 9),
    Listing: ("listing", 24, 3),
    Timeline: ("timeline", 32, 7),
}
_TITLE_ROWS = 3
"""A title takes at most so many rows; what is longer than that is cut."""


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
    from console.pictures.words import Words, wrap

    painter, least_width, least_height = _painter(picture)
    words = Words(system, ascii_only)
    if width < least_width or height < least_height:
        grid = Grid(width, height, ascii_only)
        said = words.plain(painter.summarise(picture, words))
        for row, line in enumerate(wrap(said, width, height, ascii_only)):
            grid.put(row, 0, line)
        return grid.lines(palette)
    lines = _title_lines(picture, painter, width, min(_TITLE_ROWS, 1 + height - least_height), words)
    if len(lines) < 2:
        grid = Grid(width, height, ascii_only)
        painter.paint(picture, grid, words)
        return grid.lines(palette)
    from dataclasses import replace

    above = Grid(width, len(lines) - 1, ascii_only)
    for row, line in enumerate(lines[:-1]):
        above.put(row, 0, line or " ", "strong")
    grid = Grid(width, height - len(lines) + 1, ascii_only)
    painter.paint(replace(picture, title=lines[-1]), grid, words)
    return [*above.lines(palette), *grid.lines(palette)]


def _title_lines(picture: Picture, painter: ModuleType, width: int, most: int, words: Words) -> list[str]:
    """The title broken so that nothing of it is cut; its last line shares its row with the units."""
    from console.pictures.words import cells, wrap

    title = words.plain(picture.title)
    room = width - painter.title_tail(picture, words, width)
    if most < 2 or cells(title) <= room or room < 8:
        return [title]
    lines = wrap(title, width, most, words.ascii_only)
    if cells(lines[-1]) > room and len(lines) < most:
        lines[-1:] = wrap(lines[-1], room, most - len(lines) + 1, words.ascii_only)
    return lines


def rows_wanted(picture: Picture, width: int, tall: int, system: System, ascii_only: bool = False) -> int:
    """The rows a picture would like in ``width`` cells: ``tall``, or what its list or its key needs."""
    from console.pictures.words import Words

    painter, least_width, _ = _painter(picture)
    words = Words(system, ascii_only)
    wanted = tall
    if hasattr(painter, "wanted_rows") and width >= least_width:
        wanted = int(painter.wanted_rows(picture, width, tall, words))
    return wanted + len(_title_lines(picture, painter, width, _TITLE_ROWS, words)) - 1


def summary(picture: Picture, system: System, ascii_only: bool = False) -> str:
    """What a picture says, in one sentence: where nothing can be drawn, and for those who listen."""
    from console.pictures.words import Words

    words = Words(system, ascii_only)
    return words.plain(_painter(picture)[0].summarise(picture, words))


__all__ = ["DARK", "LIGHT", "NIGHT", "PALETTES", "Palette", "contrast", "draw", "rows_wanted", "summary"]
