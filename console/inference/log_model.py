"""The forward model along the days of a log, and how well it explains what was logged.

Every uncertain number is a standard normal latent, as in a diagnosis: an input by its path, the
shared bias of an instrument by ``instrument:NAME``, what all readings of one kind share before or
after the repair by ``period:NAME:before`` and ``:after``, and the repair's own size by
``change:KEY``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Reading, State
from console.engine.changes import Named, altered, key_of, severity_of
from console.engine.draws import scores
from console.engine.order import ancestors, covers
from console.engine.run import Ran, run_day, run_steps
from console.engine.views import Draws
from console.guard import Unwell
from console.inference.errors import Errors, Spread, errors_of
from console.inference.forward import instrument
from console.inference.logged import DAY, Evidence, LoggedDays
from console.inference.shown import Shown
from console.inference.stacks import ScoredDraws
from console.inference.usual import Usual
from console.quantities import Measure

Array = NDArray[np.float64]

DRAWS = 256
NOON = 12.0
FINE = 1023
PASSES = 2
"""A state moves with a rate that moves with the state: the days are run so many times over."""


class LogDraws(Draws):
    """Rows of draws along the days: changed after the repair, and set where the log states an input."""

    def __init__(
        self, plain: Draws, changed: Draws | None, later: Array, days: Mapping[str, Array]
    ) -> None:
        super().__init__(changed.boat if changed is not None else plain.boat, plain.draws)
        self._plain, self._changed, self._later = plain, changed, later
        self._days_of = {path: np.atleast_2d(values) for path, values in days.items()}

    def number(self, path: str) -> Array:
        made = self.columns.get(path)
        if made is None:
            made = self._along(path)
            made.flags.writeable = False
            self.columns[path] = made
        return made

    def stand_in(self, name: str, measure: Measure, law: str) -> Array:
        return self._plain.stand_in(name, measure, law)

    def _along(self, path: str) -> Array:
        stated = self._days_of.get(path)
        if stated is not None:
            return np.array(np.broadcast_to(stated, (self.draws + 1, stated.shape[1])))
        before = self._plain.number(path)
        if self._changed is None:
            return np.array(before)
        after = self._changed.number(path)
        if after is before or np.array_equal(after, before):
            return np.array(before)
        return np.asarray(before + self._later[None, :] * (after - before))


class LogModel:
    """What the boat would have shown along the days of a log, for any latents.

    ``repair`` is the change of the repair; without one the days are all of one boat.
    """

    def __init__(
        self, boat: Boat, log: LoggedDays, readings: Mapping[str, Reading], states: Sequence[State],
        repair: Named | None = None, logged_events: frozenset[str] = frozenset(), draws: int = DRAWS,
    ) -> None:  # fmt: skip
        self.boat, self.log, self.repair = boat, log, repair
        self.base = Draws(boat, draws)
        self.day: Ran = run_day(boat, columns=self.base)
        self.unwell: list[Unwell] = list(self.day.unwell)
        self.events = logged_events
        self.evidence: tuple[Evidence, ...] = tuple(
            e for e in log.evidence
            if e.reading.predicts in self.day.figures and not (e.reading.sets and e.reading.sets in log.sets)
        )  # fmt: skip
        self.errors: dict[str, Errors] = {
            r.name: errors_of(r) for r in readings.values() if r.unit and r.role != "event"
        }
        read = {instrument(r) for f, r in log.read.items() if f in log.pins}
        self.shown = Shown(self.evidence, self.errors, logged_events, read)
        self.usual = Usual(self.day, readings.values(), log)
        self.wanted = {e.reading.predicts for e in self.evidence}
        self.states = tuple(state for state in states if self._matters(state))
        self.wanted |= {state.rate for state in self.states}
        self._daily = self._means()
        self._inputs = tuple(
            path for path, column in sorted(self.base.columns.items())
            if column.shape[0] > 2 and np.ptp(column[1:]) > 0
        )  # fmt: skip
        self._severity: tuple[Array, Array] | None = None
        if repair is not None and repair[1].severity:
            drawn = severity_of(*repair, boat, FINE)
            if drawn is not None:
                key = f"change:{key_of(*repair)}"
                self._severity = (np.sort(scores(key, FINE)), np.sort(drawn[1:]))

    def _matters(self, state: State) -> bool:
        """Whether what was logged rests on an estimate that looks at the state."""
        needed = ancestors(self.day.plan, self.wanted, self.log.pins)
        return any(
            ("number", state.path) in self.day.looked.get(node.key, ())
            or (node.key not in self.day.looked and state.path.startswith(f"{node.owner}."))
            for node in self.day.plan.nodes if node.key in needed
        )  # fmt: skip

    def _means(self) -> dict[str, Array]:
        """The day's mean of the weather and of what the stateful estimates give, in every base row.

        Of the sun's place it is that of the hours in which it shines, each by its beam.
        """
        figures = self.day.figures
        made = {
            name: np.nanmean(array, axis=1)
            for node in self.day.plan.nodes if node.estimate.stateful
            for name, array in figures.items()
            if any(covers(given.name, name) for given in node.estimate.gives)
        }  # fmt: skip
        beam = figures.get("weather.direct_normal")
        for name, array in figures.items():
            if name.startswith("weather.sun_") and beam is not None:
                shining = np.broadcast_to(np.maximum(beam, 1e-9), array.shape)
                made[name] = (array * shining).sum(axis=1) / shining.sum(axis=1)
            elif name.startswith("weather."):
                made[name] = np.nanmean(array, axis=1)
        return made

    # --- latents -----------------------------------------------------------------------------

    @property
    def severity_latent(self) -> str:
        """The latent of the repair's size."""
        return f"change:{key_of(*self.repair)}" if self.repair else ""

    def moving(self) -> tuple[str, ...]:
        """The latents that may move what the model says: inputs, thermometers, what was not read."""
        stated = set(self.log.sets) | {s.path for s in self.states if s.path in self.log.resets}
        inputs = [path for path in self._inputs if path not in stated]
        read = {instrument(r) for f, r in self.log.read.items() if f in self.log.pins}
        return (*inputs, *sorted(read), *self.usual.names)

    def severity(self, at: Array) -> Array:
        """The repair's size at its latent's scores."""
        assert self._severity is not None
        return np.interp(at, *self._severity)

    # --- running -----------------------------------------------------------------------------

    def predict(self, latents: Mapping[str, Array], rows: int, changed: bool) -> Array:
        """What each piece of evidence should be, (rows, evidence), SI, before any instrument."""
        figures = self.figures(latents, rows, changed)
        made = np.empty((rows, len(self.evidence)))
        for k, each in enumerate(self.evidence):
            made[:, k] = figures[each.reading.predicts][1:] @ each.weights
        return made

    def figures(
        self, latents: Mapping[str, Array], rows: int, changed: bool, log: LoggedDays | None = None,
        age: Mapping[str, float] | None = None,
    ) -> dict[str, Array]:  # fmt: skip
        """The wanted figures along the days, each (rows + 1, days).

        ``age`` holds each state at what it has become so many seconds after it was put back.
        """
        log = log or self.log
        # What no latent is given for stays nominal: chance there would pass for a misfit.
        nominal = {path: np.zeros(rows) for path in self._inputs}
        index = np.zeros(rows + 1, dtype=np.intp)
        plain = ScoredDraws(self.base, index, {**nominal, **latents})
        after = self._changed(plain, latents, rows) if changed and self.repair else None
        pins = self._pins(log, latents, index)
        days: dict[str, Array] = {**log.sets, **self.usual.sets(plain, latents, rows, log)}
        moved = [s for s in self.states if s.path in log.resets and s.path not in days]
        made: dict[str, Array] = {}
        for state in moved:
            days[state.path] = np.zeros(log.steps)
        for _ in range(PASSES if moved else 1):
            draws = LogDraws(plain, after, log.later, days)
            ran = run_steps(draws, np.full(log.steps, NOON), DAY, pins, held=True, wanted=self.wanted)
            self.unwell.extend(u for u in ran.unwell if u not in self.unwell)
            made = {name: ran.figures[name] for name in self.wanted if name in ran.figures}
            for state in moved:
                if state.rate in made and age is not None:
                    days[state.path] = np.maximum(made[state.rate] * age.get(state.path, 0.0), 0.0)
                elif state.rate in made:
                    days[state.path] = _grown(made[state.rate], log.resets[state.path], log.seconds)
        missing = self.wanted - made.keys()
        if missing:
            why = next((u.error for u in self.unwell), "the model gave no number")
            raise ValueError(f"the log cannot be weighed: {why}")
        return made

    def repairable(self, latents: Mapping[str, Array], rows: int, figure: str) -> tuple[Array, Array]:
        """A figure before the repair and after it, (rows,) each, under the mean day's conditions."""
        log = self.log
        wanted, self.wanted = self.wanted, {figure}
        try:
            made = [
                self.figures(
                    latents, rows, True,
                    replace(
                        log, days=log.days[:1], later=np.array([later]), resets={},
                        pins={name: np.array([values.mean()]) for name, values in log.pins.items()},
                        sets={name: np.array([values.mean()]) for name, values in log.sets.items()},
                    ),
                )[figure][1:, 0]
                for later in (0.0, 1.0)
            ]  # fmt: skip
        finally:
            self.wanted = wanted
        return made[0], made[1]

    def _changed(self, plain: Draws, latents: Mapping[str, Array], rows: int) -> Draws | None:
        assert self.repair is not None
        at = latents.get(self.severity_latent)
        severities = {}
        if at is not None and self._severity is not None:
            severities[key_of(*self.repair)] = np.concatenate(
                [[self.severity(np.zeros(1))[0]], self.severity(at)]
            )
        return altered(plain, [self.repair], severities)

    def _pins(
        self, log: LoggedDays, latents: Mapping[str, Array], index: NDArray[np.intp]
    ) -> dict[str, Array]:
        rows = index.size - 1

        def of(name: str) -> Array:
            return np.concatenate([[0.0], latents.get(name, np.zeros(rows))])[:, None]

        pins = {
            name: np.repeat(means[index][:, None], log.steps, axis=1) for name, means in self._daily.items()
        }
        pins |= {
            name: made for name, made in self.usual.pins(of, log.later).items() if name not in log.pins
        }
        for figure, values in log.pins.items():
            reading = log.read[figure]
            shared = self.errors[reading.name].shared if reading.name in self.errors else Spread()
            bias = shared.at(float(np.mean(values))) * of(instrument(reading))
            made = values[None, :] - bias + self.usual.off(figure, of, log.later)
            pins[figure] = np.clip(made, 0.0, 1.0) if reading.unit == "1" else made
        return pins


def _grown(rate: Array, resets: Array, seconds: Array) -> Array:
    """A state by the middle of each step: what has grown since it was last put back."""
    made = np.zeros_like(rate)
    now = np.zeros(rate.shape[0])
    for k in range(rate.shape[1]):
        daily = seconds[k] * rate[:, k]
        made[:, k] = now + 0.5 * daily
        now = now + daily
        if resets[k]:
            gone = resets[k] - 1.0
            now = (1.0 - gone) * daily
            if gone <= 0.5:
                made[:, k] = (0.5 - gone) * daily
    return np.maximum(made, 0.0)
