"""A centrifugal pump's head by its flow: the label's or the maker's curve, speed, wear and air."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import tables

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]

_APART = 1e-6
"""Least distance of two points of a curve, as a share of its ends."""


@dataclass(frozen=True)
class Curve:
    """The maker's points as shares of free flow and shut-off head, and the slope at each.

    The first is (0, 1), the last (1, 0); each an array that broadcasts over the draws. Between
    them a monotone cubic (Fritsch and Butland 1984), beyond the last one its own slope.
    """

    flow: tuple[Array, ...]
    head: tuple[Array, ...]
    slope: tuple[Array, ...]

    def head_and_slope(self, share: Array) -> tuple[Array, Array]:
        """Head share and its slope at a flow share of 0 or more."""
        beyond = share - self.flow[-1]
        head, slope = self.slope[-1] * beyond, np.broadcast_to(self.slope[-1], np.shape(beyond))
        for k in range(len(self.flow) - 1):
            step = self.flow[k + 1] - self.flow[k]
            t = (share - self.flow[k]) / step
            # Hermite's cubic, written in powers of t.
            rise = self.head[k + 1] - self.head[k]
            m0, m1 = self.slope[k] * step, self.slope[k + 1] * step
            c2, c3 = 3 * rise - 2 * m0 - m1, m0 + m1 - 2 * rise
            here = (t < 1.0) & (t >= 0.0)
            head = np.where(here, self.head[k] + t * (m0 + t * (c2 + t * c3)), head)
            slope = np.where(here, (m0 + t * (2 * c2 + 3 * t * c3)) / step, slope)
        return np.asarray(head), np.asarray(slope)


@dataclass(frozen=True)
class Pump:
    """H = shut_off · (1 - (Q/free_flow)²), or the maker's curve between the same ends; m and m³/s.

    A falling parabola through the two numbers every label has is the usual fit to a centrifugal
    pump.
    """

    shut_off: Array
    free_flow: Array
    curve: Curve | None = None

    def head(self, flow: ArrayLike) -> Array:
        """Head (m) at ``flow`` (m³/s), falling; negative beyond the free flow."""
        share = np.asarray(flow) / self.free_flow
        left = 1.0 - share * share if self.curve is None else self.curve.head_and_slope(share)[0]
        return np.asarray(self.shut_off * left)

    def slope(self, flow: ArrayLike) -> Array:
        """dH/dQ (s/m²), not above 0."""
        share = np.asarray(flow) / self.free_flow
        steep = -2.0 * share if self.curve is None else self.curve.head_and_slope(share)[1]
        return np.asarray(self.shut_off / self.free_flow * steep)


def _end_slope_fritsch_butland(h0: Array, h1: Array, d0: Array, d1: Array) -> Array:
    """Slope at an end of a falling curve, from the two steps next to it; never rising."""
    return np.minimum(((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1), 0.0)


def slopes_fritsch_butland(flow: Sequence[Array], head: Sequence[Array]) -> tuple[Array, ...]:
    """Slopes at the points of a falling curve that keep the cubic between them falling.

    The weighted harmonic mean of the two neighbouring steps (Fritsch and Butland, SIAM J. Sci.
    Stat. Comput. 5, 1984, 300-304); at the ends the one-sided three-point slope, held to fall.
    """
    steps = [b - a for a, b in itertools.pairwise(flow)]
    rises = [(b - a) / h for a, b, h in zip(head, head[1:], steps, strict=False)]
    if len(rises) == 1:
        return (rises[0], rises[0])
    made = [_end_slope_fritsch_butland(steps[0], steps[1], rises[0], rises[1])]
    for k in range(1, len(rises)):
        before, after = 2 * steps[k] + steps[k - 1], steps[k] + 2 * steps[k - 1]
        made.append((before + after) / (before / rises[k - 1] + after / rises[k]))
    made.append(_end_slope_fritsch_butland(steps[-1], steps[-2], rises[-1], rises[-2]))
    return tuple(np.asarray(slope) for slope in made)


def pump_through(
    flows: Sequence[Array], heads: Sequence[Array], shut_off: Array | None, free_flow: Array | None
) -> Pump:
    """The pump whose curve goes through points (m³/s, m), in the order of rising flow.

    ``shut_off`` and ``free_flow`` are the curve's ends where the label states them; an end that
    nobody states is where the parabola H = a - b Q² through the two nearest points has it. Points
    that uncertainty has put out of order are pulled level, so that every draw's curve falls.
    """
    q = [np.asarray(flow, dtype=float) for flow in flows]
    h = [np.asarray(head, dtype=float) for head in heads]
    for k in range(1, len(q)):
        q[k] = np.maximum(q[k], q[k - 1] + _APART * q[-1])
        h[k] = np.minimum(h[k], h[k - 1] - _APART * h[0])
    if shut_off is None:
        fall = (h[0] - h[1]) / (q[1] ** 2 - q[0] ** 2)
        shut_off = h[0] + fall * q[0] ** 2
    if free_flow is None:
        fall = (h[-2] - h[-1]) / (q[-1] ** 2 - q[-2] ** 2)
        free_flow = np.sqrt(q[-1] ** 2 + np.maximum(h[-1], 0.0) / fall)
    inside = [k for k in range(len(q)) if np.all(q[k] > _APART * free_flow) and np.all(h[k] > 0)]
    zero = np.zeros((1, 1))
    flow, head = [zero], [zero + 1.0]
    for k in inside:
        flow.append(np.clip(q[k] / free_flow, flow[-1] + _APART, 1.0 - _APART * (len(q) - k)))
        head.append(np.clip(h[k] / shut_off, _APART * (len(q) - k), head[-1] - _APART))
    flow.append(zero + 1.0)
    head.append(zero)
    return Pump(
        np.asarray(shut_off),
        np.asarray(free_flow),
        Curve(tuple(flow), tuple(head), slopes_fritsch_butland(flow, head)),
    )


def affinity_flow(flow: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Flow at another speed: Q ∝ N (affinity laws; Crane TP-410 example 7-33)."""
    return np.asarray(np.asarray(flow) * np.asarray(speed_ratio))


def affinity_head(head: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Head at another speed: H ∝ N² (affinity laws; Crane TP-410 example 7-33)."""
    return np.asarray(np.asarray(head) * np.square(speed_ratio))


def head_share_with_drawn_air(air_share: ArrayLike) -> Array:
    """Share of the head left when the drawn water holds ``air_share`` (0..1) of air by volume.

    1 - (a/0.12)^1.5, none from 0.12 on: the prime is lost. Small centrifugal pumps, from memory
    of pump handbooks (a few per cent hurt, about a tenth ends it); no published fit.
    """
    return np.maximum(0.0, 1.0 - (np.maximum(air_share, 0.0) / tables.PRIME_LOST_AT) ** 1.5)


def head_share_with_air_pocket(air_share: ArrayLike) -> Array:
    """Share of the head left when air fills ``air_share`` (0..1) of the pump's casing.

    (1 - a)²: head goes with the square of the wetted part of the wheel. 1 is an air lock: no
    water. Own estimate.
    """
    return np.square(1.0 - np.clip(air_share, 0.0, 1.0))


def worn(pump: Pump, wear: ArrayLike) -> Pump:
    """The pump with ``wear`` (0..1) of its head and of its free flow lost. Own estimate.

    An eroded wheel throws the water less hard and lets more slip back past itself.
    """
    left = 1.0 - np.clip(wear, 0.0, 1.0)
    return replace(
        pump,
        shut_off=np.asarray(pump.shut_off * left),
        free_flow=np.asarray(pump.free_flow * np.maximum(left, 1e-6)),
    )


def at_speed(pump: Pump, speed_ratio: ArrayLike) -> Pump:
    """The pump at another speed: the whole curve by the affinity laws."""
    return replace(
        pump,
        shut_off=affinity_head(pump.shut_off, speed_ratio),
        free_flow=affinity_flow(pump.free_flow, speed_ratio),
    )


def with_air(pump: Pump, drawn: ArrayLike, pocket: ArrayLike) -> Pump:
    """The pump with air drawn in with the water and air standing in its casing."""
    left = head_share_with_drawn_air(drawn) * head_share_with_air_pocket(pocket)
    return replace(pump, shut_off=np.asarray(pump.shut_off * left))
