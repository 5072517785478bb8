"""Losses of pipes, fittings, screens and a flattened hose, against reference libraries and geometry."""

from __future__ import annotations

import math

import fluids
import numpy as np
import pytest
from fluids.filters import square_edge_screen
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from plugins.raw_water import hydraulics, tables

REYNOLDS = st.floats(1e-2, 1e8)
ROUGH = st.floats(0, 0.05)
SHARE = st.floats(0, 1)


@given(REYNOLDS, ROUGH)
def test_friction_is_that_of_the_fluids_library(re: float, rough: float) -> None:
    # fluids.friction.Churchill_1977, an independent writing of the same paper.
    ours = float(hydraulics.friction_factor_churchill(re, rough))
    assert ours == pytest.approx(fluids.friction.Churchill_1977(re, rough), rel=1e-9)


@pytest.mark.parametrize("re", [5e3, 2e4, 1e5, 1e6])
@pytest.mark.parametrize("rough", [0.0, 1e-4, 2e-3, 1e-2])
def test_friction_keeps_near_colebrook_when_turbulent(re: float, rough: float) -> None:
    # Churchill 1977 against Colebrook solved exactly (fluids): 3 % over the hoses' range.
    ours = float(hydraulics.friction_factor_churchill(re, rough))
    assert ours == pytest.approx(fluids.friction.Colebrook(re, rough), rel=0.03)


@given(st.floats(2.0, 6.0), ROUGH)
def test_friction_is_continuous_from_laminar_to_turbulent(log_re: float, rough: float) -> None:
    near = hydraulics.friction_factor_churchill(10 ** np.array([log_re, log_re + 1e-6]), rough)
    assert near[1] == pytest.approx(near[0], rel=1e-4)


@given(st.floats(1e-2, 100.0))
def test_friction_is_64_over_reynolds_when_laminar(re: float) -> None:
    assert float(hydraulics.friction_factor_churchill(re, 1e-3)) == pytest.approx(64 / re, rel=1e-6)


@given(REYNOLDS, ROUGH)
def test_slope_of_friction_is_its_derivative(re: float, rough: float) -> None:
    step = 1e-5
    below, above = (
        np.log(hydraulics.friction_factor_churchill(re * (1 + d), rough)) for d in (-step, step)
    )
    _, power = hydraulics.friction_factor_and_power_churchill(re, rough)
    if re > 2e-3:
        assert float(power) == pytest.approx(float(above - below) / (2 * step), abs=1e-4)


@given(REYNOLDS, ROUGH, st.floats(1.001, 10))
def test_more_flow_never_loses_less(re: float, rough: float, more: float) -> None:
    # f Re² is the loss of a given pipe in units of its own.
    few, many = (
        hydraulics.friction_factor_churchill(np.array([re, re * more]), rough)
        * np.array([re, re * more]) ** 2
    )
    assert many > few


def test_still_water_has_a_finite_loss() -> None:
    assert np.isfinite(hydraulics.friction_factor_churchill(0.0, 1e-3))


# --- a flattened hose -----------------------------------------------------------------------


@given(st.floats(0.01, 1.0))
def test_flattened_hose_keeps_its_wall_and_loses_its_area(width: float) -> None:
    """A stadium drawn by its outline: perimeter and area by numeric integration."""
    bore, flat = 1.0, width
    straight = (math.pi * bore - math.pi * flat) / 2
    # Upper edge y(x) of the stadium over its half length.
    half = straight / 2 + flat / 2

    def edge(x: float) -> float:
        beyond = max(abs(x) - straight / 2, 0.0)
        return math.sqrt(max((flat / 2) ** 2 - beyond**2, 0.0))

    area, _ = quad(lambda x: 2 * edge(x), -half, half, points=[-straight / 2, straight / 2], limit=200)
    assert 2 * straight + math.pi * flat == pytest.approx(math.pi * bore)
    share = float(hydraulics.flattened_area_share(width))
    assert share == pytest.approx(area / (math.pi / 4 * bore**2), rel=1e-5)
    assert float(hydraulics.flattened_hydraulic_diameter(bore, width)) == pytest.approx(
        4 * area / (math.pi * bore), rel=1e-5
    )


def test_round_hose_has_no_kink() -> None:
    assert float(hydraulics.kink_loss(1.0)) == pytest.approx(0.0, abs=1e-12)


@given(SHARE, SHARE)
def test_a_tighter_kink_loses_more(one: float, other: float) -> None:
    tight, loose = sorted((one, other))
    assert hydraulics.kink_loss(tight) >= hydraulics.kink_loss(loose) - 1e-12


def test_a_kink_to_a_third_by_hand() -> None:
    # w = 0.35: area 0.35 · 1.65 = 0.5775. Weisbach Cc = 0.705, so (1/0.705 - 1)² = 0.175; Borda-Carnot
    # (1 - 0.5775)² = 0.179; Rennels' mitre of 58.5° 0.42 · 0.4886 + 2.56 · 0.4886³ = 0.504.
    by_hand = (0.175 + 0.179 + 0.504) / 0.5775**2
    assert float(hydraulics.kink_loss(0.35)) == pytest.approx(by_hand, rel=5e-3)


# --- screens and openings -------------------------------------------------------------------


@pytest.mark.parametrize("share", [0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.95, 1.0])
def test_screen_loss_is_blevins_at_his_own_points(share: float) -> None:
    # fluids.filters.square_edge_screen carries the same table.
    assert float(hydraulics.screen_loss_blevins(share)) == pytest.approx(
        square_edge_screen(share), abs=1e-9
    )


@pytest.mark.parametrize("share", [0.003125, 0.0125, 0.025])
def test_screen_loss_goes_on_below_the_table_as_the_library_does(share: float) -> None:
    assert float(hydraulics.screen_loss_blevins(share)) == pytest.approx(
        square_edge_screen(share), rel=1e-6
    )


@given(SHARE, SHARE)
def test_a_more_open_screen_loses_less(one: float, other: float) -> None:
    shut, open_ = sorted((one, other))
    assert hydraulics.screen_loss_blevins(shut) >= hydraulics.screen_loss_blevins(open_)


@given(st.floats(1e-3, 1e8))
def test_open_share_of_a_screen_loss_is_its_inverse(loss: float) -> None:
    share = hydraulics.screen_open_share_blevins(loss)
    assert float(hydraulics.screen_loss_blevins(share)) == pytest.approx(loss, rel=1e-6)


@given(SHARE, SHARE)
def test_a_fouled_intake_loses_more(one: float, other: float) -> None:
    shut, open_ = sorted((one, other))
    assert hydraulics.fouled_entrance_loss(shut) >= hydraulics.fouled_entrance_loss(open_)
    assert hydraulics.grill_loss_blevins(shut) >= hydraulics.grill_loss_blevins(open_)


@given(SHARE, SHARE)
def test_a_seacock_opened_further_loses_less(one: float, other: float) -> None:
    shut, open_ = sorted((one, other))
    assert hydraulics.cock_loss_weisbach(shut, 0.019) >= hydraulics.cock_loss_weisbach(open_, 0.019)


def test_seacock_half_open_is_weisbach_at_45_degrees() -> None:
    # From memory of Weisbach's cock table: 31.2 at 45°, and the open valve's own body, 3 f_T.
    assert float(hydraulics.cock_loss_weisbach(0.5, 0.019)) == pytest.approx(31.2, rel=0.01)
    assert float(hydraulics.cock_loss_weisbach(1.0, 0.019)) == pytest.approx(3 * 0.0246, rel=0.05)


def test_every_row_of_the_screen_table_is_that_of_the_fluids_library() -> None:
    library = [square_edge_screen(float(share)) for share in tables.SCREEN_OPEN_SHARE]
    assert pytest.approx(library) == tables.SCREEN_LOSS


def test_the_tables_from_memory_are_as_they_were_entered() -> None:
    # A slip of a digit must not pass unseen; and each runs one way.
    assert tables.CONTRACTION_COEFFICIENT.sum() == pytest.approx(8.028)
    assert tables.COCK_LOSS[1:-1].sum() == pytest.approx(920.0)
    assert np.all(np.diff(tables.SCREEN_LOSS) < 0)
    assert np.all(np.diff(tables.COCK_LOSS) > 0)
    assert np.all(np.diff(tables.CONTRACTION_COEFFICIENT) > 0)


def test_friction_has_a_slope_where_churchills_logarithm_is_nothing() -> None:
    factor, power = hydraulics.friction_factor_and_power_churchill(np.array([7.0]), np.array([0.0]))
    assert factor == pytest.approx(64 / 7, rel=1e-6)
    assert power == pytest.approx(-1.0, rel=1e-6)
