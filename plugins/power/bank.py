"""The battery bank: Peukert's law, rest voltage, charging, and the state of charge hour by hour.

Arrays broadcast (draws, steps). Capacity is in coulombs (1 Ah = 3600 C), currents in A at the bank.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plugins.power.tables import (
    LEAD_ACCEPTANCE_SECONDS,
    RATED_HOURS,
    REST_STATE,
    REST_VOLTS,
)

Array = NDArray[np.float64]


def peukert_seconds(
    capacity: ArrayLike, current: ArrayLike, exponent: ArrayLike, rated_hours: ArrayLike = RATED_HOURS
) -> Array:
    """Seconds to empty at a steady current: Peukert's law in its rated-hour form.

    t = H (C / (I H))^k with ``capacity`` C (coulombs) as rated at ``rated_hours`` H. With the
    capacity that 1 A gives, and so H = C/1 A, it is the older form t = Cp / I^k. Fair for lead
    between about C/100 and C/3 at 25 °C.
    """
    rated = np.asarray(rated_hours, dtype=float) * 3600
    rate = np.asarray(capacity, dtype=float) / (np.asarray(current, dtype=float) * rated)
    return np.asarray(rated * rate ** np.asarray(exponent, dtype=float))


def peukert_current(
    current: ArrayLike, capacity: ArrayLike, exponent: ArrayLike, rated_hours: float = RATED_HOURS
) -> Array:
    """The current (A) that takes the rated charge away as fast as ``current`` empties the bank.

    I · (I H / C)^(k-1), from the same law. Below the rated current nothing is credited: a bank
    rested at a trickle is not larger than its label.
    """
    amps = np.maximum(np.asarray(current, dtype=float), 0.0)
    rate = amps * rated_hours * 3600 / np.asarray(capacity, dtype=float)
    return np.asarray(amps * np.maximum(rate, 1.0) ** (np.asarray(exponent, dtype=float) - 1.0))


def nominal_voltage(stated: ArrayLike) -> Array:
    """The nominal volts (6, 12, 24, 36, 48) of a bank stated by its label or by a meter.

    Lithium is labelled 12.8 or 25.6 V, and a meter reads 11.8 to 14.4 V on a 12 V bank: all are the
    nearest dozen, for every table here is of a 12 V bank.
    """
    volts = np.asarray(stated, dtype=float)
    return np.asarray(np.where(volts < 9.0, 6.0, 12.0 * np.maximum(np.round(volts / 12.0), 1.0)))


def rest_voltage(state: ArrayLike, chemistry: str, nominal: ArrayLike = 12.0) -> Array:
    """Rest voltage (V) by state of charge 0..1: the tables of `tables`, linear between, at 25 °C.

    ``nominal`` 24 V doubles. Lithium iron phosphate is so flat that volts say little of its state.
    """
    volts = np.interp(np.asarray(state, dtype=float), REST_STATE[chemistry], REST_VOLTS[chemistry])
    return np.asarray(volts * np.asarray(nominal, dtype=float) / 12.0)


def converter_input(output: ArrayLike, efficiency: ArrayLike, idle: ArrayLike) -> Array:
    """Watts a converter takes to give ``output`` watts: idle plus output over efficiency.

    The straight-line loss of a stage or an inverter: near its rating it approaches ``efficiency``,
    at light load the idle draw (W) eats most of it. At nothing it still takes ``idle``.
    """
    return np.asarray(
        np.asarray(idle, dtype=float)
        + np.asarray(output, dtype=float) / np.asarray(efficiency, dtype=float)
    )


def accepted_charge(
    state: ArrayLike, offered: ArrayLike, capacity: ArrayLike, chemistry: str, step_seconds: float
) -> Array:
    """Charge (C) a bank takes in a step when ``offered`` A reach it, (draws, steps).

    Lithium takes all of it until it is full. Lead's current tapers with the room that is left, with
    a time constant of `LEAD_ACCEPTANCE_SECONDS`, so the last tenth takes most of the time.
    """
    room = (1.0 - np.asarray(state, dtype=float)) * np.asarray(capacity, dtype=float)
    if chemistry == "lead":
        room = room * -np.expm1(-step_seconds / LEAD_ACCEPTANCE_SECONDS)
    return np.asarray(np.clip(np.asarray(offered, dtype=float) * step_seconds, 0.0, room))


def fill_seconds(
    state: ArrayLike, target: ArrayLike, current: ArrayLike, capacity: ArrayLike, chemistry: str
) -> Array:
    """Seconds from ``state`` to ``target`` with ``current`` A going in (after charging's losses).

    Full current until the bank takes less: lead accepts what is missing over
    `LEAD_ACCEPTANCE_SECONDS` τ, so dS/dt = min(I/C, (1 - S)/τ), whose solution is a straight line and
    then an exponential. Lithium holds its current to the end. No current never fills.
    """
    begin, end = np.asarray(state, dtype=float), np.asarray(target, dtype=float)
    rate = np.maximum(np.asarray(current, dtype=float), 1e-9) / np.asarray(capacity, dtype=float)
    if chemistry != "lead":
        return np.asarray(np.maximum(end - begin, 0.0) / rate)
    tau = LEAD_ACCEPTANCE_SECONDS
    bend = np.clip(1.0 - rate * tau, begin, np.maximum(end, begin))  # where the taper begins
    line = (bend - begin) / rate
    left = np.maximum(1.0 - end, 1e-6)
    curve = tau * np.log(np.maximum((1.0 - bend) / left, 1.0))
    return np.asarray(line + curve)


def lasting_steps(net: ArrayLike, start: ArrayLike, floor: ArrayLike, most: float) -> Array:
    """How many steps a bank lasts from ``start`` to ``floor`` on days like this one, (draws, 1).

    ``net`` is what goes in less what goes out of each step of the day, as a share of the capacity,
    (draws, steps); ``most`` the steps after which it is not followed. Full is full: what comes in then
    is lost, S_n = S_0 + c_n - max(0, max_k<=n (S_0 + c_k - 1)) with c the running sum (Skorokhod's
    reflection). On days that lose, that can only be on the first: each later one begins lower by the day's
    loss, so the day in which it falls below follows by division. Days that gain all end as the second.
    Within the step in which it falls below, a straight line. No loop.
    """
    step = np.asarray(net, dtype=float)
    count = step.shape[-1]
    moved = np.cumsum(step, axis=-1)
    low = np.asarray(floor, dtype=float)

    def day(begin: Array) -> Array:
        free = begin + moved
        return np.asarray(free - np.maximum(np.maximum.accumulate(free - 1.0, axis=-1), 0.0))

    first_begin = np.asarray(start, dtype=float) + np.zeros_like(moved[:, :1])
    first = day(first_begin)
    begin = first[:, -1:]
    loss = np.maximum(-moved[:, -1:], 0.0)
    room = begin + moved.min(axis=-1, keepdims=True) - low
    # The days after the first that are over before it falls below; a gaining day never takes it lower.
    days = np.where(room < 0, 0.0, np.floor(room / np.maximum(loss, 1e-12)) + 1.0)
    days = np.minimum(days, most)
    at_once = (first < low).any(axis=-1, keepdims=True)
    begin = np.where(at_once, first_begin, begin - days * loss)
    states = np.where(at_once, first, np.where(loss > 0, begin + moved, day(begin)))
    below = states < low
    fell = below.any(axis=-1, keepdims=True)
    place = np.argmax(below, axis=-1)[:, None]
    here = np.take_along_axis(states, place, axis=-1)
    before = np.where(place > 0, np.take_along_axis(states, np.maximum(place - 1, 0), axis=-1), begin)
    part = np.clip((before - low) / np.maximum(before - here, 1e-12), 0.0, 1.0)
    steps = np.where(at_once, 0.0, count * (1.0 + days)) + place + part
    steps = np.where(first_begin < low, 0.0, np.where(fell, steps, most))
    return np.asarray(np.minimum(steps, most))


def states_of_charge(
    load: ArrayLike,
    charge: ArrayLike,
    start: ArrayLike,
    capacity: ArrayLike,
    *,
    chemistry: str,
    exponent: ArrayLike,
    efficiency: ArrayLike,
    working_voltage: ArrayLike,
    nominal: ArrayLike,
    step_seconds: float,
) -> Array:
    """State of charge (0..1) at the end of each step, in the order of the steps, (draws, steps).

    ``load`` A drawn at ``working_voltage`` (its watts hold as the volts fall, so its amps rise),
    ``charge`` A from the sun, ``start`` the state before the first step, (draws, 1), ``capacity`` C
    as it is today. What the load leaves of the sun charges, at ``efficiency``; what the sun leaves
    of the load discharges by Peukert's ``exponent``. It stays within 0 and 1: at 0 the lights are
    out and the load is no longer served.
    """
    load, charge = np.broadcast_arrays(np.atleast_2d(load), np.atleast_2d(charge))
    full = np.asarray(capacity, dtype=float)
    column = (np.asarray(start, dtype=float) + np.zeros_like(load[:, :1])) * np.ones_like(full)
    watts = load * np.asarray(working_voltage, dtype=float)
    states = np.empty((column.shape[0], load.shape[1]))
    for step in range(load.shape[1]):
        amps = watts[:, step : step + 1] / rest_voltage(column, chemistry, nominal)
        net = amps - charge[:, step : step + 1]
        out = peukert_current(net, full, exponent) * step_seconds
        into = accepted_charge(column, -net * np.asarray(efficiency), full, chemistry, step_seconds)
        column = np.clip(column + (into - out) / full, 0.0, 1.0)
        states[:, step : step + 1] = column
    return states


def recharge_currents(
    missing: ArrayLike,
    other: ArrayLike,
    charger: ArrayLike,
    capacity: ArrayLike,
    *,
    chemistry: str,
    efficiency: ArrayLike,
    step_seconds: float,
) -> Array:
    """Mean amps a charger puts into a bank in each step after plugging in, (draws, steps).

    ``missing`` is the share of the capacity to put back, (draws, 1); ``other`` the amps of
    everything else on the charger, step by step; ``charger`` its rating, A. What the others leave of
    the rating charges; lead tapers as it fills.
    """
    other = np.atleast_2d(np.asarray(other, dtype=float))
    full = np.asarray(capacity, dtype=float)
    state = 1.0 - np.asarray(missing, dtype=float) + np.zeros_like(other[:, :1]) + 0.0 * full
    amps = np.empty((state.shape[0], other.shape[1]))
    for step in range(other.shape[1]):
        spare = np.maximum(np.asarray(charger, dtype=float) - other[:, step : step + 1], 0.0)
        into = accepted_charge(state, spare * np.asarray(efficiency), full, chemistry, step_seconds)
        state = state + into / full
        amps[:, step : step + 1] = into / step_seconds / np.asarray(efficiency)
    return amps
