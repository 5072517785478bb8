"""How things are put on the screen: plain text made safe, and the words for what is uncertain.

No data goes to a widget as a bare string: Textual would read ``[kW]`` as markup. Everything
passes through `plain` or `line`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.content import Content

from console.contract import Urgency
from console.pictures.urgency import MARKS as URGENCY_MARKS
from console.pictures.urgency import WORDS
from console.wording import ORIGIN_MARKS, Numbers, how_sure, input_name, input_text, safe, sentence

if TYPE_CHECKING:
    from console.engine.outcome import Figure
    from console.quantities import System

Part = str | Content | tuple[str, str]

URGENCY_WORDS = {urgency: word.upper() for urgency, word in WORDS.items()}
URGENCY_STYLES = {
    Urgency.ACT: "bold $act",
    Urgency.WATCH: "bold $watch",
    Urgency.UNKNOWN: "bold $unknown",
    Urgency.FINE: "bold $fine",
    Urgency.NOT_ABOARD: "$quiet",
}


def plain(text: object, lines: bool = False) -> Content:
    """Data as content for a widget: no markup, no control characters."""
    return Content(safe(text, lines))


def line(*parts: Part) -> Content:
    """Content from texts and (text, style) pairs, each made safe."""
    return Content.assemble(
        *(
            part if isinstance(part, Content)
            else (safe(part[0], True), part[1]) if isinstance(part, tuple)
            else safe(part, True)
            for part in parts
        )
    )  # fmt: skip


def first_sentence(text: str) -> str:
    """A text up to the end of its first sentence, or of its first part before a colon."""
    for place, mark in enumerate(text):
        if mark in ".:;" and text[place + 1 : place + 2] in ("", " "):
            return text[:place] + "."
    return text


def lines_of(rows: Iterable[Content]) -> Content:
    """Rows under each other."""
    return Content("\n").join(list(rows))


def short(text: object, width: int) -> str:
    """Safe text of at most ``width`` cells, cut with an ellipsis."""
    from rich.cells import cell_len, set_cell_size

    cleaned = safe(text)
    if cell_len(cleaned) <= width:
        return cleaned
    return set_cell_size(cleaned, max(width - 1, 0)).rstrip() + "…"


# --- numbers ----------------------------------------------------------------------------------


def figure_text(figure: Figure | None, system: System, with_range: bool = True) -> str:
    """A figure with its unit and its range; ``""`` when there is none."""
    from console.quantities import say, say_range

    if figure is None or figure.value is None:
        return ""
    if with_range and figure.low is not None and figure.high is not None:
        return say_range(figure.value, figure.low, figure.high, figure.style, system)
    return say(figure.value, figure.style, system)


def change_text(before: Figure | None, now: Figure | None, system: System) -> str:
    """``"2.1 → 3.4 gal/min (2.8 to 4.1)"``, or the number alone when it stayed."""
    was, current = figure_text(before, system, False), figure_text(now, system, False)
    whole = figure_text(now, system)
    if not was or was == current:
        return whole
    if not current:
        return f"{was} → no number"
    unit = " " + current.rsplit(" ", 1)[-1]
    return f"{was.removesuffix(unit)} → {whole}"


__all__ = [
    "ORIGIN_MARKS", "URGENCY_MARKS", "URGENCY_STYLES", "URGENCY_WORDS", "Numbers", "Part", "change_text",
    "figure_text", "how_sure", "input_name", "input_text", "line", "lines_of", "plain", "safe", "sentence",
    "short",
]  # fmt: skip
