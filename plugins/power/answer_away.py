"""What if I leave the boat at the dock: how long, how damp, and what to do first."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Findings, Listing, ListRow, Reason, Urgency
from plugins.power.leaving import DAYS
from plugins.power.phrases import clock, often, share_true

Array = NDArray[np.float64]

DAMP = 0.70
"""Above this mould grows (70 %; common practice, no source for a boat)."""

LIKELY = 0.15


def answer(found: Findings) -> Answer:
    """The card: bank and food from the hour the power stops, damp, strainer, and the list to leave by."""
    days = float(found.number("power.away.days")[0])
    hour = clock(float(found.number("power.away.stops_at")[0]) / 3600)
    bank, food = _times(found)
    verdict, urgency, sure, figure = _verdict(found, days, hour, bank, food)
    wet = found.daily("power.away_humidity")
    reasons = [*_bank(found, bank), *_food(found, food), *_damp(found, wet), *_strainer(found, days)]
    return Answer(
        verdict,
        urgency,
        figure=figure,
        reasons=tuple(reasons),
        next=_next(found, urgency),
        sure=sure,
        hazards=("left_alone", "shock_in_the_water", "inlet_overheating", "batteries"),
        pictures=(_list(found),),
    )


def _times(found: Findings) -> tuple[Array | None, Array | None]:
    bank = found.daily("power.away_bank_time") if found.has("power.away_bank_time") else None
    food = found.daily("power.away_food_time") if found.has("power.away_food_time") else None
    return bank, food


def _verdict(
    found: Findings, days: float, hour: str, bank: Array | None, food: Array | None
) -> tuple[str, Urgency, float | None, str]:
    gone = found.say(days, "days")
    if food is not None:
        within = share_true(food >= days, np.isfinite(food))
        lasts = _long(found, float(food[0]))
        text = f"If shore power stops at {hour} the food passes its line after {lasts}"
        if food[0] >= days and within >= 1.0 - LIKELY:
            return f"{text}: longer than your {gone}.", Urgency.FINE, within, "power.away_food_time"
        tail = (
            f"; you are gone {gone}"
            if food[0] < days
            else f"; {often(1.0 - within)} before your {gone} are over"
        )
        return f"{text}{tail}.", Urgency.WATCH, None, "power.away_food_time"
    if bank is not None:
        lasts = _long(found, float(bank[0]))
        text = f"If shore power stops at {hour} the bank lasts {lasts} to its limit"
        good = float(bank[0]) >= min(days, DAYS * 86_400.0)
        return f"{text}.", Urgency.FINE if good else Urgency.WATCH, None, "power.away_bank_time"
    wet = float(found.daily("power.away_humidity")[0])
    text = f"With the air conditioner off the cabin stands near {found.say(wet, 'share')} humidity"
    return f"{text}.", Urgency.WATCH if wet > DAMP else Urgency.FINE, None, "power.away_humidity"


def _long(found: Findings, seconds: float) -> str:
    if seconds >= DAYS * 86_400.0 * 0.999:
        return "a fortnight or more"
    return found.say(seconds, "hours" if seconds < 3 * 86_400.0 else "days")


def _bank(found: Findings, bank: Array | None) -> list[Reason]:
    box = found.has("cold_box")
    if bank is None:
        return [
            Reason(f"No bank is listed: {'the ice box stops' if box else 'all stops'} with shore power.")
        ]
    what = "the ice box running" if box else "what stays on"
    if float(bank[0]) >= DAYS * 86_400.0 * 0.999:
        return [Reason(f"With {what} the bank lasts a fortnight or more of such days.")]
    said = found.say_range(bank, "hours")
    return [Reason(f"With {what} the bank reaches its limit {said} after shore power stops.")]


def _food(found: Findings, food: Array | None) -> list[Reason]:
    if food is None:
        return []
    return [
        Reason(
            f"Then the box warms: {found.say_range(food, 'hours')} after shore power stops its food is past the line. "
            "What was over 40 °F (4 °C) for two hours is thrown away."
        )
    ]


def _damp(found: Findings, wet: Array) -> list[Reason]:
    off = f"off, near {found.say_range(wet, 'share')} by a plain estimate"
    over = share_true(wet > DAMP)
    mould = f"; {often(over)} above {found.say(DAMP, 'share')}, where mould grows" if over >= LIKELY else ""
    if not found.has("climate.cabin_humidity"):
        return [Reason(f"Humidity of the shut cabin: {off}{mould}.")]
    on = found.say_range(np.mean(found.hourly("climate.cabin_humidity"), axis=-1), "share")
    return [Reason(f"Humidity of the cabin with the air conditioner on {on}; {off}{mould}.")]


def _strainer(found: Findings, days: float) -> list[Reason]:
    if not found.has("raw_water.days_to_clean") or not found.has("climate.run_share"):
        return []
    due = found.daily("raw_water.days_to_clean")
    chance = share_true(due < days, np.isfinite(due))
    return [
        Reason(
            f"Left running, the strainer is {often(chance)} due before you are back "
            f"({found.say_range(due, 'days')} to its limit); then it trips, and the cabin is as if it were off."
        )
    ]


def _next(found: Findings, urgency: Urgency) -> str:
    if urgency is Urgency.FINE:
        return "Go by the list; have someone look at the boat once a week."
    if found.has("power.away_food_time"):
        return "Take what spoils with you, or have someone look in before then; go by the list."
    return "Go by the list; a small dehumidifier with its drain in the sink does more than the air conditioner."


def _list(found: Findings) -> Listing:
    rows: list[tuple[str, str]] = [("plug and inlet", "felt after an hour under load: cool, dry, no marks")]
    if found.has("climate.run_share"):
        rows.append(("air conditioner", "off and its seacock shut, unless someone looks in each week"))
        rows.append(("strainer", "clean before you go, power off and seacock shut first"))
    if found.has("cold_box"):
        rows.append(
            ("ice box", "empty of what spoils; a coin on a cup of ice tells of a thaw while you were gone")
        )
    if found.has("power.bank"):
        rows.append(("bank", "full, charger on; all off but bilge pump, alarms and ice box"))
    rows += [
        ("seacocks", "all shut that may be; bilge pump tried by hand, and its float"),
        ("lockers and hatches", "lockers open, hatches shut, a vent at each end"),
        ("water heater, galley, gas", "off at the breaker, off at the bottle"),
        ("someone", "has the key, the number of the dock, and this list"),
    ]
    return Listing("Before you leave", ("what", "how"), tuple(ListRow(row) for row in rows))
