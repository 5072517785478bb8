"""The engine: draws, the dependency-ordered run, percentiles, drivers and comparison."""

from console.engine.compare import Comparison, Difference, compare
from console.engine.estimate import estimate
from console.engine.outcome import Card, Driver, Figure, Outcome
from console.engine.run import Cancelled, Ran, run_day, run_moment
from console.guard import Unwell

__all__ = [
    "Cancelled", "Card", "Comparison", "Difference", "Driver", "Figure", "Outcome", "Ran", "Unwell",
    "compare", "estimate", "run_day", "run_moment",
]  # fmt: skip
