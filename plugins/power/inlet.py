"""The inlet's numbers, and the reasons that what is on gives; the supply's own are `inlet_supply`'s."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.contract import Findings, Reason
from plugins.power.consumers import OWN_KEYS, load_key
from plugins.power.phrases import clock, listed, often, spans, step_hours
from plugins.power.shore import continuous_limit
from plugins.power.tables import NOMINAL_120, QUICK_TRIP_MULTIPLE, SPLIT

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
    peak_step: int
    weakest: str

    @property
    def over(self) -> NDArray[np.bool_]:
        """Over what lasts three hours, or over the rating in the largest hour."""
        return (self.lasting > self.line * (1 + 1e-9)) | (self.peak > self.limit * (1 + 1e-9))

    @property
    def near(self) -> NDArray[np.bool_]:
        """Not over, but an hour above the line, or more than what holds can be on at once."""
        above = self.peak > self.line * (1 + 1e-9)
        return above | (self.together > self.limit * (1 + 1e-9)) | (self.lasting > NEAR * self.line)


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
        peak_step=int(np.argmax(found.hourly("power.shore_peak")[0])),
        weakest=_PARTS[weakest],
    )


def legs_of(found: Findings, key: str) -> frozenset[str]:
    """The legs of a two-leg inlet that something is on; with one leg all are on the one."""
    if found.text("power.shore.legs", "one") != "two":
        return frozenset(("one",))
    paths = {load_key(path): path for path in found.items("power.load")}
    if key in paths:
        on_bank = found.text(f"{paths[key]}.where", "shore") == "bank"
        leg = "one" if on_bank else found.text(f"{paths[key]}.leg", "one")
    elif key == "air_conditioner":
        leg = "both" if found.number("climate.voltage", NOMINAL_120)[0] > SPLIT else "one"
    else:
        leg = found.text("power.charger.leg", "two") if key in ("ice_box", "charger") else "one"
    return frozenset(("one", "two") if leg == "both" else (leg,))


def worst_step(inlet: Inlet) -> int:
    """The step of the largest nominal current."""
    return int(np.argmax(inlet.total[0]))


def reasons(
    found: Findings, inlet: Inlet, names: dict[str, str], pairs: list[Reason], over: float
) -> tuple[Reason, ...]:
    """Why, of what is on: how often, the worst hour by load, the pairs that are over, all at once."""
    return (
        *_how_often(inlet, over),
        *_worst_hour(found, inlet, names),
        *_alone(found, inlet, names),
        *pairs,
        *_at_once(found, inlet),
    )


def used(found: Findings, names: dict[str, str]) -> tuple[Reason, ...]:
    """What is counted twice, what the post's meter counts, and what a nameplate sum would make of it."""
    energy = found.say_range(found.daily("power.energy_per_day"), "energy_per_day")
    return (*_twice(found, names), Reason(f"The post gives {energy}.{_cost(found)}"), *_nameplate(found))


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


def too_much(found: Findings, inlet: Inlet, amps: float) -> str:
    """What becomes of ``amps`` that are more than what holds: a breaker sees it, a plug does not."""
    if amps > inlet.breaker[0] * (1 + 1e-9):
        return f"the {found.say(inlet.breaker[0], 'current')} breaker {trips(amps, inlet.breaker[0])}"
    return f"more than the {found.say(inlet.limit[0], 'current')} {inlet.weakest} is made for, and no breaker trips"


def alone_over(found: Findings, inlet: Inlet) -> dict[str, float]:
    """What is over what holds with nothing else on, and its amps."""
    largest = {
        figure_key(name): float(found.hourly(name)[0].max())
        for name in found.family("power.running_current")
    }
    return {key: amps for key, amps in largest.items() if amps > inlet.limit[0] * (1 + 1e-9)}


def _alone(found: Findings, inlet: Inlet, names: dict[str, str]) -> list[Reason]:
    return [
        Reason(
            f"{_upper(names.get(key, key))} alone takes {found.say(amps, 'current')}: {too_much(found, inlet, amps)}."
        )
        for key, amps in alone_over(found, inlet).items()
    ]


def clashing_pairs(found: Findings, inlet: Inlet) -> dict[tuple[str, str], Array]:
    """Every pair that is over the continuous line when both are on, and its amps in each hour in which it is.

    What is over what holds by itself is in no pair: it must not run at all.
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
            else f"{pair} must not run together: {told} is {too_much(found, inlet, most)}"
            if most > float(inlet.limit[0])
            else f"{pair} together take {told}: for minutes, not hours, for {found.say(float(inlet.line[0]), 'current')} "
            "is the most it carries for long"
        )
        worst.append((most, f"{said} ({spans(amps > 0)})."))
    return [Reason(text) for _, text in sorted(worst, reverse=True)[:3]]


def too_many(found: Findings, inlet: Inlet, names: dict[str, str]) -> str:
    """The fewest things of one leg that are together more than what holds, when no pair of them is; else
    nothing."""
    at_once = found.hourly("power.shore_together")[0]
    step = int(np.argmax(at_once))
    running = sorted(
        ((float(found.hourly(n)[0, step]), figure_key(n)) for n in found.family("power.running_current")),
        reverse=True,
    )
    for leg in ("one", "two"):
        mine = [(amps, key) for amps, key in running if leg in legs_of(found, key)]
        sums = np.cumsum([amps for amps, _ in mine])
        count = int(np.searchsorted(sums, inlet.limit[0], side="right")) + 1
        if not 2 < count <= len(mine):
            continue
        chosen, total = [key for _, key in mine[:count]], float(sums[count - 1])
        on = np.all([found.hourly(f"power.running_current.{key}")[0] > 0 for key in chosen], axis=0)
        return (
            f"{_upper(listed(names.get(key, key) for key in chosen))} together take {found.say(total, 'current')}, "
            f"{_and(too_much(found, inlet, total))}: leave one off ({spans(on)})."
        )
    return ""


def _and(text: str) -> str:
    return f"and {text}" if text.startswith("the ") else text


def _at_once(found: Findings, inlet: Inlet) -> list[Reason]:
    most = inlet.together[0]
    if most <= inlet.peak[0] * 1.02:
        return []
    over = most > inlet.limit[0]
    tail = too_much(found, inlet, float(most)) if over else "the breaker carries that"
    return [
        Reason(
            f"All that can be on at once makes {found.say_range(inlet.together, 'current')}, though the hour's mean "
            f"is {found.say(inlet.peak[0], 'current')}: {tail}."
        )
    ]


def _cost(found: Findings) -> str:
    if not found.has("power.cost_per_day.shore"):
        return ""
    money = found.text("power.shore.money", "")
    said = found.say_range(found.daily("power.cost_per_day.shore"), "cost_per_day")
    return f" At your price that costs {said}{f', in {money}' if money else ''}."


def _nameplate(found: Findings) -> list[Reason]:
    said = found.say(float(found.daily("power.nameplate_current")[0]), "current")
    return [
        Reason(
            f"Common practice, no source: the largest thing in full and half of all the others make {said}. It knows no "
            "hours, so it is not used here."
        )
    ]


def _twice(found: Findings, names: dict[str, str]) -> list[Reason]:
    doubled = [
        names[load_key(path)] for path in found.items("power.load") if path.rsplit(".", 1)[-1] in OWN_KEYS
    ]
    if not doubled:
        return []
    return [
        Reason(f"You list {listed(doubled)}, which is counted by itself as well: take one of the two away.")
    ]


def figure_key(name: str) -> str:
    return name.rsplit(".", 1)[-1]


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
