"""The temperature the box holds through the day, and how far it warms where it cannot."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from plugins.cold_box.box import Balance, Box, balance, share_wanted

Array = NDArray[np.float64]
T = TypeVar("T")

SCREEN = 1e-4
"""How finely the draws that keep up are told from those looked at closely."""

OUTER_STEPS = 40
OUTER_CLOSE = 1e-8
MOST_DAYS = 80
DAY_CLOSE = 1e-10
PROBE = 0.25
CHORD = 0.02
"""K of movement below which the last slopes serve."""

FEWER = 0.7
"""Share of draws still moving below which the rest are set aside."""

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
    box: Box, set_point: Array, heat_capacity: Array, step_seconds: float, shape: tuple[int, int]
) -> tuple[Array, Array]:
    """Box temperature (K) and the heat its contents take up (W), each (draws, hours).

    ``set_point`` (K) and ``heat_capacity`` of the contents (J/K) are (draws, 1). The thermostat
    holds the set-point wherever the machine can. Where it cannot, C dT/dt = heat in - cooling
    with all it has (implicit steps, stable at any length); where nothing needs cooling the box
    drifts down with the cabin. The day repeats until it closes on itself. Only the draws that
    fall short are stepped; their balances are solved exactly at the temperature found (Newton
    on the day, under a fixed cap).
    """
    draws, hours = shape
    temperature = np.broadcast_to(set_point, shape).copy()
    stored = np.zeros(shape)
    wanted, sensible = share_wanted(box, temperature, SCREEN)
    short = wanted > box.machine.allowed * (1.0 - 10.0 * SCREEN)
    off = sensible < 0.0
    rows = np.flatnonzero(np.any(np.broadcast_to(short | off, shape), axis=1))
    if rows.size == 0:
        return temperature, stored
    found, taken_up = _day(
        rows_of(box, rows, draws), _some(set_point, rows, draws), _some(heat_capacity, rows, draws),
        step_seconds, (rows.size, hours), bool(np.any(off)),
    )  # fmt: skip
    temperature[rows], stored[rows] = found, taken_up
    return temperature, stored


def _some(value: Array, rows: NDArray[np.intp], draws: int) -> Array:
    return value[rows] if value.shape[0] == draws else value


def _net(made: Balance) -> Array:
    """W that stay in the box."""
    return made.total - made.run_share * made.cooling


def _day(
    box: Box, set_point: Array, heat_capacity: Array, step_seconds: float,
    shape: tuple[int, int], any_off: bool,
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
        net = _net(balance(box, at, full=True))
        idle_net = _net(balance(idle_box, at, full=True)) if any_off else net
        if coarse:
            slope = _slope(box, at, net)
            idle_slope = _slope(idle_box, at, idle_net) if any_off else slope
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
            box = rows_of(box, keep, rows.size)
            rows, at, last, reach = rows[keep], at[keep], last[keep], reach[keep]
            slope, idle_slope = slope[keep], idle_slope[keep]
    return found, inertia * (found - before)


def _slope(box: Box, at: Array, net: Array) -> Array:
    """W/K by which net heat falls as the box warms; a kink never makes it rise."""
    near = _net(balance(box, at + PROBE, full=True))
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
