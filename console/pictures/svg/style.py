"""The style sheet of the SVG pictures: one class for every colour a painter can name.

A painter never holds a colour; a page or a palette says what each class is.
"""

from __future__ import annotations

from console.pictures.palettes import DARK, LIGHT, TEXT_NAMES, Palette, mark_names

FONT = "system-ui, 'DejaVu Sans', 'Liberation Sans', Helvetica, Arial, sans-serif"

_SHAPES = (
    f".pic text{{font-family:{FONT}}}"
    ".pic .bold{font-weight:600}"
    ".pic .halo{paint-order:stroke;stroke-width:3.5px;stroke-linejoin:round}"
    ".pic .round{stroke-linejoin:round;stroke-linecap:round}"
    ".pic .soft{opacity:.22}.pic .faint{opacity:.4}"
)


def palette_style(palette: Palette) -> str:
    """The rules that give every class its colour of one palette."""
    return _SHAPES + _colours(palette)


def page_style() -> str:
    """The rules for a page: light, dark on a screen that is dark, light on paper."""
    return (
        _SHAPES + _colours(LIGHT) + "@media screen and (prefers-color-scheme:dark){" + _colours(DARK) + "}"
    )


def _colours(palette: Palette) -> str:
    names = ("background", *TEXT_NAMES, *mark_names(palette))
    rules = [
        f".pic .f-{name}{{fill:{palette.colour(name)}}}.pic .s-{name}{{stroke:{palette.colour(name)}}}"
        for name in names
    ]
    return "".join(rules)
