"""How often the console names the right cause of simulated boats, beside the best anyone could do.

    python -m tests.inference.recovery [BOATS]

prints the table of the contributors' manual.
"""

from __future__ import annotations

import itertools
import sys
from dataclasses import dataclass, field

import numpy as np

from console.inference import Consultation
from console.inference.consultation import DRAWS
from tests.inference.fleet import FREQUENCY, OWNERS_FILES, SUBSYSTEM, Case, Fleet, owners_boat

BOATS = 500
EDGES = (0.0, 0.1, 0.3, 0.5, 0.7, 0.85, 1.0001)


@dataclass
class Score:
    """What a judge of cases (the console, or the simulator itself) got right."""

    name: str
    first: list[bool] = field(default_factory=list)
    second: list[bool] = field(default_factory=list)
    subsystem: list[bool] = field(default_factory=list)
    brier: list[float] = field(default_factory=list)
    claims: list[tuple[float, bool]] = field(default_factory=list)

    def judge(self, cause: str, chances: dict[str, float]) -> None:
        """Score one case by the chance of presence of every cause."""
        ranked = sorted(chances, key=lambda key: (-chances[key], key))
        self.first.append(ranked[0] == cause)
        self.second.append(cause in ranked[:2])
        systems: dict[str, float] = {}
        for key, chance in chances.items():
            systems[SUBSYSTEM[key]] = systems.get(SUBSYSTEM[key], 0.0) + chance
        self.subsystem.append(max(systems, key=lambda s: systems[s]) == SUBSYSTEM[cause])
        self.brier.append(sum((chances[key] - (key == cause)) ** 2 for key in chances))
        self.claims += [(chance, key == cause) for key, chance in chances.items()]

    def band(self, low: float, high: float) -> tuple[int, float, float]:
        """Claims between two chances: how many, what they said on average, and how many were right."""
        inside = [(chance, right) for chance, right in self.claims if low <= chance < high]
        if not inside:
            return 0, float("nan"), float("nan")
        said, right = np.mean([c for c, _ in inside]), np.mean([r for _, r in inside])
        return len(inside), float(said), float(right)


@dataclass
class Recovery:
    """Both judges over the same cases, and how the console's verdicts fell out."""

    console: Score
    optimum: Score
    cases: list[Case]
    verdicts: list[str]
    challenged: int


def shares(boats: int, kinds: int, causes: list[str]) -> dict[tuple[int, str], int]:
    """How many boats of each kind and cause, by the simulator's frequencies; every cause at least once."""
    total = sum(FREQUENCY[key] for key in causes)
    made = {}
    for key in causes:
        count = max(1, round(boats * FREQUENCY[key] / total))
        for kind in range(kinds):
            made[kind, key] = count // kinds + (kind < count % kinds)
    return made


def recover(
    boats: int = BOATS, salt: str = "", rows: int = 800, told=None, draws: int = DRAWS,
    kinds: int = len(OWNERS_FILES),
) -> Recovery:  # fmt: skip
    """Simulate, diagnose, and judge. ``rows`` are the simulator's own draws of each cause."""
    console, optimum = Score("console"), Score("the simulator itself")
    cases, verdicts, challenged = [], [], 0
    for kind in range(kinds):
        fleet = Fleet(kind, rows, salt)
        boat = owners_boat(kind)
        wanted = shares(boats, kinds, list(fleet.changes))
        for cause in fleet.changes:
            for case in fleet.cases(cause, wanted[kind, cause]) if wanted[kind, cause] else []:
                consultation = Consultation(boat, "climate", case.typed, draws=draws)
                found = consultation.settle()
                chances = {k: p for k, (p, _) in found.presence.items() if k in fleet.changes}
                console.judge(cause, chances)
                optimum.judge(cause, fleet.optimum(case))
                cases.append(case)
                verdicts.append(found.verdict)
                challenged += found.challenged is not None
                if told:
                    told(case, found, optimum)
    return Recovery(console, optimum, cases, verdicts, challenged)


def table(made: Recovery) -> str:
    """The figures of a recovery as the manual has them."""
    rows = ["| | console | best possible |", "|---|---|---|"]

    def row(what: str, pick) -> None:
        rows.append(f"| {what} | {pick(made.console):.3f} | {pick(made.optimum):.3f} |")

    row("right cause named first", lambda s: np.mean(s.first))
    row("right cause among the first two", lambda s: np.mean(s.second))
    row("right subsystem (water, air, refrigerant, electrical, none)", lambda s: np.mean(s.subsystem))
    row("Brier score over all causes (0 is perfect)", lambda s: np.mean(s.brier))
    named = [v == c.cause for v, c in zip(made.verdicts, made.cases, strict=True) if v in FREQUENCY]
    if named:
        rows.append(
            f"| verdicts that name one cause: share of boats | {len(named) / len(made.cases):.3f} | |"
        )
        rows.append(f"| of those, right | {np.mean(named):.3f} | |")
    rows += ["", "| claimed | claims | claimed on average | right |", "|---|---|---|---|"]
    for low, high in itertools.pairwise(EDGES):
        count, said, right = made.console.band(low, high)
        if count:
            rows.append(f"| {low:.2f} to {min(high, 1):.2f} | {count} | {said:.3f} | {right:.3f} |")
    return "\n".join(rows)


if __name__ == "__main__":
    wanted_boats = int(sys.argv[1]) if len(sys.argv) > 1 else BOATS
    print(table(recover(wanted_boats)))
