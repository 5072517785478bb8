"""Can I run one thing more tonight? By energy, by power, and by what the sun puts back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Bar, Bars, Findings, Reason, Urgency
from plugins.power.phrases import no_number, often, percentiles, share_true

Array = NDArray[np.float64]

SURE = 0.9


def answer(found: Findings) -> Answer:
    """The card: three answers, the worst of them first."""
    watts = found.say(found.number("power.ask.power")[0], "power")
    name = found.text("power.ask.name", "") or watts
    hours = found.say(found.number("power.ask.hours")[0], "hours")
    if not np.isfinite(found.daily("power.ask_dawn")[0]):
        return no_number("power.ask_dawn")
    what = f"{name} for {hours}"
    dawn, floor = found.daily("power.ask_dawn"), 1.0 - found.number("power.bank.usable_share")
    enough = dawn >= floor
    sure = share_true(enough, np.isfinite(dawn))
    energy, power, recovery = _energy(found, dawn, floor, sure), _power(found), _recovery(found)
    blocked = power[1]
    if not any(found.given(f"power.ask.{field}") for field in ("power", "hours", "name")):
        could = found.say_range(found.daily("power.ask_hours"), "hours")
        # Nobody asked: what there is to spend is told, and no alarm raised.
        verdict, urgency = f"To spare tonight: {watts} for {could}.", Urgency.FINE
    elif blocked:
        verdict, urgency = f"No to {what}: {blocked}.", Urgency.ACT
    elif not enough[0]:
        could = found.say(float(found.daily("power.ask_hours")[0]), "hours")
        verdict = f"No to {what}: {energy}; {could} is what there is."
        urgency = Urgency.ACT
    elif sure < SURE:
        verdict, urgency = (
            f"On a usual night yes to {what}, {often(1.0 - sure)} not: {energy}.",
            Urgency.WATCH,
        )
    elif not recovery[1]:
        verdict = f"Yes to {what} tonight, not every night: {recovery[0]}."
        urgency = Urgency.WATCH
    else:
        verdict, urgency = f"Yes to {what}: {energy}; {recovery[0]}.", Urgency.FINE
    return Answer(
        verdict,
        urgency,
        figure="power.ask_dawn",
        reasons=(
            Reason(
                f"Energy: {energy}; it takes {found.say_range(found.daily('power.ask_charge'), 'charge')}."
            ),
            Reason(f"Power: {power[0]}."),
            Reason(f"Recovery: {recovery[0]}."),
        ),
        next=_next(found, urgency, blocked),
        sure=sure if enough[0] else 1.0 - sure,
        hazards=("batteries", "carbon_monoxide"),
        pictures=(_picture(found, floor),),
    )


def _energy(found: Findings, dawn: Array, floor: Array, sure: float) -> str:
    least = found.say(float(floor[0]), "percent")
    return f"at dawn {found.say_range(dawn, 'percent')} is left, and {least} is as low as it should go"


def _power(found: Findings) -> tuple[str, str]:
    """What is asked at once against what may be given; and, if that is too much, the sentence that says no."""
    amps = float(found.daily("power.ask_peak")[0])
    parts, no = [], ""
    if found.has("power.bank.current_limit"):
        limit = float(found.number("power.bank.current_limit")[0])
        said = f"{found.say(amps, 'current')} at once, and the bank may give {found.say(limit, 'current')}"
        parts.append(said)
        no = said if amps > limit else ""
    else:
        parts.append(
            f"{found.say(amps, 'current')} at once from the bank, whose limit is not stated, so not checked"
        )
    if found.text("power.ask.path", "inverter").startswith("inverter"):
        watts = float(found.daily("power.ask_inverter")[0])
        if found.has("power.inverter"):
            limit = float(found.number("power.inverter.power")[0])
            said = f"{found.say(watts, 'power')} at once, and the inverter gives {found.say(limit, 'power')} for long"
            no = said if watts > limit else no
        else:
            said = no = "it hangs on an inverter, and none is listed"
        parts.append(said)
    if not found.has("power.ask.start"):
        parts.append("its start is not stated, so not counted")
    return "; ".join(parts), no


def _recovery(found: Findings) -> tuple[str, bool]:
    back = found.daily("power.ask_recovery")
    if float(back[0]) <= 0:
        return "no sun is listed to put it back", False
    low = percentiles(back, 25)[0]
    said = (
        f"tomorrow's sun puts back {found.say(float(back[0]), 'percent')} of a day with it, on a poor day (one in four) "
        f"{found.say(low, 'percent')} or less"
    )
    return said, low >= 1.0


def _next(found: Findings, urgency: Urgency, blocked: str) -> str:
    if not found.given("power.ask.power"):
        return "State the thing's watts and hours under [power.ask]."
    if blocked:
        return "Use one of fewer watts, or run it at the dock; a start counts as well as the running watts."
    if urgency is Urgency.FINE:
        return "Read the battery monitor before and after once: that replaces what is assumed here."
    return "Run it while the sun is on the panels, for less time, or take something else off tonight."


def _picture(found: Findings, floor: Array) -> Bars:
    rows = (("without it", "power.dawn_state_of_charge"), ("with it", "power.ask_dawn"))
    bars = []
    for label, figure in rows:
        if not found.has(figure):
            continue
        values = found.daily(figure)
        low, high = percentiles(values, 5, 95)
        usual = float(values[0])
        bars.append(Bar(label, usual, min(low, usual), max(high, usual)))
    bars.append(Bar("as low as it should go", float(floor[0])))
    return Bars("State of charge at dawn", "percent", tuple(bars))
