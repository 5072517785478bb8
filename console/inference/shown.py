"""What the instruments of a log would show, given what the model says: biases, periods, scatter."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from console.contract import Reading
from console.engine.draws import Z90
from console.inference.errors import Errors, Spread, errors_of
from console.inference.forward import instrument
from console.inference.likelihood import BROAD, SCALE, WRONG, log_t4
from console.inference.logged import Evidence

Array = NDArray[np.float64]

TINY = 1e-12
SELDOM = 0.03
"""Share of readings that are plain wrong where what usually goes wrong is already in the error that a
period shares (common practice, no source); of others `WRONG`."""
MODEL_ALWAYS = math.sqrt(0.5)
"""Of what the model may be out in a reading of one day: the share that is the same every day (and as
much that is not). Over a jug's many days the days' own part is nothing against the boat's."""


class Shown:
    """The step from figures to readings, over all evidence at once.

    ``names`` are its latents, standard normal: ``instrument:NAME`` (with it what the model is always
    out in the one kind of reading it shows), and ``period:READING:before`` and ``:after``.
    """

    def __init__(
        self, evidence: Sequence[Evidence], errors: Mapping[str, Errors], events: Collection[str],
        shared_with: Collection[str] = (),
    ) -> None:  # fmt: skip
        self.evidence = tuple(evidence)
        self._errors, self._events = errors, frozenset(events)
        names: list[str] = []
        kinds = {e.reading.name: e.reading for e in self.evidence}
        users: dict[str, set[str]] = {}
        for reading in kinds.values():
            users.setdefault(instrument(reading), set()).add(reading.name)
        # An instrument that shows one kind of reading takes in what the model is always out in it.
        self._lone = {i for i, who in users.items() if len(who) == 1 and i not in shared_with}
        for reading in kinds.values():
            if self.shared(reading).size:
                names.append(instrument(reading))
            if self.period(reading).size:
                names += [f"period:{reading.name}:{side}" for side in ("before", "after")]
        self.names = tuple(dict.fromkeys(names))
        self.values = np.array([e.value for e in self.evidence])
        self.scatters = np.array([self.scatter(e) for e in self.evidence])
        self.relative = np.array([
            errors[e.reading.name].own.relative and e.entry.error is None and e.value > TINY
            for e in self.evidence
        ], dtype=bool)  # fmt: skip
        self.wrong = np.array([SELDOM if self.period(e.reading).size else WRONG for e in self.evidence])
        self._logs = np.log(self.values[self.relative])
        shape = (len(self.names), len(self.evidence))
        self._shared, self._period = (np.zeros(shape), np.zeros(shape)), (np.zeros(shape), np.zeros(shape))
        for k, each in enumerate(self.evidence):
            shared, period = self.shared(each.reading), self.period(each.reading)
            if shared.size:
                row = self.names.index(instrument(each.reading))
                self._shared[shared.relative][row, k] = shared.size
            if period.size:
                for side, part in (("before", 1.0 - each.later), ("after", each.later)):
                    row = self.names.index(f"period:{each.reading.name}:{side}")
                    self._period[period.relative][row, k] = period.size * part

    def period(self, reading: Reading) -> Spread:
        """What all readings of a kind may share before the repair, and again after it."""
        surer = bool(reading.surer_after) and self._events.issuperset(reading.surer_after)
        text = reading.surer_error if surer else reading.period_error
        return errors_of(replace(reading, shared_error=text)).shared if text else Spread()

    def shared(self, reading: Reading) -> Spread:
        """What all readings of an instrument share throughout."""
        errors = self._errors[reading.name]
        model = self._always(reading)
        if not model.size:
            return errors.shared
        if not errors.shared.size:
            return model
        return Spread(math.hypot(errors.shared.size, model.size), model.relative)

    def _always(self, reading: Reading) -> Spread:
        """What the model is always out in a kind of reading, where its instrument can take it in."""
        errors = self._errors[reading.name]
        mixed = errors.shared.size and errors.shared.relative != errors.model.relative
        if mixed or instrument(reading) not in self._lone:
            return Spread()
        part = 1.0 if reading.over.startswith("since:") else MODEL_ALWAYS
        return Spread(errors.model.size * part, errors.model.relative)

    def scatter(self, each: Evidence) -> float:
        """Standard deviation of a piece of evidence about what its instrument should show.

        An error typed beside a reading takes the place of what the instrument's scatter usually is.
        """
        errors = self._errors[each.reading.name]
        own = errors.own.at(each.value) if each.entry.error is None else each.entry.error / Z90
        always, model = self._always(each.reading), errors.model.at(each.value)
        own_part = math.sqrt(max(model**2 - always.at(each.value) ** 2, 0.0))
        return max(math.hypot(own, own_part), TINY)

    def moves(self, name: str) -> Array:
        """How a latent moves what is shown of each piece of evidence, relative to its value."""
        if name not in self.names:
            return np.zeros(len(self.evidence))
        row = self.names.index(name)
        size = np.maximum(np.abs(self.values), 1e-30)
        (absolute, relative), (period, by) = self._shared, self._period
        return np.asarray(relative[row] + by[row] + (absolute[row] + period[row]) / size)

    def __call__(self, said: Array, at: Array) -> Array:
        """What is shown, (n, evidence), for what the model says at latents (n, names)."""
        if not self.names:
            return said
        (absolute, relative), (period, by) = self._shared, self._period
        shown = said * np.exp(at @ by) if by.any() else said
        if period.any():
            shown = shown + at @ period
        if relative.any():
            shown = shown + np.abs(shown) * (at @ relative)
        return shown + at @ absolute if absolute.any() else shown

    def log_likelihood(self, said: Array, at: Array) -> Array:
        """How well what the model says (n, evidence) explains the log at latents (n, names).

        An error in parts of the value is in parts of what should be shown: it is judged by logarithms.
        """
        shown = self(said, at)
        off = self.values - shown
        if self.relative.any():
            part = np.log(np.maximum(shown[:, self.relative], TINY))
            off[:, self.relative] = (self._logs - part) * self.values[self.relative]
        off = off / self.scatters
        good = np.log((1.0 - self.wrong) / SCALE) + log_t4(off / SCALE)
        bad = np.log(self.wrong / BROAD) + log_t4(off / BROAD)
        return np.asarray(np.logaddexp(good, bad).sum(axis=1))
