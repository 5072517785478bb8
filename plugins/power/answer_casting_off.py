"""What is to be done before casting off, hour by hour."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Findings, Listing, ListRow, Reason, Urgency
from plugins.power.consumers import load_key
from plugins.power.inlet import clashing_pairs, inlet_of
from plugins.power.leaving import EVENING
from plugins.power.phrases import clock, load_names, often, percentiles, share_true

Array = NDArray[np.float64]

MARGIN = 0.5
"""Hours between the last heavy load and the cord: what was hot has cooled."""

SURE = 0.9


def answer(found: Findings) -> Answer:
    """The card: whether the bank can be full in time, from when, and the list by the hour."""
    leave = float(found.number("power.anchor.leave_at")[0]) / 3600
    fill = found.daily("power.fill_time")
    if not found.has("power.shore"):
        return Answer(
            "No shore power is listed, so nothing is filled from it.",
            Urgency.NOT_ABOARD,
            next="To plan for the dock, add [power.shore].",
        )
    there = float(fill[0] + found.daily("power.fill_spare")[0]) / 3600
    full = found.daily("power.fill_spare") >= 0
    sure = share_true(full, np.isfinite(fill))
    late = np.ceil(percentiles(fill, 95)[0] / 900) / 4  # to the quarter of an hour
    begin = clock(leave - min(late, there))
    said = found.say_range(fill, "hours")
    if full[0] and sure >= SURE:
        verdict = f"The bank takes {said} to fill: charge from {begin} at the latest, and cast off at {clock(leave)} full."
        urgency = Urgency.FINE
    elif full[0]:
        verdict = f"The bank takes {said} to fill: charge from {clock(EVENING / 3600)}; {often(1 - sure)} it is not full by {clock(leave)}."
        urgency = Urgency.WATCH
    else:
        verdict = f"Not full by {clock(leave)}: the bank takes {said}, and from {clock(EVENING / 3600)} there are {there:.0f} h."
        urgency = Urgency.WATCH
    rows = schedule(found, leave, min(late, there))
    return Answer(
        verdict,
        urgency,
        figure="power.fill_time",
        reasons=(
            _from(found),
            *_box(found, leave),
            *_together(found),
        ),
        next=f"{rows[0][1]}: {rows[0][2]}." if rows else "",
        sure=sure if full[0] else 1 - sure,
        hazards=("shock_in_the_water", "mains_work", "inlet_overheating", "batteries"),
        pictures=(
            Listing("Before casting off", ("when", "what", "how"), tuple(ListRow(row) for row in rows)),
        ),
    )


def schedule(found: Findings, leave: float, fill_hours: float) -> list[tuple[str, str, str]]:
    """The rows of the list in the order of the clock: when, what, how."""
    plan: list[tuple[float, str, str]] = []
    if found.has("cold_box"):
        down = float(np.ceil(found.number("power.anchor.pull_down")[0] / 3600))
        plan.append(
            (
                down,
                "Ice box to its coldest",
                "only what is cold already goes in; back to its usual setting at anchor",
            )
        )
    plan.append(
        (
            fill_hours,
            "Charger on, nothing else on the bank",
            "until its amps have fallen to a few in a hundred of the bank's",
        )
    )
    heat = heater_hours(found)
    last = MARGIN
    for name, hours in heat:
        plan.append(
            (
                last + hours,
                f"{name[:1].upper()}{name[1:]} on",
                f"for {found.say(hours * 3600, 'hours')}, then off at its breaker",
            )
        )
        last += hours
    if found.has("climate.run_share"):
        # What must not run with the heater comes before it.
        stop = last if clashes(found, {name for name, _ in heat}) else MARGIN
        plan.append(
            (
                stop + 2.0,
                "Air conditioner to cool and dry the cabin",
                f"until {clock(leave - stop)}, then off; hatches shut",
            )
        )
    plan.append(
        (
            MARGIN / 2,
            "Loads off, then the main, then the post",
            "unplug dock end first; feel the plug: hot means replace it",
        )
    )
    plan.append((0.0, "Cast off", "inverter off unless it is needed; read the battery monitor"))
    plan.sort(key=lambda row: -row[0])
    return [(clock(leave - before), what, how) for before, what, how in plan]


def heater_hours(found: Findings) -> list[tuple[str, float]]:
    """Hours a day that each listed timed heater on shore is on: what it takes to be done."""
    names = load_names(found)
    made = []
    for path in found.items("power.load"):
        key = load_key(path)
        name = f"power.load_hours.{key}"
        if found.text(f"{path}.kind", "electronics") != "heater" or not found.has(name):
            continue
        if np.all(found.hourly(f"power.running_current.{key}")[0] > 0):
            continue
        hours = float(found.daily(name)[0]) / 3600
        if hours <= 0:
            continue
        made.append((names[key], float(np.ceil(hours * 4.0 - 1e-6) / 4.0)))
    return made


def clashes(found: Findings, heaters: set[str]) -> bool:
    """Whether the air conditioner and one of the heaters are over the line together."""
    names = load_names(found)
    pairs = clashing_pairs(found, inlet_of(found))
    return any("air_conditioner" in pair and {names.get(key) for key in pair} & heaters for pair in pairs)


def _from(found: Findings) -> Reason:
    state = found.say_range(found.number("power.anchor.state_now"), "percent")
    slow = "; the last tenth of a lead bank takes most of the time"
    lead = found.text("power.bank.chemistry", "lead") == "lead"
    return Reason(f"From a charge of {state} the evening before{slow if lead else ''}.")


def _box(found: Findings, leave: float) -> list[Reason]:
    if not found.has("cold_box"):
        return []
    down = found.number("power.anchor.pull_down")
    return [
        Reason(
            f"Pulling the ice box down takes {found.say_range(down, 'hours')} (overnight; common practice, no source)."
        )
    ]


def _together(found: Findings) -> list[Reason]:
    names = load_names(found)
    pairs = clashing_pairs(found, inlet_of(found))
    said = [f"{names.get(one, one)} with {names.get(other, other)}" for one, other in pairs]
    if not said:
        return []
    return [Reason(f"Not together on this post: {'; '.join(said[:3])}.")]
