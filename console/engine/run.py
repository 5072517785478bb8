"""One run of the forward model over draws and steps, estimate by estimate, each under guard."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Given, Need
from console.engine.order import Node, Plan, ancestors, covers, nobody_gives, plan
from console.engine.views import Draws, EstimateView, Look, looks_the_same
from console.guard import GuardError, Unwell, call, guarded
from console.quantities import STYLES, parse_measure, style_of

Array = NDArray[np.float64]

DAY_STEPS = 24
DAYS = "weather.days"
"""The input that says how many days a run is of."""
MOST_DAYS = 31
LIMIT = 5.0
"""Seconds an estimate may take for the nominal boat."""

LIMIT_PER_DRAW = 0.01


class Cancelled(Exception):
    """The run was cancelled by whoever asked for it."""


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
    looked: dict[str, frozenset[Look]] = field(default_factory=dict)
    """Of each estimate that gave its figures without a word: all it looked at."""
    gave: dict[str, tuple[str, ...]] = field(default_factory=dict)
    kept: set[str] = field(default_factory=set)
    """The estimates whose figures were taken over from the run before."""
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


def run_day(
    boat: Boat, draws: int = 0, cancelled: Callable[[], bool] | None = None, base: Ran | None = None,
    columns: Draws | None = None,
) -> Ran:  # fmt: skip
    """The day timeline: hourly steps over (draws + 1) rows, 24 or as many days as the weather asks.

    ``base`` is a run of nearly the same boat on as many draws: what nothing has changed for is
    taken over from it, to the bit. ``columns`` are the draws to use instead of the boat's own (a
    change switched on). Raises `Cancelled` when ``cancelled()`` becomes true between two
    estimates. Everything that goes wrong in a plugin is in ``unwell``, one sentence each; the
    rest is computed.
    """
    made = columns or Draws(boat, draws, alike=base.draws if base else None)
    hours = (np.arange(DAY_STEPS * _days(made), dtype=np.float64) + 0.5) % DAY_STEPS
    return run_steps(made, hours, 3600.0, cancelled=cancelled, base=base)


def _days(draws: Draws) -> int:
    entry = draws.boat.inputs.get(DAYS)
    if entry is None or entry.measure is None:
        return 1
    return max(1, min(MOST_DAYS, round(float(draws.number(DAYS)[0, 0]))))


def run_moment(
    boat: Boat, day: Ran, hour: int, pins: Mapping[str, Array | float] | None = None,
    cancelled: Callable[[], bool] | None = None, columns: Draws | None = None,
    wanted: Collection[str] = (),
) -> Ran:  # fmt: skip
    """The moment timeline: one step at the conditions of the readings.

    Stateful estimates do not run: every figure they give is pinned, by ``pins`` (a condition
    reading, in SI) or else draw by draw from the fault-free ``day`` run at ``hour``. A pin
    replaces an estimate's figure before anyone sees it. ``boat`` may differ from the day's, and
    ``columns`` be changed draws (a fault switched on); there are as many draws. With ``wanted``
    only what these figures need is run.
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
    made = columns or Draws(boat, day.draws.draws, alike=day.draws)
    hours = np.array([hour % DAY_STEPS + 0.5])
    return run_steps(made, hours, 3600.0, pinned, held=True, cancelled=cancelled, wanted=wanted)


def _planned(boat: Boat) -> Plan:
    """The plan for what is aboard, made once for a registry and kept with it."""
    registry = boat.registry
    there = frozenset(e.about for _, e in registry.estimates if e.about and aboard(boat, e.about))
    kept = registry.plans.get(there)
    if kept is None:
        kept = registry.plans[there] = plan(registry.estimates, there.__contains__)
    return kept


def run_steps(
    draws: Draws, hours: Array, step_seconds: float, pins: Mapping[str, Array] | None = None, *,
    held: bool = False, cancelled: Callable[[], bool] | None = None, base: Ran | None = None,
    wanted: Collection[str] = (),
) -> Ran:  # fmt: skip
    """Any timeline: the estimates in their order over the steps at ``hours``.

    ``pins`` are figures (draws + 1, steps) that replace what an estimate would give. With
    ``held`` the stateful estimates do not run (pin what they give). ``base`` and ``wanted`` as
    in `run_day` and `run_moment`.
    """
    boat, pins = draws.boat, pins or {}
    registry = boat.registry
    planned = _planned(boat)
    ran = Ran(boat, draws, planned, hours)
    ran.unwell = [*registry.failures, *boat.unwell, *planned.refused]
    shape = (draws.draws + 1, hours.size)
    for name, array in pins.items():
        ran.figures[name] = array
        found = planned.given(name)
        if found:
            ran.meanings[name] = found[1]
    limit = LIMIT + LIMIT_PER_DRAW * draws.draws
    needed = ancestors(planned, wanted, pins) if wanted else None
    if base is not None and (
        pins or base.draws.draws != draws.draws or not np.array_equal(base.hours, hours)
    ):
        base = None
    for node in planned.nodes:
        if cancelled and cancelled():
            raise Cancelled
        if (held and node.estimate.stateful) or (needed is not None and node.key not in needed):
            continue
        if base is not None and _take_over(ran, node, base):
            continue
        began = time.perf_counter()
        guessed = _guessed(ran, node)
        if guessed:
            ran.guessed.update({given.name: guessed for given in node.estimate.gives})
        warned = len(ran.warnings)
        looked: set[Look] = set()
        try:
            needs = _needs(ran, node, shape, step_seconds, looked)
            view = EstimateView(draws, hours, step_seconds, MappingProxyType(needs), looked)
            reference = node.estimate.function
            made = guarded(node.owner, node.key, _figures, reference, view, limit=limit)
            _accept(ran, node, made, shape, frozenset(pins))
            if len(ran.warnings) == warned and not guessed:
                ran.looked[node.key] = frozenset(looked)
                ran.gave[node.key] = tuple(str(name) for name in made)
        except GuardError as failure:
            ran.unwell.append(failure.unwell)
            for given in node.estimate.gives:
                ran.missing[given.name] = failure.unwell.error
        ran.timings[node.key] = time.perf_counter() - began
    draws.release()
    return ran


def _take_over(ran: Ran, node: Node, base: Ran) -> bool:
    """Take an estimate's figures over from ``base`` where all it looked at is what it was."""
    looked = base.looked.get(node.key)
    if looked is None:
        return False
    for kind, name in looked:
        if kind == "figure":
            if any(covers(name, each) for each in ran.figures.keys() ^ base.figures.keys()):
                return False
            if any(
                array is not base.figures[each]
                for each, array in ran.figures.items() if covers(name, each)
            ):  # fmt: skip
                return False
        elif not looks_the_same((kind, name), base.draws, ran.draws):
            return False
    for name in base.gave[node.key]:
        ran.figures[name], ran.meanings[name] = base.figures[name], base.meanings[name]
    ran.looked[node.key], ran.gave[node.key] = looked, base.gave[node.key]
    ran.kept.add(node.key)
    return True


def _figures(reference: str, view: EstimateView) -> dict[str, Any]:
    return dict(call(reference, view))


def _needs(
    ran: Ran, node: Node, shape: tuple[int, int], step_seconds: float, looked: set[Look]
) -> dict[str, Array]:
    found: dict[str, Array] = {}
    for need in node.estimate.needs:
        family = need.name.endswith(".*")
        matching = [n for n in ran.figures if covers(need.name, n)] if family else (
            [need.name] if need.name in ran.figures else [])  # fmt: skip
        looked.add(("figure", need.name))
        if matching:
            found.update({name: ran.figures[name] for name in matching})
        elif not family:
            found[need.name] = _default(ran, node, need, shape, step_seconds, found, looked)
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
    found: Mapping[str, Array], looked: set[Look],
) -> Array:  # fmt: skip
    if need.default is None:
        _nobody(ran, node, need)
    default = str(need.default)
    if ":" in default:
        available = {**ran.figures, **found}
        view = EstimateView(ran.draws, ran.hours, step_seconds, MappingProxyType(available), looked)
        made = guarded(node.owner, node.key, call, default, view)
        return np.broadcast_to(np.asarray(made, dtype=float), shape)

    def parsed() -> Array:
        style = style_of(need.unit)
        measure = parse_measure(default, style)
        law = STYLES[style].law
        made = ran.draws.stand_in(f"need:{node.key}:{need.name}", measure, law)
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
