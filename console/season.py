"""The season ahead as JSON and as text."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.engine.ahead import DAY, Ahead
from console.engine.estimate import limits, limits_of_rows
from console.quantities import System, convert, pretty_unit, say, say_range, shown, style_of
from console.results import unwell_json, unwell_lines

Array = NDArray[np.float64]


def _shown_figures(boat: Boat, made: Ahead) -> list[tuple[str, str]]:
    """The number of each question, where it is there on every day: (figure, its question)."""
    found: dict[str, str] = {}
    for _, question in boat.registry.questions:
        for name in question.needs:
            if name in made.figures and name not in found:
                found[name] = question.title
                break
    return list(found.items())


def season_json(boat: Boat, made: Ahead, system: System) -> dict[str, Any]:
    """Everything along the days, in the units shown."""
    states = {}
    for path, values in made.states.items():
        entry, record = boat.inputs[path], made.records[path]
        states[path] = {
            "title": record.title, "reset_by": record.reset_by,
            **_along(values, entry.style, system), "times_done": float(np.mean(made.done[path][1:])),
        }  # fmt: skip
    figures = {
        name: {
            "meaning": given.meaning,
            **_along(made.figures[name], style_of(given.unit, given.style), system),
        }
        for name, given in made.meanings.items()
    }
    due = []
    for path, seconds in made.due.items():
        low, high, _ = limits(seconds)
        due.append({"title": made.records[path].title or path, "state": path, "value": float(seconds[0] / DAY),
                    "low": low / DAY, "high": high / DAY, "unit": "day"})  # fmt: skip
    return {
        "scenario": boat.name, "units": system, "days": made.at.tolist(), "same_weather": made.held,
        "states": states, "figures": figures, "due": due,
        "warnings": list(made.warnings), "unwell": unwell_json(made.unwell),
    }  # fmt: skip


def _along(values: Array, style: str, system: System) -> dict[str, Any]:
    low, high, _ = limits_of_rows(values.T)

    def dressed(row: Array) -> list[float | None]:
        shown = np.asarray(convert(row, style, system), dtype=float)
        return [float(v) if np.isfinite(v) else None for v in shown]

    return {
        "value": dressed(values[0]), "low": dressed(low), "high": dressed(high),
        "unit": pretty_unit(style, system),
    }  # fmt: skip


def season_text(boat: Boat, made: Ahead, system: System) -> str:
    """What is due first, then how things go, day by day."""
    weather = "every day with the same weather" if made.held else "from the date in the boat file on"
    lines = [f"{shown(boat.name, 60)}: {made.at[-1]:.0f} days ahead, {weather}", ""]
    for path, seconds in sorted(made.due.items(), key=lambda item: float(item[1][0])):
        low, high, _ = limits(seconds)
        title = made.records[path].title or path
        lines.append(f"  {title}: in {say_range(float(seconds[0]), low, high, 'days', system)}")
        times = made.done[path]
        if times.any():
            fewest, most, _ = limits(times)
            lines.append(
                f"    done when due, {times[0]:.0f} times ({fewest:.0f} to {most:.0f}) in that time"
            )
    columns = [(boat.inputs[path].label or path, values, boat.inputs[path].style)
               for path, values in made.states.items()]  # fmt: skip
    for name, title in _shown_figures(boat, made):
        given = made.meanings[name]
        columns.append((f"{title} {given.meaning}", made.figures[name], style_of(given.unit, given.style)))
    for title, values, style in columns:
        lines += ["", f"{title[:1].upper()}{title[1:]}"]
        bottom, top, _ = limits_of_rows(values.T)
        for k, day in enumerate(made.at):
            if not np.isfinite(values[0, k]):
                continue
            lines.append(
                f"  day {day:>3.0f}  {say_range(float(values[0, k]), float(bottom[k]), float(top[k]), style, system)}"
            )
        if np.ptp(values[0]) == 0 and np.ptp(bottom) == 0 and np.ptp(top) == 0:
            del lines[-made.at.size + 1 :]
            lines[-1] = f"  every day  {say(float(values[0, 0]), style, system)}"
    lines.extend(f"Warning: {shown(warning, 400)}" for warning in made.warnings)
    lines.extend(unwell_lines(made.unwell))
    return "\n".join(lines)
