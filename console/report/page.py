"""The page as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from console.engine import Outcome, Unwell
from console.engine.gains import Weighed
from console.pictures.dates import MONTHS
from console.quantities import System
from console.report.answers import answer_html, contents
from console.report.html import tag, text
from console.report.inputs import inputs_html
from console.report.style import report_style
from console.wording import Numbers, sentence

MARK = '<meta name="generator" content="boat-console report">'
"""What tells a page of ours from any other file."""


def report_html(
    outcome: Outcome,
    system: System,
    written: date,
    weighed: Weighed | None = None,
    changed: Sequence[str] = (),
) -> str:
    """The whole page of a run, in the owner's units.

    ``weighed`` is what each change would give, where that was asked for; ``changed`` are the
    inputs that were set for this run alone, as they were typed.
    """
    boat = outcome.boat
    numbers: Numbers = outcome.numbers
    name = text(boat.name)
    day = f"{written.day} {MONTHS[written.month - 1]} {written.year}"
    gains = weighed.gains if weighed else ()
    body = [
        tag("h1", name),
        tag("p", text(_how(outcome)), f" Written {day}.", cls="quiet"),
        _changed(changed),
        contents(outcome.cards, system),
        *(answer_html(card, boat, numbers, system, gains, weighed is not None) for card in outcome.cards),
        inputs_html(boat, numbers, system),
        _notes(outcome.warnings, [*outcome.unwell, *(weighed.unwell if weighed else ())]),
        tag(
            "footer",
            tag("p", "Guidance, not a survey. Local codes and licensed practice come before anything said here.",
                cls="quiet"),
        ),
    ]  # fmt: skip
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"{MARK}<title>{name}: the boat's answers</title><style>{report_style()}</style></head>\n"
        f"<body>{_lines(body)}</body></html>\n"
    )


def _lines(parts: Sequence[str]) -> str:
    return "\n".join(part for part in parts if part)


def _how(outcome: Outcome) -> str:
    if not outcome.draws:
        return "The nominal boat alone: no ranges were worked out."
    return (
        "Each number is the likeliest, and in brackets the range it falls in nine times in ten, "
        f"from {outcome.draws:,} boats drawn from what is known of this one."
    )


def _changed(changed: Sequence[str]) -> str:
    if not changed:
        return ""
    items = [tag("li", text(each)) for each in changed]
    return tag("p", tag("strong", "Not the boat as it stands in its file. "), "Set for this page:") + tag(
        "ul", *items
    )


def _notes(warnings: Sequence[str], unwell: Sequence[Unwell]) -> str:
    out = []
    if warnings:
        out += [tag("h2", "Warnings"), tag("ul", *(tag("li", text(sentence(each))) for each in warnings))]
    if unwell:
        seen = dict.fromkeys((each.plugin, each.stage, each.error) for each in unwell)
        items = [tag("li", text(f"{plugin}, {stage}: {error}")) for plugin, stage, error in seen]
        out += [
            tag("h2", "Not working"),
            tag("p", "What these would have said is missing above; the rest stands.", cls="quiet"),
            tag("ul", *items),
        ]
    return "".join(out)
