"""The job sheet of a cause: what to have at hand, what state the boat must be in, the steps with
their cautions, who may do it, and the reading that proves it worked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from console.boatfile import Boat
from console.boatfile.errors import nearest
from console.contract import Caution, Change
from console.engine.changes import reached
from console.engine.estimate import cautions_for
from console.inference.aftermath import quantiles, said_range
from console.inference.consultation import Consultation
from console.inference.readings import ReadingError, complaints_of
from console.quantities import System, say, shown, style_of

DRAWS = 128
_PLACE = re.compile(r"\{([^{}]+)\}")
_SENTENCE = re.compile(r"(?<=[.;])\s+(?=[A-Z\"“])")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One job in words. ``proof_range`` is what the proof reading shows on this boat in good order."""

    key: str
    title: str
    who: str
    where: str
    minutes: float
    parts: tuple[tuple[int, str, str], ...]
    cautions: tuple[Caution, ...]
    steps: tuple[str, ...]
    proof: str
    proof_how: str
    proof_range: str
    cost: str
    also: tuple[str, ...] = ()


def sized(boat: Boat, text: str, system: System) -> str:
    """A part's size with its ``{path}`` places filled from the boat's own inputs."""

    def fill(match: re.Match[str]) -> str:
        path = reached(boat, match[1])
        if path is None:
            return "as fitted"
        entry = boat.inputs[path]
        if entry.measure is not None and not entry.compute:
            written = entry.measure.text.partition("±")[0].strip()  # 3/4 in, as it is printed on the hose
            assumed = entry.origin == "assumed" or not written
            return say(entry.measure.value, entry.style, system) if assumed else shown(written)
        return shown(entry.text or entry.value or "as fitted")

    return _PLACE.sub(fill, text)


def find_change(boat: Boat, name: str) -> tuple[str, Change]:
    """The cause or repair of this name; of two complaints' the first, unless ``complaint.name`` is asked.

    Raises `ReadingError` when there is none.
    """
    every = [(owner, c) for owner, c in boat.registry.changes if c.kind in ("cause", "repair", "action")]
    exact = [(o, c) for o, c in every if name in (c.key, f"{c.complaint or o}.{c.key}")]
    causes = [pair for pair in exact if pair[1].kind == "cause"] or exact
    if not causes:
        raise ReadingError(f'there is no job "{shown(name)}"{nearest(name, [c.key for _, c in every])}')
    return causes[0]


def job_sheet(boat: Boat, name: str, system: System) -> Sheet:
    """The sheet of a job. Raises `ReadingError` with one sentence when there is none of that name."""
    owner, change = find_change(boat, name)
    also = tuple(
        f"{c.complaint or o}.{c.key}" for o, c in boat.registry.changes
        if c.key == change.key and (o, c.complaint) != (owner, change.complaint)
    )  # fmt: skip
    return sheet_of(boat, change, system, also)


def sheet_of(boat: Boat, change: Change, system: System, also: tuple[str, ...] = ()) -> Sheet:
    """The sheet of a change; a cause's proof is worked out on this boat, an action's only named."""
    words, how, reads = change.proof[1], "", ""
    if change.complaint in complaints_of(boat) and change.proof[0]:
        words, how, reads = _proof(boat, change, system)
    elif change.proof[0]:
        named = next((each for _, each in boat.registry.readings if each.name == change.proof[0]), None)
        words, how = (f"{named.title}: {words}", named.how) if named else (words, "")
    return Sheet(
        change.key, change.title, change.who, change.where, change.minutes,
        tuple((part.count, part.name, sized(boat, part.size, system)) for part in change.needs),
        cautions_for(boat.registry.cautions, change.hazards),
        tuple(step.strip() for step in _SENTENCE.split(_remedy(boat, change)) if step.strip()),
        words, how, reads, change.cost, also,
    )  # fmt: skip


def _remedy(boat: Boat, change: Change) -> str:
    """How it is done: its own words, else those of the fault that the same inputs stand for."""
    if change.remedy or change.kind != "action":
        return change.remedy
    mine = {alter.path for alter in change.alters}
    return next(
        (
            each.remedy for _, each in boat.registry.changes
            if each.kind == "cause" and each.remedy and mine & {alter.path for alter in each.alters}
        ),
        "",
    )  # fmt: skip


def _proof(boat: Boat, change: Change, system: System) -> tuple[str, str, str]:
    """The proof reading in words, how to take it, and what it shows on this boat in good order."""
    name, words = change.proof
    try:
        consultation = Consultation(boat, change.complaint, draws=DRAWS)
        known = consultation.forward.readings.get(name)
        consultation.posterior()
        sound = consultation.sound()
    except ReadingError:
        return words, "", ""
    if known is None:
        return f"{name.replace('_', ' ')}: {words}", "", ""
    reading = known[1]
    reads = ""
    values = sound.block.figure(reading.predicts) if sound is not None and reading.unit else None
    if values is not None and sound is not None:
        flat = np.asarray(values.mean(axis=1) if values.ndim > 1 else values)
        found = quantiles(flat, sound.weights)
        reads = "" if found is None else said_range(found, style_of(reading.unit, reading.style), system)
    return f"{reading.title}: {words}", reading.how, reads


def sheet_json(sheet: Sheet) -> Mapping[str, Any]:
    """The sheet for scripts."""
    return {
        "job": sheet.key, "title": sheet.title, "who": sheet.who, "where": sheet.where,
        "minutes": sheet.minutes,
        "parts": [{"count": n, "name": name, "size": size} for n, name, size in sheet.parts],
        "cautions": [{"key": c.key, "text": c.text, "defer_to": c.defer_to} for c in sheet.cautions],
        "steps": list(sheet.steps), "proof": sheet.proof, "proof_how": sheet.proof_how,
        "proof_range": sheet.proof_range, "cost": sheet.cost,
    }  # fmt: skip


def sheet_text(boat: Boat, sheet: Sheet) -> str:
    """The sheet for the locker: on paper, with boxes to tick."""
    who = "a licensed technician" if sheet.who == "licensed" else "you, by your own hands"
    where = "hauled out" if sheet.where == "hauled_out" else "afloat"
    lines = [f"{shown(boat.name, 60)}: {sheet.title}", ""]
    lines.append(f"Who: {who}. Boat: {where}. Time: about {sheet.minutes:.0f} min.")
    if sheet.cost:
        lines.append(f"Cost: {sheet.cost}")
    if sheet.parts:
        lines += ["", "Have at hand"]
        for count, name, size in sheet.parts:
            many = f"{count} × " if count > 1 else ""
            lines.append(f"  [ ] {many}{name}{f', {size}' if size else ''}")
    if sheet.cautions:
        lines += ["", "Before the first step, and at every step it belongs to"]
        for caution in sheet.cautions:
            defer = f" ({caution.defer_to})" if caution.defer_to else ""
            lines.append(f"  CAUTION: {caution.text}{defer}")
    lines += ["", "Steps", *(f"  {n}. [ ] {step}" for n, step in enumerate(sheet.steps, 1))]
    if sheet.proof:
        lines += ["", f"Proof that it worked: {sheet.proof}."]
        if sheet.proof_how:
            lines.append(f"  {sheet.proof_how}")
        if sheet.proof_range:
            lines.append(
                f"  On this boat in good order: {sheet.proof_range}, on a hot day without readings."
            )
        lines.append(
            "  Write what it reads into the log: from then on it is your own figure for when it is well."
        )
    lines.append("")
    if sheet.also:
        lines.append(f"There is another job of this name: {', '.join(sheet.also)}.")
    lines.append("Guidance, not a survey; local codes and licensed practice come first.")
    return "\n".join(lines)
