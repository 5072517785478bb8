"""Each part's loss against the fluids library's own formula; how far apart is told in the tests' output.

Where the library has another author's formula than ours the two differ as the books do, and the
room says by how much.
"""

from __future__ import annotations

from collections.abc import Callable

import fluids
import fluids.fittings as ff
import numpy as np
import pytest
from fluids.filters import round_edge_screen, square_edge_grill, square_edge_screen

from plugins.raw_water import hydraulics, tables
from tests.published import note

BORE = 0.0159
REYNOLDS = np.geomspace(4e3, 1e6, 25)
ROUGH = np.array([1e-5, 1e-4, 2e-3, 6e-3])
SHARES = np.linspace(0.05, 0.9, 18)
RATIOS = np.linspace(0.05, 0.9, 18)


def worst(name: str, ours: np.ndarray, library: np.ndarray) -> float:
    """The largest deviation, noted under a name."""
    off = np.asarray(ours, dtype=float) / np.asarray(library, dtype=float)
    far = float(off.flat[np.abs(off - 1).argmax()])
    note(f"raw water, {name}", far, 1.0)
    return abs(far - 1)


def test_turbulent_friction_keeps_near_colebrook() -> None:
    """Churchill 1977 states a few per cent of Colebrook; hoses lie in Re 1e4 to 5e4."""
    library = np.array(
        [[fluids.friction_factor(Re=re, eD=e, Method="Clamond") for re in REYNOLDS] for e in ROUGH]
    )
    ours = hydraulics.friction_factor_churchill(REYNOLDS[None, :], ROUGH[:, None])
    assert worst("friction, Churchill against Colebrook", ours, library) < 0.04


def test_laminar_friction_is_the_librarys() -> None:
    re = np.geomspace(1.0, 1500.0, 20)
    library = np.array([fluids.friction_laminar(one) for one in re])
    assert worst("friction, laminar", hydraulics.friction_factor_churchill(re, 1e-3), library) < 1e-3


@pytest.mark.parametrize(
    ("name", "ours", "library", "room"),
    [
        ("expansion, Borda-Carnot", hydraulics.expansion_loss_borda_carnot,
         lambda a: ff.diffuser_sharp(Di1=BORE * a**0.5, Di2=BORE), 1e-9),
        ("screen, Blevins square-edged", hydraulics.screen_loss_blevins, square_edge_screen, 1e-9),
        ("grill, Blevins", hydraulics.grill_loss_blevins, lambda a: square_edge_grill(alpha=a), 1e-9),
    ],
)  # fmt: skip
def test_a_loss_by_area_is_the_librarys(
    name: str, ours: Callable[..., np.ndarray], library: Callable[[float], float], room: float
) -> None:
    assert worst(name, ours(RATIOS), np.array([library(float(a)) for a in RATIOS])) <= room


@pytest.mark.parametrize(("author", "room"), [("Crane", 0.11), ("Idelchik", 0.12), ("Blevins", 0.09)])
def test_weisbachs_contraction_lies_a_tenth_of_a_velocity_head_under_the_handbooks(
    author: str, room: float
) -> None:
    """He counts the jet's widening alone; what friction and the way in cost, the handbooks add."""
    library = np.array(
        [
            ff.contraction_conical(Di1=BORE, Di2=BORE * a**0.5, fd=0.02, angle=179.9, Re=3e4, method=author)
            for a in RATIOS
        ]
    )
    under = library - hydraulics.contraction_loss_weisbach(RATIOS)
    note(f"raw water, contraction, {author} less Weisbach, in velocity heads", 1 + float(under.max()), 1.0)
    assert under.min() > 0
    assert under.max() < room


def test_a_square_edge_loses_more_than_a_round_one() -> None:
    rounded = np.array([round_edge_screen(float(a), 2e3) for a in SHARES[4:14]])
    assert np.all(hydraulics.screen_loss_blevins(SHARES[4:14]) > rounded)


def test_fittings_are_the_librarys() -> None:
    bores = np.array([0.0127, 0.0159, 0.019, 0.0254])
    crane = np.array(
        [
            ff.bend_rounded(Di=d, angle=90, fd=ff.ft_Crane(d), bend_diameters=1.0, method="Crane standard")
            for d in bores
        ]
    )
    assert worst("elbow, Crane", hydraulics.elbow_loss_crane(bores), crane) < 0.03
    valve = np.array([ff.K_ball_valve_Crane(D1=d, D2=d, angle=0) for d in bores])
    assert worst("seacock wide open, Crane", hydraulics.cock_loss_weisbach(1.0, bores), valve) < 0.03
    angles = np.array([20.0, 45.0, 90.0, 120.0])
    mitre = np.array([ff.bend_miter(angle=a, Di=BORE, Re=2.5e4, method="Rennels") for a in angles])
    assert worst("fold, Rennels", hydraulics.mitre_loss_rennels(np.radians(angles)), mitre) < 1e-6
    assert worst("exit", np.array([tables.EXIT]), np.array([ff.exit_normal()])) == 0
    # Crane and Idelchik have 0.5 for a sharp flush entrance, Rennels and Miller 0.57.
    assert (
        worst(
            "entrance against Rennels", hydraulics.fouled_entrance_loss(1.0), np.array(ff.entrance_sharp())
        )
        < 0.13
    )
