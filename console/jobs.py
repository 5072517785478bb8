"""The work list: over the whole boat, the changes that give most for the time, and what is due."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from console.boatfile import Boat
from console.contract import Caution, Urgency
from console.engine import Card, Figure, Outcome, estimate
from console.engine.estimate import cautions_for, figures_of
from console.engine.gains import DRAWS, Gain, weigh
from console.guard import Unwell
from console.quantities import System, say, shown
from console.results import difference_json, figure_json, figure_text, moved_text, unwell_json

SHORTEST = 600.0
"""Seconds a job is counted as at least: what takes no time at all would outrank everything."""

WEIGHT = {Urgency.ACT: 1.0, Urgency.WATCH: 0.5, Urgency.UNKNOWN: 0.3, Urgency.FINE: 0.1}
"""How much a gain counts by how bad the news is on the card it belongs to."""

MOST = 8
"""So many jobs are listed under one heading."""


@dataclass(frozen=True, slots=True)
class Job:
    """One thing to do, the cards it is for, and what it gives."""

    gain: Gain
    cards: tuple[Card, ...]
    worth: float


@dataclass(frozen=True, slots=True)
class Due:
    """Something that comes round, and in how long."""

    title: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class WorkList:
    """What to do: now and afloat, at the next haul-out, by licensed hands; and what is due."""

    afloat: tuple[Job, ...]
    hauled_out: tuple[Job, ...]
    licensed: tuple[Job, ...]
    due: tuple[Due, ...]
    cautions: tuple[Caution, ...]
    warnings: tuple[str, ...]
    unwell: tuple[Unwell, ...]


def work_list(
    boat: Boat, system: System, draws: int = DRAWS, *, outcome: Outcome | None = None,
    cancelled: Callable[[], bool] | None = None, told: Callable[[float], None] | None = None,
) -> WorkList:  # fmt: skip
    """Weigh every action aboard and rank it by gain per hour, the worst news counting most."""
    known = (
        outcome
        if outcome is not None and outcome.ran
        else estimate(boat, draws, system, cancelled=cancelled)
    )
    weighed = weigh(boat, draws=known.draws, base=known.ran, pairs=False, cancelled=cancelled, told=told)
    cards = {card.question.key: card for card in known.cards}
    jobs = sorted((_job(gain, cards) for gain in weighed.gains), key=lambda job: -job.worth)
    mine = [job for job in jobs if job.gain.changes[0].who == "owner"]
    afloat = tuple(job for job in mine if job.gain.changes[0].where == "afloat")[:MOST]
    hauled_out = tuple(job for job in mine if job.gain.changes[0].where == "hauled_out")[:MOST]
    licensed = tuple(job for job in jobs if job.gain.changes[0].who == "licensed")[:MOST]
    listed = (*afloat, *hauled_out, *licensed)
    return WorkList(
        afloat,
        hauled_out,
        licensed,
        _due(known),
        cautions_for(
            boat.registry.cautions, [key for job in listed for key in job.gain.changes[0].hazards]
        ),
        known.warnings,
        tuple(dict.fromkeys([*known.unwell, *weighed.unwell])),
    )


def _job(gain: Gain, cards: dict[str, Card]) -> Job:
    change = gain.changes[0]
    mine = tuple(cards[key] for key in change.questions if key in cards)
    weight = max((WEIGHT.get(Urgency(card.answer.urgency), 0.0) for card in mine), default=0.1)
    hours = max(change.minutes * 60.0, SHORTEST) / 3600.0
    return Job(gain, mine, gain.share * weight / hours)


def _due(known: Outcome) -> tuple[Due, ...]:
    figures = figures_of(known.ran) if known.ran else known.figures
    found = [
        Due(state.title or state.reset_by.replace("_", " "), figures[state.due])
        for _, state in known.boat.registry.states
        if state.due in figures and figures[state.due].value is not None
    ]
    return tuple(sorted(found, key=lambda due: due.figure.value or 0.0))


# --- as JSON and as text --------------------------------------------------------------------


def work_list_json(boat: Boat, made: WorkList, system: System) -> dict[str, Any]:
    """The work list in the units shown."""
    return {
        "scenario": boat.name,
        "units": system,
        "afloat": [_job_json(job, system) for job in made.afloat],
        "hauled_out": [_job_json(job, system) for job in made.hauled_out],
        "licensed": [_job_json(job, system) for job in made.licensed],
        "due": [{"title": due.title, **figure_json(due.figure, system, False)} for due in made.due],
        "cautions": [{"key": c.key, "text": c.text, "defer_to": c.defer_to} for c in made.cautions],
        "warnings": list(made.warnings),
        "unwell": unwell_json(made.unwell),
    }


def _job_json(job: Job, system: System) -> dict[str, Any]:
    change = job.gain.changes[0]
    return {
        "change": job.gain.keys[0],
        "title": job.gain.title,
        "why": change.why,
        "who": change.who,
        "where": change.where,
        "minutes": change.minutes,
        "questions": [card.question.key for card in job.cards],
        "worth": job.worth,
        "effects": {d.name: difference_json(d, system) for d in job.gain.effects},
        "cautions": list(change.hazards),
    }


def work_list_text(boat: Boat, made: WorkList, system: System) -> str:
    """The work list for reading."""
    lines = [f"{shown(boat.name, 60)}: what to do next, by what it gives for the time it takes", ""]
    if made.cautions:
        lines.append("Mind this first; local codes and licensed practice come before anything said here.")
        for number, caution in enumerate(made.cautions, 1):
            defer = f" ({caution.defer_to})" if caution.defer_to else ""
            lines.append(f"  CAUTION {number}: {caution.text}{defer}")
        lines.append("")
    for heading, jobs in (
        ("Now, afloat", made.afloat), ("At the next haul-out", made.hauled_out),
        ("By licensed hands", made.licensed),
    ):  # fmt: skip
        if jobs:
            lines.append(heading)
            for number, job in enumerate(jobs, 1):
                lines += _rows(number, job, made.cautions, system)
            lines.append("")
    if not (made.afloat or made.hauled_out or made.licensed):
        lines += ["Nothing that can be worked out here would make it better.", ""]
    if made.due:
        lines.append("Due")
        lines += [f"  {due.title}: in {figure_text(due.figure, system)}" for due in made.due]
        lines.append("")
    lines.extend(f"Warning: {shown(warning, 400)}" for warning in made.warnings)
    lines.extend(f"Not working: {u.plugin}, {u.stage}: {u.error}" for u in made.unwell)
    return "\n".join(lines).rstrip()


def _rows(number: int, job: Job, cautions: tuple[Caution, ...], system: System) -> list[str]:
    change = job.gain.changes[0]
    took = f" ({say(change.minutes * 60.0, 'minutes', system)})" if change.minutes else ""
    rows = [f"  {number}. {job.gain.title}{took}"]
    mind = [str(place) for place, caution in enumerate(cautions, 1) if caution.key in change.hazards]
    if mind:
        rows.append(f"       Mind first: caution {', '.join(mind)}")
    rows += [
        f"       {d.meaning[:1].upper()}{d.meaning[1:]}: {moved_text(d, system)}" for d in job.gain.told
    ]
    if change.why:
        rows.append(f"       {change.why}")
    return rows
