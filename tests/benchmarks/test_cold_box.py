"""How long a day of the ice box takes: one nominal boat, and a thousand draws of it."""

import numpy as np
import pytest

from console.engine.views import EstimateView
from plugins.cold_box import estimates
from tests.plugins.cold_box.boats import day

CABIN = 'temperature = "86 F"\nswing = "6 C"'
BOXES = {
    "average": "",
    "a chimney": 'drain = "open"\n[cold_box.seal]\nfailing_share = "50 %"',
    "overrun": 'insulation = "1 in"',
}


@pytest.mark.parametrize("draws", [0, 1024])
@pytest.mark.parametrize("name", BOXES)
def test_a_day_of_the_ice_box(benchmark, name, draws):
    ran = day(BOXES[name], CABIN, draws)
    view = EstimateView(ran.draws, ran.hours, 3600.0, ran.figures)

    def both() -> np.ndarray:
        estimates.temperature(view)
        return estimates.crossing(view)["cold_box.amp_hours_per_day"]

    assert np.isfinite(benchmark(both)).all()
