"""How things are put on the screen: plain text made safe, and the words for what is uncertain.

No data goes to a widget as a bare string: Textual would read ``[kW]`` as markup. Everything
passes through `plain` or `line`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from console.contract import Urgency

if TYPE_CHECKING:
    from console.boatfile.inputs import Input
    from console.engine.outcome import Figure
    from console.quantities import System

Part = str | Content | tuple[str, str]
Numbers = Mapping[str, tuple[float | None, float | None, float | None]]

URGENCY_WORDS = {
    Urgency.ACT: "ACT NOW",
    Urgency.WATCH: "WATCH",
    Urgency.UNKNOWN: "NOT KNOWN",
    Urgency.FINE: "FINE",
    Urgency.NOT_ABOARD: "NOT ABOARD",
}
URGENCY_MARKS = {
    Urgency.ACT: "■",
    Urgency.WATCH: "▲",
    Urgency.UNKNOWN: "?",
    Urgency.FINE: "●",
    Urgency.NOT_ABOARD: "○",
}
URGENCY_STYLES = {
    Urgency.ACT: "bold $act",
    Urgency.WATCH: "bold $watch",
    Urgency.UNKNOWN: "bold $unknown",
    Urgency.FINE: "bold $fine",
    Urgency.NOT_ABOARD: "$quiet",
}
ORIGIN_MARKS = {"measured": "●", "given": "◐", "assumed": "○"}


def safe(text: object, lines: bool = False) -> str:
    """Text with every control and invisible character made visible or harmless."""
    kept = []
    for char in str(text):
        if char.isprintable() or (char == "\n" and lines):
            kept.append(char)
        elif char.isspace():
            kept.append(" ")
        else:
            kept.append("?")
    return "".join(kept)


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


def sentence(text: object) -> str:
    """Text on one line as a sentence: a capital first and a full stop last."""
    cleaned = " ".join(safe(text).split())
    cleaned = cleaned[:1].upper() + cleaned[1:]
    return cleaned if cleaned.endswith((".", "!", "?")) else cleaned + "."


# --- how sure ---------------------------------------------------------------------------------


def how_sure(share: float | None) -> str:
    """How sure a verdict is, as a person says it; ``""`` when it is not a yes or no."""
    from console.results import sure_words

    return f"sure: {sure_words(share)}" if share is not None and 0 <= share <= 1 else ""


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


def input_name(item: Input) -> str:
    """An input in plain words, with the part of the boat it belongs to."""
    from console.desk import place

    where = place(item.path)
    return f"{where}: {item.label}" if where else item.label


def input_text(item: Input, system: System, numbers: Numbers | None = None) -> str:
    """An input's value with its spread, in the chosen units.

    ``numbers`` (of the last run) holds the values of inputs that are computed from others.
    """
    from console.quantities import STYLES, convert, number_text, say

    if item.kind == "flag":
        return "yes" if item.value else "no"
    if item.kind == "choice":
        return str(item.value).replace("_", " ")
    measure = item.measure
    if item.kind != "quantity" or measure is None:
        return item.text or "none"
    if item.compute:
        found = (numbers or {}).get(item.path)
        if found is None or found[0] is None:
            return "worked out from the rest"
        text = say(found[0], item.style, system)
    else:
        text = say(measure.value, item.style, system)
    if not measure.half:
        return text
    if measure.relative:
        return f"{text} ± {number_text(measure.half * 100, 2)} %"
    if item.style == "wire":
        return text
    style = "temperature_difference" if STYLES[item.style].unit == "K" else item.style
    half = float(convert(measure.half, style, system))
    figure, joint, unit = text.partition(" ")
    if not joint:
        unit = figure.lstrip("-0123456789.,")
    return f"{text} ± {number_text(half, 2)}{joint}{unit}"
