"""What the plugin needs and gives: flow and losses, air and suction, and when the strainer is due."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from console.properties import seawater
from plugins.raw_water import fouling, hydraulics, tables
from plugins.raw_water.build import (
    ALL,
    Built,
    bare_pump,
    build,
    first_of,
    loss_name,
    mended,
    screen,
)
from plugins.raw_water.geometry import LINE, bore_at, part_of
from plugins.raw_water.line import (
    Match,
    gravity_flow,
    loss_before,
    match_to_flow,
    settled,
    system_head_and_slope,
)

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from console.contract import Array, Run

LONGEST_FILL = 3600.0
"""Seconds to fill the bucket beyond which it is said to take an hour: hardly a drip."""


def line(run: Run) -> dict[str, Array]:
    """Where the pump's curve meets the line: flow, losses, heads and speeds, hour by hour."""
    # The boat as it is and, below it, the same boat clean, in one solution.
    two = mended(run, frozenset(), ALL)
    temperature, salinity = _water_temperature(two), _salinity(two)
    rows = temperature.shape[0] // 2
    density = seawater.density(temperature, salinity)
    viscosity = seawater.viscosity(temperature, salinity) / density
    clean = np.repeat([0.0, 1.0], rows)[:, None]
    now = shows(two, viscosity).fitted(build(two), placed=clean, clean=clean)
    at = settled(now.pump, now.line, viscosity)

    def here(both: Array) -> Array:
        """The half that is the boat as it is."""
        return both if both.shape[0] == 1 else both[:rows]

    flow, clean_flow = here(at.flow), at.flow[rows:]
    running = 1.0 - run.number(f"{first_of(run, 'pump')}.stopped")
    mean_flow = flow * running
    scale = np.zeros((1, 1))
    speeds: dict[str, Array] = {}
    for item in run.items(LINE):
        part = part_of(run, item)
        if part == "condenser":
            scale = scale + run.number(f"{item}.scale")
        if part == "hose":
            name = f"raw_water.velocity.{loss_name(item, part)}"
            speeds[name] = hydraulics.velocity(flow, hydraulics.round_area(bore_at(run, item)))
    pump = first_of(run, "pump")
    vapour = seawater.vapour_pressure(temperature, salinity)
    weighed = (tables.ATMOSPHERE - vapour) / (density * tables.GRAVITY)
    inlet, spare = _suction(now, at.flow, viscosity, weighed, two.number(f"{pump}.needed_suction"))
    gush = _gush(two, now, viscosity.mean(axis=1, keepdims=True))
    return {
        "raw_water.flow": mean_flow,
        "raw_water.clean_flow": clean_flow,
        "raw_water.flow_share": np.where(clean_flow > 0, mean_flow / np.maximum(clean_flow, 1e-12), 0.0),
        "raw_water.fill_time": np.minimum(
            run.number("raw_water.container") / np.maximum(mean_flow, 1e-12), LONGEST_FILL
        ),
        "raw_water.free_flow": bare_pump(run, pump).free_flow,
        # Heads are means over the time water is called for, as the flow is.
        "raw_water.pump_head": here(at.head) * running,
        **{f"raw_water.loss.{name}": here(loss) * running for name, loss in at.losses.items()},
        # Both halves at the clean flow: the lower one is the clean line's own, and not asked for.
        "raw_water.restriction": here(
            system_head_and_slope(now.line, np.concatenate((clean_flow, clean_flow)), viscosity)[0]
            - now.line.lift
        ),
        **speeds,
        "raw_water.suction_margin": here(spare),
        "raw_water.inlet_head": here(inlet),
        "raw_water.start_margin": here(now.pump.shut_off - now.line.start_head()),
        "raw_water.lock_fall": here(_locked(now)),
        **{f"raw_water.lock.{name}": here(fall) for name, fall in _locks(run, now).items()},
        "raw_water.gush_share": gush[:rows] / np.maximum(gush[rows:], 1e-12),
        "raw_water.scale_resistance": scale / tables.SCALE_CONDUCTIVITY,
    }


def _suction(
    now: Built, flow: Array, viscosity: Array, weighed: Array, needed: Array
) -> tuple[Array, Array]:
    """Least head (m) over the air's on the suction side, and the suction head to spare (NPSH).

    ``weighed`` is (p - p_v)/ρg (m). Air standing in a high spot costs its fall until it is swept
    out, as at every start: both are told with it there. A spot higher than the pump is asked too;
    there no wheel needs head, so all above the vapour's is to spare.
    """
    inlet = spare = np.zeros((1, 1))
    asked = False
    for spot in now.spots:
        if spot.place > now.line.pump_at:
            break
        at_pump = spot.place == now.line.pump_at
        if not at_pump and not np.any(spot.height > -_pump_depth(now)):
            continue
        lost = loss_before(now.line, spot.place, flow, viscosity)
        for fall in now.line.falls:
            if fall.place < spot.place:
                lost = lost + fall.height
        head = -spot.height - lost
        left = weighed + head - (needed if at_pump else 0.0)
        inlet, spare = (
            (np.minimum(inlet, head), np.minimum(spare, left)) if asked else (head, left)
        )  # fmt: skip
        asked = True
    return inlet, spare


def _pump_depth(now: Built) -> Array:
    return -next(spot.height for spot in now.spots if spot.place == now.line.pump_at)


def _locked(now: Built) -> Array:
    total = np.zeros((1, 1))
    for leg in now.legs:
        total = total + leg.fall * (1.0 - leg.last)
    return total


def _locks(run: Run, now: Built) -> dict[str, Array]:
    """The falls in which air stays, by the name of their hose; none where the line lies well."""
    found: dict[str, Array] = {}
    for leg in now.legs:
        fall = leg.fall * (1.0 - leg.last)
        if np.any(fall > 0):
            name = loss_name(leg.item, part_of(run, leg.item))
            found[name] = found.get(name, 0.0) + fall
    return found


def _gush(run: Run, built: Built, viscosity: Array) -> Array:
    """Flow (m³/s) by the sea's own weight through intake and seacock into the open strainer."""
    item = first_of(run, "strainer")
    before = built.line.before(run.items(LINE).index(item))
    return gravity_flow(before, run.number(f"{item}.depth"), viscosity)


def looks(run: Run) -> dict[str, Array]:
    """What an owner sees and hears along the line: the figures his looks are weighed by."""
    pump = first_of(run, "pump")
    widths = [run.number(f"{item}.open_width") for item in run.items(LINE) if part_of(run, item) == "hose"]
    narrow = widths[0]
    for width in widths[1:]:
        narrow = np.minimum(narrow, width)
    return {
        "raw_water.basket_shut": run.number(f"{first_of(run, 'strainer')}.blocked"),
        "raw_water.seacock_opening": run.number(f"{first_of(run, 'seacock')}.open_share"),
        "raw_water.narrowest_hose": 1.0 - (1.0 - narrow) * run.number("raw_water.trial.kinks_left"),
        "raw_water.drawn_air": run.number(f"{pump}.suction_air"),
        "raw_water.pump_air": run.number(f"{pump}.air"),
        "raw_water.pump_wear": run.number(f"{pump}.wear"),
        "raw_water.pump_still": run.number(f"{pump}.stopped"),
    }


def strainer(run: Run) -> dict[str, Array]:
    """How fast the basket shuts, how shut it is when the flow reaches the owner's limit, and when."""
    viscosity = mean_viscosity(run)
    item = first_of(run, "strainer")
    site, pace = tables.SITE_INTERVAL[run.text("raw_water.water")], run.number("raw_water.fouling_pace")
    temperature = _water_temperature(run)
    run_share = run.figure("climate.run_share").mean(axis=1, keepdims=True)
    rate, idle = (
        fouling.blocking_rate(temperature, share, site, pace).mean(axis=1, keepdims=True)
        for share in (run_share, 0.0)
    )
    due = _due(run, item, viscosity)
    return {
        "raw_water.blocking_rate": rate,
        "raw_water.idle_blocking_rate": idle,
        "raw_water.blocked_at_limit": due,
        "raw_water.days_to_clean": fouling.time_to_share(run.number(f"{item}.blocked"), due, rate),
    }


def _due(run: Run, item: str, viscosity: Array) -> Array:
    """Blocked share at which the flow falls to the owner's limit, or a falling leg empties first."""
    rest = shows(run, viscosity).fitted(build(mended(run, frozenset(("strainer",)))))
    limit = run.number("raw_water.flow_limit") * run.figure("raw_water.clean_flow").mean(
        axis=1, keepdims=True
    )
    area, holes = run.number(f"{item}.basket_area"), run.number(f"{item}.hole_share")
    clean = screen(run, item, 0.0).per_flow_squared * run.number("raw_water.line_loss")

    def shut_at(flow: Array, standing: Array) -> Array:
        # At this flow, what the pump has left over the rest of the line is the basket's to take.
        taken, _ = system_head_and_slope(rest.line, flow, viscosity)
        spare = rest.pump.head(flow) - taken - standing + clean * flow**2
        return fouling.blocked_share_at_head(spare / run.number("raw_water.line_loss"), flow, area, holes)

    falls = rest.line.falls
    standing = np.zeros((1, 1))
    for fall in falls:
        standing = standing + np.where(fall.full_flow > limit, fall.height, 0.0)
    due = shut_at(limit, standing)
    for fall in falls:
        below = (fall.full_flow <= limit) & (fall.height > 0) & (fall.full_flow > 0)
        if np.any(below):
            flow = np.maximum(fall.full_flow, 1e-9)
            emptied = shut_at(flow, np.asarray(standing + fall.height))
            due = np.where(below, np.minimum(due, emptied), due)
    return np.asarray(due)


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


class Shown:
    """What the owner's buckets showed beyond the computed: one when clean, one as it is now.

    The clean bucket belongs to the line itself: the same restriction (or the same better pump)
    stands in the boat as it is and as it would be. What today's bucket lacks beside that is a
    fault of unknown place, and the clean line does not have it; what it has more is a better pump.
    """

    def __init__(self, clean: Match | None = None, today: Match | None = None) -> None:
        self._clean, self._today = clean, today

    def fitted(self, built: Built, placed: ArrayLike = 0.0, clean: ArrayLike = 0.0) -> Built:
        """The line as the buckets showed it.

        ``placed`` (0 or 1, by rows) is 1 where the fault of unknown place is put right, ``clean``
        where the line is the clean one: of two buckets, only the clean one is about that.
        """
        made = built.matched(self._clean)
        if self._today is None:
            return made
        more, speed = self._today.more, self._today.speed
        rest = replace(more, per_flow_squared=more.per_flow_squared * (1.0 - np.asarray(placed)))
        if self._clean is not None:
            speed = np.where(np.asarray(clean) > 0, 1.0, speed)
        return made.matched(replace(self._today, more=rest, speed=speed))

    @property
    def short(self) -> bool:
        """Whether today's bucket shows a loss that no part explains."""
        return self._today is not None and bool(np.any(self._today.more.per_flow_squared > 0))


def shows(run: Run, viscosity: Array) -> Shown:
    """What the buckets of the boat as it was found show; nothing changed since is fitted away."""
    boat, viscosity = run.untouched, viscosity.mean(axis=1, keepdims=True)
    clean = today = None
    container = boat.number("raw_water.container")
    if boat.given("raw_water.fill_time"):
        flow = container / boat.number("raw_water.fill_time")
        whole = build(mended(boat, ALL))
        clean = match_to_flow(whole.pump, whole.line, flow, viscosity)
    if boat.given("raw_water.fill_time_now"):
        flow = container / boat.number("raw_water.fill_time_now")
        found = build(boat).matched(clean)
        # A pump that stands still part of the time fills the bucket in what is left.
        flow = flow / np.maximum(1.0 - found.stopped, 0.05)
        today = match_to_flow(found.pump, found.line, flow, viscosity)
    return Shown(clean, today)
