"""The psychrometric chart for a page: saturation, lines of humidity, numbered states and their key."""

from __future__ import annotations

import numpy as np

from console.contract import AirChart
from console.pictures.air_chart import WATER
from console.pictures.air_lines import Chart, chart_of
from console.pictures.axes import tick_labels
from console.pictures.svg.canvas import SMALL, Canvas, fitted, text_width
from console.pictures.svg.frame import Frame, draw_along, draw_upright, gutter_for, runs, under_top
from console.pictures.words import Words


def paint(picture: AirChart, canvas: Canvas, words: Words) -> None:
    """Paint the chart and under it the key of its states."""
    chart = chart_of(picture, words, 9 if canvas.width >= 560 else 5, 6)
    top = canvas.heading(picture.title, f"{WATER}, {words.unit('humidity_ratio')}")
    right = gutter_for(chart.upright)
    frame = Frame(12, top + 4, canvas.width - right - 16, 270)
    draw_upright(canvas, frame, chart.upright, right=True)
    ticks = [
        (chart.along.place(tick), label)
        for tick, label in zip(chart.along.ticks, tick_labels(chart.along), strict=True)
    ]
    y = draw_along(canvas, frame, ticks, f"air temperature, {words.unit('temperature')}", rules=True)
    _draw_lines(canvas, frame, chart)
    _draw_steps(canvas, frame, chart)
    for number, state in enumerate(chart.states):
        if state.known:
            x, at = frame.x(chart.along.place(state.x)), frame.y(chart.upright.place(state.y))
            _draw_number(canvas, x, at, state.sign, number)
    canvas.height = _draw_key(canvas, y + 22, chart) + 4


def _draw_lines(canvas: Canvas, frame: Frame, chart: Chart) -> None:
    ends = []
    for line in reversed(chart.lines):
        saturated = line.share == 1.0
        x, y = under_top(chart.along.places(line.x), chart.upright.places(line.y))
        for at, up in runs(x, y):
            points = frame.points(at, up)
            canvas.path(
                points,
                "water" if saturated else "muted",
                2.6 if saturated else 1.0,
                "" if saturated else "2 3",
            )
            ends.append((points[-1], points[len(points) * 3 // 5], line.label, saturated))
    for end, middle, label, saturated in ends:
        if saturated:
            canvas.text(middle[0] - 8, middle[1] - 6, "saturated", "water", "end", SMALL + 0.5, halo=True)
        else:
            canvas.text(
                min(end[0], frame.right) - 5,
                max(end[1], frame.top) + 12,
                label,
                "muted",
                "end",
                SMALL,
                halo=True,
            )


def _draw_steps(canvas: Canvas, frame: Frame, chart: Chart) -> None:
    for a, b in chart.steps:
        one, other = chart.states[a], chart.states[b]
        begin = np.array([frame.x(chart.along.place(one.x)), frame.y(chart.upright.place(one.y))])
        end = np.array([frame.x(chart.along.place(other.x)), frame.y(chart.upright.place(other.y))])
        canvas.path([tuple(begin.tolist()), tuple(end.tolist())], "line", 2.2)
        length = float(np.hypot(*(end - begin)))
        if length > 36:  # a head past the middle, so that the heads of there and back do not meet
            along = (end - begin) / length
            beside = np.array([-along[1], along[0]])
            middle = begin + 0.62 * (end - begin)
            tip = middle + along * 7
            wings = [middle - along * 5 + beside * side for side in (5.5, -5.5)]
            canvas.area([tuple(p.tolist()) for p in (tip, *wings)], "line")


def _draw_number(canvas: Canvas, x: float, y: float, sign: str, number: int) -> None:
    canvas.circle(x, y, 9, f"curve{number}", "background", 1.5)
    canvas.text(x, y + 4, sign, "background", "middle", 12, True)


def _draw_key(canvas: Canvas, y: float, chart: Chart) -> float:
    """State by state: number, name, temperature, humidity, water, dew point."""
    columns = list(zip(*(state.said for state in chart.states), strict=True))
    if not columns:
        return y - 16
    widths = [max(text_width(text) for text in column) for column in columns]
    spare = canvas.width - 34 - sum(w + 18 for w in widths[1:])
    kept = [0, 1, 2, 3, 4]
    if spare < 70:  # the dew point says the water too
        kept = [0, 1, 2, 4]
        spare += widths[3] + 18
    widths[0] = min(widths[0], max(spare, 50.0))
    for number, state in enumerate(chart.states):
        _draw_number(canvas, 13, y - 4, state.sign, number)
        canvas.text(30, y, fitted(state.label, widths[0]))
        x = 30 + widths[0]
        for index in kept[1:]:
            x += widths[index] + 18
            canvas.text(x, y, state.said[index], "strong" if index < 3 else "ink", "end", bold=index < 3)
        y += 23
    return y - 12
