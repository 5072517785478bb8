"""Pictures of the line, as records: the line itself, its losses, the curves, the basket's days."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from console.contract import Bar, Bars, Curve, LinePart, Listing, ListRow, Series, WaterLine
from plugins.raw_water import estimates, fouling
from plugins.raw_water.build import ALL, build, first_of, loss_name, mended, screen
from plugins.raw_water.geometry import LINE, stated_heights
from plugins.raw_water.line import Fitting, Line, operating_flow, system_head_and_slope
from plugins.raw_water.words import PART_WORDS

if TYPE_CHECKING:
    from console.contract import Array, Findings, Run

_POINTS = 33
_DAYS_AHEAD = 1.6


class _AsRun:
    """The findings' inputs as a `Run` has them, all draws or the nominal alone."""

    def __init__(self, found: Findings, rows: int | None = None) -> None:
        self._found, self._rows = found, rows
        self.draws = found.draws if rows is None else rows

    @property
    def untouched(self) -> _AsRun:
        return self

    def number(self, path: str, default: float | None = None) -> Array:
        return self._found.number(path, default)[: self._rows, None]

    def text(self, path: str, default: str | None = None) -> str:
        return self._found.text(path, default)

    def given(self, path: str) -> bool:
        return self._found.given(path)

    def items(self, path: str) -> tuple[str, ...]:
        return self._found.items(path)

    def figure(self, name: str) -> Array:
        return self._found.hourly(name)[: self._rows]


def _run(found: Findings, rows: int | None = None) -> Run:
    return cast("Run", cast("Any", _AsRun(found, rows)))


def item_label(found: Findings, item: str) -> str:
    """An item as its owner calls it: its name, else its part."""
    part = found.text(f"{item}.part")
    name = found.text(f"{item}.name", "")
    if part == "hose":
        return f"hose, {name}" if name else "hose"
    return name or PART_WORDS.get(part, part)


def losses(found: Findings) -> dict[str, float]:
    """The day's mean loss (m) of each part by the last part of its figure's name, nominal."""
    return {name.rsplit(".", 1)[-1]: float(found.daily(name)[0]) for name in found.family("raw_water.loss")}


def loss_labels(found: Findings) -> dict[str, str]:
    """What each loss is called on the screen."""
    labels = dict(PART_WORDS)
    for item in found.items(LINE):
        part = found.text(f"{item}.part")
        if part == "hose":
            labels[loss_name(item, part)] = item_label(found, item)
    return labels


def water_line(found: Findings) -> WaterLine:
    """The line in the order the water goes; losses by part, the lift and the rest at the end."""
    items, left = found.items(LINE), losses(found)
    kinked = narrowest_hose(found)
    parts: list[LinePart] = []
    heights = _heights(found)
    for item in items:
        part = found.text(f"{item}.part")
        alike = sum(
            1 for other in items if loss_name(other, found.text(f"{other}.part")) == loss_name(item, part)
        )
        loss = left.get(loss_name(item, part), 0.0) / alike
        note = ""
        if item == kinked and left.get("kink"):
            loss += left["kink"]
            width = found.number(f"{item}.open_width")[0]
            note = f"kinked to {width:.0%} of its bore"
        parts.append(LinePart(item_label(found, item), part, loss, heights[item], note))
    for rest in ("unexplained", "lift"):
        if left.get(rest):
            parts.append(LinePart(PART_WORDS[rest], rest, left[rest], heights[items[-1]]))
    flow, head = float(found.daily("raw_water.flow")[0]), float(found.daily("raw_water.pump_head")[0])
    return WaterLine("The line, and what each part takes of the pump's head", tuple(parts), flow, head)


def narrowest_hose(found: Findings) -> str:
    """Path of the hose with the smallest open width; nothing when all are round."""
    hoses = [item for item in found.items(LINE) if found.text(f"{item}.part") == "hose"]
    widths = {item: float(found.number(f"{item}.open_width")[0]) for item in hoses}
    narrow = min(widths, key=lambda item: widths[item])
    return narrow if widths[narrow] < 1 else ""


def _heights(found: Findings) -> dict[str, float]:
    """Height (m) over the water of each item: those stated, the rest between their neighbours."""
    known = {item: float(height[0, 0]) for item, height in stated_heights(_run(found, 1)).items()}
    items = found.items(LINE)
    places = [place for place, item in enumerate(items) if item in known]
    stated = [known[items[place]] for place in places]
    return {item: float(np.interp(place, places, stated)) for place, item in enumerate(items)}


def parts_list(found: Findings) -> Listing:
    """Each part with its height, the speed of the water in it, and the head it takes."""
    drawn = water_line(found)
    head = max(drawn.head_available, 1e-9)
    names = {
        item_label(found, item): f"raw_water.velocity.{loss_name(item, 'hose')}"
        for item in found.items(LINE)
        if found.text(f"{item}.part") == "hose"
    }
    rows = []
    for part in drawn.parts:
        speed = found.say(float(found.daily(names[part.label])[0]), "speed") if part.label in names else ""
        rows.append(
            ListRow(
                (
                    part.label, found.say(part.height, "short_height"), speed, found.say(part.loss, "head"),
                    found.say(part.loss / head, "share"),
                )
            )
        )  # fmt: skip
    return Listing(
        "The line in the order the water goes", ("part", "above water", "speed", "takes", "of the pump's head"),
        tuple(rows), "Below 1 to 1.5 m/s mussels settle; they grow most in a wide hose and in still water.",
    )  # fmt: skip


def loss_bars(found: Findings) -> Bars:
    """Each part's loss with its range, largest first."""
    labels, bars = loss_labels(found), []
    for name in found.family("raw_water.loss"):
        rows = found.daily(name)
        low, high = np.percentile(rows[1:], (5, 95)) if rows.size > 1 else (rows[0], rows[0])
        key = name.rsplit(".", 1)[-1]
        bars.append(
            Bar(
                labels.get(key, key.replace("_", " ")),
                float(rows[0]),
                float(min(low, rows[0])),
                float(max(high, rows[0])),
            )
        )
    return Bars("Head each part takes", "head", tuple(sorted(bars, key=lambda bar: -bar.value)))


def curves(found: Findings) -> Curve:
    """The pump's curve falling, the line's rising, and where they cross; clean beside it."""
    run = _run(found, 1)
    shown = estimates.shows(run, estimates.mean_viscosity(run))
    viscosity = estimates.mean_viscosity(run)
    now = shown.fitted(build(run))
    clean = shown.fitted(build(mended(run, ALL)), placed=1.0, clean=1.0)
    flow = np.linspace(0.0, 1.0, _POINTS)[None, :] * float(clean.pump.free_flow[0, 0])
    top = float(clean.pump.shut_off[0, 0])

    def row(head: Array) -> tuple[float, ...]:
        return tuple(float(value) for value in np.clip(head, 0.0, 1.1 * top)[0])

    def taken(line: Line) -> Array:
        head, _ = system_head_and_slope(line, flow, viscosity)
        for fall in line.falls:
            head = head + np.where(flow < fall.full_flow, fall.height, 0.0)
        return head

    series = (
        Series("pump", row(now.pump.head(flow))),
        Series("line as it is", row(taken(now.line))),
        Series("line, clean", row(taken(clean.line))),
    )
    return Curve(
        "Where the pump's head meets what the line takes", "flow", "head",
        tuple(float(value) for value in flow[0]), series, "flow", "head",
        (("head now", float(found.daily("raw_water.pump_head")[0])),),
    )  # fmt: skip


def basket_days(found: Findings) -> Curve:
    """Flow and shut share of the basket over the days to come, by growth; the owner's limit across."""
    run = _run(found)
    item = first_of(run, "strainer")
    viscosity = estimates.mean_viscosity(run)
    rest = estimates.shows(run, viscosity).fitted(build(mended(run, frozenset(("strainer",)))))
    ahead = min(
        max(float(found.daily("raw_water.days_to_clean")[0]), 86_400.0) * _DAYS_AHEAD, fouling.LONGEST
    )
    days = np.linspace(0.0, ahead, _POINTS)[None, :]
    rate = found.daily("raw_water.blocking_rate")[:, None]
    blocked = np.minimum(run.number(f"{item}.blocked") + rate * days, 1.0)
    grown = screen(run, item, blocked).per_flow_squared - screen(run, item, 0.0).per_flow_squared
    grown = grown * run.number("raw_water.line_loss")
    line = replace(rest.line, fittings=(*rest.line.fittings, Fitting("strainer", grown)))
    clean = found.daily("raw_water.clean_flow")[:, None]
    share = operating_flow(rest.pump, line, viscosity) * (1.0 - rest.stopped) / np.maximum(clean, 1e-12)

    def series(label: str, values: Array) -> Series:
        edges = np.percentile(values[1:], (5, 95), axis=0) if values.shape[0] > 1 else values[[0, 0]]
        low, high = np.minimum(edges[0], values[0]), np.maximum(edges[1], values[0])
        return Series(label, *(tuple(float(value) for value in one) for one in (values[0], low, high)))

    return Curve(
        "Flow and basket over the days to come, by growth alone", "days", "share",
        tuple(float(day) for day in days[0]),
        (series("flow, share of clean", share), series("basket shut", blocked)),
        "from today", "share", (("your limit for the flow", float(found.number("raw_water.flow_limit")[0])),),
    )  # fmt: skip
