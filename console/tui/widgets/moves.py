"""What the last edit did to every answer: old → new, for each question."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import Static

from console.contract import Urgency
from console.tui.words import (
    URGENCY_MARKS,
    URGENCY_STYLES,
    URGENCY_WORDS,
    change_text,
    line,
    lines_of,
    sentence,
    short,
)

if TYPE_CHECKING:
    from console.desk import Move
    from console.quantities import System


class MovesView(Static):
    """The strip beside (or below) the boat: the answers that moved stand first."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__("", markup=False, id=id)

    def show(self, moves: Sequence[Move], system: System, fresh: bool, beside: bool) -> None:
        """Write the strip anew.

        ``fresh`` is False while the new numbers are on their way; ``beside`` that the strip
        stands beside the boat, narrow and high, not below it.
        """
        if not moves:
            self.update(line(("The answers are being worked out.", "$quiet")))
            return
        told = [(move, change_text(move.before.figure, move.now.figure, system)) for move in moves]
        told.sort(key=lambda each: not _seen_to_move(*each))
        any_moved = _seen_to_move(*told[0])
        edited = any(move.before is not move.now for move in moves)
        head = "Answers, old → new" if any_moved else "Answers: none moved" if edited else "Answers"
        rows = [
            line(
                (head, "bold $key"),
                ("" if fresh else "  working…", "$quiet"),
            )
        ]
        for move, said in told:
            rows += self._rows(move, said, beside)
        self.update(lines_of(rows))

    def _rows(self, move: Move, said: str, beside: bool) -> list[Content]:
        card, moved = move.now, _seen_to_move(move, said)
        urgency, was = Urgency(card.answer.urgency), Urgency(move.before.answer.urgency)
        mark = (f"{URGENCY_MARKS[urgency]} ", URGENCY_STYLES[urgency])
        if not said and moved:
            said = sentence(card.answer.verdict)
        before = f"  was {URGENCY_WORDS[was]}" if was is not urgency else ""
        title, quiet = card.question.title, "" if moved else "$quiet"
        number = (said, "bold" if moved else "")
        if beside:
            rows = [line(mark, (title, quiet), (before, "$quiet"))]
            return [*rows, line("  ", number)] if said else rows
        room = max(self.size.width - len(said) - len(before) - 5, 10)
        return [line(mark, number, (before, "$quiet"), "  " if said else "", (short(title, room), quiet))]


def _seen_to_move(move: Move, said: str) -> bool:
    """Whether somebody reading the strip sees a change: more than digits nobody reads."""
    was, now = move.before.answer, move.now.answer
    return "→" in said or was.urgency != now.urgency or (not said and was.verdict != now.verdict)
