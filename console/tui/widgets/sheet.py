"""A job sheet in words: what it gives, cautions, parts, steps, proof."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from console.tui.guarded import Guarded
from console.tui.widgets.job_list import minutes_text
from console.tui.words import line, lines_of, sentence

if TYPE_CHECKING:
    from console.inference.job_sheet import Sheet
    from console.jobs import Job
    from console.quantities import System

HANDS = {"owner": "You, by your own hands", "licensed": "Licensed hands"}
BOAT = {"afloat": "afloat", "hauled_out": "hauled out"}
LAST = "Guidance, not a survey; local codes and licensed practice come before anything said here."


class TryRow(Guarded, Static, can_focus=True):
    """Puts the job on the boat, to see what becomes of every answer."""

    BINDINGS = [Binding("enter", "try_it", "Try it on the boat")]  # noqa: RUF012

    class TryIt(Message):
        """The owner wants to see the boat with the job done."""

    def __init__(self, id: str | None = None) -> None:
        text = line(
            ("▸ Try it on the boat", "bold $key"), ("  nothing is saved; Ctrl+Z takes it back", "$quiet")
        )
        super().__init__(text, markup=False, id=id)

    def action_try_it(self) -> None:
        self.post_message(self.TryIt())

    def on_click(self) -> None:
        self.action_try_it()


def head_of(job: Job, system: System) -> Content:
    """What the job is, who does it and where, why, and what it gives."""
    from console.jobs import due_text
    from console.results import moved_text

    change, noted = job.change, job.noted
    facts = [f"{HANDS[change.who]}, {BOAT[change.where]}"]
    if change.minutes:
        facts.append(f"about {minutes_text(change.minutes)}")
    facts.append(f"cost {noted.cost_text}" if noted and noted.cost is not None else "no cost noted")
    if noted and noted.due is not None:
        from console.jobs import Due

        facts.append(f"due {due_text(Due('', on=noted.due), system)}")
    rows = [line((sentence(job.gain.title), "bold")), line(("; ".join(facts), "$quiet"))]
    if change.why:
        rows.append(line(sentence(change.why)))
    rows += [line(""), line(("What it gives on this boat", "bold $key"))]
    for effect in job.gain.told:
        rows.append(line("  ", (moved_text(effect, system), "bold")))
        rows.append(line(("  " + sentence(effect.meaning), "$quiet")))
    if job.cards:
        titles = " · ".join(card.question.title for card in job.cards)
        rows.append(line(("For: ", "$quiet"), titles))
    return lines_of(rows)


def rest_of(sheet: Sheet) -> Content:
    """What to mind, to have at hand and to do, and what proves that it worked."""
    rows: list[Content] = []
    if sheet.cautions:
        rows.append(line(("⚠ Mind this before the first step", "bold $watch")))
        for caution in sheet.cautions:
            defer = f"  ({caution.defer_to})" if caution.defer_to else ""
            rows.append(line(("• ", "bold $watch"), sentence(caution.text), (defer, "$quiet")))
        rows.append(line(""))
    if sheet.parts:
        rows.append(line(("Have at hand", "bold $key")))
        for count, name, size in sheet.parts:
            many = f"{count} × " if count > 1 else ""
            rows.append(line(f"• {many}{name}", (f", {size}" if size else "", "bold")))
        rows.append(line(""))
    if sheet.steps:
        rows.append(line(("How", "bold $key")))
        rows += [
            line((f"{number}. ", "bold"), sentence(step)) for number, step in enumerate(sheet.steps, 1)
        ]
        rows.append(line(""))
    if sheet.proof:
        rows.append(line(("Proof that it worked", "bold $key")))
        rows.append(line(sentence(sheet.proof.replace("_", " "))))
        if sheet.proof_how:
            rows.append(line((sentence(sheet.proof_how), "$quiet")))
        rows.append(line(("Write what it reads into the log.", "$quiet")))
        rows.append(line(""))
    rows.append(line((LAST, "$quiet")))
    return lines_of(rows)
