"""The SVG twins of the pictures: the same records, the same words and scales, drawn for a page.

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

if TYPE_CHECKING:
    from console.pictures.palettes import Palette
    from console.quantities import System

# Which module paints a record, and the least width it is laid out in: narrower, it is scaled down.
_PAINTERS: dict[type, tuple[str, int]] = {
    Stack: ("stack", 320),
    Bars: ("bars", 320),
    WaterLine: ("water_line", 640),
    CutBox: ("cut_box", 600),
    Curve: ("curve", 320),
    Distribution: ("distribution", 320),
    AirChart: ("air_chart", 440),
    Listing: ("listing", 320),
    Timeline: ("timeline", 320),
}


def draw_svg(
    picture: Picture,
    system: System,
    palette: Palette | None = None,
    width: int = 720,
    *,
    embedded: bool = False,
) -> str:
    """A picture as one self-contained SVG element, ``width`` units wide and as high as it needs.

    Colours are those of ``palette``; without one, light, and dark where the reader's screen is.
    An ``embedded`` picture leaves out its style: the page has `page_style` once. It has no ids, so
    any number may stand on one page. The same record gives the same text. Raises KeyError for a
    record that is no picture.
    """
    from importlib import import_module

    from console.pictures import summary
    from console.pictures.palettes import LIGHT
    from console.pictures.svg.canvas import Canvas
    from console.pictures.svg.style import page_style, palette_style
    from console.pictures.words import Words

    name, least = _PAINTERS[type(picture)]
    painter = import_module(f"console.pictures.svg.{name}")
    words = Words(system)
    canvas = Canvas(max(least, width), palette or LIGHT)
    painter.paint(picture, canvas, words)
    style = "" if embedded else palette_style(palette) if palette else page_style()
    return canvas.finished(words.plain(picture.title), summary(picture, system), style, max(1, width))


__all__ = ["draw_svg"]
