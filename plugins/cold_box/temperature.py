"""The temperature the box holds through the day, and how far it warms where it cannot."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from plugins.cold_box.box import Balance, Box, balance, fridge_net, share_wanted

Array = NDArray[np.float64]
T = TypeVar("T")

SCREEN = 1e-4
"""How finely the draws that keep up are told from those looked at closely."""

OUTER_STEPS = 60
OUTER_CLOSE = 1e-8
MOST_DAYS = 80
DAY_CLOSE = 1e-10
PROBE = 0.25
FINE_PROBE = 0.02
"""K over which the fridge side's slope is taken: well within the band of its fan's thermostat."""

CHORD = 0.02
"""K of movement below which the last slopes serve."""

FEWER = 0.7
"""Share of draws still moving below which the rest are set aside."""

LEAST_PACE, MOST_PACE = 0.02, 2.0
"""How much of a round's change is taken on to the next."""

MOST_ROUNDS, ROUND_CLOSE = 40, 1e-5
"""Times the two sides of a divided box are settled in turn, and K within which they agree."""

FIRST_APART = 14.0
"""K between the two sides, to begin with."""

COLDEST, WARMEST = 236.0, 332.0
"""K between which the search stays: the moist-air map's."""


def rows_of(record: T, rows: NDArray[np.intp], draws: int) -> T:
    """A record of arrays (draws, ...) with some of its draws, nested records included."""
    if draws == 1:
        return record

    def chosen(value: Any) -> Any:
        if isinstance(value, np.ndarray) and value.ndim == 2 and value.shape[0] == draws:
            return value[rows]
        if is_dataclass(value) and not isinstance(value, type):
            return rows_of(value, rows, draws)
        return value

    made: Any = record
    changed: T = replace(made, **{f.name: chosen(getattr(made, f.name)) for f in fields(made)})
    return changed


def settle(
    box: Box, set_point: Array, heat_capacity: Array, step_seconds: float, shape: tuple[int, int],
    beyond: Array | None = None, kept: Array | None = None,
) -> tuple[Array, Array, Array]:  # fmt: skip
    """Box temperature (K), the heat its contents take up (W), and the share of the time (over 1:
    it cannot) it would have to run to hold ``set_point``, each (draws, hours).

    ``set_point`` (K) and ``heat_capacity`` of the contents (J/K) are (draws, 1). The thermostat
    holds the set-point wherever the machine can. Where it cannot, C dT/dt = heat in - cooling
    with all it has (implicit steps, stable at any length); where nothing needs cooling the box
    drifts down with the cabin. The day repeats until it closes on itself. Only the draws that
    fall short are stepped; their balances are solved exactly at the temperature found (Newton
    on the day, under a fixed cap). ``beyond`` (K) is the fridge side of a divided box and
    ``kept`` (W) what that side's contents take up.
    """
    draws, hours = shape
    temperature = np.broadcast_to(set_point, shape).copy()
    stored = np.zeros(shape)
    released = np.zeros(()) if kept is None else -kept
    wanted, sensible = share_wanted(box, temperature, SCREEN, released, beyond)
    short = wanted > box.machine.allowed * (1.0 - 10.0 * SCREEN)
    off = sensible < 0.0
    rows = np.flatnonzero(np.any(np.broadcast_to(short | off, shape), axis=1))
    wanted = np.broadcast_to(wanted, shape)
    if rows.size == 0:
        return temperature, stored, wanted
    found, taken_up = _day(
        rows_of(box, rows, draws), _some(set_point, rows, draws), _some(heat_capacity, rows, draws),
        step_seconds, (rows.size, hours), bool(np.any(off)),
        None if beyond is None else _some(beyond, rows, draws), _some(released, rows, draws),
    )  # fmt: skip
    temperature[rows], stored[rows] = found, taken_up
    return temperature, stored, wanted


def settle_divided(
    box: Box,
    set_point: Array,
    heat_capacity: tuple[Array, Array],
    step_seconds: float,
    shape: tuple[int, int],
) -> tuple[Array, Array, Array, Array]:
    """A divided box: temperature of the plate's side (K), heat all contents take up (W), the share
    it would have to run, and the fridge side's temperature (K).

    ``heat_capacity`` (J/K) of the two sides. Each side is settled with the other's temperatures
    until they agree (Aitken's relaxation draw by draw, Küttler & Wall 2008, Comput. Mech. 43:61);
    where the machine holds the plate's side, at once.
    """
    draws = shape[0]
    inside = np.broadcast_to(set_point, shape)
    beyond, kept = _fridge_day(box, inside, heat_capacity[1], step_seconds, shape)
    found, own, wanted = settle(box, set_point, heat_capacity[0], step_seconds, shape, beyond, kept)
    # Only the draws whose machine does not hold its side go round again.
    rows = np.flatnonzero(np.any(np.abs(found - inside) > ROUND_CLOSE, axis=1))
    if rows.size == 0:
        return found, own + kept, wanted, beyond
    part, goal = rows_of(box, rows, draws), _some(set_point, rows, draws)
    plated, fridge = (_some(c, rows, draws) for c in heat_capacity)
    few = (rows.size, shape[1])
    now, there, took, share, mine = (x[rows] for x in (found, beyond, kept, wanted, own))
    pace, before = np.ones((rows.size, 1)), np.zeros(few)
    for turn in range(MOST_ROUNDS):
        there, took = _fridge_day(part, now, fridge, step_seconds, few, there)
        new, mine, share = settle(part, goal, plated, step_seconds, few, there, took)
        off = new - now
        if float(np.max(np.abs(off))) < ROUND_CLOSE:
            now = new
            break
        if turn:
            # The larger side swings the smaller to and fro: how far to go is learnt from the last two.
            turned = off - before
            size = np.maximum(np.sum(turned * turned, axis=1, keepdims=True), 1e-12)
            pace = pace * -np.sum(before * turned, axis=1, keepdims=True) / size
            pace = np.clip(pace, LEAST_PACE, MOST_PACE)
        before = off
        now = now + pace * off
    found, own, kept, wanted, beyond = (np.array(x) for x in (found, own, kept, wanted, beyond))
    found[rows], own[rows], kept[rows], wanted[rows], beyond[rows] = now, mine, took, share, there
    return found, own + kept, wanted, beyond


def fridge_steady(box: Box, inside: Array) -> Array:
    """Temperature (K) of a divided box's fridge side where it neither warms nor cools."""
    shape = np.broadcast_shapes(np.shape(inside), np.shape(box.cabin))
    return _fridge_day(box, np.broadcast_to(inside, shape), np.zeros((1, 1)), 1.0, shape)[0]


def _fridge_day(
    box: Box, inside: Array, heat_capacity: Array, step_seconds: float, shape: tuple[int, int],
    start: Array | None = None,
) -> tuple[Array, Array]:  # fmt: skip
    """The fridge side through a day that closes, and what its contents take up (W); ``start`` is
    a day of it to begin at."""
    inertia = np.broadcast_to(heat_capacity / step_seconds, (shape[0], 1))
    free = np.full(shape[0], COLDEST)
    at = _first_fridge(box, inside) if start is None else start
    at = at + np.zeros(shape)
    before = at
    slope, coarse = np.zeros(shape), True
    last, reach = np.zeros(shape), np.full(shape, WARMEST - COLDEST)
    for _ in range(OUTER_STEPS):
        net = fridge_net(box, inside, at)
        if coarse:
            near = fridge_net(box, inside, at + FINE_PROBE)
            slope = np.minimum((near - net) / FINE_PROBE, -1e-3)
        new, before = _march((net, slope), None, at, free, inertia[:, 0])
        step = np.clip(new, COLDEST, WARMEST) - at
        reach = np.where(step * last < 0.0, 0.4 * np.abs(last), 2.0 * reach)
        last = np.clip(step, -reach, reach)
        at = at + last
        moved = float(np.max(np.abs(last)))
        if moved < OUTER_CLOSE:
            break
        coarse = moved > CHORD
    return at, inertia * (at - before)


def _first_fridge(box: Box, inside: Array) -> Array:
    """Where the search for the fridge side begins (K): no warmer than its fan would leave it."""
    at = np.minimum(inside + FIRST_APART, np.maximum(box.cabin, inside))
    if box.divider is None:
        return at
    fanned: Array = np.where(box.divider.fan_flow > 0.0, np.minimum(at, box.divider.fan_set_point), at)
    return fanned


def _some(value: Array, rows: NDArray[np.intp], draws: int) -> Array:
    return value[rows] if value.ndim == 2 and value.shape[0] == draws else value


def _net(made: Balance, released: Array) -> Array:
    """W that stay in the box."""
    return made.total + released - made.run_share * made.cooling


def _day(
    box: Box, set_point: Array, heat_capacity: Array, step_seconds: float,
    shape: tuple[int, int], any_off: bool, beyond: Array | None, released: Array,
) -> tuple[Array, Array]:  # fmt: skip
    """Newton on the whole day: balances linearised about the last one, then marched.

    Draws that have settled are left alone while the others go on.
    """
    inertia = np.broadcast_to(heat_capacity / step_seconds, (shape[0], 1))
    goal = np.broadcast_to(set_point, (shape[0], 1))
    found = np.broadcast_to(goal, shape).copy()
    before = found.copy()
    rows = np.arange(shape[0])
    at, slope, idle_slope = found, np.zeros(shape), np.zeros(shape)
    last, reach, coarse = np.zeros(shape), np.full(shape, WARMEST - COLDEST), True
    for _ in range(OUTER_STEPS):
        idle_box = replace(box, machine=replace(box.machine, allowed=np.zeros((1, 1))))
        net = _net(balance(box, at, full=True, beyond=beyond), released)
        idle_net = _net(balance(idle_box, at, full=True, beyond=beyond), released) if any_off else net
        if coarse:
            slope = _slope(box, at, net, beyond, released)
            idle_slope = _slope(idle_box, at, idle_net, beyond, released) if any_off else slope
        idle = (idle_net, idle_slope) if any_off else None
        new, earlier = _march((net, slope), idle, at, goal[rows, 0], inertia[rows, 0])
        step = np.clip(new, COLDEST, WARMEST) - at
        # A kink (melting ice, a plate that thaws) can throw Newton to and fro: then step shorter.
        reach = np.where(step * last < 0.0, 0.4 * np.abs(last), 2.0 * reach)
        last = np.clip(step, -reach, reach)
        at = at + last
        found[rows], before[rows] = at, earlier
        moved = np.max(np.abs(last), axis=1)
        open_ = moved > OUTER_CLOSE
        if not open_.any():
            break
        coarse = bool(np.max(moved) > CHORD)
        if np.count_nonzero(open_) < FEWER * rows.size:
            keep = np.flatnonzero(open_)
            box, released = rows_of(box, keep, rows.size), _some(released, keep, rows.size)
            beyond = None if beyond is None else _some(beyond, keep, rows.size)
            rows, at, last, reach = rows[keep], at[keep], last[keep], reach[keep]
            slope, idle_slope = slope[keep], idle_slope[keep]
    return found, inertia * (found - before)


def _slope(box: Box, at: Array, net: Array, beyond: Array | None, released: Array) -> Array:
    """W/K by which net heat falls as the box warms; a kink never makes it rise."""
    near = _net(balance(box, at + PROBE, full=True, beyond=beyond), released)
    return np.minimum((near - net) / PROBE, -1e-3)


def _march(
    full: tuple[Array, Array], off: tuple[Array, Array] | None, at: Array, goal: Array, inertia: Array
) -> tuple[Array, Array]:
    """March the day until it closes: temperatures at the end of each hour, and before it."""
    hours = at.shape[1]

    def ends(line: tuple[Array, Array]) -> tuple[Array, Array]:
        net, slope = line
        weight = 1.0 / (inertia[:, None] - slope)
        return (net - slope * at) * weight, inertia[:, None] * weight

    fixed, carried = ends(full)
    idle = ends(off) if off else None
    path = np.empty_like(at)
    start = at[:, -1]
    for _ in range(MOST_DAYS):
        now = start
        for hour in range(hours):
            low = goal
            if idle:
                low = np.minimum(goal, idle[0][:, hour] + idle[1][:, hour] * now)
            now = np.maximum(fixed[:, hour] + carried[:, hour] * now, low)
            path[:, hour] = now
        closed = float(np.max(np.abs(now - start)))
        start = now
        if closed < DAY_CLOSE:
            break
    return path, np.concatenate([path[:, -1:], path[:, :-1]], axis=1)
