"""The evaporator plate: where what reaches it and what the compressor lifts are the same.

While the machine runs the plate takes sensible heat and vapour from the box's air through its
frost. `held` finds the state in which a thermostat holds the box, `driven` the one in which the
machine runs all it may. Arrays are (draws, hours) or broadcast to it. SI throughout.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from plugins.cold_box import frost
from plugins.cold_box.compressor import Compressor, Condensing

Array = NDArray[np.float64]

FIRST_GUESS = 13.0
"""K of the frost's surface under the box's air, to begin with."""

COLDEST_SURFACE = 233.65
"""K: the edge of the moist-air map (-40 °C), colder than such a plate gets."""

STEPS = 25
CLOSE = 1e-9
COOLING_SLOPE = 0.045
"""Share by which a compressor's cooling rises per kelvin of evaporating temperature; a start."""


@dataclass(frozen=True, slots=True)
class Machine:
    """A compressor where it stands: its high side, and how it may run."""

    compressor: Compressor
    high: Condensing
    allowed: Array
    """Largest share of the time it can run, 0..1."""
    flow: Array
    """Refrigerant flow as a share of a full charge's."""
    slowest: Array
    """Slowest speed as a share of full; 1 for a fixed speed."""


@dataclass(frozen=True, slots=True)
class Plate:
    """The evaporator plate: wetted ``area`` (m²), convective ``film`` (W/m²K), resistance of
    its frost (m²K/W), and how far the refrigerant boils below the metal (K)."""

    area: Array
    film: Array
    resistance: Array
    offset: Array


@dataclass(frozen=True, slots=True)
class Plated:
    """State of the plate with its frost's ``surface`` at a temperature (K).

    While it runs: ``sensible`` heat and all heat ``taken`` (W), vapour ``deposit`` (kg/s),
    ``evaporating`` temperature (K), ``cooling`` the machine would lift there (W). Over the
    hour: the box's ``humidity_ratio``, water that runs down the ``liner`` (kg/s), ``run`` share.
    """

    surface: Array
    sensible: Array
    deposit: Array
    taken: Array
    evaporating: Array
    cooling: Array
    humidity_ratio: Array
    liner: Array
    run: Array


@dataclass(frozen=True, slots=True)
class Held:
    """A plate, the ``speed`` (0..1) it is driven at, and the run share ``wanted`` to hold."""

    plated: Plated
    speed: Array
    wanted: Array


@dataclass(frozen=True, slots=True)
class BoxAir:
    """The box's air as the plate sees it."""

    inside: Array
    """K."""
    dry: Array
    """Dry air let in, kg/s."""
    water_in: Array
    """Water that comes with it and from food, kg/s."""
    saturated: Array
    """Humidity ratio at which it is saturated."""
    sensible_load: Array
    """W to be taken away besides vapour's heat; negative where the cabin is the colder."""
    liner_heat: Array
    """J per kg of vapour that condenses on the liner."""
    film: Array
    """W/K of the plate's surface, radiation included."""
    vapour: Array
    """kg/s of vapour per unit of humidity ratio."""


def at_surface(
    plate: Plate, machine: Machine, state: BoxAir, surface: Array, run: Array | None, speed: Array | float
) -> Plated:
    """The plate with its frost's surface at ``surface`` (K).

    With ``run`` None the thermostat holds: run = sensible load / sensible taken, and since the
    same run carries the vapour, the box's humidity ratio follows in closed form:
    W = (S Ẇ_in + Q g W_s)/(S m + Q g). With ``run`` given, W = (Ẇ_in + r g W_s)/(m + r g).
    Air that would pass saturation is held there and the rest runs down the liner.
    """
    sensible = state.film * np.maximum(state.inside - surface, 1e-6)
    at_surface = air.saturation_humidity_ratio(surface)
    taking = state.water_in > state.dry * at_surface
    load = state.sensible_load
    if run is None:
        weight = np.maximum(load, 0.0) * state.vapour / sensible
    else:
        weight = run * state.vapour
    dry = np.maximum(state.dry, 1e-12)
    wet = (state.water_in + np.where(taking, weight * at_surface, 0.0)) / (
        dry + np.where(taking, weight, 0.0)
    )
    drowned = wet > state.saturated
    wet = np.minimum(wet, state.saturated)
    deposit = state.vapour * np.maximum(wet - at_surface, 0.0)
    surplus = state.water_in - state.dry * wet
    if run is None:
        pulled = np.where(drowned, state.liner_heat, 0.0)
        run = np.maximum(load + pulled * surplus, 0.0) / (sensible + pulled * deposit)
    liner = np.where(drowned, np.maximum(surplus - run * deposit, 0.0), 0.0)
    taken = sensible + deposit * frost.deposit_heat(state.inside, surface)
    metal = surface - taken * plate.resistance / plate.area
    evaporating = metal - plate.offset
    cooling = machine.compressor.cooling(evaporating, machine.high, machine.flow * speed)
    return Plated(surface, sensible, deposit, taken, evaporating, cooling, wet, liner, run)


def _lift_less_load(plated: Plated) -> Array:
    """W that reach the plate beyond what the compressor lifts there; falls as it warms."""
    return plated.taken - plated.cooling


def _root(
    plate: Plate, machine: Machine, state: BoxAir, run: Array | None, speed: Array | float, close: float,
    excess_of: Callable[[Plated], Array] = _lift_less_load,
) -> Plated:  # fmt: skip
    """The surface temperature at which ``excess_of`` (W, falling as the surface warms) is nil.

    By itself: what the plate takes falls as it warms and what the compressor lifts rises, so
    there is one such temperature. Secant steps kept within a bracket, under a fixed cap.
    """
    shape = np.broadcast_shapes(
        np.shape(state.inside), np.shape(state.sensible_load), np.shape(machine.high.temperature)
    )
    inside = np.broadcast_to(state.inside, shape)
    low, high = np.full(shape, COLDEST_SURFACE), inside - 1e-4
    surface = np.maximum(inside - FIRST_GUESS, COLDEST_SURFACE)
    plated = at_surface(plate, machine, state, surface, run, speed)
    excess = excess_of(plated)
    # A compressor's cooling rises some 4.5 % a kelvin; taken falls by its own film.
    slope = -(plated.sensible / FIRST_GUESS + COOLING_SLOPE * plated.cooling)
    for _ in range(STEPS):
        # Written so that a surrounding that is not a number does not keep the others waiting.
        done = ~(np.abs(excess) > close * np.maximum(plated.taken, 1e-6))
        if done.all():
            break
        low = np.where(excess > 0.0, surface, low)
        high = np.where(excess > 0.0, high, surface)
        guess = surface - excess / slope
        guess = np.where((guess > low) & (guess < high), guess, 0.5 * (low + high))
        guess = np.where(done, surface, guess)
        plated = at_surface(plate, machine, state, guess, run, speed)
        new = excess_of(plated)
        moved = guess - surface
        secant = (new - excess) / np.where(moved == 0.0, 1.0, moved)
        slope = np.where((moved != 0.0) & (secant < 0.0), secant, slope)
        surface, excess = guess, new
    return plated


def driven(plate: Plate, machine: Machine, state: BoxAir, close: float = CLOSE) -> Held:
    """The machine runs all it may, flat out."""
    plated = _root(plate, machine, state, machine.allowed, 1.0, close)
    wanted = np.maximum(state.sensible_load + state.liner_heat * plated.liner, 0.0) / plated.sensible
    return Held(plated, np.ones_like(plated.surface), wanted)


def held(plate: Plate, machine: Machine, state: BoxAir, close: float = CLOSE) -> Held:
    """The thermostat holds: at the slowest speed while that is enough, else as fast as needed.

    A speed-controlled machine that its slowest speed cannot satisfy runs all it may, at the
    speed whose cooling is the load.
    """
    plated = _root(plate, machine, state, None, machine.slowest, close)
    surface, wanted = plated.surface, plated.run
    speed = np.broadcast_to(machine.slowest, np.shape(surface))
    if np.all(machine.slowest >= 1.0):
        return Held(plated, speed, wanted)
    faster = wanted > machine.allowed
    if not np.any(faster):
        return Held(plated, speed, wanted)
    allowed = np.maximum(np.broadcast_to(machine.allowed, np.shape(surface)), 1e-6)

    def unmet(trial: Plated) -> Array:
        """W taken beyond the load when it runs all it may at a speed of its choosing."""
        load = state.sensible_load + state.liner_heat * trial.liner
        missing: Array = np.where(faster, allowed * trial.sensible - load, 0.0)
        return missing

    other = _root(plate, machine, state, allowed, 1.0, close, unmet)
    needed = other.taken / np.maximum(other.cooling, 1e-9)
    other = replace(other, cooling=other.taken)
    mixed = Plated(
        *(np.where(faster, getattr(other, f.name), getattr(plated, f.name)) for f in fields(Plated))
    )
    return Held(
        mixed,
        np.where(faster, np.minimum(needed, 1.0), speed),
        np.where(faster, np.maximum(needed, 1.0) * allowed, wanted),
    )
