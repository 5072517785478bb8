"""The forward model at the conditions of the readings, for many sets of causes at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Reading
from console.engine.changes import altered, severity_of
from console.engine.draws import column, scores
from console.engine.order import covers
from console.engine.run import DAY_STEPS, Ran, run_day, run_steps
from console.engine.views import Draws, EstimateView, Look
from console.guard import GuardError, Unwell, call, guarded
from console.inference.causes import Cause
from console.inference.errors import errors_of
from console.inference.readings import Taken, readings_for
from console.inference.stacks import ScoredDraws, StackedDraws, Stage

Array = NDArray[np.float64]

CHUNK = 12_000
"""Rows run at once: more only spill out of the processor's cache."""
HOUR_WITHOUT_LOAD = 15
HOURS_OF_DAY = (3, 9, 15, 21)
"""Hours that stand for a day where a reading is over one."""
FINE = 1023
"""Draws from which the curve of a severity over its score is read."""


@dataclass(frozen=True, slots=True)
class Job:
    """A stage to run, and the causes switched on in it."""

    causes: tuple[Cause, ...]
    stage: Stage


def instrument(reading: Reading) -> str:
    """The latent of a reading's shared bias."""
    return f"instrument:{reading.instrument or reading.name}"


def own(reading: Reading) -> str:
    """The latent of a condition's own scatter."""
    return f"own:{reading.name}"


def severity(cause: Cause) -> str:
    """The latent of a cause's severity."""
    return f"change:{cause.full_key}"


class Forward:
    """The boat without causes, its day, and the figures a complaint's readings speak of."""

    def __init__(self, boat: Boat, complaint: str, causes: Sequence[Cause], draws: int) -> None:
        self.boat, self.complaint, self.causes, self.draws = boat, complaint, causes, draws
        self.base = Draws(boat, draws)
        self.day: Ran = run_day(boat, columns=self.base)
        self.unwell: list[Unwell] = list(self.day.unwell)
        self.readings: dict[str, tuple[str, Reading]] = {}
        self._severities: dict[str, tuple[Array, Array]] = {}
        declared = {
            name: pair for name, pair in readings_for(boat, complaint).items()
            if complaint in pair[1].complaints or pair[1].role == "event"
        }  # fmt: skip
        self.hours = self._hours(declared.values())
        self.wanted = self._trace(declared)
        self.latents = self._varying()

    # --- what there is to know ---------------------------------------------------------------

    def _hours(self, declared: Iterable[tuple[str, Reading]]) -> tuple[int, ...]:
        """The hour of the largest load; four hours where what is measured is over a day."""
        numeric = [
            r for _, r in declared if r.role == "evidence" and r.unit and self.complaint in r.complaints
        ]
        if any(reading.over != "instant" for reading in numeric):
            return HOURS_OF_DAY
        worst = Counter(
            given.worst_of
            for r in numeric
            if (given := self.day.meanings.get(r.predicts)) and given.worst_of
        )
        for name, _ in worst.most_common():
            if name in self.day.figures:
                return (int(np.nanargmax(self.day.figures[name][0])) % DAY_STEPS,)
        return (HOUR_WITHOUT_LOAD,)

    def _trace(self, declared: Mapping[str, tuple[str, Reading]]) -> frozenset[str]:
        """Which readings can be predicted on this boat, and the figures they need.

        The whole moment is run on a few rows, and what each choice looks at is noted.
        """
        few = np.arange(min(self.draws, 3) + 1, dtype=np.intp)
        ran = self._ran(ScoredDraws(self.base, few, {}), few, {}, ())
        self.unwell.extend(u for u in ran.unwell if u not in self.unwell)
        wanted: set[str] = set()
        for name, (owner, reading) in declared.items():
            if reading.role == "event":
                self.readings[name] = (owner, reading)
                continue
            looked: set[Look] = set()
            if reading.choices:
                if not reading.chances:
                    continue
                try:
                    self._chances(owner, reading, ran, looked)
                except GuardError as failure:
                    self.unwell.append(failure.unwell)
                    continue
                for kind, figure in looked:
                    if kind == "figure":
                        wanted.update(n for n in ran.figures if covers(figure, n))
            elif reading.predicts not in ran.figures:
                continue
            else:
                errors_of(reading)
                wanted.add(reading.predicts)
                if reading.expects in ran.figures:
                    wanted.add(reading.expects)
            self.readings[name] = (owner, reading)
        for cause in self.causes:
            wanted.update(effect.figure for effect in cause.change.effects)
            wanted.add(cause.change.weighed_by)
        return frozenset(name for name in wanted if name in ran.figures)

    def _varying(self) -> tuple[str, ...]:
        """The inputs that are uncertain and that the model looks at."""
        return tuple(
            path for path, rows in sorted(self.base.columns.items())
            if rows.shape[0] > 2 and np.ptp(rows[1:]) > 0 and self.boat.inputs[path].measure is not None
        )  # fmt: skip

    # --- running -----------------------------------------------------------------------------

    def run(self, jobs: Sequence[Job], taken: Sequence[Taken]) -> None:
        """Run the jobs' rows and put figures and chances into their stages."""
        chunk: list[Job] = []
        rows = 0
        for job in jobs:
            chunk.append(job)
            rows += job.stage.rows.size
            if rows >= CHUNK:
                self._run_chunk(chunk, taken)
                chunk, rows = [], 0
        if chunk:
            self._run_chunk(chunk, taken)

    def _run_chunk(self, jobs: Sequence[Job], taken: Sequence[Taken]) -> None:
        together: list[tuple[Job, Draws]] = []
        for job in jobs:
            made = self._switched(job)
            if made.boat is self.boat:
                together.append((job, made))
            else:  # a choice altered: a boat of its own
                self._run_together([(job, made)], taken)
        if together:
            self._run_together(together, taken)

    def _switched(self, job: Job) -> Draws:
        stage = job.stage
        rows = np.concatenate([np.zeros(1, dtype=np.intp), stage.rows])
        plain = ScoredDraws(self.base, rows, stage.latents)
        if not any(cause.change.alters for cause in job.causes):
            return plain
        severities = {
            cause.full_key: self._severity(cause, stage) for cause in job.causes if cause.change.severity
        }
        made = altered(plain, [(cause.owner, cause.change) for cause in job.causes], severities)
        return plain if made is None else made

    def severity_values(self, cause: Cause, stage: Stage) -> Array:
        """A cause's severity in every row of a stage."""
        return self._severity(cause, stage)[1:]

    def _severity(self, cause: Cause, stage: Stage) -> Array:
        key = severity(cause)
        at = stage.latents.get(key)
        if at is None:
            at = scores(key, self.draws)[stage.rows - 1]
        if key not in self._severities:
            drawn = severity_of(cause.owner, cause.change, self.boat, FINE)
            assert drawn is not None
            values = drawn[1:]
            if cause.stated is not None:  # as the file has it, or as such a fault usually is
                entry, stated = self.boat.inputs[cause.severity_path], cause.stated
                told = column(key, FINE, stated.value, stated.half_si, entry.law, entry.hard)
                values = np.concatenate([values, told[1:]])
            self._severities[key] = (np.sort(scores(key, values.size)), np.sort(values))
        z, values = self._severities[key]
        return np.concatenate([[values[values.size // 2]], np.interp(at, z, values)])

    def _run_together(self, made: Sequence[tuple[Job, Draws]], taken: Sequence[Taken]) -> None:
        stages = [job.stage for job, _ in made]
        rows = np.concatenate([np.zeros(1, dtype=np.intp), *(stage.rows for stage in stages)])
        draws = made[0][1] if len(made) == 1 else StackedDraws(made[0][1].boat, [d for _, d in made])
        pins = {
            each.reading.predicts: self._pin(each, stages)
            for each in taken if each.reading.role == "condition" and each.reading.predicts
        }  # fmt: skip
        ran = self._ran(draws, rows, pins, self.wanted)
        self.unwell.extend(u for u in ran.unwell if u not in self.unwell)
        tables: dict[str, Array] = {}
        for name, (owner, reading) in self.readings.items():
            if not reading.chances:
                continue
            try:
                tables[name] = self._chances(owner, reading, ran, set())
            except GuardError as failure:
                if failure.unwell not in self.unwell:
                    self.unwell.append(failure.unwell)
        start = 1
        for stage in stages:
            part = slice(start, start + stage.rows.size)
            start += stage.rows.size
            stage.figures = {n: ran.figures[n][part] for n in self.wanted if n in ran.figures}
            stage.chances = {name: table[part] for name, table in tables.items()}

    def _pin(self, each: Taken, stages: Sequence[Stage]) -> Array:
        """What a condition's figure is, given its reading: less the bias and the scatter of each row."""
        reading = each.reading
        errors = errors_of(reading)
        shared, scatter = errors.shared.at(each.value), errors.own.at(each.value)

        def latent(stage: Stage, key: str) -> Array:
            found = stage.latents.get(key)
            return scores(key, self.draws)[stage.rows - 1] if found is None else found

        values = [
            each.value - shared * latent(s, instrument(reading)) - scatter * latent(s, own(reading))
            for s in stages
        ]
        made = np.concatenate([[each.value], *values])
        if reading.unit == "1" and reading.style == "share":
            made = np.clip(made, 0.0, 1.0)
        return made

    def _ran(
        self, draws: Draws, rows: NDArray[np.intp], pins: Mapping[str, Array], wanted: Iterable[str]
    ) -> Ran:
        at = list(self.hours)
        pinned = {name: np.repeat(values[:, None], len(at), axis=1) for name, values in pins.items()}
        for node in self.day.plan.nodes:
            if not node.estimate.stateful:
                continue
            for given in node.estimate.gives:
                for name, array in self.day.figures.items():
                    if covers(given.name, name) and name not in pinned:
                        pinned[name] = array[rows][:, at]
        hours = np.array([hour + 0.5 for hour in at])
        seconds = 3600.0 * (1 if len(at) == 1 else DAY_STEPS / len(at))
        return run_steps(draws, hours, seconds, pinned, held=True, wanted=tuple(wanted))

    def _chances(self, owner: str, reading: Reading, ran: Ran, looked: set[Look]) -> Array:
        """The chance of each choice in every row, shape (rows, choices)."""
        view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures, looked)
        made = np.asarray(
            guarded(owner, f"chances of {reading.name}", call, reading.chances, view), dtype=float
        )
        shape = (ran.draws.draws + 1, len(reading.choices))
        made = np.broadcast_to(made.reshape(-1, made.shape[-1]), shape)
        if not (np.isfinite(made).all() and (made >= 0).all()):
            raise GuardError(Unwell(owner, f"chances of {reading.name}", "gives a chance that is none"))
        table: Array = np.maximum(made, 1e-2)
        return np.asarray(table / table.sum(axis=1, keepdims=True))


__all__ = ["Forward", "Job", "instrument", "own", "severity"]
