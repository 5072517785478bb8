"""The paper log sheet: one page per system, for a pencil, a bulkhead and a wet hand.

Paper first: what was written on it may be typed in a week later, in any order, with gaps.
"""

from __future__ import annotations

import html
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from console.guard import one_line
from console.logbook.catalogue import Word, catalogue_of
from console.logbook.entry import LogError
from console.quantities import pretty_unit, shown

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.quantities import System

WIDTH, HEIGHT = 80, 66
"""Of a text page: 80 columns, and the 66 lines of a sheet at six to the inch."""

LABEL, COLUMNS, CELL = 40, 5, 8
HTML_COLUMNS = 7
ADVICE = (
    "Write what you have and leave gaps; a week late is not too late. A repair or a defrost goes below."
)
BEFORE = "Before your hands move:"


@dataclass(frozen=True, slots=True)
class SheetRow:
    """What to write: its title, and the unit or the words it is written in."""

    title: str
    written_in: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One system's page."""

    key: str
    boat: str
    system: str
    rows: tuple[SheetRow, ...]
    events: tuple[str, ...]
    cautions: tuple[str, ...]


def systems(boat: Boat) -> dict[str, str]:
    """The systems that have something to log, by key, with their titles."""
    titles = {section.key: section.title for _, section in boat.registry.sections}
    return {
        owner: titles.get(owner, owner.replace("_", " "))
        for owner in dict.fromkeys(owner for owner, _ in boat.registry.readings)
    }


def sheet_of(boat: Boat, system_key: str, units: System) -> Sheet:
    """The page of one system. Raises `LogError` when it has nothing to log."""
    known = systems(boat)
    if system_key not in known:
        raise LogError(f"there is no log sheet for {shown(system_key)}; there are {', '.join(known)}")
    words = [word for word in catalogue_of(boat.registry).words.values() if system_key in word.owners]
    numbers = [word for word in words if word.numeric and not word.event]
    choices = [word for word in words if not word.numeric and not word.event]
    rows = tuple(
        SheetRow(one_line(word.title, 70), _written_in(word, units)) for word in (*numbers, *choices)
    )
    hazards = {key for word in words for key in word.hazards}
    cautions = sorted(
        (caution for key, caution in boat.registry.cautions.items() if key in hazards),
        key=lambda caution: caution.rank,
    )
    events = tuple(one_line(word.title, 40) for word in words if word.event)
    return Sheet(system_key, one_line(boat.name, 40), one_line(known[system_key], 40), rows, events,
                 tuple(one_line(caution.text, 400) for caution in cautions))  # fmt: skip


def _written_in(word: Word, units: System) -> str:
    if word.numeric:
        unit = pretty_unit(word.style, units)
        return {"a day": "times a day"}.get(unit, unit)
    return " / ".join(choice.replace("_", " ") for choice in word.choices)


# --- text ------------------------------------------------------------------------------------


def sheet_text(sheet: Sheet) -> str:
    """The page as text: at most 80 columns and 66 lines, whatever there is to log."""
    head = f"{sheet.boat} · {sheet.system} · log sheet"
    line = "-" * LABEL + ("+" + "-" * (CELL - 1)) * COLUMNS
    cells = ("|" + " " * (CELL - 1)) * COLUMNS
    top = [_fit(head, WIDTH), *textwrap.wrap(ADVICE, WIDTH), "", "Date".ljust(LABEL) + cells,
           "Time".ljust(LABEL) + cells, line]  # fmt: skip
    foot = ["", "Date      What happened" + (f" ({', '.join(sheet.events)})" if sheet.events else "")]
    foot = ["", *textwrap.wrap(foot[1], WIDTH, subsequent_indent=" " * 10)]
    rules = ["_" * 8 + "  " + "_" * (WIDTH - 10)]
    cautions = _cautions(sheet.cautions)
    room = HEIGHT - len(top) - len(foot) - len(cautions)
    for lines_each, happened in ((3, 4), (2, 4), (2, 2), (1, 2), (1, 1)):
        if len(sheet.rows) * lines_each + 2 * happened <= room:
            break
    body = [each for row in sheet.rows for each in _row(row, lines_each, cells, line)]
    page = [*top, *body, *foot, *(["", *rules] * happened), *cautions]
    return "\n".join(text.rstrip() for text in page) + "\n"


def _row(row: SheetRow, lines_each: int, cells: str, line: str) -> list[str]:
    if lines_each == 1:
        return [_fit(f"{row.title}, {row.written_in}", LABEL - 1).ljust(LABEL) + cells]
    two = [_fit(row.title, LABEL - 1), _fit(f"  {row.written_in}", LABEL - 1)]
    return [text.ljust(LABEL) + cells for text in two] + ([line] if lines_each == 3 else [])


def _cautions(cautions: Sequence[str]) -> list[str]:
    if not cautions:
        return []
    lines = ["", BEFORE]
    for text in cautions:
        lines += textwrap.wrap(text, WIDTH, initial_indent="- ", subsequent_indent="  ")
    return lines


def _fit(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 1] + "…"


# --- HTML -------------------------------------------------------------------------------------

_STYLE = """
@page { size: A4 portrait; margin: 10mm; }
body { font: 9pt/1.2 sans-serif; color: #000; background: #fff; margin: 0; }
section { height: 270mm; width: 188mm; overflow: hidden; page-break-after: always; }
section:last-child { page-break-after: auto; }
h1 { font-size: 13pt; margin: 0 0 1mm; } p, ul { margin: 0 0 2mm; } ul { padding-left: 4mm; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; }
td, th { border: .2mm solid #444; padding: 0 1mm; text-align: left; font-weight: normal; overflow: hidden; }
th.what { width: 52mm; } small { color: #333; }
table.happened { margin: 2mm 0; } table.happened th.when { width: 24mm; }
.cautions { border-left: 1mm solid #000; padding-left: 2mm; }
"""
_PAGE_MM, _HEAD_MM, _EVENTS = 270.0, 30.0, 4


def sheet_html(sheets: Sequence[Sheet], language: str = "en") -> str:
    """The pages as one self-contained HTML file, one page each when printed."""
    boat = html.escape(sheets[0].boat if sheets else "")
    pages = "\n".join(_section(sheet) for sheet in sheets)
    return (
        f'<!DOCTYPE html>\n<html lang="{language}"><head><meta charset="utf-8">'
        f"<title>{boat} · log sheet</title><style>{_STYLE}</style></head><body>\n{pages}\n</body></html>\n"
    )


def _section(sheet: Sheet) -> str:
    shown_cautions = "".join(f"<li>{html.escape(text)}</li>" for text in sheet.cautions)
    letters = sum(len(text) + 40 for text in sheet.cautions)
    caution_mm = 4.0 * (letters / 120 + 1) if sheet.cautions else 0.0
    room = _PAGE_MM - _HEAD_MM - caution_mm - (_EVENTS + 1) * 8
    height = max(4.5, min(11.0, room / (len(sheet.rows) + 2)))
    blank = "<td></td>" * HTML_COLUMNS
    style = f' style="height:{height:.1f}mm"'
    rows = "".join(
        f'<tr{style}><th class="what">{html.escape(row.title)} <small>{html.escape(row.written_in)}</small>'
        f"</th>{blank}</tr>"
        for row in sheet.rows
    )
    heads = "".join(f'<tr{style}><th class="what">{word}</th>{blank}</tr>' for word in ("Date", "Time"))
    happened = '<tr style="height:8mm"><td></td><td></td></tr>' * _EVENTS
    events = html.escape(f" ({', '.join(sheet.events)})" if sheet.events else "")
    cautions = (
        f'<div class="cautions"><strong>{BEFORE}</strong><ul>{shown_cautions}</ul></div>'
        if shown_cautions else ""
    )  # fmt: skip
    return (
        f"<section><h1>{html.escape(sheet.boat)} · {html.escape(sheet.system)} · log sheet</h1>"
        f"<p>{html.escape(ADVICE)}</p><table>{heads}{rows}</table>"
        f'<table class="happened"><tr style="height:8mm"><th class="when">Date</th>'
        f"<th>What happened{events}</th></tr>{happened}</table>{cautions}</section>"
    )
