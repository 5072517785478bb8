"""How well each row of draws explains each reading.

A number is judged by a Student-t with 4 degrees of freedom and scale 0.85 σ, mixed with a broad one:
a reading can be plain wrong. A choice has its chance, and a share for a slip of eye or pen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.inference.errors import errors_of
from console.inference.forward import instrument
from console.inference.readings import Taken
from console.inference.stacks import Block

Array = NDArray[np.float64]

WRONG = 0.05
"""Share of readings that are plain wrong: one in twenty, common practice, no source."""
SCALE, BROAD = 0.85, 8.0
SLIP = 0.02
UNTOLD = 5.0
"""Standard deviations at which a reading stands that the model cannot put a number to."""
_T4 = math.lgamma(2.5) - math.lgamma(2.0) - 0.5 * math.log(4 * math.pi)
CONTRADICTS = 4.0
"""Standard deviations that the least likely of choices counts for."""


def log_t4(x: Array) -> Array:
    """Log density of Student's t with 4 degrees of freedom."""
    return np.asarray(_T4 - 2.5 * np.log1p(0.25 * np.square(x)))


def log_number(residual: Array) -> Array:
    """Log density of a reading ``residual`` standard deviations off, robust against a wrong one."""
    good = math.log((1 - WRONG) / SCALE) + log_t4(residual / SCALE)
    wrong = math.log(WRONG / BROAD) + log_t4(residual / BROAD)
    return np.asarray(np.logaddexp(good, wrong))


def log_choice(chance: Array, choices: int) -> Array:
    """Log chance of a choice that may be a slip."""
    return np.asarray(np.log((1 - SLIP) * chance + SLIP / choices))


@dataclass(frozen=True, slots=True)
class Spoken:
    """What one reading says of every row of a block.

    ``residual`` is in standard deviations (a choice's in the same coin); ``predicted`` is what the
    instrument would show, in standard deviations from the reading, for a number.
    """

    name: str
    log: Array
    residual: Array
    predicted: Array | None = None


def speaks(taken: Taken, names: frozenset[str]) -> str:
    """The figure a reading is compared with, or nothing: a condition only sets the scene, unless the
    readings beside which it speaks are there too."""
    reading = taken.reading
    if reading.role == "evidence":
        return reading.predicts
    if reading.role == "condition" and reading.expects and names.issuperset(reading.beside):
        return reading.expects
    return ""


def predicted(block: Block, figure: str, taken: Taken) -> Array | None:
    """What the instrument would show, its bias included and its scatter not; SI, shape (rows,)."""
    made = block.figure(figure)
    if made is None:
        return None
    errors = errors_of(taken.reading)
    shown = made.mean(axis=1) if made.ndim > 1 else made
    return np.asarray(shown + errors.shared.at(taken.value) * block.latent(instrument(taken.reading)))


def spoken(block: Block, taken: Sequence[Taken]) -> list[Spoken]:
    """What every reading that is compared with something says of a block's rows."""
    made: list[Spoken] = []
    names = frozenset(each.name for each in taken)
    for each in taken:
        reading = each.reading
        if reading.role == "event":
            continue
        if reading.choices:
            table = block.chances(reading.name)
            if table is None:
                continue
            chance = table[:, reading.choices.index(each.choice)]
            log = log_choice(chance, len(reading.choices))
            best = log_choice(table.max(axis=1), len(reading.choices))
            worst = -math.log(SLIP)
            made.append(Spoken(each.name, log, CONTRADICTS * np.clip((best - log) / worst, 0.0, 1.0)))
            continue
        figure = speaks(each, names)
        shows = predicted(block, figure, each) if figure else None
        if shows is None:
            continue
        scatter = errors_of(reading).scatter(each.value)
        off = (each.value - shows) / scatter
        told = np.isfinite(off)
        residual = np.where(told, np.clip(off, -1e3, 1e3), UNTOLD)
        made.append(
            Spoken(each.name, log_number(residual), np.where(told, np.abs(residual), 0.0), -residual)
        )
    return made
