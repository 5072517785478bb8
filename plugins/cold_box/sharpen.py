"""Which reading would sharpen an answer most: the one whose unknowns the answer follows most.

Each reading settles some inputs. What it is worth to a figure is the sum of their squared rank
correlations with it over the draws, as far as the owner's file does not state them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from console.contract import Array, Findings

LEAST_DRAWS = 30
WORTH_SAYING = 0.04
"""Share of a figure's spread below which no reading is worth asking for."""


@dataclass(frozen=True, slots=True)
class Sharpener:
    """A reading in the owner's words, the inputs it settles, and the input that says it was taken."""

    text: str
    settles: tuple[str, ...]
    taken: str = ""


_WALLS = ("insulation", "lid_insulation", "conductivity", "wet_share", "bridges", "edge_loss",
          "compressor.efficiency", "compressor.approach", "compressor.current", "plate.film")  # fmt: skip

SHARPENERS = (
    Sharpener(
        "a week of amp-hours a day from the battery monitor, with the cabin's and the box's mean temperature "
        "(it fits the walls to this box)", _WALLS, "week.amp_hours",
    ),
    Sharpener(
        "the melt-water of the next defrost in a jug, and the days it took (it fits the leak to this box)",
        ("seal.failing_share", "seal.gap", "seal.draught", "seal.breathing", "food_water"), "melt.amount",
    ),
    Sharpener(
        "a ruler on the frost just before the next defrost, and its melt-water in a jug: together they tell how "
        "dense frost is", ("plate.frost_density",), "melt.thickness",
    ),
    Sharpener("a ruler on the frost today", ("plate.frost",)),
    Sharpener("a slip of paper all round the edge, five minutes", ("seal.failing_share", "seal.gap", "seal.missing_gap")),
    Sharpener("a tape measure on the plate, every face that frosts", ("plate.area",)),
    Sharpener("a tape measure inside the box", ("inside.length", "inside.width", "inside.depth", "fill_share")),
    Sharpener("a pencil mark on the lid or door each time it is opened, for two days", ("openings", "swap_share")),
    Sharpener("how thick the foam is, seen at a pipe hole or the drain", ("insulation", "lid_insulation")),
    Sharpener("a thermometer at the condenser while it runs", ("compressor.locker_rise",)),
    Sharpener("a thermometer in a glass of water in the box, overnight", ("set_point",)),
    Sharpener("what goes in warm, in kilograms, over a week", ("warm_food",)),
)  # fmt: skip


def sharpest(found: Findings, figure: str) -> str:
    """The reading that would narrow ``figure`` most, in the owner's words; empty when none would.

    Without draws to judge by, the first one that has not been taken.
    """
    open_ones = [s for s in SHARPENERS if not (s.taken and found.has(f"cold_box.{s.taken}"))]
    values = found.daily(figure)
    if values.size <= LEAST_DRAWS or np.ptp(values[1:]) == 0.0:
        return open_ones[0].text
    ranked = _ranks(values[1:])
    best, worth = "", WORTH_SAYING
    shares: dict[str, float] = {}
    for each in open_ones:
        total = 0.0
        for path in each.settles:
            if path not in shares:
                shares[path] = _share(found, f"cold_box.{path}", ranked)
            total += shares[path]
        if total > worth:
            best, worth = each.text, total
    return best


def _share(found: Findings, path: str, ranked: Array) -> float:
    if found.given(path):
        return 0.0
    ours = found.number(path)[1:]
    if np.ptp(ours) == 0.0:
        return 0.0
    return float(np.mean(_ranks(ours) * ranked)) ** 2


def _ranks(values: Array) -> Array:
    """Ranks, centred and scaled to unit spread."""
    ranks = np.empty(values.size)
    ranks[np.argsort(values, kind="stable")] = np.arange(values.size)
    scaled: Array = (ranks - ranks.mean()) / ranks.std()
    return scaled
