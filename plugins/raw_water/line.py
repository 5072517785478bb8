"""The line as a whole: what each part takes at a flow, and the flow the pump settles at.

All draws and hours at once: any number here may be an array of (draws, steps) or broadcast to it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import hydraulics
from plugins.raw_water.pump import Pump, at_speed

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]

_CAP = 80
"""Iterations at most: bisection alone would then have halved the range to 1e-24 of itself."""

_NEAR_ENOUGH = 1e-9
"""Largest imbalance left, as a share of the pump's shut-off head."""


@dataclass(frozen=True)
class Fitting:
    """Whatever loses ``per_flow_squared`` metres per (m³/s)²."""

    name: str
    per_flow_squared: Array
    suction: bool = False


@dataclass(frozen=True)
class Tube:
    """Straight run with wall friction; ``bore`` is the hydraulic diameter, all in m and m²."""

    name: str
    bore: Array
    area: Array
    length: Array
    roughness: Array
    suction: bool = False


@dataclass(frozen=True)
class Coil:
    """A loss known at one flow: ``head`` (m) at ``at_flow`` (m³/s), growing as Q^exponent."""

    name: str
    head: Array
    at_flow: Array
    exponent: Array
    suction: bool = False


@dataclass(frozen=True)
class Line:
    """Parts in series. ``lift`` (m) is the height of the discharge above the sea, never negative.

    A discharge above the water gets no credit for the fall beyond it, and one under the water has
    no lift at all. The fall from the high point back to the discharge *is* credited once water
    runs, for the hose there runs full; ``high_point`` (m) must only be reached at the start.
    """

    fittings: tuple[Fitting, ...] = ()
    tubes: tuple[Tube, ...] = ()
    coils: tuple[Coil, ...] = ()
    lift: Array = field(default_factory=lambda: np.zeros((1, 1)))
    high_point: Array = field(default_factory=lambda: np.zeros((1, 1)))


def scaled_coil(
    name: str,
    head: ArrayLike,
    at_flow: ArrayLike,
    exponent: ArrayLike,
    bore: ArrayLike,
    scale: ArrayLike,
    *,
    suction: bool = False,
) -> Coil:
    """A coil whose ``bore`` (m) has lost ``scale`` (m) all round: its loss at a flow grows.

    At a fixed flow the loss goes as D^-(3+n) when it goes as Q^n: n = 1 gives Poiseuille's D^-4,
    1.75 Blasius' D^-4.75, 2 the rough D^-5. The bore is kept from closing beyond a fiftieth.
    """
    open_bore = np.maximum(1.0 - 2.0 * np.asarray(scale) / np.asarray(bore), 0.02)
    n = np.asarray(exponent)
    return Coil(
        name, np.asarray(np.asarray(head) * open_bore ** -(3.0 + n)), np.asarray(at_flow), n, suction
    )


def tube_loss_and_slope(tube: Tube, flow: ArrayLike, viscosity: ArrayLike) -> tuple[Array, Array]:
    """Friction loss (m) of a tube at ``flow`` (m³/s), and its slope d(loss)/d(flow)."""
    q = np.maximum(flow, 1e-15)
    speed = q / tube.area
    re = hydraulics.reynolds_number(speed, tube.bore, viscosity)
    factor, power = hydraulics.friction_factor_and_power_churchill(re, tube.roughness / tube.bore)
    loss = hydraulics.friction_head(factor, tube.length, tube.bore, speed)
    return loss, loss / q * (2.0 + power)


def losses(line: Line, flow: ArrayLike, viscosity: ArrayLike) -> dict[str, Array]:
    """Loss (m) of each part at ``flow`` (m³/s), by name; parts of one name added; without lift."""
    q = np.asarray(flow)
    found: dict[str, Array] = {}
    for fitting in line.fittings:
        found[fitting.name] = found.get(fitting.name, 0.0) + fitting.per_flow_squared * q * q
    for tube in line.tubes:
        found[tube.name] = found.get(tube.name, 0.0) + tube_loss_and_slope(tube, q, viscosity)[0]
    for coil in line.coils:
        found[coil.name] = found.get(coil.name, 0.0) + coil.head * (q / coil.at_flow) ** coil.exponent
    return found


def suction_loss(line: Line, flow: ArrayLike, viscosity: ArrayLike) -> Array:
    """Loss (m) of everything before the pump at ``flow`` (m³/s)."""
    before = Line(
        tuple(part for part in line.fittings if part.suction),
        tuple(part for part in line.tubes if part.suction),
        tuple(part for part in line.coils if part.suction),
    )
    total = np.zeros(np.shape(flow))
    for loss in losses(before, flow, viscosity).values():
        total = total + loss
    return total


def system_head_and_slope(line: Line, flow: Array, viscosity: ArrayLike) -> tuple[Array, Array]:
    """Head (m) the line takes at ``flow`` (m³/s), lift included, and its slope; both rise."""
    square = np.zeros(())
    for fitting in line.fittings:
        square = square + fitting.per_flow_squared
    head = line.lift + square * flow * flow
    slope = 2.0 * square * flow
    for tube in line.tubes:
        loss, more = tube_loss_and_slope(tube, flow, viscosity)
        head, slope = head + loss, slope + more
    for coil in line.coils:
        loss = coil.head * (flow / coil.at_flow) ** coil.exponent
        head, slope = head + loss, slope + coil.exponent * loss / np.maximum(flow, 1e-15)
    return head, slope


def operating_flow(pump: Pump, line: Line, viscosity: ArrayLike) -> Array:
    """The flow (m³/s) at which the pump's head meets what the line takes.

    Newton's steps kept inside a shrinking bracket (a step that would leave it is halved instead);
    the pump's curve falls and the line's rises, so there is one crossing. Stops when the largest
    imbalance is under 1e-9 of the shut-off head. No flow where the pump cannot lift the water to
    the discharge, or could not start it over the high point.
    """
    runs = pump.shut_off > np.maximum(line.lift, line.high_point)
    shut_off = np.where(runs, pump.shut_off, 1.0)
    lift = np.where(runs, line.lift, 0.0)
    high = pump.free_flow * np.maximum(1.0 - lift / shut_off, 0.0) ** (1.0 / pump.exponent)
    guess = 0.5 * high
    taken, _ = system_head_and_slope(line, guess, viscosity)
    shape = np.broadcast_shapes(np.shape(taken), np.shape(runs))
    runs, shut_off, high = (np.broadcast_to(part, shape) for part in (runs, shut_off, high))
    high = np.where(runs, high, 0.0)
    low = np.zeros(shape)
    # First guess: as if every loss went with the square of the flow.
    guess = np.broadcast_to(np.maximum(guess, 1e-15), shape)
    per_square = np.maximum(taken - line.lift, 0.0) / guess**2
    flow = np.clip(
        np.sqrt(np.maximum(shut_off - lift, 0.0) / (per_square + shut_off / pump.free_flow**2)), 0.0, high
    )
    for _ in range(_CAP):
        taken, rise = system_head_and_slope(line, flow, viscosity)
        spare = pump.head(flow) - taken
        open_still = runs & (np.abs(spare) > _NEAR_ENOUGH * shut_off)
        if not open_still.any():
            break
        low = np.where(spare > 0, flow, low)
        high = np.where(spare > 0, high, flow)
        step = flow - spare / np.minimum(pump.slope(flow) - rise, -1e-12)
        inside = (step > low) & (step < high)
        flow = np.where(open_still, np.where(inside, step, 0.5 * (low + high)), flow)
    return np.where(runs, flow, 0.0)


def balanced_losses(
    pump: Pump, line: Line, flow: Array, viscosity: ArrayLike
) -> tuple[dict[str, Array], Array]:
    """Losses (m) by name with the lift among them, and the pump's head (m); they balance.

    With no flow the pump only holds up a column: the lift is then no more than its own head.
    """
    found = losses(line, flow, viscosity)
    head = np.broadcast_to(pump.head(flow), np.shape(flow))
    found["lift"] = np.where(flow > 0, line.lift, np.minimum(line.lift, head))
    # A pump that cannot start the water over the high point holds it below that point.
    found["lift"] = np.where((flow <= 0) & (head > line.lift), head, found["lift"])
    return found, head


def match_to_flow(pump: Pump, line: Line, flow: Array, viscosity: ArrayLike) -> tuple[Array, Fitting]:
    """What must be changed for pump and line to pass ``flow`` (m³/s), as a bucket showed.

    Water short of the computed: one restriction more ("unexplained"), its loss going with the
    square of the flow. Water beyond it: the pump does better than its label, and the speed ratio
    says how much by the affinity laws, since no restriction can be negative. One of the two is
    always nothing (a speed ratio of 1, a restriction of 0).
    """
    taken, _ = system_head_and_slope(line, flow, viscosity)
    spare = pump.head(flow) - taken
    more = Fitting("unexplained", np.maximum(spare, 0.0) / flow**2)
    # s² H0 (1 - (q/s)^n) = taken, solved for the speed s by bisection: the left side rises with s.
    low = np.sqrt(np.maximum(taken, 0.0) / pump.shut_off)
    high = low + flow / pump.free_flow + 1.0
    low = np.maximum(low, 1e-3)
    for _ in range(60):
        middle = 0.5 * (low + high)
        short = at_speed(pump, middle).head(flow) < taken
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.where(spare < 0, high, 1.0), more
