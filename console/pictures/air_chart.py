"""The psychrometric chart in cells: saturation, lines of humidity, numbered states and their key."""

from __future__ import annotations

import numpy as np

from console.contract import AirChart
from console.pictures.air_lines import Chart, HumidityLine, State, chart_of
from console.pictures.axes import (
    Area,
    draw_dots,
    draw_labels_along,
    draw_upright_axis,
    tick_labels,
    ticks_for,
)
from console.pictures.cells import Grid
from console.pictures.dots import Dots
from console.pictures.words import Words, cells

WATER = "water in the air"


def summarise(picture: AirChart, words: Words) -> str:
    """The picture in one sentence."""
    chart = chart_of(picture, words, 5, 4)
    said = [f"{s.label} {s.temperature}, {s.humidity}, {s.dew}" for s in chart.states]
    said += [f"{chart.states[a].label} becomes {chart.states[b].label}" for a, b in chart.steps]
    return f"{words.plain(picture.title)}: {'; '.join(said) or 'nothing to show'}"


def title_tail(picture: AirChart, words: Words, width: int) -> int:
    """The cells of the title's row that are not the title's."""
    return cells(_heading(width, words)) + 2


def _heading(width: int, words: Words) -> str:
    unit = words.unit("humidity_ratio")
    return f"{WATER}, {unit}" if width >= 50 else unit


def wanted_rows(picture: AirChart, width: int, tall: int, words: Words) -> int:
    """Rows with the whole key beneath a chart of some height."""
    return max(tall, 14 + len(picture.states))


def paint(picture: AirChart, grid: Grid, words: Words) -> None:
    """Paint the chart; the grid is at least 32 cells by 8 rows."""
    key_rows = min(len(picture.states), max(1, grid.height - 8))
    rows = grid.height - 2 - key_rows
    gutter = 1
    for _ in range(2):  # the ticks say how wide their gutter is, which says how many ticks there are
        columns = grid.width - gutter - 1
        chart = chart_of(picture, words, max(2, min(9, columns // 9)), ticks_for(rows))
        gutter = max(map(cells, [*tick_labels(chart.upright), words.unit("temperature")])) + 2
    area = Area(1, 1, grid.width - gutter - 1, rows)

    begin = grid.put_right(0, grid.width, words.fit(_heading(grid.width, words), grid.width // 2), "muted")
    grid.put(0, 0, words.fit(picture.title, begin - 2), "strong")
    for line in reversed(chart.lines):
        _draw_line(grid, area, chart, line)
    _draw_line_names(grid, area, chart, words)
    _draw_steps(grid, area, chart)
    draw_upright_axis(grid, area, chart.upright, right=True)
    at = [area.column(chart.along.place(tick)) for tick in chart.along.ticks]
    draw_labels_along(
        grid, area.bottom + 1, zip(at, tick_labels(chart.along), strict=True), 0, area.right + 1
    )
    grid.put(area.bottom + 1, area.right + 2, words.unit("temperature"), "muted")
    _draw_states(grid, area, chart)
    _draw_key(grid, area.bottom + 2, key_rows, chart, words)


def _draw_line(grid: Grid, area: Area, chart: Chart, line: HumidityLine) -> None:
    saturated = line.share == 1.0
    plain = ("#" if saturated else ".") if grid.glyphs.dot.isascii() else ""
    dots = Dots(area.columns, area.rows, plain)
    dots.path(chart.along.places(line.x), chart.upright.places(line.y), 0 if saturated else 2)
    draw_dots(grid, area, dots, "water" if saturated else "muted")


def _draw_line_names(grid: Grid, area: Area, chart: Chart, words: Words) -> None:
    """Each line's share where it leaves the chart; the saturation curve's left of it, where nothing lies."""
    for line in chart.lines:
        if line.share == 1.0:
            _draw_saturation_name(grid, area, chart, words)
            continue
        y = chart.upright.places(line.y)
        inside = np.flatnonzero((y >= 0) & (y <= 1))
        if not inside.size:
            continue
        last = int(inside[-1])
        column = area.column(float(chart.along.place(line.x[last])))
        # Left of where it leaves: right of it lies the next line, or the edge.
        begin = min(column, area.right) - cells(line.label) - 1
        if begin >= area.left:
            grid.put(area.row(float(y[last])), begin, line.label, "muted")


def _draw_saturation_name(grid: Grid, area: Area, chart: Chart, words: Words) -> None:
    text = words.plain("saturated")
    for row in range(area.top, area.bottom):
        taken = [c for c in range(area.left, area.right) if grid.chars[row][c] != " "]
        begin = min(taken, default=area.left) - cells(text) - 1
        if begin >= area.left:
            grid.put(row, begin, text, "water")
            return


def _draw_steps(grid: Grid, area: Area, chart: Chart) -> None:
    plain = "*" if grid.glyphs.dot.isascii() else ""
    heads = grid.glyphs.hot
    for a, b in chart.steps:
        one, other = chart.states[a], chart.states[b]
        x = np.array([chart.along.place(one.x), chart.along.place(other.x)])
        y = np.array([chart.upright.place(one.y), chart.upright.place(other.y)])
        dots = Dots(area.columns, area.rows, plain)
        dots.path(x, y)
        draw_dots(grid, area, dots, "line")
        across, up = (x[1] - x[0]) * area.columns, (y[1] - y[0]) * area.rows
        if abs(across) + abs(up) < 5:
            continue  # no room for a head between the two states
        # A cell is about twice as high as it is wide.
        index = (0 if across > 0 else 1) if abs(across) >= 2 * abs(up) else (3 if up > 0 else 2)
        # Past the middle, so that the heads of there and back do not meet.
        row, column = (
            area.row(float(y[0] + 0.62 * (y[1] - y[0]))),
            area.column(float(x[0] + 0.62 * (x[1] - x[0]))),
        )
        grid.cell(row, column, heads[index], "line")


def _draw_states(grid: Grid, area: Area, chart: Chart) -> None:
    """The states' numbers; those that would stand on each other, side by side."""
    taken: set[tuple[int, int]] = set()
    ascii_only = grid.glyphs.dot.isascii()
    for number, state in enumerate(chart.states):
        if not state.known:
            continue
        row = area.row(chart.upright.place(state.y))
        column = area.column(chart.along.place(state.x))
        spots = [(row, column + d) for d in (0, 1, -1, 2, -2, 3, -3)]
        inside = [s for s in spots if area.left <= s[1] < area.right and s not in taken]
        if not inside:
            continue
        taken.add(inside[0])
        colours = ("strong", "") if ascii_only else ("background", f"curve{number}")
        grid.cell(*inside[0], state.sign, *colours)


def _draw_key(grid: Grid, top: int, rows: int, chart: Chart, words: Words) -> None:
    """State by state: number, name, temperature, humidity, water, dew point, under each other."""
    states = chart.states
    left_out = len(states) - rows + 1 if len(states) > rows else 0
    shown: tuple[State, ...] = states[: len(states) - left_out] if left_out else states
    ascii_only = grid.glyphs.dot.isascii()
    columns = list(zip(*(state.said for state in shown), strict=True)) if shown else []
    widths = [max(map(cells, column)) for column in columns]
    if widths:
        # The name gives way, then the water (the dew point says it too); a number is never cut.
        drop_water = 2 + sum(widths) + 2 * 4 > grid.width and widths[0] > 8
        kept = [0, 1, 2, 4] if drop_water else [0, 1, 2, 3, 4]
        spare = grid.width - 2 - sum(widths[i] + 2 for i in kept[1:])
        widths[0] = min(widths[0], max(spare, 6))
        for number, state in enumerate(shown):
            colours = ("strong", "") if ascii_only else ("background", f"curve{number}")
            grid.cell(top + number, 0, state.sign, *colours)
            at = 2
            for index in kept:
                text = words.fit(state.said[index], widths[index])
                if index == 0:
                    grid.put(top + number, at, text)
                elif at + widths[index] <= grid.width:
                    grid.put(
                        top + number,
                        at + widths[index] - cells(text),
                        text,
                        "strong" if index < 3 else "ink",
                    )
                at += widths[index] + 2
    if left_out:
        more = f"{grid.glyphs.more} and {left_out} more"
        grid.put(top + rows - 1, 0, words.fit(more, grid.width), "muted")
