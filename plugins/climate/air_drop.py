"""The card "Is the air it blows cold enough?": what is normal at this return air, here and now."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from console.contract import AirChart, AirState, Answer, Curve, Reason, Series, Urgency
from console.properties import air
from plugins.climate import pictures, tables
from plugins.climate.words import clock, hottest_step, hours_in_words, limits, nominal

if TYPE_CHECKING:
    from console.contract import Findings

WEAK, STRONG = 0.85, 1.15
"""Shares of the expected drop outside which the unit as it is would be noticed with a thermometer."""

LEAST_RUN = 0.02


def is_air_cold_enough(found: Findings) -> Answer:
    """The air drop of this unit in good order, at the return air of the hottest hour, as a range."""
    if nominal(found, "run_hours") < LEAST_RUN and float(found.hourly("climate.run_share")[0].max()) > 0.0:
        return Answer(
            "It is asked for cold but a switch stops it: there is no air drop to measure.", Urgency.WATCH,
            "climate.expected_split",
            next="First what stops it: the card on keeping the cabin cool says which switch, and what to look at.",
        )  # fmt: skip
    if nominal(found, "run_hours") < LEAST_RUN:
        return Answer(
            "It hardly runs today: there is no air drop to measure.", Urgency.FINE, "climate.expected_split",
            next="Look again when there is heat to take out.",
        )  # fmt: skip
    expected = found.daily("climate.expected_split")
    low, high = limits(expected)
    said = found.say_range(expected, "temperature_difference")
    at = found.say(nominal(found, "return_air_temperature"), "temperature")
    damp = found.say(nominal(found, "return_humidity"), "share")
    now, well = nominal(found, "air_split"), float(expected[0])
    share = now / well if well > 0.5 else 1.0
    here = f"with return air of {at} and {damp}"
    if WEAK <= share <= STRONG:
        verdict, urgency = f"An air drop of {said} is normal here and now, {here}.", Urgency.FINE
    else:
        drop = found.say(now, "temperature_difference")
        verdict = f"As she is now it drops the air by {drop}; in good order it would be {said}, {here}."
        urgency = Urgency.WATCH
    reasons, step = _reasons(found, low, high, share), _next(found, low, high)
    return Answer(
        verdict, urgency, "climate.expected_split", reasons, step, None, ("hot_and_sharp", "refrigerant"),
        (air_chart(found), _through_the_day(found)),
    )  # fmt: skip


def _reasons(found: Findings, low: float, high: float, share: float) -> tuple[Reason, ...]:
    least, most = tables.RULE_SPLIT
    rule = found.say(least, "temperature_difference").split()[0]
    rule = f"{rule} to {found.say(most, 'temperature_difference')}"
    well = float(found.daily("climate.expected_split")[0])
    if well < least:
        against = "here it would call a healthy unit short of refrigerant: the air is damp"
    elif well > most:
        against = "here it would call a healthy unit starved of air: the return is dry or warm"
    elif low < least or high > most:
        against = "it fits the middle of what is normal here, but not its edges"
    else:
        against = "it happens to fit here"
    reasons = [
        Reason(f"the fixed rule of {rule} (common practice) knows nothing of the air: {against}"),
    ]
    water = nominal(found, "condensate_rate")
    drying = water * tables.VAPORISATION / max(nominal(found, "unit_capacity"), 1.0)
    if water > 0.0:
        drip = found.say(water, "mass_per_hour")
        part = found.say(min(drying, 1.0), "share")
        reasons.append(
            Reason(f"{part} of its cooling goes into wringing out water: it should drip {drip}", drying)
        )
    if share < WEAK:
        reasons.append(Reason("as she is now it gives less cold than its air would take"))
    elif share > STRONG:
        reasons.append(Reason("as she is now little air passes its coil, and that air gets colder"))
    hourly = found.hourly("climate.expected_split")[0]
    ran = found.hourly("climate.run_share")[0] > LEAST_RUN
    if ran.any():
        span = [
            found.say(float(v), "temperature_difference") for v in (hourly[ran].min(), hourly[ran].max())
        ]
        reasons.append(Reason(f"over the hours it runs, {span[0].split()[0]} to {span[1]} would be normal"))
    ices = found.hourly("climate.coil_temperature")[0] < 273.15
    if (ices & ran).any():
        reasons.append(Reason(f"its coil lies below freezing {hours_in_words(ices & ran)}: it may ice up"))
    return tuple(reasons)


def _next(found: Findings, low: float, high: float) -> str:
    less, more = (found.say(v, "temperature_difference") for v in (low, high))
    return (
        "Ten minutes after it starts, hold one thermometer in the return grille, then in the nearest supply grille."
        f" Less than {less} with little drip: water and filter first, refrigerant last. Less, with much drip: look"
        f" for damp air getting in. More than {more}: it is short of air."
    )


def air_chart(found: Findings) -> AirChart:
    """The states of the air in the hottest hour, nominal: outdoor, cabin, return and supply."""
    step = hottest_step(found)

    def at(name: str) -> float:
        hourly = found.hourly(name)[0]
        return float(hourly[step if hourly.size > 1 else 0])

    dew = at("climate.cabin_dew_point")
    back = at("climate.return_humidity_ratio")
    supply = at("climate.supply_temperature")
    wet = min(max(back - at("climate.supply_drying"), 1e-5), float(air.saturation_humidity_ratio(supply)))
    states = [
        AirState("cabin", at("climate.cabin_temperature"), float(air.saturation_humidity_ratio(dew))),
        AirState("return", at("climate.return_air_temperature"), back),
        AirState("supply", supply, wet),
    ]
    if found.has("weather.outdoor_humidity_ratio"):
        states.append(
            AirState("outside", at("weather.outdoor_temperature"), at("weather.outdoor_humidity_ratio"))
        )
    return AirChart("The air in the hottest hour", tuple(states), ((0, 1), (1, 2), (2, 0)))


def _through_the_day(found: Findings) -> Curve:
    expected = found.hourly("climate.expected_split")
    series: list[Series] = [pictures.with_range("in good order", expected)]
    now = found.hourly("climate.air_split")[0]
    if np.abs(now - expected[0]).max() > 0.3:
        series.append(Series("as she is now", tuple(float(v) for v in now)))
    least, most = tables.RULE_SPLIT
    return Curve(
        "Normal air drop through the day", "clock", "temperature_difference", clock(expected.shape[1]),
        tuple(series), limits=(("fixed rule, low", least), ("fixed rule, high", most)),
    )  # fmt: skip
