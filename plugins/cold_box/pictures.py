"""Pictures of the ice box as records: the box in section, its heat as bars, the frost ahead."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from console.contract import Arrow, Bar, Bars, Curve, CutBox, Series
from plugins.cold_box.tables import LONGEST_INTERVAL
from plugins.cold_box.words import is_door, mouth, paths

if TYPE_CHECKING:
    from console.contract import Array, Findings

LOW, HIGH = 5.0, 95.0
DAY = 86_400.0
CURVE_POINTS = 41
SHORTEST = 3.0 * DAY


def heats(found: Findings) -> dict[str, Array]:
    """Every way heat comes in, W in every draw, by key of `words.paths`; bottom with the sides."""
    made = {key: found.daily(figure) for key, _, figure in paths(found)}
    made["sides"] = made["sides"] + found.daily("cold_box.through.bottom")
    return made


def shares(made: dict[str, Array]) -> dict[str, float]:
    """Each way's share of all the heat that comes in; 0 for one that takes heat out (ice, a cold sea)."""
    coming = {key: max(float(rows[0]), 0.0) for key, rows in made.items()}
    total = max(sum(coming.values()), 1e-9)
    return {key: value / total for key, value in coming.items()}


def _edges(values: Array) -> tuple[float, float]:
    """P5 and P95 of the draws, stretched to hold the nominal."""
    rows = values[1:] if values.size > 1 else values
    low, high = np.percentile(rows, (LOW, HIGH))
    return min(float(low), float(values[0])), max(float(high), float(values[0]))


def cut_box(found: Findings) -> CutBox:
    """The box in section: heat through each face, and the vapour that comes in."""
    made = {key: float(rows[0]) for key, rows in heats(found).items()}
    bottom = float(found.daily("cold_box.through.bottom")[0])
    face: Literal["front", "lid"] = "front" if is_door(found) else "lid"
    arrows = [
        Arrow(face, mouth(found), made["opening"]),
        Arrow(face, "seal", made["seal"]),
        Arrow(face, "openings", made["openings"]),
        Arrow("sides", "sides", made["sides"] - bottom),
        Arrow("hull", "hull", made["hull"]),
        Arrow("bottom", "bottom", bottom),
        Arrow("inside", "food", made["contents"]),
        Arrow("inside", "frost", float(found.daily("cold_box.frost_rate")[0]), "vapour"),
    ]
    if made["drain"] != 0.0:
        arrows.append(Arrow("drain", "drain", made["drain"]))
    return CutBox(
        "The ice box, cut through", "net_heat", "door" if is_door(found) else "lid", tuple(arrows),
        inside=float(np.mean(found.hourly("cold_box.box_temperature")[0])),
        outside=float(np.mean(found.hourly("cold_box.cabin_air")[0])),
        plate=float(found.daily("cold_box.plate_temperature")[0]),
        frost=float(found.number("cold_box.plate.frost")[0]),
        frost_limit=float(found.number("cold_box.plate.frost_limit")[0]),
    )  # fmt: skip


def heat_bars(found: Findings) -> Bars:
    """Each way heat comes in, largest first."""
    made = heats(found)
    share = shares(made)
    words = {key: said for key, said, _ in paths(found)}
    order = sorted(made, key=lambda key: -float(made[key][0]))
    return Bars(
        "Where the heat comes in", "net_heat",
        tuple(
            Bar(words[key], float(made[key][0]), *_edges(made[key]), f"{share[key]:.0%}")
            for key in order
            if key != "drain" or float(made[key][0]) != 0.0
        ),
    )  # fmt: skip


def frost_curve(found: Findings) -> Curve:
    """Frost on the plate from today, at today's rate, with its range and the owner's limit."""
    now, rate = found.number("cold_box.plate.frost"), found.daily("cold_box.frost_thickness_rate")
    limit = float(found.number("cold_box.plate.frost_limit")[0])
    due = float(found.daily("cold_box.days_to_defrost")[0])
    days = np.linspace(0.0, float(np.clip(1.4 * due, SHORTEST, LONGEST_INTERVAL)), CURVE_POINTS)
    # Nobody lets it grow far past the limit: the picture ends there, so that the limit is seen.
    top = 1.6 * max(limit, float(now[0]))
    growth = np.minimum(now[:, None] + rate[:, None] * days[None, :], top)
    rows = growth[1:] if growth.shape[0] > 1 else growth
    low, high = np.percentile(rows, (LOW, HIGH), axis=0)
    nominal = growth[0]
    return Curve(
        "Frost on the plate", "days", "short_length", tuple(map(float, days)),
        (
            Series(
                "frost", tuple(map(float, nominal)), tuple(map(float, np.minimum(low, nominal))),
                tuple(map(float, np.maximum(high, nominal))),
            ),
        ),
        x_label="days from now", y_label="frost", limits=(("your limit", limit),),
    )  # fmt: skip


def air_bars(found: Findings) -> Bars:
    """The cabin air that gets in, by way: the water comes with it."""
    names = (
        (f"the {mouth(found)} seal", "cold_box.air.seal"),
        ("the open drain", "cold_box.air.drain"),
        (f"opening the {mouth(found)}", "cold_box.air.openings"),
    )
    rows = [(label, found.daily(name)) for label, name in names]
    return Bars(
        "Cabin air that gets in, and its water with it", "air_per_day",
        tuple(
            Bar(label, float(values[0]), *_edges(values))
            for label, values in sorted(rows, key=lambda row: -float(row[1][0]))
            if float(values[0]) > 0.0
        ),
    )  # fmt: skip
