"""Pictures of the line, as records: the line itself, its losses, the curves, the basket's days."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

import numpy as np

from console.contract import Bar, Bars, Curve, LinePart, Series, WaterLine
from plugins.raw_water import estimates, fouling
from plugins.raw_water.build import ALL, LINE, build, first_of, loss_name, screen
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

    def number(self, path: str, default: float | None = None) -> Array:
        return self._found.number(path, default)[: self._rows, None]

    def text(self, path: str, default: str | None = None) -> str:
        return self._found.text(path, default)

    def has(self, path: str) -> bool:
        # Not the findings' own: a figure may bear an input's name (the seconds of the bucket).
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
    """Height (m) over the water of each item: those stated, the rest level with their neighbours."""
    known: dict[str, float] = {}
    items = found.items(LINE)
    for item in items:
        part = found.text(f"{item}.part")
        if part == "pump":
            known[item] = -float(found.number(f"{item}.depth")[0])
        elif part in ("condenser", "overboard"):
            known[item] = float(found.number(f"{item}.height")[0])
    places = [place for place, item in enumerate(items) if item in known]
    stated = [known[items[place]] for place in places]
    return {item: float(np.interp(place, places, stated)) for place, item in enumerate(items)}


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
    viscosity = estimates.mean_viscosity(run)
    bucket = estimates.bucket_shows(run, viscosity)
    now = estimates.matched(build(run), bucket)
    clean = estimates.matched(build(run, ALL), bucket)
    flow = np.linspace(0.0, 1.0, _POINTS)[None, :] * float(clean.pump.free_flow[0, 0])
    top = float(clean.pump.shut_off[0, 0])

    def row(head: Array) -> tuple[float, ...]:
        return tuple(float(value) for value in np.clip(head, 0.0, 1.1 * top)[0])

    series = (
        Series("pump", row(now.pump.head(flow))),
        Series("line as it is", row(system_head_and_slope(now.line, flow, viscosity)[0])),
        Series("line, clean", row(system_head_and_slope(clean.line, flow, viscosity)[0])),
    )
    return Curve(
        "Where the pump's head meets what the line takes", "flow", "head",
        tuple(float(value) for value in flow[0]), series, "flow", "head",
        (("head now", float(found.daily("raw_water.pump_head")[0])),),
    )  # fmt: skip


def basket_days(found: Findings) -> Curve:
    """Flow share over the days to come, as growth shuts the basket; the owner's limit across it."""
    run = _run(found)
    item = first_of(run, "strainer")
    viscosity = estimates.mean_viscosity(run)
    rest = estimates.matched(build(run, frozenset(("strainer",))), estimates.bucket_shows(run, viscosity))
    ahead = min(
        max(float(found.daily("raw_water.days_to_clean")[0]), 86_400.0) * _DAYS_AHEAD, fouling.LONGEST
    )
    days = np.linspace(0.0, ahead, _POINTS)[None, :]
    rate = found.daily("raw_water.blocking_rate")[:, None]
    blocked = np.minimum(run.number(f"{item}.blocked") + rate * days, 1.0)
    grown = screen(run, item, blocked).per_flow_squared - screen(run, item, 0.0).per_flow_squared
    line = Line(
        (*rest.line.fittings, Fitting("strainer", grown)), rest.line.tubes, rest.line.coils,
        rest.line.lift, rest.line.high_point,
    )  # fmt: skip
    clean = found.daily("raw_water.clean_flow")[:, None]
    share = operating_flow(rest.pump, line, viscosity) * (1.0 - rest.stopped) / np.maximum(clean, 1e-12)

    def row(values: Array) -> tuple[float, ...]:
        return tuple(float(value) for value in values)

    low, high = np.percentile(share[1:], (5, 95), axis=0) if share.shape[0] > 1 else (share[0], share[0])
    flow = Series(
        "flow, share of clean",
        row(share[0]),
        row(np.minimum(low, share[0])),
        row(np.maximum(high, share[0])),
    )
    return Curve(
        "Flow over the days to come, by growth alone", "days", "share", row(days[0]), (flow,),
        "from today", "share of the clean flow",
        (("your limit", float(found.number("raw_water.flow_limit")[0])),),
    )  # fmt: skip
