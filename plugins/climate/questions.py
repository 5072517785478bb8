"""The card "Can it keep the cabin cool?": verdict, reasons, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Reason, Urgency
from plugins.climate import pictures
from plugins.climate.figures import LOAD_MEANINGS
from plugins.climate.tables import RULE_PER_AREA, RULE_PER_VOLUME, SHORT
from plugins.climate.words import hours_in_words, nominal

if TYPE_CHECKING:
    from console.contract import Findings

Array = NDArray[np.float64]

FAR_ABOVE, COOLER = 3.0, 1.0
"""K above the set-point that is far too warm; K below it from which nobody would call it held."""

UNSETTLED = 0.95
"""Share of the draws below which an unsettled day is spoken of."""

ICED = 0.1
"""Share of the coil under its own ice from which the card speaks of it."""

OUT = 2.0
"""K by which a thermostat must be wrong before the card speaks of it (± 0.8 K is usual)."""

DANGEROUS = 305.4
"""K: 90 °F in the cabin (heat index of the elderly; national weather service, from memory)."""

FIRM, NEARLY = 0.8, 0.1
"""Share of the draws that makes a yes, and share of its cooling in hand that makes it comfortable."""

LARGE, LITTLE = 0.12, 0.03
LET_IN, LET_IN_SHARE, LET_IN_OVER = ("fresh_air", "bilge_air"), 0.25, 0.3
"""Air that a person lets in, the share of the heat from which it is the trouble, and what a weak stream
must cost beside it to come first all the same."""

TOO_MUCH = 1.1
"""Load over the cooling of the unit in good order from which it is said that no repair makes up for it."""

FLAMMABLE = ("R32", "R454B")


def falls_short(found: Findings) -> NDArray[np.bool_]:
    """Where the unit runs without a stop and the cabin is still warm, (draws, steps)."""
    target = found.number("climate.set_point") - found.number("climate.thermostat_offset", 0.0)
    warm = found.hourly("climate.cabin_temperature") > target[:, None] + SHORT
    return np.asarray(warm & (found.hourly("climate.run_share") > 0.999))


def _trips(found: Findings) -> dict[str, NDArray[np.bool_]]:
    """Hours in which a switch stops it, nominal, by which."""
    kinds = ("voltage", "high_pressure", "low_pressure")
    calls = found.hourly("climate.run_share")[0] > 0.0
    hours = {
        kind: found.hourly(f"climate.trip.{kind}")[0] > 0.5
        for kind in kinds
        if found.has(f"climate.trip.{kind}")
    }
    return {kind: on & calls for kind, on in hours.items() if (on & calls).any()}


TRIP_WORDS = {
    "high_pressure": "It trips on high pressure {when}: too little seawater for the heat",
    "low_pressure": "It trips on low pressure {when}: its cold coil starves or freezes",
    "voltage": "It cannot run {when}: the volts are too {which}",
}


def can_it_keep_cool(found: Findings) -> Answer:
    """Whether it holds the set-point, when not and how warm it gets, and what would help first."""
    short = falls_short(found)
    target = float((found.number("climate.set_point") - found.number("climate.thermostat_offset", 0.0))[0])
    warmest = nominal(found, "cabin_temperature")
    reached = found.say(warmest, "temperature")
    trips = _trips(found)
    fails = np.asarray(short.any(axis=1))
    sure = float(np.mean(fails[1:] == fails[0])) if fails.size > 1 else None
    firm, even = sure is None or sure >= FIRM, sure is None or sure >= 0.5
    hours = nominal(found, "run_hours")

    if trips:
        kind = next(iter(trips))
        when = hours_in_words(trips[kind])
        volts = found.hourly("power.supply_voltage")[0].mean() if found.has("power.supply_voltage") else 0.0
        which = "high for its label" if volts > found.number("climate.voltage")[0] else "low"
        verdict = TRIP_WORDS[kind].format(when=when, which=which) + f"; the cabin reaches {reached}."
        urgency = Urgency.ACT
    elif fails[0]:
        verb = "falls" if firm else "likely falls" if even else "may fall"
        verdict = f"It {verb} short {hours_in_words(short[0])}; the cabin reaches {reached}."
        urgency = Urgency.ACT if warmest > target + FAR_ABOVE else Urgency.WATCH
    elif hours <= 0.0:
        verdict = f"There is no heat to take out today: unheated, the cabin reaches {reached}."
        urgency = Urgency.FINE
    else:
        spare = 1.0 - nominal(found, "cooling_load") / max(nominal(found, "unit_capacity"), 1.0)
        held = found.say(target, "temperature")
        coldest = float(found.hourly("climate.cabin_temperature")[0].min())
        kept = f"it holds {held} all day"
        if coldest < target - COOLER:
            kept = f"it keeps the cabin from passing {held}"
        running = found.say(hours, "hours_per_day")
        verdict = f"{'Yes' if firm else 'Likely'}: {kept}, running {running}."
        if not even:
            verdict = f"Doubtful: it may hold {held}, but more likely it falls short in the hottest hours."
        elif spare < NEARLY:
            verdict = f"Just: {kept}, with little in hand in the hottest hour."
        urgency = Urgency.FINE if firm and spare >= NEARLY else Urgency.WATCH
        astray = _astray(found)
        if astray > OUT:
            asked = found.say(float(found.number("climate.set_point")[0]), "temperature")
            verdict, urgency = f"{verdict[:-1]}, though set to {asked}.", Urgency.WATCH
    step, hazards = _next(found, urgency is not Urgency.FINE, trips)
    heat = bool(fails[0] or trips) or not even
    return Answer(
        verdict, urgency, "climate.cabin_temperature", _reasons(found), step, sure,
        tuple(dict.fromkeys((*hazards, *_hazards(found, heat, warmest)))),
        (
            pictures.load_by_hour(found, short[0]),
            pictures.load_bars(found),
            pictures.temperatures(found, target),
        ),
    )  # fmt: skip


def _loads(found: Findings) -> list[tuple[str, float, float]]:
    """Components of the hottest hour, largest first: name, W, share of the heat that comes in."""
    loads = {name: nominal(found, f"load.{name}") for name in LOAD_MEANINGS}
    into = sum(max(load, 0.0) for load in loads.values()) or 1.0
    made = [(name, load, load / into) for name, load in loads.items()]
    return sorted(made, key=lambda item: -item[1])


def _lost(found: Findings) -> float:
    """Cooling lost against the same unit in good order, W, in the hottest hour."""
    return nominal(found, "healthy_capacity") - nominal(found, "unit_capacity")


def _astray(found: Findings) -> float:
    """K by which the thermostat stops the unit with the cabin warmer than it is set to."""
    return -float(found.number("climate.thermostat_offset", 0.0)[0])


def _flow_share(found: Findings) -> float:
    return float(found.daily("raw_water.flow_share")[0]) if found.has("raw_water.flow_share") else 1.0


def _reasons(found: Findings) -> tuple[Reason, ...]:
    reasons = [
        Reason(f"{LOAD_MEANINGS[name]}: {found.say(load, 'net_heat')}", share)
        for name, load, share in _loads(found)
        if share > LITTLE
    ]
    hull = nominal(found, "load.hull")
    if hull < -50.0:
        reasons.append(Reason(f"the sea takes {found.say(-hull, 'net_heat')} through the hull"))
    runs = nominal(found, "run_hours") > 0.0
    healthy, lost = nominal(found, "healthy_capacity"), _lost(found)
    load = nominal(found, "cooling_load")
    if falls_short(found)[0].any() and load > TOO_MUCH * healthy:
        gives, comes = found.say(healthy, "net_heat"), found.say(load, "net_heat")
        reasons.insert(
            0,
            Reason(
                f"in good order too it would give {gives}, and {comes} comes in: more than it can carry"
            ),
        )
    if runs and lost > LITTLE * max(healthy, 1.0):
        amps = nominal(found, "unit_current") - nominal(found, "healthy_current")
        more = f" and {found.say(amps, 'current')} more current" if amps > 0.2 else ""
        weak = _flow_share(found)
        why = f", with the seawater at {found.say(weak, 'share')} of its clean flow" if weak < 0.9 else ""
        said = f"as it is now it gives {found.say(lost, 'net_heat')} less cooling than in good order{more}{why}"
        # A fault of that size is the reason; the heat that comes in is what it meets.
        reasons.insert(0 if lost > LARGE * healthy else len(reasons), Reason(said))
    ice = nominal(found, "ice_share")
    if ice > ICED:
        shut = found.say(ice, "share")
        reasons.insert(
            0, Reason(f"its cold coil ices up: at worst {shut} of it is shut, and less and less air comes")
        )
    if runs and found.has("climate.expected_split"):
        drop = found.say_range(found.daily("climate.expected_split"), "temperature_difference")
        reasons.append(
            Reason(f"in good order the air would drop by {drop} through the unit in that hour's air")
        )
    margin = found.hourly("climate.dry_margin")[0] if found.has("climate.dry_margin") else np.zeros(1)
    wet = margin < 0.0
    if wet.any() and margin.size > 1:
        reasons.append(Reason(f"the coldest surfaces sweat {hours_in_words(wet)}"))
    if found.has("climate.cabin_volume") and load > 0.0:
        by_volume = RULE_PER_VOLUME * float(found.number("climate.cabin_volume")[0])
        by_area = RULE_PER_AREA * float(found.number("climate.roof_area")[0])
        rules = [found.say(rule, "net_heat") for rule in (by_volume, by_area)]
        reckoned = found.say(load, "net_heat")
        reasons.append(
            Reason(
                f"rule of thumb by the cabin's volume: {rules[0]}, by its area: {rules[1]} (common practice, no"
                f" source); they disagree with each other, and with the {reckoned} reckoned here"
            )
        )
    settled = found.daily("climate.settled") if found.has("climate.settled") else np.ones(1)
    if settled[0] < 1.0 or settled.mean() < UNSETTLED:
        reasons.append(
            Reason("the sums for this day did not come to rest: take its hours and temperatures as rough")
        )
    return tuple(reasons)


def _next(found: Findings, short: bool, trips: dict[str, NDArray[np.bool_]]) -> tuple[str, tuple[str, ...]]:
    """What to do next, and the hazards of doing it; ``short`` also when it may well fall short."""
    if "voltage" in trips:
        return "Take the load off the dock supply and read the volts before starting it again.", ("mains",)
    weak, cost = _flow_share(found) < 0.85, _lost(found)
    lost = cost > 2.0 * LITTLE * max(nominal(found, "healthy_capacity"), 1.0)
    gaps = [load for name, load, share in _loads(found) if name in LET_IN and share > LET_IN_SHARE]
    airless = nominal(found, "airflow_share", 1.0) < 0.75
    # An iced or starved coil stops the unit whatever its water does. And where far more heat comes in
    # by a gap than a weak stream costs, the gap comes first.
    iced = nominal(found, "ice_share") > ICED
    stopped = iced or "low_pressure" in trips
    by_water = weak and not stopped and (lost or (short and cost > LET_IN_OVER * max(gaps, default=0.0)))
    if "high_pressure" in trips or by_water:
        return (
            "See that the seacock is open, look at the stream overboard, then clean the strainer: the water "
            "comes first.",
            ("below_waterline", "trip_resets"),
        )
    if iced:
        return (
            "Switch it to fan alone until the ice is gone, thaw it fully, then clean the return filter and look"
            " for crushed ducts; if it ices again with all clear, ask a licensed technician.",
            ("hot_and_sharp", "mains", "refrigerant"),
        )
    if airless:
        return "Breaker off, then clean the return filter and look for ice and crushed ducts: it is short of air.", (
            "hot_and_sharp", "mains",
        )  # fmt: skip
    if "low_pressure" in trips:
        return "Breaker off, then look for ice on the coil; if there is none, ask a licensed technician.", (
            "hot_and_sharp", "mains", "refrigerant",
        )  # fmt: skip
    if lost and short:
        return "Measure the water's and the air's temperature in and out: it gives less than it should.", ()
    if not short:
        return "Nothing now. Look at it again when the weather or the water gets hotter.", ()
    if _astray(found) > OUT:
        return (
            "Move the thermostat's sensor out of the cold air, or set it lower by what it reads too cold.",
            (),
        )
    largest = [name for name, _, share in _loads(found) if share > LARGE]
    shade = float(found.number("climate.awning", 0.0)[0]) < 0.7
    for name in largest:
        if name in ("roof", "glass_sun") and shade:
            return "Rig an awning over the deck and the hatches before the sun is on them.", ()
        if name == "glass_sun":
            return "Cover the glass from outside.", ()
        if name == "bilge_air":
            return "Close the gaps round the unit through which its return draws bilge air.", (
                "carbon_monoxide",
            )
        if name == "fresh_air":
            return "Shut hatches and ventilators while it runs.", ("carbon_monoxide",)
        if name == "equipment":
            return "Cook and charge in the cool hours.", ()
    return "Start it before the sun is up: a soaked boat takes hours to cool.", ("left_running",)


def _hazards(found: Findings, failing: bool, warmest: float) -> tuple[str, ...]:
    hazards = []
    if failing or warmest > DANGEROUS:
        hazards.append("heat_illness")
    margin = found.hourly("climate.dry_margin")[0] if found.has("climate.dry_margin") else np.zeros(1)
    if (margin < 0.0).any():
        hazards.append("condensation")
    if found.text("climate.refrigerant", "") in FLAMMABLE:
        hazards.append("flammable_refrigerant")
    if float(found.number("climate.return_from_bilge", 0.0)[0]) > 0.15:
        hazards.append("carbon_monoxide")
    return tuple(hazards)
