"""What each thing put right would give back, alone and the best two together, in one solution."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water.build import FAULTS, build, is_clear, mended
from plugins.raw_water.estimates import mean_viscosity, shows
from plugins.raw_water.line import operating_flow

if TYPE_CHECKING:
    from console.contract import Array, Run

_NONE: frozenset[str] = frozenset()


def fixes(run: Run) -> dict[str, Array]:
    """The flow (m³/s) each fault put right would give back, and the best two of them together.

    Which two is told by the boat as it is most likely; both are then put right in every draw.
    """
    viscosity = mean_viscosity(run)
    short = shows(run, viscosity).short
    worth = [name for name in FAULTS if not is_clear(run, name) or (name == "rest" and short)]
    singles = [frozenset((name,)) for name in worth]
    pairs = [frozenset(pair) for pair in combinations(worth, 2)]
    likeliest = _flows(run, [_NONE, *singles, *pairs], 1)
    best = [int(np.argmax(likeliest[len(singles) + 1 :, 0, 0]))] if pairs else []
    chosen = [_NONE, *singles, *(pairs[at] for at in best)]
    if run.draws == 1:
        flows = likeliest[[*range(len(singles) + 1), *(len(singles) + 1 + at for at in best)]]
    else:
        flows = _flows(run, chosen)
    gained = np.maximum(flows[1:] - flows[:1], 0.0)
    regained: dict[str, Array] = {f"raw_water.regain.{name}": np.zeros((1, 1)) for name in FAULTS}
    for cleared, gain in zip(chosen[1:], gained, strict=True):
        both = [name for name in FAULTS if name in cleared]
        family = "regain" if len(both) == 1 else "regain_both"
        regained[f"raw_water.{family}.{'_and_'.join(both)}"] = gain
    return regained


def after_cleaning(run: Run) -> dict[str, Array]:
    """The share of the clean flow once the basket is clean and all else as it is.

    Practice asks of a cleaning what share it brings back, not how much. It stands alone, since
    causes are weighed by it in thousands of boats that nobody asks all the other repairs of.
    """
    clean = run.figure("raw_water.clean_flow").mean(axis=1, keepdims=True)
    if is_clear(run, "strainer"):
        after = run.figure("raw_water.flow").mean(axis=1, keepdims=True)
    else:
        after = _flows(run, [frozenset(("strainer",))])[0]
    share = np.where(clean > 0, after / np.maximum(clean, 1e-12), 0.0)
    return {"raw_water.share_after_cleaning": share}


def _flows(run: Run, boats: Sequence[frozenset[str]], rows: int | None = None) -> Array:
    """Mean flow (m³/s) of each of ``boats`` with its faults put right, (boats, draws, 1)."""
    made = mended(run, *boats, rows=rows)
    viscosity = mean_viscosity(made)
    shown = shows(made, viscosity)
    each = viscosity.shape[0] // len(boats)
    placed = np.repeat([1.0 if "rest" in cleared else 0.0 for cleared in boats], each)[:, None]
    built = shown.fitted(build(made), placed)
    flow = operating_flow(built.pump, built.line, viscosity) * (1.0 - built.stopped)
    return np.broadcast_to(flow, viscosity.shape).reshape(len(boats), each, 1)
