"""The rows of group D an ice box uses, each computed with its own functions."""

import numpy as np
import pytest

from plugins.cold_box import tables, walls
from plugins.cold_box.contents import product_heat
from tests.published import agrees, rows

ROWS = rows("heat_transfer_and_sun")
INCH, BTU_HFT2F, BTU_HFTF = 0.0254, 5.678263, 1.730735


def test_shape_factor_of_a_furnace_agrees_with_holman():
    row = ROWS["D-holman-furnace"]
    i = row["inputs"]
    shape = walls.box_shape_factor_holman(i["a"], i["a"], i["a"], i["t"])
    assert agrees(row, float(i["k"] * shape * (i["T_i"] - i["T_o"])))


def test_a_closed_box_between_known_surfaces_is_the_furnace_of_holman():
    """The box's own conductances, films and lid taken out of the way, are that shape factor."""
    i = ROWS["D-holman-furnace"]["inputs"]
    a, t, k = i["a"], i["t"], i["k"]
    # A lid whose plywood skins are all but absent: its opening is nil here.
    made = walls.box_conductances(a, a, a, 1e-12, t, t, k, 0.0, 0.0, 0.0, 0.25)
    shape = float(walls.box_shape_factor_holman(a, a, a, t))
    inner, outer = 6.0 * a * a, 6.0 * (a + 2 * t) ** 2
    films = 1.0 / (tables.FILM_INSIDE * inner) + 1.0 / (tables.FILM_INSIDE * outer)
    assert float(made.total) == pytest.approx(1.0 / (1.0 / (k * shape) + films), rel=1e-9)


def test_wall_of_an_ice_chest_agrees_with_janna():
    row = ROWS["D-janna2-3-U"]
    i = row["inputs"]
    layers = [(t * INCH, k * BTU_HFTF) for t, k in (i["steel"], i["foam"], i["fibreglass"])]
    value = walls.transmittance_of_layers(layers, i["h_i"] * BTU_HFT2F, i["h_o"] * BTU_HFT2F)
    assert agrees(row, float(value) / BTU_HFT2F)


def test_flux_through_an_ice_box_wall_agrees_with_gavhane():
    row = ROWS["D-gavhane2-8-q"]
    i = row["inputs"]
    layers = list(zip(i["x"], i["k"], strict=True))
    value = walls.transmittance_of_layers(layers, np.inf, np.inf) * (i["T1"] - i["T2"])
    assert agrees(row, float(value))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("D-k-extruded-polystyrene-32", tables.CONDUCTIVITY["extruded_polystyrene"]),
        ("D-k-moulded-bead-polystyrene-20", tables.CONDUCTIVITY["bead_polystyrene"]),
        ("D-k-polyisocyanurate-aged-unfaced", tables.CONDUCTIVITY["urethane"]),
        ("D-k-glass-fibre-batt-12", tables.CONDUCTIVITY["glass_fibre"]),
        ("D-k-cork-underlay-200", tables.CONDUCTIVITY["cork"]),
        ("D-k-plywood-500", tables.PLYWOOD_CONDUCTIVITY),
        ("D-film-vert", tables.FILM_INSIDE),
    ],
)
def test_tabled_value_agrees_with_the_published_one(key, value):
    assert agrees(ROWS[key], value)


def test_beverage_load_agrees_with_cengel():
    row = ROWS["D-cengel11-6-Q"]
    i = row["inputs"]
    assert agrees(row, float(product_heat(i["m"] / (i["t"] * 60), i["c"] * 1e3, i["T1"], i["T2"])))


def test_meat_chilling_load_agrees_with_hundy():
    row = ROWS["D-hundy18-2"]
    i = row["inputs"]
    value = product_heat(i["m"] / (i["t"] * 3600), i["cp"] * 1e3, i["T1"], i["T2"])
    assert agrees(row, float(value) / 1e3)
