"""A table in words, in cells: columns as wide as they need, a mark of urgency before each row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from console.contract import Listing, ListRow
from console.pictures.cells import Grid
from console.pictures.urgency import COLOURS, WORDS, mark, present
from console.pictures.words import Words, cells, wrap

_GAP = 2
_LEAST_WORD = 14
_MANY = 10_000


def shared_widths(natural: Sequence[float], least: Sequence[float], room: float) -> list[float] | None:
    """How wide each column is in ``room``: its own width, or where they have no room together, the
    widest give way to each other; None when not even the ``least`` widths fit.
    """
    if sum(natural) <= room:
        return list(natural)
    if sum(least) > room:
        return None
    # One common width caps the wide columns: the largest that fits.
    low, high = 0.0, max(natural)
    for _ in range(40):
        middle = (low + high) / 2
        taken = sum(max(min(n, middle), m) for n, m in zip(natural, least, strict=True))
        low, high = (middle, high) if taken <= room else (low, middle)
    return [max(min(n, low), m) for n, m in zip(natural, least, strict=True)]


def rows_of(
    picture: Listing, words: Words
) -> tuple[tuple[str, ...], list[tuple[ListRow, tuple[str, ...]]]]:
    """The heads, and the rows with their texts made plain; every row has as many cells as the widest."""
    count = max((len(picture.heads), *(len(row.cells) for row in picture.rows)))

    def full(texts: Sequence[str]) -> tuple[str, ...]:
        return tuple(words.plain(texts[i]) if i < len(texts) else "" for i in range(count))

    return full(picture.heads), [(row, full(row.cells)) for row in picture.rows]


def legend(picture: Listing, words: Words) -> list[tuple[str, str, str]]:
    """Mark, word and colour of every urgency in the list, worst first."""
    found = present(row.urgency for row in picture.rows)
    return [(mark(u, words.ascii_only), WORDS[u], COLOURS[u]) for u in found]


def column_widths(
    texts: Sequence[Sequence[str]], room: float, gap: float, measure: Callable[[str], float], least: float
) -> list[float] | None:
    """The width of each column of texts; a column is at least as wide as its longest word, up to ``least``."""
    count = len(texts[0]) if texts else 0
    columns = [[row[i] for row in texts] for i in range(count)]
    natural = [max(map(measure, column), default=0.0) for column in columns]
    longest = [
        min(max((measure(word) for text in column for word in text.split()), default=0.0), least)
        for column in columns
    ]
    return shared_widths(natural, longest, room - gap * max(0, count - 1))


def summarise(picture: Listing, words: Words) -> str:
    """The picture in one sentence: how many rows, and the worst of them."""
    _, rows = rows_of(picture, words)
    if not rows:
        return f"{words.plain(picture.title)}: 0 rows, nothing to show"
    counted = [
        f"{sum(row.urgency == u for row in picture.rows)} {WORDS[u]}"
        for u in present(row.urgency for row in picture.rows)
    ]
    said = f"{len(rows)} row{'s' if len(rows) > 1 else ''}"
    if counted:
        said += f", {', '.join(counted)}"
    worst = min(rows, key=lambda pair: 9 if pair[0].urgency is None else int(pair[0].urgency))
    first = ", ".join(text for text in worst[1] if text)
    return f"{words.plain(picture.title)}: {said}" + (f"; {first}" if first else "")


def title_tail(picture: Listing, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return 0


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the table: its spots (column, text, colour)."""

    spots: tuple[tuple[int, str, str], ...]


def wanted_rows(picture: Listing, width: int, tall: int, words: Words) -> int:
    """Rows with the whole table, nothing left out."""
    head, blocks, foot = _lines(picture, width, words)
    return max(3, 1 + len(head) + sum(map(len, blocks)) + len(foot))


def paint(picture: Listing, grid: Grid, words: Words) -> None:
    """Paint a list; the grid is at least 24 cells by 3 rows."""
    grid.put(0, 0, words.fit(picture.title, grid.width), "strong")
    head, blocks, foot = _lines(picture, grid.width, words)
    row = 1
    room = grid.height - 1
    if len(head) + len(foot) + sum(map(len, blocks)) > room:
        foot = foot[:1] if room >= 6 else []
    room -= len(foot)
    if len(head) + 1 > room:
        head = []
    room -= len(head)
    shown = 0
    while shown < len(blocks):
        rest = len(blocks) - shown - 1
        if len(blocks[shown]) + bool(rest) > room:
            break
        room -= len(blocks[shown])
        shown += 1
    left_out = len(blocks) - shown
    lines = [*head, *(line for block in blocks[:shown] for line in block)]
    if left_out:
        more = words.fit(f"{grid.glyphs.more} and {left_out} more", grid.width)
        if not shown and room > 1:  # a row too long for the picture begins at least
            lines += blocks[0][: room - 1]
            more = words.fit(f"{grid.glyphs.more} goes on, {left_out - 1} more", grid.width)
        lines.append(_Line(((0, more, "muted"),)))
    for line in [*lines, *foot]:
        for column, text, colour in line.spots:
            grid.put(row, column, text, colour)
        row += 1


def _lines(
    picture: Listing, width: int, words: Words
) -> tuple[list[_Line], list[list[_Line]], list[_Line]]:
    """The heads, the rows (each some lines) and what stands under the table."""
    heads, rows = rows_of(picture, words)
    marked = any(row.urgency is not None for row in picture.rows)
    left = 2 if marked else 0
    texts = [heads, *(cells_ for _, cells_ in rows)]
    widths = column_widths(texts, width - left, _GAP, cells, _LEAST_WORD)
    if widths is None:
        head, blocks = [], [_stacked(row, texts_, heads, left, width, words) for row, texts_ in rows]
    else:
        whole = [int(w) for w in widths]
        head = _in_columns(None, heads, whole, left, "muted", words) if any(heads) else []
        blocks = [_in_columns(row, texts_, whole, left, "ink", words) for row, texts_ in rows]
    foot = [_Line(((0, line, "muted"),)) for line in _note_lines(picture, width, words)]
    return head, blocks, foot + _legend_lines(picture, width, words)


def _note_lines(picture: Listing, width: int, words: Words) -> list[str]:
    note = words.plain(picture.note)
    return wrap(note, width, _MANY, words.ascii_only) if note else []


def _legend_lines(picture: Listing, width: int, words: Words) -> list[_Line]:
    """What the marks mean, on one line where it fits."""
    out: list[_Line] = []
    spots: list[tuple[int, str, str]] = []
    column = 0
    for sign, word, colour in legend(picture, words):
        if spots and column + 2 + cells(word) > width:
            out.append(_Line(tuple(spots)))
            spots, column = [], 0
        spots += [(column, sign, colour), (column + 2, word, "muted")]
        column += cells(word) + 5
    return [*out, _Line(tuple(spots))] if spots else out


def _mark_spot(row: ListRow | None, words: Words) -> list[tuple[int, str, str]]:
    if row is None or row.urgency is None:
        return []
    return [(0, mark(row.urgency, words.ascii_only), COLOURS[row.urgency])]


def _in_columns(
    row: ListRow | None, texts: tuple[str, ...], widths: list[int], left: int, colour: str, words: Words
) -> list[_Line]:
    broken = [wrap(text, width, _MANY, words.ascii_only) for text, width in zip(texts, widths, strict=True)]
    out = []
    for number in range(max(map(len, broken), default=0) or 1):
        spots = _mark_spot(row, words) if number == 0 else []
        at = left
        for index, (lines, width) in enumerate(zip(broken, widths, strict=True)):
            if number < len(lines) and lines[number]:
                strong = index == 0 and colour == "ink"
                spots.append((at, lines[number], "strong" if strong else colour))
            at += width + _GAP
        out.append(_Line(tuple(spots)))
    return out


def _stacked(
    row: ListRow, texts: tuple[str, ...], heads: tuple[str, ...], left: int, width: int, words: Words
) -> list[_Line]:
    """A row under itself, each cell after its head: for where columns have no room."""
    out = []
    for index, (head, text) in enumerate(zip(heads, texts, strict=True)):
        if index and not text:
            continue
        whole = text if index == 0 or not head else f"{head}: {text}"
        indent = left if index == 0 else left + 2
        for number, line in enumerate(wrap(whole, max(1, width - indent), _MANY, words.ascii_only)):
            spots = _mark_spot(row, words) if index == 0 and number == 0 else []
            out.append(_Line((*spots, (indent, line, "strong" if index == 0 else "ink"))))
    return out
