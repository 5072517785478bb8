"""When is the strainer due: by the flow first, by the calendar second, and debris by nobody's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.contract import Answer, Reason, Urgency
from plugins.raw_water import fouling, pictures, tables
from plugins.raw_water.questions import NOW
from plugins.raw_water.said import does_not_add_up, is_basket_seen, part_at, regained, search
from plugins.raw_water.words import FAULTS

if TYPE_CHECKING:
    from console.contract import Findings

_DAY = 86_400.0
_SOON = 3 * _DAY
_CLEAN = 0.1
"""Blocked share up to which an owner calls the basket clean."""


def when_is_strainer_due(found: Findings) -> Answer:
    """Days until growth in the basket takes the flow to the owner's limit, as a range."""
    absent = does_not_add_up(found)
    if absent:
        return absent
    if float(found.daily("raw_water.clean_flow")[0]) <= 0:
        return Answer(
            "Cannot be told: even a clean line would pass no water.", Urgency.UNKNOWN,
            next="See first why no water is getting through.",
        )  # fmt: skip
    days = found.daily("raw_water.days_to_clean")
    shares = found.daily("raw_water.flow_share")
    strainer = part_at(found, "strainer")
    due = float(days[0]) <= 0
    elsewhere = due and not _strainer_would_help(found)
    if elsewhere and _is_clean(found, strainer):
        share = float(shares[0])
        flow = "no water comes" if share < 0.02 else f"the flow is {found.say(share, 'share')} of clean"
        verdict = f"The basket is clean and {flow}: the blockage is elsewhere."
        urgency = Urgency.WATCH
    elif elsewhere and not is_basket_seen(found) and _others(found)[:1] == ["rest"]:
        verdict = "Flow is under your limit, and the basket is the first place to look."
        urgency = Urgency.ACT if float(shares[0]) < NOW else Urgency.WATCH
    elif elsewhere:
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
    step, hazards = _next(found, strainer, elsewhere, float(days[0]))
    return Answer(
        verdict, urgency, "raw_water.days_to_clean", _reasons(found, strainer, elsewhere),
        step, None, hazards, (pictures.basket_days(found),),
    )  # fmt: skip


def _is_clean(found: Findings, strainer: str) -> bool:
    """Whether the owner's own look says the basket is clean."""
    return found.given(f"{strainer}.blocked") and float(found.number(f"{strainer}.blocked")[0]) <= _CLEAN


def _others(found: Findings) -> list[str]:
    """What else takes water, the worst first."""
    return [fault for fault, _ in regained(found) if fault != "strainer"]


def _strainer_would_help(found: Findings) -> bool:
    name = "raw_water.regain.strainer"
    clean = float(found.daily("raw_water.clean_flow")[0])
    return found.has(name) and float(found.daily(name)[0]) > 0.05 * clean


def _reasons(found: Findings, strainer: str, elsewhere: bool) -> tuple[Reason, ...]:
    blocked = float(found.number(f"{strainer}.blocked")[0])
    limit = float(found.number("raw_water.flow_limit")[0])
    shut_at = found.daily("raw_water.blocked_at_limit")
    known = "" if found.given(f"{strainer}.blocked") else ", assumed: look and say"
    reasons = [Reason(f"{found.say(blocked, 'share')} of the basket is shut now{known}", blocked)]
    after = float(found.daily("raw_water.share_after_cleaning")[0])
    others = _others(found)
    if after < tables.GROWN_AFTER_CLEANING and others and search(found, others[0]) is FAULTS[others[0]]:
        reasons.append(
            Reason(
                f"even with a clean basket the flow is {found.say(after, 'share')} of clean, for water is "
                f"lost {FAULTS[others[0]].where}" + ("" if elsewhere else ": that brings the day nearer")
            )
        )
    # With no head to spare for the basket there is no share at which it would be the one to shut.
    if not elsewhere:
        reasons.append(
            Reason(
                f"the flow is down to {found.say(limit, 'share')} when {found.say_range(shut_at, 'share')} is shut",
                float(shut_at[0]),
            )
        )
    growth, idle = (found.daily(f"raw_water.{name}") for name in ("blocking_rate", "idle_blocking_rate"))
    reasons.append(
        Reason(
            f"in water like this, run as it is, it grows shut by {found.say_range(growth, 'share_per_day')}; standing "
            f"idle, by {found.say(float(idle[0]), 'share_per_day')} (common practice, no source)"
        )
    )
    reasons.append(Reason(_debris(found)))
    reasons.append(
        Reason(
            "the bucket comes before the calendar: if a cleaning does not bring the flow back, the blockage is elsewhere"
        )
    )
    return tuple(reasons)


def _debris(found: Findings) -> str:
    """What can be said of weed, jellyfish and bags: by the owner's log how often, else that they come."""
    if not found.given("raw_water.debris_every"):
        return "weed, jellyfish, bags and stirred mud cannot be foreseen: look after a blow or a neighbour's thruster"
    every = found.number("raw_water.debris_every")
    chance = fouling.chance_of_debris_before(found.daily("raw_water.days_to_clean"), every)
    return (
        f"debris comes when it comes, by your log once in {found.say(float(every[0]), 'days')}: before growth is due "
        f"with a chance of {found.say_range(chance, 'share')}"
    )


def _next(found: Findings, strainer: str, elsewhere: bool, days: float) -> tuple[str, tuple[str, ...]]:
    """The step, and the hazards of that step."""
    others = _others(found)
    if elsewhere:
        step = search(found, others[0] if others else "rest")
        return step.next, step.hazards
    if days < _SOON and others and not _strainer_would_help(found):
        # The other fault has eaten what the basket had to spare: with it gone the strainer lasts.
        return f"{FAULTS[others[0]].next} The strainer then lasts longer.", FAULTS[others[0]].hazards
    if days < _SOON:
        return FAULTS["strainer"].next, FAULTS["strainer"].hazards
    if found.text(f"{strainer}.lid") == "clear":
        return (
            "Look through the clear bowl weekly, it saves the opening; time the bucket, and log each cleaning: "
            "your own pace then replaces the guess.",
            ("seacock_left_open",),
        )
    return (
        "Time the bucket weekly and open the strainer only when it slows; a clear lid would save the opening. Log each "
        "cleaning: your own pace then replaces the guess.",
        ("below_waterline", "seacock_left_open"),
    )
