"""A sheet that painters put shapes on by colour name, and that leaves as SVG text.

Every text is made plain and escaped here, and no coordinate that is not a number gets through.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from html import escape
from typing import Literal

from console.pictures.palettes import Palette
from console.pictures.words import plain

SIZE = 13.0
"""The size of ordinary text; the smallest is 11."""
SMALL = 11.5
DASHES = ("", "7 4", "2 4", "9 3 2 3")
_NARROW, _WIDE = set("iljftrI.,:;'|!()[]{} "), set("mwMW@%—…")

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


def text_width(text: str, size: float = SIZE, bold: bool = False) -> float:
    """About how wide a text is, never less: fonts differ, so wide ones are reckoned with."""
    ems = 0.0
    for char in text:
        if char in _NARROW:
            ems += 0.39
        elif char in _WIDE:
            ems += 0.99
        elif char.isupper():
            ems += 0.74
        else:
            ems += 0.64 if ord(char) < 0x2E80 else 1.05
    return ems * size * (1.1 if bold else 1.0)


def fitted(text: str, width: float, size: float = SIZE, bold: bool = False) -> str:
    """The text, cut with an ellipsis to about ``width``."""
    if text_width(text, size, bold) <= width:
        return text
    while text and text_width(f"{text}…", size, bold) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def wrapped(text: str, width: float, size: float = SIZE, bold: bool = False, most: int = 99) -> list[str]:
    """The text broken into lines of about ``width``; a word longer than a line is broken too."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if text_width(longer, size, bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        while len(word) > 1 and text_width(word, size, bold) > width:
            cut = len(word) - 1
            while cut > 1 and text_width(word[:cut], size, bold) > width:
                cut -= 1
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    lines.append(line)
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted(" ".join(lines[most - 1 :]), width, size, bold)]
    return lines


def number(value: float) -> str:
    """A coordinate as it is written; ValueError for what is no number."""
    if not math.isfinite(value):
        raise ValueError("a coordinate that is no number")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Canvas:
    """Shapes in the order they are laid, ``width`` wide; a painter sets the ``height`` it came to.

    Colours are names of the palette's; a name with a place (``fill3@1``) is told by number where
    hues tell areas apart, else by place.
    """

    def __init__(self, width: float, palette: Palette) -> None:
        self.width = float(width)
        self.height = 0.0
        self.palette = palette
        self._body: list[str] = []

    # --- colours ------------------------------------------------------------------------------

    def _name(self, colour: str) -> str:
        what, _, place = colour.partition("@")
        if place and not self.palette.hues_tell:
            what = f"fill{place}"
        letters = what.rstrip("0123456789")
        if letters == what:
            return what
        many = len(self.palette.fills if letters == "fill" else self.palette.curves)
        return f"{letters}{int(what[len(letters) :]) % many}"

    def _class(self, fill: str, stroke: str, more: str = "") -> str:
        names = [f"f-{self._name(fill)}"] if fill else []
        names += [f"s-{self._name(stroke)}"] if stroke else []
        names += [more] if more else []
        bare = "" if fill else ' fill="none"'
        return f'class="{" ".join(names)}"{bare}'

    # --- shapes -------------------------------------------------------------------------------

    def rect(
        self, x: float, y: float, width: float, height: float, fill: str, stroke: str = "",
        thick: float = 1.0, corner: float = 0.0, more: str = "",
    ) -> None:  # fmt: skip
        rounded = f' rx="{number(corner)}"' if corner else ""
        stroked = f' stroke-width="{number(thick)}"' if stroke else ""
        self._body.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(max(width, 0.0))}" '
            f'height="{number(max(height, 0.0))}"{rounded}{stroked} {self._class(fill, stroke, more)}/>'
        )

    def circle(
        self, x: float, y: float, radius: float, fill: str, stroke: str = "", thick: float = 1.5
    ) -> None:
        stroked = f' stroke-width="{number(thick)}"' if stroke else ""
        self._body.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"{stroked} '
            f"{self._class(fill, stroke)}/>"
        )

    def line(
        self, x1: float, y1: float, x2: float, y2: float, stroke: str, thick: float = 1.0,
        dash: str = "", more: str = "",
    ) -> None:  # fmt: skip
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._body.append(
            f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
            f'stroke-width="{number(thick)}"{dashed} {self._class("", stroke, more)}/>'
        )

    def path(
        self, points: Sequence[Point], stroke: str, thick: float = 2.0, dash: str = "", more: str = "round"
    ) -> None:
        """Straight lines from point to point."""
        if len(points) < 2:
            return
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._body.append(
            f'<polyline points="{_points(points)}" stroke-width="{number(thick)}"{dashed} '
            f"{self._class('', stroke, more)}/>"
        )

    def area(
        self, points: Sequence[Point], fill: str, stroke: str = "", thick: float = 0.7, more: str = ""
    ) -> None:
        """A closed outline, filled."""
        if len(points) < 3:
            return
        stroked = f' stroke-width="{number(thick)}"' if stroke else ""
        self._body.append(
            f'<polygon points="{_points(points)}"{stroked} {self._class(fill, stroke, more)}/>'
        )

    def text(
        self, x: float, y: float, text: str, colour: str = "ink", anchor: Anchor = "start",
        size: float = SIZE, bold: bool = False, halo: bool = False,
    ) -> float:  # fmt: skip
        """A text on the base line ``y``; gives about how wide it is. A halo keeps it clear of lines."""
        text = plain(text)
        if not text.strip():
            return 0.0
        names = " ".join(name for name, on in (("bold", bold), ("halo s-background", halo)) if on)
        placed = f' text-anchor="{anchor}"' if anchor != "start" else ""
        self._body.append(
            f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}"{placed} '
            f"{self._class(colour, '', names)}>{escape(text)}</text>"
        )
        return text_width(text, size, bold)

    def texts(
        self, x: float, y: float, lines: Iterable[str], colour: str = "ink", anchor: Anchor = "start",
        size: float = SIZE, bold: bool = False, halo: bool = False,
    ) -> float:  # fmt: skip
        """Lines under each other, the first on ``y``; gives the base line after the last."""
        for line in lines:
            self.text(x, y, line, colour, anchor, size, bold, halo)
            y += size * 1.25
        return y

    def heading(self, title: str, right: str = "") -> float:
        """The title, wrapped, and at the right what belongs to it; gives the y under both."""
        margin = 4.0
        taken = text_width(right) + 16 if right else 0.0
        lines = wrapped(plain(title), self.width - 2 * margin, 15, True)
        beside = text_width(lines[-1], 15, True) + taken <= self.width - 2 * margin
        y = self.texts(margin, 19, lines, "strong", size=15, bold=True)
        last = y - 15 * 1.25
        if right:
            self.text(self.width - margin, last if beside else last + 18, right, "muted", "end")
            last += 0 if beside else 18
        return last + 10

    # --- the whole ----------------------------------------------------------------------------

    def finished(self, title: str, said: str, style: str, shown: float) -> str:
        """The SVG element ``shown`` wide, with its title and its sentence for those who listen."""
        width, height = number(self.width), number(math.ceil(self.height))
        scaled = number(math.ceil(self.height) * shown / self.width)
        sheet = f"<style>{style}</style>" if style else ""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="pic" role="img" aria-label="{escape(said)}" '
            f'width="{number(shown)}" height="{scaled}" viewBox="0 0 {width} {height}">'
            f"<title>{escape(title)}</title><desc>{escape(said)}</desc>{sheet}"
            f'<rect x="0" y="0" width="{width}" height="{height}" class="f-background"/>'
            f"{''.join(self._body)}</svg>"
        )


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
