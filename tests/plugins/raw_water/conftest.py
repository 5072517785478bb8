"""A boat with the raw-water plugin alone, read and run as the console does it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from console.boatfile import Boat
from console.boatfile.boat import loads
from console.engine.run import Ran, run_day
from console.registry import Registry, discover

FULL_LINE = """
[site]
seawater_temperature = "84 F"
salinity = "30 g/kg"
[raw_water]
container = "10 L"
bore = "5/8 in"
line_loss = "1.1"
trial = { hose_size = "1.05", kinks_left = "90 %", dips_left = "80 %" }
[[raw_water.line]]
part = "intake"
kind = "scoop"
bore = "3/4 in"
depth = "16 in"
blocked = "20 %"
[[raw_water.line]]
part = "seacock"
bore = "3/4 in"
open_share = "80 %"
[[raw_water.line]]
part = "hose"
name = "seacock to strainer"
bore = "3/4 in"
length = "3 ft"
bends = "1"
roughness = "0.03 mm"
open_width = "30 %"
dip = "3 in"
hump = "8 in"
[[raw_water.line]]
part = "strainer"
bore = "3/4 in"
basket_area = "30 cm2"
hole_share = "40 %"
blocked = "60 %"
depth = "18 in"
[[raw_water.line]]
part = "pump"
max_head = "14 ft"
max_flow = "13 gpm"
curve = [{ flow = "6 gpm", head = "11 ft" }]
rated_frequency = "60 Hz"
supply_frequency = "60 Hz"
depth = "14 in"
needed_suction = "1 m"
wear = "5 %"
suction_air = "1 %"
air = "2 %"
stopped = "3 %"
[[raw_water.line]]
part = "hose"
name = "pump to unit"
bore = "5/8 in"
length = "9 ft"
bends = "3"
roughness = "0.03 mm"
open_width = "90 %"
[[raw_water.line]]
part = "condenser"
loss = "2.2 psi"
at_flow = "8 gpm"
exponent = "1.8"
bore = "5/8 in"
scale = "0.2 mm"
height = "16 in"
[[raw_water.line]]
part = "overboard"
bore = "5/8 in"
height = "8 in"
"""
"""Every part, every field of its own, and a little of every fault."""

Runner = Callable[..., Ran]


@pytest.fixture(scope="session")
def registry() -> Registry:
    return discover({"BOAT_CONSOLE_PLUGINS": "raw_water"})


@pytest.fixture(scope="session")
def read(registry: Registry) -> Callable[[str], Boat]:
    return lambda text: loads(text, registry)


@pytest.fixture(scope="session")
def run(registry: Registry) -> Runner:
    """run(text, draws=0, changed={path: text}) -> the day's run, with nothing unwell."""

    def runner(text: str, draws: int = 0, changed: dict[str, str] | None = None) -> Ran:
        boat = loads(text, registry)
        for path, value in (changed or {}).items():
            boat = boat.with_edit(path, value)
        ran = run_day(boat, draws)
        assert not ran.unwell
        assert not ran.warnings
        return ran

    return runner
