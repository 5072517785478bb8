"""Air through seal and drain: against numerical integration, and what must always hold."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from plugins.cold_box import air_exchange as ax
from plugins.cold_box import network as net
from plugins.cold_box.tables import AIR_VISCOSITY, GRAVITY

CABIN, BOX = 1.15, 1.27
PER_DAY = 86_400.0


def leaks(
    failing=0.4, gap=1e-3, door=False, drain=0.0, height=0.4, width=0.4, depth=0.5, drop=0.3
) -> ax.Leaks:
    rise, middle = (height, 0.5 * depth) if door else (0.01, depth)
    given_ = (
        failing * width, 2.0 * failing * height, middle + 0.5 * rise, middle - 0.5 * rise, gap, 0.015,
        0.25 * np.pi * drain**2, max(drain, 0.02), drop, -drop,
    )  # fmt: skip
    return ax.Leaks(*(np.asarray(x, dtype=float) for x in given_))


def through(made: ax.Leaks, cabin=CABIN, box=BOX) -> float:
    """m³ of cabin air a day."""
    return float(ax.seal_flow(made, cabin, box).inflow) / cabin * PER_DAY


def test_a_fine_slot_is_poiseuille_flow_between_plates():
    """Δp = 12 μ z v/d² (any text) where entry and exit no longer count."""
    law = net.crack_law_baker(0.1e-3, 0.05, 1.2)
    assert law.speed(0.5) == pytest.approx(0.5 * 1e-8 / (12 * AIR_VISCOSITY * 0.05), rel=1e-3)


def test_a_wide_slot_is_an_orifice():
    law = net.crack_law_baker(20e-3, 0.002, 1.2)
    assert law.speed(2.0) == pytest.approx(np.sqrt(2 * 2.0 / (1.5 * 1.2)), rel=0.02)


def test_a_fine_tube_is_hagen_poiseuille():
    law = net.tube_law_poiseuille(1e-3, 1.0, 1.2)
    assert law.speed(0.4) == pytest.approx(0.4 * 1e-6 / (32 * AIR_VISCOSITY), rel=1e-3)


@given(st.floats(1e-4, 1e-2), st.floats(2e-3, 0.1), st.floats(1e-4, 5.0))
def test_flow_over_a_height_is_the_integral_of_the_slot_s_law(gap, path, pressure):
    """The closed form against scipy.integrate.quad."""
    law = net.crack_law_baker(gap, path, 1.2)
    whole, _ = quad(lambda p: float(law.speed(p)), 0.0, pressure, epsrel=1e-10, limit=200)
    assert law.sum_of_speeds(pressure) == pytest.approx(whole, rel=1e-7)


@pytest.mark.parametrize("door", [True, False])
@pytest.mark.parametrize("drain", [0.0, 0.02])
@pytest.mark.parametrize("gap", [0.3e-3, 1e-3, 4e-3])
def test_network_flow_is_that_of_an_integrated_bracketed_solution(door, drain, gap):
    """The same network integrated by scipy.quad over height, its level found by scipy.brentq."""
    made = leaks(gap=gap, door=door, drain=drain)
    crack, tube = (
        net.crack_law_baker(gap, 0.015, (CABIN + BOX) / 2),
        net.tube_law_poiseuille(made.drain_bore, made.drain_length, (CABIN + BOX) / 2),
    )
    top, bottom, drive = float(made.top), float(made.bottom), (BOX - CABIN) * GRAVITY
    along, jamb = gap * float(made.edge), gap * float(made.side) / (top - bottom)

    def flows(level: float) -> tuple[float, float]:
        def speed(z: float, inward: bool) -> float:
            return float(crack.speed(drive * (z - level if inward else level - z)))

        def jambs(inward: bool) -> float:
            near = [level] if bottom < level < top else None
            return jamb * quad(speed, bottom, top, args=(inward,), points=near, epsrel=1e-10)[0]

        inward = along * (speed(top, True) + speed(bottom, True)) + jambs(True)
        outward = along * (speed(top, False) + speed(bottom, False)) + jambs(False)
        foot = float(made.drain_area * tube.speed(drive * (level - float(made.drain_level))))
        return CABIN * inward, BOX * (outward + foot)

    low = float(made.drain_level) if drain else bottom
    level = brentq(lambda z: np.subtract(*flows(z)), low, top, xtol=1e-13)
    found = ax.seal_flow(made, CABIN, BOX)
    assert float(found.inflow) == pytest.approx(flows(level)[0], rel=1e-6)


@given(
    st.floats(0.0, 1.0), st.floats(0.0, 20e-3), st.booleans(), st.sampled_from([0.0, 0.01, 0.03]),
    st.floats(1.05, 1.35), st.floats(1.05, 1.35),
)  # fmt: skip
def test_what_goes_in_comes_out(failing, gap, door, drain, cabin, box):
    flow = ax.seal_flow(leaks(failing, gap, door, drain), cabin, box)
    assert float(flow.inflow) == pytest.approx(float(flow.outflow), rel=1e-6, abs=2e-12)
    assert 0.0 <= float(flow.by_drain) <= float(flow.outflow) * (1 + 1e-12)


@given(
    st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 10e-3), st.floats(0.0, 10e-3),
    st.booleans(), st.sampled_from([0.0, 0.02]),
)  # fmt: skip
def test_a_tighter_seal_never_passes_more_air(share_a, share_b, gap_a, gap_b, door, drain):
    (small_share, big_share), (small_gap, big_gap) = sorted((share_a, share_b)), sorted((gap_a, gap_b))
    tight = through(leaks(small_share, small_gap, door, drain))
    loose = through(leaks(big_share, big_gap, door, drain))
    assert tight <= loose * (1 + 1e-6) + 1e-6


def test_a_lid_with_its_drain_shut_hardly_leaks_even_past_a_poor_seal():
    """Cold air is heavy (common practice, no source): under 0.2 m³/day by stack."""
    assert through(leaks(failing=0.6, gap=1.5e-3)) < 0.2


def test_lid_leak_and_open_drain_make_a_chimney():
    """A 20 mm drain 0.4 m below a leaky lid: 5 to 10 m³/day, computed from textbook physics."""
    made = leaks(failing=0.4, gap=1e-3, drain=0.02, depth=0.3, drop=0.1)
    assert 5.0 < through(made, 1.16, 1.27) < 10.0


def test_an_open_drain_under_a_tight_lid_draws_nothing():
    assert through(leaks(failing=0.0, drain=0.02)) < 1e-3


def test_a_door_leaks_by_itself():
    assert through(leaks(door=True)) > 10.0 * through(leaks(door=False))


def test_no_difference_of_density_moves_no_air():
    assert through(leaks(door=True, gap=3e-3), 1.2, 1.2) < 0.05


def test_a_box_warmer_than_the_cabin_leaks_the_other_way_alike():
    made = leaks(door=True)
    assert through(made, 1.2, 1.3) == pytest.approx(through(made, 1.3, 1.2) * 1.3 / 1.2, rel=1e-9)


def test_draws_are_solved_together_as_they_are_alone():
    many = leaks()
    gaps = np.array([[0.0], [0.5e-3], [2e-3], [8e-3]])
    together = ax.seal_flow(dataclasses.replace(many, gap=gaps), np.array([[1.1, 1.2]]), BOX).inflow
    for row, gap in enumerate(gaps[:, 0]):
        for column, cabin in enumerate((1.1, 1.2)):
            alone = ax.seal_flow(dataclasses.replace(many, gap=np.asarray(gap)), cabin, BOX).inflow
            assert together[row, column] == pytest.approx(float(alone), rel=1e-8, abs=1e-12)


@given(st.floats(0.0, 1e-2), st.floats(0.0, 600.0), st.floats(1e-4, 1.0), st.floats(0.0, 0.2))
@settings(max_examples=50)
def test_opening_a_door_never_swaps_more_than_the_box_holds(openings, seconds, volume, exchange):
    flow = ax.opening_flow_door(openings, seconds, exchange, volume)
    assert flow <= openings * volume * (1 + 1e-12)
    assert flow <= openings * exchange * seconds * (1 + 1e-12) + 1e-300


def test_leakage_area_of_an_orifice_like_seal_is_its_gap_s():
    """At 4 Pa with C_d 1: a wide short slot has an effective area of area/1.5^½."""
    area = ax.seal_leakage_area(10e-3, 0.002, 1.0, 1.2)
    assert area == pytest.approx(10e-3 / np.sqrt(1.5), rel=0.02)


def seal(gap: float, failing: float = 1.6) -> ax.Leaks:
    """A level lid's seal of that gap (m), ``failing`` m of it in all."""
    one = np.ones((1, 1))
    return ax.Leaks(
        edge=0.5 * failing * one, side=0.0 * one, top=0.5 * one, bottom=0.5 * one, gap=gap * one,
        path=15e-3 * one, drain_area=0.0 * one, drain_bore=0.02 * one, drain_length=0.3 * one,
        drain_level=-0.3 * one,
    )  # fmt: skip


def test_a_draught_costs_its_crack_half_of_its_pressure_each_way():
    """In and out by Baker, Sharples & Ward 1987: 12 μ z/d² v + 1.5 ρ/2 v², twice, is ΔC_p ρ/2 U²."""
    gap, density, speed = 2e-3, 1.2, 0.4
    flow = float(ax.draught_flow(seal(gap), speed, density)[0, 0])
    v = flow / (gap * 0.8)
    one_way = 12.0 * 1.80e-5 * 15e-3 / gap**2 * v + 1.5 * 0.5 * density * v**2
    assert 2.0 * one_way == pytest.approx(0.6 * 0.5 * density * speed**2)


def test_a_draught_through_a_fine_seal_follows_the_square_of_its_speed_and_the_cube_of_the_gap():
    """Poiseuille between plates; and no draught or no gap, no air."""
    fine = ax.draught_flow(seal(0.2e-3), 0.1, 1.2)
    assert ax.draught_flow(seal(0.2e-3), 0.2, 1.2) == pytest.approx(4.0 * fine, rel=1e-3)
    assert ax.draught_flow(seal(0.4e-3), 0.1, 1.2) == pytest.approx(8.0 * fine, rel=1e-3)
    assert ax.draught_flow(seal(0.2e-3, 3.2), 0.1, 1.2) == pytest.approx(2.0 * fine)
    assert ax.draught_flow(seal(2e-3), 0.0, 1.2) == 0.0
    assert ax.draught_flow(seal(2e-3, 0.0), 0.5, 1.2) == 0.0


def test_stack_and_draught_add_as_the_lbl_model_has_them():
    """A (C_s ΔT + C_w U²)^½ (Sherman & Grimsrud 1980) is its two parts' root of squares."""
    both = ax.infiltration_lbl(500.0, 1.45e-4, 20.0, 1.04e-4, 3.0)
    stack = ax.infiltration_lbl(500.0, 1.45e-4, 20.0, 1.04e-4, 0.0)
    wind = ax.infiltration_lbl(500.0, 1.45e-4, 0.0, 1.04e-4, 3.0)
    assert ax.stack_and_draught(stack, wind) == pytest.approx(both)


def test_still_air_diffuses_through_a_slot_by_fick():
    """D A/z with 2.5e-5 m²/s (water vapour in air at 20 °C, handbooks): 3 mm by 1 m, 15 mm deep."""
    assert float(ax.diffusion_flow(3e-3, 15e-3, 1.0)) == pytest.approx(2.5e-5 * 3e-3 / 15e-3)
    assert float(ax.diffusion_flow(3e-3, 15e-3, 1.0)) * PER_DAY == pytest.approx(0.43, abs=0.01)
