"""What the supply itself gives reasons for: what holds, contacts, volts, the start, and labels."""

from __future__ import annotations

from console.contract import Findings, Reason, Urgency
from plugins.power.inlet import Inlet
from plugins.power.tables import (
    CONTACT_HOT,
    CONTACT_WARM,
    INSTANT_TRIP_MULTIPLE,
    LOW_VOLTAGE_SHARE,
    NOMINAL_120,
    NOMINAL_230,
    SPLIT,
    START_VOLTAGE_SHARE,
    STOP_VOLTAGE_SHARE,
)

_TOUCH = (
    "after an hour under load a plug too hot to hold is bad, at half its rating too, and no breaker sees it"
)
_LABEL_RATIO = 1.3
"""How far a label's volts may be from the dock's: 115 on 120 and 208 on 240 run, 115 on 230 does not."""


def supply_reasons(found: Findings, inlet: Inlet) -> tuple[Reason, ...]:
    """What holds, the contacts, the volts on board, the start, and a dock of another frequency."""
    return (
        _limits(found, inlet),
        _contacts(found),
        _volts(found),
        *_start(found, inlet),
        *_frequency(found),
    )


def stopped_by_label(found: Findings) -> str:
    """What is said when the air conditioner's label asks for other volts than this dock has; else nothing."""
    if not found.given("climate.voltage") or not found.has("climate.unit_current"):
        return ""
    label = float(found.number("climate.voltage")[0])
    dock = nominal_volts(found) * (2.0 if _two_legs(found) and label > SPLIT else 1.0)
    said = f"The air conditioner's label asks for {found.say(label, 'voltage')} and this dock has {found.say(dock, 'voltage')}"
    if dock > _LABEL_RATIO * label:
        return f"{said}: connected to it, it burns."
    if label > _LABEL_RATIO * dock:
        return f"{said}: it does not start on it, and its motors overheat trying."
    return ""


def contacts_told(found: Findings) -> tuple[str, Urgency] | None:
    """A verdict on contacts whose resistance the owner states: hot, warm, or nothing to say."""
    if not found.given("power.shore.contact_resistance"):
        return None
    heat = found.daily("power.contact_heat")
    said = f"As you state the contacts, plug and inlet make {found.say_range(heat, 'power')} of heat in the worst three hours"
    if heat[0] >= CONTACT_HOT:
        return f"{said}: too hot, and no breaker sees it.", Urgency.ACT
    return (
        (f"{said}: warm to the hand, and it gets worse.", Urgency.WATCH)
        if heat[0] >= CONTACT_WARM
        else None
    )


def _limits(found: Findings, inlet: Inlet) -> Reason:
    rule = (
        "80 % of it for three hours or more is the rule of the US code"
        if nominal_volts(found) == NOMINAL_120
        else "80 % of it for three hours or more is our own caution; no rule here says so"
    )
    legs = (
        " Each leg apart: the hours are of the leg that carries more, the most at once is of either."
        if _two_legs(found)
        else ""
    )
    return Reason(
        f"What holds is the {inlet.weakest}, {found.say(inlet.limit[0], 'current')}; {rule}.{legs}"
    )


def _contacts(found: Findings) -> Reason:
    heat = found.say_range(found.daily("power.contact_heat"), "power")
    if found.given("power.shore.contact_resistance"):
        return Reason(f"The contacts make {heat} of heat in plug and inlet; {_TOUCH}.")
    return Reason(
        f"The contacts are unknown, so not taken as good: {heat} of heat in plug and inlet; {_TOUCH}."
    )


def _frequency(found: Findings) -> list[Reason]:
    """A dock of another frequency than the label's."""
    if not found.has("power.shore.frequency") or not found.has("climate.frequency"):
        return []
    dock, label = (float(found.number(path)[0]) for path in ("power.shore.frequency", "climate.frequency"))
    if abs(dock - label) < 3.0:
        return []
    return [
        Reason(
            f"This dock has {found.say(dock, 'frequency')} and the air conditioner's label {found.say(label, 'frequency')}: motors "
            "not labelled for both must not run on it."
        )
    ]


def _volts(found: Findings) -> Reason:
    volts = found.daily("power.inlet_voltage")
    share = volts[0] / nominal_volts(found)
    said = f"Volts on board fall to {found.say_range(volts, 'voltage')}"
    if share < STOP_VOLTAGE_SHARE:
        return Reason(f"{said}: stop the motors, the air conditioner first.")
    if share < LOW_VOLTAGE_SHARE:
        return Reason(f"{said}: low; watch the meter when the dock is busy.")
    return Reason(f"{said}, which is enough.")


def _start(found: Findings, inlet: Inlet) -> list[Reason]:
    if not found.has("climate.start_current"):
        return []
    peak, volts = found.daily("power.start_peak"), found.daily("power.start_voltage")
    if peak[0] <= inlet.together[0]:
        return []
    said = f"When the air conditioner starts, {found.say(peak[0], 'current')} flow for a moment"
    if peak[0] > INSTANT_TRIP_MULTIPLE * inlet.breaker[0]:
        return [
            Reason(
                f"{said}: that may trip the breaker at once; a soft starter takes more than half off it."
            )
        ]
    dip = found.say(volts[0], "voltage")
    if volts[0] < START_VOLTAGE_SHARE * nominal_volts(found):
        return [Reason(f"{said} and the volts dip to {dip}: it may hum and not start.")]
    return [Reason(f"{said}; a breaker rides that, and the volts dip to {dip}.")]


def nominal_volts(found: Findings) -> float:
    """120 or 230 V, of one leg."""
    volts = float(found.number("power.shore.voltage")[0])
    return NOMINAL_230 if volts > SPLIT and not _two_legs(found) else NOMINAL_120


def _two_legs(found: Findings) -> bool:
    return found.text("power.shore.legs", "one") == "two"
