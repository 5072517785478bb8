"""Will the shore inlet carry it?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Bar, Bars, Findings, Picture, Reason, Series, Stack, Urgency
from plugins.power.consumers import OWN_KEYS, load_key
from plugins.power.phrases import clock, listed, load_names, often, share_true, spans
from plugins.power.shore import continuous_limit, largest_running_mean
from plugins.power.tables import (
    INSTANT_TRIP_MULTIPLE,
    LOW_VOLTAGE_SHARE,
    NOMINAL_120,
    NOMINAL_230,
    SPLIT,
    START_VOLTAGE_SHARE,
    STOP_VOLTAGE_SHARE,
)

Array = NDArray[np.float64]

_PARTS = {
    "inlet_current": "inlet", "cord_current": "cord", "adapter_current": "adapter",
    "post_breaker": "post breaker", "main_breaker": "main breaker",
}  # fmt: skip
_CONTACTS = ("inlet_current", "cord_current", "adapter_current")
NEAR = 0.9
"""Of the continuous line: nearer than this is worth a word."""
WORTH = 0.5
"""Amps that moving a load must save to be worth doing."""
LEAST_SHARE = 0.02


@dataclass(frozen=True)
class Inlet:
    """The numbers of the card: each (draws,), nominal first."""

    limit: Array
    line: Array
    breaker: Array
    contacts: Array
    lasting: Array
    peak: Array
    together: Array
    total: Array
    weakest: str

    @property
    def over(self) -> NDArray[np.bool_]:
        """Over what lasts three hours, or over the rating in the largest hour."""
        return (self.lasting > self.line * (1 + 1e-9)) | (self.peak > self.limit * (1 + 1e-9))

    @property
    def near(self) -> NDArray[np.bool_]:
        """Not over, but an hour above the line, or more than a breaker can be on at once."""
        above = self.peak > self.line * (1 + 1e-9)
        return above | (self.together > self.breaker * (1 + 1e-9)) | (self.lasting > NEAR * self.line)


def answer(found: Findings) -> Answer:
    """The card: verdict, what makes the worst hour, which two must not run together, what to move."""
    inlet = _inlet(found)
    names = load_names(found)
    over = share_true(inlet.over)
    verdict, urgency, holds = _verdict(found, inlet, over)
    pairs = _pairs(found, inlet, names)
    reasons = [
        *_worst_hour(found, inlet, names),
        *pairs,
        *_at_once(found, inlet),
        *_limits(found, inlet),
        *_contacts(found),
        *_volts(found),
        *_start(found, inlet),
        *_twice(found, names),
        Reason(
            f"A day takes {found.say_range(found.daily('power.energy_per_day'), 'energy_per_day')} from the post."
        ),
    ]
    return Answer(
        verdict,
        urgency,
        figure="power.shore_continuous",
        reasons=tuple(reasons),
        next=_next(found, inlet, names, pairs, urgency),
        sure=holds,
        hazards=("inlet_overheating", "mains_work", "shock_in_the_water"),
        pictures=_pictures(found, inlet, names),
    )


def _inlet(found: Findings) -> Inlet:
    ratings = {
        part: found.number(f"power.shore.{part}") for part in _PARTS if found.has(f"power.shore.{part}")
    }
    weakest = min(ratings, key=lambda part: (ratings[part][0], list(_PARTS).index(part)))
    limit = found.daily("power.shore_limit")
    return Inlet(
        limit=limit,
        line=continuous_limit(limit),
        breaker=np.minimum(ratings["post_breaker"], ratings["main_breaker"]),
        contacts=np.min([ratings[part] for part in _CONTACTS if part in ratings], axis=0),
        lasting=found.daily("power.shore_continuous"),
        peak=found.daily("power.shore_peak"),
        together=found.daily("power.shore_together"),
        total=found.hourly("power.shore_current"),
        weakest=_PARTS[weakest],
    )


# --- the verdict ------------------------------------------------------------------------------


def _verdict(found: Findings, inlet: Inlet, over: float) -> tuple[str, Urgency, float]:
    def amps(values: Array) -> str:
        return found.say(values[0], "current")

    what = f"a {amps(inlet.limit)} {inlet.weakest}"
    line = amps(inlet.line)
    hour = clock(_worst(inlet) * 24.0 / inlet.total.shape[1])
    if inlet.over[0]:
        if inlet.peak[0] > inlet.breaker[0] * (1 + 1e-9):
            text = f"{amps(inlet.peak)} in the hour from {hour} is over the {amps(inlet.breaker)} breaker: it will trip."
        elif inlet.lasting[0] > continuous_limit(inlet.contacts)[0] * (1 + 1e-9):
            text = (
                f"{amps(inlet.lasting)} for three hours is over the {line} that {what} carries all day; "
                "no breaker will trip — the plug will cook."
            )
        elif inlet.peak[0] > inlet.limit[0] * (1 + 1e-9):
            text = f"{amps(inlet.peak)} in the hour from {hour} is more than {what} is made for, and no breaker will trip."
        else:
            text = f"{amps(inlet.lasting)} for three hours is over the {line} that {what} carries all day; it may trip warm."
        return text, Urgency.ACT, over
    within = 1.0 - over
    if inlet.near[0]:
        if inlet.peak[0] > inlet.line[0] * (1 + 1e-9):
            text = (
                f"{amps(inlet.peak)} in the hour from {hour} is over the {line} that {what} carries all day; "
                f"over three hours it is {amps(inlet.lasting)}, so a longer hour would cook the plug."
            )
        elif inlet.together[0] > inlet.breaker[0]:
            text = (
                f"Within {line} by the hour, but {amps(inlet.together)} if everything is on at once: "
                f"then the {amps(inlet.breaker)} breaker trips in minutes."
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


def _worst(inlet: Inlet) -> int:
    return int(np.argmax(inlet.total[0]))


# --- reasons ----------------------------------------------------------------------------------


def _worst_hour(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    worst = _worst(inlet)
    total = float(inlet.total[0, worst])
    if total <= 0:
        return [Reason("Nothing listed draws on shore power.")]
    hour = clock(worst * 24.0 / inlet.total.shape[1])
    parts = [(name, float(found.hourly(name)[0, worst])) for name in found.family("power.load_current")]
    said = []
    for name, part in sorted(parts, key=lambda item: -item[1]):
        if part >= LEAST_SHARE * total:
            label = names.get(_key(name), _key(name))
            said.append(
                Reason(
                    f"{_upper(label)}: {found.say(part, 'current')} in the worst hour, from {hour}.",
                    part / total,
                )
            )
    return said


def _pairs(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    """The pairs that are over when on together, and when that can be: at most three."""
    running = {_key(name): found.hourly(name)[0] for name in found.family("power.running_current")}
    keys = list(running)
    worst: list[tuple[float, str]] = []
    for i, one in enumerate(keys):
        for other in keys[i + 1 :]:
            both = (running[one] > 0) & (running[other] > 0)
            sums = np.where(both, running[one] + running[other], 0.0)
            most = float(sums.max())
            if most > inlet.line[0] * (1 + 1e-9):
                verb = "trips the breaker" if most > inlet.breaker[0] else "is over what lasts"
                when = spans(sums > inlet.line[0] * (1 + 1e-9))
                worst.append(
                    (
                        most,
                        f"{_upper(names.get(one, one))} and {names.get(other, other)} must not run together: "
                        f"{found.say(most, 'current')} {verb} ({when}).",
                    )
                )
    return [Reason(text) for _, text in sorted(worst, reverse=True)[:3]]


def _at_once(found: Findings, inlet: Inlet) -> list[Reason]:
    most = inlet.together[0]
    if most <= inlet.peak[0] * 1.02:
        return []
    tail = "trips the breaker in minutes" if most > inlet.breaker[0] else "the breaker carries that"
    return [
        Reason(
            f"All that can be on at once makes {found.say_range(inlet.together, 'current')}, though the hour's mean "
            f"is {found.say(inlet.peak[0], 'current')}: {tail}."
        )
    ]


def _limits(found: Findings, inlet: Inlet) -> list[Reason]:
    rule = (
        "80 % of it for three hours or more is the rule of the US code"
        if _nominal(found) == NOMINAL_120
        else "80 % of it for three hours or more is our own caution; no rule here says so"
    )
    return [Reason(f"What holds is the {inlet.weakest}, {found.say(inlet.limit[0], 'current')}; {rule}.")]


def _contacts(found: Findings) -> list[Reason]:
    heat = found.say_range(found.daily("power.contact_heat"), "power")
    if found.given("power.shore.contact_resistance"):
        return [Reason(f"The contacts make {heat} of heat in plug and inlet.")]
    return [Reason(f"The contacts are unknown, so not taken as good: {heat} of heat in plug and inlet.")]


def _volts(found: Findings) -> list[Reason]:
    volts = found.daily("power.inlet_voltage")
    share = volts[0] / _nominal(found)
    said = f"Volts on board fall to {found.say_range(volts, 'voltage')}"
    if share < STOP_VOLTAGE_SHARE:
        return [Reason(f"{said}: stop the motors, the air conditioner first.")]
    if share < LOW_VOLTAGE_SHARE:
        return [Reason(f"{said}: low; watch the meter when the dock is busy.")]
    return [Reason(f"{said}, which is enough.")]


def _start(found: Findings, inlet: Inlet) -> list[Reason]:
    if not found.has("climate.start_current"):
        return []
    peak, volts = found.daily("power.start_peak"), found.daily("power.start_voltage")
    if peak[0] <= inlet.together[0]:
        return []
    said = f"When the air conditioner starts, {found.say(peak[0], 'current')} flow for a moment"
    if peak[0] > INSTANT_TRIP_MULTIPLE * inlet.breaker[0]:
        return [
            Reason(
                f"{said}: that may trip the breaker at once; a soft starter takes more than half off it."
            )
        ]
    if volts[0] < START_VOLTAGE_SHARE * _nominal(found):
        return [
            Reason(
                f"{said} and the volts dip to {found.say(volts[0], 'voltage')}: it may hum and not start."
            )
        ]
    return [Reason(f"{said}; a breaker rides that, and the volts dip to {found.say(volts[0], 'voltage')}.")]


def _twice(found: Findings, names: dict[str, str]) -> list[Reason]:
    doubled = [
        names[load_key(path)] for path in found.items("power.load") if path.rsplit(".", 1)[-1] in OWN_KEYS
    ]
    if not doubled:
        return []
    return [
        Reason(f"You list {listed(doubled)}, which is counted by itself as well: take one of the two away.")
    ]


def _nominal(found: Findings) -> float:
    volts = float(found.number("power.shore.voltage")[0])
    two = found.text("power.shore.legs", "one") == "two"
    return NOMINAL_230 if volts > SPLIT and not two else NOMINAL_120


# --- what to do -------------------------------------------------------------------------------


def _next(
    found: Findings, inlet: Inlet, names: dict[str, str], pairs: list[Reason], urgency: Urgency
) -> str:
    feel = (
        "After an hour under load feel plug and inlet with the back of a dry hand; hot, marked or smelling: "
        "breaker at the post off, then replace both halves."
    )
    if urgency in (Urgency.ACT, Urgency.WATCH):
        return best_shift(found, inlet.total[0], names) or (pairs[0].text if pairs else feel)
    return feel


def best_shift(found: Findings, total: Array, names: dict[str, str]) -> str:
    """Which listed load to move, by how many hours, and what that does to the worst three hours."""
    step = 86400.0 / total.size
    now = float(largest_running_mean(total, step)[0, 0])
    best: tuple[float, int, str, Array] | None = None
    for path in found.items("power.load"):
        name = f"power.load_current.{load_key(path)}"
        if not found.has(name):
            continue
        part = found.hourly(name)[0]
        if not np.any(part) or np.all(part > 0):
            continue
        for shift in sorted(range(1, total.size), key=lambda n: min(n, total.size - n)):
            then = float(largest_running_mean(total - part + np.roll(part, shift), step)[0, 0])
            if best is None or then < best[0] - 0.05:
                best = (then, shift, names.get(load_key(path), "it"), part)
    if best is None or now - best[0] < WORTH:
        return ""
    then, shift, name, part = best
    hours = shift * step / 3600
    way = f"{hours:.0f} h later" if hours <= 12 else f"{24 - hours:.0f} h earlier"
    return (
        f"Move the hours of {name} {way} ({spans(np.roll(part, shift) > 0)}): the worst three hours fall from "
        f"{found.say(now, 'current')} to {found.say(then, 'current')}."
    )


# --- pictures ---------------------------------------------------------------------------------


def _pictures(found: Findings, inlet: Inlet, names: dict[str, str]) -> tuple[Picture, ...]:
    steps = inlet.total.shape[1]
    hours = tuple((k + 0.5) * 24.0 / steps for k in range(steps))
    layers = [
        Series(names.get(_key(name), _key(name)), tuple(map(float, found.hourly(name)[0])))
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
        (found.daily(name), names.get(_key(name), _key(name)))
        for name in found.family("power.running_current")
        if found.daily(name)[0] > 1e-3
    ]
    bars.sort(key=lambda item: -float(item[0][0]))
    running = Bars("What each takes while it is on", "current", tuple(_bar(*bar) for bar in bars))
    return (stack, running) if bars else (stack,)


def _bar(values: Array, label: str) -> Bar:
    if values.size == 1:
        return Bar(label, float(values[0]))
    low, high = np.percentile(values[1:], (5, 95))
    return Bar(label, float(values[0]), float(min(low, values[0])), float(max(high, values[0])))


def _key(name: str) -> str:
    return name.rsplit(".", 1)[-1]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
