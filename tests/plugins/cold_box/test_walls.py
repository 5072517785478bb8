"""Heat through the walls: limits, conservation and direction."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.cold_box import walls
from plugins.cold_box.section import ColdBox, Inside

side = st.floats(0.1, 2.0)
foam = st.floats(0.01, 0.3)


def conductances(thickness: float, wet: float = 0.0, hull: float = 0.2, lid: float = 0.05) -> walls.Walls:
    conductivity = walls.insulation_conductivity(0.03, wet)
    return walls.box_conductances(0.56, 0.46, 0.5, 0.14, thickness, lid, conductivity, 0.2, 0.05, 1.5, hull)


def test_a_large_thin_box_is_its_faces_alone():
    """Where edges no longer matter the shape factor is area over thickness."""
    shape = walls.box_shape_factor_holman(10.0, 10.0, 10.0, 1e-3)
    assert shape == pytest.approx(600.0 / 1e-3, rel=2e-4)


@given(side, side, side, foam, foam)
def test_thicker_insulation_never_lets_more_heat_in(a, b, c, t, more):
    thin, thick = sorted((t, more))
    if walls.shape_factor_holds(a, b, c, thick):
        assert walls.box_shape_factor_holman(a, b, c, thick) <= walls.box_shape_factor_holman(a, b, c, thin)


def test_the_table_s_limits_keep_the_shape_factor_valid():
    """Holman: every inside dimension above a fifth of the thickness."""

    def limit(table, field, which):
        return table.model_fields[field].json_schema_extra["quantity"]["hard"][which]

    thickest = float(limit(ColdBox, "insulation", 1).split()[0])
    for name in ("length", "width", "depth"):
        smallest = float(limit(Inside, name, 0).split()[0])
        assert walls.shape_factor_holds(smallest, smallest, smallest, thickest)


def test_shape_factor_says_when_it_does_not_hold():
    assert not walls.shape_factor_holds(0.5, 0.5, 0.01, 0.1)


def test_hull_side_and_other_sides_are_one_box():
    """What lies against the hull is taken from the sides, not added."""
    free, against = conductances(0.075, hull=0.0), conductances(0.075, hull=0.5)
    assert against.total == pytest.approx(free.total, rel=1e-12)
    assert free.hull == 0.0
    assert against.hull > 0.0


def test_a_bare_lid_is_the_worst_wall():
    bare, foamed = conductances(0.075, lid=0.0), conductances(0.075, lid=0.075)
    assert bare.opening > 2.0 * foamed.opening


def test_wet_insulation_lies_between_dry_and_waterlogged():
    assert walls.insulation_conductivity(0.03, 0.0) == pytest.approx(0.03)
    assert walls.insulation_conductivity(0.03, 1.0) == pytest.approx(0.10)
    assert 0.03 < walls.insulation_conductivity(0.03, 0.3) < 0.10


def test_sun_on_the_topside_warms_the_hull_by_the_sol_air_rule():
    """ASHRAE: α I/h_o; 700 W/m² on grey paint is 18 K."""
    skin = walls.hull_skin_temperature(303.0, 300.0, 700.0, 0.6, 0.0)
    assert skin == pytest.approx(303.0 + 0.6 * 700.0 / 22.7)


def test_a_hull_side_below_the_water_is_at_the_sea_s_temperature():
    assert walls.hull_skin_temperature(303.0, 300.0, 700.0, 0.6, 1.0) == pytest.approx(300.0)


def test_heat_turns_round_with_the_difference():
    made = conductances(0.075)
    inward = np.array(walls.wall_heat(made, 300.0, 300.0, 277.0))
    outward = np.array(walls.wall_heat(made, 254.0, 254.0, 277.0))
    assert inward == pytest.approx(-outward, rel=1e-12)
    assert (inward > 0).all()


def test_the_average_box_is_the_one_told():
    """UA 2.2 BTU/h·°F, 1.3 to 4.5, is the plausible range of converted boxes (common practice)."""
    made = walls.box_conductances(
        0.559, 0.457, 0.508, 0.419 * 0.343, 0.0762, 0.0381,
        walls.insulation_conductivity(0.031, 0.08), 0.2, 0.05, 1.52, 0.2,
    )  # fmt: skip
    assert 1.3 < made.total * 1.8956 < 4.5
