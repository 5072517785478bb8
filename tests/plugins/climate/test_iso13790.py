"""The cabin's network against the five resistances and one capacity of ISO 13790, solved here.

ISO 13790:2008 Annex C: air node (no capacity) tied to the supply air by H_ve and to the surfaces by
H_is = 3.45 W/(m²·K)·A_t; surface node tied to outside by the windows H_w and to the mass by H_ms = 9.1
W/(m²·K)·A_m; mass node C_m tied to outside by H_em. Gains: half of the internal ones to the air, the
rest shared by A_m/A_t over mass and surfaces. The standard's own Crank-Nicolson step and SciPy's
integrator are both written out below; the program's network is the same circuit once the surface
node, which stores nothing, is folded away (star to mesh).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from plugins.climate.thermal import network

Array = NDArray[np.float64]

# A cabin of 45 m² of walls, 18 of them heavy: constants of the standard, areas of a 36-footer.
A_T, A_M = 45.0, 18.0
H_VE, H_W, H_IS, H_MS = 14.0, 9.0, 3.45 * A_T, 9.1 * A_M
H_OP = 95.0
H_EM = 1.0 / (1.0 / H_OP - 1.0 / H_MS)
C_M = 1.9e6
HOURS = np.arange(24)
OUTSIDE = 29.0 + 4.0 * np.cos((HOURS - 15) / 24 * 2 * np.pi)
INTERNAL = 350.0 + 250.0 * ((HOURS >= 18) & (HOURS < 20))
SOLAR = 900.0 * np.maximum(np.sin((HOURS - 6) / 12 * np.pi), 0.0)


def _gains(hour: int, plant: float) -> tuple[float, float, float]:
    """Φ_ia, Φ_m, Φ_st of eqs C.1 to C.3, with the plant's power put to the air."""
    half, sun = 0.5 * INTERNAL[hour], SOLAR[hour]
    to_mass = A_M / A_T * (half + sun)
    to_surface = (1.0 - A_M / A_T - H_W / (9.1 * A_T)) * (half + sun)
    return half + plant, to_mass, to_surface


def annex_c_day(plant: Array, days: int = 30) -> Array:
    """Air temperature of the last day by the standard's own hourly scheme, eqs C.4 to C.11."""
    h1 = 1.0 / (1.0 / H_VE + 1.0 / H_IS)
    h2 = h1 + H_W
    h3 = 1.0 / (1.0 / h2 + 1.0 / H_MS)
    mass = 25.0
    day = np.zeros(24)
    for _ in range(days):
        for k in range(24):
            air_gain, mass_gain, surface_gain = _gains(k, plant[k])
            out = OUTSIDE[k]
            total = (
                mass_gain + H_EM * out + h3 * (surface_gain + H_W * out + h1 * (air_gain / H_VE + out)) / h2
            )
            after = (mass * (C_M / 3600 - 0.5 * (h3 + H_EM)) + total) / (C_M / 3600 + 0.5 * (h3 + H_EM))
            mean = 0.5 * (mass + after)
            surface = (H_MS * mean + surface_gain + H_W * out + h1 * (out + air_gain / H_VE)) / (
                H_MS + H_W + h1
            )
            day[k] = (H_IS * surface + H_VE * out + air_gain) / (H_IS + H_VE)
            mass = after
    return day


def scipy_day(plant: Array, days: int = 30) -> Array:
    """Hourly means of the air temperature of the last day, the circuit integrated by SciPy."""

    def nodes(mass: float, hour: int) -> tuple[float, float]:
        air_gain, _, surface_gain = _gains(hour, plant[hour])
        out = OUTSIDE[hour]
        a = np.array([[H_VE + H_IS, -H_IS], [-H_IS, H_IS + H_W + H_MS]])
        b = np.array([H_VE * out + air_gain, H_W * out + H_MS * mass + surface_gain])
        air, surface = np.linalg.solve(a, b)
        return float(air), float(surface)

    mass, day = 25.0, np.zeros(24)
    for _ in range(days):
        for k in range(24):

            def rate(_: float, y: Array, hour: int = k) -> list[float]:
                air, surface = nodes(float(y[0]), hour)
                _, mass_gain, _ = _gains(hour, plant[hour])
                change = H_MS * (surface - y[0]) + H_EM * (OUTSIDE[hour] - y[0]) + mass_gain
                return [change / C_M, air]

            solved = solve_ivp(rate, (0.0, 3600.0), [mass, 0.0], method="RK45", rtol=1e-6, atol=1e-6)
            mass, day[k] = float(solved.y[0, -1]), float(solved.y[1, -1]) / 3600.0
    return day


def program_day(plant: Array, days: int = 30) -> Array:
    """The same by the program's network: air and one store, the surface node folded away.

    Linear: each source's answer is the network's to the heat it puts into the air, and of what is
    put into surface and mass, what would reach the air if both were held is put there at once.
    """
    star = H_IS + H_W + H_MS
    air_out, air_mass, mass_out = H_IS * H_W / star, H_IS * H_MS / star, H_MS * H_W / star
    # Air as light as can be: the standard's has no capacity.
    net = network(
        np.array([[50.0, C_M]]),
        np.array([[air_mass]]),
        np.array([[H_VE + air_out, mass_out + H_EM]]),
        3600.0,
    )
    # Heat put into the store acts as a temperature outside it; here by superposition of a second
    # network whose "air" is the mass.
    other = network(
        np.array([[C_M, 50.0]]),
        np.array([[air_mass]]),
        np.array([[mass_out + H_EM, H_VE + air_out]]),
        3600.0,
    )
    first, second = np.zeros_like(net.keep), np.zeros_like(other.keep)
    day = np.zeros(24)
    for _ in range(days):
        for k in range(24):
            air_gain, mass_gain, surface_gain = _gains(k, plant[k])
            out = OUTSIDE[k]
            to_air = air_gain + H_VE * out + air_out * out + surface_gain * H_IS / star
            to_mass = mass_gain + (H_EM + mass_out) * out + surface_gain * H_MS / star
            one = net.mean_state * first + net.mean_gain * to_air
            two = other.mean_state * second + other.mean_gain * to_mass
            day[k] = net.node_temperatures(one)[0, 0] + other.node_temperatures(two)[1, 0]
            first = net.keep * first + net.gain * to_air
            second = other.keep * second + other.gain * to_mass
    return day


PLANTS = {"floating": np.zeros(24), "cooled by day": -1500.0 * ((HOURS >= 9) & (HOURS < 21))}


@pytest.mark.parametrize("name", PLANTS)
def test_network_is_the_five_resistances_and_one_capacity_integrated(name: str) -> None:
    plant = PLANTS[name]
    assert program_day(plant) == pytest.approx(scipy_day(plant, 12), abs=0.02)


@pytest.mark.parametrize("name", PLANTS)
def test_network_agrees_with_the_standards_own_hourly_scheme(name: str) -> None:
    """Its Crank-Nicolson step takes the hour's mean as the mean of its ends: 0.05 K."""
    plant = PLANTS[name]
    found = program_day(plant)
    assert found == pytest.approx(annex_c_day(plant), abs=0.05)
    assert np.ptp(found) > 3.0
