"""How long the cabin's day takes: one nominal boat, and a thousand draws of it."""

import numpy as np
import pytest

from console.engine.views import EstimateView
from plugins.climate import estimates
from tests.plugins.climate.boats import run

BOATS = {
    "keeps up": 'capacity = "16000 Btu/h"\ncurrent = "12.2 A"\n',
    "falls short": 'capacity = "9000 Btu/h"\ncurrent = "7.5 A"\n',
    "fan left on": 'capacity = "16000 Btu/h"\ncurrent = "12.2 A"\nfan = "always"\n',
}


@pytest.mark.parametrize("draws", [0, 1024])
@pytest.mark.parametrize("name", BOATS)
def test_a_day_of_the_cabin(benchmark, name, draws):
    ran = run(BOATS[name], draws)
    rows = (draws + 1, 24)
    figures = dict(ran.figures) | {
        "raw_water.flow": np.full(rows, 2.6e-4),
        "raw_water.clean_flow": np.full(rows, 2.8e-4),
        "raw_water.scale_resistance": np.full(rows, 5e-5),
        "power.supply_voltage": np.full(rows, 117.0),
        "power.equipment_heat": np.full(rows, 150.0),
    }
    view = EstimateView(ran.draws, ran.hours, 3600.0, figures)

    def both() -> np.ndarray:
        estimates.cabin(view)
        return estimates.unit(view)["climate.unit_capacity"]

    assert np.isfinite(benchmark(both)).all()
