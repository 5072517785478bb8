"""Can I run it at anchor? Energy, power, and what the sun puts back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Curve, Findings, Reason, Series, Urgency
from plugins.power.answer_paths import path_lists, unsteady
from plugins.power.bank import nominal_voltage, peukert_seconds
from plugins.power.phrases import clock, load_names, no_number, often, percentiles, share_true, step_hours
from plugins.power.solar import sunset_step
from plugins.power.tables import INVERTER_EFFICIENCY, SWING, WORKING_VOLTS

Array = NDArray[np.float64]

SURE = 0.9
LEAST_SHARE = 0.02


def answer(found: Findings) -> Answer:
    """The card: charge at dawn against the floor, the amps asked at once, tomorrow's sun."""
    dawn = found.daily("power.dawn_state_of_charge")
    if not np.isfinite(found.hourly("power.state_of_charge")[0]).all():
        return no_number("power.dawn_state_of_charge")
    floor = 1.0 - found.number("power.bank.usable_share")
    enough = dawn >= floor
    likely = share_true(enough, np.isfinite(dawn))
    strong = _power(found)
    if strong:
        verdict, urgency = strong[0].text, Urgency.ACT
    else:
        # "Can I run it" is asked of what is counted; what is not must not pass for it.
        counted = "" if not _air_conditioner(found, floor) else ", without the air conditioner"
        verdict, urgency = _verdict(found, dawn, floor, likely, counted)
    reasons = [
        *(strong[1:] if strong else ()),
        *_nights(found, dawn),
        *_loads(found),
        *_amps(found),
        *_recovery(found),
        *_air_conditioner(found, floor),
        *_swing(found),
        *unsteady(found),
    ]
    return Answer(
        verdict,
        urgency,
        figure="power.dawn_state_of_charge",
        reasons=tuple(reasons),
        next=_next(found, urgency),
        sure=likely if enough[0] else 1.0 - likely,
        hazards=("carbon_monoxide", "batteries"),
        pictures=(*_pictures(found, floor), *path_lists(found)),
    )


def _verdict(
    found: Findings, dawn: Array, floor: Array, likely: float, counted: str
) -> tuple[str, Urgency]:
    left, least = found.say(dawn[0], "percent"), found.say(floor[0], "percent")
    if dawn[0] >= floor[0]:
        if likely >= SURE:
            return _how_long(found, left, least, counted)
        short = often(1.0 - likely)
        return (
            f"On a usual night{counted}: {left} at dawn, where {least} is the least; {short} it is short.",
            Urgency.WATCH,
        )
    low_at_sunset = found.number("power.bank.state_at_sunset")[0] < floor[0]
    when = "already at sunset" if low_at_sunset else f"by {_crossing(found, float(floor[0]))}"
    if dawn[0] <= 0.02:
        return f"No: below {least} {when}, and flat before dawn.", Urgency.ACT
    return f"No: below {least} {when}, and down to {left} at dawn.", Urgency.ACT


def _how_long(found: Findings, left: str, least: str, counted: str) -> tuple[str, Urgency]:
    """A night that is enough, and for how many of them what the sun puts back will do."""
    dawn = f"at dawn the bank still has {left}, and {least} is as low as it should go"
    recovery = found.daily("power.recovery")
    back = float(recovery[0])
    use = float(found.daily("power.dc_amp_hours_per_day")[0]) * 86400.0
    if use <= 0:
        return f"Yes{counted}: {dawn}; nothing that is listed takes from it.", Urgency.FINE
    if back >= 1.0:
        enough = share_true(recovery >= 1.0)
        sun = (
            "the sun puts the day back"
            if enough >= SURE
            else f"a usual day's sun puts the day back, {often(1.0 - enough)} it does not"
        )
        return f"Yes{counted}: {dawn}; {sun}.", Urgency.FINE
    nights = 1 + int(found.daily("power.dawn_amp_hours")[0] / (use * (1.0 - back)))
    many = "a week or more" if nights >= 7 else f"about {nights} nights" if nights > 1 else "one night"
    sun = (
        f"the sun puts back only {found.say(back, 'percent')} of a day"
        if back > 0
        else "no sun puts it back"
    )
    return f"Yes{counted}, for {many}: {dawn}; {sun}.", Urgency.FINE if nights > 1 else Urgency.WATCH


def _order(found: Findings) -> list[int]:
    """Steps of the day in the order from sunset."""
    steps = found.hourly("power.state_of_charge").shape[1]
    hours: Array = (np.arange(steps, dtype=np.float64) + 0.5) * step_hours(steps) % 24.0
    first = sunset_step(found.hourly("weather.sun_zenith")[0], hours)
    return [(first + k) % steps for k in range(steps)]


def _crossing(found: Findings, floor: float) -> str:
    states = found.hourly("power.state_of_charge")[0]
    order = _order(found)
    width = step_hours(states.size)
    place = next((k for k, step in enumerate(order) if states[step] < floor), len(order) - 1)
    night = int(place * width // 24) + 1
    return clock((order[place] + 1) * width) + (f" of night {night}" if night > 1 else "")


# --- reasons ----------------------------------------------------------------------------------


def _power(found: Findings) -> list[Reason]:
    """What the bank or the inverter cannot give, the worse first."""
    said: list[Reason] = []
    asked = found.daily("power.bank_peak")[0]
    if found.has("power.bank.current_limit"):
        limit = found.number("power.bank.current_limit")[0]
        if asked > limit:
            said.append(
                Reason(
                    f"No: {found.say(asked, 'current')} at once, and the bank may give {found.say(limit, 'current')}."
                )
            )
    if found.has("power.inverter"):
        limit, asked = found.number("power.inverter.power")[0], found.daily("power.inverter_power")[0]
        if asked > limit:
            said.append(
                Reason(
                    f"No: {found.say(asked, 'power')} at once, and the inverter gives {found.say(limit, 'power')} for long."
                )
            )
    return said


def _nights(found: Findings, dawn: Array) -> list[Reason]:
    if dawn.size < 2:
        return []
    said = (found.say(value, "percent") for value in percentiles(dawn, 5, 50, 95))
    return [
        Reason(
            "At dawn: bad night {}, usual {}, good night {} (one in twenty is worse, one better).".format(
                *said
            )
        )
    ]


def _loads(found: Findings) -> list[Reason]:
    total = found.daily("power.dc_amp_hours_per_day")
    said = [Reason(f"A day takes {found.say_range(total, 'amp_hours_per_day')}.")]
    if total[0] <= 0:
        return said
    names = load_names(found)
    parts = [(name, float(found.daily(name)[0])) for name in found.family("power.dc_load")]
    for name, part in sorted(parts, key=lambda item: -item[1]):
        if part >= LEAST_SHARE * total[0]:
            key = name.rsplit(".", 1)[-1]
            label = names.get(key, key)
            said.append(
                Reason(
                    f"{label[:1].upper()}{label[1:]}: {found.say(part, 'amp_hours_per_day')}.",
                    part / float(total[0]),
                )
            )
    return said


def _amps(found: Findings) -> list[Reason]:
    peak, hours = found.daily("power.bank_peak")[0], found.daily("power.bank_hours")[0]
    asked = found.say(peak, "current")
    if peak > 0:
        asked += f" (for {found.say(hours, 'hours')} from full, if it went on)"
    if found.has("power.bank.current_limit"):
        return [Reason(f"The most it gives at once is {asked}, motor starts apart.")]
    return [
        Reason(
            f"The most it gives at once is {asked}, motor starts apart; what it may give (fuse, cable, battery "
            "management) is not stated, so not checked."
        )
    ]


def _recovery(found: Findings) -> list[Reason]:
    if not found.has("power.solar_amp_hours_per_day"):
        return [Reason("No panels are listed, so nothing is put back by the sun.")]
    back = found.daily("power.recovery")
    low = percentiles(back, 25)[0]
    sun = found.say_range(found.daily("power.solar_amp_hours_per_day"), "amp_hours_per_day")
    tail = (
        "enough on the low side as well"
        if low >= 1.0
        else f"on a poor day (one in four) only {found.say(low, 'percent')} of what the day takes"
    )
    return [Reason(f"The sun gives {sun}: {found.say(back[0], 'percent')} of the day; {tail}.")]


def _air_conditioner(found: Findings, floor: Array) -> list[Reason]:
    """What the air conditioner would take of the bank, when it is aboard and not on it."""
    on_it = found.text("power.inverter.air_conditioner", "False") == "True"
    if on_it or not found.has("climate.unit_power"):
        return []
    chemistry = found.text("power.bank.chemistry", "lead")
    volts = WORKING_VOLTS[chemistry] * nominal_voltage(found.number("power.bank.voltage")[0]) / 12.0
    efficiency = found.number("power.inverter.efficiency", INVERTER_EFFICIENCY)[0]
    share = found.hourly("climate.run_share")[0]
    amps = np.broadcast_to(found.hourly("climate.unit_power")[0] / efficiency / volts, share.shape)
    dark = found.hourly("weather.sun_zenith")[0] > np.pi / 2
    nights = share.size * step_hours(share.size) / 24.0
    night = float(np.sum((amps * share)[dark])) * step_hours(share.size) / nights * 3600
    if night <= 0:
        return []
    peak = float(np.max(amps[share > 0]))
    most = found.say(peak, "current")
    full = found.number("power.bank.capacity")[0] * found.number("power.bank.health")[0]
    usable = (1 - floor[0]) * full
    lasts = (1 - floor[0]) * peukert_seconds(full, peak, found.number("power.bank.peukert")[0])
    return [
        Reason(
            f"The air conditioner from the bank would take {most} while it runs, for which a full bank lasts "
            f"{found.say(float(lasts), 'hours')}, and {found.say(night, 'charge')} in a night, of "
            f"{found.say(float(usable), 'charge')} that may be used; it is not counted here."
        )
    ]


def _swing(found: Findings) -> list[Reason]:
    """The most at once at both ends of the bank's volts, where they differ."""
    low, high = (float(found.daily(f"power.bank_current_{end}")[0]) for end in ("low", "high"))
    if max(low, high) < 1.0:
        return []
    nominal = float(nominal_voltage(found.number("power.bank.voltage")[0]))
    volts = [found.say(end * nominal / 12.0, "voltage") for end in SWING]
    return [
        Reason(
            f"From {volts[0]}, well used, to {volts[1]}, absorbing, the most at once goes from {found.say(low, 'current')} to "
            f"{found.say(high, 'current')} (common practice for the volts, no source)."
        )
    ]


# --- what to do, and the picture --------------------------------------------------------------


_LESS = {
    "ice_box": "It keeps food, so no fewer hours: its own card says what it loses; and charge before dark.",
    "always_on": "Find which of it may be off at night, never an alarm; and charge before dark.",
    "inverter_idle": "Off at its own switch when nothing hangs on it; and charge before dark.",
}


def _next(found: Findings, urgency: Urgency) -> str:
    parts = [(name, float(found.daily(name)[0])) for name in found.family("power.dc_load")]
    largest = max(parts, key=lambda item: item[1], default=("", 0.0))
    if urgency == Urgency.FINE:
        return (
            "Read the battery monitor at sunset and at dawn once: it replaces most of what is assumed here."
        )
    if largest[1] <= 0:
        return "State what runs on the bank."
    key = largest[0].rsplit(".", 1)[-1]
    name = load_names(found).get(key, key)
    way = _LESS.get(key, "Fewer hours, or charge before dark.")
    return f"Start with the largest: {name}, {found.say(largest[1], 'amp_hours_per_day')}. {way}"


def _pictures(found: Findings, floor: Array) -> tuple[Curve, ...]:
    states = found.hourly("power.state_of_charge")[:, _order(found)]
    start = np.broadcast_to(found.number("power.bank.state_at_sunset")[:, None], (states.shape[0], 1))
    states = np.hstack([start, states])
    count = states.shape[1] - 1
    whole = states[np.isfinite(states).all(axis=1)]
    low, high = np.percentile(whole[1:] if whole.shape[0] > 1 else states[:1], (5, 95), axis=0)

    def row(values: Array) -> tuple[float, ...]:
        return tuple(map(float, values))

    charge = Series(
        "state of charge", row(states[0]), row(np.minimum(low, states[0])), row(np.maximum(high, states[0]))
    )
    return (
        Curve(
            "State of charge from sunset on",
            "hours",
            "percent",
            tuple(k * step_hours(count) * 3600.0 for k in range(count + 1)),
            (charge,),
            x_label="after sunset",
            y_label="state of charge",
            limits=(("as low as it should go", float(floor[0])),),
        ),
    )
