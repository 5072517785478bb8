"""Two questions: what is the ice box costing and does it keep up; when is it due for defrosting?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Reason, Urgency
from plugins.cold_box import pictures
from plugins.cold_box.next_step import (
    NEAR_CUT_OUT,
    next_for_cost,
    next_for_frost,
    volts_over_cut_out,
)
from plugins.cold_box.sharpen import sharpest
from plugins.cold_box.tables import (
    FOOD_RULE,
    FOOD_RULE_HOT,
    FOOD_SAFE,
    FREEZER_SOFT,
    HOT_AIR,
    LEAST_LEAK,
    LEAST_WALLS,
    LONGEST_INTERVAL,
    MOST_LEAK,
    MOST_WALLS,
    ZERO_CELSIUS,
)
from plugins.cold_box.words import is_divided, is_freezer, mouth, paths, share_in_words

if TYPE_CHECKING:
    from console.contract import Findings

DAY = 86_400.0
HOUR = 3600.0
SET_WARM = 0.3
"""K over the line from which a set-point is called too warm: no thermostat is set finer."""

TURN_TO = ZERO_CELSIUS + 3.0
"""K to set a refrigerator to: 36 to 40 °F is told for keeping food."""

IDLE = 0.005
"""Run share below which it need not run at all."""

NEVER = 1e-6
"""Run share that is the solver's nought."""

HELD = 0.5
"""K above the set-point that still counts as held."""

NO_RESERVE, LITTLE_RESERVE = 0.95, 0.8
"""Run shares at which to act, and to watch. Common practice: 75 % is told of a hot summer."""

SOON, OVERDUE = 5 * DAY, DAY


def _agreeing(holds: NDArray[np.bool_]) -> float | None:
    """In what share of the draws a verdict holds."""
    return float(np.mean(holds[1:])) if holds.size > 1 else None


def what_it_costs(found: Findings) -> Answer:
    """Amp-hours a day and whether it keeps up, where the heat comes in, and what to do first."""
    inside, run = found.daily("cold_box.box_temperature"), found.daily("cold_box.run_share")
    set_point = found.number("cold_box.set_point")
    limit = FREEZER_SOFT if is_freezer(found) else FOOD_SAFE
    warm = found.hourly("cold_box.box_temperature") > limit
    hours_warm = np.sum(warm, axis=1) * 24.0 / warm.shape[1]
    spoils = FOOD_RULE_HOT if float(np.max(found.hourly("cold_box.cabin_air")[0])) > HOT_AIR else FOOD_RULE
    fails = (inside > set_point + HELD) & (hours_warm > spoils / HOUR)
    set_warm = not fails[0] and set_point[0] > limit + SET_WARM and not is_freezer(found)
    volts = volts_over_cut_out(found)
    fridge = found.daily("cold_box.fridge_temperature")
    fridge_warm = is_divided(found) and float(fridge[0]) > FOOD_SAFE + SET_WARM
    no_current = run[0] <= 0.0 and volts <= 1.0 and inside[0] > max(limit, set_point[0] + HELD)

    hazards: list[str] = []
    if no_current:
        urgency, verdict = Urgency.ACT, _stopped(found)
    elif fails[0]:
        urgency, verdict = Urgency.ACT, _too_warm(found, float(inside[0]), warm[0])
    elif run[0] >= NO_RESERVE or inside[0] > set_point[0] + HELD:
        urgency, verdict = Urgency.ACT, _no_reserve(found, float(inside[0]), float(set_point[0]))
    elif fridge_warm:
        urgency = Urgency.ACT
        verdict = (
            f"The fridge's side is {found.say(float(fridge[0]), 'temperature')} at its warmest: too little cold "
            "comes through the divider."
        )
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
        next_step, more = next_for_cost(found, urgency is Urgency.ACT, fridge_warm)
    return Answer(
        verdict, urgency, "cold_box.amp_hours_per_day",
        (*_reasons(found), *_sharper(found, "cold_box.amp_hours_per_day", next_step)), next_step,
        _agreeing(fails == fails[0]), (*hazards, *more),
        (pictures.cut_box(found), pictures.heat_bars(found)),
    )  # fmt: skip


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


def _too_warm(found: Findings, inside: float, warm: NDArray[np.bool_]) -> str:
    reached, line = (found.say(t, "temperature") for t in (inside, FOOD_SAFE))
    bound = "soft" if is_freezer(found) else f"above {line}"
    just = "just over " if reached == line else ""
    return f"The ice box does not keep up: {just}{reached} inside at its warmest, {bound} {_when(warm)}."


def _when(warm: NDArray[np.bool_]) -> str:
    """When in the day: "from 13:00 to 21:00, 8 hours of the day"."""
    if warm.all():
        return "all day long"
    hours = round(float(np.sum(warm)) * 24.0 / warm.size)
    begins = np.flatnonzero(warm & ~np.roll(warm, 1))
    ends = np.flatnonzero(warm & ~np.roll(warm, -1))
    said = f"for {hours} hours of the day"
    if begins.size == 1:
        said = f"from {begins[0] % 24}:00 to {(ends[0] + 1) % 24}:00, {said}"
    return said


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
    amp_hours = found.daily("cold_box.amp_hours_per_day")
    run = found.daily("cold_box.run_share")

    def costing(of_it: float) -> str:
        said = found.say(float(amp_hours[0]) * of_it, "amp_hours_per_day")
        return f", {said}" if run[0] >= IDLE else ""

    reasons = [
        Reason(
            f"{words[key]}: {found.say_range(made[key], 'net_heat')}{costing(share[key])}",
            share[key],
        )
        for key in order
        if share[key] > 0.01
    ]
    for key in order:
        taken = -float(made[key][0])
        if taken > 0.1:
            said = found.say(taken, "net_heat")
            iced = f"the ice put in takes {said} of it out again"
            reasons.append(Reason(iced if key == "contents" else f"by {words[key]} {said} goes out again"))
    amps, per_watt = found.daily("cold_box.compressor_current"), found.daily("cold_box.cooling_per_watt")
    if run[0] >= IDLE:
        reasons.append(
            Reason(
                f"it runs {found.say_range(run, 'share')} of the time at {found.say_range(amps, 'current')}, "
                f"and lifts {per_watt[0]:.1f} W of heat per watt"
            )
        )
    wanted = found.daily("cold_box.wanted_share")
    if wanted[0] > 1.0:
        reasons.append(
            Reason(
                f"to hold what it is set to it would have to run {found.say(float(wanted[0]), 'percent')} of the time"
            )
        )
    reasons.extend(_standing(found))
    reasons.extend(_fitted(found))
    return tuple(reasons)


def _sharper(found: Findings, figure: str, next_step: str) -> tuple[Reason, ...]:
    """The reading that would narrow the answer most, unless it is the next step already."""
    if float(found.daily("cold_box.run_share")[0]) < IDLE:
        return ()  # amp-hours and melt-water tell nothing of a machine that stands still
    closer = sharpest(found, figure)
    return (
        (Reason(f"what would sharpen this most: {closer}"),) if closer and closer not in next_step else ()
    )


def _standing(found: Findings) -> list[Reason]:
    """How long the food keeps without power."""
    left, kept = found.daily("cold_box.hours_to_food_line"), found.daily("cold_box.hold_over")
    if left[0] <= 0.0:
        return []
    if left[0] >= LONGEST_INTERVAL:
        iced = ", as long as ice is put in" if _ice(found) else ""
        return [Reason(f"without power its food stays cold enough by itself{iced}")]
    if is_freezer(found) and not is_divided(found):
        return [Reason(f"without power its food goes soft in {found.say_range(left, 'hours')}")]
    line = found.say(FOOD_SAFE, "temperature")
    return [
        Reason(
            f"without power the food passes {line} in {found.say_range(left, 'hours')}, and is to be thrown away "
            f"after {found.say_range(kept, 'hours')}"
        )
    ]


def _fitted(found: Findings) -> list[Reason]:
    """What the owner's own measurements made of the box."""
    made = []
    if found.has("cold_box.week.amp_hours"):
        factor = found.say_range(found.daily("cold_box.wall_factor"), "ratio")
        through = found.say_range(found.daily("cold_box.conductance"), "conductance")
        made.append(
            Reason(
                f"fitted to your amp-hours: the walls let in {through}, {factor} times what their sizes say"
            )
        )
        made += _beyond(found.daily("cold_box.wall_factor")[0], LEAST_WALLS, MOST_WALLS, "amp-hours")
    if found.has("cold_box.melt.amount"):
        factor = found.say_range(found.daily("cold_box.leak_factor"), "ratio")
        made.append(Reason(f"fitted to your melt-water: {factor} times what the seal's gap says leaks in"))
        made += _beyond(found.daily("cold_box.leak_factor")[0], LEAST_LEAK, MOST_LEAK, "melt-water")
    return made


def _beyond(factor: float, least: float, most: float, what: str) -> list[Reason]:
    """A measurement that no box of these sizes gives is doubted, not only held at the edge."""
    if 1.001 * least < factor < 0.999 * most:
        return []
    verb = "is" if what == "melt-water" else "are"
    much = "more" if factor > 1.0 else "less"
    return [
        Reason(
            f"your {what} {verb} {much} than such a box can be made to give: look at the figure, its unit and days again"
        )
    ]


def when_to_defrost(found: Findings) -> Answer:
    """Days until the frost reaches the owner's limit, and where its water comes from."""
    due = found.daily("cold_box.days_to_defrost")
    limit, now = found.number("cold_box.plate.frost_limit"), found.number("cold_box.plate.frost")
    thickness = found.say(float(limit[0]), "short_length")
    nominal = float(due[0])
    if now[0] >= limit[0]:
        urgency = Urgency.WATCH
        verdict = f"Defrost it: {found.say(float(now[0]), 'short_length')} of frost, and your limit is {thickness}."
    elif float(found.daily("cold_box.run_share")[0]) < NEVER:
        urgency, verdict = Urgency.FINE, "No frost grows, for it does not run."
    elif nominal >= LONGEST_INTERVAL:
        urgency, verdict = Urgency.FINE, "Frost hardly grows: no defrost is due this season."
    elif nominal <= OVERDUE:
        urgency, verdict = Urgency.WATCH, f"Frost reaches {thickness} within a day."
    else:
        urgency = Urgency.WATCH if nominal < SOON else Urgency.FINE
        verdict = f"The frost will be {thickness} thick in about {found.say(nominal, 'days')}."
    next_step, hazards = next_for_frost(found, bool(now[0] >= limit[0]))
    return Answer(
        verdict, urgency, "cold_box.days_to_defrost",
        (*_frost_reasons(found), *_sharper(found, "cold_box.days_to_defrost", next_step)), next_step,
        _agreeing((due <= SOON) == (nominal <= SOON)), hazards,
        (pictures.frost_curve(found), pictures.air_bars(found)),
    )  # fmt: skip


def _frost_reasons(found: Findings) -> tuple[Reason, ...]:
    what = mouth(found)
    water = {
        f"water through the {what} seal": found.daily("cold_box.water.seal"),
        "water drawn in by the open drain": found.daily("cold_box.water.drain"),
        f"water let in by opening the {what}": found.daily("cold_box.water.openings"),
        "water from food": found.daily("cold_box.water.food"),
    }
    total = max(sum(max(float(rows[0]), 0.0) for rows in water.values()), 1e-15)
    reasons = [
        Reason(
            f"{found.say_range(found.daily('cold_box.frost_rate'), 'mass_per_day')} of frost, "
            f"{found.say_range(found.daily('cold_box.frost_thickness_rate'), 'thickness_per_day')}"
        )
    ]
    for label, rows in sorted(water.items(), key=lambda pair: -float(pair[1][0])):
        if float(rows[0]) > 0.01 * total:
            reasons.append(
                Reason(f"{label}: {found.say_range(rows, 'mass_per_day')}", float(rows[0]) / total)
            )
    if not found.given("cold_box.plate.frost_density") and not found.has("cold_box.melt.thickness"):
        used, young = found.daily("cold_box.frost_density"), found.daily("cold_box.young_frost_density")
        reasons.append(
            Reason(
                f"how dense the frost is, is the least known: {found.say_range(used, 'density')} is taken, where "
                f"published formulas for hours-old frost in moving air give {found.say(float(young[0]), 'density')}; "
                "melt-water over thickness and area tells"
            )
        )
    drips = float(found.daily("cold_box.drip_rate")[0])
    if drips * DAY > 1e-3:
        reasons.append(Reason(f"and {found.say(drips, 'mass_per_day')} that runs off as water"))
    if float(found.daily("cold_box.days_to_defrost")[0]) >= LONGEST_INTERVAL:
        reasons.append(Reason("intervals beyond a year are shown as a year"))
    reasons.extend(_fitted(found))
    return tuple(reasons)
