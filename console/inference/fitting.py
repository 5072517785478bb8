"""What a log says of the boat itself: inputs narrowed by its own readings.

The days of the log are explained with the boat as it is in the file; an input that the readings tell of
comes out with a narrower spread, which the owner may put into the boat file.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from console.boatfile import Boat
from console.boatfile.inputs import Input
from console.engine.changes import reached
from console.engine.draws import column
from console.guard import Unwell
from console.inference.log_model import LogModel
from console.inference.logged import days_of, declared
from console.inference.weigh_log import weigh_log
from console.logbook.entry import Log
from console.quantities import System, convert, number_text, shown_unit

NARROWER = 0.8
"""An input is worth telling of when its spread has come down to this share of what it was."""
FEWEST = 100.0
Z90 = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class Fitted:
    """One input before the log (median, low, high) and after it, in SI."""

    path: str
    entry: Input
    before: tuple[float, float, float]
    after: tuple[float, float, float]

    def text(self, system: System) -> str:
        """What to write into the boat file: value, unit and spread."""
        unit = shown_unit(self.entry.style, system)
        if unit == "AWG":
            system, unit = "si", "mm**2"
        middle, low, high = (float(convert(v, self.entry.style, system)) for v in self.after)
        return f"{number_text(middle, 3).replace(',', '')} {unit} ± {number_text(0.5 * (high - low), 2).replace(',', '')} {unit}"


@dataclass(frozen=True, slots=True)
class Fit:
    """What a log says: the inputs it narrows, what could not be used, and how well it was sampled."""

    inputs: tuple[Fitted, ...]
    readings: tuple[str, ...]
    left_out: tuple[str, ...]
    size: float
    unwell: tuple[Unwell, ...]


def fit(boat: Boat, log: Log, complaint: str, paths: tuple[str, ...] = (), seed: int = 1) -> Fit:
    """Fit the inputs at ``paths`` (all that vary without them) to what was logged for a complaint.

    Raises ValueError with one sentence when there is nothing to fit to, or too little.
    """
    readings = declared(boat, complaint)
    states = [state for _, state in boat.registry.states]
    repairs = [e.at for e in log.events("repair")]
    days = days_of(boat, log, readings, states, None)
    if repairs:
        # A boat repaired since is another boat: only what came after counts.
        days.evidence = tuple(e for e in days.evidence if e.entry.at > max(repairs))
    model = LogModel(boat, days, readings, states, None, frozenset(e.reading for e in log.events()))
    if not model.evidence:
        raise ValueError("the log has no reading that could tell of the boat" + (
            f": {days.left_out[0]}" if days.left_out else ""))  # fmt: skip
    found = weigh_log(model, False, seed)
    if found.size < FEWEST:
        raise ValueError("the readings of the log do not agree with any boat like this one; check them")
    chosen = {reached(boat, path) or path for path in paths}
    made: list[Fitted] = []
    for path in model.moving():
        entry = boat.inputs.get(path)
        if entry is None or entry.measure is None or entry.compute or (chosen and path not in chosen):
            continue
        at = found.latent(path)
        mean = float(found.weights @ at)
        variance = max(float(found.weights @ np.square(at - mean)), 1e-12)
        # Across what the readings speak of, a latent is as spread as it ever was.
        spread = math.sqrt(variance + max(1.0 - found.told(path), 0.0))
        if spread > NARROWER and abs(mean) < 0.5:
            continue
        ends = np.array([mean, mean - Z90 * spread, mean + Z90 * spread])
        after = _values(path, entry, ends)
        before = _values(path, entry, np.array([0.0, -Z90, Z90]))
        made.append(Fitted(path, entry, before, after))
    names = tuple(dict.fromkeys(each.reading.name for each in model.evidence))
    return Fit(tuple(made), names, days.left_out, found.size, tuple(model.unwell))


def fit_all(boat: Boat, log: Log) -> Fit:
    """Fit what the plugins let a log narrow, complaint by complaint.

    Raises ValueError with one sentence when the log tells of none of it.
    """
    paths = tuple(path for _, state in boat.registry.states for path in state.fits if reached(boat, path))
    complaints = dict.fromkeys(c for _, reading in boat.registry.readings for c in reading.complaints)
    made: list[Fit] = []
    why = "the boat file states nothing that a log could narrow; add the parts the log is about"
    for complaint in complaints if paths else ():
        try:
            made.append(fit(boat, log, complaint, paths))
        except ValueError as error:
            why = str(error)
    if not made:
        raise ValueError(why)
    return Fit(
        tuple(each for one in made for each in one.inputs),
        tuple(dict.fromkeys(name for one in made for name in one.readings)),
        tuple(dict.fromkeys(each for one in made for each in one.left_out)),
        min(one.size for one in made),
        tuple(dict.fromkeys(each for one in made for each in one.unwell)),
    )


def _values(path: str, entry: Input, at: np.ndarray) -> tuple[float, float, float]:
    assert entry.measure is not None
    made = column(path, at.size, entry.measure.value, entry.measure.half_si, entry.law, entry.hard, at)[1:]
    middle, low, high = (float(v) for v in made)
    return middle, min(low, high), max(low, high)
