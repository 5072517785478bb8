"""Fitting the box to what its owner measured: a week of amp-hours, a jug of melt-water.

One unknown is solved per draw: how many times its sizes' conductance the walls have, or how many
times its seal's leak gets in. Each draw has its own reading errors and its own rest of the boat,
so the range of what comes out is what those readings leave open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from console.properties import air
from plugins.cold_box import frost
from plugins.cold_box.box import Balance, Box, balance
from plugins.cold_box.build import Surroundings, box_in, fitted, frost_density, hull_beside
from plugins.cold_box.holdover import mean_of_steps
from plugins.cold_box.tables import LEAST_LEAK, LEAST_WALLS, MOST_LEAK, MOST_WALLS
from plugins.cold_box.temperature import fridge_steady

Array = NDArray[np.float64]

TOO_NEAR = 3.0
"""K of cabin over box below which amp-hours say nothing of the walls, and the factor is 1."""

ROUNDS = 3
STEPS = 40
CLOSE = 1e-7


def factor_that_gives(model: Callable[[Array], Array], measured: Array, least: float, most: float) -> Array:
    """The factor, between two limits, at which a model that rises with it gives ``measured``.

    Regula falsi with halving (Illinois) on the logarithms, all draws at once, under a fixed cap;
    held at the limit where the model does not reach the measurement.
    """
    goal = np.log(np.maximum(measured, 1e-30))

    def miss(x: Array) -> Array:
        missed: Array = np.log(np.maximum(model(np.exp(x)), 1e-30)) - goal
        return missed

    low, high = np.full(goal.shape, np.log(least)), np.full(goal.shape, np.log(most))
    at_low, at_high = miss(low), miss(high)
    under, over = at_low >= 0.0, at_high <= 0.0
    x, side = low, np.zeros(goal.shape)
    for _ in range(STEPS):
        x = high - at_high * (high - low) / np.where(at_high == at_low, 1.0, at_high - at_low)
        x = np.where((x > low) & (x < high), x, 0.5 * (low + high))
        here = miss(x)
        if np.all((np.abs(here) < CLOSE) | under | over):
            break
        above = here > 0.0
        at_low = np.where(above & (side > 0.0), 0.5 * at_low, at_low)
        at_high = np.where(~above & (side < 0.0), 0.5 * at_high, at_high)
        high, at_high = np.where(above, x, high), np.where(above, here, at_high)
        low, at_low = np.where(above, low, x), np.where(above, at_low, here)
        side = np.where(above, 1.0, -1.0)
    x = np.where(under, np.log(least), np.where(over, np.log(most), x))
    factor: Array = np.exp(x)
    return factor


def wall_factor_from_amp_hours(
    box: Box, inside: Array, volts: Array, amps: Array, leak_factor: Array, fan_amps: Array | float = 0.0
) -> Array:
    """How many times its sizes' conductance the box has, from the mean ``amps`` (A) it took at
    ``volts`` while it was at ``inside`` (K) in the surroundings it stands in; 1 where the cabin
    was hardly the warmer. A divider's fan takes ``fan_amps`` of them while it turns."""

    def mean_amps(factor: Array) -> Array:
        trial = fitted(box, factor, leak_factor)
        made, beyond = _steady(trial, inside)
        mean: Array = made.wanted_share * made.power / volts
        if trial.divider is not None and beyond is not None:
            mean = mean + trial.divider.fan_share(beyond) * fan_amps
        return mean

    found = factor_that_gives(mean_amps, amps + 0.0 * inside, LEAST_WALLS, MOST_WALLS)
    return np.where(box.cabin - inside > TOO_NEAR, found, 1.0)


def leak_factor_from_melt(box: Box, inside: Array, rate: Array, wall_factor: Array) -> Array:
    """How many times its seal's leak gets in, from the ``rate`` (kg/s) at which frost gathered."""

    def frosting(factor: Array) -> Array:
        return _steady(fitted(box, wall_factor, factor), inside)[0].frost

    return factor_that_gives(frosting, rate + 0.0 * inside, LEAST_LEAK, MOST_LEAK)


def _steady(box: Box, inside: Array) -> tuple[Balance, Array | None]:
    """The box at ``inside`` (K), and the temperature of its fridge side if it has one."""
    beyond = None if box.beyond is None else fridge_steady(box, inside)
    return balance(box, inside, beyond=beyond), beyond


def fit(run: Run) -> Mapping[str, Array]:
    """The factors, from whatever was measured; 1 where nothing was.

    A fault or a what-if that is switched on is not fitted away: all of it is solved on the
    boat's inputs before any change.
    """
    one = np.ones((run.draws, 1))
    walls = leak = one
    week, melt = run.has("cold_box.week.amp_hours"), run.has("cold_box.melt.amount")
    melt = melt and run.has("cold_box.melt.days")
    if week or melt:
        plain = run.untouched
        measured = {name: _as_it_was(run, plain, name) for name in ("week", "melt")}
        volts = plain.number("cold_box.compressor.feed_voltage")
        divided = run.has("cold_box.divider")
        fan = plain.number("cold_box.divider.fan_current") if divided else np.zeros(())
        for _ in range(ROUNDS if week and melt else 1):
            if melt:
                box, inside = measured["melt"]
                rate = plain.number("cold_box.melt.amount") / plain.number("cold_box.melt.days")
                leak = leak_factor_from_melt(box, inside, rate, walls)
            if week:
                box, inside = measured["week"]
                amps = plain.number("cold_box.week.amp_hours")
                walls = wall_factor_from_amp_hours(box, inside, volts, amps, leak, fan)
    return {"cold_box.wall_factor": walls, "cold_box.leak_factor": leak}


def _as_it_was(run: Run, plain: Run, name: str) -> tuple[Box, Array]:
    """The box in the mean surroundings of the days it was measured in, and its temperature (K).

    What was not noted is as it is today. The hull stands as far over the cabin as it does today.
    """
    table = f"cold_box.{name}"

    def noted(field: str, otherwise: Array) -> Array:
        has = run.has(f"{table}.{field}")
        value = plain.number(f"{table}.{field}") if has else otherwise
        return np.broadcast_to(value, (run.draws, 1))

    today = mean_of_steps(run.figure("climate.cabin_temperature"))
    cabin = noted("cabin_temperature", today)
    humidity = noted(
        "cabin_humidity", np.clip(mean_of_steps(run.figure("climate.cabin_humidity")), 0.0, 1.0)
    )
    hull = cabin + mean_of_steps(hull_beside(run, plain)) - today
    cooled_by = cabin + plain.number("cold_box.compressor.locker_rise")
    if plain.text("cold_box.compressor.cooled_by") == "water":
        cooled_by = mean_of_steps(run.figure("weather.seawater_temperature"))
    box = box_in(plain, Surroundings(cabin, air.humidity_ratio(cabin, humidity), hull, cooled_by))
    if run.has(f"{table}.openings"):
        box = _opened(box, plain.number(f"{table}.openings") / plain.number("cold_box.openings"))
    thickness = plain.number("cold_box.plate.frost")
    if run.has(f"{table}.frost"):
        thickness = plain.number(f"{table}.frost")
    elif run.has(f"{table}.thickness"):
        thickness = 0.5 * plain.number(f"{table}.thickness")  # its mean while it grew
    conductivity = frost.frost_conductivity(
        frost_density(run), plain.number("cold_box.plate.frost_conductivity")
    )
    plate = replace(box.plate, resistance=frost.frost_resistance(thickness, conductivity))
    return replace(box, plate=plate), noted("box_temperature", plain.number("cold_box.set_point"))


def _opened(box: Box, times: Array) -> Box:
    opening = replace(box.opening, openings=box.opening.openings * times)
    beyond = None if box.beyond is None else _opened(box.beyond, times)
    return replace(box, opening=opening, beyond=beyond)
