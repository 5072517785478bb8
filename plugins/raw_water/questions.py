"""The two questions: is the water getting through, and when is the strainer due?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from console.contract import Answer, Reason, Urgency
from plugins.raw_water import fouling, pictures, tables
from plugins.raw_water.build import LINE
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
_DAY = 86_400.0
_SOON = 3 * _DAY
_FREEZING = 273.15
_BEYOND_LABEL = 1.4
"""Times the pump's largest flow beyond which a bucket is doubted: a label is seldom a third short."""


def _nothing_to_cool(found: Findings) -> Answer | None:
    """The answer for a boat with neither an air conditioner nor a stated line: there is none."""
    stated = any(found.given(f"{item}.part") for item in found.items(LINE))
    stated = stated or any(found.given(f"raw_water.{name}") for name in ("water", "container", "fill_time"))
    if stated or found.has("climate"):
        return None
    return Answer(
        "Not aboard: no air conditioner and no raw-water line are in the boat file.", Urgency.NOT_ABOARD,
        next="If there is one, add [climate] for the unit, or [[raw_water.line]] for its water.",
    )  # fmt: skip


def _does_not_add_up(found: Findings) -> Answer | None:
    """The answer when the bucket fills faster than the pump could fill it with no line at all."""
    if not found.given("raw_water.fill_time"):
        return None
    bucket = float(found.number("raw_water.container")[0] / found.number("raw_water.fill_time")[0])
    pump = _pump(found)
    ratio = found.number(f"{pump}.supply_frequency")[0] / found.number(f"{pump}.rated_frequency")[0]
    most = float(found.number(f"{pump}.max_flow")[0] * ratio)
    if bucket <= _BEYOND_LABEL * most:
        return None
    return Answer(
        f"Does not add up: the bucket says {found.say(bucket, 'flow')}, and the pump gives {found.say(most, 'flow')} "
        "with nothing in its way.", Urgency.UNKNOWN,
        next="Check the bucket's size and its seconds, then the pump's label; until then nothing is claimed.",
    )  # fmt: skip


def is_water_getting_through(found: Findings) -> Answer:
    """The flow against the clean flow, where the head goes, and the fix that gives back most."""
    absent = _nothing_to_cool(found) or _does_not_add_up(found)
    if absent:
        return absent
    shares = found.daily("raw_water.flow_share")
    share = float(shares[0])
    regained = _regained(found)
    best = regained[0][0] if regained else ""
    short = _is_below(shares, PLAN)
    urgency = Urgency.ACT if _is_below(shares, NOW) else Urgency.WATCH if short else Urgency.FINE
    sparse = _flow_is_short_for_unit(found)
    if sparse and urgency is Urgency.FINE:
        urgency = Urgency.WATCH
    next_step, hazards = _next(found, share, best, sparse)
    return Answer(
        _verdict(found, share, short, regained, sparse), urgency, "raw_water.flow", _reasons(found, regained, sparse),
        next_step, _agreeing(shares, PLAN, short), (*hazards, *_frost(found)),
        (pictures.water_line(found), pictures.loss_bars(found), pictures.curves(found)),
    )  # fmt: skip


def _pump(found: Findings) -> str:
    """Path of the pump."""
    return next(item for item in found.items(LINE) if found.text(f"{item}.part") == "pump")


def _frost(found: Findings) -> tuple[str, ...]:
    """The hazard of water left standing in the line, on a day that freezes."""
    cold = found.has("weather.outdoor_temperature") and bool(
        np.nanmin(found.hourly("weather.outdoor_temperature")[0]) < _FREEZING
    )
    return ("freezing_water",) if cold else ()


def _regained(found: Findings) -> list[tuple[str, Array]]:
    """(fault, flow it would give back in every draw), the largest first; none that gives nothing."""
    gains = [(name.rsplit(".", 1)[-1], found.daily(name)) for name in found.family("raw_water.regain")]
    clean = float(found.daily("raw_water.clean_flow")[0])
    worth = [(fault, rows) for fault, rows in gains if float(rows[0]) > 0.01 * clean]
    return sorted(worth, key=lambda pair: -float(pair[1][0]))


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
    found: Findings, share: float, short: bool, regained: list[tuple[str, Array]], sparse: bool
) -> str:
    if share < _NOTHING:
        return f"No water is getting through: {_why_none(found, regained)}."
    if short:
        lost = float(found.daily("raw_water.clean_flow")[0] - found.daily("raw_water.flow")[0])
        down = f"Flow is down to {share_in_words(share)} of clean"
        if not regained:
            return f"{down}, and no one part is to blame."
        fault, rows = regained[0]
        if float(rows[0]) >= 0.5 * lost:
            return f"{down}; most of it is lost {FAULTS[fault].where}."
        if len(regained) > 1:
            return f"{down}; it is lost {FAULTS[fault].where} and {FAULTS[regained[1][0]].where}."
        return f"{down}; part of it is lost {FAULTS[fault].where}."
    if sparse:
        return "The line passes little water for this unit, even when clean."
    if share < _WELL and regained:
        return (
            f"The water is getting through: {share_in_words(share)} of the clean flow, the rest lost "
            f"{FAULTS[regained[0][0]].where}."
        )
    return "The water is getting through."


def _why_none(found: Findings, regained: list[tuple[str, Array]]) -> str:
    pump = _pump(found)
    if float(found.number(f"{pump}.stopped")[0]) > 0.98:
        return "the pump stands still"
    if float(found.number(f"{pump}.air")[0]) > 0.8:
        return "the pump is full of air"
    if float(found.number(f"{pump}.suction_air")[0]) > 0.1:
        return "the pump has lost its prime to drawn air"
    if regained:
        return f"it is lost {FAULTS[regained[0][0]].where}"
    if float(found.daily("raw_water.start_margin")[0]) <= 0:
        return "the pump cannot lift it over the high spot"
    return "more than one thing is in its way"


def _next(found: Findings, share: float, best: str, sparse: bool) -> tuple[str, tuple[str, ...]]:
    if best and share < _WELL:
        return FAULTS[best].next, FAULTS[best].hazards
    if share < _NOTHING and float(found.daily("raw_water.start_margin")[0]) <= 0:
        return (
            "Measure how high the line's highest spot is above the waterline: the pump's largest head must be more. "
            "Else lower that spot, or fit a pump of more head.",
            WET,
        )
    if sparse:
        return "Look for a hose too narrow or too long, and at the pump's label.", ()
    if not found.given("raw_water.fill_time"):
        return (
            "Time the bucket at the overboard once, when all is clean; it replaces most of what is guessed here.",
            (),
        )
    return "Nothing now. Time the bucket once a month.", ()


def _reasons(found: Findings, regained: list[tuple[str, Array]], sparse: bool) -> tuple[Reason, ...]:
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
        for fault, rows in regained[:3]
    )
    if sparse:
        reasons.append(
            Reason("less than 2 gallons a minute per ton of cooling (common practice, no source)")
        )
    if float(found.daily("raw_water.suction_margin")[0]) < 0:
        reasons.append(Reason("the pump is starved on its suction side and will rattle and wear"))
    elif float(found.daily("raw_water.inlet_head")[0]) < 0:
        reasons.append(Reason("the pump has to suck: any leaky joint before it draws air"))
    if found.given("raw_water.fill_time"):
        reasons.append(Reason("fitted to the seconds your bucket took when clean"))
    return tuple(reasons)


# --- the strainer ---------------------------------------------------------------------------


def when_is_strainer_due(found: Findings) -> Answer:
    """Days until growth in the basket takes the flow to the owner's limit, as a range."""
    absent = _nothing_to_cool(found) or _does_not_add_up(found)
    if absent:
        return absent
    if float(found.daily("raw_water.clean_flow")[0]) <= 0:
        return Answer(
            "Cannot be told: even a clean line would pass no water.", Urgency.UNKNOWN,
            next="See first why no water is getting through.",
        )  # fmt: skip
    days = found.daily("raw_water.days_to_clean")
    shares = found.daily("raw_water.flow_share")
    limit = float(found.number("raw_water.flow_limit")[0])
    strainer = next(item for item in found.items(LINE) if found.text(f"{item}.part") == "strainer")
    due = float(days[0]) <= 0
    elsewhere = due and not _strainer_would_help(found)
    if elsewhere:
        verdict = (
            "Flow is under your limit, but the strainer is not why; cleaning it will not bring it back."
        )
        urgency = Urgency.WATCH
    elif due:
        verdict = "The strainer is due now."
        urgency = Urgency.ACT if float(shares[0]) < NOW else Urgency.WATCH
    elif float(days[0]) >= fouling.LONGEST:
        verdict, urgency = "Growth alone will not bring the strainer due within a year.", Urgency.FINE
    elif float(days[0]) < _DAY:
        verdict, urgency = "The strainer is due within a day, by growth alone.", Urgency.WATCH
    else:
        verdict = f"The strainer is due in about {found.say_range(days, 'days')}, by growth alone."
        urgency = Urgency.WATCH if float(days[0]) < _SOON else Urgency.FINE
    step, hazards = _strainer_next(elsewhere, float(days[0]))
    return Answer(
        verdict, urgency, "raw_water.days_to_clean", _strainer_reasons(found, strainer, limit, elsewhere),
        step, None, hazards, (pictures.basket_days(found),),
    )  # fmt: skip


def _strainer_would_help(found: Findings) -> bool:
    name = "raw_water.regain.strainer"
    clean = float(found.daily("raw_water.clean_flow")[0])
    return found.has(name) and float(found.daily(name)[0]) > 0.05 * clean


def _strainer_reasons(found: Findings, strainer: str, limit: float, elsewhere: bool) -> tuple[Reason, ...]:
    blocked = float(found.number(f"{strainer}.blocked")[0])
    shut_at = found.daily("raw_water.blocked_at_limit")
    known = "" if found.given(f"{strainer}.blocked") else ", assumed: look and say"
    reasons = [
        Reason(f"{found.say(blocked, 'share')} of the basket is shut now{known}", blocked),
        # With no head to spare for the basket there is no share at which it would be the one to shut.
        *(
            ()
            if elsewhere
            else (
                Reason(
                    f"the flow is down to {found.say(limit, 'share')} when {found.say_range(shut_at, 'share')} is shut",
                    float(shut_at[0]),
                ),
            )
        ),
        Reason(
            f"in water like this, run as it is, it grows shut by "
            f"{found.say_range(found.daily('raw_water.blocking_rate'), 'share_per_day')} (common practice, no source)"
        ),
        Reason(
            "weed, jellyfish, bags and stirred mud cannot be foreseen: look after a blow or a neighbour's thruster"
        ),
    ]
    clean = max(float(found.daily("raw_water.clean_flow")[0]), 1e-12)
    with_clean_basket = (
        float((found.daily("raw_water.flow") + found.daily("raw_water.regain.strainer"))[0]) / clean
    )
    others = [fault for fault, _ in _regained(found) if fault != "strainer"]
    if with_clean_basket < 0.9 and others:
        reasons.insert(
            1,
            Reason(
                f"even with a clean basket the flow is {found.say(with_clean_basket, 'share')} of clean, for water is "
                f"lost {FAULTS[others[0]].where}" + ("" if elsewhere else ": that brings the day nearer")
            ),
        )
    return tuple(reasons)


def _strainer_next(elsewhere: bool, days: float) -> tuple[str, tuple[str, ...]]:
    """The step, and the hazards of that step."""
    if elsewhere:
        return "See where the water is lost before you open anything.", ("below_waterline",)
    if days < _SOON:
        return FAULTS["strainer"].next, FAULTS["strainer"].hazards
    return (
        "Look through the bowl weekly, and log each cleaning: your own pace then replaces the guess.",
        ("below_waterline", "seacock_left_open"),
    )
