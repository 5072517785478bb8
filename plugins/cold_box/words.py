"""Plain words for shares, paths and machines."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.contract import Findings

_SHARES = (
    (0.04, "next to none"), (0.075, "a twentieth"), (0.13, "a tenth"), (0.17, "a seventh"),
    (0.225, "a fifth"), (0.29, "a quarter"), (0.37, "a third"), (0.44, "two fifths"), (0.56, "half"),
    (0.63, "three fifths"), (0.71, "two thirds"), (0.78, "three quarters"), (0.85, "four fifths"),
    (0.955, "nine tenths"),
)  # fmt: skip


def share_in_words(share: float) -> str:
    """ "a third" for 0.32, "nearly all" beyond nine tenths."""
    for edge, words in _SHARES:
        if share < edge:
            return words
    return "nearly all"


def is_door(found: Findings) -> bool:
    return found.text("cold_box.opening") == "door"


def is_freezer(found: Findings) -> bool:
    """Set below -3 °C: what matters is staying hard, not staying under 40 °F."""
    return float(found.number("cold_box.set_point")[0]) < 270.15


def is_divided(found: Findings) -> bool:
    """Whether it is freezer and fridge in one."""
    return found.has("cold_box.divider.holes")


def mouth(found: Findings) -> str:
    return "door" if is_door(found) else "lid"


def paths(found: Findings) -> tuple[tuple[str, str, str], ...]:
    """(key, words, figure) of each way heat comes in."""
    what = mouth(found)
    return (
        ("sides", "the walls and the bottom", "cold_box.through.sides"),
        ("hull", "the side against the hull", "cold_box.through.hull"),
        ("opening", f"the {what} itself", "cold_box.through.opening"),
        ("seal", f"the {what} seal", "cold_box.heat.seal"),
        ("drain", "the open drain", "cold_box.heat.drain"),
        ("openings", f"opening the {what}", "cold_box.heat.openings"),
        ("contents", "warm food and drink", "cold_box.heat.contents"),
    )
