"""How bad the news is, told by shape, word and colour: the same marks in cells, in SVG and on screen."""

from __future__ import annotations

from collections.abc import Iterable

from console.contract import Urgency

MARKS = {
    Urgency.ACT: "■",
    Urgency.WATCH: "▲",
    Urgency.UNKNOWN: "?",
    Urgency.FINE: "●",
    Urgency.NOT_ABOARD: "○",
}
ASCII_MARKS = {
    Urgency.ACT: "#",
    Urgency.WATCH: "!",
    Urgency.UNKNOWN: "?",
    Urgency.FINE: "o",
    Urgency.NOT_ABOARD: "-",
}
WORDS = {
    Urgency.ACT: "act now",
    Urgency.WATCH: "watch",
    Urgency.UNKNOWN: "not known",
    Urgency.FINE: "fine",
    Urgency.NOT_ABOARD: "not aboard",
}
COLOURS = {
    Urgency.ACT: "bad",
    Urgency.WATCH: "warn",
    Urgency.UNKNOWN: "ink",
    Urgency.FINE: "good",
    Urgency.NOT_ABOARD: "muted",
}


def mark(urgency: Urgency, ascii_only: bool = False) -> str:
    """The character that stands for an urgency."""
    return (ASCII_MARKS if ascii_only else MARKS)[urgency]


def present(urgencies: Iterable[Urgency | None]) -> list[Urgency]:
    """The urgencies that occur, worst first: what a legend must explain."""
    return sorted({urgency for urgency in urgencies if urgency is not None})
