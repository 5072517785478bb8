"""A centrifugal pump's head by its flow: the label's curve, supply frequency, wear and air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import tables

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pump:
    """H = shut_off · (1 - (Q/free_flow)^exponent): heads in m, flows in m³/s.

    Through the two numbers every label has. A falling parabola (exponent 2) is the usual fit to
    a centrifugal pump's curve; a third point off the maker's curve sets the exponent instead.
    """

    shut_off: Array
    free_flow: Array
    exponent: Array

    def head(self, flow: ArrayLike) -> Array:
        """Head (m) at ``flow`` (m³/s), falling; negative beyond the free flow."""
        share = np.asarray(flow) / self.free_flow
        square = np.all(self.exponent == 2.0)
        return np.asarray(self.shut_off * (1.0 - (share * share if square else share**self.exponent)))

    def slope(self, flow: ArrayLike) -> Array:
        """dH/dQ (s/m²), negative."""
        share = np.maximum(np.asarray(flow) / self.free_flow, 1e-12)
        return np.asarray(-self.shut_off * self.exponent / self.free_flow * share ** (self.exponent - 1.0))


def affinity_flow(flow: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Flow at another speed: Q ∝ N (affinity laws; Crane TP-410 example 7-33)."""
    return np.asarray(np.asarray(flow) * np.asarray(speed_ratio))


def affinity_head(head: ArrayLike, speed_ratio: ArrayLike) -> Array:
    """Head at another speed: H ∝ N² (affinity laws; Crane TP-410 example 7-33)."""
    return np.asarray(np.asarray(head) * np.square(speed_ratio))


def curve_exponent(
    shut_off: ArrayLike, free_flow: ArrayLike, duty_head: ArrayLike, duty_flow: ArrayLike
) -> Array:
    """The exponent that takes the curve through one more point; held within 1 to 4.

    n = ln(1 - h/H0)/ln(q/Q0). A point on or outside the ends says nothing and gives the nearest.
    """
    fall = np.clip(1.0 - np.asarray(duty_head) / np.asarray(shut_off), 1e-6, 1 - 1e-6)
    share = np.clip(np.asarray(duty_flow) / np.asarray(free_flow), 1e-6, 1 - 1e-6)
    return np.asarray(np.clip(np.log(fall) / np.log(share), 1.0, 4.0))


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
    return Pump(
        np.asarray(pump.shut_off * left), np.asarray(pump.free_flow * np.maximum(left, 1e-6)), pump.exponent
    )


def at_speed(pump: Pump, speed_ratio: ArrayLike) -> Pump:
    """The pump at another speed: the whole curve by the affinity laws."""
    return Pump(
        affinity_head(pump.shut_off, speed_ratio),
        affinity_flow(pump.free_flow, speed_ratio),
        pump.exponent,
    )


def with_air(pump: Pump, drawn: ArrayLike, pocket: ArrayLike) -> Pump:
    """The pump with air drawn in with the water and air standing in its casing."""
    left = head_share_with_drawn_air(drawn) * head_share_with_air_pocket(pocket)
    return Pump(np.asarray(pump.shut_off * left), pump.free_flow, pump.exponent)
