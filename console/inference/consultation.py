"""A consultation: readings come in, one after another and in any order; what they tell comes out.

`Consultation.result` answers at once from the rows that are there; `Consultation.settle` draws what
is missing. Settled, the answer depends on the set of readings alone, not on their order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from console.boatfile import Boat
from console.contract import Reading
from console.engine.run import Cancelled
from console.guard import Unwell
from console.inference.causes import CANDIDATE, Cause, Hypothesis, causes_of, pairs, singles, with_priors
from console.inference.forward import Forward, Job, instrument, own, severity
from console.inference.likelihood import Spoken, speaks, spoken
from console.inference.next_step import NextAction, NextReading, action, best, entropy, gains
from console.inference.proposals import proposed
from console.inference.readings import Given, ReadingError, Taken, readings_for, take, take_all
from console.inference.stacks import Block, Stage
from console.inference.verdict import CANNOT_TELL, Challenge, Group, challenge, groups, verdict
from console.inference.weighing import Posterior, Weighed, posterior, weigh

DRAWS = 384
AT_ONCE = 128
"""Rows of each single cause on which a new condition is answered at once."""
PAIR_ROWS = 128
ENOUGH = 80.0
"""Effective rows of a leading hypothesis below which more are drawn."""
IN_THE_RUNNING = 6.0
"""Hypotheses this far (in log posterior) below the best get no further rows."""
MOST_STAGES = 3
MOST_PAIRS = 40
LAST_WORD = 0.97
FEWEST_CAUSES = 2
"""With fewer there is nothing to weigh one against."""

Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the readings tell. ``settled``: no more draws would be made for them."""

    complaint: str
    taken: tuple[Taken, ...]
    verdict: str
    chance: float
    presence: dict[str, tuple[float, float]]
    inseparable: tuple[Group, ...]
    challenged: Challenge | None
    next_reading: NextReading | None
    next_action: NextAction | None
    effective: float
    settled: bool
    hazards: tuple[str, ...]
    unwell: tuple[Unwell, ...] = ()


@dataclass
class _Rows:
    """What is kept between questions: the rows of every block, and the pairs tried."""

    blocks: dict[Key, Block] = field(default_factory=dict)
    tried: tuple[Hypothesis, ...] = ()
    settled: bool = False


class Consultation:
    """The causes of one complaint on one boat, and the readings taken so far."""

    def __init__(
        self, boat: Boat, complaint: str = "", given: Iterable[Given] = (), *, draws: int = DRAWS,
        cannot: Iterable[str] = (), cancelled: Callable[[], bool] | None = None,
    ) -> None:  # fmt: skip
        """Raises `ReadingError` with one sentence when something given cannot be taken."""
        self.draws, self._cancelled = draws, cancelled
        self._file = boat
        self._given: list[Given] = list(given)
        self.boat, self.complaint, self.taken = take_all(boat, self._given, complaint)
        self._cannot: set[str] = set()
        self._forward: Forward | None = None
        self._rows = _Rows()
        self._posterior: Posterior | None = None
        self._said: dict[Key, tuple[tuple[int, tuple[Taken, ...]], list[Spoken]]] = {}
        for name in cannot:
            self.cannot(name)

    # --- what the owner says -----------------------------------------------------------------

    def add(self, name: str, text: str) -> None:
        """One more reading (in place of an earlier one of the same name, events apart).

        A new piece of evidence re-weighs the rows there are; a condition or a fact of the boat
        asks for new ones, which `result` draws for single causes and `settle` for all.
        """
        known = readings_for(self.boat, self.complaint)
        replaces = name in known and known[name][1].role != "event"
        kept = [each for each in self._given if not (replaces and each[0] == name)]
        self._take([*kept, (name, text)])

    def remove(self, name: str) -> None:
        """Take a reading back."""
        self._take([each for each in self._given if each[0] != name])

    def cannot(self, name: str) -> None:
        """The owner cannot, or will not, take this reading. Raises `ReadingError` for no reading."""
        known = readings_for(self.boat, self.complaint)
        if name not in known:
            take(self.boat, self.complaint, name, "")
        self._cannot.add(name)

    def can(self, name: str) -> None:
        """Take back `cannot`."""
        self._cannot.discard(name)

    def _take(self, given: list[Given]) -> None:
        boat, _, taken = take_all(self._file, given, self.complaint)
        facts = [
            (p, e.measure) for p, e in boat.inputs.items()
            if e.measure != (was.measure if (was := self.boat.inputs.get(p)) else None)
        ]  # fmt: skip
        if facts:
            self._forward = None
            self._rows = _Rows()
        elif _conditions(taken) != _conditions(self.taken):
            self._rows = _Rows()
        self._rows.settled = False
        self.boat = boat if facts else self.boat
        self._given, self.taken, self._posterior = given, taken, None

    # --- what it makes of it -----------------------------------------------------------------

    @property
    def forward(self) -> Forward:
        """The boat without causes and its day; made when first asked for."""
        if self._forward is None:
            healthy, causes = causes_of(self.boat, self.complaint)
            if len(causes) < FEWEST_CAUSES:
                raise ReadingError(
                    f"too little that is aboard and loaded knows of the complaint {self.complaint}"
                )
            self._forward = Forward(healthy, self.complaint, causes, self.draws)
        return self._forward

    @property
    def causes(self) -> dict[str, Cause]:
        """The causes this boat can have, by key."""
        return {cause.key: cause for cause in self.forward.causes}

    @property
    def alone(self) -> tuple[Hypothesis, ...]:
        """Each cause alone, with its prior under the events told."""
        return singles(self.forward.causes, self.taken)

    def said(self, block: Block) -> list[Spoken]:
        """What the readings say of a block's rows."""
        kept = self._said.get(block.key)
        if kept is None or kept[0] != (block.size, self.taken):
            kept = self._said[block.key] = ((block.size, self.taken), spoken(block, self.taken))
        return kept[1]

    def posterior(self) -> Posterior:
        """Probabilities from the rows there are; draws a first few when there are none."""
        if self._posterior is None:
            self._first(AT_ONCE)
            hypotheses = [*self.alone, *with_priors(self._rows.tried, self.alone)]
            said = {key: self.said(block) for key, block in self._rows.blocks.items()}
            self._posterior = posterior([
                weigh(h, self._rows.blocks[h.block], said[h.block]) for h in hypotheses
                if h.block in self._rows.blocks
            ])  # fmt: skip
        return self._posterior

    def settle(self) -> Diagnosis:
        """Draw all that these readings ask for, and answer. Raises `Cancelled` when told to."""
        if not self._rows.settled:
            self._rows = _Rows()
            self._posterior = None
            self._first(self.draws)
            self._refine(self.alone)
            likely = frozenset(k for k, p in self.posterior().causes().items() if p >= CANDIDATE)
            self._rows.tried = self._pairs(likely)
            self._posterior = None
            if self._rows.tried:
                self._draw(self._rows.tried, PAIR_ROWS)
                self._posterior = None
                self._refine(self._rows.tried)
            self._posterior = None
            self._rows.settled = True
        return self.result()

    def _pairs(self, likely: frozenset[str]) -> tuple[Hypothesis, ...]:
        """The pairs to try: the likeliest by what their causes are alone."""
        chances = self.posterior().causes()
        made = pairs(self.alone, likely)

        def hope(pair: Hypothesis) -> float:
            return -max(chances.get(k, 0.0) for k in pair.keys) - 1e-3 * math.exp(pair.log_prior)

        return tuple(sorted(made, key=lambda pair: (hope(pair), sorted(pair.keys)))[:MOST_PAIRS])

    def _first(self, rows: int) -> None:
        every = [Hypothesis((), 0.0), *self.alone]  # good order is what reasons are told against
        missing = [h for h in every if h.block not in self._rows.blocks]
        if missing:
            self._draw(missing, rows)

    def _draw(self, hypotheses: Sequence[Hypothesis], rows: int) -> None:
        """First rows, straight from the prior: the same base draws for every cause."""
        jobs: dict[Key, Job] = {}
        for hypothesis in hypotheses:
            if hypothesis.block in jobs or hypothesis.block in self._rows.blocks:
                continue
            taken = np.arange(1, min(rows, self.draws) + 1, dtype=np.intp)
            jobs[hypothesis.block] = Job(_altering(hypothesis), Stage(taken))
        self._run(jobs)

    def _run(self, jobs: dict[Key, Job]) -> None:
        if self._cancelled is not None and self._cancelled():
            raise Cancelled
        self.forward.run(list(jobs.values()), self.taken)
        for key, job in jobs.items():
            block = self._rows.blocks.setdefault(key, Block(key, self.draws))
            block.stages.append(job.stage)

    def _refine(self, hypotheses: Sequence[Hypothesis]) -> None:
        """More rows near the readings for every hypothesis still in the running and thin."""
        for _ in range(MOST_STAGES):
            self._posterior = None
            found = self.posterior()
            top = max(each.log_posterior for each in found.weighed)
            wanted = {h.block for h in hypotheses}
            jobs: dict[Key, Job] = {}
            for each in found.weighed:
                key = each.hypothesis.block
                thin = each.size < ENOUGH and each.log_posterior > top - IN_THE_RUNNING
                if key not in wanted or key in jobs or not thin:
                    continue
                stage = self._stage(each.hypothesis, each.block)
                if stage is not None:
                    jobs[key] = Job(_altering(each.hypothesis), stage)
            if not jobs:
                return
            self._run(jobs)
        self._posterior = None

    def _stage(self, hypothesis: Hypothesis, block: Block) -> Stage | None:
        severities = [severity(cause) for cause in hypothesis.causes if cause.change.severity]
        numeric = [each.reading for each in self.taken if each.reading.unit]
        biases = sorted({instrument(r) for r in numeric})
        owns = sorted(own(r) for r in numeric if r.role == "condition")
        paths = [*self.forward.latents, *severities, *biases, *owns]
        rows = self.draws if len(hypothesis.causes) == 1 else self.draws // 2
        return proposed(block, self.said(block), paths, severities, rows)

    # --- what follows ------------------------------------------------------------------------

    def open_readings(self) -> tuple[dict[str, Reading], dict[str, Reading]]:
        """The readings not taken that the owner can take, and those that are barred to them."""
        names = {each.name for each in self.taken}
        barred_hazards = self.forbidden()
        free: dict[str, Reading] = {}
        barred: dict[str, Reading] = {}
        for name, (_, reading) in sorted(self.forward.readings.items()):
            if name in names or self.complaint not in reading.complaints:
                continue
            shut = name in self._cannot or barred_hazards.intersection(reading.hazards)
            (barred if shut else free)[name] = reading
        return free, barred

    def forbidden(self) -> frozenset[str]:
        """Hazards of which no step may now be offered: a stiff seacock forbids what opens the line."""
        return frozenset(
            hazard
            for each in self.taken
            for choice, hazard in each.reading.forbids
            if choice == each.choice
        )

    def result(self) -> Diagnosis:
        """What the readings tell, from the rows there are."""
        found = self.posterior()
        names = frozenset(each.name for each in self.taken)
        free, barred = self.open_readings()
        said = {each.hypothesis.block: self.said(each.block) for each in found.weighed}
        doubt = challenge(found, said, self.without)
        together = groups(found, free, barred, names)
        # What is likely beforehand is no verdict: something must have been looked at.
        told = verdict(found, together) if any(self._speaks(each) for each in self.taken) else CANNOT_TELL
        following = best(gains(found, free, names))
        if doubt is not None:
            told, again = self._doubted(doubt, told)
            following = again or following
        presence = {key: found.presence(key) for key in found.causes()}
        chances = {key: chance for key, (chance, _) in presence.items()}
        done = names | self._cannot
        if told in chances and chances[told] >= LAST_WORD and doubt is None:
            following = None
        acting = action(self.causes, chances, done, self.forbidden(), following) if doubt is None else None
        chance = found.presence(*told.split(" or "))[0] if told != CANNOT_TELL else 0.0
        return Diagnosis(
            self.complaint, self.taken, told, chance, presence, together, doubt, following, acting,
            min((w.size for w, p in zip(found.weighed, found.probability, strict=True) if p > 0.2), default=0.0),
            self._rows.settled, self._hazards(told, chances, following, acting), tuple(self.forward.unwell),
        )  # fmt: skip

    def _speaks(self, taken: Taken) -> bool:
        names = frozenset(each.name for each in self.taken)
        return bool(taken.reading.role != "event" and (taken.reading.choices or speaks(taken, names)))

    def _doubted(self, doubt: Challenge, told: str) -> tuple[str, NextReading | None]:
        """The verdict that stands without whichever suspect is the wrong one, and the reading to repeat."""
        without = {name: self.without(name) for name in doubt.readings}
        verdicts = {next(iter(p.causes())) for p in without.values() if max(p.causes().values()) > 0.5}
        decided = len(verdicts) == 1 and all(max(p.causes().values()) > 0.5 for p in without.values())
        if not doubt.readings or not decided:
            told = CANNOT_TELL
        else:
            told = verdicts.pop()
        again = [
            self.forward.readings[name][1]
            for name in doubt.readings
            if name in self.forward.readings and name not in self._cannot
        ]
        if not again:
            return told, None
        quickest = min(again, key=lambda reading: (bool(reading.hazards), reading.minutes, reading.name))
        bits = entropy(1.0 / max(len(doubt.readings), 2))
        return told, NextReading(quickest, bits, quickest.minutes, again=True)

    def sound(self) -> Weighed | None:
        """The boat in good order, its rows as likely as before any reading; None when it was not run."""
        block = self._rows.blocks.get(())
        if block is None:
            return None
        return weigh(Hypothesis((), 0.0), block, ())

    def without(self, name: str) -> Posterior:
        """The posterior as if a reading had not been compared with anything."""
        found = self.posterior()
        said = {
            each.hypothesis.block: [s for s in self.said(each.block) if s.name != name]
            for each in found.weighed
        }
        return posterior([weigh(w.hypothesis, w.block, said[w.hypothesis.block]) for w in found.weighed])

    def _hazards(
        self, told: str, chances: dict[str, float], following: NextReading | None, acting: NextAction | None
    ) -> tuple[str, ...]:
        keys: list[str] = []
        if following is not None:
            keys.extend(following.reading.hazards)
        if acting is not None:
            keys.extend(acting.cause.change.hazards)
        for key in chances:
            if key in told.split(" or ") or chances[key] >= 0.25:
                keys.extend(self.causes[key].change.hazards)
        return tuple(dict.fromkeys(keys))


def _conditions(taken: Sequence[Taken]) -> tuple[tuple[str, float, str], ...]:
    return tuple((t.name, t.value, t.choice) for t in taken if t.reading.role == "condition")


def _altering(hypothesis: Hypothesis) -> tuple[Cause, ...]:
    return tuple(cause for cause in hypothesis.causes if cause.change.alters)
