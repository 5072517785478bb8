"""Refrigerants against direct CoolProp, and what holds for any cycle."""

import CoolProp
import numpy as np
import pytest
from CoolProp.CoolProp import AbstractState, PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from console.properties import refrigerants
from console.properties.refrigerants import UnknownRefrigerant, refrigerant

FLUIDS = {
    "R134a": "R134a",
    "R1234yf": "R1234yf",
    "R600a": "R600a",
    "R290": "R290",
    "R410A": "R410A",
    "R32": "R32",
    "R407C": "R407C",
    "R22": "R22",
    "R454B": "R454B.mix",
}
every = pytest.mark.parametrize("name", FLUIDS)


def direct_cycle(fluid, t_evap, t_cond, superheat, subcooling, efficiency):
    """(suction density, cooling J/kg, isentropic rise J/kg, discharge K) straight from CoolProp.

    Both temperatures are dew temperatures; the liquid is below the bubble point.
    """
    state = AbstractState("HEOS", fluid)
    state.update(CoolProp.QT_INPUTS, 1.0, t_evap)
    p1 = state.p()
    state.update(CoolProp.QT_INPUTS, 1.0, t_cond)
    p2, h_dew = state.p(), state.hmass()
    state.update(CoolProp.PQ_INPUTS, p2, 0.0)
    bubble = state.T()
    state.update(CoolProp.PT_INPUTS, p1, t_evap + superheat)
    d1, h1, s1 = state.rhomass(), state.hmass(), state.smass()
    mixed = fluid.endswith(".mix")
    if mixed:  # its entropy flash fails here and there, and without a phase takes 10 ms a state
        state.specify_phase(CoolProp.iphase_gas)
        gas_at(state, p2, t_cond, lambda: state.smass() < s1)
    else:
        state.update(CoolProp.PSmass_INPUTS, p2, s1)
    rise = state.hmass() - h1
    h2 = h1 + rise / efficiency
    assert h2 > h_dew
    discharge = gas_at(state, p2, t_cond, lambda: state.hmass() < h2)
    state.unspecify_phase()
    state.update(CoolProp.PT_INPUTS, p2, bubble - subcooling)
    return d1, h1 - state.hmass(), rise, discharge


def gas_at(state, p, t_dew, too_cold):
    """The temperature at which ``too_cold()`` ceases, by halving."""
    low, high = t_dew + 0.001, t_dew + 300.0
    for _ in range(38):  # to a billionth of a kelvin
        middle = (low + high) / 2
        state.update(CoolProp.PT_INPUTS, p, middle)
        low, high = (middle, high) if too_cold() else (low, middle)
    return low


@every
@pytest.mark.parametrize(
    ("t_evap", "t_cond", "subcooling"),
    [
        (-30, 35, 3),
        (-25, 55, 1),
        (-10, 45, 5),
        (2, 30, 8),
        (7, 41, 5),
        (7, 54, 8),
        (15, 20, 2),
        (12, 60, 4),
        (-40, 50, 20),
    ],
)
def test_a_full_cycle_is_coolprops_within_a_thousandth(name, t_evap, t_cond, subcooling):
    r = refrigerant(name)
    te, tc = t_evap + 273.15, t_cond + 273.15
    d1, cooling, rise, discharge = direct_cycle(FLUIDS[name], te, tc, 5.0, subcooling, 0.7)
    ours = r.vapour_enthalpy(te) - r.liquid_enthalpy(tc, subcooling)
    assert r.suction_density(te) == pytest.approx(d1, rel=1e-4)
    assert ours == pytest.approx(cooling, rel=5e-4)
    assert r.isentropic_rise(te, tc) == pytest.approx(rise, rel=2e-4)
    assert ours / r.isentropic_rise(te, tc) == pytest.approx(cooling / rise, rel=1e-3)
    assert r.suction_density(te) * ours == pytest.approx(d1 * cooling, rel=1e-3)
    assert r.discharge_temperature(te, tc, 0.7) == pytest.approx(discharge, abs=0.05)


@every
def test_the_whole_range_of_cycles_is_coolprops(name):
    """Random cycles, to the very ends of the range: the worst is near the critical point."""
    r = refrigerant(name)
    rng = np.random.default_rng(11)
    done = 0
    for _ in range(40):
        te = rng.uniform(r.t_min, refrigerants.EVAP_MAX)
        tc = min(rng.uniform(max(te + 2, r.cond_min), r.t_max + 1), r.t_max)
        sub, efficiency = rng.uniform(0.1, 25.0), rng.uniform(0.5, 0.8)
        try:
            d1, cooling, rise, discharge = direct_cycle(FLUIDS[name], te, tc, 5.0, sub, efficiency)
        except ValueError:  # CoolProp cannot flash some points of a mixture
            continue
        done += 1
        assert r.suction_density(te) == pytest.approx(d1, rel=1e-4)
        assert r.vapour_enthalpy(te) - r.liquid_enthalpy(tc, sub) == pytest.approx(cooling, rel=1e-3)
        assert r.isentropic_rise(te, tc) == pytest.approx(rise, rel=1e-3)
        if discharge < tc + 159:
            assert r.discharge_temperature(te, tc, efficiency) == pytest.approx(discharge, abs=0.1)
    assert done >= 30


@every
def test_dew_pressure_and_its_inverse_are_coolprops(name):
    r = refrigerant(name)
    T = np.linspace(r.t_min, r.t_max, 150)
    state = AbstractState("HEOS", FLUIDS[name])
    checked = 0
    for t, p in zip(T.tolist(), r.pressure(T).tolist(), strict=True):
        try:
            state.update(CoolProp.QT_INPUTS, 1.0, t)
        except ValueError:
            continue
        checked += 1
        assert p == pytest.approx(state.p(), rel=1e-4)
    assert checked > 135
    assert r.saturation_temperature(r.pressure(T)) == pytest.approx(T, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("R407C", 5.0, 6.5), ("R454B", 1.3, 1.8), ("R410A", 0.05, 0.15), ("R22", -1e-6, 1e-6)],
)
def test_glide_is_that_of_the_mixture(name, low, high):
    assert low < refrigerant(name).glide(280.0) < high


@pytest.mark.parametrize("superheat", [0.0, 12.0, 20.0])
def test_the_superheat_is_the_one_asked_for(superheat):
    r = refrigerant("R134a", superheat)
    p = PropsSI("P", "T", 263.15, "Q", 1, "R134a")
    at = ("Q", 1) if superheat == 0 else ("T", 263.15 + superheat)
    assert r.suction_density(263.15) == pytest.approx(PropsSI("D", *at, "P", p, "R134a"), rel=1e-4)
    assert r.vapour_enthalpy(263.15) == pytest.approx(PropsSI("H", *at, "P", p, "R134a"), abs=20)
    s = PropsSI("S", *at, "P", p, "R134a")
    rise = PropsSI("H", "P", 1e6, "S", s, "R134a") - PropsSI("H", *at, "P", p, "R134a")
    assert r.isentropic_rise(263.15, r.saturation_temperature(1e6)) == pytest.approx(rise, rel=2e-4)


def test_a_compression_that_ends_wet_leaves_at_the_dew_temperature():
    """Isobutane's dew line leans over: compressed without loss from 5 K superheat it condenses."""
    r = refrigerant("R600a")
    p1, p2 = (PropsSI("P", "T", t, "Q", 1, "R600a") for t in (273.15, 333.15))
    s = PropsSI("S", "T", 278.15, "P", p1, "R600a")
    assert 0 < PropsSI("Q", "P", p2, "S", s, "R600a") < 1
    assert r.discharge_temperature(273.15, 333.15, 1.0) == pytest.approx(333.15, abs=1e-6)


def test_building_leaves_coolprops_reference_states_alone():
    before = PropsSI("H", "T", 300, "Q", 1, "R290")
    refrigerant("R290", 7.5)
    assert PropsSI("H", "T", 300, "Q", 1, "R290") == before


# --- names and classes ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "name"),
    [("R-410A", "R410A"), ("r410a", "R410A"), ("410a", "R410A"), ("R 1234 YF", "R1234yf"), ("HFC-134a", "R134a"),
     ("r_600A", "R600a"), ("hfo1234yf", "R1234yf"), ("R-454b", "R454B"), (" R22 ", "R22")],
)  # fmt: skip
def test_names_are_read_as_people_write_them(written, name):
    assert refrigerants.official_name(written) == name


@pytest.mark.parametrize(
    "written", ["R12", "", "R", "water", "R410", "R410AA", "410A'; --", "\x1b[31mR1", None]
)
def test_an_unknown_name_says_what_there_is(written):
    with pytest.raises(UnknownRefrigerant) as error:
        refrigerant(written)
    assert "R134a" in str(error.value)
    assert "R454B" in str(error.value)
    assert str(error.value).isprintable()


def test_safety_classes_are_those_of_ashrae_34():
    classes = {name: refrigerants.safety_class(name) for name in refrigerants.SUPPORTED}
    assert classes == {
        "R134a": "A1", "R1234yf": "A2L", "R600a": "A3", "R290": "A3", "R410A": "A1", "R32": "A2L",
        "R407C": "A1", "R22": "A1", "R454B": "A2L",
    }  # fmt: skip


def test_a_superheat_out_of_range_is_refused():
    with pytest.raises(ValueError, match="superheat"):
        refrigerant("R134a", 45.0)
    with pytest.raises(ValueError, match="superheat"):
        refrigerant("R134a", float("nan"))


# --- what holds for any cycle ----------------------------------------------------------------------

names = st.sampled_from(sorted(FLUIDS))
evaporating = st.floats(228.15, 303.0)
lifts = st.floats(1.0, 100.0)


@given(names, evaporating, lifts)
@settings(max_examples=200)
def test_more_lift_takes_more_work_and_gives_less_cooling(name, te, lift):
    r = refrigerant(name)
    tc = np.linspace(max(te, r.cond_min), min(te + lift, r.t_max), 30)
    if tc[-1] <= tc[0]:
        return
    assert (np.diff(r.isentropic_rise(te, tc)) > 0).all()
    assert (np.diff(r.liquid_enthalpy(tc)) > 0).all()


@given(names, st.floats(265.0, 338.0))
@settings(max_examples=100)
def test_colder_suction_is_thinner(name, tc):
    r = refrigerant(name)
    te = np.linspace(r.t_min, min(tc, refrigerants.EVAP_MAX), 60)
    assert (np.diff(r.suction_density(te)) > 0).all()
    assert (np.diff(r.pressure(te)) > 0).all()
    assert (np.diff(r.isentropic_rise(te, tc)) < 0).all()


@given(names, evaporating, st.floats(5.0, 60.0))
@settings(max_examples=100)
def test_no_cycle_beats_carnot(name, te, lift):
    r = refrigerant(name)
    tc = te + lift
    if not r.cond_min <= tc <= r.t_max:
        return
    cop = (r.vapour_enthalpy(te) - r.liquid_enthalpy(tc)) / r.isentropic_rise(te, tc)
    # The suction gas is superheated by 5 K, at which the cooling would in part be done.
    assert 0 < cop < (te + 5.0) / (lift - 5.0 + 1e-9) or lift <= 5.0


@given(names, st.floats(240.0, 295.0), st.floats(300.0, 335.0))
@settings(max_examples=100)
def test_a_worse_compressor_discharges_hotter(name, te, tc):
    T = refrigerant(name).discharge_temperature(te, tc, np.array([0.9, 0.75, 0.6]))
    T = T[~np.isnan(T)]
    assert (np.diff(T) >= 0).all()
    assert (tc - 1e-9 <= T).all()


@every
def test_no_lift_is_no_work(name):
    assert refrigerant(name).isentropic_rise(290.0, 290.0) == 0.0


# --- ranges and shapes --------------------------------------------------------------------------------

R = "R134a"
METHODS = {
    "pressure": lambda r, te, tc: r.pressure(te),
    "glide": lambda r, te, tc: r.glide(te),
    "vapour_enthalpy": lambda r, te, tc: r.vapour_enthalpy(te),
    "suction_density": lambda r, te, tc: r.suction_density(te),
    "liquid_enthalpy": lambda r, te, tc: r.liquid_enthalpy(tc),
    "subcooled liquid_enthalpy": lambda r, te, tc: r.liquid_enthalpy(tc, 4.0),
    "isentropic_rise": lambda r, te, tc: r.isentropic_rise(te, tc),
    "discharge_temperature": lambda r, te, tc: r.discharge_temperature(te, tc, 0.7),
}


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("wrong", [(200.0, 250.0), (360.0, 370.0), (np.nan, np.nan)])
def test_out_of_range_is_nan_and_its_neighbours_stay(method, wrong):
    te, tc = np.array([260.0, wrong[0], 280.0]), np.array([310.0, wrong[1], 330.0])
    assert np.isnan(METHODS[method](refrigerant(R), te, tc)).tolist() == [False, True, False]


@pytest.mark.filterwarnings("error")
def test_pressures_subcoolings_and_efficiencies_out_of_range_are_nan():
    r = refrigerant(R)
    assert np.isnan(r.saturation_temperature([0.0, -1.0, np.nan, 1e3, 1e8, 5e5])).tolist() == [True] * 5 + [
        False
    ]
    assert np.isnan(r.liquid_enthalpy(320.0, np.array([-1.0, 0.0, 25.0, 26.0]))).tolist() == [
        True,
        False,
        False,
        True,
    ]
    T = r.discharge_temperature(270.0, 320.0, np.array([-1.0, 0.0, 1.01, np.nan, 1.0]))
    assert np.isnan(T).tolist() == [True] * 4 + [False]
    assert np.isnan(r.isentropic_rise(300.0, 299.0))


@every
def test_the_ends_of_the_range_belong_to_it(name):
    r = refrigerant(name)
    for te in (r.t_min, r.evap_max):
        assert np.isfinite([r.pressure(te), r.vapour_enthalpy(te), r.suction_density(te)]).all()
        assert np.isfinite([r.isentropic_rise(te, r.t_max), r.liquid_enthalpy(r.t_max, 25.0)]).all()
    assert np.isfinite([r.isentropic_rise(r.t_min, r.cond_min), r.liquid_enthalpy(r.cond_min, 25.0)]).all()
    assert np.isfinite(r.discharge_temperature(r.evap_max, r.t_max, 0.7))


@pytest.mark.parametrize("method", METHODS)
def test_draws_and_hours_broadcast(method):
    r = refrigerant(R)
    te, tc = np.linspace(255, 280, 24)[None, :], np.linspace(305, 330, 5)[:, None]
    values = np.broadcast_to(METHODS[method](r, te, tc), (5, 24))
    assert values[3, 7] == pytest.approx(METHODS[method](r, te[0, 7], tc[3, 0]), rel=1e-9)
    assert isinstance(METHODS[method](r, 265.0, 315.0), float)
