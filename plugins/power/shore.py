"""Shore power: what the boat draws, what holds, and the volts that are left on board.

Arrays broadcast (draws, steps). Amps, volts, ohms, watts; a leg is one hot conductor against the
neutral. Apparent power is in volt-amperes.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plugins.power.tables import CONTINUOUS_SECONDS, CONTINUOUS_SHARE

Array = NDArray[np.float64]


def single_phase_current(power: ArrayLike, voltage: ArrayLike, power_factor: ArrayLike = 1.0) -> Array:
    """Current (A) of a load of ``power`` W: I = P / (V · PF)."""
    return np.asarray(
        np.asarray(power, dtype=float)
        / (np.asarray(voltage, dtype=float) * np.asarray(power_factor, dtype=float))
    )


def apparent_power(current: ArrayLike, voltage: ArrayLike) -> Array:
    """What a rating carries (VA): S = V I."""
    return np.asarray(np.asarray(current, dtype=float) * np.asarray(voltage, dtype=float))


def least_rating(ratings: Iterable[ArrayLike]) -> Array:
    """What holds, of everything the current passes one after the other (A)."""
    least: Array | None = None
    for rating in ratings:
        value = np.asarray(rating, dtype=float)
        least = value if least is None else np.minimum(least, value)
    return least if least is not None else np.asarray(np.inf)


def continuous_limit(rating: ArrayLike, share: ArrayLike = CONTINUOUS_SHARE) -> Array:
    """What may be drawn for three hours or more (A): 80 % of the rating, NEC 210.19 and 210.20."""
    return np.asarray(np.asarray(rating, dtype=float) * np.asarray(share, dtype=float))


def onboard_voltage(
    source: ArrayLike, resistance: ArrayLike, apparent: ArrayLike, conductance: ArrayLike = 0.0
) -> Array:
    """Volts on board behind a cord, (draws, steps).

    ``source`` V at the post, ``resistance`` ohm out and back (dock, contacts, cord), ``apparent``
    VA of what holds its power as the volts fall (motors, supplies), ``conductance`` S of what
    does not (elements). Solves V = E - R (S/V + G V) for its upper root; magnitudes are added,
    as if all currents were in step, which errs on the side of a lower voltage. Where no voltage can
    carry the load (the supply collapses) the voltage of greatest power is given.
    """
    e, r = np.asarray(source, dtype=float), np.asarray(resistance, dtype=float)
    a = 1.0 + r * np.asarray(conductance, dtype=float)
    root = np.maximum(e**2 - 4 * a * r * np.asarray(apparent, dtype=float), 0.0)
    return np.asarray((e + np.sqrt(root)) / (2 * a))


def split_phase_voltages(
    source: ArrayLike,
    resistance: ArrayLike,
    apparent: tuple[ArrayLike, ArrayLike],
    conductance: tuple[ArrayLike, ArrayLike],
) -> tuple[Array, Array]:
    """Volts on board of the two legs of a 120/240 V supply that share a neutral, (draws, steps) each.

    The legs' currents are opposite in the neutral, so it carries their difference: with hot and
    neutral alike, ``resistance`` R being one hot and the neutral together,
    V1 = E - R (I1 - I2/2) and V2 = E - R (I2 - I1/2) (Kirchhoff). Balanced legs lose half of what one
    alone does; the light leg may rise above the source. Each leg is solved as in `onboard_voltage`,
    in turn, a fixed six times: what is left is (R I/2E)^6 of the loss.
    """
    e, r = np.asarray(source, dtype=float), np.asarray(resistance, dtype=float)

    def amps(volts: Array, leg: int) -> Array:
        held, falling = np.asarray(apparent[leg], dtype=float), np.asarray(conductance[leg], dtype=float)
        return np.asarray(held / volts + falling * volts)

    one, two = (onboard_voltage(e, r, apparent[leg], conductance[leg]) for leg in (0, 1))
    for _ in range(6):
        one = onboard_voltage(e + r / 2 * amps(two, 1), r, apparent[0], conductance[0])
        two = onboard_voltage(e + r / 2 * amps(one, 0), r, apparent[1], conductance[1])
    return one, two


def largest_running_mean(
    current: ArrayLike, step_seconds: float, window: float = CONTINUOUS_SECONDS
) -> Array:
    """The largest mean over ``window`` seconds of a day that repeats, shape (draws, 1).

    Three hours by default. A step longer than the window, or a day shorter, is its own mean.
    """
    hourly = np.atleast_2d(np.asarray(current, dtype=float))
    steps = hourly.shape[-1]
    count = min(max(round(window / step_seconds), 1), steps)
    mean = sum(np.roll(hourly, -k, axis=-1) for k in range(count)) / count
    return np.asarray(np.max(mean, axis=-1, keepdims=True))


def mean_square_current(
    mean: ArrayLike, running: Iterable[ArrayLike], shares: Iterable[ArrayLike]
) -> Array:
    """Mean of the current's square over each step (A²), (draws, steps): what heats a conductor.

    A thing that draws I for a share s of the step has the mean s·I and the mean square s·I², not
    (s·I)². ``mean`` is the sum's mean, to whose square each thing adds its variance I²·s·(1 - s), as
    of things that switch on without regard to each other.
    """
    square = np.square(np.asarray(mean, dtype=float))
    for amps, share in zip(running, shares, strict=True):
        often = np.asarray(share, dtype=float)
        square = square + np.square(np.asarray(amps, dtype=float)) * often * (1.0 - often)
    return np.asarray(square)


def contact_heat(current: ArrayLike, resistance: ArrayLike) -> Array:
    """Heat (W) in a contact of ``resistance`` ohm: I²R."""
    return np.asarray(np.asarray(current, dtype=float) ** 2 * np.asarray(resistance, dtype=float))
