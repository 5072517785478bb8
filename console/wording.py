"""How things are said to the owner, on a screen and on a page alike; no screen is needed for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.boatfile.inputs import Input
    from console.quantities import System

Numbers = Mapping[str, tuple[float | None, float | None, float | None]]

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


def sentence(text: object) -> str:
    """Text on one line as a sentence: a capital first and a full stop last."""
    cleaned = " ".join(safe(text).split())
    cleaned = cleaned[:1].upper() + cleaned[1:]
    return cleaned if cleaned.endswith((".", "!", "?")) else cleaned + "."


def how_sure(share: float | None) -> str:
    """How sure a verdict is, as a person says it; ``""`` when it is not a yes or no."""
    from console.results import sure_words

    return f"sure: {sure_words(share)}" if share is not None and 0 <= share <= 1 else ""


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
