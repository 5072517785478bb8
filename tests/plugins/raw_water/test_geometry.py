"""How the line lies: where air stays, what the pump must lift to start, and when a leg runs full."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from console.boatfile import Boat
from console.engine.run import Ran
from plugins.raw_water import tables
from plugins.raw_water.said import part_at
from tests.plugins.raw_water.conftest import Runner

LINE = "raw_water.line"
LEVEL = {
    f"{LINE}.intake.depth": "0.8 m ± 0 m", f"{LINE}.strainer.depth": "0.5 m ± 0 m", f"{LINE}.pump.depth": "0.4 m ± 0 m",
    f"{LINE}.condenser.height": "0.5 m ± 0 m", f"{LINE}.overboard.height": "0.2 m ± 0 m",
    f"{LINE}.intake.blocked": "0 %", f"{LINE}.strainer.blocked": "0 %", f"{LINE}.pump.wear": "0 %",
}  # fmt: skip
"""A line that rises all the way to the unit and falls from there to the overboard."""


def nominal(ran: Ran, name: str) -> float:
    return float(ran.daily(f"raw_water.{name}")[0])


def locks(ran: Ran) -> dict[str, float]:
    mark = "raw_water.lock."
    return {
        name.removeprefix(mark): float(ran.daily(name)[0]) for name in ran.figures if name.startswith(mark)
    }


def test_a_line_that_rises_all_the_way_has_no_lock(run: Runner) -> None:
    ran = run("", 0, LEVEL)
    assert nominal(ran, "lock_fall") == 0
    assert locks(ran) == {}


def test_a_dip_locks_air_where_it_lies_and_costs_suction(run: Runner) -> None:
    plain = run("", 0, LEVEL)
    dipped = run("", 0, LEVEL | {f"{LINE}.strainer_to_pump.dip": "0.3 m"})
    bore = float(plain.draws.number(f"{LINE}.strainer_to_pump.bore")[0, 0])
    # It goes down from the strainer by its dip; what is less than the bore lets air slip back.
    assert locks(dipped) == {"strainer_to_pump": pytest.approx(0.3 - bore)}
    for name in ("suction_margin", "inlet_head", "start_margin"):
        assert nominal(plain, name) - nominal(dipped, name) == pytest.approx(0.3 - bore)


def test_a_dip_behind_the_pump_locks_air_and_spares_the_suction(run: Runner) -> None:
    plain = run("", 0, LEVEL)
    dipped = run("", 0, LEVEL | {f"{LINE}.pump_to_unit.dip": "0.3 m"})
    assert set(locks(dipped)) == {"pump_to_unit"}
    assert nominal(dipped, "suction_margin") == pytest.approx(nominal(plain, "suction_margin"))
    assert nominal(dipped, "start_margin") < nominal(plain, "start_margin") - 0.25


def test_a_hump_over_the_water_lowers_the_head_over_the_airs(run: Runner) -> None:
    plain = run("", 0, LEVEL)
    humped = run("", 0, LEVEL | {f"{LINE}.strainer_to_pump.hump": "1.5 m"})
    assert nominal(humped, "inlet_head") < nominal(plain, "inlet_head") - 1.0
    assert nominal(humped, "suction_margin") < nominal(plain, "suction_margin") - 1.0
    assert locks(humped)["strainer_to_pump"] > 1.4


def test_a_dip_locks_and_the_highest_hump_does_not(run: Runner) -> None:
    shape = {f"{LINE}.pump_to_unit.dip": "0.3 m", f"{LINE}.pump_to_unit.hump": "0.4 m"}
    both = run("", 0, LEVEL | shape)
    bore = float(both.draws.number(f"{LINE}.pump_to_unit.bore")[0, 0])
    # From the hump on it falls all the way: it is the one high spot a line should have.
    assert locks(both) == {"pump_to_unit": pytest.approx(0.3 - bore)}
    laid = run("", 0, LEVEL | shape | {"raw_water.trial.dips_left": "0 %"})
    assert nominal(laid, "lock_fall") == 0
    assert nominal(laid, "start_margin") > nominal(both, "start_margin") + 0.6


def test_a_pump_below_the_strainer_makes_the_strainer_a_high_spot(run: Runner) -> None:
    low = run("", 0, LEVEL | {f"{LINE}.pump.depth": "0.7 m"})
    high = run("", 0, LEVEL | {f"{LINE}.pump.depth": "0.3 m"})
    assert set(locks(low)) == {"strainer_to_pump"}
    assert locks(high) == {}
    # Raised above the strainer it has that much less water over it, but no air to draw through.
    bore = float(low.draws.number("raw_water.bore")[0, 0])
    assert nominal(low, "suction_margin") - nominal(high, "suction_margin") == pytest.approx(
        0.4 - (0.2 - bore)
    )


def test_moving_the_pump_before_the_strainer_spares_its_suction(
    read: Callable[[str], Boat], run: Runner
) -> None:
    def line(*parts: str) -> str:
        return "".join(f'[[raw_water.line]]\npart = "{part}"\n' for part in parts)

    before = run(
        line(
            "intake",
            "seacock",
            "hose",
            "pump",
            "hose",
            "strainer",
            "hose",
            "condenser",
            "hose",
            "overboard",
        )
    )
    after = run(
        line(
            "intake",
            "seacock",
            "hose",
            "strainer",
            "hose",
            "pump",
            "hose",
            "condenser",
            "hose",
            "overboard",
        )
    )
    clogged = {f"{LINE}.strainer.blocked": "95 %"}
    text = line(
        "intake", "seacock", "hose", "pump", "hose", "strainer", "hose", "condenser", "hose", "overboard"
    )
    assert nominal(before, "suction_margin") > nominal(after, "suction_margin")
    # Nor does a clogged strainer starve a pump that pushes through it.
    assert nominal(run(text, 0, clogged), "suction_margin") >= nominal(before, "suction_margin")


def test_hoses_in_a_row_share_the_rise_between_what_they_join(run: Runner) -> None:
    text = "".join(
        f'[[raw_water.line]]\npart = "{part}"\n'
        for part in ("intake", "seacock", "strainer", "pump", "hose", "hose", "condenser", "overboard")
    )
    level = {path: value for path, value in LEVEL.items() if "hose" not in path}
    dipped = run(text, 0, level | {f"{LINE}.hose_2.dip": "0.2 m"})
    bore = float(dipped.draws.number("raw_water.bore")[0, 0])
    # From -0.4 m to 0.5 m the joint lies at 0.05 m; the second run goes down from there by its dip.
    assert locks(dipped) == {"hose_2": pytest.approx(0.2 - bore)}


# --- the siphon -----------------------------------------------------------------------------


def full_flow(bore: float) -> float:
    return tables.FULL_LEG_FROUDE * math.sqrt(9.80665 * bore) * math.pi / 4 * bore**2


HIGH_UNIT = LEVEL | {f"{LINE}.condenser.height": "1.6 m ± 0 m"}


def test_the_fall_to_the_overboard_is_had_back_in_a_hose_the_water_fills(run: Runner) -> None:
    narrow = run('[raw_water]\nbore = "5/8 in ± 0 in"\n', 0, HIGH_UNIT)
    assert nominal(narrow, "flow") > full_flow(0.015875)
    assert nominal(narrow, "loss.high_spots") == 0


def test_a_wide_hose_down_to_the_overboard_does_not_siphon(run: Runner) -> None:
    wide = {f"{LINE}.unit_to_overboard.bore": "1 1/2 in"}
    ran = run('[raw_water]\nbore = "5/8 in ± 0 in"\n', 0, HIGH_UNIT | wide)
    assert nominal(ran, "flow") < full_flow(0.0381)
    assert nominal(ran, "loss.high_spots") == pytest.approx(1.6 - 0.2 - 0.0381)


def test_an_outlet_under_water_holds_its_leg_full(run: Runner) -> None:
    wide = {f"{LINE}.unit_to_overboard.bore": "1 1/2 in", f"{LINE}.overboard.height": "-6 in"}
    ran = run('[raw_water]\nbore = "5/8 in ± 0 in"\n', 0, HIGH_UNIT | wide)
    assert nominal(ran, "loss.high_spots") == 0
    assert nominal(ran, "loss.lift") == 0


def test_the_strainer_is_due_when_the_siphon_breaks_under_the_owners_limit(run: Runner) -> None:
    text = '[raw_water]\nbore = "5/8 in ± 0 in"\nflow_limit = "60 %"\n'
    wide = HIGH_UNIT | {f"{LINE}.unit_to_overboard.bore": "0.8 in"}
    clean = nominal(run(text, 0, wide), "clean_flow")
    assert 0.5 * clean < full_flow(0.8 * 0.0254) < 0.6 * clean
    due = 100 * nominal(run(text, 0, wide), "blocked_at_limit")
    just, past = (
        run(text, 0, wide | {f"{LINE}.strainer.blocked": f"{due + more:.5f} %"}) for more in (-0.005, 0.005)
    )
    assert nominal(just, "flow_share") > 0.6
    assert nominal(past, "flow_share") < 0.6
    assert nominal(just, "loss.high_spots") == 0
    # It does not sink to the limit, it falls through it.
    assert nominal(past, "loss.high_spots") > 1
    assert nominal(just, "flow_share") - nominal(past, "flow_share") > 0.02


# --- the kink that may be anywhere ----------------------------------------------------------


def test_the_kink_may_be_tried_in_any_hose(run: Runner) -> None:
    kinked = {f"{LINE}.seacock_to_strainer.open_width": "10 %"}
    listed = run("", 0, LEVEL | kinked)
    first = run("", 0, LEVEL | kinked | {"raw_water.trial.kink_place": "3 %"})
    last = run("", 0, LEVEL | kinked | {"raw_water.trial.kink_place": "95 %"})
    assert nominal(first, "flow") == pytest.approx(nominal(listed, "flow"))
    # Behind the pump it costs as much flow, but the gush at the strainer stays strong.
    assert nominal(last, "flow_share") < 0.75
    assert nominal(listed, "gush_share") < 0.4 < 0.9 < nominal(last, "gush_share")


def test_every_silent_part_goes_with_the_lines_bore(run: Runner) -> None:
    ran = run("", 300)
    bores = [ran.draws.number(f"{item}.bore")[1:, 0] for item in ran.boat.item_paths[LINE]
             if f"{item}.bore" in ran.boat.inputs and "condenser" not in item]  # fmt: skip
    together = np.corrcoef(np.log(np.array(bores)))
    assert together.min() > 0.8


def test_part_at_finds_the_part(run: Runner) -> None:
    from console.engine.estimate import Found

    assert part_at(Found(run(""), "us"), "pump") == f"{LINE}.pump"
