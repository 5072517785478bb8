"""A verdict on a repair as JSON, as text and as pictures."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.contract import Bar, Bars, Distribution, Picture, Series, Timeline
from console.inference.explained import Part
from console.inference.fitting import Fit
from console.inference.repairs import DECIDES, PRIOR_SAME, Verdict
from console.quantities import (
    STYLES,
    System,
    convert_difference,
    number_text,
    pretty_unit,
    say_range,
    shown,
    style_of,
)
from console.results import unwell_json, unwell_lines

Array = NDArray[np.float64]

DRAWN = 400
"""Draws of a posterior that a picture is made of."""


def verdict_json(boat: Boat, made: Verdict, system: System) -> dict[str, Any]:
    """The verdict, changes as shares and parts in the units shown."""
    return {
        "scenario": boat.name,
        "repair": made.repair,
        "repaired": made.repaired.isoformat() if made.repaired else None,
        "verdict": made.verdict,
        "probability_helped": made.probability_helped,
        "probability_worse": made.probability_worse,
        "probability_no_change": made.probability_same,
        "prior_no_change": PRIOR_SAME,
        "change": dict(zip(("value", "low", "high"), made.change, strict=True)),
        "explained_by": {part.reading: _part_json(part, system) for part in made.parts},
        "smallest_detectable_change": made.smallest_detectable_change,
        "days_needed": made.days_needed,
        "missing": list(made.missing),
        "flags": list(made.flags),
        "left_out": list(made.left_out),
        "effective_draws": made.size,
        "unwell": unwell_json(made.unwell),
    }


def _part_json(part: Part, system: System) -> dict[str, Any]:
    style = style_of(part.unit, part.style)
    return {
        "raw": convert_difference(part.raw, style, system) if np.isfinite(part.raw) else None,
        "unit": pretty_unit(style, system),
        "parts": {name: convert_difference(value, style, system) for name, _, value in part.made_of},
    }


def percent_change(share: float) -> str:
    """A change as people say it: ``"52 % less"``."""
    if abs(share) < 0.005:
        return "no change"
    return f"{abs(share) * 100:.0f} % {'less' if share < 0 else 'more'}"


def sentence_of(made: Verdict) -> str:
    """The verdict in one sentence."""
    what = made.title[:1].lower() + made.title[1:]
    match made.verdict:
        case "helped":
            return f"It helped: {what}, {percent_change(made.change[0])} than before."
        case "got worse":
            return f"It got worse: {what}, {percent_change(made.change[0])} than before."
        case "no detectable change":
            return f"No change that can be seen: {what}, as before."
    return f"Cannot tell yet whether it helped: {what}."


def why_of(made: Verdict) -> list[str]:
    """How sure, how much, and what this log could have seen, in sentences."""
    value, low, high = made.change
    rows = [
        f"After against before: {percent_change(value)} (nine times in ten {percent_change(low)} to "
        f"{percent_change(high)}).",
        f"Helped by {_share(DECIDES)} or more: {_share(made.probability_helped)} likely; worse by as much: "
        f"{_share(made.probability_worse)}; neither: {_share(made.probability_same)}. "
        "Counted from even odds that a repair changes anything.",
    ]
    if made.smallest_detectable_change is not None:
        rows.append(
            f"The smallest gain this log could show for sure is about {_share(made.smallest_detectable_change)}."
        )
    return rows


def _share(share: float) -> str:
    return f"{share * 100:.0f} %"


def next_of(made: Verdict) -> str:
    """What to do next."""
    if made.verdict != "cannot tell yet":
        return "Keep logging: the next repair is judged against this."
    if made.days_needed:
        days = "one more day" if made.days_needed == 1 else f"about {made.days_needed} more days"
        return f"Log {days} as before, then ask again."
    if made.missing:
        return f"More days alone will not settle it; log also {_spoken(made.missing)}."
    return "More days alone will not settle it; read with more care, or more often on the same day."


def _spoken(names: tuple[str, ...]) -> str:
    return ", ".join(name.replace("_", " ") for name in names)


def verdict_text(boat: Boat, made: Verdict, system: System) -> str:
    """The verdict for reading: verdict, number, why, what else explains it, what to do next."""
    lines = [f"{shown(boat.name, 60)}: {sentence_of(made)}", ""]
    lines += [f"  {row}" for row in why_of(made)]
    lines.append(f"  Next: {next_of(made)}")
    for title, rows in parts_text(made, system):
        lines += ["", title, *(f"  {row}" for row in rows)]
    for heading, told in (
        ("Mind", made.flags), ("Not weighed", made.left_out),
        ("Not in the log, and would sharpen this", tuple(n.replace("_", " ") for n in made.missing)),
    ):  # fmt: skip
        if told:
            lines += ["", heading, *(f"  - {shown(row, 300)}" for row in told)]
    lines += unwell_lines(made.unwell)
    return "\n".join(lines)


def parts_text(made: Verdict, system: System) -> list[tuple[str, list[str]]]:
    """What the raw change of each reading is made of: a heading, and a row for each part."""
    found: list[tuple[str, list[str]]] = []
    for part in made.parts:
        style = style_of(part.unit, part.style)
        if not np.isfinite(part.raw):
            continue
        what = "a day, after against before" if part.rate else "after against before"
        head = f"{part.title}: {_signed(part.raw, style, system)} {what}, made of"
        found.append(
            (head, [f"{_signed(value, style, system):>12}  {title}" for _, title, value in part.made_of])
        )
    return found


def _signed(value: float, style: str, system: System) -> str:
    text = number_text(convert_difference(value, style, system), 2)
    unit = pretty_unit(style, system).removesuffix("/day")
    return f"{'' if text.startswith('-') or text == '0' else '+'}{text} {unit}".strip()


def fitted_words(made: Fit, system: System) -> list[str]:
    """What a log says of the boat, for reading."""
    rows = [
        f"{each.entry.label} ({each.path}): {say_range(*each.after, each.entry.style, system)}; "
        f"before the log {say_range(*each.before, each.entry.style, system)}"
        for each in made.inputs
    ]
    if not rows:
        kinds = len(made.readings)
        weighed = "1 kind of reading was" if kinds == 1 else f"{kinds} kinds of readings were"
        rows = [f"Nothing is known better than before: {weighed} weighed."]
    return [*rows, *(f"Not weighed: {each}" for each in made.left_out)]


# --- pictures -------------------------------------------------------------------------------


def pictures_of(boat: Boat, made: Verdict) -> tuple[Picture, ...]:
    """Before and after as two distributions, the raw change in parts, and the days with their events."""
    pictures: list[Picture] = []
    given = next(
        (g for _, e in boat.registry.estimates for g in e.gives if g.name == made.figure), None
    )  # fmt: skip
    if given is not None:
        style = style_of(given.unit, given.style)
        groups = tuple(
            Series(label, tuple(float(v) for v in _drawn(values, weights)))
            for label, (values, weights) in (("before", made.before), ("after", made.after))
        )
        pictures.append(Distribution(given.meaning, style, groups))
    for part in made.parts:
        if np.isfinite(part.raw):
            bars = tuple(Bar(title, value) for _, title, value in part.made_of)
            style = style_of(part.unit, part.style)
            pictures.append(Bars(f"{part.title}: what the change is made of", style, bars))
    timeline = _timeline(made, boat)
    return (*pictures, timeline) if timeline is not None else tuple(pictures)


def _drawn(values: Array, weights: Array) -> Array:
    random = np.random.default_rng(3)
    return np.asarray(values[random.choice(values.size, DRAWN, p=weights / weights.sum())])


def _timeline(made: Verdict, boat: Boat) -> Timeline | None:
    names = dict.fromkeys(each.reading.name for each in made.log.evidence)
    if not names:
        return None
    name = max(names, key=lambda n: sum(e.reading.name == n for e in made.log.evidence))
    mine = sorted((e for e in made.log.evidence if e.reading.name == name), key=lambda e: e.entry.at)
    zone = boat.inputs.get("site.timezone")
    style = style_of(mine[0].reading.unit, mine[0].reading.style)
    if style not in STYLES:
        return None
    at = tuple(e.entry.at.timestamp() for e in mine)
    events = ((made.repaired.timestamp(), "repair"),) if made.repaired else ()
    return Timeline(
        mine[0].reading.title, style, at, (Series("read", tuple(e.value for e in mine)),), events,
        str(zone.value) if zone is not None and zone.value else "UTC",
    )  # fmt: skip


__all__ = [
    "fitted_words", "next_of", "percent_change", "pictures_of", "sentence_of", "verdict_json", "verdict_text",
    "why_of",
]  # fmt: skip
