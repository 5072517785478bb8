"""Where the boat lies and what the day is like: sun, weather files, design days.

The console's own part that speaks through the contract as a plugin does. Wiring only.
"""

from __future__ import annotations

from collections.abc import Iterable

from console.contract import Estimate, FirstFact, Given, Section, hookimpl

_ASHRAE = "ASHRAE Handbook Fundamentals, daily range fractions (from memory)"
_SUN = "pvlib: NREL solar position, Ineichen clear sky; Erbs under cloud"


@hookimpl
def boat_sections() -> Iterable[Section]:
    length = FirstFact("length", "How long is she?", "36 ft", "from her papers")
    latitude = FirstFact(
        "latitude", "At what latitude does she lie?", "27 deg", "whole degrees do; south has a minus"
    )
    yield Section("boat", "console.environment.section:BoatTable", "The boat", first_facts=(length,))
    yield Section(
        "site", "console.environment.section:SiteTable", "Where she lies", first_facts=(latitude,)
    )
    yield Section("weather", "console.environment.section:WeatherTable", "The day")
    yield Section("jobs", "console.noted_jobs:JobsTable", "Jobs of your own")


@hookimpl
def boat_estimates() -> Iterable[Estimate]:
    yield Estimate(
        key="weather.day",
        function="console.environment.estimates:weather_day",
        needs=(),
        gives=(
            Given("weather.outdoor_temperature", "K", "Outside air", daily="largest", source=_ASHRAE),
            Given("weather.outdoor_humidity_ratio", "1", "Water vapour in the outside air, by dry air",
                  style="humidity_ratio", source="dew point held, capped at saturation"),
            Given("weather.outdoor_dew_point", "K", "Dew point outside", daily="largest"),
            Given("weather.wind_speed", "m/s", "Wind at the deck", style="wind"),
            Given("weather.direct_normal", "W/m**2", "Sun's beam, square on", daily="largest", source=_SUN),
            Given("weather.diffuse_horizontal", "W/m**2", "Light of the sky on the level",
                  daily="largest", source=_SUN),
            Given("weather.global_horizontal", "W/m**2", "Sun and sky on the level",
                  daily="largest", source=_SUN),
            Given("weather.sun_zenith", "rad", "Sun's angle from overhead", style="angle",
                  daily="least", source=_SUN),
            Given("weather.sun_azimuth", "rad", "Sun's bearing", style="angle", daily="at_worst_hour",
                  worst_of="weather.global_horizontal", source=_SUN),
            Given("weather.seawater_temperature", "K", "Seawater at the intake"),
        ),
        stateful=True,
    )  # fmt: skip
