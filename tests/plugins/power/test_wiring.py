"""The plugin as the console finds it: records, inputs that matter, imports, speed."""

import subprocess
import sys
import time

import numpy as np
import pytest

from console.contract import Caution
from console.engine.run import run_day
from console.guard import load
from console.quantities import style_of
from plugins.power import (
    boat_cautions,
    boat_changes,
    boat_estimates,
    boat_questions,
    boat_readings,
    boat_sections,
)

from .conftest import air_conditioner, boat_of, ice_box

ESTIMATES = tuple(boat_estimates())

FULL = """
[climate]
[power]
bus_bar_rating = "60 A ± 5 %"
[power.shore]
adapter_current = "30 A ± 5 %"
tariff = "0.30 per kWh"
[power.ask]
start = "400 W"
[power.leakage]
neutral_joined = "10 %"
[power.bank]
recharge = "20 % ± 5 %"
current_limit = "150 A ± 5 %"
[power.solar]
peak_power = "60 W ± 40 %"
tilt = "10 deg ± 5 deg"
[power.inverter]
air_conditioner = true
[[power.load]]
name = "water heater"
hours = ["06:00-07:00", "18:30-19:30"]
kind = "heater"
[[power.load]]
name = "laptop"
current = "3 A"
energy = "60 Wh"
where = "bank"
path = "regulated_24"
hours = ["20:00-23:00"]
[[power.load]]
name = "toaster"
current = "7 A"
hours = ["07:00-07:10"]
[[power.circuit]]
current_limit = "25 A ± 5 %"
insulation = "75C"
bundled = "3"
least_voltage = "10.5 V ± 2 %"
"""

TAKEN = {"power.load.laptop.power"}
"""Its stated amps take its place."""


def test_every_record_names_something_that_is_there():
    for reference in [
        *(section.model for section in boat_sections()),
        *(estimate.function for estimate in boat_estimates()),
        *(question.function for question in boat_questions()),
        *(reading.chances for reading in boat_readings() if reading.chances),
    ]:
        assert load(reference) is not None


def test_every_figure_has_a_unit_and_a_meaning():
    for estimate in ESTIMATES:
        for given in estimate.gives:
            assert given.meaning
            assert style_of(given.unit, given.style)


def test_the_hazards_the_answers_name_are_declared():
    declared = {caution.key for caution in boat_cautions()}
    assert declared >= {
        "inlet_overheating", "mains_work", "shock_in_the_water", "carbon_monoxide", "batteries", "wire_heat",
    }  # fmt: skip
    assert all(isinstance(caution, Caution) and caution.defer_to for caution in boat_cautions())
    named = {
        *(key for change in boat_changes() for key in change.hazards),
        *(key for reading in boat_readings() for key in reading.hazards),
    }
    assert named <= declared


def test_every_figure_a_change_or_a_reading_names_is_given():
    given = {each.name for estimate in ESTIMATES for each in estimate.gives}
    named = {effect.figure for change in boat_changes() for effect in change.effects}
    named |= {name for r in boat_readings() for name in (r.predicts, r.expects) if name}
    assert named <= given
    assert {key for change in boat_changes() for key in change.questions} <= {
        q.key for q in boat_questions()
    }


def test_every_number_of_the_table_moves_a_figure():
    """Each input's column is replaced by one half as large; some power figure must differ."""
    boat = boat_of(FULL, air_conditioner(), ice_box())
    usual = run_day(boat, 16)
    assert usual.unwell == []
    moved = {
        path for path in boat.inputs if path.startswith("power.") and boat.inputs[path].kind == "quantity"
    }
    still = []
    for path in sorted(moved - TAKEN):
        value = float(usual.draws.number(path)[0, 0])
        changed = boat.with_edit(path, _written(boat, path, value))
        ran = run_day(changed, 16)
        same = all(
            name in ran.figures and np.array_equal(ran.figures[name], usual.figures[name])
            for name in usual.figures
            if name.startswith("power.")
        )
        if same:
            still.append(path)
    assert still == []


def _written(boat, path, value):
    from console.quantities import STYLES, parse_measure

    entry = boat.inputs[path]
    low, high = entry.hard
    new = value * 0.6 if value * 0.6 >= low and value > 0 else min(value + 0.1, high)
    if entry.style == "temperature":
        new = value + 20.0
        return f"{new:.6g} kelvin"
    if entry.style in ("ratio", "number"):
        return f"{max(new, low + 0.05):.6g}"
    style = STYLES[entry.style]
    one = parse_measure("1 " + ("mm2" if entry.style == "wire" else style.si), entry.style).value
    return f"{new / one:.6g} {'mm2' if entry.style == 'wire' else style.si}"


def test_the_wiring_imports_nothing_heavy():
    """A fresh interpreter imports the wiring and takes its records."""
    code = (
        "import sys, plugins.power as p\n"
        "[list(h()) for h in (p.boat_sections, p.boat_estimates, p.boat_questions, p.boat_cautions, p.boat_changes, p.boat_readings)]\n"
        "bad = {'numpy', 'pydantic', 'pint', 'textual', 'scipy'} & set(sys.modules)\n"
        "print(sorted(bad))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_physics_imports_no_console_but_the_sun():
    code = (
        "import sys, plugins.power.bank, plugins.power.shore, plugins.power.wire, plugins.power.loads, "
        "plugins.power.solar\n"
        "print(sorted(m for m in sys.modules if m.split('.')[0] in ('console', 'pint', 'pydantic', 'scipy', 'textual')))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "pint" not in done.stdout
    assert "pydantic" not in done.stdout
    assert "scipy" not in done.stdout
    assert "console.engine" not in done.stdout


@pytest.mark.parametrize(("draws", "limit"), [(0, 0.02), (1024, 0.2)])
def test_a_day_of_power_is_quick(draws, limit):
    """Twice and more the 3 ms and 0.1 s it takes on an idle machine, for a busy one."""
    boat = boat_of(FULL, air_conditioner(), ice_box())
    best = 1e9
    for _ in range(5):
        began = time.perf_counter()
        ran = run_day(boat, draws)
        best = min(
            best,
            sum(s for key, s in ran.timings.items() if key.startswith("power.")),
            time.perf_counter() - began,
        )
    assert best < limit


def test_no_estimate_gives_anything_but_finite_numbers():
    ran = run_day(boat_of(FULL, air_conditioner(), ice_box()), 256)
    assert ran.unwell == []
    assert ran.warnings == []


def test_a_silent_file_has_a_small_always_on_draw_and_a_galley_that_can_be_set_to_nothing():
    usual = run_day(boat_of("[power.shore]\n"), 0)
    assert usual.daily("power.dc_load.always_on")[0] > 0
    assert usual.daily("power.load_current.galley")[0] > 0
    text = '[power]\nalways_on = "0 A*h/day"\ngalley = "0 kWh/day"\n[power.shore]\n'
    none = run_day(boat_of(text), 8)
    assert none.daily("power.shore_continuous")[0] == 0.0
    assert none.unwell == []
