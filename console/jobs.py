"""The work list: over the whole boat, the changes that give most for the time, and what is due."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Literal

from console.boatfile import Boat
from console.contract import Caution, Change, Urgency
from console.engine import Card, Figure, Outcome, estimate
from console.engine.estimate import cautions_for, figures_of
from console.engine.gains import DRAWS, Gain, Weighed, weigh
from console.guard import Unwell
from console.noted_jobs import Noted, noted
from console.quantities import System, say, shown
from console.results import difference_json, figure_json, figure_text, moved_text, unwell_json, unwell_lines

SHORTEST = 600.0
"""Seconds a job is counted as at least: what takes no time at all would outrank everything."""

WEIGHT = {Urgency.ACT: 1.0, Urgency.WATCH: 0.5, Urgency.UNKNOWN: 0.3, Urgency.FINE: 0.1}
"""How much a gain counts by how bad the news is on the card it belongs to."""

MOST = 8
"""So many jobs are listed under one heading."""


Rank = Literal["time", "money"]
DAY = 86400.0


@dataclass(frozen=True, slots=True)
class Job:
    """One thing to do, the cards it is for, and what it gives.

    ``worth`` ranks it by the hour, ``per_money`` by what the owner noted it costs (None: he did not).
    """

    gain: Gain
    cards: tuple[Card, ...]
    worth: float
    noted: Noted | None = None
    per_money: float | None = None

    @property
    def key(self) -> str:
        """The console's name of it."""
        return self.gain.keys[0]

    @property
    def change(self) -> Change:
        """The change it is."""
        return self.gain.changes[0]


@dataclass(frozen=True, slots=True)
class Due:
    """Something that comes round, and in how long; or a job of the owner's and its day.

    ``event`` is what is logged once it is done, ``job`` the key of a job of the list.
    """

    title: str
    figure: Figure | None = None
    on: datetime.date | None = None
    event: str = ""
    job: str = ""

    def seconds(self, today: datetime.date) -> float:
        """In how long it is due, below zero when it is overdue."""
        if self.on is not None:
            return (self.on - today).days * DAY
        return (self.figure.value if self.figure else None) or 0.0


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

    @property
    def parts(self) -> tuple[tuple[str, tuple[Job, ...]], ...]:
        """The jobs under their headings, empty ones too."""
        return (
            ("Now, afloat", self.afloat),
            ("At the next haul-out", self.hauled_out),
            ("By licensed hands", self.licensed),
        )

    def job(self, key: str) -> Job | None:
        """The listed job of this key."""
        return next((job for _, jobs in self.parts for job in jobs if job.key == key), None)


def work_list(
    boat: Boat, system: System, draws: int = DRAWS, *, by: Rank = "time", outcome: Outcome | None = None,
    cancelled: Callable[[], bool] | None = None, told: Callable[[float], None] | None = None,
) -> WorkList:  # fmt: skip
    """Weigh every action aboard and rank it by gain per hour, the worst news counting most."""
    known = (
        outcome
        if outcome is not None and outcome.ran
        else estimate(boat, draws, system, cancelled=cancelled)
    )
    weighed = weigh(boat, draws=known.draws, base=known.ran, pairs=False, cancelled=cancelled, told=told)
    return arranged(boat, known, weighed, by)


def arranged(boat: Boat, known: Outcome, weighed: Weighed, by: Rank = "time") -> WorkList:
    """The work list of what was weighed before: what the owner notes of a job weighs nothing anew.

    By money, what he noted a cost of stands first, the rest after it by the hour.
    """
    cards = {card.question.key: card for card in known.cards}
    own = noted(boat)
    of_key = {each.key: each for each in own if each.key}
    work = [gain for gain in weighed.gains if not any(change.wish for change in gain.changes)]
    jobs = sorted((_job(gain, cards, of_key) for gain in work), key=lambda job: -job.worth)
    if by == "money":
        jobs.sort(key=lambda job: math.inf if job.per_money is None else -job.per_money)
    mine = [job for job in jobs if job.change.who == "owner"]
    afloat = tuple(job for job in mine if job.change.where == "afloat")[:MOST]
    hauled_out = tuple(job for job in mine if job.change.where == "hauled_out")[:MOST]
    licensed = tuple(job for job in jobs if job.change.who == "licensed")[:MOST]
    listed = (*afloat, *hauled_out, *licensed)
    return WorkList(
        afloat,
        hauled_out,
        licensed,
        _due(known, own),
        cautions_for(boat.registry.cautions, [key for job in listed for key in job.change.hazards]),
        known.warnings,
        tuple(dict.fromkeys([*known.unwell, *weighed.unwell])),
    )


def job_of(boat: Boat, known: Outcome, weighed: Weighed, key: str) -> Job | None:
    """One job by its key, be it on the list or below it; None when it gives nothing here."""
    gain = next((gain for gain in weighed.gains if gain.keys == (key,)), None)
    if gain is None:
        return None
    cards = {card.question.key: card for card in known.cards}
    return _job(gain, cards, {each.key: each for each in noted(boat) if each.key})


def _job(gain: Gain, cards: dict[str, Card], own: dict[str, Noted]) -> Job:
    change = gain.changes[0]
    mine = tuple(cards[key] for key in change.questions if key in cards)
    weight = max((WEIGHT.get(Urgency(card.answer.urgency), 0.0) for card in mine), default=0.1)
    hours = max(change.minutes * 60.0, SHORTEST) / 3600.0
    said = own.get(gain.keys[0])
    cost = said.cost if said else None
    per_money = None if cost is None else gain.share * weight / cost if cost > 0 else math.inf
    return Job(gain, mine, gain.share * weight / hours, said, per_money)


def _due(known: Outcome, own: Iterable[Noted]) -> tuple[Due, ...]:
    figures = figures_of(known.ran) if known.ran else known.figures
    found = [
        Due(state.title or state.reset_by.replace("_", " "), figures[state.due], event=state.reset_by)
        for _, state in known.boat.registry.states
        if state.due in figures and figures[state.due].value is not None
    ]
    found += [Due(each.name, on=each.due, job=each.key) for each in own if each.due is not None]
    today = datetime.date.today()
    return tuple(sorted(found, key=lambda due: due.seconds(today)))


def due_text(due: Due, system: System) -> str:
    """When something is due, in words."""
    if due.on is None:
        return f"in {figure_text(due.figure, system)}" if due.figure else ""
    days = (due.on - datetime.date.today()).days
    day = f"{due.on.day} {due.on:%b %Y}"
    if days < 0:
        return f"overdue since {day}"
    return f"today, {day}" if not days else f"in {days} {'day' if days == 1 else 'days'}, {day}"


# --- as JSON and as text --------------------------------------------------------------------


def work_list_json(boat: Boat, made: WorkList, system: System) -> dict[str, Any]:
    """The work list in the units shown."""
    return {
        "scenario": boat.name,
        "units": system,
        "afloat": [_job_json(job, system) for job in made.afloat],
        "hauled_out": [_job_json(job, system) for job in made.hauled_out],
        "licensed": [_job_json(job, system) for job in made.licensed],
        "due": [_due_json(due, system) for due in made.due],
        "cautions": [{"key": c.key, "text": c.text, "defer_to": c.defer_to} for c in made.cautions],
        "warnings": list(made.warnings),
        "unwell": unwell_json(made.unwell),
    }


def _due_json(due: Due, system: System) -> dict[str, Any]:
    if due.figure is None:
        return {"title": due.title, "on": due.on.isoformat() if due.on else None}
    return {"title": due.title, **figure_json(due.figure, system, False)}


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
        "cost": job.noted.cost if job.noted else None,
        "effects": {d.name: difference_json(d, system) for d in job.gain.effects},
        "cautions": list(change.hazards),
    }


def work_list_text(boat: Boat, made: WorkList, system: System, by: Rank = "time") -> str:
    """The work list for reading."""
    order = "time it takes" if by == "time" else "money it costs; then, without a cost noted, for the time"
    lines = [f"{shown(boat.name, 60)}: what to do next, by what it gives for the {order}", ""]
    if made.cautions:
        lines.append("Mind this first; local codes and licensed practice come before anything said here.")
        for number, caution in enumerate(made.cautions, 1):
            defer = f" ({caution.defer_to})" if caution.defer_to else ""
            lines.append(f"  CAUTION {number}: {caution.text}{defer}")
        lines.append("")
    for heading, jobs in made.parts:
        if jobs:
            lines.append(heading)
            for number, job in enumerate(jobs, 1):
                lines += _rows(number, job, made.cautions, system)
            lines.append("")
    if not (made.afloat or made.hauled_out or made.licensed):
        lines += ["Nothing that can be worked out here would make it better.", ""]
    if made.due:
        lines.append("Due")
        lines += [f"  {shown(due.title, 80)}: {due_text(due, system)}" for due in made.due]
        lines.append("")
    lines.extend(f"Warning: {shown(warning, 400)}" for warning in made.warnings)
    lines.extend(unwell_lines(made.unwell))
    return "\n".join(lines).rstrip()


def _rows(number: int, job: Job, cautions: tuple[Caution, ...], system: System) -> list[str]:
    change = job.gain.changes[0]
    notes = [say(change.minutes * 60.0, "minutes", system)] if change.minutes else []
    notes += [f"cost {shown(job.noted.cost_text)}"] if job.noted and job.noted.cost is not None else []
    took = f" ({', '.join(notes)})" if notes else ""
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
