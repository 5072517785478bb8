"""Films, sol-air, glass and leaks: what must hold for any input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugins.climate import surfaces, tables


def test_outside_film_passes_through_both_of_ashraes_points() -> None:
    assert float(surfaces.outside_film_ashrae(3.35)) == pytest.approx(22.7)
    assert float(surfaces.outside_film_ashrae(6.7)) == pytest.approx(34.0)


def test_outside_film_never_falls_with_wind_and_is_held_past_its_range() -> None:
    films = surfaces.outside_film_ashrae(np.linspace(-1, 40, 200))
    assert (np.diff(films) >= 0).all()
    assert films[-1] == surfaces.outside_film_ashrae(surfaces.WINDIEST)
    assert films[0] > 8.0


@given(st.floats(250, 320), st.floats(0, 1200), st.floats(0.1, 0.95), st.floats(10, 40))
def test_sun_never_cools_a_deck(outdoor: float, sun: float, takes_up: float, film: float) -> None:
    assert float(surfaces.sol_air_temperature(outdoor, sun, takes_up, film, 0.0)) >= outdoor


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_incidence_modifier_is_a_share_and_grows_as_the_sun_comes_square_on(a: float, b: float) -> None:
    low, high = sorted((a, b))
    less, more = surfaces.incidence_modifier_ashrae(low), surfaces.incidence_modifier_ashrae(high)
    assert 0.0 <= float(less) <= float(more) <= 1.0


def test_diffuse_modifier_is_the_incidence_modifier_at_sixty_degrees() -> None:
    assert float(surfaces.incidence_modifier_ashrae(0.5)) == pytest.approx(tables.DIFFUSE_MODIFIER)


def test_glass_without_sun_lets_nothing_in() -> None:
    assert float(surfaces.glass_solar_gain(0.0, 0.0, 0.0, 0.65)) == 0.0


def test_glass_square_to_the_sun_lets_in_its_rated_share() -> None:
    assert float(surfaces.glass_solar_gain(800.0, 0.0, 800.0, 0.65)) == pytest.approx(0.65 * 800)


def test_a_whole_awning_leaves_what_comes_through_the_cloth() -> None:
    assert float(surfaces.shaded(1.0)) == pytest.approx(tables.AWNING_LETS_THROUGH)
    assert float(surfaces.shaded(0.0)) == 1.0


@pytest.mark.parametrize("u", [surfaces.deck_transmittance, surfaces.side_transmittance])
def test_insulation_never_adds_heat(u) -> None:  # type: ignore[no-untyped-def]
    found = u(np.linspace(0, 0.1, 30), 20.0)
    assert (np.diff(found) < 0).all()
    # A bare laminate with a lining lies where bare decks are usually put (common practice).
    assert 2.5 < found[0] < 6.0


def test_inner_face_lies_between_cabin_and_sea() -> None:
    u = surfaces.hull_transmittance(0.0)
    face = surfaces.inside_surface_temperature(297.0, 288.0, u, tables.INSIDE_FILM["vertical"])
    assert 288.0 < float(face) < 297.0


@given(st.floats(0, 1), st.floats(-30, 30), st.floats(0, 20))
def test_leakage_is_the_same_for_cold_and_warm_cabins_and_grows_with_each_drive(
    area: float, difference: float, wind: float
) -> None:
    def flow(dt: float, u: float) -> float:
        return float(surfaces.leakage_flow_lbl(area, dt, u, tables.STACK_COEFFICIENT, 0.0174))

    assert flow(difference, wind) == flow(-difference, wind)
    assert flow(difference * 1.5, wind) >= flow(difference, wind)
    assert flow(difference, wind + 1) >= flow(difference, wind)


@pytest.mark.parametrize(
    ("difference", "wind", "litres"), [(20.0, 0.0, 26.93), (0.0, 4.0, 26.38), (20.0, 4.0, 37.69)]
)
def test_leakage_is_the_handbooks_in_its_own_units(difference: float, wind: float, litres: float) -> None:
    # ASHRAE Fundamentals, residential infiltration (from memory): Q = A·(C_s·dT + C_w·U²)^½ in L/s with A in
    # cm², one storey 0.000145, shelter class 3 0.000174; 500 cm² by hand.
    flow = surfaces.leakage_flow_lbl(
        0.05, difference, wind, tables.STACK_COEFFICIENT, tables.WIND_COEFFICIENT["harbour"]
    )
    assert 1000.0 * float(flow) == pytest.approx(litres, rel=1e-3)
