"""The figures the plugin gives, and what each estimate needs for them."""

from __future__ import annotations

from console.contract import Daily, Estimate, Given, Need

_DEFAULTS, _ESTIMATES = "plugins.climate.defaults", "plugins.climate.estimates"
_SIGNS = "plugins.climate.signs"
_LOAD = "climate.cooling_load"

LOAD_MEANINGS = {
    "roof": "heat through deck and coach-roof",
    "sides": "heat through topsides and coach-roof sides",
    "hull": "heat through the hull below the waterline",
    "glass_sun": "sun through the glass",
    "glass_air": "heat through the glass by the warm air outside",
    "people": "heat and breath of the people aboard",
    "equipment": "heat of appliances and cooking",
    "fresh_air": "outside air through gaps and open hatches",
    "bilge_air": "bilge air drawn into the return",
}
"""The parts of the cooling load, outside in, in words."""

SURFACE_MEANINGS = {
    "duct": "skin of the supply duct",
    "grille": "supply grille",
    "glass": "inner face of the glass",
    "hull": "lining and sole over the underwater hull",
    "locker": "bare hull inside lockers and bilge",
}
"""The cold surfaces of the cabin, in words."""

_WEATHER = (
    Need("weather.outdoor_temperature", "K"),
    Need("weather.outdoor_humidity_ratio", "1"),
    Need("weather.wind_speed", "m/s"),
    Need("weather.direct_normal", "W/m**2"),
    Need("weather.diffuse_horizontal", "W/m**2"),
    Need("weather.sun_zenith", "rad"),
    Need("weather.sun_azimuth", "rad"),
)
_WATER = (
    Need("weather.seawater_temperature", "K"),
    Need("raw_water.flow", "m**3/s", f"{_DEFAULTS}:water_flow"),
    Need("raw_water.scale_resistance", "m**2*K/W", "0.00005 m2*K/W ± 80 %"),
    Need("power.supply_voltage", "V", f"{_DEFAULTS}:supply_voltage"),
)


def _worst(name: str, unit: str, meaning: str, style: str = "", source: str = "") -> Given:
    """A figure whose day's value is that of the hour of largest load."""
    return Given(f"climate.{name}", unit, meaning, style, "at_worst_hour", _LOAD, source)


def _given(name: str, unit: str, meaning: str, style: str = "", daily: Daily = "mean") -> Given:
    return Given(f"climate.{name}", unit, meaning, style, daily)


CABIN = Estimate(
    "climate.cabin",
    f"{_ESTIMATES}:cabin",
    (*_WEATHER, *_WATER, Need("power.equipment_heat", "W", "150 W ± 60 %")),
    (
        *(_worst(f"load.{name}", "W", meaning, "net_heat") for name, meaning in LOAD_MEANINGS.items()),
        _worst(
            "cooling_load", "W", "heat to be removed to hold the set-point, even when the unit cannot",
            "net_heat", "sum of the components, each through its own store",
        ),
        _worst("sensible_heat_ratio", "1", "share of the load that warms rather than wets the air", "percent"),
        _given("cabin_temperature", "K", "temperature of the cabin air", daily="largest"),
        _given("cabin_humidity", "1", "relative humidity of the cabin air", "share", "largest"),
        _given("cabin_dew_point", "K", "dew point of the cabin air", daily="largest"),
        _given(
            "dry_margin", "delta_degC",
            "coldest surface in the cabin less the air's dew point; below zero it sweats", daily="least",
        ),
        _given("damp_hours", "1", "hours a day in which the coldest surface sweats", "hours_per_day"),
        *(_given(f"surface.{name}", "K", meaning, daily="least") for name, meaning in SURFACE_MEANINGS.items()),
        _given(
            "shortfall", "delta_degC", "how far the cabin is above the set-point with the unit running all it can",
            daily="largest",
        ),
        _given("short_hours", "1", "hours a day in which it falls short", "hours_per_day"),
        _given("ice_share", "1", "share of the cold coil's face under ice of its own growth", "share", "largest"),
        _given("settled", "1", "whether the cabin's day came to rest in the sum (1 yes)", "share", "least"),
        _given("run_share", "1", "share of the hour the unit runs (on a trip its fan and pump alone)", "share"),
        _given("run_hours", "1", "hours a day the compressor runs", "hours_per_day"),
        _worst("supply_fall", "delta_degC", "return air less supply air, as the day went"),
        _worst("supply_drying", "1", "humidity ratio of return air less supply air", "humidity_ratio"),
        _given("load_afternoon", "W", "heat to be removed, mean of noon to six", "net_heat"),
        _given("load_evening", "W", "heat to be removed, mean of six to ten in the evening", "net_heat"),
        _given("load_night", "W", "heat to be removed, mean of ten to six at night", "net_heat"),
        _given("day_short", "1", "how far the day is one in which the cabin is not held", "share"),
    ),
    about="climate",
    stateful=True,
)  # fmt: skip

# The air at the coil, one figure after the other, so that a reading of any takes its place.
DRAWN = Estimate(
    "climate.drawn",
    f"{_SIGNS}:drawn",
    (
        *_WEATHER[:2],
        _WATER[0],
        Need("climate.cabin_temperature", "K"),
        Need("climate.cabin_humidity", "1"),
        Need("climate.supply_fall", "delta_degC"),
        Need("climate.supply_drying", "1"),
    ),
    (
        _worst("return_air_temperature", "K", "temperature of the air that enters the unit"),
        _worst("drawn_temperature", "K", "temperature of the cabin, bilge and supply air the return draws in"),
        _worst("drawn_humidity_ratio", "1", "humidity ratio of what the return draws in", "humidity_ratio"),
        _worst("drawn_humidity", "1", "relative humidity of what the return draws in", "share"),
        _worst("drawn_wet_bulb", "K", "wet bulb of what the return draws in"),
    ),
    about="climate",
)  # fmt: skip

RETURN_HUMIDITY = Estimate(
    "climate.return_humidity",
    f"{_SIGNS}:return_humidity",
    (Need("climate.return_air_temperature", "K"), Need("climate.drawn_humidity_ratio", "1")),
    (_worst("return_humidity", "1", "relative humidity of the air that enters the unit", "share"),),
    about="climate",
)

RETURN_WET_BULB = Estimate(
    "climate.return_wet_bulb",
    f"{_SIGNS}:return_wet_bulb",
    (Need("climate.return_air_temperature", "K"), Need("climate.return_humidity", "1")),
    (_worst("return_wet_bulb", "K", "wet bulb of the air that enters the unit"),),
    about="climate",
)

RETURN_MOISTURE = Estimate(
    "climate.return_moisture",
    f"{_SIGNS}:return_moisture",
    (Need("climate.return_air_temperature", "K"), Need("climate.return_wet_bulb", "K")),
    (
        _worst(
            "return_humidity_ratio", "1", "humidity ratio of the air that enters the unit", "humidity_ratio"
        ),
    ),
    about="climate",
)

UNIT = Estimate(
    "climate.unit",
    f"{_ESTIMATES}:unit",
    (
        Need("climate.return_air_temperature", "K"),
        Need("climate.return_humidity_ratio", "1"),
        *_WATER,
        Need("raw_water.clean_flow", "m**3/s", f"{_DEFAULTS}:water_flow"),
        Need("climate.ice_share", "1"),
        Need("climate.run_share", "1"),
    ),
    (
        _given("energy", "W", "what unit, fan and pump draw in a day", "energy_per_day"),
        _worst("fan_current", "A", "current of the unit's fan"),
        _worst("pump_current", "A", "current of the seawater pump"),
        _worst("unit_capacity", "W", "cooling the unit gives while running, its fan's heat taken off", "heat"),
        _worst("unit_power", "W", "power of unit, fan and pump while running"),
        _worst("unit_current", "A", "current of unit, fan and pump while running"),
        _worst("start_current", "A", "largest current as the compressor starts"),
        _worst("air_split", "delta_degC", "return air less supply air while running"),
        _worst("condensate_rate", "kg/s", "water wrung from the air while running"),
        _worst("seawater_rise", "delta_degC", "warming of the seawater through the condenser while running"),
        _worst("condensing_temperature", "K", "temperature at which the refrigerant condenses"),
        _worst("evaporating_temperature", "K", "temperature at which the refrigerant boils"),
        _worst("supply_temperature", "K", "temperature of the air at the unit's outlet while running"),
        _worst("coil_temperature", "K", "temperature of the cold coil's surface while running"),
        _worst("airflow_share", "1", "air through the unit, as a share of its clean air flow", "share"),
        _worst("trip.high_pressure", "1", "share of the time the high-pressure switch is open", "share"),
        _worst("trip.low_pressure", "1", "share of the time the low-pressure switch is open", "share"),
        _worst("trip.voltage", "1", "share of the time the volts are too low or too high for it to run", "share"),
        _worst("expected_split", "delta_degC", "split of the same unit in good order in the same air and water"),
        _worst("healthy_capacity", "W", "cooling of the same unit in good order with a clean water line", "heat"),
        _worst("healthy_current", "A", "current of the same unit in good order with a clean water line"),
    ),
    about="climate",
)  # fmt: skip

SIGNS = Estimate(
    "climate.signs",
    f"{_SIGNS}:signs",
    (
        _WATER[0], _WATER[1], _WATER[3],
        *(
            Need(f"climate.{name}", unit)
            for name, unit in (
                ("cabin_temperature", "K"), ("cooling_load", "W"), ("unit_capacity", "W"),
                ("seawater_rise", "delta_degC"), ("condensing_temperature", "K"), ("evaporating_temperature", "K"),
                ("coil_temperature", "K"), ("supply_fall", "delta_degC"), ("ice_share", "1"), ("day_short", "1"),
                ("trip.high_pressure", "1"), ("trip.low_pressure", "1"), ("trip.voltage", "1"),
            )
        ),
    ),
    (
        _worst("seawater_out", "K", "temperature of the seawater at the overboard while running"),
        _worst("panel_temperature", "K", "what the thermostat reads"),
        _worst("heat_rejected", "W", "heat given to the seawater while running", "heat"),
        _worst("high_pressure_margin", "delta_degC", "how far below the high-pressure switch it condenses"),
        _worst("low_pressure_margin", "delta_degC", "how far above the low-pressure switch it boils"),
        _worst("voltage_share", "1", "volts at the unit, as a share of its label's", "percent"),
        _worst("duct_share", "1", "air that the ducts let through, as a share of that through whole ones", "share"),
        _worst("frost_share", "1", "share of the coil's face under ice or frosting over", "share"),
        _worst("load_share", "1", "load as a share of what the unit gives as it is", "percent"),
        _given("falls_short", "1", "how far the cabin is one that is not held, by its day and by now", "share", "largest"),
        _given("keeps_up", "1", "how far the cabin is one that is held, by its day and by now", "share", "least"),
        _worst("starts_per_hour", "1", "starts of the compressor an hour", "number"),
    ),
    about="climate",
)  # fmt: skip

ESTIMATES = (CABIN, DRAWN, RETURN_HUMIDITY, RETURN_WET_BULB, RETURN_MOISTURE, UNIT, SIGNS)
