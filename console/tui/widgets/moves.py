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
        moved = [move for move in moves if move.moved]
        rest = [move for move in moves if not move.moved]
        head = "Answers" if not moved else "Answers, old → new"
        rows = [line((head, "bold $key"), ("" if fresh else "  working…", "$quiet"))]
        for move in (*moved, *rest):
            rows += self._rows(move, system, move in moved, beside)
        self.update(lines_of(rows))

    def _rows(self, move: Move, system: System, moved: bool, beside: bool) -> list[Content]:
        card = move.now
        urgency = Urgency(card.answer.urgency)
        mark = (f"{URGENCY_MARKS[urgency]} ", URGENCY_STYLES[urgency])
        said = change_text(move.before.figure, card.figure, system)
        if not said:
            said = sentence(card.answer.verdict) if moved else ""
        was = Urgency(move.before.answer.urgency)
        worse = f"  was {URGENCY_WORDS[was]}" if was is not urgency else ""
        title = card.question.title
        quiet = "" if moved else "$quiet"
        if beside:
            rows = [line(mark, (title, quiet))]
            if said:
                rows.append(line("  ", (said, "bold" if moved else ""), (worse, "$quiet")))
            return rows
        room = max(self.size.width - len(said) - len(worse) - 5, 10)
        return [
            line(mark, (said, "bold" if moved else ""), (worse, "$quiet"), "  " if said else "",
                 (short(title, room), quiet))
        ]  # fmt: skip
