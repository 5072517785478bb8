"""What a part of a water line looks like on the pipe."""

from __future__ import annotations

from console.pictures.svg.canvas import SMALL, Canvas


def draw_part(canvas: Canvas, kind: str, x: float, y: float, room: float) -> None:
    """The sign of a kind of part on the pipe at (x, y); plain pipe has none."""
    s = min(room, 40.0) / 40.0
    if kind == "intake":
        for offset in (-7, 0, 7):
            canvas.line(x + offset * s, y - 8 * s, x + offset * s, y + 8 * s, "strong", 2)
    elif kind == "seacock":
        _bow_tie(canvas, x, y, 11 * s, "strong")
        canvas.line(x, y, x, y - 13 * s, "strong", 2.2)
        canvas.line(x - 6 * s, y - 13 * s, x + 6 * s, y - 13 * s, "strong", 2.2)
    elif kind == "strainer":
        canvas.rect(x - 11 * s, y - 9 * s, 22 * s, 26 * s, "background", "strong", 2, 4)
        for across in (-6, 0, 6):
            canvas.line(x + across * s, y - 5 * s, x + across * s, y + 13 * s, "strong", 1.1, "2 2")
    elif kind == "pump":
        canvas.circle(x, y, 13 * s, "background", "strong", 2)
        canvas.area([(x - 6 * s, y - 8 * s), (x + 10 * s, y), (x - 6 * s, y + 8 * s)], "strong")
    elif kind == "condenser":
        canvas.rect(x - 17 * s, y - 12 * s, 34 * s, 24 * s, "background", "strong", 2, 3)
        coil = [(x + (-13 + 5.2 * i) * s, y + (7 if i % 2 else -7) * s) for i in range(6)]
        canvas.path(coil, "heat", 2)
    elif kind == "kink":
        _bow_tie(canvas, x, y, 12 * s, "bad")
    elif kind == "overboard":
        canvas.area([(x - 4 * s, y - 8 * s), (x + 10 * s, y), (x - 4 * s, y + 8 * s)], "strong")
    elif kind == "fitting":
        canvas.rect(x - 3 * s, y - 8 * s, 6 * s, 16 * s, "strong")
    elif kind == "lift":
        canvas.line(x, y + 9 * s, x, y - 5 * s, "strong", 2)
        canvas.area([(x, y - 11 * s), (x + 5 * s, y - 4 * s), (x - 5 * s, y - 4 * s)], "strong")
    elif kind not in ("hose", "bend"):
        canvas.rect(x - 9 * s, y - 9 * s, 18 * s, 18 * s, "background", "strong", 2, 3)
        canvas.text(x, y + 4, "?", "muted", "middle", SMALL)


def _bow_tie(canvas: Canvas, x: float, y: float, size: float, colour: str) -> None:
    high = size * 0.8
    canvas.rect(x - size, y - 5, 2 * size, 10, "background")
    canvas.area([(x - size, y - high), (x, y), (x - size, y + high)], colour)
    canvas.area([(x + size, y - high), (x, y), (x + size, y + high)], colour)
