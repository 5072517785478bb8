"""How fast the strainer shuts, and when it is due: growth, and debris that comes when it comes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water import hydraulics, tables

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]

LONGEST = 365 * 86_400.0
"""The longest time to a cleaning (s) that is ever said."""


def growth_share(water_temperature: ArrayLike) -> Array:
    """Growth against that at 25 °C: 2^((T - 25)/10), no more beyond 32 °C. T in K.

    Doubling per 10 °C and the stop at 30-35 °C as owners' texts on fouling have it; common
    practice, no measured source.
    """
    held = np.minimum(water_temperature, tables.GROWTH_STOPS)
    return np.asarray(2.0 ** ((held - tables.BASE_TEMPERATURE) / tables.DOUBLING))


def use_share(run_share: ArrayLike) -> Array:
    """Growth against that at 12 h a day: half of it idle, half with the hours water flows.

    0.5 + 0.5 · hours/12, the practice rule: the first half is what a warm idle day grows in the
    still water of the bowl, the other what comes with the running hours.
    """
    return np.asarray(0.5 + 0.5 * np.asarray(run_share) * 24 / 12)


def blocking_rate(
    water_temperature: ArrayLike, run_share: ArrayLike, site_interval: float, pace: ArrayLike
) -> Array:
    """Share of the basket shut per second, by steady growth. Common practice, no source.

    Nine tenths in 14 days at 25 °C and 12 h a day in an average marina (x½ to x2, the ``pace``),
    by temperature (K), the share of the time it runs (0: an idle day) and what drifts past
    (``site_interval`` multiplies the interval). The ``pace`` is `raw_water.fouling_pace`, the one
    input that a fit to logged cleanings and timed fills moves.
    """
    base = tables.DUE_BLOCKED_SHARE / (tables.BASE_INTERVAL * site_interval)
    return np.asarray(base * np.asarray(pace) * growth_share(water_temperature) * use_share(run_share))


def chance_of_debris_before(wait: ArrayLike, every: ArrayLike) -> Array:
    """Chance (0..1) that debris comes within ``wait`` (s) when it comes once in ``every`` (s).

    1 - e^(-wait/every): weed, jellyfish and bags come by themselves, whatever has grown (Poisson).
    How often is the owner's to say; nobody can foretell it from the water.
    """
    return np.asarray(1.0 - np.exp(-np.asarray(wait) / np.asarray(every)))


def blocked_share_at_head(
    head: ArrayLike, flow: ArrayLike, basket_area: ArrayLike, hole_share: ArrayLike
) -> Array:
    """The blocked share at which the basket takes ``head`` (m) at ``flow`` (m³/s).

    The screen's loss (Blevins) turned round on the flow curve. Below the clean basket's own loss
    it is 0; with no head to spare, as negative as need be is 0 too.
    """
    on_basket = hydraulics.velocity_head(np.asarray(flow) / np.asarray(basket_area))
    loss = np.maximum(head, 0.0) / np.maximum(on_basket, 1e-12)
    left = hydraulics.screen_open_share_blevins(loss) / np.asarray(hole_share)
    return np.asarray(np.clip(1.0 - left, 0.0, 1.0))


def time_to_share(now: ArrayLike, due: ArrayLike, rate: ArrayLike) -> Array:
    """Seconds until the blocked share grows from ``now`` to ``due`` at ``rate``; 0 to a year."""
    left = np.maximum(np.asarray(due) - np.asarray(now), 0.0)
    return np.asarray(np.minimum(left / np.maximum(rate, 1e-12), LONGEST))
