"""What follows from a cause: how bad it is, why it is thought so, and what mending it gives.

All of it comes out of the forward model on the rows the readings left standing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.engine.run import Ran
from console.inference.causes import Cause
from console.inference.consultation import Consultation
from console.inference.forward import Job
from console.inference.likelihood import Spoken, predicted, speaks
from console.inference.readings import Taken
from console.inference.stacks import Block, Stage
from console.inference.weighing import Weighed
from console.quantities import System, say, style_of

Array = NDArray[np.float64]

ROWS_AFTER = 96
"""Rows, drawn by weight, on which a repair is tried."""
SPEAKS = 0.7
"""Log ratio from which a reading is named as a reason."""
MOST_REASONS = 2
_FRACTIONS = (
    (0.1, "a tenth"), (0.2, "a fifth"), (0.25, "a quarter"), (0.333, "a third"), (0.5, "half"),
    (0.667, "two thirds"), (0.75, "three quarters"), (0.9, "nine tenths"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Range:
    """A figure's middle and central 90 %, in SI."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Repair:
    """What mending a cause gives: each figure it is judged by, before and after, and what the proof
    reading should then show (for a number)."""

    effects: tuple[tuple[str, str, Range, Range], ...]
    proof: tuple[str, Range] | None


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of one cause, in words."""

    severity: str | None
    why: str
    repair: Repair | None


def quantiles(values: Array, weights: Array) -> Range | None:
    """Weighted P50, P5 and P95; None when nothing is finite."""
    keep = np.isfinite(values) & (weights > 0)
    if not keep.any():
        return None
    order = np.argsort(values[keep])
    ordered, mass = values[keep][order], weights[keep][order]
    middle_of = (np.cumsum(mass) - 0.5 * mass) / mass.sum()
    middle, low, high = np.interp([0.5, 0.05, 0.95], middle_of, ordered)
    return Range(float(middle), float(low), float(high))


def said_range(found: Range, style: str, system: System) -> str:
    """``"28 to 40 %"``."""
    low, high = say(found.low, style, system), say(found.high, style, system)
    if low == high:
        return low
    unit = high.lstrip("-0123456789.,– ").strip()
    if not unit or not low.endswith(unit):
        return f"{low} to {high}"
    return f"{low.removesuffix(unit).strip()} to {high}"


def fraction_words(share: float) -> str:
    """A share as people say it, where it is near a plain fraction."""
    value, words = min(_FRACTIONS, key=lambda pair: abs(pair[0] - share))
    return f"about {words}" if abs(value - share) <= 0.04 else ""


def tell(
    consultation: Consultation, keys: Sequence[str], system: System, repairs: int = 3
) -> dict[str, Told]:
    """What there is to tell of some causes; for the first few also what mending them gives."""
    strongest = {key: _strongest(consultation, key) for key in keys}
    after = _after(consultation, {key: strongest[key] for key in keys[:repairs]}, system)
    return {
        key: Told(
            _severity(consultation, consultation.causes[key], weighed, system),
            _why(consultation, consultation.causes[key], consultation.posterior().alone(key), system),
            after.get(key),
        )
        for key, weighed in strongest.items()
    }  # fmt: skip


def _strongest(consultation: Consultation, key: str) -> Weighed:
    """The likeliest hypothesis that has the cause in it."""
    found = consultation.posterior()
    return max((w for w in found.weighed if key in w.hypothesis.keys), key=lambda w: w.log_posterior)


def _severity(c: Consultation, cause: Cause, weighed: Weighed, system: System) -> str | None:
    """How bad it is: what it is judged by, and the input it acts on."""
    words: list[str] = []
    for effect in cause.change.effects[:1]:
        values = weighed.block.figure(effect.figure)
        meaning = c.forward.day.meanings.get(effect.figure)
        found = None if values is None else quantiles(_flat(values), weighed.weights)
        if found is not None and meaning is not None:
            style = style_of(meaning.unit, meaning.style)
            words.append(
                f"{meaning.meaning[:1].lower()}{meaning.meaning[1:]}: {said_range(found, style, system)}"
            )
    path = cause.severity_path
    if cause.change.severity and path:
        values = np.concatenate([c.forward.severity_values(cause, stage) for stage in weighed.block.stages])
        found = quantiles(values, weighed.weights)
        how = next(alter.how for alter in cause.change.alters if alter.by == "severity")
        entry = c.boat.inputs[path]
        if found is not None:
            style = {"set": entry.style, "scale": "percent"}.get(
                how, "temperature_difference" if entry.style == "temperature" else entry.style
            )
            words.append(f"{entry.label} {_about(found, style, system)}")
    return "; ".join(words) or None


def _about(found: Range, style: str, system: System) -> str:
    text = said_range(found, style, system)
    plain = fraction_words(found.middle) if style == "share" and found.high - found.low < 0.35 else ""
    return f"{plain} ({text})" if plain else text


def _flat(values: Array) -> Array:
    return np.asarray(values.mean(axis=1) if values.ndim > 1 else values)


def _why(c: Consultation, cause: Cause, weighed: Weighed, system: System) -> str:
    """Why it is thought so: the readings that speak most for it against a boat in good order.

    Each is judged by what the other readings leave: the chance of it, given them, under both.
    """
    sound = c.sound()
    reasons: list[tuple[float, str]] = []
    if sound is not None and cause.change.alters:
        both = [(each.block, c.said(each.block)) for each in (weighed, sound)]
        for taken in c.taken:
            sides = [_given_others(block, said, taken.name) for block, said in both]
            if sides[0] is None or sides[1] is None:
                continue
            ratio = sides[0][1] - sides[1][1]
            if ratio >= SPEAKS:
                weights = (sides[0][0], sides[1][0])
                blocks = (weighed.block, sound.block)
                reasons.append((-ratio, _reason(taken, blocks, weights, c, system)))
    chosen = [text for _, text in sorted(reasons)[:MOST_REASONS]]
    return " ".join([cause.change.why, *chosen]).strip()


def _given_others(block: Block, said: Sequence[Spoken], name: str) -> tuple[Array, float] | None:
    """The rows' weights by all readings but one, and the log chance of that one under them."""
    its = next((each for each in said if each.name == name), None)
    if its is None:
        return None
    log = block.log_prior_ratio() + sum((e.log for e in said if e.name != name), np.zeros(block.size))
    weights = np.exp(log - log.max())
    weights = weights / weights.sum()
    top = float(its.log.max())
    return weights, top + math.log(float(weights @ np.exp(its.log - top)) + 1e-300)


def _reason(
    taken: Taken, blocks: tuple[Block, Block], weights: tuple[Array, Array], c: Consultation, system: System
) -> str:  # fmt: skip
    reading = taken.reading
    if reading.choices:
        at = reading.choices.index(taken.choice)
        chances = []
        for block, weight in zip(blocks, weights, strict=True):
            table = block.chances(reading.name)
            chances.append(0.0 if table is None else float(weight @ table[:, at]))
        word = taken.choice.replace("_", " ")
        return (
            f"{reading.title}, {word}: {_often(chances[0])} with this, {_often(chances[1])} in good order."
        )
    style = shown_style(taken, c.forward.day)
    figure = speaks(taken, frozenset(each.name for each in c.taken))
    ranges = []
    for block, weight in zip(blocks, weights, strict=True):
        values = predicted(block, figure, taken)
        found = None if values is None else quantiles(values, weight)
        ranges.append("no number" if found is None else said_range(found, style, system))
    value = say(taken.value, style, system)
    return f"{reading.title}, {value}: {ranges[0]} with this, {ranges[1]} in good order."


def shown_style(taken: Taken, ran: Ran) -> str:
    """The style of a number read: what gathered since an event is shown as the figure is, a rate."""
    reading = taken.reading
    given = ran.meanings.get(reading.predicts) if reading.over.startswith("since:") else None
    return style_of(given.unit, given.style) if given is not None else style_of(reading.unit, reading.style)


def shown_value(taken: Taken, system: System) -> str:
    """A reading in the units shown."""
    if taken.choice:
        return taken.choice.replace("_", " ")
    if taken.reading.over.startswith("since:"):
        return taken.text
    return say(taken.value, style_of(taken.reading.unit, taken.reading.style), system)


def _often(chance: float) -> str:
    if chance >= 0.7:
        return "usual"
    if chance >= 0.3:
        return "often so"
    return "now and then" if chance >= 0.08 else "rare"


def _after(c: Consultation, chosen: Mapping[str, Weighed], system: System) -> dict[str, Repair]:
    """The boat without the cause, on rows drawn by the weights the readings left."""
    jobs: list[tuple[str, Weighed, NDArray[np.intp], Job]] = []
    for key, weighed in chosen.items():
        if not c.causes[key].change.alters:
            continue
        at = (np.arange(ROWS_AFTER) + 0.5) / ROWS_AFTER
        picked = np.minimum(np.searchsorted(np.cumsum(weighed.weights), at), weighed.weights.size - 1)
        rows = np.concatenate([stage.rows for stage in weighed.block.stages])[picked]
        moved = {path for stage in weighed.block.stages for path in stage.latents}
        latents = {path: weighed.block.latent(path)[picked] for path in sorted(moved)}
        others = tuple(x for x in weighed.hypothesis.causes if x.key != key and x.change.alters)
        jobs.append((key, weighed, picked, Job(others, Stage(rows, latents))))
    c.forward.run([job for *_, job in jobs], c.taken)
    made: dict[str, Repair] = {}
    for key, weighed, picked, job in jobs:
        cause, even = c.causes[key], np.full(ROWS_AFTER, 1.0 / ROWS_AFTER)
        effects = []
        for effect in cause.change.effects:
            before, after = weighed.block.figure(effect.figure), job.stage.figures.get(effect.figure)
            meaning = c.forward.day.meanings.get(effect.figure)
            if before is None or after is None or meaning is None:
                continue
            first, second = quantiles(_flat(before)[picked], even), quantiles(_flat(after), even)
            if first is not None and second is not None:
                effects.append((meaning.meaning, style_of(meaning.unit, meaning.style), first, second))
        made[key] = Repair(tuple(effects), _proof(c, cause, job.stage, even))
    return made


def _proof(c: Consultation, cause: Cause, stage: Stage, even: Array) -> tuple[str, Range] | None:
    name = cause.change.proof[0]
    known = c.forward.readings.get(name)
    if known is None or not known[1].unit:
        return None
    values = stage.figures.get(known[1].predicts)
    found = None if values is None else quantiles(_flat(values), even)
    return None if found is None else (name, found)
