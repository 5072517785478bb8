"""The one list of openings: its laws, against closed forms and published ones."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.cold_box import air_exchange as ax
from plugins.cold_box import network as net
from plugins.cold_box.tables import GRAVITY, OPENING_DISCHARGE
from tests.plugins.cold_box.boats import PER_DAY, day

COLD = 1.27


def slit(height: float, warm: float, width: float = 0.01) -> float:
    """kg/s through a vertical sharp-edged slit."""
    law = net.orifice_law(0.5 * (warm + COLD))
    return float(net.stack_network_flow([net.slot(law, width * height, 0.0, height)], warm, COLD).inflow)


def test_flow_follows_the_square_root_of_the_difference():
    """Four times Δρ, twice the flow (the densities themselves move it by their own few per cent)."""
    assert slit(0.5, COLD - 0.08) / slit(0.5, COLD - 0.02) == pytest.approx(2.0, rel=0.03)


@given(st.floats(0.05, 2.0), st.floats(1.1, 4.0))
def test_flow_through_a_vertical_slit_follows_its_height_to_three_halves(height, times):
    one, other = slit(height, 1.17), slit(height * times, 1.17)
    assert other / one == pytest.approx(times**1.5, rel=1e-3)


def test_a_vertical_slit_is_an_open_door_of_brown_and_solvason():
    """Brown & Solvason 1962, (C_d/3) W H^1.5 (g ΔT/T)^½: the same integral with the mean density."""
    warm, cold = 303.15, 277.15
    densities = (1.2 * 293.15 / warm, 1.2 * 293.15 / cold)
    law = net.orifice_law(0.5 * sum(densities))
    made = net.stack_network_flow([net.slot(law, 0.25, 0.0, 0.5)], *densities)
    ours = float(made.inflow) / (0.5 * sum(densities))
    published = float(ax.air_exchange_brown_solvason(0.5, 0.5, warm, cold))
    print(f"slit against Brown & Solvason: {ours / published - 1:+.2%}")
    assert ours == pytest.approx(published, rel=0.02)


def test_two_holes_apart_flow_by_the_stack_equation():
    """ASHRAE's Q = C_d A (2 g Δh ΔT/T)^½ with the level half-way between them."""
    area, apart, warm = 2e-3, 0.3, 1.20
    flow = float(ax.divider_flow(2.0 * area, apart, warm, COLD))
    head = 2.0 * GRAVITY * 0.5 * apart * (COLD - warm) * 0.5 * (COLD + warm)
    assert flow == pytest.approx(OPENING_DISCHARGE * area * np.sqrt(head), rel=0.02)


def test_an_upright_door_s_seal_has_its_level_half_way_up():
    law = net.crack_law_baker(1e-3, 0.015, 1.2)
    made = net.stack_network_flow([net.slot(law, 1e-3, 0.2, 0.8)], 1.2, 1.2001)
    assert float(made.level) == pytest.approx(0.5, abs=1e-3)


def test_openings_without_area_move_nothing():
    law = net.orifice_law(1.2)
    made = net.stack_network_flow([net.vent_at(law, 0.0, 0.1), net.vent_at(law, 0.0, 0.9)], 1.15, COLD)
    assert float(made.inflow) == 0.0


@given(st.floats(1e-4, 1e-2), st.floats(1e-4, 1e-2), st.floats(0.05, 1.0), st.floats(1.0, 1.4))
def test_any_list_of_openings_passes_as_much_in_as_out(low, high, apart, warm):
    law = net.orifice_law(1.2)
    vents = [net.vent_at(law, low, 0.0), net.vent_at(law, high, apart), net.slot(law, 1e-4, 0.0, 0.5)]
    made = net.stack_network_flow(vents, warm, COLD)
    assert float(made.inflow) == pytest.approx(float(made.outflow), rel=1e-6, abs=1e-11)


def test_opening_only_the_drain_multiplies_a_leaky_lid_s_exchange_at_least_fivefold():
    text = 'drain = "{}"\n[cold_box.seal]\nfailing_share = "40 %"\ngap = "1 mm"'
    cabin = 'temperature = "84 F"\nhumidity = "70 %"'
    shut, opened = (
        sum(day(text.format(drain), cabin).daily(f"cold_box.air.{way}")[0] for way in ("seal", "drain"))
        for drain in ("plugged", "open")
    )
    print(f"drain shut {shut * PER_DAY:.2f}, open {opened * PER_DAY:.2f} m³/day")
    assert opened > 5.0 * shut


def test_missing_foam_leaks_as_a_wide_gap_of_that_length():
    """A tenth of the edge bare by 5 mm lets in what a tenth failing by 5 mm does."""
    cabin = 'temperature = "84 F"\nhumidity = "70 %"'
    text = 'opening = "door"\n[cold_box.seal]\nfailing_share = "{}"\ngap = "5 mm"\nmissing_share = "{}"\nmissing_gap = "5 mm"'
    bare, failing, sound = (
        day(text.format(*shares), cabin).daily("cold_box.air.seal")[0]
        for shares in (("0 %", "10 %"), ("10 %", "0 %"), ("0 %", "0 %"))
    )
    assert bare == pytest.approx(failing, rel=1e-6)
    assert bare > 3.0 * sound
