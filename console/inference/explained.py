"""What the raw change of each reading is made of: the weather, the owner, the frost, the repair."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from console.inference.log_model import LogModel
from console.inference.logged import LoggedDays
from console.inference.weigh_log import LogPosterior

Array = NDArray[np.float64]

ROWS = 200
REPAIR = "repair"
STATES = "state"
LEFT = "left"


@dataclass(frozen=True, slots=True)
class Part:
    """Of one reading: its raw change a day from before to after, and what that is made of, in SI.

    ``made_of`` pairs the name and title of what moved with its part; what is left is chance.
    """

    reading: str
    title: str
    unit: str
    style: str
    raw: float
    made_of: tuple[tuple[str, str, float], ...]
    rate: bool = False


def explain(model: LogModel, changed: LogPosterior, p_same: float) -> tuple[Part, ...]:
    """Move one thing after the other from what it was before to what it was after.

    Each part is the mean of two orders, forwards and backwards, so that none is favoured by going
    first. The repair's part counts by the chance that there was a change at all.
    """
    log = model.log
    if not (0.0 < log.later.sum() < log.steps):
        return ()
    random = np.random.default_rng(5)
    pick = random.choice(changed.at.shape[0], ROWS, p=changed.weights)
    latents = {name: changed.at[pick, k] for k, name in enumerate(changed.names)}
    movers = [*log.pins, *(path for path in log.sets if path not in log.follows)]
    order = [*movers, STATES, REPAIR]
    parts: dict[str, dict[str, float]] = {}
    for way in (order, order[::-1]):
        moved: set[str] = set()
        was = _daily(model, latents, moved)
        for name in way:
            moved.add(name)
            now = _daily(model, latents, moved)
            for reading, value in now.items():
                mine = parts.setdefault(reading, {})
                mine[name] = mine.get(name, 0.0) + 0.5 * (value - was[reading])
            was = now
    return tuple(_part(model, name, made, p_same) for name, made in parts.items())


def _part(model: LogModel, name: str, made: dict[str, float], p_same: float) -> Part:
    log = model.log
    mine = [each for each in model.evidence if each.reading.name == name]
    reading = mine[0].reading
    rate = reading.over.startswith("since:")

    def mean(later: bool) -> float:
        side = [e for e in mine if (e.later >= 0.5) == later]
        if rate:
            return sum(e.value for e in side) / max(sum(float(e.weights.sum()) for e in side), 1.0)
        return float(np.mean([e.value for e in side])) if side else float("nan")

    raw = mean(True) - mean(False)
    rows: list[tuple[str, str, float]] = []
    moved_by = {figure: path for path, figure in log.follows.items() if log.read[path].name in model.events}
    for key, value in made.items():
        key = moved_by.get(key, key)
        title = (
            "the repair" if key == REPAIR else "frost and dirt built up" if key == STATES
            else log.read[key].title
        )  # fmt: skip
        rows.append(
            (
                log.read[key].name if key in log.read else key,
                title,
                value * (1 - p_same if key == REPAIR else 1),
            )
        )
    left = raw - sum(value for *_, value in rows)
    if np.isfinite(left):
        rows.append((LEFT, "not explained: chance and reading errors", left))
    rows.sort(key=lambda row: -abs(row[2]))
    given = model.day.meanings[reading.predicts]
    unit, style = (given.unit, given.style) if rate else (reading.unit, reading.style)
    return Part(name, reading.title, unit, style, raw, tuple(rows), style.endswith("_per_day"))


def _daily(model: LogModel, latents: dict[str, Array], moved: set[str]) -> dict[str, float]:
    """The mean day of every kind of evidence when some things are as after, the rest as before."""
    log = model.log
    days: LoggedDays = replace(
        log,
        days=log.days[:1],
        later=np.array([1.0 if REPAIR in moved else 0.0]),
        pins={name: np.array([log.mean(values, name in moved)]) for name, values in log.pins.items()},
        sets={
            name: np.array([log.mean(values, log.follows.get(name, name) in moved)])
            for name, values in log.sets.items()
        },
        resets={name: np.zeros(1) for name in log.resets},
    )
    age = _age(model, STATES in moved)
    rows = next(iter(latents.values())).size if latents else ROWS
    figures = model.figures(latents, rows, True, days, age)
    found: dict[str, float] = {}
    for each in model.evidence:
        # A rate's mean day is the rate; a reading of one day is that day's figure.
        found.setdefault(each.reading.name, float(figures[each.reading.predicts][1:].mean()))
    return found


def _age(model: LogModel, later: bool) -> dict[str, float]:
    """Seconds since each state was last put back, on the mean day of a side."""
    made: dict[str, float] = {}
    for path, resets in model.log.resets.items():
        since, ages = 0.0, []
        for reset, seconds in zip(resets, model.log.seconds, strict=True):
            since = 0.0 if reset else since
            ages.append(since + 0.5 * seconds)
            since += seconds
        made[path] = model.log.mean(np.array(ages), later)
    return made
