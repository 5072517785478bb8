"""Group E of the published values, each computed with the ice box's own functions."""

from collections.abc import Callable

import numpy as np
import pytest

from console.properties import air
from plugins.cold_box import air_exchange, frost, tables
from plugins.cold_box.section import ColdBox
from tests.plugins.cold_box.boats import amp_hours, day
from tests.published import agrees, rows

ROWS = rows("air_exchange_and_frost")
ZERO = tables.ZERO_CELSIUS
HOUR, DAY = 3600.0, 86_400.0


def moist(celsius: float, humidity: float, pressure: float) -> tuple[float, float]:
    """Density (kg/m³) and enthalpy, both per kg of moist air, as the source pairs them."""
    wet = air.humidity_ratio(celsius + ZERO, humidity, pressure)
    return (
        float(air.density(celsius + ZERO, wet, pressure)),
        float(air.enthalpy(celsius + ZERO, wet, pressure) / (1.0 + wet)),
    )


def gosney(i: dict[str, float]) -> float:
    warm, h_warm = moist(i["Ti"], i["RHi"], i["P"])
    cold, h_cold = moist(i["Tr"], i["RHr"], i["P"])
    return float(air_exchange.door_heat_gosney_olama(i["W"], i["H"], cold, warm, h_cold, h_warm)) / 1e3


def door_openings_a_year(i: dict[str, float]) -> float:
    """Half of the box's air each time; kWh of compressor a year at a COP."""
    flow = air_exchange.opening_flow_lid(i["n"] / DAY, i["fraction"], i["V_air"])
    cold = i["T_in"] + ZERO
    density = air.density(cold, 0.0, i["P"] * 1e3)
    latent = frost.vapour_enthalpy(cold) - frost.liquid_enthalpy(cold)
    heat = flow * density * (tables.DRY_AIR_HEAT * (i["T_room"] - i["T_in"]) + i["dw"] * latent)
    return float(heat / i["COP"] * 365 * 24 / 1e3)


def openings_extra(i: dict[str, float]) -> list[float]:
    """Per cent more electricity for 2 and 8 openings an hour than for none: front-opening, its foam nearly dry."""
    used = [
        amp_hours(
            day(
                f'opening = "door"\nopenings = "{hourly * 24} per day"\nopen_seconds = "15 s"\n'
                'wet_share = "5 %"',
                'temperature = "25 C"\nhumidity = "60 %"',
            )
        )
        for hourly in (0, 2, 8)
    ]
    return [100.0 * (more / used[0] - 1.0) for more in used[1:]]


def gasket_share(i: dict[str, float]) -> list[float]:
    """Per cent of the load of an upright household cabinet that comes by its gasket's edge."""
    ran = day(
        'opening = "door"\ninside = { length = "550 mm", width = "500 mm", depth = "1300 mm" }\n'
        'opening_width = "540 mm"\nopening_height = "1290 mm"\ninsulation = "45 mm"\n'
        'lid_insulation = "45 mm"\nconductivity = "0.021 W/m/K"\nwet_share = "0 %"\nbridges = "0 %"\n'
        'hull_side_share = "0 %"\n[cold_box.seal]\nfailing_share = "5 %"\ngap = "0.5 mm"',
        'temperature = "25 C"\nhumidity = "50 %"',
    )
    edge = 0.05 * 2.0 * (0.54 + 1.29) * (25.0 + ZERO - ran.daily("cold_box.box_temperature")[0])
    seal = ran.daily("cold_box.heat.seal")[0]
    return [100.0 * float((edge + seal) / ran.daily("cold_box.heat_total")[0])]


def edge_loss(i: dict[str, float]) -> list[float]:
    spec = ColdBox.model_fields["edge_loss"].json_schema_extra["quantity"]
    return [float(spec["default"].split()[0])]


def still_air_frosting(i: dict[str, float]) -> list[float]:
    """mm/h on plates of -13 to -4 °C in still room air of 26 to 28 °C, 31 to 58 %: the regime of
    Fossa and Tanda (2002), whose plots were not read. A film of 5 W/m²K, frost an hour old."""
    made = []
    for plate, room, humidity in ((-13.0, 28.0, 0.58), (-4.0, 26.0, 0.31)):
        wet = air.humidity_ratio(room + ZERO, humidity)
        on_plate = air.saturation_humidity_ratio(plate + ZERO)
        mass = frost.vapour_conductance(5.0, 1.0) * (
            wet - air.saturation_humidity_ratio(plate + ZERO + 2.0)
        )
        dew = air.dew_point(wet)
        density = frost.frost_density_after_hermes(dew, plate + ZERO, wet, on_plate, HOUR)
        made.append(float(frost.frost_thickness_rate(mass, density, 1.0)) * 1e3 * HOUR)
    return made


def hermes_2014(i: dict[str, float]) -> float:
    wet = air.humidity_ratio(i["Ta"] + ZERO, i["RH"])
    plate = i["Tw"] + ZERO
    on_plate = air.saturation_humidity_ratio(plate)
    return float(frost.frost_density_after_hermes(air.dew_point(wet), plate, wet, on_plate, i["t"]))


def wetted_can(i: dict[str, float]) -> float:
    """The surface that evaporates as fast as air can warm it."""
    film = 100.0
    lewis = i["alpha"] / i["D_AB"]
    transfer = frost.mass_transfer_coefficient_lewis(film, i["rho"], i["cp"] * 1e3, lewis)
    surface = 280.0
    for _ in range(60):
        vapour = i["M"] * i["p_sat"] / (8314.0 * surface)
        surface = 0.5 * surface + 0.5 * (
            i["T_inf"] + ZERO - float(transfer) * vapour * i["hfg"] * 1e3 / film
        )
    return surface - ZERO


def uncapped_door_changes(i: dict[str, float]) -> float:
    flow = air_exchange.opening_flow_door(i["n_open"] / DAY, i["t_open"], i["area"] * i["v"], i["V"])
    return float(flow) * DAY / i["V"]


def cold_store_load(i: dict[str, float]) -> float:
    flow = air_exchange.opening_flow_lid(i["ACH_day"] / DAY, 1.0, i["V"])
    return float(flow) / i["v"] * (i["h_o"] - i["h_i"])


def lbl(i: dict[str, float]) -> float:
    return float(air_exchange.infiltration_lbl(i["AL"], i["Cs"], i["dT"], i["Cw"], i["U"]))


COMPUTED: dict[str, Callable[[dict[str, float]], float | list[float]]] = {
    "E-gosney-cold-store": gosney,
    "E-gosney-icebox": gosney,
    "E-brown-solvason": lambda i: float(
        air_exchange.air_exchange_brown_solvason(i["W"], i["H"], i["Ti"] + ZERO, i["Tr"] + ZERO, i["Cd"])
    ),
    "E-pham-factor": lambda i: tables.PHAM_OLIVER,
    "E-hundy15-2-Q": cold_store_load,
    "E-hundy15-1-rate": uncapped_door_changes,
    "E-cengel6-27-kWh": door_openings_a_year,
    "E-door-energy-range": openings_extra,
    "E-gasket-share": gasket_share,
    "E-gasket-psi": edge_loss,
    "E-stack": lambda i: float(
        air_exchange.stack_flow(i["A"], i["dh"], i["Ti"] - i["To"], i["Ti"], i["Cd"])
    ),
    "E-ELA-lincoln-Q": lbl,
    "E-ELA-def": lambda i: (
        1e4 * float(air_exchange.effective_leakage_area(i["Q_r"], i["dp"], i["rho"], i["Cd"]))
    ),
    "E-hayashi-5": lambda i: float(frost.frost_density_hayashi(i["T_fs"] + ZERO)),
    "E-hayashi-18.6": lambda i: float(frost.frost_density_hayashi(i["T_fs"] + ZERO)),
    "E-hermes09-2-10": lambda i: float(frost.frost_density_hermes(i["T_fs"] + ZERO, i["T_w"] + ZERO)),
    "E-hermes14-1h": hermes_2014,
    "E-yonko-100": lambda i: float(frost.frost_conductivity_yonko_sepsy(i["rho_f"])),
    "E-lee-100": lambda i: float(frost.frost_conductivity_lee(i["rho_f"])),
    "E-sanders-100": lambda i: float(frost.frost_conductivity_sanders(i["rho_f"])),
    "E-frost-rate-band": still_air_frosting,
    "E-Lsub-0": lambda i: float(frost.sublimation_heat(i["T"] + ZERO)) / 1e3,
    "E-lewis-0.845": lambda i: tables.LEWIS,
    "E-inc6-7-Ts": wetted_can,
}


def test_every_published_row_is_computed():
    assert set(COMPUTED) == set(ROWS)


@pytest.mark.parametrize("key", sorted(ROWS))
def test_own_functions_agree_with_the_published_row(key):
    row = ROWS[key]
    for value in np.atleast_1d(COMPUTED[key](row["inputs"])):
        assert agrees(row, float(value)), f"{value} for {row['expected']} {row['unit']}"


def test_gosney_olama_and_brown_solvason_agree_for_a_small_door():
    """The digest of the sources gives 2 % for a door of half a metre."""
    warm, _ = moist(30.0, 0.7, 101325.0)
    cold, _ = moist(4.0, 0.85, 101325.0)
    ours = air_exchange.air_exchange_gosney_olama(0.5, 0.5, cold, warm)
    other = air_exchange.air_exchange_brown_solvason(0.5, 0.5, 303.15, 277.15)
    assert ours == pytest.approx(other, rel=0.03)


def test_the_pham_oliver_factor_is_the_door_s_default():
    spec = ColdBox.model_fields["door_flow"].json_schema_extra["quantity"]
    assert spec["default"].startswith(f"{tables.PHAM_OLIVER * 100:g} %")
