"""A question as it stands on the opening screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, runtime_checkable

from textual.binding import Binding
from textual.content import Content
from textual.events import Key
from textual.message import Message
from textual.widgets import Static

from console.contract import Question, Urgency
from console.tui.guarded import Guarded
from console.tui.words import (
    URGENCY_MARKS,
    URGENCY_STYLES,
    URGENCY_WORDS,
    figure_text,
    how_sure,
    line,
    lines_of,
    sentence,
)

if TYPE_CHECKING:
    from console.engine.outcome import Card
    from console.quantities import System


def badge(urgency: Urgency | None, unwell: bool = False) -> Content:
    """The mark and the word that say how bad the news is."""
    if unwell:
        return line(("✕ NOT WORKING", "bold $unknown"))
    if urgency is None:
        return line(("… ", "$key"))
    return line((f"{URGENCY_MARKS[urgency]} {URGENCY_WORDS[urgency]}", URGENCY_STYLES[urgency]))


def number_line(card: Card, system: System) -> Content | None:
    """The card's number with its range, and how sure the verdict is; None without a number."""
    number = figure_text(card.figure, system)
    sure = how_sure(card.answer.sure)
    if not number:
        return line((sure[:1].upper() + sure[1:], "$quiet")) if sure else None
    ranged = card.figure is not None and card.figure.low is not None
    rest = sure if ranged else "range on its way"
    name = f" {card.question.number}" if card.question.number else ""
    return line((number, "bold"), (name, "$quiet"), (f"   {rest}", "$quiet") if rest else "")


STEPS = {"up": (0, -1), "down": (0, 1), "left": (-1, 0), "right": (1, 0)}


@runtime_checkable
class Steps(Protocol):
    """A screen on which the arrows move from card to card."""

    def action_step(self, across: int, down: int) -> None:
        """Move the focus to the card in that direction."""


class CardView(Guarded, Static, can_focus=True):
    """One question: verdict, number with range, how sure, and the one next step."""

    BINDINGS = [Binding("enter", "open", "Open")]  # noqa: RUF012

    class Open(Message):
        """The owner wants the whole card."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, question: Question, plugin: str) -> None:
        super().__init__(self._waiting(question), markup=False, classes="card")
        self.question = question
        self.plugin = plugin
        self.order = (int(Urgency.UNKNOWN), 0)

    @staticmethod
    def _waiting(question: Question) -> Content:
        """The question alone, while the numbers are being worked out."""
        return lines_of([
            line((f"… {question.title}", "bold")),
            line(("working out the numbers", "$quiet")),
        ])  # fmt: skip

    def wait(self) -> None:
        """Show the question alone again: another boat is being read."""
        self.update(self._waiting(self.question))

    def show(self, card: Card, system: System, unwell: str, place: int) -> None:
        """Show the answer. ``unwell`` is why its plugin does not work, ``place`` its rank."""
        answer = card.answer
        broken = bool(unwell) and bool(card.missing)
        urgency = Urgency(answer.urgency)
        self.order = (place, 0)
        rows = [line(badge(urgency, broken), "  ", (card.question.title, "bold"))]
        if broken:
            rows.append(line(sentence(unwell)))
        else:
            rows.append(line(sentence(answer.verdict), ("", "")))
            number = number_line(card, system)
            if number is not None:
                rows.append(number)
        if urgency is Urgency.NOT_ABOARD and card.question.add_line:
            line_to_add = card.question.add_line
            # A list ([[...]]) has no average one to add with a key.
            ways = () if line_to_add.startswith("[[") else (("b", "bold $key"), " adds an average one; or ")
            rows.append(line(("To add it: ", "$quiet"), *ways, f"write {line_to_add} in the boat file"))
        elif answer.next and not broken:
            rows.append(line(("Next: ", "bold $key"), answer.next))
        self.update(lines_of(rows))
        for each in Urgency:
            self.set_class(each is urgency and not broken, f"-{each.name.lower().replace('_', '-')}")
        self.set_class(broken, "-unwell")

    def on_key(self, event: Key) -> None:
        # Over a slow line keys come in a bunch, all of them here, before a binding has run:
        # an arrow moves the focus at once, and Enter opens the card the owner had moved to.
        screen = self.screen
        if event.key in STEPS and isinstance(screen, Steps):
            event.stop()
            screen.action_step(*STEPS[event.key])
        elif event.key == "enter":
            event.stop()
            marked = screen.focused
            (marked if isinstance(marked, CardView) else self).action_open()

    def action_open(self) -> None:
        self.post_message(self.Open(self.question.key))

    def on_click(self) -> None:
        self.post_message(self.Open(self.question.key))
