"""Outcomes as JSON and as text: the same numbers without a terminal."""

from __future__ import annotations

from typing import Any

from console.boatfile import Boat
from console.engine import Card, Comparison, Difference, Figure, Outcome, Unwell
from console.quantities import (
    System,
    convert,
    convert_difference,
    number_text,
    pretty_unit,
    say,
    say_range,
    shown,
    shown_unit,
    wire_gauge,
)

_US_MARKS = ("f", "ft", "in", "gal", "gpm", "gph", "psi", "btu/h", "awg", "cu ft", "knots")


def system_of(boat: Boat) -> System:
    """The unit system most of the owner's own quantities are written in."""
    us = si = 0
    for entry in boat.inputs.values():
        if entry.kind != "quantity" or entry.origin == "assumed" or not entry.measure:
            continue
        words = entry.measure.text.lower().replace("±", " ").split()
        if any(word in _US_MARKS for word in words):
            us += 1
        elif any(
            word in ("c", "m", "mm", "cm", "l", "l/min", "kpa", "w", "kw", "m2", "m3") for word in words
        ):
            si += 1
    return "us" if us > si else "si"


def _dressed(value: float | None, style: str, system: System) -> float | None:
    return None if value is None else float(convert(value, style, system))


def _unit(style: str, system: System) -> str:
    unit = shown_unit(style, system)
    return "mm**2" if unit == "AWG" else unit


def figure_json(figure: Figure, system: System, hourly: bool) -> dict[str, Any]:
    """One figure in the units shown."""
    style = figure.style
    made: dict[str, Any] = {
        "value": _dressed(figure.value, style, system),
        "low": _dressed(figure.low, style, system),
        "high": _dressed(figure.high, style, system),
        "unit": _unit(style, system),
        "meaning": figure.meaning,
    }
    if figure.edge:
        made["edge"] = True
    if hourly:
        made["hourly"] = {
            key: [_dressed(value, style, system) for value in values]
            for key, values in (
                ("value", figure.hourly), ("low", figure.hourly_low), ("high", figure.hourly_high),
            )
        }  # fmt: skip
    return made


def card_json(card: Card, system: System) -> dict[str, Any]:
    """One answer."""
    answer, figure = card.answer, card.figure
    style = figure.style if figure else ""
    return {
        "question": card.question.key,
        "title": card.question.title,
        "verdict": answer.verdict,
        "urgency": answer.urgency.name.lower(),
        "figure": figure.name if figure else None,
        "value": _dressed(figure.value, style, system) if figure else None,
        "low": _dressed(figure.low, style, system) if figure else None,
        "high": _dressed(figure.high, style, system) if figure else None,
        "unit": _unit(style, system) if figure else None,
        "sure": answer.sure,
        "reasons": [{"text": reason.text, "share": reason.share} for reason in answer.reasons],
        "next": answer.next,
        "cautions": [{"key": c.key, "text": c.text, "defer_to": c.defer_to} for c in card.cautions],
        "drivers": [{"input": d.path, "share": d.share, "sign": d.sign} for d in card.drivers],
        "missing": list(card.missing),
    }


def unwell_json(unwell: tuple[Unwell, ...]) -> list[dict[str, str]]:
    """Who is not working, and why."""
    return [{"plugin": u.plugin, "stage": u.stage, "error": u.error} for u in unwell]


def unwell_lines(unwell: tuple[Unwell, ...]) -> list[str]:
    """Who is not working, and why, for reading."""
    return [f"Not working: {u.plugin}, {u.stage}: {u.error}" for u in unwell]


def outcome_json(outcome: Outcome, system: System, hourly: bool) -> dict[str, Any]:
    """Everything of a run. No NaN: null and a warning."""
    boat = outcome.boat
    inputs: dict[str, Any] = {}
    for path, entry in boat.inputs.items():
        if entry.kind != "quantity":
            word = entry.value if isinstance(entry.value, (bool, list)) else entry.text or None
            inputs[path] = {"value": word, "low": None, "high": None, "unit": None, "origin": entry.origin}
            continue
        numbers = outcome.numbers.get(path)
        if numbers is None:
            continue
        value, low, high = (_dressed(number, entry.style, system) for number in numbers)
        inputs[path] = {
            "value": value, "low": low, "high": high, "unit": _unit(entry.style, system),
            "origin": entry.origin,
        }  # fmt: skip
    return {
        "scenario": boat.name,
        "units": system,
        "draws": outcome.draws,
        "figures": {name: figure_json(f, system, hourly) for name, f in sorted(outcome.figures.items())},
        "answers": [card_json(card, system) for card in outcome.cards],
        "inputs": inputs,
        "warnings": list(outcome.warnings),
        "unwell": unwell_json(outcome.unwell),
    }


def difference_json(d: Difference, system: System) -> dict[str, Any]:
    """A figure before and after a change, in the units shown."""
    return {
        "before": _dressed(d.before, d.style, system),
        "after": _dressed(d.after, d.style, system),
        # A change of temperature has no offset.
        "change": {
            key: convert_difference(value, d.style, system)
            for key, value in (("value", d.change), ("low", d.low), ("high", d.high))
        },
        "sure": d.sure,
        "unit": _unit(d.style, system),
        "meaning": d.meaning,
    }


def comparison_json(made: Comparison, before: Boat, after: Boat, system: System) -> dict[str, Any]:
    """A what-if, figure by figure."""
    figures = {}
    for d in made.differences:
        figures[d.name] = difference_json(d, system)
    return {
        "scenario": after.name, "against": before.name, "units": system, "draws": made.draws,
        "figures": figures, "only_before": list(made.only_before), "only_after": list(made.only_after),
        "warnings": list(made.warnings), "unwell": unwell_json(made.unwell),
    }  # fmt: skip


LEAST_SHARE = 0.02
"""A figure that reads the same after as before is listed only when it may move by this share of itself."""


# --- text -----------------------------------------------------------------------------------


def sure_words(sure: float) -> str:
    """How sure, as people say it."""
    for least, words in (
        (0.985, "almost certain"), (0.945, "19 times in 20"), (0.85, "nine times in ten"),
        (0.75, "four times in five"), (0.62, "two times in three"), (0.42, "about even"),
        (0.3, "one time in three"), (0.15, "one time in five"), (0.06, "one time in ten"),
    ):  # fmt: skip
        if sure >= least:
            return words
    return "hardly ever"


def figure_text(figure: Figure, system: System) -> str:
    """A figure with its range, dressed for reading."""
    if figure.value is None:
        return "no number"
    if figure.low is None or figure.high is None:
        return say(figure.value, figure.style, system)
    return say_range(figure.value, figure.low, figure.high, figure.style, system)


def _input_words(boat: Boat, path: str) -> str:
    """An input in plain words, and in brackets the path that ``--set`` takes."""
    entry = boat.inputs.get(path)
    return f"{entry.label} ({path})" if entry and entry.label else path


def outcome_text(outcome: Outcome, system: System, hourly: bool) -> str:
    """The answers, then the figures, for reading in a terminal or a file."""
    lines = [f"{shown(outcome.boat.name, 60)}: nominal, and the range nine times in ten falls in", ""]
    for card in outcome.cards:
        answer = card.answer
        lines.append(f"{card.question.title}")
        lines.append(f"  {shown(answer.verdict, 400)}")
        if card.figure:
            sure = f"; {sure_words(answer.sure)}" if answer.sure is not None and outcome.draws else ""
            name = f" {card.question.number}" if card.question.number else ""
            lines.append(f"  {figure_text(card.figure, system)}{name}{sure}")
        for caution in card.cautions:
            defer = f" ({caution.defer_to})" if caution.defer_to else ""
            lines.append(f"  CAUTION: {caution.text}{defer}")
        if answer.next:
            lines.append(f"  Next: {shown(answer.next, 400)}")
        for reason in answer.reasons:
            share = f" ({round(100 * reason.share)} %)" if reason.share is not None else ""
            lines.append(f"  - {shown(reason.text, 400)}{share}")
        if card.drivers:
            names = ", ".join(_input_words(outcome.boat, d.path) for d in card.drivers[:3])
            lines.append(f"  What would sharpen this: {names}")
        lines.append("")
    lines.append("Figures")
    width = max((len(name) for name in outcome.figures), default=10)
    for name, figure in sorted(outcome.figures.items()):
        lines.append(f"  {name:<{width}}  {figure_text(figure, system)}")
        if hourly and len(figure.hourly) > 1:
            unit = pretty_unit(figure.style, system)
            values = " ".join(
                "–" if v is None else number_text(float(convert(v, figure.style, system)), 3)
                for v in figure.hourly
            )
            lines.append(f"  {'':<{width}}  {values} {unit}".rstrip())
    lines.extend(f"Warning: {shown(warning, 400)}" for warning in outcome.warnings)
    lines.extend(unwell_lines(outcome.unwell))
    lines.append("Guidance, not a survey: see what was assumed with --json, under inputs.")
    return "\n".join(lines)


def moved_text(d: Difference, system: System) -> str:
    """A figure before and after, and the change with its range."""
    if d.style == "wire":
        return f"{wire_gauge(d.before)} → {wire_gauge(d.after)}"
    before, after = say(d.before, d.style, system), say(d.after, d.style, system)
    return f"{before} → {after}   {change_text(d, system)}"


def change_text(d: Difference, system: System) -> str:
    """By how much a figure moved, with its range: ``"+1.4 gal/min (+0.64 to +2.1)"``."""
    parts = [number_text(convert_difference(v, d.style, system), 2) for v in (d.change, d.low, d.high)]
    signed = [p if p.startswith("-") or p == "0" else f"+{p}" for p in parts]
    unit = pretty_unit(d.style, system)
    unit = "points" if unit == "%" else unit  # not a share of the figure itself
    return f"{signed[0]} {unit} ({signed[1]} to {signed[2]})"


def worth_telling(d: Difference, system: System) -> bool:
    """Whether a figure reads otherwise after than before, or may have moved by a share worth a word."""
    scale = max(abs(d.before), abs(d.after))
    if say(d.before, d.style, system) != say(d.after, d.style, system):
        return True
    return max(abs(d.change), abs(d.low), abs(d.high)) >= LEAST_SHARE * scale > 0


def moved(made: Comparison, system: System) -> tuple[list[Difference], int]:
    """The figures that moved, largest share of itself first, and how many more hardly did."""
    rows, hardly = [], 0
    for d in made.differences:
        scale = max(abs(d.before), abs(d.after))
        if scale == 0 or abs(d.change) <= 1e-6 * scale:
            continue
        if not worth_telling(d, system):
            hardly += 1
            continue
        rows.append((abs(d.change) / scale, d))
    rows.sort(key=lambda row: (-row[0], row[1].name))
    return [d for _, d in rows], hardly


def comparison_text(made: Comparison, before: Boat, after: Boat, system: System) -> str:
    """What changed, largest share of itself first; what hardly did is counted, not listed."""
    rows, hardly = moved(made, system)
    if not rows and not hardly:
        return "Nothing changes."
    width = max((len(d.name) for d in rows), default=0)
    lines = [f"{shown(after.name, 60)}, changed, against {shown(before.name, 60)}", ""]
    for d in rows:
        lines.append(f"  {d.name:<{width}}  {moved_text(d, system)}")
    if hardly:
        lines.append(f"  {hardly} more move by less than {LEAST_SHARE:.0%}; --json has them.")
    lines.extend(f"Warning: {shown(warning, 400)}" for warning in made.warnings)
    lines.extend(unwell_lines(made.unwell))
    return "\n".join(lines)
