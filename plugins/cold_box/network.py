"""One list of openings between a cabin and cold air, and the flow that weight alone drives.

Every leak is a `Vent`: an area at a height, or spread over one. A lid's seal, a door's seal, a
drain and the holes of a divider are lists of them, and one solver serves them all: the pressure
across the wall is Δρ g (z - z_n) about a neutral level z_n, air comes in above it and goes out
below, and z_n is where the two masses meet. Heights in m, pressures in Pa, flows in kg/s. Plain
broadcasting under a fixed cap of steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.properties.tables import as_array
from plugins.cold_box.tables import AIR_VISCOSITY, CRACK_LOSS, GRAVITY, OPENING_DISCHARGE

Array = NDArray[np.float64]

LEAST_STACK = 1e-7
LEAST_GAP = 1e-6
LEAST_SPAN = 1e-12
SOLVER_STEPS = 80
HALVED_EVERY = 4
"""Steps within which the bracket is halved, by bisection if not otherwise."""

CLOSE_ENOUGH = 1e-10
NEGLIGIBLE = 1e-12
"""kg/s, a tenth of a milligram of air a day."""

HARDLY_LAMINAR = 1e-4
"""Pa·s/m of a sharp hole, so that its law is smooth at no flow; nothing beside its square."""


# --- what a speed costs ---------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FlowLaw:
    """Δp = laminar · v + square · v²: what a speed v (m/s) costs."""

    laminar: Array
    square: Array

    def _root(self, p: Array) -> Array:
        # The root written so that neither end of the blend loses digits.
        root: Array = np.sqrt(self.laminar * self.laminar + 4.0 * self.square * p)
        return root

    def speed(self, pressure: ArrayLike) -> Array:
        """m/s at ``pressure`` (Pa); 0 where it is not positive."""
        p = np.maximum(as_array(pressure), 0.0)
        return 2.0 * p / (self.laminar + self._root(p))

    def sum_of_speeds(self, pressure: ArrayLike) -> Array:
        """∫ speed dp from 0 to ``pressure``, in closed form; 0 where it is not positive.

        With r = (1 + 4 s p/l²)^½ the mean speed is (2p/l)(2r + 1)(r - 1)/(3(r + 1)(r² - 1)).
        """
        p = np.maximum(as_array(pressure), 0.0)
        r = self._root(p) / self.laminar
        mean = 2.0 * p / self.laminar * (2.0 * r + 1.0) / (3.0 * (r + 1.0) ** 2)
        return p * mean

    def slope(self, speed: Array) -> Array:
        """d(speed)/d(pressure) at a speed."""
        return 1.0 / (self.laminar + 2.0 * self.square * speed)


def crack_law_baker(gap: ArrayLike, path: ArrayLike, density: ArrayLike) -> FlowLaw:
    """Straight crack: Δp = 12 μ z/d² v + 1.5 ρ/2 v² (Baker, Sharples & Ward 1987).

    Poiseuille flow between plates plus entry and exit. Holds for gaps of about 0.2 to 10 mm and
    pressures to 50 Pa.
    """
    width = np.maximum(as_array(gap), LEAST_GAP)
    laminar = 12.0 * AIR_VISCOSITY * as_array(path) / (width * width)
    return FlowLaw(laminar, 0.5 * CRACK_LOSS * as_array(density))


def tube_law_poiseuille(bore: ArrayLike, length: ArrayLike, density: ArrayLike) -> FlowLaw:
    """Drain tube: Δp = 32 μ L/d² v + 1.5 ρ/2 v² (Hagen-Poiseuille, entry and exit).

    Laminar below Re 2300, which is 1.7 m/s in 20 mm; a box's stack gives half a metre a second.
    """
    width = np.maximum(as_array(bore), LEAST_GAP)
    laminar = 32.0 * AIR_VISCOSITY * as_array(length) / (width * width)
    return FlowLaw(laminar, 0.5 * CRACK_LOSS * as_array(density))


def orifice_law(density: ArrayLike, discharge: ArrayLike = OPENING_DISCHARGE) -> FlowLaw:
    """A hole in a thin wall: Δp = ρ/2 (v/C_d)² (ASHRAE Fundamentals ch. 16)."""
    square = 0.5 * as_array(density) / as_array(discharge) ** 2
    return FlowLaw(np.full(np.shape(square), HARDLY_LAMINAR), square)


# --- openings -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Vent:
    """An opening of ``area`` (m²) from ``low`` to ``high`` (m), evenly; at one height when not
    ``tall``. Its air flows by ``law``."""

    law: FlowLaw
    area: Array
    low: Array
    high: Array
    tall: bool = False


def vent_at(law: FlowLaw, area: ArrayLike, height: ArrayLike) -> Vent:
    """An area at a height: a level edge, a drain's end, a hole."""
    z = as_array(height)
    return Vent(law, as_array(area), z, z)


def slot(law: FlowLaw, area: ArrayLike, low: ArrayLike, high: ArrayLike) -> Vent:
    """An area spread evenly from ``low`` to ``high``: a door's jamb, an upright slit."""
    return Vent(law, as_array(area), as_array(low), as_array(high), tall=True)


@dataclass(frozen=True, slots=True)
class StackFlow:
    """Mass flows (kg/s) in and out over all vents, out by each, and the neutral level (m)."""

    inflow: Array
    outflow: Array
    each_out: tuple[Array, ...]
    level: Array


def stack_network_flow(
    vents: Sequence[Vent], one_density: ArrayLike, other_density: ArrayLike, start: Array | None = None
) -> StackFlow:
    """Flow through a list of openings between airs of two densities (kg/m³), either the heavier.

    The light air comes in above the neutral level, the heavy goes out below it, each by its own
    opening's law integrated over its height. The level is found by Newton steps within a bracket
    that is halved when they leave it, to 1e-10 of the flow. ``start`` is a level to begin at.
    """
    one, other = as_array(one_density), as_array(other_density)
    heavy, light = np.maximum(one, other), np.minimum(one, other)
    drive = np.maximum((heavy - light) * GRAVITY, LEAST_STACK)
    # Heights as pressures: the neutral level is the unknown.
    low, high = _ends(vents)
    low, high = low * drive, high * drive
    level = 0.5 * (low + high) if start is None else np.clip(start * drive, low, high)
    inflow = outflow = np.zeros_like(level)
    each: list[Array] = []
    wide = high - low
    for step in range(SOLVER_STEPS):
        inflow, outflow, slope, each = np.zeros(()), np.zeros(()), np.zeros(()), []
        for vent in vents:
            came, went, steep_in, steep_out = _through(vent, drive, level)
            inflow = inflow + light * came
            each.append(heavy * went)
            outflow = outflow + each[-1]
            slope = slope + light * steep_in + heavy * steep_out
        surplus = inflow - outflow
        done = ~(np.abs(surplus) > CLOSE_ENOUGH * inflow + NEGLIGIBLE)
        if done.all():
            break
        low, high = np.where(surplus > 0.0, level, low), np.where(surplus > 0.0, high, level)
        guess = level + surplus / np.maximum(slope, 1e-300)
        # A hole beside its own level flows by the root of the head: Newton alone would swing about it.
        swings = step % HALVED_EVERY == HALVED_EVERY - 1
        inside = (guess > low) & (guess < high) & ~(swings & (high - low > 0.5 * wide))
        wide = np.where(swings, high - low, wide)
        level = np.where(done, level, np.where(inside, guess, 0.5 * (low + high)))
    shape = np.shape(inflow)
    return StackFlow(inflow, outflow, tuple(np.broadcast_to(e, shape) for e in each), level / drive)


def _ends(vents: Sequence[Vent]) -> tuple[Array, Array]:
    """The lowest and highest height (m) among those vents that have an area."""
    low, high = np.asarray(np.inf), np.asarray(-np.inf)
    for vent in vents:
        there = vent.area > 0.0
        low = np.minimum(low, np.where(there, vent.low, np.inf))
        high = np.maximum(high, np.where(there, vent.high, -np.inf))
    none = ~np.isfinite(low)
    return np.where(none, 0.0, low), np.where(none, 0.0, high)


def _through(vent: Vent, drive: Array, level: Array) -> tuple[Array, Array, Array, Array]:
    """m³/s in and out, and by how much each moves per Pa of the level (m³/s·Pa)."""
    law, area = vent.law, vent.area
    head = vent.high * drive - level
    if not vent.tall:
        speed = law.speed(np.abs(head))
        moved, steep, above = area * speed, area * law.slope(speed), head > 0.0
        came, steep_in = np.where(above, moved, 0.0), np.where(above, steep, 0.0)
        return came, moved - came, steep_in, steep - steep_in
    foot = vent.low * drive - level
    along = area / np.maximum((vent.high - vent.low) * drive, LEAST_SPAN)
    top_sum, foot_sum = law.sum_of_speeds(np.abs(head)), law.sum_of_speeds(np.abs(foot))
    top, bottom = law.speed(np.abs(head)), law.speed(np.abs(foot))
    up, down = head > 0.0, foot < 0.0  # some of it above the level, some below
    came = along * (np.where(up, top_sum, 0.0) - np.where(down, 0.0, foot_sum))
    went = along * (np.where(down, foot_sum, 0.0) - np.where(up, 0.0, top_sum))
    steep_in = along * (np.where(up, top, 0.0) - np.where(down, 0.0, bottom))
    steep_out = along * (np.where(down, bottom, 0.0) - np.where(up, 0.0, top))
    return came, went, steep_in, steep_out
