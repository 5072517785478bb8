"""The operating point: against an independent solver, in balance, and never better for a fault."""

from __future__ import annotations

import math
from typing import Any

import fluids
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from plugins.raw_water import hydraulics
from plugins.raw_water.line import (
    Fall,
    Fitting,
    Line,
    Tube,
    gravity_flow,
    match_to_flow,
    operating_flow,
    scaled_coil,
    settled,
    standing_falls,
    system_head_and_slope,
)
from plugins.raw_water.pump import Pump

VISCOSITY = 0.9e-6
PLAIN: dict[str, float] = {
    "head": 4.27, "free": 8.2e-4, "bore": 0.0159, "length": 6.0, "rough": 3e-5, "fittings": 8.0,
    "coil": 1.55, "at_flow": 2.8e-4, "power": 1.85, "scale": 0.0, "lift": 0.2, "fall": 0.2, "full": 0.0, "width": 1.0,
}  # fmt: skip


def column(value: Any) -> np.ndarray:
    return np.asarray(value, dtype=float).reshape(-1, 1)


def made(**changed: Any) -> tuple[Pump, Line]:
    p = {name: column(value) for name, value in {**PLAIN, **changed}.items()}
    area = hydraulics.round_area(p["bore"])
    loss = p["fittings"] + hydraulics.kink_loss(p["width"])
    line = Line(
        (Fitting("fittings", hydraulics.head_per_flow_squared(loss, area)),),
        (Tube("hose", p["bore"], area, p["length"], p["rough"]),),
        (scaled_coil("condenser", p["coil"], p["at_flow"], p["power"], p["bore"], p["scale"]),),
        np.maximum(p["lift"], 0.0),
        (Fall("fall", p["fall"], p["full"]),),
    )
    return Pump(p["head"], p["free"]), line


def flow_of(**changed: Any) -> np.ndarray:
    return operating_flow(*made(**changed), VISCOSITY)[:, 0]


def flow_by_brentq(p: dict[str, float]) -> float:
    """The same line written anew on the fluids library, and solved by SciPy."""
    area = math.pi / 4 * p["bore"] ** 2

    def spare(q: float) -> float:
        v = q / area
        re = fluids.Reynolds(V=v, D=p["bore"], nu=VISCOSITY)
        friction = fluids.friction.Churchill_1977(re, p["rough"] / p["bore"]) * p["length"] / p["bore"]
        loss = (friction + p["fittings"]) * v * v / (2 * 9.80665) + p["coil"] * (q / p["at_flow"]) ** p[
            "power"
        ]
        return p["head"] * (1 - (q / p["free"]) ** 2) - p["lift"] - loss

    return float(brentq(spare, 1e-12, p["free"], xtol=1e-16, rtol=1e-14))


lines = st.fixed_dictionaries(
    {
        "head": st.floats(1.0, 15.0), "free": st.floats(1e-4, 4e-3),
        "bore": st.floats(0.008, 0.04), "length": st.floats(0.1, 30.0), "rough": st.floats(1e-6, 5e-4),
        "fittings": st.floats(0.5, 60.0), "coil": st.floats(0.05, 10.0), "at_flow": st.floats(5e-5, 1e-3),
        "power": st.floats(1.0, 2.2), "lift": st.floats(0.0, 0.9), "fall": st.just(0.0),
    }
)  # fmt: skip


@settings(max_examples=150)
@given(lines)
def test_operating_flow_is_that_of_an_independent_solver(p: dict[str, float]) -> None:
    assert flow_of(**p)[0] == pytest.approx(flow_by_brentq({**PLAIN, **p}), rel=1e-6)


@settings(max_examples=150)
@given(lines)
def test_losses_add_up_to_the_pumps_head(p: dict[str, float]) -> None:
    pump, line = made(**p)
    at = settled(pump, line, VISCOSITY)
    assert at.flow == pytest.approx(operating_flow(pump, line, VISCOSITY))
    assert sum(loss[0, 0] for loss in at.losses.values()) == pytest.approx(
        at.head[0, 0], abs=1e-6 * p["head"]
    )


@pytest.mark.parametrize(
    ("worse", "least", "most"),
    [
        ("scale", 0.0, 0.006), ("lift", 0.0, 3.0), ("length", 0.1, 30.0), ("fittings", 0.5, 300.0),
        ("rough", 1e-6, 1e-3), ("coil", 0.05, 12.0), ("fall", 0.0, 6.0),
    ],
)  # fmt: skip
@settings(max_examples=25)
@given(data=st.data())
def test_flow_never_rises_with(worse: str, least: float, most: float, data: st.DataObject) -> None:
    base = data.draw(lines)
    steps = sorted(data.draw(st.lists(st.floats(least, most), min_size=2, max_size=2)))
    if worse in base:
        del base[worse]
    little, much = (flow_of(**{**base, worse: value})[0] for value in steps)
    assert much <= little * (1 + 1e-7)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), lines)
def test_flow_never_rises_with_more_kink(one: float, other: float, p: dict[str, float]) -> None:
    tight, loose = sorted((one, other))
    assert flow_of(**p, width=tight)[0] <= flow_of(**p, width=loose)[0] * (1 + 1e-7)


def test_all_draws_are_solved_at_once_as_they_are_alone() -> None:
    bores = np.linspace(0.006, 0.03, 40)
    together = flow_of(bore=bores)
    assert together == pytest.approx([flow_of(bore=bore)[0] for bore in bores], rel=1e-8)


def test_hours_of_different_water_are_solved_at_once() -> None:
    pump, line = made()
    hours = np.linspace(0.7e-6, 1.8e-6, 24)[None, :]
    assert operating_flow(pump, line, hours)[0] == pytest.approx(
        [operating_flow(pump, line, nu)[0, 0] for nu in hours[0]], rel=1e-8
    )


@given(st.floats(0.3e-6, 2.5e-6), st.floats(0.3e-6, 2.5e-6))
def test_thicker_water_flows_no_faster(one: float, other: float) -> None:
    thin, thick = sorted((one, other))
    pump, line = made()
    assert operating_flow(pump, line, thick) <= operating_flow(pump, line, thin) * (1 + 1e-7)


@given(st.floats(0.0, 8.0))
def test_flow_falls_to_nothing_without_a_jump_as_the_lift_nears_the_shut_off_head(lift: float) -> None:
    near = flow_of(lift=lift, fall=0.0)[0], flow_of(lift=lift + 1e-7, fall=0.0)[0]
    assert near[0] - near[1] < 5e-7
    assert (near[0] > 0) == (lift < PLAIN["head"])


def test_a_column_the_pump_cannot_lift_over_stands_and_balances() -> None:
    for lift, fall in ((5.0, 0.0), (0.2, 6.0)):
        at = settled(*made(lift=lift, fall=fall), VISCOSITY)
        assert at.flow[0, 0] == 0
        assert sum(loss[0, 0] for loss in at.losses.values()) == pytest.approx(at.head[0, 0])


def test_the_fall_from_the_high_spot_costs_nothing_once_the_leg_runs_full() -> None:
    assert flow_of(fall=3.9)[0] == pytest.approx(flow_of(fall=0.0)[0])
    assert flow_of(fall=4.2)[0] == 0


def test_a_leg_that_does_not_run_full_costs_its_fall() -> None:
    raised = flow_of(lift=0.2 + 1.5, fall=0.0)[0]
    assert flow_of(fall=1.5, full=1.0)[0] == pytest.approx(raised, rel=1e-6)
    assert flow_of(fall=1.5, full=raised * 0.99)[0] == pytest.approx(flow_of(fall=0.0)[0], rel=1e-6)
    assert flow_of(fall=1.5, full=raised * 1.01)[0] == pytest.approx(raised, rel=1e-6)


def test_filling_an_easy_leg_may_let_a_harder_one_fill() -> None:
    pump, line = made(fall=0.0)
    alone = flow_of(lift=0.2 + 1.0 + 0.5, fall=0.0)[0], flow_of(lift=0.2 + 1.0, fall=0.0)[0]
    easy, hard = (
        Fall("easy", column(0.5), column(alone[0] * 0.9)),
        Fall("hard", column(1.0), column(alone[1] * 0.99)),
    )
    line = Line(line.fittings, line.tubes, line.coils, line.lift, (hard, easy))
    assert standing_falls(pump, line, VISCOSITY)[0, 0] == 0
    stuck = Line(
        line.fittings, line.tubes, line.coils, line.lift, (hard, Fall("easy", column(0.5), column(1.0)))
    )
    assert standing_falls(pump, stuck, VISCOSITY)[0, 0] == pytest.approx(1.5)


def test_a_trickle_still_water_and_what_would_run_backwards_are_solved_side_by_side() -> None:
    """Turbulent, laminar, a pump just under its lift, one far under it, and a shut line, in one vector."""
    lift = np.array([0.2, 4.2699999, 4.28, 60.0, 0.2])
    fittings = np.array([8.0, 8.0, 8.0, 8.0, 1e18])
    flow = flow_of(lift=lift, fittings=fittings, fall=0.0)
    area = math.pi / 4 * PLAIN["bore"] ** 2
    reynolds = flow / area * PLAIN["bore"] / VISCOSITY
    assert reynolds[0] > 4000
    assert 0 < reynolds[1] < 2000
    assert list(flow[2:4]) == [0.0, 0.0]
    assert 0 <= flow[4] < 1e-10
    assert np.isfinite(flow).all()
    for k in (0, 1, 4):
        p = {**PLAIN, "lift": float(lift[k]), "fittings": float(fittings[k])}
        assert flow[k] == pytest.approx(flow_by_brentq(p), rel=1e-5, abs=1e-12)


def test_gravity_drives_what_its_head_can_pay_for() -> None:
    _, line = made(fall=0.0, lift=0.0)
    head = np.array([[0.05], [0.4], [3.0], [0.0], [-1.0]])
    flow = gravity_flow(line, head, VISCOSITY)
    taken, _ = system_head_and_slope(line, flow, VISCOSITY)
    assert taken[:3] == pytest.approx(head[:3], rel=1e-3)
    assert list(flow[3:, 0]) == [0.0, 0.0]


@settings(max_examples=100)
@given(lines, st.floats(0.2, 1.8))
def test_the_line_fitted_to_a_bucket_passes_what_the_bucket_showed(
    p: dict[str, float], share: float
) -> None:
    pump, line = made(**p)
    wanted = operating_flow(pump, line, VISCOSITY) * share
    shown = match_to_flow(pump, line, wanted, VISCOSITY)
    got = operating_flow(*shown.applied(pump, line), VISCOSITY)
    assert got[0, 0] == pytest.approx(wanted[0, 0], rel=1e-6)
    assert shown.more.per_flow_squared[0, 0] >= 0
    assert (shown.speed[0, 0] > 1) == (share > 1 + 1e-9) or share == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize("share", [0.5, 0.8, 0.95, 1.0, 1.05, 1.3])
def test_a_bucket_is_matched_too_where_a_leg_would_only_just_not_fill(share: float) -> None:
    full = flow_of(lift=0.2 + 1.5, fall=0.0)[0]
    pump, line = made(fall=1.5, full=full)
    wanted = column(full * share)
    got = operating_flow(*match_to_flow(pump, line, wanted, VISCOSITY).applied(pump, line), VISCOSITY)
    assert got == pytest.approx(wanted, rel=1e-6)


def test_slope_of_the_line_is_its_derivative() -> None:
    _, line = made()
    q = np.array([[2e-5, 1e-4, 3e-4]])
    step = 1e-5 * q
    _, slope = system_head_and_slope(line, q, VISCOSITY)
    above, below = (system_head_and_slope(line, q + d, VISCOSITY)[0] for d in (step, -step))
    assert slope == pytest.approx((above - below) / (2 * step), rel=1e-5)


@pytest.mark.parametrize(("power", "fall"), [(1.0, 4.0), (1.75, 4.75), (2.0, 5.0)])
def test_scale_narrows_a_coil_by_the_textbook_power_of_its_bore(power: float, fall: float) -> None:
    # Poiseuille D^-4, Blasius D^-4.75, fully rough D^-5.
    clean, scaled = (scaled_coil("c", 1.0, 1e-4, power, 0.016, t).head for t in (0.0, 0.0008))
    assert float(scaled / clean) == pytest.approx(0.9**-fall)
