"""Two versions of the boat side by side: every question, what was stated otherwise, what moved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from console.engine.compare import Difference, compared, difference
from console.results import moved, worth_telling
from console.wording import input_name, input_text

if TYPE_CHECKING:
    from console.engine.outcome import Card, Outcome
    from console.quantities import System


@dataclass(frozen=True, slots=True)
class Pair:
    """One question in both versions, and the change of its number on common draws."""

    before: Card
    now: Card
    change: Difference | None
    moved: bool

    @property
    def rank(self) -> tuple[bool, float]:
        """What moved most stands first: another urgency, then the largest share of itself."""
        same = self.before.answer.urgency == self.now.answer.urgency
        d = self.change
        size = max(abs(d.before), abs(d.after)) if d else 0.0
        return same, -abs(d.change) / size if d and size else 0.0


@dataclass(frozen=True, slots=True)
class Stated:
    """An input that is another one: its name, and what each version says ("" where it has none)."""

    name: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class Versions:
    """The comparison: ``figures`` moved, largest share of themselves first; ``hardly`` more a little."""

    before: Outcome
    now: Outcome
    pairs: tuple[Pair, ...]
    stated: tuple[Stated, ...]
    figures: tuple[Difference, ...]
    hardly: int


def versions(before: Outcome, now: Outcome, system: System) -> Versions:
    """Compare two outcomes of common draws, question by question and figure by figure.

    Both must still hold their arrays (`Outcome.ran`). The questions that moved most stand first.
    """
    assert before.ran is not None
    assert now.ran is not None
    old = {card.question.key: card for card in before.cards}
    pairs = []
    for card in now.cards:
        was = old.get(card.question.key)
        if was is None:
            continue
        number = card.figure or was.figure
        change = difference(before.ran, now.ran, number.name) if number else None
        old_answer, new_answer = was.answer, card.answer
        said = (old_answer.verdict, old_answer.urgency) != (new_answer.verdict, new_answer.urgency)
        pairs.append(
            Pair(was, card, change, said or (change is not None and worth_telling(change, system)))
        )
    pairs.sort(key=lambda pair: pair.rank)
    found, hardly = moved(compared(before.ran, now.ran), system)
    return Versions(before, now, tuple(pairs), _stated(before, now, system), tuple(found), hardly)


def _stated(before: Outcome, now: Outcome, system: System) -> tuple[Stated, ...]:
    made = []
    was, is_now = before.boat.inputs, now.boat.inputs
    for path in dict.fromkeys([*is_now, *was]):
        old, new = was.get(path), is_now.get(path)
        if path.startswith("jobs."):
            continue  # what a job costs and when it is due moves no number
        if (old is None or old.origin == "assumed") and (new is None or new.origin == "assumed"):
            continue  # nobody stated it in either: what follows from other inputs moves with them
        texts = (
            input_text(old, system, before.numbers) if old else "",
            input_text(new, system, now.numbers) if new else "",
        )
        entry = new or old
        if texts[0] != texts[1] and entry is not None:
            made.append(Stated(input_name(entry), *texts))
    return tuple(made)


__all__ = ["Pair", "Stated", "Versions", "versions"]
