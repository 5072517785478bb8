"""A load is energy at its terminals: what it costs the bank is the path's doing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.engine.changes import altered
from console.engine.run import run_day
from console.engine.views import Draws
from plugins.power.changes import ACTIONS
from plugins.power.paths import Converter, input_power
from plugins.power.tables import EFFICACY

from .conftest import QUIET, boat_of

LAMP = """
[[power.load]]
name = "lamp"
power = "20 W ± 0 W"
where = "bank"
hours = ["19:00-23:00"]
share = "100 % ± 0 %"
path = "{}"
"""
INVERTER = '[power.inverter]\nefficiency = "90 %"\nidle = "12 W"\nleft_on = false\n'


def amp_hours(ran):
    return float(ran.figures["power.dc_amp_hours_per_day"][0].sum())


def test_the_same_lamp_by_three_paths_costs_three_amp_hours(day):
    """By hand: 80 Wh; a stage of 90 % and 0.4 W; an inverter of 90 % and 12 W; at 12.5 V."""
    costs = [
        amp_hours(day(QUIET + "[power.bank]\n" + INVERTER + LAMP.format(way)))
        for way in ("direct", "regulated_12", "inverter")
    ]
    by_hand = [20 * 4 / 12.5, (20 / 0.9 + 0.4) * 4 / 12.5, (20 / 0.9 + 12) * 4 / 12.5]
    assert costs == pytest.approx(by_hand, rel=1e-6)
    assert len({round(cost, 2) for cost in costs}) == 3


stages = st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(0, 50)), max_size=4)


@given(st.floats(0, 5000), stages)
def test_a_path_never_gives_more_than_it_takes(watts, parts):
    path = [Converter("stage", efficiency, idle) for efficiency, idle in parts]
    assert input_power(watts, path) >= watts - 1e-9


@given(st.floats(1, 5000), stages, stages)
def test_a_path_is_walked_from_its_far_end(watts, near, far):
    one, other = ([Converter("stage", e, i) for e, i in parts] for parts in (near, far))
    assert float(input_power(watts, [*one, *other])) == pytest.approx(
        float(input_power(input_power(watts, other), one))
    )


@pytest.mark.parametrize("efficiency", [1.2, 0.0, -0.5])
def test_a_converter_that_gives_more_than_it_takes_is_refused(efficiency):
    with pytest.raises(ValueError, match="cannot give more than it takes"):
        input_power(10.0, [Converter("stage", efficiency)])


def test_at_24_volts_a_constant_current_fills_in_half_the_time_for_the_same_charge(day):
    """3 A into 72 Wh: 2 h at 12 V and 1 h at 24 V; each through a stage of 90 % and 0.4 W."""
    text = QUIET + (
        '[power.bank]\n[power.shore]\n[power.charger]\nefficiency = "80 % ± 0 %"\n[[power.load]]\nname = "tool"\n'
        'current = "3 A ± 0 A"\nenergy = "72 Wh ± 0 Wh"\nwhere = "bank"\npath = "regulated_24"\n'
    )
    ran = day(text)
    hours = [ran.daily(f"power.charge_time.tool_{volts}")[0] / 3600 for volts in (12, 24)]
    assert hours == pytest.approx([2.0, 1.0])
    taken = [ran.daily(f"power.charge_amp_hours.tool_{volts}")[0] / 3600 for volts in (12, 24)]
    assert taken == pytest.approx([(36 / 0.9 + 0.4) * 2 / 12.5, (72 / 0.9 + 0.4) / 12.5])
    post = ran.daily("power.charge_from_shore.tool_24")[0] / 3600
    assert post == pytest.approx((72 / 0.9 + 0.4) / 0.8)


def changed(text, key, draws=8):
    boat = boat_of(text)
    action = next(a for a in ACTIONS if a.key == key)
    base = Draws(boat, draws)
    made = altered(base, [("power", action)])
    return run_day(boat, draws), None if made is None else run_day(boat, draws, columns=made)


def test_a_charger_on_the_bank_s_own_volts_takes_less_than_one_behind_the_inverter():
    text = QUIET + "[power.bank]\n" + INVERTER + LAMP.format("inverter_charger")
    before, after = changed(text, "charge_from_the_bank")
    assert np.all(
        after.daily("power.dc_amp_hours_per_day") < 0.75 * before.daily("power.dc_amp_hours_per_day")
    )


def test_led_of_the_same_light_take_the_watts_in_the_inverse_ratio():
    text = QUIET + "[power.bank]\n" + LAMP.format("direct") + 'lamp = "filament"\n'
    before, after = changed(text, "led_lamps")
    ratio = after.daily("power.dc_amp_hours_per_day") / before.daily("power.dc_amp_hours_per_day")
    assert ratio == pytest.approx(EFFICACY["filament"] / EFFICACY["led"])


def test_lamps_that_are_none_are_not_changed():
    before, after = changed(QUIET + "[power.bank]\n" + LAMP.format("direct"), "led_lamps")
    assert np.array_equal(
        after.daily("power.dc_amp_hours_per_day"), before.daily("power.dc_amp_hours_per_day")
    )


def test_over_the_bank_s_swing_an_element_goes_with_the_volts_and_a_stage_against_them(day):
    """100 W of an element at 12.5 V: 8 A · 11.8/12.5 and 8 A · 14.4/12.5; of what holds its watts the inverse."""
    load = '[[power.load]]\nname = "it"\npower = "100 W ± 0 W"\nwhere = "bank"\nkind = "{}"\n'
    for kind, low, high in (
        ("heater", 8 * 11.8 / 12.5, 8 * 14.4 / 12.5),
        ("electronics", 100 / 11.8, 100 / 14.4),
    ):
        ran = day(QUIET + "[power.bank]\n" + load.format(kind))
        assert ran.daily("power.bank_current_low")[0] == pytest.approx(low)
        assert ran.daily("power.bank_current_high")[0] == pytest.approx(high)
