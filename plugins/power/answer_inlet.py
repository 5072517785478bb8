"""Will the shore inlet carry it?"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import (
    Answer,
    Bar,
    Bars,
    Findings,
    Listing,
    ListRow,
    Picture,
    Reason,
    Series,
    Stack,
    Urgency,
)
from plugins.power.consumers import load_key
from plugins.power.inlet import (
    Inlet,
    alone_over,
    clashing_pairs,
    figure_key,
    inlet_of,
    legs_of,
    pairs_over,
    reasons,
    too_many,
    too_much,
    trips,
    used,
)
from plugins.power.inlet_supply import contacts_told, stopped_by_label, supply_reasons
from plugins.power.phrases import (
    clock,
    listed,
    load_names,
    no_number,
    often,
    percentiles,
    share_true,
    spans,
    step_hours,
)
from plugins.power.shore import continuous_limit, largest_running_mean

Array = NDArray[np.float64]

WORTH = 0.5
"""Amps that moving a load must save to be worth doing."""


def answer(found: Findings) -> Answer:
    """The card: verdict, what makes the worst hour, which two must not run together, what to move."""
    inlet = inlet_of(found)
    if not np.isfinite(inlet.total[0]).all():
        return no_number("power.shore_continuous")
    names = load_names(found)
    over = share_true(inlet.over, np.isfinite(inlet.lasting))
    verdict, urgency, holds = _verdict(found, inlet, names, over)
    pairs = pairs_over(found, inlet, names)
    return Answer(
        verdict,
        urgency,
        figure="power.shore_continuous",
        reasons=(
            *reasons(found, inlet, names, pairs, over),
            *supply_reasons(found, inlet),
            *used(found, names),
        ),
        next=_next(found, inlet, names, pairs, urgency),
        # How sure the amps are says nothing of the contacts, which are what is not known.
        sure=None if urgency is Urgency.UNKNOWN else holds,
        hazards=(
            "shock_in_the_water",
            "mains_work",
            "ground_fault_trip",
            "reverse_polarity",
            "inlet_overheating",
        ),
        pictures=_pictures(found, inlet, names),
    )


# --- the verdict ------------------------------------------------------------------------------


def _verdict(
    found: Findings, inlet: Inlet, names: dict[str, str], over: float
) -> tuple[str, Urgency, float | None]:
    def amps(values: Array) -> str:
        return found.say(values[0], "current")

    what = f"a {amps(inlet.limit)} {inlet.weakest}"
    line = amps(inlet.line)
    lasting = amps(inlet.lasting)
    # Where both are said alike the number alone would not show it.
    over_line = f"over the {line}" if lasting != line else f"a shade over the {line}"
    hour = clock(inlet.peak_step * step_hours(inlet.total.shape[1]))
    label, contacts = stopped_by_label(found), contacts_told(found)
    if label:
        return label, Urgency.ACT, None
    if contacts and contacts[1] is Urgency.ACT:
        return *contacts, None
    if inlet.over[0]:
        if inlet.peak[0] > inlet.breaker[0] * (1 + 1e-9):
            text = f"{amps(inlet.peak)} in the hour from {hour} is over the {amps(inlet.breaker)} breaker: it will trip."
        elif inlet.lasting[0] > continuous_limit(inlet.contacts)[0] * (1 + 1e-9):
            text = (
                f"{lasting} for three hours is {over_line} that {what} carries all day; "
                "no breaker will trip — the plug will cook."
            )
        elif inlet.peak[0] > inlet.limit[0] * (1 + 1e-9):
            text = f"{amps(inlet.peak)} in the hour from {hour} is more than {what} is made for, and no breaker will trip."
        else:
            text = (
                f"{lasting} for three hours is {over_line} that {what} carries all day; it may trip warm."
            )
        return text, Urgency.ACT, over
    alone = alone_over(found, inlet)
    if alone:
        key, most = max(alone.items(), key=lambda item: item[1])
        thing = names.get(key, key)
        if most > inlet.breaker[0] * (1 + 1e-9):
            tail = (
                f", more than the {amps(inlet.breaker)} breaker holds: it {trips(most, inlet.breaker[0])}"
            )
        else:
            tail = f": {too_much(found, inlet, most)}"
        text = f"The {thing} alone takes {found.say(most, 'current')}{tail}."
        largest = found.hourly(f"power.running_current.{key}").max(axis=-1)
        return text, Urgency.ACT, share_true(largest > inlet.limit)
    within = 1.0 - over
    if contacts:
        return *contacts, None
    then = "then " if inlet.together[0] > inlet.breaker[0] else ""
    if inlet.near[0]:
        if inlet.peak[0] > inlet.line[0] * (1 + 1e-9):
            text = (
                f"{amps(inlet.peak)} in the hour from {hour} is over the {line} that {what} carries all day; "
                f"over three hours it is {amps(inlet.lasting)}, so a longer hour would cook the plug."
            )
        elif inlet.together[0] > inlet.limit[0]:
            text = (
                f"Hour by hour within the {line} it carries for long, but everything on at once takes "
                f"{amps(inlet.together)}: {then}{too_much(found, inlet, float(inlet.together[0]))}."
            )
        else:
            text = f"{amps(inlet.lasting)} for three hours is just within the {line} that {what} carries all day."
        return text, Urgency.WATCH, within
    if over >= 0.1:
        text = f"Within {line} on a usual day, but {often(over)} it is over."
        return text, Urgency.WATCH, within
    text = f"Within {line}, if the contacts are good: feel the plug after an hour."
    known = found.given("power.shore.contact_resistance")
    return text, Urgency.FINE if known else Urgency.UNKNOWN, within


# --- what to do -------------------------------------------------------------------------------


def _next(
    found: Findings, inlet: Inlet, names: dict[str, str], pairs: list[Reason], urgency: Urgency
) -> str:
    feel = (
        "After an hour under load feel plug and inlet with the back of a dry hand; hot, marked or smelling: "
        "breaker at the post off, then replace both halves."
    )
    if stopped_by_label(found):
        return "Leave its breaker off here: it needs a transformer made for it, chosen and wired by a qualified person."
    contacts = contacts_told(found)
    if contacts:
        return (
            "Breaker at the post off first, then unplug at the dock end; have plug and inlet replaced together by a "
            f"qualified person{' before anything heavy runs again' if contacts[1] is Urgency.ACT else ' soon'}."
        )
    if inlet.weakest in ("adapter", "cord") and urgency in (Urgency.ACT, Urgency.WATCH):
        way = (
            "Leave the adapter out"
            if inlet.weakest == "adapter"
            else "Use a cord of the inlet's own rating"
        )
        if inlet.together[0] > inlet.limit[0] and inlet.limit[0] < inlet.breaker[0]:
            return f"{way}, on a post of the inlet's own size; until then one heavy thing at a time, and feel the plug."
    alone = alone_over(found, inlet)
    if alone:
        what = listed(names.get(key, key) for key in alone)
        return f"Leave the {what} off on this post, use one of fewer watts, or ask for a post with a larger breaker."
    if urgency == Urgency.WATCH and inlet.peak[0] <= inlet.line[0] and inlet.together[0] > inlet.limit[0]:
        return too_many(found, inlet, names) or (pairs[0].text if pairs else feel)
    if urgency in (Urgency.ACT, Urgency.WATCH):
        return best_shift(found, inlet.total[0], names) or (pairs[0].text if pairs else feel)
    return feel


def best_shift(found: Findings, total: Array, names: dict[str, str]) -> str:
    """Which listed load to move, by how many hours, and what that does to the worst three hours."""
    step = step_hours(total.size) * 3600.0
    now = float(largest_running_mean(total, step)[0, 0])
    day = min(total.size, 24)
    best: tuple[float, int, str, str] | None = None
    for path in found.items("power.load"):
        figure = f"power.load_current.{load_key(path)}"
        if not found.has(figure):
            continue
        part = found.hourly(figure)[0]
        if not np.any(part) or np.all(part > 0):
            continue
        for shift in sorted(range(1, day), key=lambda n: min(n, day - n)):
            then = float(largest_running_mean(total - part + np.roll(part, shift), step)[0, 0])
            if best is None or then < best[0] - 0.05:
                best = (then, shift, names.get(load_key(path), "it"), figure)
    if best is None or now - best[0] < WORTH:
        return ""
    _, shift, name, figure = best
    hours = shift * step / 3600
    way = f"{hours:.0f} h later" if hours <= 12 else f"{24 - hours:.0f} h earlier"
    # Chosen on the usual day, told over all days.
    part = found.hourly(figure)
    moved = found.hourly("power.shore_current") - part + np.roll(part, shift, axis=-1)
    after = largest_running_mean(moved, step)[:, 0]
    line = continuous_limit(found.daily("power.shore_limit"))[0]
    still = ", still too much: run fewer things as well" if after[0] > line * (1 + 1e-9) else ""
    return (
        f"Move the hours of {name} {way} ({spans(np.roll(part[0], shift) > 0)}): the worst three hours fall from "
        f"{found.say(now, 'current')} to {found.say_range(after, 'current')}{still}."
    )


# --- pictures ---------------------------------------------------------------------------------


def _pictures(found: Findings, inlet: Inlet, names: dict[str, str]) -> tuple[Picture, ...]:
    steps = inlet.total.shape[1]
    hours = tuple((k + 0.5) * step_hours(steps) for k in range(steps))
    layers = [
        _layer(names.get(figure_key(name), figure_key(name)), found.hourly(name))
        for name in found.family("power.load_current")
        if np.any(found.hourly(name)[0] > 1e-3)
    ]
    line, limit = float(inlet.line[0]), float(inlet.limit[0])
    over = inlet.total[0] > line * (1 + 1e-9)
    stack = Stack(
        "Shore current over the day",
        "current",
        hours,
        tuple(layers),
        lines=(
            Series(f"80 %, {found.say(line, 'current')}", (line,) * steps),
            Series(f"{inlet.weakest}, {found.say(limit, 'current')}", (limit,) * steps),
        ),
        marked=tuple(hour for hour, marked in zip(hours, over, strict=True) if marked),
        mark_note=f"hours over {found.say(line, 'current')}" if over.any() else "",
    )
    bars = [
        (found.daily(name), names.get(figure_key(name), figure_key(name)))
        for name in found.family("power.running_current")
        if found.daily(name)[0] > 1e-3
    ]
    bars.sort(key=lambda item: -float(item[0][0]))
    running = Bars("What each takes while it is on", "current", tuple(_bar(*bar) for bar in bars))
    pairs = _together(found, inlet, names)
    return (stack, *((running,) if bars else ()), *pairs)


def _together(found: Findings, inlet: Inlet, names: dict[str, str]) -> tuple[Picture, ...]:
    """Which two may be on together: every pair of what takes an amp or more."""
    running = {
        figure_key(f): float(found.hourly(f)[0].max()) for f in found.family("power.running_current")
    }
    keys = [key for key, amps in sorted(running.items(), key=lambda item: -item[1]) if amps >= 1.0]
    clash = clashing_pairs(found, inlet)
    alone = alone_over(found, inlet)
    rows = []
    for i, one in enumerate(keys):
        for other in keys[i + 1 :]:
            amps = clash.get((one, other), clash.get((other, one)))
            pair = f"{names.get(one, one)} + {names.get(other, other)}"
            total = found.say(running[one] + running[other], "current")
            if not legs_of(found, one) & legs_of(found, other):
                rows.append(ListRow((pair, total, "on different legs: they do not add"), None))
                continue
            if one in alone or other in alone:
                rows.append(ListRow((pair, total, "no: one is too much by itself"), Urgency.ACT))
            elif amps is None:
                rows.append(
                    ListRow((pair, total, "within what it carries for long, or never at once"), None)
                )
            elif amps.max() > inlet.breaker[0]:
                rows.append(
                    ListRow((pair, total, f"no: trips the breaker ({spans(amps > 0)})"), Urgency.ACT)
                )
            elif amps.max() > inlet.limit[0]:
                rows.append(
                    ListRow(
                        (pair, total, f"no: too much for the {inlet.weakest} ({spans(amps > 0)})"),
                        Urgency.ACT,
                    )
                )
            else:
                rows.append(
                    ListRow((pair, total, f"minutes, not hours ({spans(amps > 0)})"), Urgency.WATCH)
                )
    if not rows:
        return ()
    note = "Two at a time, whatever else is on; contacts unknown unless felt after an hour."
    return (Listing("Two at once", ("what", "takes", "together"), tuple(rows), note),)


def _layer(label: str, values: Array) -> Series:
    """One load over the day with its range."""
    usual = tuple(map(float, values[0]))
    drawn = values[1:][np.isfinite(values[1:]).all(axis=-1)]
    if not drawn.size:
        return Series(label, usual)
    low, high = np.percentile(drawn, (5, 95), axis=0)
    return Series(
        label,
        usual,
        tuple(map(float, np.minimum(low, values[0]))),
        tuple(map(float, np.maximum(high, values[0]))),
    )


def _bar(values: Array, label: str) -> Bar:
    if values.size == 1:
        return Bar(label, float(values[0]))
    low, high = percentiles(values, 5, 95)
    return Bar(label, float(values[0]), float(min(low, values[0])), float(max(high, values[0])))
