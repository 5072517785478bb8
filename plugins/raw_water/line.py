"""The line as a whole: what each part takes at a flow, and the flow the pump settles at.

All draws and hours at once: any number here may be an array of (draws, steps) or broadcast to it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
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

_SOMEWHERE = 1_000_000
"""The place of a loss nobody has placed: it is not laid on the pump's suction side."""


@dataclass(frozen=True)
class Fitting:
    """Whatever loses ``per_flow_squared`` metres per (m³/s)²; ``place`` counts along the line."""

    name: str
    per_flow_squared: Array
    place: int = 0


@dataclass(frozen=True)
class Tube:
    """Straight run with wall friction; ``bore`` is the hydraulic diameter, all in m and m²."""

    name: str
    bore: Array
    area: Array
    length: Array
    roughness: Array
    place: int = 0


@dataclass(frozen=True)
class Coil:
    """A loss known at one flow: ``head`` (m) at ``at_flow`` (m³/s), growing as Q^exponent."""

    name: str
    head: Array
    at_flow: Array
    exponent: Array
    place: int = 0


@dataclass(frozen=True)
class Fall:
    """A leg of ``height`` (m) in which the water goes down again, air standing in it at the start.

    While air stands there the fall is lost: the water runs down its wall and gives nothing back.
    From ``full_flow`` (m³/s) on the leg runs full and the fall is had again, as in a siphon.
    """

    name: str
    height: Array
    full_flow: Array
    place: int = 0


@dataclass(frozen=True)
class Line:
    """Parts in series. ``lift`` (m) is the height of the discharge above the sea, never negative.

    A discharge above the water gets no credit for the fall beyond it, and one under the water has
    no lift at all. Parts before ``pump_at`` are on the suction side.
    """

    fittings: tuple[Fitting, ...] = ()
    tubes: tuple[Tube, ...] = ()
    coils: tuple[Coil, ...] = ()
    lift: Array = field(default_factory=lambda: np.zeros((1, 1)))
    falls: tuple[Fall, ...] = ()
    pump_at: int = 0

    def start_head(self) -> Array:
        """Head (m) to start the water with air in every falling leg: the sum of all the rises."""
        head = np.asarray(self.lift, dtype=float)
        for fall in self.falls:
            head = head + fall.height
        return head

    @cached_property
    def fittings_per_flow_squared(self) -> Array:
        """What all fittings together lose, metres per (m³/s)²."""
        total = np.zeros(())
        for fitting in self.fittings:
            total = total + fitting.per_flow_squared
        return total

    @cached_property
    def tubes_together(self) -> Tube | None:
        """All tubes as one whose arrays have the tubes along a new first axis."""
        if not self.tubes:
            return None

        def stacked(name: str) -> Array:
            return np.stack(np.broadcast_arrays(*(getattr(tube, name) for tube in self.tubes)))

        return Tube("", stacked("bore"), stacked("area"), stacked("length"), stacked("roughness"))

    def before(self, place: int) -> Line:
        """The part of the line before a place, without its lift."""
        return Line(
            tuple(part for part in self.fittings if part.place < place),
            tuple(part for part in self.tubes if part.place < place),
            tuple(part for part in self.coils if part.place < place),
        )


def scaled_coil(
    name: str,
    head: ArrayLike,
    at_flow: ArrayLike,
    exponent: ArrayLike,
    bore: ArrayLike,
    scale: ArrayLike,
    place: int = 0,
) -> Coil:
    """A coil whose ``bore`` (m) has lost ``scale`` (m) all round: its loss at a flow grows.

    At a fixed flow the loss goes as D^-(3+n) when it goes as Q^n: n = 1 gives Poiseuille's D^-4,
    1.75 Blasius' D^-4.75, 2 the rough D^-5. The bore is kept from closing beyond a fiftieth.
    """
    open_bore = np.maximum(1.0 - 2.0 * np.asarray(scale) / np.asarray(bore), 0.02)
    n = np.asarray(exponent)
    return Coil(name, np.asarray(np.asarray(head) * open_bore ** -(3.0 + n)), np.asarray(at_flow), n, place)


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


def loss_before(line: Line, place: int, flow: ArrayLike, viscosity: ArrayLike) -> Array:
    """Loss (m) of everything before a place at ``flow`` (m³/s), falls not among it."""
    total = np.zeros(np.shape(flow))
    for loss in losses(line.before(place), flow, viscosity).values():
        total = total + loss
    return total


def system_head_and_slope(line: Line, flow: Array, viscosity: ArrayLike) -> tuple[Array, Array]:
    """Head (m) the line takes at ``flow`` (m³/s), its lift included and every leg full; its slope."""
    square = line.fittings_per_flow_squared
    head = line.lift + square * flow * flow
    slope = 2.0 * square * flow
    if line.tubes_together is not None:
        loss, more = tube_loss_and_slope(line.tubes_together, flow, viscosity)
        head, slope = head + loss.sum(axis=0), slope + more.sum(axis=0)
    for coil in line.coils:
        loss = coil.head * (flow / coil.at_flow) ** coil.exponent
        head, slope = head + loss, slope + coil.exponent * loss / np.maximum(flow, 1e-15)
    return head, slope


def standing_falls(pump: Pump, line: Line, viscosity: ArrayLike) -> Array:
    """Head (m) lost in the falling legs that the pump cannot fill, coming up from rest.

    A leg fills when the pump could still drive ``full_flow`` with that leg, and those that are
    harder to fill, standing with air; filling one leaves more for the next.
    """
    legs = [fall for fall in line.falls if np.any(fall.height > 0)]
    standing = np.zeros((1, 1))
    for fall in legs:
        standing = standing + fall.height
    spares = [
        pump.head(fall.full_flow) - system_head_and_slope(line, fall.full_flow, viscosity)[0]
        for fall in legs
    ]
    for _ in legs:
        left = np.zeros((1, 1))
        for fall, spare in zip(legs, spares, strict=True):
            left = left + np.where(spare >= standing, 0.0, fall.height)
        standing = left
    return standing


def operating_flow(pump: Pump, line: Line, viscosity: ArrayLike) -> Array:
    """The flow (m³/s) at which the pump's head meets what the line takes, from 0 to the free flow.

    Newton's steps kept inside a shrinking bracket (a step that would leave it is halved instead);
    the pump's curve falls and the line's rises, so there is one crossing. Stops when the largest
    imbalance is under 1e-9 of the shut-off head. No flow, and none backwards, where the pump
    cannot lift the water to the discharge or start it over the line's high spots.
    """
    return _solved(pump, line, standing_falls(pump, line, viscosity), viscosity)


def _solved(pump: Pump, line: Line, standing: Array, viscosity: ArrayLike) -> Array:
    runs = pump.shut_off > line.start_head()
    shut_off = np.where(runs, pump.shut_off, 1.0)
    static = np.where(runs, line.lift + standing, 0.0)
    high = pump.free_flow * np.ones_like(static)
    guess = 0.5 * high
    taken, _ = system_head_and_slope(line, guess, viscosity)
    shape = np.broadcast_shapes(np.shape(taken), np.shape(static))
    runs, shut_off, high = (np.broadcast_to(part, shape) for part in (runs, shut_off, high))
    high = np.where(runs, high, 0.0)
    low = np.zeros(shape)
    # First guess: as if every loss went with the square of the flow, and the pump's curve too.
    guess = np.broadcast_to(np.maximum(guess, 1e-15), shape)
    per_square = np.maximum(taken - line.lift, 0.0) / guess**2
    flow = np.clip(
        np.sqrt(np.maximum(shut_off - static, 0.0) / (per_square + shut_off / pump.free_flow**2)), 0.0, high
    )
    for _ in range(_CAP):
        taken, rise = system_head_and_slope(line, flow, viscosity)
        spare = pump.head(flow) - taken - standing
        open_still = runs & (np.abs(spare) > _NEAR_ENOUGH * shut_off)
        if not open_still.any():
            break
        low = np.where(spare > 0, flow, low)
        high = np.where(spare > 0, high, flow)
        step = flow - spare / np.minimum(pump.slope(flow) - rise, -1e-12)
        inside = (step > low) & (step < high)
        flow = np.where(open_still, np.where(inside, step, 0.5 * (low + high)), flow)
    return np.where(runs, flow, 0.0)


@dataclass(frozen=True)
class Settled:
    """Where the pump and the line settle: flow (m³/s), the pump's head and each loss (m), balanced."""

    flow: Array
    head: Array
    losses: dict[str, Array]


def settled(pump: Pump, line: Line, viscosity: ArrayLike) -> Settled:
    """The operating flow with its losses by name, the lift and standing air among them.

    With no flow the pump only holds up a column: lift and high spots then take no more than its
    own head.
    """
    standing = standing_falls(pump, line, viscosity)
    flow = _solved(pump, line, standing, viscosity)
    found = losses(line, flow, viscosity)
    head = np.broadcast_to(pump.head(flow), np.shape(flow))
    found["lift"] = np.where(flow > 0, line.lift, np.minimum(line.lift, head))
    if any(np.any(fall.height > 0) for fall in line.falls):
        found["high_spots"] = np.where(flow > 0, standing, head - found["lift"])
    else:
        found["lift"] = np.where(flow > 0, found["lift"], head)
    return Settled(flow, head, found)


@dataclass(frozen=True)
class Match:
    """What pump and line must change for to pass a flow that was timed.

    Water short of the computed: one restriction ``more``, its loss going with the square of the
    flow. Water beyond it: the pump does better than its label, and ``speed`` says how much by the
    affinity laws, since no restriction can be negative. One of the two is always nothing (a speed
    of 1, a restriction of 0). ``full`` are the legs the timed flow showed to run full.
    """

    speed: Array
    more: Fitting
    full: tuple[NDArray[np.bool_], ...]

    def applied(self, pump: Pump, line: Line) -> tuple[Pump, Line]:
        """Pump and line as the bucket showed them."""
        falls = tuple(
            replace(fall, full_flow=np.where(full, 0.0, fall.full_flow))
            for fall, full in zip(line.falls, self.full, strict=True)
        )
        fittings = (*line.fittings, self.more)
        return at_speed(pump, self.speed), replace(line, fittings=fittings, falls=falls)


def match_to_flow(pump: Pump, line: Line, flow: Array, viscosity: ArrayLike) -> Match:
    """What must be changed for pump and line to pass ``flow`` (m³/s), as a bucket showed."""
    taken, _ = system_head_and_slope(line, flow, viscosity)
    for fall in line.falls:
        taken = taken + np.where(flow >= fall.full_flow, 0.0, fall.height)
    spare = pump.head(flow) - taken
    more = Fitting("unexplained", np.maximum(spare, 0.0) / flow**2, _SOMEWHERE)
    # s² H0 (1 - (q/s)²) = taken, solved for the speed s by bisection: the left side rises with s.
    low = np.sqrt(np.maximum(taken, 0.0) / pump.shut_off)
    high = low + flow / pump.free_flow + 1.0
    low = np.maximum(low, 1e-3)
    for _ in range(60):
        middle = 0.5 * (low + high)
        short = at_speed(pump, middle).head(flow) < taken
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    speed = np.where(spare < 0, high, 1.0)
    # A leg seen full stays so where coming up from rest would just not have filled it.
    unfilled = Match(speed, more, tuple(np.zeros((1, 1), dtype=bool) for _ in line.falls))
    quick, held = unfilled.applied(pump, line)
    short = standing_falls(quick, held, viscosity) > 0
    return replace(unfilled, full=tuple(short & (flow >= fall.full_flow) for fall in line.falls))


def gravity_flow(line: Line, head: Array, viscosity: ArrayLike) -> Array:
    """The flow (m³/s) a head of water (m) drives through a line by itself; none without head.

    Losses go with the flow to the power 1 to 2, so q·√(head/loss) closes in on it.
    """
    flow = np.full(np.shape(head), 1e-4)
    level = replace(line, lift=np.zeros((1, 1)))
    for _ in range(6):
        taken, _ = system_head_and_slope(level, flow, viscosity)
        flow = np.maximum(flow * np.sqrt(np.maximum(head, 0.0) / np.maximum(taken, 1e-12)), 1e-9)
    return np.where(np.asarray(head) > 0, flow, 0.0)
