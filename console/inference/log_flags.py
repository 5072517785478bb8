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
from console.quantities import System, say, style_of

NEAR = timedelta(hours=36)
MOVED_K, MOVED_SHARE = 2.0, 0.08
"""A temperature or a humidity has moved when its means before and after lie so far apart."""
MUCH = 0.4
"""A count has moved when it rose or fell by this share."""


def missing_of(model: LogModel, readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """What would sharpen the verdict and is not in the log, by name."""
    conditions = list(model.usual.unread)
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


def flags_of(
    boat: Boat, model: LogModel, log: Log, repair: Change, system: System = "si"
) -> tuple[str, ...]:
    """Sentences on what else happened, the gravest first."""
    made = [*_resets(model, log), *_events_moved(model, log, system)]
    made += _called_by(boat, model, log, repair)
    made += _conditions_moved(model, system)
    for name in dict.fromkeys(each.reading.name for each in model.evidence):
        mine = [each for each in model.evidence if each.reading.name == name]
        sides = {each.later >= 0.5 for each in mine}
        if len(sides) == 1:
            made.append(
                f"{mine[0].reading.title.lower()} only {'after' if True in sides else 'before'} the repair"
            )
    made += [
        f"{title.lower()} was not logged{where}: taken as it usually is, which costs sureness"
        for title, where in model.usual.told()
    ]
    return tuple(dict.fromkeys(made))


def _resets(model: LogModel, log: Log) -> list[str]:
    """Defrosted, cleaned or the like at the time of the repair, or on one side of it only."""
    made: list[str] = []
    days = model.log
    for state in model.states:
        if days.repaired is None or state.path not in days.resets:
            continue
        what = state.reset_by.replace("_", " ")
        named = {e.reading.name for e in model.evidence if e.reading.over == f"since:{state.reset_by}"}
        at = [e.at for e in [*log.events(state.reset_by), *log.readings(named)]]
        if any(abs(each - days.repaired) <= NEAR for each in at):
            made.append(
                f"{what} at the time of the repair: that alone changes the readings for a while, and is allowed for"
            )
        resets = days.resets[state.path]
        for side, share in (("before", 1.0 - days.later), ("after", days.later)):
            if named and share.sum() > 0 and not (resets * (share > 0)).any():
                made.append(f"never {what} {side} the repair: how much had built up is not known")
    return made


def _events_moved(model: LogModel, log: Log, system: System) -> list[str]:
    """Something that is set, a thermostat say, and was moved in the course of the log."""
    made: list[str] = []
    days = model.log
    for reading in {r.name: r for r in days.read.values() if r.role == "event" and r.unit}.values():
        style = style_of(reading.unit, reading.style)
        for event in log.events(reading.name):
            if isinstance(event.value, float) and days.days[0] < event.at.date() <= days.days[-1]:
                made.append(
                    f"{reading.title.lower()} on {event.at:%d %b}, to {say(event.value, style, system)}: "
                    "what that did is reckoned apart"
                )
    return made


def _conditions_moved(model: LogModel, system: System) -> list[str]:
    made: list[str] = []
    days = model.log
    for name, reading in days.read.items():
        values = days.pins.get(name, days.sets.get(name))
        if values is None or reading.role == "event":
            continue
        before, after = days.mean(values, False), days.mean(values, True)
        if np.isfinite(before) and np.isfinite(after) and _moved(reading, before, after):
            style = style_of(reading.unit, reading.style)
            made.append(
                f"{reading.title.lower()}: {say(before, style, system)} before the repair, "
                f"{say(after, style, system)} after it; that is allowed for"
            )
    return made


def _called_by(boat: Boat, model: LogModel, log: Log, repair: Change) -> list[str]:
    """What the plugin itself has to say of the log."""
    if not repair.flags:
        return []
    owner = next((o for o, change in boat.registry.changes if change is repair), "")
    try:
        return [
            str(each)
            for each in guarded(owner, f"flags of {repair.key}", _called, repair.flags, model.log, log)
        ]
    except GuardError as failure:
        model.unwell.append(failure.unwell)
        return []


def _called(reference: str, days: object, log: object) -> list[str]:
    return list(call(reference, days, log))


def _moved(reading: Reading, before: float, after: float) -> bool:
    if reading.unit == "K":
        return abs(after - before) > MOVED_K
    if reading.style == "share":
        return abs(after - before) > MOVED_SHARE
    return abs(after - before) > MUCH * max(abs(before), 1e-30)
