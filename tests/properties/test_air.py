"""Moist air against CoolProp (ASHRAE RP-1485) and psychrolib (ASHRAE Fundamentals, ideal gas)."""

import numpy as np
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from console.properties import air

PRESSURES = (101_325.0, 95_461.0, 100_000.0, 85_000.0)

# Every kelvin from -40 to 60 °C, off the tables' nodes, and dry to saturated.
T_SWEEP = np.repeat(np.append(np.arange(233.15, 333.15) + 0.0137, 333.15), 12)
RH_SWEEP = np.tile([0.01, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0], len(T_SWEEP) // 12)


def coolprop(output, *inputs, p):
    """HAPropsSI over arrays: ``coolprop("W", "T", T, "R", rh, p=p)``."""
    names, values = inputs[::2], np.broadcast_arrays(*inputs[1::2])
    return np.array(
        [
            HAPropsSI(output, names[0], a, names[1], b, "P", p)
            for a, b in zip(*(v.ravel().tolist() for v in values), strict=True)
        ]
    )


def furthest(found, expected):
    return float(np.max(np.abs(found - expected)))


def furthest_relative(found, expected):
    return float(np.max(np.abs(found / expected - 1)))


@pytest.fixture(scope="module", params=PRESSURES)
def swept(request):
    """Pressure and CoolProp's humidity ratio over the sweep."""
    p = request.param
    return p, coolprop("W", "T", T_SWEEP, "R", RH_SWEEP, p=p)


# --- against CoolProp over the whole range, at several pressures ------------------------------


def test_humidity_ratio_is_coolprops(swept):
    p, W = swept
    assert furthest_relative(air.humidity_ratio(T_SWEEP, RH_SWEEP, p), W) < 1e-4


def test_relative_humidity_is_coolprops(swept):
    p, W = swept
    assert furthest_relative(air.relative_humidity(T_SWEEP, W, p), RH_SWEEP) < 1e-4


def test_enthalpy_is_coolprops_within_5_joules(swept):
    p, W = swept
    assert furthest(air.enthalpy(T_SWEEP, W, p), coolprop("H", "T", T_SWEEP, "W", W, p=p)) < 5.0


def test_specific_volume_is_coolprops(swept):
    p, W = swept
    assert (
        furthest_relative(air.specific_volume(T_SWEEP, W, p), coolprop("V", "T", T_SWEEP, "W", W, p=p))
        < 1e-4
    )


def test_density_is_that_of_the_mixture(swept):
    p, W = swept
    assert (
        furthest_relative(air.density(T_SWEEP, W, p), 1 / coolprop("Vha", "T", T_SWEEP, "W", W, p=p)) < 1e-4
    )


def test_dew_point_is_coolprops_down_to_the_edge_of_the_range(swept):
    p, W = swept
    expected = coolprop("D", "T", T_SWEEP, "W", W, p=p)
    found = air.dew_point(W, p)
    inside = expected > 228.15 + 1e-3
    assert furthest(found[inside], expected[inside]) < 0.002
    assert np.isnan(found[expected < 228.15 - 1e-3]).all()


def test_saturated_temperature_of_enthalpy_is_coolprops():
    T = np.append(np.arange(233.15, 333.15) + 0.0137, [273.15, 273.16, 273.17])
    h = coolprop("H", "T", T, "R", 1.0, p=101_325.0)
    assert furthest(air.saturation_temperature(h), T) < 0.005


def test_temperature_of_enthalpy_is_coolprops():
    W = coolprop("W", "T", T_SWEEP, "R", RH_SWEEP, p=101_325.0)
    h = coolprop("H", "T", T_SWEEP, "W", W, p=101_325.0)
    assert furthest(air.temperature_from_enthalpy(h, W), T_SWEEP) < 0.006


def wick_balance(T, W, Twb, over_water, p):
    """h + (W_s - W) h_c - h_s, from CoolProp and gsw alone; falls as the wet bulb rises."""
    import gsw
    from CoolProp.CoolProp import PropsSI

    W_s = coolprop("W", "T", Twb, "R", 1.0, p=p)
    liquid = np.array([PropsSI("H", "T", t, "P", p, "Water") for t in np.maximum(Twb, 273.17)])
    h_c = np.where(over_water, liquid, gsw.enthalpy_ice(np.minimum(Twb, 273.16) - 273.15, 0.0))
    dry = coolprop("H", "T", T, "W", W, p=p)
    return dry + (W_s - W) * h_c - coolprop("H", "T", Twb, "W", W_s, p=p)


def test_the_wet_bulb_balances_coolprops_own_enthalpies(swept):
    """Holds over ice, over water and in the band where both have an answer."""
    p, W = swept
    Twb = air.wet_bulb(T_SWEEP, W, p)
    over_water = Twb >= 273.16
    assert (wick_balance(T_SWEEP, W, Twb - 0.003, over_water, p) > 0).all()
    assert (wick_balance(T_SWEEP, W, Twb + 0.003, over_water, p) < 0).all()


def test_the_wet_bulb_is_coolprops_wherever_there_is_but_one(swept):
    p, W = swept
    found = air.wet_bulb(T_SWEEP, W, p)
    expected = coolprop("B", "T", T_SWEEP, "W", W, p=p)
    both = (found >= 273.16) & (found < 273.16 + 0.85)  # ice has an answer here too
    assert furthest(found[~both], expected[~both]) < 0.003
    # In the band CoolProp gives this one or the one over ice, never a third.
    ice = expected[both] < 273.16
    assert (np.abs(found[both] - expected[both])[~ice] < 0.003).all()
    assert (found[both][ice] - expected[both][ice] < 0.85).all()


def test_a_wick_that_can_be_liquid_is_taken_to_be_liquid():
    """The band in which ice has an answer too: the one over water is given."""
    for Twb in np.linspace(273.18, 273.9, 10):
        at = np.array([Twb])
        W = brentq(lambda w: wick_balance(at + 1.2, np.array([w]), at, True, 101_325.0)[0], 0.0, 0.004)  # noqa: B023
        assert air.wet_bulb(Twb + 1.2, W) == pytest.approx(Twb, abs=0.003)


def test_humidity_ratio_from_wet_bulb_is_coolprops(swept):
    p, _ = swept
    T, depression = (
        grid.ravel() for grid in np.meshgrid(np.arange(243.15, 330.0) + 0.0137, [0.2, 1.0, 4.0, 9.0])
    )
    Twb = T - depression
    found = air.humidity_ratio_from_wet_bulb(T, Twb, p)
    real = ~np.isnan(found) & ((Twb < 273.15) | (Twb > 274.05))  # CoolProp refuses some of the band
    assert real.sum() > 200
    expected = coolprop("W", "T", T[real], "B", Twb[real], p=p)
    # A relative error says nothing of nearly dry air: W is a difference there.
    assert (np.abs(found[real] - expected) < 1e-4 * expected + 4e-6).all()


def test_a_wet_bulb_colder_than_dry_air_allows_is_no_air():
    assert np.isnan(air.humidity_ratio_from_wet_bulb(300.0, 270.0))
    with pytest.raises(ValueError, match="range of validity"):
        HAPropsSI("W", "T", 300.0, "B", 270.0, "P", 101_325.0)


def test_a_wet_bulb_above_the_dry_bulb_is_no_air():
    assert np.isnan(air.humidity_ratio_from_wet_bulb(300.0, 300.5))


def test_supersaturated_air_shows_a_relative_humidity_above_one():
    assert 1.9 < air.relative_humidity(290.0, 2 * air.saturation_humidity_ratio(290.0)) < 2.0


# --- against psychrolib ------------------------------------------------------------------------
# psychrolib takes moist air as an ideal gas: up to 0.65 % less water at saturation, 0.12 % more
# volume in the cold, 0.11 K of dew point. The tolerances are that difference, not ours.


@pytest.fixture(autouse=True, scope="module")
def si_units():
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("celsius", [-35.0, -20.0, -5.0, 0.5, 10.0, 25.0, 35.0, 50.0])
@pytest.mark.parametrize("rh", [0.2, 0.6, 1.0])
def test_air_agrees_with_psychrolib(celsius, rh):
    W, Twb, Tdp, _, h, v, _ = psychrolib.CalcPsychrometricsFromRelHum(celsius, rh, 101_325.0)
    T = celsius + 273.15
    ours = air.humidity_ratio(T, rh)
    assert ours == pytest.approx(W, rel=0.0065)
    assert air.enthalpy(T, W) == pytest.approx(h, rel=0.003, abs=60)
    assert air.specific_volume(T, W) == pytest.approx(v, rel=0.0013)
    if Tdp > -44:
        assert air.dew_point(W) == pytest.approx(Tdp + 273.15, abs=0.12)
    assert air.wet_bulb(T, W) == pytest.approx(Twb + 273.15, abs=0.1)


@pytest.mark.parametrize("celsius", [-40.0, -20.0, -1.0, 0.02, 5.0, 25.0, 60.0])
def test_saturation_pressure_agrees_with_psychrolib(celsius):
    assert air.saturation_pressure(celsius + 273.15) == pytest.approx(
        psychrolib.GetSatVapPres(celsius), rel=5e-4
    )


# --- what holds for any air --------------------------------------------------------------------

temperatures = st.floats(233.15, 333.15)
humidities = st.floats(0.02, 1.0)
pressures = st.sampled_from(PRESSURES)


@given(temperatures, humidities, pressures)
@settings(max_examples=200)
def test_relative_humidity_undoes_humidity_ratio(T, rh, p):
    assert air.relative_humidity(T, air.humidity_ratio(T, rh, p), p) == pytest.approx(rh, rel=1e-9)


@given(temperatures, humidities)
@settings(max_examples=200)
def test_temperature_from_enthalpy_undoes_enthalpy(T, rh):
    W = air.humidity_ratio(T, rh)
    assert air.temperature_from_enthalpy(air.enthalpy(T, W), W) == pytest.approx(T, abs=3e-4)


@given(temperatures, pressures)
@settings(max_examples=200)
def test_dew_point_undoes_saturation(T, p):
    assert air.dew_point(air.saturation_humidity_ratio(T, p), p) == pytest.approx(T, abs=1e-3)


@given(temperatures)
@settings(max_examples=100)
def test_saturation_temperature_undoes_saturated_enthalpy(T):
    h = air.enthalpy(T, air.saturation_humidity_ratio(T))
    assert air.saturation_temperature(h) == pytest.approx(T, abs=1e-3)


@given(temperatures, humidities, pressures)
@settings(max_examples=300)
def test_humidity_ratio_from_wet_bulb_undoes_wet_bulb(T, rh, p):
    W = air.humidity_ratio(T, rh, p)
    Twb = air.wet_bulb(T, W, p)
    if Twb < T:
        assert air.humidity_ratio_from_wet_bulb(T, Twb, p) == pytest.approx(W, rel=1e-5, abs=1e-6)


@given(temperatures, st.floats(0.02, 0.999), pressures)
@settings(max_examples=300)
def test_dew_point_lies_below_wet_bulb_and_that_below_dry_bulb(T, rh, p):
    W = air.humidity_ratio(T, rh, p)
    Twb, Tdp = air.wet_bulb(T, W, p), air.dew_point(W, p)
    assert Twb <= T + 2e-3
    if not np.isnan(Tdp):  # below -45 °C
        assert Tdp <= Twb + 2e-3


@given(humidities)
@settings(max_examples=50)
def test_humidity_enthalpy_and_volume_rise_with_temperature(rh):
    T = np.linspace(233.15, 333.15, 700)
    W = air.humidity_ratio(T, rh)
    for values in (W, air.enthalpy(T, W), air.specific_volume(T, W), air.enthalpy(T, 0.01)):
        assert (np.diff(values) > 0).all()


@given(temperatures, pressures)
@settings(max_examples=100)
def test_wetter_air_has_more_enthalpy_and_a_higher_wet_bulb_and_is_lighter(T, p):
    W = air.humidity_ratio(T, np.linspace(0.0, 1.0, 60), p)
    assert (np.diff(air.enthalpy(T, W, p)) > 0).all()
    assert (np.diff(air.wet_bulb(T, W, p)) > 0).all()
    assert (np.diff(air.density(T, W, p)) < 0).all()


def test_saturation_bends_at_the_triple_point_but_does_not_jump():
    T = 273.16 + np.linspace(-0.01, 0.01, 41)
    for values in (air.saturation_pressure(T), air.saturation_humidity_ratio(T)):
        assert np.abs(np.diff(values, 2)).max() / values[0] < 1e-5
    slope = np.diff(np.log(air.saturation_pressure(np.array([272.66, 273.16, 273.66]))))
    # Clausius and Clapeyron: the slopes are as the latent heats of ice and water.
    assert slope[0] / slope[1] == pytest.approx(2834.4 / 2500.9, rel=0.01)


def test_melting_ice_takes_its_heat_of_fusion():
    # 333.43 kJ/kg, IAPWS R10-06, at atmospheric pressure.
    assert air.water_enthalpy(273.15) - air.ice_enthalpy(273.15) == pytest.approx(333_430, rel=2e-4)


# --- ranges and shapes -------------------------------------------------------------------------

CALLS = {
    "saturation_pressure": (lambda T, W: air.saturation_pressure(T)),
    "humidity_ratio": (lambda T, W: air.humidity_ratio(T, W * 40)),
    "saturation_humidity_ratio": (lambda T, W: air.saturation_humidity_ratio(T)),
    "relative_humidity": air.relative_humidity,
    "enthalpy": air.enthalpy,
    "specific_volume": air.specific_volume,
    "density": air.density,
    "dew_point": (lambda T, W: air.dew_point(W + 0 * T)),
    "wet_bulb": air.wet_bulb,
    "wet_bulb at pressure": (lambda T, W: air.wet_bulb(T, W, 98_000.0)),
    "humidity_ratio_from_wet_bulb": (lambda T, W: air.humidity_ratio_from_wet_bulb(T, T - 5 - 0 * W)),
    "temperature_from_enthalpy": (lambda T, W: air.temperature_from_enthalpy((T - 273.15) * 1e3 + 25e3, W)),
    "saturation_temperature": (lambda T, W: air.saturation_temperature((T - 273.15) * 7000 + 0 * W)),
    "water_enthalpy": (lambda T, W: air.water_enthalpy(T)),
}
OF_W = {"relative_humidity", "enthalpy", "specific_volume", "density", "wet_bulb", "wet_bulb at pressure"}


@pytest.mark.parametrize("name", CALLS)
def test_draws_and_hours_broadcast(name):
    T, W = np.linspace(285, 305, 24)[None, :], np.linspace(0.006, 0.009, 5)[:, None]
    values = CALLS[name](T, W)
    assert values.shape in ((5, 24), (1, 24))
    assert np.isfinite(values).all()
    assert np.broadcast_to(values, (5, 24))[3, 7] == pytest.approx(CALLS[name](T[0, 7], W[3, 0]), rel=1e-12)


@pytest.mark.parametrize("name", CALLS)
def test_a_number_gives_a_number(name):
    assert isinstance(CALLS[name](295.0, 0.008), float)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", sorted(set(CALLS) - {"dew_point"}))
@pytest.mark.parametrize("wrong", [150.0, 345.0, np.nan, np.inf, -np.inf])
def test_a_temperature_out_of_range_is_nan_and_its_neighbours_stay(name, wrong):
    values = CALLS[name](np.array([290.0, wrong, 300.0]), np.full(3, 0.008))
    assert np.isnan(values).tolist() == [False, True, False]


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", sorted(OF_W | {"dew_point", "humidity_ratio"}))
@pytest.mark.parametrize("wrong", [-0.001, 0.25, np.nan, np.inf])
def test_a_humidity_out_of_range_is_nan_and_its_neighbours_stay(name, wrong):
    values = CALLS[name](np.full(3, 295.0), np.array([0.008, wrong, 0.009]))
    assert np.isnan(values).tolist() == [False, True, False]


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("wrong", [70_000.0, 130_000.0, np.nan])
@pytest.mark.parametrize(
    "function", [air.humidity_ratio, air.relative_humidity, air.enthalpy, air.specific_volume, air.wet_bulb]
)
def test_a_pressure_out_of_range_is_nan(function, wrong):
    values = function(295.0, 0.009, np.array([98_000.0, wrong, 101_325.0]))
    assert np.isnan(values).tolist() == [False, True, False]


@pytest.mark.parametrize("T", [228.15, 333.15])
def test_the_ends_of_the_range_belong_to_it(T):
    W = air.humidity_ratio(T, 0.5)
    assert np.isfinite(
        [W, air.enthalpy(T, W), air.specific_volume(T, W), air.wet_bulb(T, W), air.wet_bulb(T, 0.0)]
    ).all()
    assert np.isnan(
        [air.saturation_pressure(T + np.sign(T - 280) * 0.01), air.enthalpy(T + np.sign(T - 280) * 0.01, W)]
    ).all()


def test_pressure_given_as_an_array_is_the_same_as_a_number():
    T, W = np.array([275.0, 290.0, 310.0]), np.array([0.001, 0.008, 0.02])
    for function in (air.relative_humidity, air.enthalpy, air.specific_volume, air.wet_bulb):
        assert function(T, W, np.full(3, 101_325.0)) == pytest.approx(function(T, W), rel=2e-6)
    assert air.dew_point(W, np.full(3, 101_325.0)) == pytest.approx(air.dew_point(W), abs=1e-6)


def test_inputs_are_left_as_they_were():
    T, W = np.array([270.0, 290.0, 310.0]), np.array([0.001, 0.008, 0.02])
    T.flags.writeable = W.flags.writeable = False
    for call in CALLS.values():
        call(T, W)
