"""Is the water getting through: how far down the flow is, what takes it, and what gives it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from console.contract import Answer, Reason, Urgency
from plugins.raw_water import pictures, tables
from plugins.raw_water.said import both_regained, does_not_add_up, part_at, regained, search
from plugins.raw_water.words import FAULTS, WET, share_in_words

if TYPE_CHECKING:
    from console.contract import Array, Findings

PLAN, NOW = 0.75, 0.6
"""Shares of the clean flow below which to plan a cleaning, and to do it now. Common practice."""

_NOTHING = 0.02
_WELL = 0.95
_SHORT_FLOW = 2.0 * tables.GALLON_PER_MINUTE / (12_000 * tables.BTU_PER_HOUR)
"""Flow (m³/s) per watt of label below which practice looks for a reason: 2 gal/min per ton,
from memory."""
_MOST = 5
_FREEZING = 273.15
_DEEP_ENOUGH = 0.28
"""Depth (m) a pump should have on every tack: a foot, and a thumb's breadth less is a foot too."""


def is_water_getting_through(found: Findings) -> Answer:
    """The flow against the clean flow, where the head goes, and the jobs that give back most."""
    absent = does_not_add_up(found)
    if absent:
        return absent
    shares = found.daily("raw_water.flow_share")
    share = float(shares[0])
    gains = regained(found)
    best = gains[0][0] if gains else ""
    short = _is_below(shares, PLAN)
    urgency = Urgency.ACT if _is_below(shares, NOW) else Urgency.WATCH if short else Urgency.FINE
    sparse = _flow_is_short_for_unit(found)
    if (sparse or _is_pump_dry(found)) and urgency is Urgency.FINE:
        urgency = Urgency.WATCH
    next_step, hazards = _next(found, share, best, sparse)
    return Answer(
        _verdict(found, share, short, gains, sparse), urgency, "raw_water.flow", _reasons(found, gains, sparse),
        next_step, _agreeing(shares, PLAN, short), (*hazards, *_frost(found)),
        (pictures.water_line(found), pictures.parts_list(found), pictures.loss_bars(found), pictures.curves(found)),
    )  # fmt: skip


def _frost(found: Findings) -> tuple[str, ...]:
    """The hazard of water left standing in the line, on a day that freezes."""
    cold = found.has("weather.outdoor_temperature") and bool(
        np.nanmin(found.hourly("weather.outdoor_temperature")[0]) < _FREEZING
    )
    return ("freezing_water",) if cold else ()


def _is_below(shares: Array, limit: float) -> bool:
    """Whether the flow is below a limit: at its nominal, or more likely than not."""
    return bool(shares[0] < limit or (shares.size > 1 and np.mean(shares[1:] < limit) > 0.5))


def _agreeing(shares: Array, limit: float, below: bool) -> float | None:
    """In what share of the draws the flow is on the verdict's side of the limit."""
    return float(np.mean((shares[1:] < limit) == below)) if shares.size > 1 else None


def _flow_is_short_for_unit(found: Findings) -> bool:
    """Whether even the clean line passes less than practice wants for the unit's label."""
    if not found.has("climate.capacity"):
        return False
    clean = float(found.daily("raw_water.clean_flow")[0])
    return 0 < clean < _SHORT_FLOW * float(found.number("climate.capacity")[0])


def _verdict(
    found: Findings, share: float, short: bool, gains: list[tuple[str, Array]], sparse: bool
) -> str:
    if share < _NOTHING:
        return f"No water is getting through: {_why_none(found, gains)}."
    if short:
        lost = float(found.daily("raw_water.clean_flow")[0] - found.daily("raw_water.flow")[0])
        down = f"Flow is down to {share_in_words(share)} of clean"
        if not gains:
            return f"{down}, and no one part is to blame."
        fault, rows = gains[0]
        if float(rows[0]) >= 0.5 * lost:
            where = f"most of it is lost {FAULTS[fault].where}"
        elif len(gains) > 1:
            where = f"it is lost {FAULTS[fault].where} and {FAULTS[gains[1][0]].where}"
        else:
            where = f"part of it is lost {FAULTS[fault].where}"
        return f"{down}; {where}. {_worth(found, gains)}"
    if _is_pump_dry(found):
        return "The water gets through only while the pump keeps its prime: it sits above the water."
    if sparse:
        return "The line passes little water for this unit, even when clean."
    if share < _WELL and gains:
        return (
            f"The water is getting through: {share_in_words(share)} of the clean flow, the rest lost "
            f"{FAULTS[gains[0][0]].where}."
        )
    return "The water is getting through."


def _worth(found: Findings, gains: list[tuple[str, Array]]) -> str:
    """What the best job gives back, and the best two together."""
    fault, rows = gains[0]
    job = FAULTS[fault].job
    said = f"{job[0].upper()}{job[1:]} gives back {found.say_range(rows, 'flow')}"
    both = both_regained(found)
    if both is None or float(both[1][0]) < 1.1 * float(rows[0]):
        return f"{said}."
    (first, second), together = both
    if first == fault:
        return f"{said}; {FAULTS[second].job} as well, {found.say_range(together, 'flow')}."
    return f"{said}; {FAULTS[first].job} and {FAULTS[second].job} together, {found.say_range(together, 'flow')}."


def _why_none(found: Findings, gains: list[tuple[str, Array]]) -> str:
    pump = part_at(found, "pump")
    if float(found.number(f"{pump}.stopped")[0]) > 0.98:
        return "the pump stands still"
    if float(found.number(f"{pump}.air")[0]) > 0.8:
        return "the pump is full of air"
    if float(found.number(f"{pump}.suction_air")[0]) > 0.1:
        return "the pump has lost its prime to drawn air"
    if gains:
        return f"it is lost {FAULTS[gains[0][0]].where}"
    if _cannot_lift(found):
        return "the pump's head is less than the lift to the overboard"
    if _cannot_start(found):
        return "the pump cannot start it over the high spots"
    return "more than one thing is in its way"


def _cannot_start(found: Findings) -> bool:
    return float(found.daily("raw_water.start_margin")[0]) <= 0


def _cannot_lift(found: Findings) -> bool:
    """Whether the outlet alone is too high; with no flow the pump's head is the most it has."""
    return _cannot_start(found) and float(found.daily("raw_water.pump_head")[0]) <= _outlet(found)


def _outlet(found: Findings) -> float:
    """Height (m) of the overboard over the water."""
    return float(found.number(f"{part_at(found, 'overboard')}.height")[0])


def _is_pump_dry(found: Findings) -> bool:
    """Whether the pump sits above the water, where it cannot fill itself."""
    return float(found.number(f"{part_at(found, 'pump')}.depth")[0]) <= 0


def _next(found: Findings, share: float, best: str, sparse: bool) -> tuple[str, tuple[str, ...]]:
    if best and share < _WELL:
        step = search(found, best)
        return step.next, step.hazards
    if share < _NOTHING and _cannot_start(found):
        return (
            "Measure how high the line's highest spot is above the waterline: the pump's largest head must be more. "
            "Else lower that spot, or fit a pump of more head.",
            WET,
        )
    if _is_pump_dry(found):
        return (
            "Move the pump at least a foot below the waterline, on every tack. Until then fill it before each start, "
            "and stop it at once when it runs dry.",
            ("dry_pump", *WET),
        )
    if sparse:
        return "Look for a hose too narrow or too long, and at the pump's label.", ()
    if float(found.daily("raw_water.lock_fall")[0]) > 0:
        return FAULTS["dips"].next, FAULTS["dips"].hazards
    if _outlet(found) < 0:
        return (
            "Nothing now. The overboard lies under water, where no stream is seen and no bucket held: at the next "
            "haul-out have it moved 6 to 8 in above the water.",
            (),
        )
    if not (found.given("raw_water.fill_time") or found.given("raw_water.fill_time_now")):
        return (
            "Time the bucket at the overboard once, when all is clean; it replaces most of what is guessed here.",
            (),
        )
    return "Nothing now. Time the bucket once a month.", ()


def _reasons(found: Findings, gains: list[tuple[str, Array]], sparse: bool) -> tuple[Reason, ...]:
    labels = pictures.loss_labels(found)
    head = max(float(found.daily("raw_water.pump_head")[0]), 1e-9)
    lost = sorted(pictures.losses(found).items(), key=lambda pair: -pair[1])
    reasons = [
        Reason(f"{labels.get(name, name.replace('_', ' '))}: takes {found.say(loss, 'head')}", loss / head)
        for name, loss in lost[:_MOST]
        if loss > 0.01 * head
    ]
    rest = sum(loss for _, loss in lost[_MOST:])
    if rest > 0.01 * head:
        reasons.append(Reason(f"everything else: takes {found.say(rest, 'head')}", rest / head))
    reasons.extend(
        Reason(f"{FAULTS[fault].job} would give back {found.say_range(rows, 'flow')}")
        for fault, rows in gains[:3]
    )
    both = both_regained(found)
    if both is not None and len(gains) > 1:
        (first, second), rows = both
        reasons.append(
            Reason(
                f"{FAULTS[first].job} and {FAULTS[second].job}, the best two, would give back "
                f"{found.say_range(rows, 'flow')}"
            )
        )
    if sparse:
        reasons.append(
            Reason("less than 2 gallons a minute per ton of cooling (common practice, no source)")
        )
    reasons.extend(_air_reasons(found))
    if found.given("raw_water.fill_time"):
        reasons.append(Reason("fitted to the seconds your bucket took when clean"))
    if found.given("raw_water.fill_time_now"):
        reasons.append(Reason("fitted to the seconds your bucket takes now"))
    return tuple(reasons)


def _air_reasons(found: Findings) -> list[Reason]:
    """How near suction and air are to trouble: the pump's seat, its suction, and where air stays."""
    reasons = []
    pump = part_at(found, "pump")
    depth = float(found.number(f"{pump}.depth")[0])
    if depth <= 0:
        reasons.append(
            Reason("the pump sits above the water: it cannot fill itself, and every stop may end it")
        )
    elif depth < _DEEP_ENOUGH and found.given(f"{pump}.depth"):
        reasons.append(
            Reason(
                f"the pump sits {found.say(depth, 'short_height')} below the water; a foot on every tack keeps it full"
            )
        )
    margin = found.daily("raw_water.suction_margin")
    if float(margin[0]) < 0:
        reasons.append(Reason("the pump is starved on its suction side and will rattle and wear"))
    elif float(found.daily("raw_water.inlet_head")[0]) < 0:
        reasons.append(
            Reason(
                "the pump has to suck: any leaky joint before it draws air; to rattling it has "
                f"{found.say_range(margin, 'head')} to spare"
            )
        )
    labels = pictures.loss_labels(found)
    for name in found.family("raw_water.lock"):
        fall = float(found.daily(name)[0])
        if fall > 0:
            where = labels.get(name.rsplit(".", 1)[-1], "line")
            reasons.append(
                Reason(
                    f"{where}: goes down again by {found.say(fall, 'short_height')}, where air stays and can lock "
                    "the pump after a launch, a sail or work on the strainer"
                )
            )
    return reasons
