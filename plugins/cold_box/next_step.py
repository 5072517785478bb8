"""What to do next, following what is known of the box: mend what was seen, look where nobody did."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plugins.cold_box import pictures
from plugins.cold_box.sharpen import sharpest
from plugins.cold_box.words import is_freezer, mouth

if TYPE_CHECKING:
    from console.contract import Findings

DAY = 86_400.0

NEAR_CUT_OUT = 1.04
"""Volts over the cut-out's below which it may stop; common practice, no source."""

SHORT_OF_CHARGE = 0.85
SEAL_WORTH, DRAIN_WORTH, OPENINGS_WORTH, LID_WORTH, HULL_WORTH = 0.1, 0.03, 0.12, 0.22, 0.2
MUCH_OPENED = 1.5
"""m³ a day by opening it from which that is named; twice what ten to twenty openings let in."""

HARDLY_ANY = 1e-4
"""kg of frost a day under which nothing is worth doing about it."""

WORTH_A_JOB = 0.1
"""Run share under which nothing that costs time or money is worth doing for amp-hours."""

WET_FOOD = 5e-3
"""kg of water a day from food from which it is named."""

HOT_CONDENSER = 26.0
"""K of condensing above cabin air that says the machine is short of air."""


def volts_over_cut_out(found: Findings) -> float:
    """Volts at the compressor over those at which its electronics stop it."""
    volts, cut_out = (found.number(f"cold_box.compressor.{k}")[0] for k in ("feed_voltage", "cut_out"))
    return float(volts / cut_out)


def next_for_cost(found: Findings, failing: bool, fridge_warm: bool) -> tuple[str, tuple[str, ...]]:
    """The step that gives back most for least, and its hazards.

    What costs little to look at comes first; a job is named where what it mends was measured
    or seen, else the reading that would tell.
    """
    share = pictures.shares(pictures.heats(found))
    what = mouth(found)
    frost, limit = found.number("cold_box.plate.frost")[0], found.number("cold_box.plate.frost_limit")[0]
    if volts_over_cut_out(found) < NEAR_CUT_OUT:
        return (
            "Measure the volts on the compressor's own terminals as it starts; look for a thin or long feed, "
            "a poor joint, or a flat battery.", ("battery", "locker_work", "hot_machine"),
        )  # fmt: skip
    if share["drain"] > DRAIN_WORTH:
        return "Plug the drain, or refill its trap: it pulls warm air through the box.", ("drain_to_bilge",)
    if fridge_warm:
        return (
            "Open or add holes low and high in the divider, or let its fan run longer; see that food does not stand "
            "before them. Then look at the freezer's temperature.", ("food_too_warm",),
        )  # fmt: skip
    if share["seal"] > SEAL_WORTH and found.given("cold_box.seal.failing_share"):
        return f"Clean the {what} seal, and pack or renew it where the slip of paper pulls free.", ()
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
    if not failing and float(found.daily("cold_box.run_share")[0]) < WORTH_A_JOB:
        return "Nothing to mend now: it takes little.", ()
    if share["openings"] > OPENINGS_WORTH:
        return f"Open the {what} less often: drinks in a cooler, the food you reach for on top.", ()
    if share["opening"] > LID_WORTH and found.given("cold_box.lid_insulation"):
        return (
            f"Put an inch or two of foam board on the {what}, inside or out; it is the cheapest wall to mend.",
            (),
        )
    if share["opening"] > LID_WORTH:
        return (
            f"Tap or drill the {what} at its edge and see how thick its foam is: {share['opening']:.0%} comes through it.",
            (),
        )
    if share["hull"] > HULL_WORTH:
        return "Hang a pale cloth over the topside by the box on sunny days.", ()
    if failing:
        # Ice is as warm as 32 °F: it holds a refrigerator's food and thaws a freezer's.
        first = (
            "Put nothing in it that is not frozen, and open it less."
            if is_freezer(found)
            else "Load ice to hold the food, and open it less."
        )
        return (
            f"{first} Then look at the plate: frosted all over, the machine "
            "is well and the walls let in too much; frosted only in part means a certified technician.",
            ("refrigerant", *_burns(found)),
        )  # fmt: skip
    closer = sharpest(found, "cold_box.amp_hours_per_day")
    return (f"Nothing to mend now. Take {closer}." if closer else "Nothing now."), ()


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


def next_for_frost(found: Findings, due: bool) -> tuple[str, tuple[str, ...]]:
    """What to do about frost, due or not, by where its water comes in; and what to know before."""
    what, hazards = mouth(found), defrost_hazards(found)
    if due:
        return (
            "Run the food down or into a cooler, switch off, lid open, and let it thaw; catch the melt-water in "
            "a jug and log it: grams a day are the best measure of the seal."
        ), hazards
    drain, seal = float(found.daily("cold_box.air.drain")[0]), float(found.daily("cold_box.air.seal")[0])
    opened = float(found.daily("cold_box.air.openings")[0])
    if drain > 0.5 * (seal + drain + opened):
        step = "Plug the drain, or refill its trap: most of the water comes in because it stands open."
        return step, ("drain_to_bilge", *hazards)
    if seal > opened and seal * DAY > 0.5:
        if found.given("cold_box.seal.failing_share"):
            step = f"Pack or renew the {what} seal where the paper pulls free; most of the water comes in there."
            return step, hazards
        return f"Go round the {what} seal with a slip of paper; most of the water comes in there.", hazards
    if opened * DAY > MUCH_OPENED:
        return (
            f"Open the {what} less often, or for less long; most of the water comes in that way.",
            hazards,
        )
    food, all_frost = (float(found.daily(f"cold_box.{k}")[0]) for k in ("water.food", "frost_rate"))
    if food > 0.5 * all_frost and food * DAY > WET_FOOD:
        return "Cover wet food: most of the water comes from it.", hazards
    if all_frost * DAY < HARDLY_ANY:
        return "Nothing now.", hazards
    closer = sharpest(found, "cold_box.days_to_defrost")
    if closer:
        return f"Nothing to mend now. Take {closer}.", hazards
    return "Nothing now. Weigh or measure the melt-water at the next defrost and log it.", hazards
