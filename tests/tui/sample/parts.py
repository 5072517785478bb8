"""The table, the estimate and the answers of the sample plugin."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any, Literal

import numpy as np

from console import fields
from console.contract import Answer, Bar, Bars, Findings, Reason, Run, Series, Stack, Urgency
from tests.tui.sample import NASTY


class Load(fields.Table):
    """One item of a list."""

    name: str = fields.text("pump", help="What it is called on board.")
    power: fields.Quantity = fields.quantity(
        "power", "60 W ± 20 %", help="From its label.", hard=("0 W", "5000 W"), usual=("10 W", "500 W")
    )


class Second(fields.Table):
    """Another pump, seldom aboard."""

    power: fields.Quantity = fields.quantity(
        "power", "60 W ± 20 %", help="From its label.", hard=("0 W", "5 kW")
    )


class Sample(fields.Table):
    """A bilge with a pump."""

    depth: fields.Quantity = fields.quantity(
        "short_length", "8 in ± 2 in", hard=("0 in", "60 in"), usual=("2 in", "30 in"),
        help="How deep the water stands; measure it with a ruler at the pump.",
    )  # fmt: skip
    leak: fields.Quantity = fields.quantity(
        "flow", "0.5 gpm ± 60 %", hard=("0 gpm", "100 gpm"), usual=("0.01 gpm", "5 gpm"),
        help="Time how long a bucket takes to fill at the pump's outlet.",
    )  # fmt: skip
    worked: fields.Quantity = fields.quantity(
        "flow", "± 25 %", compute="tests.tui.sample.parts:capacity", hard=("0 gpm", "100 gpm"),
        help="What the pump can lift; its label says so.",
    )  # fmt: skip
    water: fields.Quantity = fields.quantity(
        "temperature", "75 F ± 4 F", hard=("28 F", "110 F"), usual=("40 F", "95 F"),
        help="A thermometer in the bilge.", measured=True,
    )  # fmt: skip
    kind: Literal["centrifugal", "diaphragm", "hand_pump"] = fields.choice(
        "centrifugal", help="Which pump it is."
    )
    alarmed: bool = fields.text(True, help="Whether a float switch sounds an alarm.")
    seen: datetime.date | None = fields.text(None, help="When it was last looked at.")
    places: list[str] = fields.text([], help="Where water was seen.")
    load: list[Load] = fields.tables(help="What else hangs on the pump's wire.")
    second: Second | None = fields.table(Second, help="A second pump.", when_absent="not_aboard")


def capacity(run: Run) -> Any:
    return 2e-4 + 0 * run.number("boat.length")


def bilge(run: Run) -> Mapping[str, Any]:
    inflow = run.number("sample.leak") * (run.number("sample.depth") / 0.2) ** 0.5
    wave = 1 + 0.3 * np.sin(run.hours / 24 * 2 * np.pi)
    return {
        "sample.inflow": inflow * wave,
        "sample.run_share": np.clip(inflow * wave / run.number("sample.worked"), 0, 1),
        "sample.temperature": run.number("sample.water"),
    }


def act(found: Findings) -> Answer:
    inflow = found.daily("sample.inflow")
    hours = tuple(float(h) + 0.5 for h in range(24))
    layer = Series("leak [kW]", tuple(float(v) for v in found.hourly("sample.inflow")[0]))
    return Answer(
        f"Water comes in at {found.say_range(inflow, 'flow')} {NASTY}", Urgency.ACT, "sample.inflow",
        (Reason("The leak at the stern gland [/]", 0.7), Reason("Rain", 0.3), Reason("Somebody saw it.")),
        f"Tighten the stern gland a quarter turn {NASTY}.", 0.93, ("sample_mains", "sample_seacock"),
        (
            Stack("Water in over the day [kW]", "flow", hours, (layer,)),
            Bars("Where it comes from", "share", (Bar("gland [/]", 0.7), Bar("rain", 0.3))),
        ),
    )  # fmt: skip


def watch(found: Findings) -> Answer:
    return Answer("The pump runs more than it should.", Urgency.WATCH, "sample.run_share",
                  (Reason("The leak", 1.0),), "Look again tomorrow.", 0.8)  # fmt: skip


def fine(found: Findings) -> Answer:
    return Answer("The bilge is cool.", Urgency.FINE, "sample.temperature")


def unknown(found: Findings) -> Answer:
    return Answer(
        "The facts do not tell where it comes from.", Urgency.UNKNOWN, next="Dry the bilge and look."
    )


def broken(found: Findings) -> Answer:
    raise ZeroDivisionError(f"nothing left {NASTY}")
