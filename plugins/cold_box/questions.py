"""Two questions: what is the ice box costing and does it keep up; when is it due for defrosting?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Reason, Urgency
from plugins.cold_box import pictures
from plugins.cold_box.tables import FOOD_SAFE, LONGEST_INTERVAL, ZERO_CELSIUS
from plugins.cold_box.words import is_freezer, mouth, paths, share_in_words

if TYPE_CHECKING:
    from console.contract import Findings

DAY = 86_400.0
HOURS_TO_SPOIL = 2
FREEZER_SOFT = ZERO_CELSIUS - 6.0
"""K: freezer food goes soft. Common practice, no source."""

SET_WARM = 0.3
"""K over the line from which a set-point is called too warm: no thermostat is set finer."""

TURN_TO = ZERO_CELSIUS + 3.0
"""K to set a refrigerator to: 36 to 40 °F is told for keeping food."""

IDLE = 0.005
"""Run share below which it need not run at all."""

NEAR_CUT_OUT = 1.04
"""Volts over the cut-out's below which it may stop; common practice, no source."""

SHORT_OF_CHARGE = 0.85

HELD = 0.5
"""K above the set-point that still counts as held."""

NO_RESERVE, LITTLE_RESERVE = 0.95, 0.8
"""Run shares at which to act, and to watch. Common practice: 75 % is told of a hot summer."""

SOON, OVERDUE = 5 * DAY, DAY
SEAL_WORTH, DRAIN_WORTH, OPENINGS_WORTH, LID_WORTH, HULL_WORTH = 0.1, 0.03, 0.12, 0.22, 0.2
HOT_CONDENSER = 26.0
"""K of condensing above cabin air that says the machine is short of air."""


def _agreeing(holds: NDArray[np.bool_]) -> float | None:
    """In what share of the draws a verdict holds."""
    return float(np.mean(holds[1:])) if holds.size > 1 else None


def what_it_costs(found: Findings) -> Answer:
    """Amp-hours a day and whether it keeps up, where the heat comes in, and what to do first."""
    inside, run = found.daily("cold_box.box_temperature"), found.daily("cold_box.run_share")
    set_point = found.number("cold_box.set_point")
    limit = FREEZER_SOFT if is_freezer(found) else FOOD_SAFE
    hours_warm = np.sum(found.hourly("cold_box.box_temperature") > limit, axis=1)
    fails = (inside > set_point + HELD) & (hours_warm > HOURS_TO_SPOIL)
    set_warm = not fails[0] and set_point[0] > limit + SET_WARM and not is_freezer(found)
    volts = _volts_over_cut_out(found)
    no_current = run[0] <= 0.0 and volts <= 1.0 and inside[0] > max(limit, set_point[0] + HELD)

    hazards: list[str] = []
    if no_current:
        urgency, verdict = Urgency.ACT, _stopped(found)
    elif fails[0]:
        urgency, verdict = Urgency.ACT, _too_warm(found, float(inside[0]), int(hours_warm[0]))
    elif run[0] >= NO_RESERVE or inside[0] > set_point[0] + HELD:
        urgency, verdict = Urgency.ACT, _no_reserve(found, float(inside[0]), float(set_point[0]))
    elif set_warm:
        urgency = Urgency.WATCH
        verdict = f"It is set to {found.say(float(set_point[0]), 'temperature')}, warmer than food keeps."
    elif run[0] >= LITTLE_RESERVE:
        urgency, verdict = Urgency.WATCH, _cost(found) + " It has little in hand for a hotter day."
    elif volts < NEAR_CUT_OUT:
        urgency, verdict = Urgency.WATCH, _cost(found) + " But its volts are close to its cut-out."
    elif run[0] < IDLE:
        urgency, verdict = Urgency.FINE, _idle(found, float(inside[0]))
    else:
        urgency, verdict = Urgency.FINE, _cost(found)
    if urgency is Urgency.ACT or set_warm:
        hazards.append("food_too_warm")
    more: tuple[str, ...] = ()
    if set_warm:
        next_step = f"Turn it colder, to {found.say(TURN_TO, 'temperature')}, and look again."
    elif urgency is Urgency.FINE and run[0] < IDLE:
        next_step = "Nothing now."
    else:
        next_step, more = _next(found, urgency)
    return Answer(
        verdict, urgency, "cold_box.amp_hours_per_day", _reasons(found), next_step,
        _agreeing(fails == fails[0]), (*hazards, *more),
        (pictures.cut_box(found), pictures.heat_bars(found)),
    )  # fmt: skip


def _volts_over_cut_out(found: Findings) -> float:
    volts, cut_out = (found.number(f"cold_box.compressor.{k}")[0] for k in ("feed_voltage", "cut_out"))
    return float(volts / cut_out)


def _cost(found: Findings) -> str:
    share = pictures.shares(pictures.heats(found))
    words = {key: said for key, said, _ in paths(found)}
    # The walls are always there: name the largest of the rest when it is worth naming.
    worst = max((key for key in share if key != "sides"), key=lambda key: share[key])
    if share[worst] < 0.2:
        worst = "sides"
    said = found.say(float(found.daily("cold_box.amp_hours_per_day")[0]), "amp_hours_per_day")
    of_it = "the heat" if _ice(found) else "it"
    return f"About {said.replace('/day', ' a day')}; {share_in_words(share[worst])} of {of_it} is {words[worst]}."


def _ice(found: Findings) -> bool:
    return float(found.number("cold_box.ice")[0]) > 0.0


def _idle(found: Findings, inside: float) -> str:
    held = "the ice put in holds it" if _ice(found) else "the box stays"
    return f"It hardly needs to run: {held} at {found.say(inside, 'temperature')} at its warmest."


def _too_warm(found: Findings, inside: float, hours: int) -> str:
    reached, line = (found.say(t, "temperature") for t in (inside, FOOD_SAFE))
    bound = "soft" if is_freezer(found) else f"above {line}"
    just = "just over " if reached == line else ""
    return (
        f"The ice box does not keep up: {just}{reached} inside at its warmest, "
        f"{bound} for {hours} hours of the day."
    )


def _no_reserve(found: Findings, inside: float, set_point: float) -> str:
    if inside > set_point + HELD:
        reached, wanted = (found.say(t, "temperature") for t in (inside, set_point))
        return f"It cannot hold {wanted}: {reached} inside at its warmest, and it has nothing in hand."
    said = found.say(float(found.daily("cold_box.amp_hours_per_day")[0]), "amp_hours_per_day")
    share = found.say(float(found.daily("cold_box.run_share")[0]), "share")
    return f"It runs {share} of the time, {said.replace('/day', ' a day')}, and has nothing in hand."


def _stopped(found: Findings) -> str:
    volts = found.say(float(found.number("cold_box.compressor.feed_voltage")[0]), "voltage")
    return f"It cannot run: {volts} on its terminals is below its cut-out, and the box is warming."


def _reasons(found: Findings) -> tuple[Reason, ...]:
    made = pictures.heats(found)
    share = pictures.shares(made)
    words = {key: said for key, said, _ in paths(found)}
    order = sorted(made, key=lambda key: -float(made[key][0]))
    reasons = [
        Reason(f"{words[key]}: {found.say(float(made[key][0]), 'net_heat')}", share[key])
        for key in order
        if share[key] > 0.01
    ]
    for key in order:
        taken = -float(made[key][0])
        if taken > 0.1:
            what = "the ice put in" if key == "contents" else words[key]
            reasons.append(Reason(f"{what} takes {found.say(taken, 'net_heat')} of it out again"))
    amps, per_watt = found.daily("cold_box.compressor_current"), found.daily("cold_box.cooling_per_watt")
    reasons.append(
        Reason(
            f"it runs {found.say_range(found.daily('cold_box.run_share'), 'share')} of the time at "
            f"{found.say_range(amps, 'current')}, and lifts {per_watt[0]:.1f} W of heat per watt"
        )
    )
    return tuple(reasons)


def _next(found: Findings, urgency: Urgency) -> tuple[str, tuple[str, ...]]:
    """The step that gives back most for least, and its hazards."""
    share = pictures.shares(pictures.heats(found))
    what = mouth(found)
    frost, limit = found.number("cold_box.plate.frost")[0], found.number("cold_box.plate.frost_limit")[0]
    if _volts_over_cut_out(found) < NEAR_CUT_OUT:
        return (
            "Measure the volts on the compressor's own terminals as it starts; look for a thin or long feed, "
            "a poor joint, or a flat battery.", ("locker_work", "hot_machine"),
        )  # fmt: skip
    if share["drain"] > DRAIN_WORTH:
        return "Plug the drain, or refill its trap: it pulls warm air through the box.", ("drain_to_bilge",)
    if share["seal"] > SEAL_WORTH:
        return (
            f"Clean the {what} seal, go round it with a slip of paper, and pack or renew it where the paper "
            "pulls free.", (),
        )  # fmt: skip
    if frost >= limit:
        return "Defrost it: the frost on its plate is at your limit.", defrost_hazards(found)
    if _condensing_over_cabin(found) > HOT_CONDENSER:
        return (
            "Brush the condenser, see that its fan turns, and let cooler air into its locker.",
            ("hot_machine", "locker_work", *_burns(found)),
        )
    if found.number("cold_box.compressor.charge")[0] < SHORT_OF_CHARGE:
        return (
            "It is short of refrigerant: a certified technician finds the leak before filling it.",
            ("refrigerant", *_burns(found)),
        )
    if share["openings"] > OPENINGS_WORTH:
        return f"Open the {what} less often: drinks in a cooler, the food you reach for on top.", ()
    thin = float(found.number("cold_box.lid_insulation")[0]) < 0.7 * float(
        found.number("cold_box.insulation")[0]
    )
    if share["opening"] > LID_WORTH or (thin and share["opening"] > 0.12):
        return (
            f"Put an inch or two of foam board on the {what}, inside or out; it is the cheapest wall to mend.",
            (),
        )
    if share["hull"] > HULL_WORTH:
        return "Hang a pale cloth over the topside by the box on sunny days.", ()
    if urgency is Urgency.ACT:
        return (
            "Load ice to hold the food, and open it less. Then look at the plate: frosted all over, the machine "
            "is well and the walls let in too much; frosted only in part means a certified technician.",
            ("refrigerant", *_burns(found)),
        )  # fmt: skip
    return "Nothing now. A week of amp-hours from the battery monitor would sharpen this most.", ()


def _condensing_over_cabin(found: Findings) -> float:
    rise = found.number("cold_box.compressor.approach")[0]
    if found.text("cold_box.compressor.cooled_by") == "air":
        rise = rise + found.number("cold_box.compressor.locker_rise")[0]
    return float(rise)


def _burns(found: Findings) -> tuple[str, ...]:
    burns = found.text("cold_box.compressor.refrigerant") in ("R600a", "R290", "R1234yf")
    return ("flammable_refrigerant",) if burns else ()


def defrost_hazards(found: Findings) -> tuple[str, ...]:
    """What to know before defrosting."""
    return ("mains_near_melt_water", "never_chip_ice", "food_too_warm", *_burns(found))


def when_to_defrost(found: Findings) -> Answer:
    """Days until the frost reaches the owner's limit, and where its water comes from."""
    due = found.daily("cold_box.days_to_defrost")
    limit, now = found.number("cold_box.plate.frost_limit"), found.number("cold_box.plate.frost")
    thickness = found.say(float(limit[0]), "short_length")
    nominal = float(due[0])
    if now[0] >= limit[0]:
        urgency = Urgency.WATCH
        verdict = f"Defrost it: {found.say(float(now[0]), 'short_length')} of frost, and your limit is {thickness}."
    elif float(found.daily("cold_box.run_share")[0]) <= 0.0:
        urgency, verdict = Urgency.FINE, "No frost grows, for it does not run."
    elif nominal >= LONGEST_INTERVAL:
        urgency, verdict = Urgency.FINE, "Frost hardly grows: no defrost is due this season."
    elif nominal <= OVERDUE:
        urgency, verdict = Urgency.WATCH, f"Frost reaches {thickness} within a day."
    else:
        urgency = Urgency.WATCH if nominal < SOON else Urgency.FINE
        verdict = f"The frost will be {thickness} thick in about {found.say(nominal, 'days')}."
    return Answer(
        verdict, urgency, "cold_box.days_to_defrost", _frost_reasons(found), _frost_next(found, now[0] >= limit[0]),
        _agreeing((due <= SOON) == (nominal <= SOON)), defrost_hazards(found),
        (pictures.frost_curve(found), pictures.air_bars(found)),
    )  # fmt: skip


def _frost_reasons(found: Findings) -> tuple[Reason, ...]:
    what = mouth(found)
    air = {
        f"air through the {what} seal": found.daily("cold_box.air.seal"),
        "air drawn in by the open drain": found.daily("cold_box.air.drain"),
        f"air let in by opening the {what}": found.daily("cold_box.air.openings"),
    }
    total = max(sum(float(rows[0]) for rows in air.values()), 1e-12)
    reasons = [
        Reason(
            f"{found.say_range(found.daily('cold_box.frost_rate'), 'mass_per_day')} of frost, "
            f"{found.say_range(found.daily('cold_box.frost_thickness_rate'), 'thickness_per_day')}"
        )
    ]
    for label, rows in sorted(air.items(), key=lambda pair: -float(pair[1][0])):
        if float(rows[0]) > 0.01 * total:
            reasons.append(
                Reason(f"{label}: {found.say_range(rows, 'air_per_day')}", float(rows[0]) / total)
            )
    if not found.given("cold_box.plate.frost_density"):
        reasons.append(
            Reason("how dense the frost is, is the least known: melt-water over thickness and area tells")
        )
    drips = float(found.daily("cold_box.drip_rate")[0])
    if drips * DAY > 1e-3:
        reasons.append(Reason(f"and {found.say(drips, 'mass_per_day')} that runs off as water"))
    if float(found.daily("cold_box.days_to_defrost")[0]) >= LONGEST_INTERVAL:
        reasons.append(Reason("intervals beyond a year are shown as a year"))
    return tuple(reasons)


def _frost_next(found: Findings, due: bool) -> str:
    what = mouth(found)
    if due:
        return (
            "Run the food down or into a cooler, switch off, lid open, and let it thaw; catch the melt-water in "
            "a jug and log it: grams a day are the best measure of the seal."
        )
    drain, seal = float(found.daily("cold_box.air.drain")[0]), float(found.daily("cold_box.air.seal")[0])
    opened = float(found.daily("cold_box.air.openings")[0])
    if drain > 0.5 * (seal + drain + opened):
        return "Plug the drain: most of the water comes in because it stands open."
    if seal > opened and seal * DAY > 0.5:
        return f"Go round the {what} seal with a slip of paper; most of the water comes in there."
    if not found.given("cold_box.plate.frost"):
        return "Stand a ruler on the plate today and enter the frost; it sharpens this more than anything."
    return "Nothing now. Weigh or measure the melt-water at the next defrost and log it."
