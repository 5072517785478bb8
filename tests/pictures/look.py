"""Pictures as a terminal would show them, as SVG, for looking at while working on a painter.

    from tests.pictures.look import as_svg
    from tests.pictures.samples import SAMPLES
    Path("cabin.svg").write_text(as_svg(draw(SAMPLES["cabin heat"], 76, 10, "us", DARK), DARK))

Blocks and braille are drawn as shapes, cell by cell, as terminals draw them, so that a font that
lacks them does not mislead.
"""

from __future__ import annotations

from html import escape

from rich.text import Text

from console.pictures import Palette
from tests.pictures.reading import GROWING, RISING, cells_of

_W, _H = 9.0, 19.0


def as_svg(lines: list[Text], palette: Palette) -> str:
    """The lines as one SVG document on the palette's background."""
    width = max((line.cell_len for line in lines), default=1) * _W
    body: list[str] = []
    for row, line in enumerate(lines):
        for column, cell in enumerate(cells_of(line, palette)):
            body.append(_drawn(cell.char, column * _W, row * _H, cell.fore, cell.back))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width + 16}" height="{len(lines) * _H + 16}">'
        f'<rect width="100%" height="100%" fill="{palette.background}"/>'
        '<g transform="translate(8 8)" font-family="DejaVu Sans Mono" font-size="15" shape-rendering="crispEdges">'
        f"{''.join(body)}</g></svg>"
    )


def _drawn(char: str, x: float, y: float, fore: str, back: str) -> str:
    out = _rect(x, y, _W, _H, back) if back else ""
    if char and char in RISING and char != " ":
        high = _H * RISING.index(char) / 8
        return out + _rect(x, y + _H - high, _W, high, fore)
    if char and char in GROWING and char != " ":
        return out + _rect(x, y, _W * GROWING.index(char) / 8, _H, fore)
    if char and 0x2800 <= ord(char) <= 0x28FF:
        bits = ord(char) - 0x2800
        for bit, (dot_x, dot_y) in enumerate(
            ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
        ):
            if bits >> bit & 1:
                out += _rect(x + 1 + dot_x * _W / 2, y + 1 + dot_y * _H / 4, 2.6, 2.6, fore)
        return out
    if char in ("", " "):
        return out
    return out + f'<text x="{x}" y="{y + _H * 0.76}" fill="{fore}">{escape(char)}</text>'


def _rect(x: float, y: float, width: float, height: float, fill: str) -> str:
    return f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" fill="{fill}"/>'
