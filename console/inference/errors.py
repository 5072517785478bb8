"""What an instrument is good for: the spreads of readings as numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from console.contract import Reading
from console.engine.draws import Z90
from console.quantities import STYLES, parse_measure, style_of


@dataclass(frozen=True, slots=True)
class Spread:
    """A standard deviation, SI or relative to the value."""

    size: float = 0.0
    relative: bool = False

    def at(self, value: float) -> float:
        """The standard deviation in SI about a value."""
        return abs(value) * self.size if self.relative else self.size


@dataclass(frozen=True, slots=True)
class Errors:
    """Of one reading: what its instrument always adds, and what comes new each time."""

    shared: Spread
    own: Spread
    model: Spread

    def scatter(self, value: float) -> float:
        """Standard deviation of the reading about what the model says, the bias apart."""
        return max(math.hypot(self.own.at(value), self.model.at(value)), 1e-12)


@lru_cache(512)
def errors_of(reading: Reading) -> Errors:
    """The errors a reading declares. Raises `QuantityError` when one cannot be read."""
    style = style_of(reading.unit, reading.style)
    example = STYLES[style].example

    def spread(text: str) -> Spread:
        if not text:
            return Spread()
        measure = parse_measure(f"{example} {text}", style)
        return Spread((measure.half or 0.0) / Z90, measure.relative)

    return Errors(spread(reading.shared_error), spread(reading.own_error), spread(reading.model_error))
