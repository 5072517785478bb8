"""Did the repair help? The log before and after, weighed over one model of the boat.

"Nothing changed" and "the repair changed it" are two hypotheses, weighed each by its evidence; what
the boat, its owner and the weather did meanwhile is in both. The change is that of the repairable
figure, after over before, less one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Change, Reading
from console.engine.changes import Named, of_kind
from console.guard import Unwell
from console.inference.explained import Part, explain
from console.inference.log_flags import flags_of, missing_of
from console.inference.log_model import LogModel
from console.inference.logged import APART, NEAR_DAYS, LoggedDays, days_of, declared
from console.inference.more_days import days_needed
from console.inference.weigh_log import LogPosterior, weigh_log
from console.logbook.entry import Log
from console.quantities import System

Array = NDArray[np.float64]

DECIDES = 0.2
"""A change of the repairable by less than this share of itself is none that matters."""
SURE = 0.9
PRIOR_SAME = 0.5
"""How many repairs change nothing, before any reading: as many as change something."""
FEWEST = 100.0
"""No verdict from fewer effective rows."""
Z = 1.2815515655446004
"""Nine tenths of a normal lie below so many standard deviations."""

Word = Literal["helped", "no detectable change", "got worse", "cannot tell yet"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict on a repair. ``change`` is after/before - 1: median, P5 and P95.

    ``before`` and ``after`` are weighed draws of the repairable figure (values, weights), for the
    picture; ``parts`` what the raw change of each reading is made of.
    """

    verdict: Word
    repair: str
    title: str
    figure: str
    probability_helped: float
    probability_worse: float
    probability_same: float
    change: tuple[float, float, float]
    parts: tuple[Part, ...]
    smallest_detectable_change: float | None
    days_needed: int | None
    missing: tuple[str, ...]
    flags: tuple[str, ...]
    left_out: tuple[str, ...]
    size: float
    repaired: datetime | None
    before: tuple[Array, Array]
    after: tuple[Array, Array]
    log: LoggedDays
    unwell: tuple[Unwell, ...]


def repairs_of(boat: Boat) -> dict[str, Named]:
    """The repairables aboard, by key."""
    return {change.key: (owner, change) for owner, change in of_kind(boat, "repair")}


def repair_logged(boat: Boat, log: Log, wished: str = "") -> tuple[Named, datetime]:
    """The repair a log speaks of, and when: the last one, or the last of the one wished for.

    Raises ValueError with one sentence when there is none.
    """
    known = repairs_of(boat)
    if wished and wished not in known:
        raise ValueError(
            f"there is no repair called {wished}; known are {', '.join(sorted(known)) or 'none'}"
        )
    said = [e for e in log.events("repair") if str(e.value) in known and (not wished or e.value == wished)]
    if not said:
        what = wished or " or ".join(sorted(known)) or "anything"
        raise ValueError(
            f'the log names no repair: add the event "repair" with the value {what} on its day'
        )
    return known[str(said[-1].value)], said[-1].at


def _same_boat(boat: Boat, log: Log, repair: Change, at: datetime) -> tuple[datetime, datetime]:
    """From when until when the log is of one boat but for this repair: to the repairs next to it, and
    not into another season."""
    known = {key for key, (_, change) in repairs_of(boat).items() if change.complaint == repair.complaint}
    others = [e.at for e in log.events("repair") if str(e.value) in known and abs(e.at - at) > APART]
    near = timedelta(days=NEAR_DAYS)
    since = max([at - near, *(other for other in others if other < at)])
    return since, min([at + near, *(other for other in others if other > at)])


def judge(
    boat: Boat, log: Log, wished: str = "", *, system: System = "si", seed: int = 1,
    told: Callable[[], None] | None = None,
) -> Verdict:  # fmt: skip
    """Weigh a log. Raises ValueError with one sentence when it cannot be weighed at all."""
    repair, repaired = repair_logged(boat, log, wished)
    readings = declared(boat, repair[1].complaint)
    states = [state for _, state in boat.registry.states]
    days = days_of(boat, log, readings, states, repaired, *_same_boat(boat, log, repair[1], repaired))
    events = frozenset(e.reading for e in log.events())
    model = LogModel(boat, days, readings, states, repair, events)
    if not model.evidence:
        raise ValueError(
            "the log has nothing to weigh: "
            + (days.left_out[0] if days.left_out else _what_to_log(readings))
        )
    same = weigh_log(model, False, seed, told=told)
    changed = weigh_log(model, True, seed, told=told)
    ratio, before, after = _ratios(model, changed)
    odds = math.log(PRIOR_SAME / (1 - PRIOR_SAME)) + same.log_evidence - changed.log_evidence
    p_same = 1.0 / (1.0 + math.exp(-max(-700.0, min(700.0, odds))))
    weights = np.concatenate([[p_same], (1 - p_same) * changed.weights])
    change = np.concatenate([[0.0], ratio - 1.0])
    helped = float(weights[change < -DECIDES].sum())
    worse = float(weights[change > DECIDES].sum())
    little = float(weights[np.abs(change) < DECIDES].sum())
    size = min(same.size, changed.size)
    sides = {each.later >= 0.5 for each in model.evidence}
    word: Word = "cannot tell yet"
    if size >= FEWEST and len(sides) == 2:
        word = (
            "helped" if helped >= SURE else "got worse" if worse >= SURE
            else "no detectable change" if little >= SURE else word
        )  # fmt: skip
    spread = _spread(np.log(np.maximum(ratio, 1e-9)), changed.weights)
    return Verdict(
        word, repair[1].key, repair[1].title, repair[1].effects[0].figure if repair[1].effects else "",
        helped, worse, little, _quantiles(change, weights), explain(model, changed, p_same),
        1.0 - (1.0 - DECIDES) * math.exp(-Z * spread) if len(sides) == 2 else None,
        0 if word != "cannot tell yet" else days_needed(model, changed, ratio, p_same, DECIDES, SURE),
        missing_of(model, readings), flags_of(boat, model, log, repair[1], system), days.left_out, size, repaired,
        (before, changed.weights), (after, changed.weights), days, tuple(model.unwell),
    )  # fmt: skip


def _what_to_log(readings: Mapping[str, Reading]) -> str:
    names = sorted(
        name for name, reading in readings.items() if reading.role == "evidence" and reading.unit
    )
    return (
        f"log one or more of {', '.join(names)}"
        if names
        else "no reading of this boat tells of that repair"
    )


def _ratios(model: LogModel, found: LogPosterior) -> tuple[Array, Array, Array]:
    """The repairable before and after, in every row, under the same conditions."""
    assert model.repair is not None
    severity = model.severity(found.latent(model.severity_latent))
    figure = model.repair[1].effects[0].figure if model.repair[1].effects else ""
    if figure not in model.day.figures:
        return severity, np.ones_like(severity), severity
    rows = found.at.shape[0]
    latents = {name: found.latent(name) for name in found.names}
    before, after = model.repairable(latents, rows, figure)
    return after / np.maximum(before, 1e-30), before, after


def _quantiles(values: Array, weights: Array) -> tuple[float, float, float]:
    """Median, P5 and P95; what all the weight of "nothing changed" lies on is exactly that."""
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weights[order]) / weights.sum()
    low, middle, high = (
        values[order][min(int(np.searchsorted(total, at)), values.size - 1)] for at in (0.05, 0.5, 0.95)
    )
    return float(middle), float(low), float(high)


def _spread(values: Array, weights: Array) -> float:
    mean = float(weights @ values)
    return math.sqrt(max(float(weights @ np.square(values - mean)), 1e-12))


__all__ = ["DECIDES", "PRIOR_SAME", "SURE", "Verdict", "judge", "repair_logged", "repairs_of"]
