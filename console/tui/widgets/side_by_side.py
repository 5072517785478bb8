"""Two versions of every question beside each other, in words."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from textual.content import Content

from console.contract import Urgency
from console.tui.words import (
    URGENCY_MARKS,
    URGENCY_STYLES,
    figure_text,
    line,
    sentence,
)

if TYPE_CHECKING:
    from console.engine.outcome import Card
    from console.quantities import System
    from console.versions import Pair, Versions

MOST_STATED = 10
MOST_FIGURES = 30
GAP = 2


def stated_rows(made: Versions) -> list[Content]:
    """What one version states otherwise than the other."""
    if not made.stated:
        return []
    rows = [line(("What is different", "bold $key"))]
    for each in made.stated[:MOST_STATED]:
        rows.append(
            line(
                "  ",
                (f"{each.name}: ", "$quiet"),
                each.before or "not there",
                " → ",
                (each.now or "not there", "bold"),
            )
        )
    if len(made.stated) > MOST_STATED:
        rows.append(line((f"  and {len(made.stated) - MOST_STATED} more", "$quiet")))
    return [*rows, line("")]


def pair_rows(made: Versions, system: System, width: int) -> list[Content]:
    """Every question: those that moved in two columns, the rest on one line each."""
    column = (width - GAP) // 2
    rows = [
        line(("Answers that moved", "bold $key")),
        line(("before".ljust(column + GAP), "$quiet"), ("on the desk", "$quiet")),
    ]
    changed = [pair for pair in made.pairs if pair.moved]
    for pair in changed:
        rows += _both(pair, system, column)
    if not changed:
        rows = [line(("No answer moved", "bold $key"))]
    same = [pair for pair in made.pairs if not pair.moved]
    if same:
        rows.append(line(("The same in both", "bold $key")))
        for pair in same:
            number = figure_text(pair.now.figure, system)
            mark = URGENCY_MARKS[Urgency(pair.now.answer.urgency)]
            style = URGENCY_STYLES[Urgency(pair.now.answer.urgency)]
            rows.append(line((f"{mark} ", style), (pair.now.question.title, "$quiet"), f"  {number}"))
    return [*rows, line("")]


def _both(pair: Pair, system: System, column: int) -> list[Content]:
    rows = [line((pair.now.question.title, "bold"))]
    left, right = (_version(card, system, column) for card in (pair.before, pair.now))
    for one, other in zip_longest(left, right, fillvalue=line("")):
        pad = " " * (column + GAP - one.cell_length)
        rows.append(Content.assemble(one, pad, other))
    if pair.change is not None:
        from console.results import change_text

        rows.append(line(("change  ", "$quiet"), (change_text(pair.change, system), "bold")))
    return [*rows, line("")]


def _version(card: Card, system: System, column: int) -> list[Content]:
    from console.tui.widgets.card import badge

    rows = [badge(Urgency(card.answer.urgency))]
    rows += line(sentence(card.answer.verdict)).wrap(column)
    number = figure_text(card.figure, system)
    if number:
        rows += line((number, "bold")).wrap(column)
    return rows


def figure_rows(made: Versions, system: System) -> list[Content]:
    """The figures that moved, largest share of themselves first."""
    from console.results import moved_text

    if not made.figures:
        return []
    rows = [line(("The figures that moved", "bold $key"))]
    told = made.figures[:MOST_FIGURES]
    meanings = [each.meaning for each in told]
    for each in told:
        # Of a family each has the same meaning: its own name is the last part.
        many = meanings.count(each.meaning) > 1
        part = f"{each.name.rsplit('.', 1)[-1].replace('_', ' ')}: " if many else ""
        rows.append(line((moved_text(each, system), "bold")))
        rows.append(line((f"  {part}{sentence(each.meaning)}", "$quiet")))
    more = len(made.figures) - len(told)
    if more:
        rows.append(line((f"{more} more moved by a smaller share of themselves.", "$quiet")))
    if made.hardly:
        rows.append(line((f"{made.hardly} more by less than anybody would notice.", "$quiet")))
    return rows
