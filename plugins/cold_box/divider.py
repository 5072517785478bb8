"""A box in two compartments: the plate's, kept frozen, and a fridge that cold air spills over into.

The compressor follows the plate's side. The fridge side has walls, a lid, openings and food of
its own, and gives what they bring to the plate's side through the divider: by conduction, by air
that its weight moves through the holes, and by a fan. Arrays are (draws, hours). SI throughout.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.properties import air
from plugins.cold_box.air_exchange import divider_flow

Array = NDArray[np.float64]

FAN_BAND = 1.0
"""K over which a fan's thermostat passes from off to all the time, about its set-point."""


@dataclass(frozen=True, slots=True)
class Divider:
    """A wall between two compartments: what it conducts (W/K), its holes (m² in all, m apart),
    its fan (m³/s while it turns, and the K at which it turns half of the time)."""

    conductance: Array
    hole_area: Array
    apart: Array
    fan_flow: Array
    fan_set_point: Array

    def fan_share(self, beyond: Array) -> Array:
        """Share of the time (0..1) the fan turns with the fridge side at ``beyond`` (K)."""
        wanted = np.clip((beyond - self.fan_set_point) / FAN_BAND + 0.5, 0.0, 1.0)
        return np.where(self.fan_flow > 0.0, wanted, 0.0)

    def exchange(self, inside: Array, beyond: Array) -> Array:
        """kg/s of air that changes sides, by weight and by fan; saturated air on both is near enough."""
        cold = air.density(inside, air.saturation_humidity_ratio(inside))
        warm = air.density(beyond, 0.65 * air.saturation_humidity_ratio(beyond))
        by_weight = divider_flow(self.hole_area, self.apart, warm, cold)
        return by_weight + self.fan_share(beyond) * self.fan_flow * cold
