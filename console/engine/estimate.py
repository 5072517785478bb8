"""From a boat to an outcome: the run, its percentiles, the answers and what drives them."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Answer, Caution, Question, Reason, Urgency
from console.engine.order import covers
from console.engine.outcome import Card, Driver, Figure, Outcome
from console.engine.run import Ran, aboard, run_day
from console.guard import GuardError, Unwell, call, guarded
from console.quantities import System, say, say_range, style_of

Array = NDArray[np.float64]

LOW, HIGH = 5.0, 95.0
FEWEST_SHARE = 0.02
"""A driver below this share of the ranks' variance is not worth an owner's effort."""
MOST_DRIVERS = 6
FEWEST_DRAWS = 30


class Found:
    """What an answer may see of a run: a `console.contract.Findings`."""

    def __init__(self, ran: Ran, system: System) -> None:
        self._ran, self._system = ran, system
        self.draws = ran.draws.draws + 1

    def has(self, name: str) -> bool:
        return name in self._ran.figures or name in self._ran.boat.inputs or aboard(self._ran.boat, name)

    def daily(self, name: str) -> Array:
        return self._ran.daily(name)

    def hourly(self, name: str) -> Array:
        return self._ran.figures[name]

    def family(self, prefix: str) -> tuple[str, ...]:
        return tuple(name for name in self._ran.figures if name.startswith(prefix + "."))

    def number(self, path: str, default: float | None = None) -> Array:
        try:
            return self._ran.draws.number(path)[:, 0]
        except KeyError:
            if default is None:
                raise KeyError(f"there is no input {path}") from None
            return np.full(self.draws, float(default))

    def text(self, path: str, default: str | None = None) -> str:
        entry = self._ran.boat.inputs.get(path)
        found = default if entry is None or entry.value is None else str(entry.value)
        if found is None:
            raise KeyError(f"there is no input {path}")
        return found

    def items(self, path: str) -> tuple[str, ...]:
        return self._ran.boat.item_paths.get(path, ())

    def given(self, path: str) -> bool:
        entry = self._ran.boat.inputs.get(path)
        return entry is not None and entry.origin != "assumed"

    def say(self, value: float, style: str) -> str:
        return say(float(value), style, self._system)

    def say_range(self, values: Array, style: str) -> str:
        rows = np.asarray(values, dtype=float).reshape(-1)
        if rows.size == 1:
            return self.say(rows[0], style)
        low, high, _ = limits(rows)
        return say_range(float(rows[0]), low, high, style, self._system)


def limits(values: Array) -> tuple[float, float, bool]:
    """P5 and P95 of the draws (rows 1..N), stretched to hold the nominal (row 0), and if so.

    NaN draws are left out; with no finite draw the nominal is its own range.
    """
    low, high, edge = limits_of_rows(values[None, :])
    return float(low[0]), float(high[0]), bool(edge[0])


def limits_of_rows(rows: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
    """`limits` of many figures at once, shape (figures, draws + 1): three of shape (figures,)."""
    nominal, draws = rows[:, 0], rows[:, 1:]
    whole = np.isfinite(draws).all(axis=1)
    low, high = nominal.copy(), nominal.copy()
    if draws.shape[1] and whole.any():
        low[whole], high[whole] = np.percentile(draws[whole], (LOW, HIGH), axis=1)
    for row in np.flatnonzero(~whole):
        finite = draws[row][np.isfinite(draws[row])]
        if finite.size:
            low[row], high[row] = np.percentile(finite, (LOW, HIGH))
    edge = (nominal < low) | (nominal > high)
    return np.minimum(low, nominal), np.maximum(high, nominal), edge


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def figures_of(ran: Ran, hourly: bool = False) -> dict[str, Figure]:
    """Every figure summarised; the ranges of the hours only when asked for."""
    names = [name for name in ran.figures if name in ran.meanings]
    if not names:
        return {}
    days = np.vstack([ran.daily(name) for name in names])
    low, high, edge = limits_of_rows(days)
    made: dict[str, Figure] = {}
    for row, name in enumerate(names):
        given, array = ran.meanings[name], ran.figures[name]
        ranged = days.shape[1] > 1 and bool(np.isfinite(days[row, 0]))
        hours_low: tuple[float | None, ...] = ()
        hours_high: tuple[float | None, ...] = ()
        if hourly and array.shape[0] > 1:
            bottom, top = _hour_limits(array)
            hours_low, hours_high = tuple(map(_number, bottom)), tuple(map(_number, top))
        made[name] = Figure(
            name, given.unit, style_of(given.unit, given.style), given.meaning, _number(days[row, 0]),
            float(low[row]) if ranged else None, float(high[row]) if ranged else None,
            bool(edge[row]) and ranged, tuple(map(_number, array[0])), hours_low, hours_high,
        )  # fmt: skip
    return made


def _hour_limits(array: Array) -> tuple[Array, Array]:
    draws = array[1:]
    reduce: Any = np.percentile if np.isfinite(draws).all() else np.nanpercentile
    low, high = reduce(draws, (LOW, HIGH), axis=0)
    return np.minimum(low, array[0]), np.maximum(high, array[0])


def drivers_of(ran: Ran, name: str) -> tuple[Driver, ...]:
    """The inputs whose draws rank with the figure's, largest first (Spearman, squared).

    Each is sought in what those before it leave, so that the chance likeness of an input that has
    no part in it drowns no longer in the figure's own spread but shows for what it is.
    """
    values = ran.daily(name)[1:]
    keep = np.isfinite(values)
    paths, columns, ranked = _ranked_columns(ran)
    if not paths or keep.sum() < FEWEST_DRAWS or np.ptp(values[keep]) == 0:
        return ()
    if not keep.all():
        ranked = _ranks(columns[:, keep])
    target = _ranks(values[keep][None, :])[0]
    # The largest of so many columns of noise reaches about this share of what is left to explain.
    noise = (2.0 * np.log(len(paths)) + 3.0) / target.size
    made: list[Driver] = []
    while len(made) < MOST_DRIVERS:
        correlation = ranked @ target / target.size
        best = int(np.argmax(np.abs(correlation)))
        share = float(correlation[best] ** 2)
        if share < max(FEWEST_SHARE, noise * float(target @ target) / target.size):
            break
        made.append(Driver(paths[best], share, 1 if correlation[best] > 0 else -1))
        target = target - correlation[best] * ranked[best]
    return tuple(sorted(made, key=lambda driver: -driver.share))


def _ranked_columns(ran: Ran) -> tuple[list[str], Array, Array]:
    """Paths, draws and ranks of the inputs that vary in this run; made once for all cards."""
    if ran.ranked is None:
        drawn = {path: rows[1:, 0] for path, rows in ran.draws.columns.items() if rows.shape[0] > 2}
        varying = {path: rows for path, rows in drawn.items() if np.ptp(rows) > 0}
        columns = np.vstack(list(varying.values())) if varying else np.empty((0, 0))
        ran.ranked = (list(varying), columns, _ranks(columns) if varying else columns)
    return ran.ranked


def _ranks(rows: Array) -> Array:
    """Ranks along the last axis, each row to mean 0 and variance 1."""
    order = np.argsort(np.argsort(rows, axis=1), axis=1).astype(float)
    order -= order.mean(axis=1, keepdims=True)
    deviation = order.std(axis=1, keepdims=True)
    result: Array = order / np.where(deviation > 0, deviation, 1.0)
    return result


def cards_of(ran: Ran, figures: dict[str, Figure], system: System) -> tuple[list[Card], list[Unwell]]:
    """Every question answered, worst news first, and the plugins that could not."""
    registry = ran.boat.registry
    found = Found(ran, system)
    cards: list[Card] = []
    unwell: list[Unwell] = []
    for owner, question in registry.questions:
        try:
            card = _card(ran, found, owner, question, figures)
        except GuardError as failure:
            unwell.append(failure.unwell)
            answer = Answer(
                f"Not working: {failure.unwell.error}", Urgency.UNKNOWN,
                next="The other answers stand. Report it to whoever wrote the plugin "
                f"{failure.unwell.plugin}.",
            )  # fmt: skip
            card = Card(question, owner, answer, missing=(failure.unwell.error,))
        cards.append(card)
    cards.sort(key=lambda card: (card.answer.urgency, card.question.key))
    return cards, unwell


def _card(ran: Ran, found: Found, owner: str, question: Question, figures: dict[str, Figure]) -> Card:
    registry = ran.boat.registry
    if question.about and not aboard(ran.boat, question.about):
        line = question.add_line or f"[{question.about}]"
        return Card(
            question, owner,
            Answer("Not aboard.", Urgency.NOT_ABOARD, next=f"If it is, add this to the boat file: {line}"),
        )  # fmt: skip
    missing = tuple(dict.fromkeys(_missing(ran, need) for need in question.needs if not found.has(need)))
    if missing:
        answer = Answer(
            "Cannot be answered now.", Urgency.UNKNOWN, reasons=tuple(map(Reason, missing)),
            next="See what is not working, or load the plugin that is missing.",
        )  # fmt: skip
        return Card(question, owner, answer, missing=missing)
    answer = guarded(owner, question.key, call, question.function, found)
    if not isinstance(answer, Answer):
        raise GuardError(Unwell(owner, question.key, f"answers with a {type(answer).__name__}"))
    answer = replace(answer, reasons=(*answer.reasons, *_joined(ran, found, question)))
    guessed = _guessed(ran, answer.figure)
    if guessed:
        # What is aboard and not counted must not pass for what is not aboard.
        answer = replace(
            answer,
            verdict=f"Without numbers for {guessed}: {answer.verdict[:1].lower()}{answer.verdict[1:]}",
            urgency=Urgency.UNKNOWN if answer.urgency == Urgency.FINE else answer.urgency,
            sure=None,
            reasons=(
                Reason(
                    f"In the boat file, but not loaded or not working: {guessed}. A stand-in is counted."
                ),
                *answer.reasons,
            ),
        )
    return Card(
        question, owner, answer, figures.get(answer.figure),
        cautions_for(registry.cautions, answer.hazards),
        drivers_of(ran, answer.figure) if answer.figure in figures and found.draws > 1 else (),
    )  # fmt: skip


def _guessed(ran: Ran, figure: str) -> str:
    """In words, the plugins that are aboard and that a figure has only defaults for."""
    behind = [plugins for name, plugins in ran.guessed.items() if covers(name, figure)]
    return " and ".join(name.replace("_", " ") for name in sorted(frozenset().union(*behind)))


def _listed(reference: str, found: Found) -> list[Any]:
    return list(call(reference, found))


def _joined(ran: Ran, found: Found, question: Question) -> list[Reason]:
    reasons: list[Reason] = []
    for owner, join in ran.boat.registry.joins:
        if join.question != question.key or not all(found.has(need) for need in join.needs):
            continue
        try:
            made = guarded(owner, f"join {question.key}", _listed, join.function, found)
            reasons.extend(reason for reason in made if isinstance(reason, Reason))
        except GuardError as failure:
            ran.unwell.append(failure.unwell)
    return reasons


def _missing(ran: Ran, need: str) -> str:
    for name, why in ran.missing.items():
        if name == need or (name.endswith(".*") and need.startswith(name[:-1])):
            return f"{need.split('.', 1)[0]} is not working: {why}"
    plugin = need.split(".", 1)[0]
    if plugin in ran.boat.registry.loaded():
        return f"{plugin} has no {need.split('.', 1)[-1].replace('_', ' ')} here"
    return f"the plugin {plugin} is not loaded"


def _column(ran: Ran, path: str) -> Array:
    if path in ran.draws.columns or not ran.boat.inputs[path].compute:
        return ran.draws.number(path)[:, 0]
    # A computed default is a plugin's code.
    return guarded(ran.boat.inputs[path].section, path, ran.draws.number, path)[:, 0]


def numbers_of(ran: Ran) -> dict[str, tuple[float, float | None, float | None]]:
    """Value and range of every quantity among the inputs, in SI."""
    columns: dict[str, Array] = {}
    for path, entry in ran.boat.inputs.items():
        if entry.kind != "quantity":
            continue
        try:
            columns[path] = _column(ran, path)
        except GuardError as failure:
            ran.unwell.append(failure.unwell)
    if not columns:
        return {}
    stacked = np.vstack(list(columns.values()))
    if stacked.shape[1] == 1:
        return {path: (float(row[0]), None, None) for path, row in zip(columns, stacked, strict=True)}
    low, high = np.percentile(stacked[:, 1:], (LOW, HIGH), axis=1)
    return {
        path: (float(row[0]), float(min(a, row[0])), float(max(b, row[0])))
        for path, row, a, b in zip(columns, stacked, low, high, strict=True)
    }


def cautions_for(known: dict[str, Caution], keys: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions of some hazards, each once, worst first."""
    chosen = {key: known[key] for key in keys if key in known}
    return tuple(sorted(chosen.values(), key=lambda caution: (caution.rank, caution.key)))


def estimate(
    boat: Boat, draws: int = 0, system: System = "si", *, hourly: bool = False,
    cancelled: Callable[[], bool] | None = None, base: Ran | None = None,
) -> Outcome:  # fmt: skip
    """Run the day and answer the questions.

    ``draws=0`` is the quick nominal run, without ranges. ``base`` is the run of nearly the same
    boat: what nothing has changed for is taken over from it. Raises `Cancelled` when told to.
    """
    began = time.perf_counter()
    ran = run_day(boat, draws, cancelled, base)
    figures = figures_of(ran, hourly)
    cards, unwell = cards_of(ran, figures, system)
    warnings = list(dict.fromkeys([*boat.warnings, *ran.warnings]))
    for figure in figures.values():
        if figure.value is None:
            warnings.append(f"{figure.name} has no finite value")
    return Outcome(
        boat, draws, figures, tuple(cards), numbers_of(ran), tuple(warnings),
        tuple(dict.fromkeys([*ran.unwell, *unwell])), time.perf_counter() - began, ran.timings,
        ran,
    )  # fmt: skip
