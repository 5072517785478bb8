"""What to mind about a log: what was not logged, and what else happened at the time of the repair."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import numpy as np

from console.boatfile import Boat
from console.contract import Change, Reading
from console.guard import GuardError, call, guarded
from console.inference.log_model import LogModel
from console.logbook.entry import Log
from console.quantities import say, style_of

NEAR = timedelta(hours=36)
MOVED = 2.0
"""A condition has moved when its means before and after lie so many of their own errors apart."""
MUCH = 0.4
"""A count has moved when it rose or fell by this share."""


def missing_of(model: LogModel, readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """What would sharpen the verdict and is not in the log, by name."""
    conditions = [reading.name for reading in model.unread.values()]
    there = {each.reading.name for each in model.evidence}
    evidence = [
        name for name, reading in readings.items()
        if reading.role == "evidence" and reading.over != "instant" and name not in there
        and (not reading.sets or reading.sets not in model.log.sets)
    ]  # fmt: skip
    surer = [
        event for each in model.evidence for event in each.reading.surer_after if event not in model.events
    ]
    return tuple(dict.fromkeys([*conditions, *evidence, *surer]))


def flags_of(boat: Boat, model: LogModel, log: Log, repair: Change) -> tuple[str, ...]:
    """Sentences on what else happened, the gravest first."""
    made: list[str] = []
    days = model.log
    for state in model.states:
        if days.repaired is None or state.path not in days.resets:
            continue
        events = [e.at for e in log.events(state.reset_by)]
        if any(abs(at - days.repaired) <= NEAR for at in events):
            what = state.reset_by.replace("_", " ")
            made.append(
                f"{what} at the time of the repair: that alone would change the readings for a while"
            )
    for name, reading in days.read.items():
        values = days.pins.get(name, days.sets.get(name))
        if values is None:
            continue
        before, after = days.mean(values, False), days.mean(values, True)
        if not (np.isfinite(before) and np.isfinite(after)):
            continue
        style = style_of(reading.unit, reading.style)
        if _moved(reading, model, before, after):
            made.append(
                f"{reading.title.lower()} moved from {say(before, style, 'si')} to {say(after, style, 'si')}"
            )
    for name in dict.fromkeys(each.reading.name for each in model.evidence):
        mine = [each for each in model.evidence if each.reading.name == name]
        sides = {each.later >= 0.5 for each in mine}
        if len(sides) == 1:
            made.append(
                f"{mine[0].reading.title.lower()} only {'after' if True in sides else 'before'} the repair"
            )
    if repair.flags:
        owner = next((o for o, change in boat.registry.changes if change is repair), "")
        try:
            made.extend(
                str(each)
                for each in guarded(owner, f"flags of {repair.key}", _called, repair.flags, days, log)
            )
        except GuardError as failure:
            model.unwell.append(failure.unwell)
    return tuple(dict.fromkeys(made))


def _called(reference: str, days: object, log: object) -> list[str]:
    return list(call(reference, days, log))


def _moved(reading: Reading, model: LogModel, before: float, after: float) -> bool:
    if reading.role == "event":
        return bool(abs(after - before) > 0.2 if reading.unit == "K" else after != before)
    if reading.unit == "K":
        return abs(after - before) > 2.0
    if reading.style == "share":
        return abs(after - before) > 0.08
    return abs(after - before) > MUCH * max(abs(before), 1e-30)
