"""The card "Does it stay dry inside?": the coldest surface against the dew point, and what grows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from console.contract import Answer, Curve, Picture, Reason, Series, Urgency
from plugins.climate import pictures
from plugins.climate.figures import SURFACE_MEANINGS
from plugins.climate.words import clock, hours_in_words, nominal

if TYPE_CHECKING:
    from console.contract import Findings

Array = NDArray[np.float64]

CLOSE = 1.5
"""K over the dew point below which a surface is as good as wet: thermometers and corners differ."""

AT_IT = 0.2
"""K over the dew point that no thermometer tells from it."""

MOULD = 0.70
"""Relative humidity of the cabin above which mould grows in days (owners' forum, published there)."""

FIRM = 0.8


def does_it_stay_dry(found: Findings) -> Answer:
    """Whether anything inside sweats, what and when, and whether the air is damp enough for mould."""
    margin = found.hourly("climate.dry_margin")
    dew = found.hourly("climate.cabin_dew_point")[0]
    margins = {
        name: found.hourly(f"climate.surface.{name}")[0] - dew
        for name in SURFACE_MEANINGS
        if found.has(f"climate.surface.{name}")
    }
    worst = int(np.argmin(margin[0]))
    coldest = min(margins, key=lambda name: float(margins[name][worst])) if margins else ""
    what = SURFACE_MEANINGS.get(coldest, "coldest surface")
    least = float(margin[0, worst])
    wet = np.asarray(margin[0] < 0.0)
    sweats = np.asarray((margin < 0.0).any(axis=1))
    sure = float(np.mean(sweats[1:] == sweats[0])) if sweats.size > 1 else None
    damp = found.hourly("climate.cabin_humidity")[0]
    mouldy = np.asarray(damp > MOULD)
    by = found.say(abs(least), "temperature_difference")
    if wet.any():
        lead = "likely sweats" if sure is not None and sure < FIRM else "sweats"
        verdict = f"The {what} {lead} {hours_in_words(wet)}: it falls {by} below the dew point."
        urgency = Urgency.WATCH
    elif least < AT_IT:
        verdict, urgency = f"Just dry: the {what} comes down to the very dew point.", Urgency.WATCH
    elif least < CLOSE:
        verdict = f"Just dry: the {what} stays only {by} above the dew point."
        urgency = Urgency.WATCH
    else:
        verdict = f"Yes: the {what}, coldest of all, stays {by} above the dew point."
        urgency = Urgency.FINE
    if mouldy.any():
        most = found.say(float(damp.max()), "share")
        verdict = f"{verdict[:-1]}; the air reaches {most}, damp enough for mould."
        urgency = Urgency.WATCH
    hazards = ("condensation",) if urgency is not Urgency.FINE else ()
    return Answer(
        verdict, urgency, "climate.dry_margin", _reasons(found, margins, damp), _next(found, coldest, urgency),
        sure, hazards, _pictures(found),
    )  # fmt: skip


def _reasons(found: Findings, margins: dict[str, Array], damp: Array) -> tuple[Reason, ...]:
    reasons = []
    for name, values in sorted(margins.items(), key=lambda item: float(item[1].min())):
        least = float(values.min())
        side = "above" if least >= 0 else "below"
        said = found.say(abs(least), "temperature_difference")
        reasons.append(Reason(f"{SURFACE_MEANINGS[name]}: at worst {said} {side} the dew point"))
    dew = found.say_range(found.daily("climate.cabin_dew_point"), "temperature")
    reasons.append(Reason(f"dew point of the cabin's air: at most {dew}"))
    reasons.append(
        Reason(
            f"relative humidity: on average {found.say(float(damp.mean()), 'share')}, at most"
            f" {found.say(float(damp.max()), 'share')} (keep it under 60 %; mould grows above 70 %)"
        )
    )
    if found.has("climate.condensate_rate"):
        wrung = found.hourly("climate.condensate_rate")[0] * found.hourly("climate.run_share")[0]
        if float(wrung.mean()) > 0.0:
            a_day = found.say(float(wrung.mean()), "mass_per_day")
            reasons.append(Reason(f"the unit wrings out {a_day}"))
    return tuple(reasons)


def _next(found: Findings, coldest: str, urgency: Urgency) -> str:
    if urgency is Urgency.FINE:
        return "Nothing now. Look again when you set it cooler or the weather turns damp."
    if found.text("climate.fan", "with_compressor") == "always" and nominal(found, "run_hours") > 0.0:
        return "Let the fan stop with the compressor: left on, it blows the wet coil's water back."
    if coldest == "duct":
        return "Insulate the supply ducts, joints taped; until then set it a little warmer."
    if coldest == "grille":
        return "Keep wet air out (hatches, ventilators, bilge) and wipe the grilles; set it no cooler than now."
    if coldest == "glass":
        return "Wipe the glass in the morning, cook and breathe out through an open vent, warm the cabin a little."
    return "Let air into lockers and bilge, keep stores off the bare hull, dry the bilge."


def _pictures(found: Findings) -> tuple[Picture, ...]:
    dew = found.hourly("climate.cabin_dew_point")
    series = [pictures.with_range("dew point", dew)]
    for name in ("duct", "grille", "glass", "locker"):
        if found.has(f"climate.surface.{name}"):
            hourly = found.hourly(f"climate.surface.{name}")[0]
            series.append(Series(name, tuple(float(v) for v in hourly)))
    through = Curve(
        "Cold surfaces and the dew point", "clock", "temperature", clock(dew.shape[1]), tuple(series)
    )
    humidity = found.hourly("climate.cabin_humidity")
    share = Curve(
        "Humidity of the cabin", "clock", "share", clock(humidity.shape[1]),
        (pictures.with_range("cabin", humidity),), limits=(("mould grows above", MOULD),),
    )  # fmt: skip
    return (through, share)
