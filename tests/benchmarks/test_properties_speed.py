"""How much quicker the property maps are than CoolProp, measured in the same run.

    pytest tests/benchmarks --benchmark-enable --benchmark-only

Each test times one function over 25,000 points and over one day (1 × 24), and CoolProp over a
sample of the same points. The ratio is asserted, so that a slower machine changes nothing; the
time of a day's call is asserted with a wide margin, for the hourly loops call it hundreds of
times.
"""

import time

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from console.properties import air, seawater, store
from console.properties.refrigerants import refrigerant

RNG = np.random.default_rng(5)
T = RNG.uniform(278.0, 318.0, (1000, 25))
W = air.humidity_ratio(T, RNG.uniform(0.2, 1.0, T.shape))
RH = air.relative_humidity(T, W)
TWB = air.wet_bulb(T, W)
H = air.enthalpy(T, W)

# name: function of the points, CoolProp's call, least ratio, most microseconds for 1 x 24
AIR = {
    "humidity_ratio": (air.humidity_ratio, (T, RH), ("W", "R"), 100, 15),
    "relative_humidity": (air.relative_humidity, (T, W), ("R", "W"), 100, 15),
    "enthalpy": (air.enthalpy, (T, W), ("H", "W"), 100, 20),
    "specific_volume": (air.specific_volume, (T, W), ("V", "W"), 100, 20),
    "dew_point": (lambda t, w: air.dew_point(w), (T, W), ("D", "W"), 100, 15),
    "wet_bulb": (air.wet_bulb, (T, W), ("B", "W"), 500, 60),
    "humidity_ratio_from_wet_bulb": (air.humidity_ratio_from_wet_bulb, (T, TWB), ("W", "B"), 500, 75),
    "temperature_from_enthalpy": (air.temperature_from_enthalpy, (H, W), None, 0, 40),
    "saturation_temperature": (lambda h, w: air.saturation_temperature(h), (H, W), None, 0, 15),
}
SLACK = 3.0  # of the times for a day, for a busy machine


def seconds(call, least=0.05):
    """The quickest of several timings of ``call``, each long enough to be believed."""
    call()
    count = 1
    while True:
        start = time.perf_counter()
        for _ in range(count):
            call()
        spent = time.perf_counter() - start
        if spent > least / 5:
            break
        count *= 4
    best = spent / count
    for _ in range(6):
        start = time.perf_counter()
        for _ in range(count):
            call()
        best = min(best, (time.perf_counter() - start) / count)
    return best


def coolprop_seconds(output, name, t, second):
    """CoolProp's time for one value, over a sample of 250 points."""
    points = list(zip(t.ravel()[::100].tolist(), second.ravel()[::100].tolist(), strict=True))
    return seconds(lambda: [HAPropsSI(output, "T", a, name, b, "P", 101_325.0) for a, b in points]) / len(
        points
    )


@pytest.mark.parametrize("name", AIR)
def test_moist_air_over_25000_points(benchmark, name):
    function, arguments, call, least_ratio, most_for_a_day = AIR[name]
    benchmark.pedantic(function, arguments, rounds=5, iterations=2, warmup_rounds=1)
    each = seconds(lambda: function(*arguments)) / T.size
    day = [values[:1, :24] for values in arguments]
    for_a_day = seconds(lambda: function(*day)) * 1e6
    benchmark.extra_info.update(
        nanoseconds_each=round(each * 1e9, 1), microseconds_for_a_day=round(for_a_day, 1)
    )
    if call:
        ratio = coolprop_seconds(*call, *arguments) / each
        benchmark.extra_info["times_quicker_than_coolprop"] = round(ratio)
        assert ratio > least_ratio
    assert for_a_day < SLACK * most_for_a_day


@pytest.mark.parametrize(
    "name", ["density", "heat_capacity", "viscosity", "conductivity", "vapour_pressure"]
)
def test_seawater_over_25000_points(benchmark, name):
    function, S = getattr(seawater, name), np.full((1000, 1), 0.03)
    t = np.minimum(T, 318.0)
    benchmark.pedantic(function, (t, S), rounds=5, iterations=2, warmup_rounds=1)
    for_a_day = seconds(lambda: function(t[:1, :24], S[:1])) * 1e6
    benchmark.extra_info["microseconds_for_a_day"] = round(for_a_day, 1)
    assert for_a_day < SLACK * 25


@pytest.mark.parametrize(
    "method", ["isentropic_rise", "discharge_temperature", "liquid_enthalpy", "suction_density"]
)
def test_a_refrigerant_over_25000_points_against_coolprops_kept_state(benchmark, method):
    import CoolProp

    r = refrigerant("R410A")
    te, tc = RNG.uniform(265.0, 285.0, T.shape), RNG.uniform(300.0, 330.0, T.shape)
    calls = {
        "isentropic_rise": lambda a, b: r.isentropic_rise(a, b),
        "discharge_temperature": lambda a, b: r.discharge_temperature(a, b, 0.7),
        "liquid_enthalpy": lambda a, b: r.liquid_enthalpy(b, 4.0),
        "suction_density": lambda a, b: r.suction_density(a),
    }
    call = calls[method]
    benchmark.pedantic(call, (te, tc), rounds=5, iterations=2, warmup_rounds=1)
    each = seconds(lambda: call(te, tc)) / T.size
    for_a_day = seconds(lambda: call(te[:1, :24], tc[:1, :24])) * 1e6
    benchmark.extra_info.update(
        nanoseconds_each=round(each * 1e9, 1), microseconds_for_a_day=round(for_a_day, 1)
    )
    assert for_a_day < SLACK * 100
    if method == "isentropic_rise":
        state = CoolProp.AbstractState("HEOS", "R410A")
        s = CoolProp.CoolProp.PropsSI("S", "T", 283.15, "P", 9e5, "R410A")

        def one():
            state.update(CoolProp.PSmass_INPUTS, 2.5e6, s)

        assert seconds(one) / each > 50


def test_reading_a_kept_map_takes_a_few_milliseconds(benchmark, tmp_path, monkeypatch):
    monkeypatch.setenv(store.CACHE_VARIABLE, str(tmp_path))
    monkeypatch.setattr(store, "_maps", {})
    store.load("air", air.build_map)

    def read():
        store._maps.clear()
        return store.load("air", lambda: pytest.fail("it was there to be read"))

    benchmark.pedantic(read, rounds=10, warmup_rounds=1)
    assert seconds(read) < 0.02
