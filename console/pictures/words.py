"""Every text of a picture: made safe, cut to measure, and dressed in the owner's units."""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from rich.cells import get_character_cell_size

from console.quantities import STYLES, System, convert, number_text, pretty_unit, say

Array = NDArray[np.float64]

# Beyond this a double still holds the number, but no sum or span of such numbers is safe; below
# that it is as good as nothing.
_TOO_LARGE, _NOTHING = 1e30, 1e-30

_ASCII = {
    "°": "deg", "²": "2", "³": "3", "·": ".", "–": "-", "—": "-", "−": "-", "…": ".", "Ω": "ohm",
    "µ": "u", "μ": "u", "±": "+-", "×": "x", "½": "1/2", "¼": "1/4", "¾": "3/4",
    "’": "'", "‘": "'", "“": '"', "”": '"',
}  # fmt: skip


def plain(text: object, ascii_only: bool = False) -> str:
    """One line of printable text: what cannot be printed becomes ``?``, markup stays as written.

    Combining marks are composed or left out, so that a character's place is its own.
    """
    kept: list[str] = []
    for char in unicodedata.normalize("NFC", str(text)):
        if char in "\t\n\r" or unicodedata.category(char) == "Zs":
            kept.append(" ")
        elif unicodedata.category(char) in ("Mn", "Me", "Mc"):
            continue
        else:
            kept.append(char if char.isprintable() else "?")
    line = "".join(kept)
    return line if not ascii_only or line.isascii() else _to_ascii(line)


def _to_ascii(line: str) -> str:
    # "F" for degrees Fahrenheit is how it is said; a bare degree of arc keeps its word.
    line = line.replace("°F", "F").replace("°C", "C")
    out: list[str] = []
    for char in line:
        if char.isascii():
            out.append(char)
        elif char in _ASCII:
            out.append(_ASCII[char])
        else:
            bare = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode()
            out.append(bare or "?")
    return "".join(out)


def cells(text: str) -> int:
    """How many terminal cells a text takes (a wide character takes two)."""
    return len(text) if text.isascii() else sum(map(get_character_cell_size, text))


def fit(text: str, width: int, ascii_only: bool = False) -> str:
    """The text, cut with an ellipsis to at most ``width`` cells."""
    if cells(text) <= width:
        return text
    if width <= 0:
        return ""
    mark = "." if ascii_only else "…"
    room, kept = width - 1, ""
    for char in text:
        room -= get_character_cell_size(char)
        if room < 0:
            break
        kept += char
    return kept.rstrip() + mark


def clean(values: Any) -> Array:
    """Values as floats, with NaN (a gap) for whatever cannot be drawn."""
    array = np.array(values, dtype=float)
    with np.errstate(invalid="ignore"):
        array[~(np.abs(array) < _TOO_LARGE)] = np.nan
        array[np.abs(array) < _NOTHING] = 0.0
    return array


def matched(values: Sequence[float], count: int) -> Array:
    """So many values: a short row ends in gaps, a long one is cut."""
    out = np.full(count, np.nan)
    known = clean(values[:count])
    out[: known.size] = known
    return out


def clock(hour: float) -> str:
    """A local hour as 24 h clock time: 13.5 is ``"13:30"``, 25 is ``"01:00"``."""
    minutes = round(hour * 60) % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def share_text(share: float) -> str:
    """A share (0..1) in per cent, never ``0 %`` for a little nor ``100 %`` for nearly all."""
    if not math.isfinite(share):
        return "–"
    percent = round(share * 100)
    if percent == 0 and share > 0:
        return "under 1 %"
    if percent == 100 and share < 1:
        return "over 99 %"
    return f"{percent} %"


@dataclass(frozen=True, slots=True)
class Words:
    """How this picture's numbers and texts are said: unit system, and whether only in ASCII."""

    system: System
    ascii_only: bool = False

    def plain(self, text: object) -> str:
        return plain(text, self.ascii_only)

    def fit(self, text: object, width: int) -> str:
        return fit(self.plain(text), width, self.ascii_only)

    def style(self, style: str) -> str:
        """The style, or a bare number's when a record names one that does not exist."""
        return style if style in STYLES else "signed_number"

    def unit(self, style: str) -> str:
        if style == "wire":  # a gauge is no scale; areas are
            return plain("mm²", self.ascii_only)
        return plain(pretty_unit(self.style(style), self.system), self.ascii_only)

    def shown(self, values: Any, style: str) -> Array:
        """SI values in the owner's unit, with NaN for what cannot be drawn."""
        with np.errstate(over="ignore", invalid="ignore"):
            return clean(convert(clean(values), self.style(style), self.system))

    def say(self, value: float, style: str) -> str:
        """An SI value with its unit, dressed for reading."""
        key = self.style(style)
        drawable = math.isfinite(value) and _NOTHING < abs(value) < _TOO_LARGE
        if not drawable and value != 0:
            return plain("–", self.ascii_only)
        return plain(say(float(value), key, self.system), self.ascii_only)

    def number(self, value: float, style: str) -> str:
        """An SI value without its unit, as `say` rounds it."""
        said = self.say(value, style)
        unit = plain(pretty_unit(self.style(style), self.system), self.ascii_only)
        return said.removesuffix(unit).strip() if unit else said

    def range(self, value: float, low: float, high: float, style: str) -> str:
        """``"2.1 gal/min (1.7 to 2.6)"``."""
        return f"{self.say(value, style)} ({self.number(low, style)} to {self.number(high, style)})"

    def titled(self, title: str, unit: str) -> str:
        """A picture's title with the unit of its numbers: ``"Cabin heat, BTU/h"``."""
        title = self.plain(title)
        return f"{title}, {unit}" if unit else title


def tick_text(value: float, step: float, largest: float = 0.0) -> str:
    """A tick's number, with the decimals its step needs and no more; ``largest`` is its neighbours'."""
    if value == 0 or step <= 0:
        return "0"
    if step < 1e-6 or max(abs(value), largest) >= 1e8:  # no number a boat has; short at least
        return f"{value:.3g}"
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    if not math.isclose(step * 10**places, round(step * 10**places), rel_tol=1e-6):
        places += 1  # 0.25 needs two decimals, not one
    return f"{value:,.{places}f}" if max(abs(value), largest) >= 10_000 else f"{value:.{places}f}"


def column_texts(values: Sequence[float | None], words: Words) -> list[str]:
    """Numbers that stand under each other: one number of decimals, three digits for the largest."""
    known = [abs(v) for v in values if v is not None and math.isfinite(v)]
    largest = max(known, default=0.0)
    if largest == 0 or not 1e-4 < largest < 1e12:
        return ["" if v is None else words.plain(number_text(v)) for v in values]
    places = max(0, 2 - math.floor(math.log10(largest)))
    out = []
    for value in values:
        if value is None or not math.isfinite(value):
            out.append("" if value is None else words.plain("–"))
            continue
        rounded = round(value, places)
        if places == 0 and rounded:  # no more than three digits are meant
            rounded = round(value, min(0, 2 - math.floor(math.log10(abs(rounded)))))
        text = f"{rounded:,.{places}f}" if largest >= 10_000 else f"{rounded:.{places}f}"
        out.append(text.lstrip("-") if rounded == 0 else text)
    return out


def wrap(text: str, width: int, lines: int, ascii_only: bool = False) -> list[str]:
    """The text in at most ``lines`` lines of at most ``width`` cells, the last cut if need be."""
    if width <= 0 or lines <= 0:
        return []
    # textwrap counts characters; where some are wide, break on half the width to be safe.
    count = width if cells(text) == len(text) else max(1, width // 2)
    broken = textwrap.wrap(text, count, break_on_hyphens=False) or [""]
    if len(broken) > lines:
        broken = [*broken[: lines - 1], " ".join(broken[lines - 1 :])]
    return [fit(line, width, ascii_only) for line in broken]


def joined(parts: Iterable[str], width: int, between: str = "; ") -> str:
    """As many parts as fit in ``width`` cells, whole; the first is always there."""
    line = ""
    for part in parts:
        longer = f"{line}{between}{part}" if line else part
        if line and cells(longer) > width:
            break
        line = longer
    return line
