"""The boat on the desk: what is being edited, what can be undone, what it changed.

Plain state without a screen. The boat itself never changes; each edit puts a new one on the
desk, so undoing is taking the old one back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.engine.gains import Weighed
    from console.engine.outcome import Card, Outcome
    from console.noted_jobs import Field
    from console.quantities import System
    from console.versions import Versions


DEMO = "demo boat"


@dataclass(frozen=True, slots=True)
class Step:
    """One edit: the boats on either side of it and what it was, in words."""

    before: Boat
    after: Boat
    path: str
    said: str


@dataclass(frozen=True, slots=True)
class Move:
    """One question's card before the last edit and after it (the same one when nothing is new)."""

    before: Card
    now: Card

    @property
    def moved(self) -> bool:
        """Whether the number, the urgency or the verdict is another one than before the edit."""
        was, is_now = self.before.answer, self.now.answer
        return (
            _differ(_value(self.before), _value(self.now))
            or was.urgency != is_now.urgency
            or was.verdict != is_now.verdict
        )


@dataclass(slots=True)
class Answers:
    """The answers to one boat: of the quick run without ranges, and of the fine one with them."""

    quick: Outcome | None = None
    fine: Outcome | None = None
    helps: dict[str, Weighed] = field(default_factory=dict)
    """What the changes of a question would give, once that was asked for."""
    versions: Versions | None = None
    """The comparison with another version of the boat, once that was asked for."""
    weighed: Weighed | None = None
    """What every change would give, over all questions, once that was asked for."""

    @property
    def best(self) -> Outcome | None:
        """The fine answers, else the quick ones."""
        return self.fine or self.quick


def _value(card: Card) -> float | None:
    return None if card.figure is None else card.figure.value


def _differ(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is not other
    return not math.isclose(one, other, rel_tol=1e-6, abs_tol=1e-12)


class Desk:
    """The boat being edited, with undo and redo, and the answers before and after an edit.

    ``home`` is the file it is saved to; None for the bundled boat and for a new one, until the owner
    names one. ``called`` says meanwhile which of the two it is.
    """

    def __init__(self, boat: Boat, home: Path | None, called: str = DEMO) -> None:
        self.boat = boat
        self.home = home
        self.called = called
        self._saved = boat
        self._disk_text: str | None = boat.text if home is not None else None
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self.now = Answers()
        self.before = Answers()

    # --- editing ----------------------------------------------------------------------------

    @property
    def is_demo(self) -> bool:
        """Whether it is the bundled boat, and nobody has made a file of her."""
        return self.home is None and self.called == DEMO

    @property
    def unsaved(self) -> bool:
        """Whether the boat differs from what was last read or saved."""
        return not _same(self.boat, self._saved)

    @property
    def saved(self) -> Boat:
        """The boat as it was last read or saved."""
        return self._saved

    @property
    def before_edit(self) -> Boat | None:
        """The boat before the last edit that is not undone; None when there is none."""
        return self._undo[-1].before if self._undo else None

    @property
    def can_undo(self) -> bool:
        """Whether there is an edit to take back."""
        return bool(self._undo)

    @property
    def can_redo(self) -> bool:
        """Whether there is an undone edit to put back."""
        return bool(self._redo)

    def edit(self, path: str, text: str) -> bool:
        """Put what the owner typed at ``path``; False when it is what was there already.

        Raises `BoatFileError` with one sentence, and nothing has changed then.
        """
        return self._put(path, self.boat.with_edit(path, text), "changed")

    def back_to_assumed(self, path: str) -> bool:
        """Take the owner's own value away, so that the usual one is assumed again."""
        return self._put(path, self.boat.without(path), "back to assumed")

    def put_aboard(self, path: str) -> bool:
        """Add a table that is not aboard, so that the average one is assumed.

        Raises `BoatFileError` with one sentence.
        """
        return self._put(path, self.boat.with_table(path), "put aboard")

    def try_on(self, keys: tuple[str, ...], system: System) -> bool:
        """Put some changes on the boat, named as the console names them.

        Raises `BoatFileError` or `GuardError` with one sentence, and nothing has changed then.
        """
        from console.engine.changes import key_of, of_kind
        from console.engine.trying import with_changes

        chosen = [each for each in of_kind(self.boat, "action") if key_of(*each) in keys]
        return self._put("", with_changes(self.boat, chosen, system), "tried")

    def note_job(self, key: str, name: str, field: Field, typed: str) -> bool:
        """Note what a job costs or when it is due; nothing typed takes the note away.

        Raises `BoatFileError` with one sentence, and nothing has changed then.
        """
        from console.noted_jobs import LIST, with_note

        weighed = self.now.weighed
        done = self._put(LIST, with_note(self.boat, key, name, field, typed), "noted")
        self.now.weighed = weighed  # a note changes no number
        return done

    def begin(self, boat: Boat, path: str) -> bool:
        """Put another boat on the desk, as an edit of the input at ``path``."""
        return self._put(path, boat, "answered")

    def _put(self, path: str, boat: Boat, said: str) -> bool:
        if _same(boat, self.boat):
            return False
        self._undo.append(Step(self.boat, boat, path, said))
        self._redo.clear()
        self._swap(boat)
        return True

    def undo(self) -> Step | None:
        """Take the last edit back; None when there is none."""
        if not self._undo:
            return None
        step = self._undo.pop()
        self._redo.append(step)
        self._swap(step.before)
        return step

    def redo(self) -> Step | None:
        """Put the last undone edit back; None when there is none."""
        if not self._redo:
            return None
        step = self._redo.pop()
        self._undo.append(step)
        self._swap(step.after)
        return step

    def _swap(self, boat: Boat) -> None:
        # Two edits quicker than the answers: the comparison stays with the last answered boat.
        if self.now.best is not None:
            self.before = self.now
        self.boat = boat
        self.now = Answers()

    # --- answers ----------------------------------------------------------------------------

    def note(self, outcome: Outcome) -> bool:
        """Take the answers of a run; False when they are of a boat no longer on the desk."""
        if not _same(outcome.boat, self.boat):
            return False
        if outcome.draws:
            self.now.fine = outcome
        else:
            self.now.quick = outcome
        return True

    def note_helps(self, boat: Boat, question: str, weighed: Weighed) -> bool:
        """Take what the changes of a question give; False when that is of another boat."""
        if boat is not self.boat:
            return False
        self.now.helps[question] = weighed
        return True

    def note_versions(self, made: Versions) -> bool:
        """Take a comparison; False when it is of answers no longer the newest."""
        if made.now is not self.now.fine:
            return False
        self.now.versions = made
        return True

    def note_weighed(self, boat: Boat, weighed: Weighed) -> bool:
        """Take what every change gives; False when that is of another boat."""
        if boat is not self.boat:
            return False
        self.now.weighed = weighed
        return True

    def forget_before(self) -> None:
        """Compare no more with the boat before the last edit (its sentences are in other units)."""
        self.before = Answers()

    @property
    def known(self) -> Answers:
        """The quick and the fine answers nearest to the boat on the desk, for what stays the same."""
        now, before = self.now, self.before
        return Answers(now.quick or before.quick, now.fine or before.fine)

    @property
    def latest(self) -> Outcome | None:
        """The newest answers there are, be they of the boat before the edit."""
        return self.now.best or self.before.best

    def moves(self) -> tuple[Move, ...]:
        """What the last edit did to each question, in the order of the cards.

        Like is compared with like: a quick run's numbers differ a little from a fine one's.
        """
        now, before = self.latest, None
        if self.now.fine and self.before.fine:
            now, before = self.now.fine, self.before.fine
        elif self.now.quick and self.before.quick:
            now, before = self.now.quick, self.before.quick
        if now is None:
            return ()
        old = {card.question.key: card for card in before.cards} if before else {}
        return tuple(Move(old.get(card.question.key, card), card) for card in now.cards)

    # --- the file ---------------------------------------------------------------------------

    def in_the_way(self, path: Path) -> bool:
        """Whether saving to ``path`` would destroy something this desk neither read nor wrote."""
        try:
            text = path.read_text(encoding="utf-8")
        except FileNotFoundError:
            return False
        except (OSError, UnicodeDecodeError):
            return True
        return path != self.home or text != self._disk_text

    def save(self, path: Path) -> None:
        """Write the boat to ``path``, which is its home from now on.

        Raises `BoatFileError` with one sentence; the edits stay on the desk then.
        """
        from console.boatfile import save

        self.boat = save(self.boat, path)
        self.home = self.boat.path
        self._saved = self.boat
        self._disk_text = self.boat.text


def _same(one: Boat, other: Boat) -> bool:
    """Whether two boats say the same (their texts would, too, but cost ten times as much)."""
    return one is other or dict(one.inputs) == dict(other.inputs)


def place(path: str) -> str:
    """Where on the boat an input belongs, in plain words: ``"seacock to strainer"`` or ``""``."""
    middle = path.split(".")[1:-1]
    return middle[-1].replace("_", " ") if middle else ""
