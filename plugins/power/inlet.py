"""The inlet's numbers, and the reasons they give."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Findings, Reason
from plugins.power.consumers import OWN_KEYS, load_key
from plugins.power.phrases import clock, listed, often, spans, step_hours
from plugins.power.shore import continuous_limit
from plugins.power.tables import (
    INSTANT_TRIP_MULTIPLE,
    LOW_VOLTAGE_SHARE,
    NOMINAL_120,
    NOMINAL_230,
    QUICK_TRIP_MULTIPLE,
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
OFTEN = 0.15
"""Of the days over, when the usual day is within: from here on it is said."""
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


def inlet_of(found: Findings) -> Inlet:
    """The card's numbers from the day's figures and the ratings."""
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


def worst_step(inlet: Inlet) -> int:
    """The step of the largest nominal current."""
    return int(np.argmax(inlet.total[0]))


def reasons(
    found: Findings, inlet: Inlet, names: dict[str, str], pairs: list[Reason], over: float
) -> tuple[Reason, ...]:
    """Why: the worst hour by load, the pairs that are over, what holds, contacts, volts, the start."""
    energy = found.say_range(found.daily("power.energy_per_day"), "energy_per_day")
    return (
        *_how_often(inlet, over),
        *_worst_hour(found, inlet, names),
        *_alone(found, inlet, names),
        *pairs,
        *_at_once(found, inlet),
        *_limits(found, inlet),
        *_contacts(found),
        *_volts(found),
        *_start(found, inlet),
        *_twice(found, names),
        Reason(f"The post gives {energy}.{_cost(found)}"),
        *_nameplate(found),
        *_frequency(found),
    )


def _how_often(inlet: Inlet, over: float) -> list[Reason]:
    """Said when the usual day is within and a good part of the other days is not."""
    if inlet.over[0] or over < OFTEN or not inlet.near[0]:
        return []
    return [
        Reason(
            f"That is the usual day; {often(over)} it is over what lasts three hours, or over the rating."
        )
    ]


def _worst_hour(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    worst = worst_step(inlet)
    total = float(inlet.total[0, worst])
    if total <= 0:
        return [Reason("Nothing listed draws on shore power.")]
    hour = clock(worst * step_hours(inlet.total.shape[1]))
    parts = [(name, float(found.hourly(name)[0, worst])) for name in found.family("power.load_current")]
    said = []
    for name, part in sorted(parts, key=lambda item: -item[1]):
        if part >= LEAST_SHARE * total:
            label = names.get(figure_key(name), figure_key(name))
            said.append(
                Reason(
                    f"{_upper(label)}: {found.say(part, 'current')} in the worst hour, from {hour}.",
                    part / total,
                )
            )
    return said


def trips(amps: float, breaker: float) -> str:
    """How a breaker over its rating goes: a little over may hold for long, far over does not."""
    return "trips in minutes" if amps >= QUICK_TRIP_MULTIPLE * breaker else "trips sooner or later"


def alone_over(found: Findings, inlet: Inlet) -> dict[str, float]:
    """What is over the breaker with nothing else on, and its amps."""
    largest = {
        figure_key(name): float(found.hourly(name)[0].max())
        for name in found.family("power.running_current")
    }
    return {key: amps for key, amps in largest.items() if amps > inlet.breaker[0] * (1 + 1e-9)}


def _alone(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    breaker = found.say(inlet.breaker[0], "current")
    return [
        Reason(
            f"{_upper(names.get(key, key))} alone takes {found.say(amps, 'current')}: the {breaker} breaker {trips(amps, inlet.breaker[0])}."
        )
        for key, amps in alone_over(found, inlet).items()
    ]


def clashing_pairs(found: Findings, inlet: Inlet) -> dict[tuple[str, str], Array]:
    """Every pair that is over the continuous line when both are on, and its amps in each hour in which it is.

    What is over the breaker by itself is in no pair: it must not run at all.
    """
    alone = alone_over(found, inlet)
    line = float(inlet.line[0]) * (1 + 1e-9)
    pairs: dict[tuple[str, str], Array] = {}
    for name in found.family("power.pair_current"):
        one, other = name.removeprefix("power.pair_current.").split(".")
        amps = found.hourly(name)[0]
        if one not in alone and other not in alone and amps.max() > line:
            pairs[one, other] = np.where(amps > line, amps, 0.0)
    return pairs


def pairs_over(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    """The pairs that must not be on together, the worst three first, and when that can be."""
    worst: list[tuple[float, str]] = []
    for (one, other), amps in clashing_pairs(found, inlet).items():
        most = float(amps.max())
        pair = f"{_upper(names.get(one, one))} and {names.get(other, other)}"
        told = found.say(most, "current")
        said = (
            f"{pair} must not run together: {told} trips the breaker"
            if most > float(inlet.breaker[0])
            else f"{pair} together take {told}: for minutes, not hours, for {found.say(float(inlet.line[0]), 'current')} "
            "is the most it carries for long"
        )
        worst.append((most, f"{said} ({spans(amps > 0)})."))
    return [Reason(text) for _, text in sorted(worst, reverse=True)[:3]]


def too_many(found: Findings, inlet: Inlet, names: dict[str, str]) -> str:
    """The fewest things that trip the breaker together, when no pair of them does; else nothing."""
    at_once = found.hourly("power.shore_together")[0]
    step = int(np.argmax(at_once))
    running = sorted(
        ((float(found.hourly(n)[0, step]), figure_key(n)) for n in found.family("power.running_current")),
        reverse=True,
    )
    sums = np.cumsum([amps for amps, _ in running])
    count = int(np.searchsorted(sums, inlet.breaker[0], side="right")) + 1
    if not 2 < count <= len(running):
        return ""
    chosen = [key for _, key in running[:count]]
    on = np.all([found.hourly(f"power.running_current.{key}")[0] > 0 for key in chosen], axis=0)
    return (
        f"{_upper(listed(names.get(key, key) for key in chosen))} together take "
        f"{found.say(float(sums[count - 1]), 'current')}, and the breaker {trips(sums[count - 1], inlet.breaker[0])}: leave one off "
        f"({spans(on)})."
    )


def _at_once(found: Findings, inlet: Inlet) -> list[Reason]:
    most = inlet.together[0]
    if most <= inlet.peak[0] * 1.02:
        return []
    over = most > inlet.breaker[0]
    tail = f"the breaker {trips(most, inlet.breaker[0]) if over else 'carries that'}"
    return [
        Reason(
            f"All that can be on at once makes {found.say_range(inlet.together, 'current')}, though the hour's mean "
            f"is {found.say(inlet.peak[0], 'current')}: {tail}."
        )
    ]


def _limits(found: Findings, inlet: Inlet) -> list[Reason]:
    rule = (
        "80 % of it for three hours or more is the rule of the US code"
        if _nominal_volts(found) == NOMINAL_120
        else "80 % of it for three hours or more is our own caution; no rule here says so"
    )
    legs = " Each leg apart; the numbers are of the one that carries more." if _two_legs(found) else ""
    return [
        Reason(f"What holds is the {inlet.weakest}, {found.say(inlet.limit[0], 'current')}; {rule}.{legs}")
    ]


def _contacts(found: Findings) -> list[Reason]:
    heat = found.say_range(found.daily("power.contact_heat"), "power")
    touch = "after an hour under load a plug too hot to hold is bad, at half its rating too, and no breaker sees it"
    if found.given("power.shore.contact_resistance"):
        return [Reason(f"The contacts make {heat} of heat in plug and inlet; {touch}.")]
    return [
        Reason(
            f"The contacts are unknown, so not taken as good: {heat} of heat in plug and inlet; {touch}."
        )
    ]


def _cost(found: Findings) -> str:
    if not found.has("power.cost_per_day.shore"):
        return ""
    money = found.text("power.shore.money", "")
    said = found.say_range(found.daily("power.cost_per_day.shore"), "cost_per_day")
    return f" At your price that costs {said}{f', in {money}' if money else ''}."


def _frequency(found: Findings) -> list[Reason]:
    """A dock of another frequency than the label's."""
    if not found.has("power.shore.frequency") or not found.has("climate.frequency"):
        return []
    dock, label = (float(found.number(path)[0]) for path in ("power.shore.frequency", "climate.frequency"))
    if abs(dock - label) < 3.0:
        return []
    return [
        Reason(
            f"This dock has {found.say(dock, 'frequency')} and the air conditioner's label {found.say(label, 'frequency')}: motors "
            "not labelled for both must not run on it."
        )
    ]


def _nameplate(found: Findings) -> list[Reason]:
    said = found.say(float(found.daily("power.nameplate_current")[0]), "current")
    return [
        Reason(
            f"Common practice, no source: the largest thing in full and half of all the others make {said}. It knows no "
            "hours, so it is not used here."
        )
    ]


def _volts(found: Findings) -> list[Reason]:
    volts = found.daily("power.inlet_voltage")
    share = volts[0] / _nominal_volts(found)
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
    if volts[0] < START_VOLTAGE_SHARE * _nominal_volts(found):
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


def _nominal_volts(found: Findings) -> float:
    volts = float(found.number("power.shore.voltage")[0])
    return NOMINAL_230 if volts > SPLIT and not _two_legs(found) else NOMINAL_120


def _two_legs(found: Findings) -> bool:
    return found.text("power.shore.legs", "one") == "two"


def figure_key(name: str) -> str:
    return name.rsplit(".", 1)[-1]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
