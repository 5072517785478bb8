"""One run of the forward model over draws and steps, estimate by estimate, each under guard."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Given, Need
from console.engine.draws import column, spread_about
from console.engine.order import Node, Plan, covers, nobody_gives, plan
from console.guard import GuardError, Unwell, call, guarded
from console.quantities import STYLES, parse_measure, style_of

Array = NDArray[np.float64]

DAY_STEPS = 24
LIMIT = 5.0
"""Seconds an estimate may take for the nominal boat."""

LIMIT_PER_DRAW = 0.01


class Cancelled(Exception):
    """The run was cancelled by whoever asked for it."""


class Draws:
    """The columns of a boat's inputs, shape (draws + 1, 1) each, made when asked for."""

    before: Draws | None = None
    """The draws before a change, when these are changed ones."""

    def __init__(self, boat: Boat, draws: int) -> None:
        self.boat, self.draws = boat, draws
        self.columns: dict[str, Array] = {}
        self._computing: list[str] = []

    def number(self, path: str) -> Array:
        """An input's column; KeyError when there is no such quantity."""
        made = self.columns.get(path)
        if made is None:
            made = self._make(path)[:, None]
            made.flags.writeable = False
            self.columns[path] = made
        return made

    def _make(self, path: str) -> Array:
        entry = self.boat.inputs[path]
        if entry.kind != "quantity" or entry.measure is None:
            raise KeyError(path)
        if not entry.compute:
            half = entry.measure.half_si
            return column(path, self.draws, entry.measure.value, half, entry.law, entry.hard)
        if path in self._computing:
            names = " → ".join([*self._computing, path])
            raise RecursionError(f"defaults that need each other: {names}")
        self._computing.append(path)
        try:
            medians = np.asarray(call(entry.compute, InputView(self)), dtype=float)
        finally:
            self._computing.pop()
        rows = np.broadcast_to(medians.reshape(-1) if medians.ndim else medians, (self.draws + 1,))
        measure = entry.measure
        return spread_about(path, rows, measure.half or 0.0, measure.relative, entry.law, entry.hard)


class InputView:
    """The inputs as a default's function sees them: a `console.contract.Run` without figures."""

    steps = 1
    step_seconds = 3600.0

    def __init__(self, draws: Draws) -> None:
        self._draws = draws
        self.draws = draws.draws + 1

    @property
    def _boat(self) -> Boat:
        return self._draws.boat

    @property
    def hours(self) -> Array:
        return np.array([12.0])

    @property
    def untouched(self) -> InputView:
        """The inputs before any change."""
        before = self._draws.before
        return self if before is None else InputView(before)

    def number(self, path: str, default: float | None = None) -> Array:
        try:
            return self._draws.number(path)
        except KeyError:
            if default is None:
                raise KeyError(f"there is no input {path}") from None
            return np.full((self.draws, 1), float(default))

    def value(self, path: str, default: Any = None) -> Any:
        entry = self._boat.inputs.get(path)
        return default if entry is None or entry.value is None else entry.value

    def text(self, path: str, default: str | None = None) -> str:
        found = self.value(path, default)
        if found is None:
            raise KeyError(f"there is no input {path}")
        return str(found)

    def has(self, path: str) -> bool:
        boat = self._boat
        return path in boat.inputs or path in boat.tables or path in boat.item_paths

    def given(self, path: str) -> bool:
        entry = self._boat.inputs.get(path)
        return entry is not None and entry.origin != "assumed"

    def items(self, path: str) -> tuple[str, ...]:
        return self._boat.item_paths.get(path, ())

    def figure(self, name: str) -> Array:
        raise KeyError(f"a default cannot use the figure {name}")

    def family(self, prefix: str) -> Mapping[str, Array]:
        return {}


class EstimateView(InputView):
    """What an estimate sees: the inputs, and the figures it said it needs."""

    def __init__(
        self, draws: Draws, hours: Array, step_seconds: float, figures: Mapping[str, Array]
    ) -> None:
        super().__init__(draws)
        self.steps, self.step_seconds = hours.size, step_seconds
        self._hours, self._figures = hours, figures

    @property
    def hours(self) -> Array:
        return self._hours

    def figure(self, name: str) -> Array:
        try:
            return self._figures[name]
        except KeyError:
            raise KeyError(f"the figure {name} is not among the needs of this estimate") from None

    def family(self, prefix: str) -> Mapping[str, Array]:
        return {name: value for name, value in self._figures.items() if name.startswith(prefix + ".")}


@dataclass
class Ran:
    """The arrays of a run: every figure (draws + 1, steps), read-only."""

    boat: Boat
    draws: Draws
    plan: Plan
    hours: Array
    figures: dict[str, Array] = field(default_factory=dict)
    meanings: dict[str, Given] = field(default_factory=dict)
    unwell: list[Unwell] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    missing: dict[str, str] = field(default_factory=dict)
    guessed: dict[str, frozenset[str]] = field(default_factory=dict)
    """Of a given name: the plugins whose table is in the file but whose figures nobody gave, so
    that it rests on defaults for them."""
    timings: dict[str, float] = field(default_factory=dict)
    ranked: tuple[list[str], Array, Array] | None = None
    _days: dict[str, Array] = field(default_factory=dict)

    def daily(self, name: str) -> Array:
        """The day's one value of a figure in every draw, shape (draws + 1,), read-only."""
        made = self._days.get(name)
        if made is None:
            made = np.asarray(self._day_value(name))
            made.flags.writeable = False
            self._days[name] = made
        return made

    def _day_value(self, name: str) -> Array:
        hourly, given = self.figures[name], self.meanings[name]
        if hourly.shape[1] == 1:
            return hourly[:, 0]
        match given.daily:
            case "largest":
                return _over_hours(np.nanmax, hourly)
            case "least":
                return _over_hours(np.nanmin, hourly)
            case "last":
                return hourly[:, -1]
            case "at_worst_hour":
                worst = self.figures.get(given.worst_of)
                if worst is None:
                    return _over_hours(np.nanmax, hourly)
                hour = np.argmax(np.where(np.isfinite(worst), worst, -np.inf), axis=1)
                return np.asarray(hourly[np.arange(hourly.shape[0]), hour])
            case _:
                return _over_hours(np.nanmean, hourly)


def _over_hours(reduce: Callable[..., Any], hourly: Array) -> Array:
    """Reduce over the hours, leaving out what is not finite; NaN where nothing is left."""
    finite = np.isfinite(hourly)
    if finite.all():
        return np.asarray(reduce(hourly, axis=1))
    some = finite.any(axis=1)
    result = np.full(hourly.shape[0], np.nan)
    result[some] = reduce(np.where(finite, hourly, np.nan)[some], axis=1)
    return result


def aboard(boat: Boat, path: str) -> bool:
    """Whether a table is aboard."""
    return path in boat.tables or path in boat.item_paths


def run_day(boat: Boat, draws: int = 0, cancelled: Callable[[], bool] | None = None) -> Ran:
    """The day timeline: 24 hourly steps over (draws + 1) rows.

    Raises `Cancelled` when ``cancelled()`` becomes true between two estimates. Everything that
    goes wrong in a plugin is in ``unwell``, one sentence each; the rest is computed.
    """
    hours = np.arange(DAY_STEPS, dtype=np.float64) + 0.5
    return _run(boat, Draws(boat, draws), hours, 3600.0, {}, cancelled)


def run_moment(
    boat: Boat, day: Ran, hour: int, pins: Mapping[str, Array | float] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Ran:  # fmt: skip
    """The moment timeline: one step at the conditions of the readings.

    Stateful estimates do not run: every figure they give is pinned, by ``pins`` (a condition
    reading, in SI) or else draw by draw from the fault-free ``day`` run at ``hour``. A pin
    replaces an estimate's figure before anyone sees it. ``boat`` may differ from the day's
    (a fault switched on); the draws are the same.
    """
    rows = day.draws.draws + 1
    pinned = {
        name: np.broadcast_to(np.asarray(value, dtype=float).reshape(-1, 1), (rows, 1))
        for name, value in (pins or {}).items()
    }
    for node in day.plan.nodes:
        if node.estimate.stateful:
            for name, array in day.figures.items():
                if name not in pinned and any(covers(g.name, name) for g in node.estimate.gives):
                    pinned[name] = array[:, hour : hour + 1]
    return _run(boat, Draws(boat, day.draws.draws), np.array([hour + 0.5]), 3600.0, pinned, cancelled)


def _planned(boat: Boat) -> Plan:
    """The plan for what is aboard, made once for a registry and kept with it."""
    registry = boat.registry
    there = frozenset(e.about for _, e in registry.estimates if e.about and aboard(boat, e.about))
    kept = registry.plans.get(there)
    if kept is None:
        kept = registry.plans[there] = plan(registry.estimates, there.__contains__)
    return kept


def _run(
    boat: Boat, draws: Draws, hours: Array, step_seconds: float,
    pins: Mapping[str, Array], cancelled: Callable[[], bool] | None,
) -> Ran:  # fmt: skip
    registry = boat.registry
    planned = _planned(boat)
    ran = Ran(boat, draws, planned, hours)
    ran.unwell = [*registry.failures, *boat.unwell, *planned.refused]
    shape = (draws.draws + 1, hours.size)
    moment = bool(pins)
    for name, array in pins.items():
        ran.figures[name] = array
        found = planned.given(name)
        if found:
            ran.meanings[name] = found[1]
    limit = LIMIT + LIMIT_PER_DRAW * draws.draws
    for node in planned.nodes:
        if cancelled and cancelled():
            raise Cancelled
        if moment and node.estimate.stateful:
            continue
        began = time.perf_counter()
        guessed = _guessed(ran, node)
        if guessed:
            ran.guessed.update({given.name: guessed for given in node.estimate.gives})
        try:
            needs = _needs(ran, node, shape, step_seconds)
            view = EstimateView(draws, hours, step_seconds, MappingProxyType(needs))
            reference = node.estimate.function
            made = guarded(node.owner, node.key, _figures, reference, view, limit=limit)
            _accept(ran, node, made, shape, frozenset(pins))
        except GuardError as failure:
            ran.unwell.append(failure.unwell)
            for given in node.estimate.gives:
                ran.missing[given.name] = failure.unwell.error
        ran.timings[node.key] = time.perf_counter() - began
    return ran


def _figures(reference: str, view: EstimateView) -> dict[str, Any]:
    return dict(call(reference, view))


def _needs(ran: Ran, node: Node, shape: tuple[int, int], step_seconds: float) -> dict[str, Array]:
    found: dict[str, Array] = {}
    for need in node.estimate.needs:
        family = need.name.endswith(".*")
        matching = [n for n in ran.figures if covers(need.name, n)] if family else (
            [need.name] if need.name in ran.figures else [])  # fmt: skip
        if matching:
            found.update({name: ran.figures[name] for name in matching})
        elif not family:
            found[need.name] = _default(ran, node, need, shape, step_seconds, found)
        elif need.default is None:
            _nobody(ran, node, need)
    return found


def _guessed(ran: Ran, node: Node) -> frozenset[str]:
    """The plugins this estimate has only defaults for, though the file says they are aboard.

    It goes on from estimate to estimate of one plugin, not into the next plugin's: there it is
    one influence among many, which the default's spread holds.
    """
    found: set[str] = set()
    registry = ran.boat.registry
    gone = registry.installed() - registry.loaded()
    for need in node.estimate.needs:
        owner = need.name.split(".", 1)[0]
        if owner == node.owner:
            for name, behind in ran.guessed.items():
                if covers(need.name, name) or covers(name, need.name):
                    found |= behind
        elif owner in ran.boat.raw and (owner in gone or any(covers(n, need.name) for n in ran.missing)):
            found.add(owner)
    return frozenset(found)


def _nobody(ran: Ran, node: Node, need: Need) -> None:
    registry = ran.boat.registry
    sentence = nobody_gives(need.name, ran.plan, registry.installed(), registry.loaded())
    for name, why in ran.missing.items():
        if covers(name, need.name):
            sentence = f"needs {need.name}, which is not working ({why})"
    raise GuardError(Unwell(node.owner, node.key, sentence))


def _default(
    ran: Ran, node: Node, need: Need, shape: tuple[int, int], step_seconds: float,
    found: Mapping[str, Array],
) -> Array:  # fmt: skip
    if need.default is None:
        _nobody(ran, node, need)
    default = str(need.default)
    if ":" in default:
        available = {**ran.figures, **found}
        view = EstimateView(ran.draws, ran.hours, step_seconds, MappingProxyType(available))
        made = guarded(node.owner, node.key, call, default, view)
        return np.broadcast_to(np.asarray(made, dtype=float), shape)

    def parsed() -> Array:
        style = style_of(need.unit)
        measure = parse_measure(default, style)
        law = STYLES[style].law
        made = column(f"need:{node.key}:{need.name}", ran.draws.draws, measure.value, measure.half_si, law)
        return np.broadcast_to(made[:, None], shape)

    return guarded(node.owner, node.key, parsed)


def _accept(
    ran: Ran, node: Node, made: dict[str, Any], shape: tuple[int, int], pinned: frozenset[str]
) -> None:
    """Check what an estimate gave and hand it out read-only; GuardError with the reason if not."""

    def refuse(sentence: str) -> None:
        raise GuardError(Unwell(node.owner, node.key, sentence))

    exact = {given.name: given for given in node.estimate.gives}
    families = [given for given in node.estimate.gives if given.name.endswith(".*")]
    accepted: dict[str, tuple[Array, Given]] = {}
    for name, value in made.items():
        given = exact.get(name) or next((g for g in families if covers(g.name, str(name))), None)
        if given is None:
            refuse(f"gives {name}, which it did not announce")
            return
        try:
            # A copy: the plugin may not change it later. Broadcasting it is a read-only view.
            array = np.array(value, dtype=float)
            array = np.broadcast_to(array, shape) if array.shape != shape else array
        except (TypeError, ValueError):
            got = getattr(np.asarray(value, dtype=object), "shape", ())
            refuse(f"gives {name} in the shape {got}, which does not fit {shape}")
        array.flags.writeable = False
        if not _is_dressed(given.unit, given.style):
            refuse(f"gives {name} in {given.unit}, which is not an SI unit the console knows")
        accepted[str(name)] = (array, given)
    for name in exact:
        if not name.endswith(".*") and name not in accepted:
            refuse(f"did not give {name}, which it announced")
    for name, (array, given) in accepted.items():
        if name in pinned:
            continue
        finite = np.isfinite(array)
        if not finite.all():
            bad = array.size - int(np.count_nonzero(finite))
            if bad == array.size:
                refuse(f"gives no finite number for {name}")
            ran.warnings.append(f"{name}: {bad} of {array.size} values are not finite and were left out")
        ran.figures[name] = array
        ran.meanings[name] = given


@lru_cache(512)
def _is_dressed(unit: str, style: str) -> bool:
    """Whether the console knows how to show a figure of this unit and style."""
    try:
        style_of(unit, style)
    except KeyError:
        return False
    return True
