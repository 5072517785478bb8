"""A table in words for a page: columns as wide as they need, a mark of urgency before each row."""

from __future__ import annotations

from console.contract import Listing, ListRow, Urgency
from console.pictures.listing import column_widths, rows_of
from console.pictures.svg.canvas import SIZE, SMALL, Canvas, text_width, wrapped
from console.pictures.urgency import COLOURS, WORDS, present
from console.pictures.words import Words

_GAP = 20.0
_LINE = SIZE * 1.3


def paint(picture: Listing, canvas: Canvas, words: Words) -> None:
    """Paint a list, every row as high as its words need."""
    heads, rows = rows_of(picture, words)
    y = canvas.heading(picture.title) + 12
    left = 26.0 if any(row.urgency is not None for row in picture.rows) else 4.0
    texts = [heads, *(cells for _, cells in rows)]
    # Bold is wider: the first column is measured as it is drawn.
    widths = column_widths(texts, canvas.width - left - 6, _GAP, lambda t: text_width(t, SIZE, True), 130.0)
    if widths is not None and any(heads):
        x = left
        deepest = y
        for head, width in zip(heads, widths, strict=True):
            deepest = max(deepest, canvas.texts(x, y, wrapped(head, width, SMALL), "muted", size=SMALL))
            x += width + _GAP
        y = deepest + 4
    for row, cells in rows:
        canvas.line(4, y - 14, canvas.width - 4, y - 14, "muted", 0.7, more="faint")
        if row.urgency is not None:
            draw_mark(canvas, row.urgency, 12, y - 4)
        y = (
            _columns(canvas, row, cells, widths, left, y)
            if widths
            else _stacked(canvas, cells, heads, left, y)
        )
        y += 9
    if not rows:
        canvas.text(left, y, "nothing to show", "muted")
        y += _LINE
    note = words.plain(picture.note)
    if note.strip():
        y = canvas.texts(4, y, wrapped(note, canvas.width - 8, SMALL + 0.5), "muted", size=SMALL + 0.5) + 3
    canvas.height = _draw_legend(canvas, present(row.urgency for row in picture.rows), y)


def _columns(
    canvas: Canvas, row: ListRow, cells: tuple[str, ...], widths: list[float], left: float, y: float
) -> float:
    x, deepest = left, y + _LINE
    for index, (text, width) in enumerate(zip(cells, widths, strict=True)):
        first = index == 0
        lines = wrapped(text, width + 1, SIZE, True)
        deepest = max(deepest, canvas.texts(x, y, lines, "strong" if first else "ink", bold=first))
        x += width + _GAP
    return deepest


def _stacked(
    canvas: Canvas, cells: tuple[str, ...], heads: tuple[str, ...], left: float, y: float
) -> float:
    """A row under itself, each cell after its head: for where columns have no room."""
    for index, (head, text) in enumerate(zip(heads, cells, strict=True)):
        if index and not text:
            continue
        whole = text if index == 0 or not head else f"{head}: {text}"
        x = left if index == 0 else left + 14
        lines = wrapped(whole, canvas.width - x - 6, SIZE, True)
        y = canvas.texts(x, y, lines, "strong" if index == 0 else "ink", bold=index == 0)
    return y


def draw_mark(canvas: Canvas, urgency: Urgency, x: float, y: float) -> None:
    """The shape that stands for an urgency: square, triangle, question mark, disc, ring."""
    colour = COLOURS[urgency]
    if urgency == Urgency.ACT:
        canvas.rect(x - 6, y - 6, 12, 12, colour)
    elif urgency == Urgency.WATCH:
        canvas.area([(x, y - 7), (x + 7.5, y + 6), (x - 7.5, y + 6)], colour)
    elif urgency == Urgency.UNKNOWN:
        canvas.text(x, y + 5, "?", colour, "middle", 15, True)
    elif urgency == Urgency.FINE:
        canvas.circle(x, y, 6, colour)
    else:
        canvas.circle(x, y, 5, "background", colour, 1.5)


def _draw_legend(canvas: Canvas, urgencies: list[Urgency], y: float) -> float:
    """What the marks mean; gives the y under it."""
    if not urgencies:
        return y
    x = 12.0
    y += 4
    for urgency in urgencies:
        width = text_width(WORDS[urgency], SMALL)
        if x > 12 and x + 14 + width > canvas.width:
            x, y = 12.0, y + 20
        draw_mark(canvas, urgency, x, y - 4)
        canvas.text(x + 13, y, WORDS[urgency], "muted", size=SMALL)
        x += 13 + width + 22
    return y + 12
