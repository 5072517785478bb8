"""The colours of the pictures: a dark, a light and a red night palette, and how contrast is measured.

Painters name a colour (``"ink"``, ``"bad"``, ``"fill3"``) and never hold one, so the same picture
is repainted in another palette without being drawn anew.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours one theme's pictures are painted in, as ``#rrggbb``.

    Text (``ink``, ``strong``, ``muted``, ``good``, ``warn``, ``bad``) stands at 4.5:1 or better
    on ``background``; marks (the rest) at 3:1 or better. ``fills`` are areas: neighbours differ
    in lightness as well as in hue, and anything written on one is in ``background``. Where
    ``hues_tell``, an area keeps its colour by its number; where they do not, it takes it by its
    place, so that neighbours still differ. ``curves`` are lines on the bare background.
    """

    name: str
    background: str
    ink: str
    strong: str
    muted: str
    good: str
    warn: str
    bad: str
    water: str
    frost: str
    wall: str
    heat: str
    vapour: str
    line: str
    rest: str
    fills: tuple[str, ...]
    curves: tuple[str, ...]
    hues_tell: bool = True

    def colour(self, name: str) -> str:
        """The colour a painter named.

        ``curve2`` and ``fill3`` are numbered, starting again past the last; ``fill3@1`` and
        ``rest@1`` are areas that lie second from the bottom. Raises AttributeError for a name
        no palette has.
        """
        what, _, place = name.partition("@")
        number = what.lstrip(_LETTERS)
        kind = what[: len(what) - len(number)]
        if place and not self.hues_tell:
            return self.fills[int(place) % len(self.fills)]
        if number:
            many = {"fill": self.fills, "curve": self.curves}.get(kind)
            if many is None:
                raise AttributeError(name)
            return many[int(number) % len(many)]
        colour = getattr(self, kind)
        if not isinstance(colour, str):
            raise AttributeError(name)
        return colour


_LETTERS = "abcdefghijklmnopqrstuvwxyz"
TEXT_NAMES = ("ink", "strong", "muted", "good", "warn", "bad")
TEXT_CONTRAST = 4.5
MARK_CONTRAST = 3.0


def mark_names(palette: Palette) -> tuple[str, ...]:
    """The names of every colour of a palette that is a mark, not text."""
    plain = tuple(
        field.name
        for field in fields(palette)
        if field.name not in ("name", "background", "fills", "curves", "hues_tell", *TEXT_NAMES)
    )
    return (
        *plain,
        *(f"fill{i}" for i in range(len(palette.fills))),
        *(f"curve{i}" for i in range(len(palette.curves))),
    )


@cache
def relative_luminance(colour: str) -> float:
    """Relative luminance (0..1) of ``#rrggbb``. WCAG 2.2, definition of relative luminance."""
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (1..21) of two colours. WCAG 2.2, definition of contrast ratio."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


DARK = Palette(
    name="dark",
    background="#10161d",
    ink="#e8e6df",
    strong="#ffffff",
    muted="#a9b4bf",
    good="#7fd18b",
    warn="#ffc05c",
    bad="#ff8a7a",
    water="#5fb4ea",
    frost="#d6f1ff",
    wall="#a98f6a",
    heat="#ff9d5c",
    vapour="#8fd3f4",
    line="#ffffff",
    rest="#9a9a9a",
    fills=(
        "#e8a93a", "#4a8fd6", "#e9dd6a", "#22a37c", "#f0a3cd", "#cf6a43", "#9bd0f5", "#957fdb",
        "#cfe08a", "#c06bb0",
    ),
    curves=("#ffc05c", "#6cc5f2", "#8fdc9a", "#f0a3cd", "#e9dd6a", "#c9c9c9"),
)  # fmt: skip

LIGHT = Palette(
    name="light",
    background="#fbf7ee",
    ink="#1d2329",
    strong="#000000",
    muted="#55606b",
    good="#1f6b35",
    warn="#8a5200",
    bad="#b3261e",
    water="#1f74ad",
    frost="#3d7fa6",
    wall="#8a6d3f",
    heat="#b04a00",
    vapour="#0b5f94",
    line="#000000",
    rest="#6f6f6f",
    fills=(
        "#a26000", "#174f92", "#7d6f00", "#005f48", "#b8488a", "#7d2c0c", "#2376a4", "#4a3a94",
        "#5f6f1a", "#5a1050",
    ),
    curves=("#a34d00", "#0b5f94", "#1f6b35", "#a83a7c", "#6d6000", "#4a4f55"),
)  # fmt: skip

# Red alone spares the rods of a dark-adapted eye; what hue says elsewhere, lightness, letters
# and words say here.
NIGHT = Palette(
    name="night",
    background="#000000",
    ink="#ff5540",
    strong="#ff7a60",
    muted="#f02a16",
    good="#ff5540",
    warn="#ff5540",
    bad="#ff8a70",
    water="#d80000",
    frost="#ff7a60",
    wall="#c80000",
    heat="#ff4a30",
    vapour="#e01c0c",
    line="#ff7a60",
    rest="#b80000",
    fills=("#ff6048", "#c80000", "#ff3018", "#c80000"),
    curves=("#ff7a60", "#e81500", "#ff4a30", "#d00000"),
    hues_tell=False,
)

PALETTES: dict[str, Palette] = {palette.name: palette for palette in (DARK, LIGHT, NIGHT)}
