"""What the plugin needs and gives: flow and losses, what each fix gives back, and the due date."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from console.properties import seawater
from plugins.raw_water import fouling, hydraulics, tables
from plugins.raw_water.build import (
    ALL,
    FAULTS,
    LINE,
    Built,
    build,
    first_of,
    is_clear,
    loss_name,
    part_of,
    screen,
)
from plugins.raw_water.line import (
    Fitting,
    balanced_losses,
    match_to_flow,
    operating_flow,
    suction_loss,
    system_head_and_slope,
)

if TYPE_CHECKING:
    from console.contract import Array, Run

LONGEST_FILL = 3600.0
"""Seconds to fill the bucket beyond which it is said to take an hour: hardly a drip."""


def line(run: Run) -> dict[str, Array]:
    """Where the pump's curve meets the line: flow, losses, heads and speeds, hour by hour."""
    temperature = _water_temperature(run)
    salinity = _salinity(run)
    density = seawater.density(temperature, salinity)
    viscosity = seawater.viscosity(temperature, salinity) / density
    bucket = bucket_shows(run, viscosity)
    now, clean = matched(build(run), bucket), matched(build(run, ALL), bucket)

    flow = operating_flow(now.pump, now.line, viscosity)
    clean_flow = operating_flow(clean.pump, clean.line, viscosity)
    lost, head = balanced_losses(now.pump, now.line, flow, viscosity)
    running = 1.0 - now.stopped
    mean_flow = flow * running
    pump = first_of(run, "pump")
    before = suction_loss(now.line, flow, viscosity)
    depth = run.number(f"{pump}.depth")
    vapour = seawater.vapour_pressure(temperature, salinity)
    available = hydraulics.npsh_available(tables.ATMOSPHERE, vapour, density, depth, before)
    scale = np.zeros((1, 1))
    speeds: dict[str, Array] = {}
    for item in run.items(LINE):
        part = part_of(run, item)
        if part == "condenser":
            scale = scale + run.number(f"{item}.scale")
        if part == "hose":
            name = f"raw_water.velocity.{loss_name(item, part)}"
            speeds[name] = hydraulics.velocity(flow, hydraulics.round_area(run.number(f"{item}.bore")))
    return {
        "raw_water.flow": mean_flow,
        "raw_water.clean_flow": clean_flow,
        "raw_water.flow_share": np.where(clean_flow > 0, mean_flow / np.maximum(clean_flow, 1e-12), 0.0),
        "raw_water.fill_time": np.minimum(
            run.number("raw_water.container") / np.maximum(mean_flow, 1e-12), LONGEST_FILL
        ),
        # Heads are means over the time water is called for, as the flow is.
        "raw_water.pump_head": head * running,
        **{f"raw_water.loss.{name}": loss * running for name, loss in lost.items()},
        **speeds,
        "raw_water.suction_margin": available - run.number(f"{pump}.needed_suction"),
        "raw_water.inlet_head": depth - before,
        "raw_water.start_margin": now.pump.shut_off - now.line.high_point,
        "raw_water.scale_resistance": scale / tables.SCALE_CONDUCTIVITY,
    }


def fixes(run: Run) -> dict[str, Array]:
    """The flow (m³/s) each single fix would give back, everything else left as it is."""
    viscosity = mean_viscosity(run)
    bucket = bucket_shows(run, viscosity)
    now = matched(build(run), bucket)
    flow = operating_flow(now.pump, now.line, viscosity) * (1.0 - now.stopped)
    regained: dict[str, Array] = {}
    for fault in FAULTS:
        if is_clear(run, fault):
            regained[f"raw_water.regain.{fault}"] = np.zeros((1, 1))
            continue
        mended = matched(build(run, frozenset((fault,))), bucket)
        then = operating_flow(mended.pump, mended.line, viscosity) * (1.0 - mended.stopped)
        regained[f"raw_water.regain.{fault}"] = np.maximum(then - flow, 0.0)
    return regained


def strainer(run: Run) -> dict[str, Array]:
    """How fast the basket shuts, how shut it is when the flow reaches the owner's limit, and when."""
    viscosity = mean_viscosity(run)
    item = first_of(run, "strainer")
    hourly = fouling.blocking_rate(
        _water_temperature(run),
        run.figure("climate.run_share").mean(axis=1, keepdims=True),
        tables.SITE_INTERVAL[run.text("raw_water.water")],
        run.number("raw_water.fouling_pace"),
    )
    rate = hourly.mean(axis=1, keepdims=True)
    # At the limit, what the pump has left over the rest of the line is the basket's to take.
    rest = matched(build(run, frozenset(("strainer",))), bucket_shows(run, viscosity))
    limit = run.number("raw_water.flow_limit") * run.figure("raw_water.clean_flow").mean(
        axis=1, keepdims=True
    )
    taken, _ = system_head_and_slope(rest.line, limit, viscosity)
    spare = rest.pump.head(limit) - taken + screen(run, item, 0.0).per_flow_squared * limit**2
    due = fouling.blocked_share_at_head(
        spare, limit, run.number(f"{item}.basket_area"), run.number(f"{item}.hole_share")
    )
    return {
        "raw_water.blocking_rate": rate,
        "raw_water.blocked_at_limit": due,
        "raw_water.days_to_clean": fouling.time_to_share(run.number(f"{item}.blocked"), due, rate),
    }


# --- the boat, its water and its bucket -----------------------------------------------------


# Held within the properties' own range: a draw a little beyond it is a spread, not a sea.
_COLDEST, _WARMEST, _SALTIEST = 271.15, 318.15, 0.042


def _water_temperature(run: Run) -> Array:
    """Seawater temperature (K); one column when the hours are alike, a 24th of the work."""
    hourly = np.clip(run.figure("weather.seawater_temperature"), _COLDEST, _WARMEST)
    return hourly[:, :1] if np.all(hourly == hourly[:, :1]) else hourly


def _salinity(run: Run) -> Array:
    return np.clip(run.number("site.salinity"), 0.0, _SALTIEST)


def mean_viscosity(run: Run) -> Array:
    """Kinematic viscosity (m²/s) at the day's mean seawater temperature."""
    mean = _water_temperature(run).mean(axis=1, keepdims=True)
    made: Array = seawater.viscosity(mean, _salinity(run)) / seawater.density(mean, _salinity(run))
    return made


def bucket_shows(run: Run, viscosity: Array) -> tuple[Array, Fitting] | None:
    """What the owner's clean bucket shows beyond the computed, or None without one."""
    if not run.has("raw_water.fill_time"):
        return None
    clean = build(run, ALL)
    flow = run.number("raw_water.container") / run.number("raw_water.fill_time")
    return match_to_flow(clean.pump, clean.line, flow, viscosity.mean(axis=1, keepdims=True))


def matched(built: Built, bucket: tuple[Array, Fitting] | None) -> Built:
    # The bucket's seconds are the clean line's, so what it shows belongs to the line itself: the
    # same restriction (or the same better pump) stands in the boat as it is and as it would be.
    return built if bucket is None else built.matched(*bucket)
