"""The season ahead: the day run again and again while strainer and frost grow from day to day.

Each step is a whole day's run at the state it has come to; between two runs a state grows by its
rate. With upkeep a state is put back in every draw as soon as it is due there.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Given, State
from console.engine.run import Ran, run_day
from console.engine.views import Draws
from console.guard import Unwell

Array = NDArray[np.float64]

DRAWS = 128
MOST_RUNS = 15
"""A longer time ahead is stepped by several days at a time."""
DAY = 86400.0
DATE = "weather.date"


@dataclass(frozen=True, slots=True)
class Ahead:
    """The days ahead: ``at`` (runs,) in days from now.

    ``states`` by input path and ``figures`` by name are (draws + 1, runs), SI. ``due`` is by the
    state's path in how long (s) it wants its event, (draws + 1,). ``held`` says that every day ahead
    has the same weather, for the boat file names no date.
    """

    at: Array
    states: Mapping[str, Array]
    records: Mapping[str, State]
    figures: Mapping[str, Array]
    meanings: Mapping[str, Given]
    due: Mapping[str, Array]
    done: Mapping[str, Array]
    held: bool
    warnings: tuple[str, ...]
    unwell: tuple[Unwell, ...]


def ahead(
    boat: Boat, days: int, draws: int = DRAWS, *, upkeep: bool = False,
    cancelled: Callable[[], bool] | None = None, told: Callable[[float], None] | None = None,
) -> Ahead:  # fmt: skip
    """Step the boat ``days`` ahead. Raises `Cancelled`."""
    step = max(1, -(-days // (MOST_RUNS - 1)))
    at = np.array(sorted({*range(0, days + 1, step), days}), dtype=float)
    start = _date(boat)
    base = Draws(boat, draws)
    aboard = {s.path: s for _, s in boat.registry.states if s.path in boat.inputs}
    now = {path: np.array(base.number(path)[:, 0]) for path in aboard}
    states: dict[str, list[Array]] = {path: [] for path in aboard}
    figures: dict[str, list[Array]] = {}
    due: dict[str, Array] = {}
    done = {path: np.zeros(draws + 1) for path in aboard}
    ran: Ran | None = None
    warnings: list[str] = []
    unwell: list[Unwell] = []
    for turn, day in enumerate(at):
        if told:
            told(turn / at.size)
        ran = _run(_on(boat, start, day), base, now, ran, cancelled)
        warnings.extend(ran.warnings)
        unwell.extend(ran.unwell)
        for name in ran.figures:
            if name in ran.meanings:
                figures.setdefault(name, []).append(ran.daily(name))
        length = float(at[turn + 1] - day) if turn + 1 < at.size else 0.0
        for path, state in aboard.items():
            states[path].append(now[path])
            left = ran.daily(state.due) if state.due in ran.figures else None
            if left is not None:
                due[path] = _due(due.get(path), left, day * DAY)
            now[path], times = _grown(boat, ran, state, now[path], left, length * DAY, upkeep)
            done[path] = done[path] + times
    whole = {name: np.stack(rows, axis=1) for name, rows in figures.items() if len(rows) == at.size}
    assert ran is not None
    return Ahead(
        at, {path: np.stack(rows, axis=1) for path, rows in states.items()}, aboard, whole,
        {name: ran.meanings[name] for name in whole if name in ran.meanings}, due, done, start is None,
        tuple(dict.fromkeys(warnings)), tuple(dict.fromkeys(unwell)),
    )  # fmt: skip


def _date(boat: Boat) -> datetime.date | None:
    entry = boat.inputs.get(DATE)
    return entry.value if entry is not None and isinstance(entry.value, datetime.date) else None


def _on(boat: Boat, start: datetime.date | None, day: float) -> Boat:
    if start is None or day == 0:
        return boat
    return boat.with_edit(DATE, (start + datetime.timedelta(days=int(day))).isoformat())


def _run(
    boat: Boat, base: Draws, now: Mapping[str, Array], before: Ran | None,
    cancelled: Callable[[], bool] | None,
) -> Ran:  # fmt: skip
    plain = base if boat is base.boat else Draws(boat, base.draws, alike=base)
    columns = Draws(
        boat, base.draws, before=plain, altered={path: _becomes(values) for path, values in now.items()}
    )
    return run_day(boat, base.draws, cancelled, before, columns)


def _becomes(values: Array) -> Callable[[Array], Array]:
    return lambda _: values


def _due(known: Array | None, left: Array, at: float) -> Array:
    """When it is due, told anew in every draw as long as it is not."""
    fresh = at + np.maximum(left, 0.0)
    if known is None:
        return fresh
    return np.where(known > at, fresh, known)


def _grown(
    boat: Boat, ran: Ran, state: State, now: Array, left: Array | None, seconds: float, upkeep: bool
) -> tuple[Array, Array]:
    """A state some time on, and in how many draws' reckoning it was put back meanwhile."""
    none = np.zeros_like(now)
    if state.rate not in ran.figures or seconds == 0:
        return now, none
    rate = np.nan_to_num(ran.daily(state.rate))
    times = none
    grown = now + rate * seconds
    if upkeep and left is not None:
        reached = left <= seconds
        times = np.where(reached, 1.0, 0.0)
        grown = np.where(reached, rate * (seconds - np.clip(left, 0.0, seconds)), grown)
    return np.clip(grown, *boat.inputs[state.path].hard), times


__all__ = ["DRAWS", "Ahead", "ahead"]
