"""The tables [boat], [site] and [weather] of the boat file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date as Date
from difflib import get_close_matches
from typing import Any, Literal

from pydantic import field_validator

from console.fields import Quantity, Table, choice, file_name, quantity, text
from console.quantities import Measure, shown

Sky = Literal["clear", "hazy", "partly_cloudy", "cloudy", "overcast"]

_ASSUMED = "console.environment.assumed"


class BoatTable(Table):
    """The boat herself."""

    name: str = text("", help="Her name, as you like to read it.")
    length: Quantity = quantity(
        "length", "35 ft ± 4 ft", hard=("10 ft", "120 ft"), usual=("25 ft", "50 ft"),
        help="Length of the hull, bow to stern, without bowsprit or davits; it is in her papers.",
    )  # fmt: skip
    beam: Quantity = quantity(
        "length", "± 10 %", compute=f"{_ASSUMED}:beam_of_length", given="± 2 %",
        hard=("3 ft", "40 ft"), usual=("7 ft", "16 ft"),
        help="Greatest width of the hull; silent, a third of the length is taken.",
    )  # fmt: skip
    heading: Quantity = quantity(
        "angle", "180 deg ± 160 deg", given="± 10 deg", hard=("-360 deg", "360 deg"),
        help="Where the bow points, from true north, as she lies; state a wide ± at anchor.",
    )  # fmt: skip
    deck_colour: Literal["light", "medium", "dark", "teak"] = choice(
        "light", help="Colour of deck and coach roof: light (white, cream), medium, dark, or bare teak."
    )


class SiteTable(Table):
    """Where she lies."""

    latitude: Quantity = quantity(
        "angle", "32 deg", hard=("-66 deg", "66 deg"), usual=("-60 deg", "60 deg"),
        help="Degrees north, south with a minus; read it off the chart or plotter, whole degrees do.",
    )  # fmt: skip
    longitude: Quantity = quantity(
        "angle", "± 0 deg", compute=f"{_ASSUMED}:longitude_of_timezone",
        hard=("-180 deg", "180 deg"),
        help="Degrees east, west with a minus; silent, the middle of the time zone is taken.",
    )  # fmt: skip
    timezone: str = text(
        "",
        help='Name of the clock on board, such as "America/New_York"; silent, hours are by the sun.',
    )
    seawater_temperature: Quantity = quantity(
        "temperature", "± 3 degC", compute=f"{_ASSUMED}:seawater_temperature_of_latitude",
        given="± 1 degC", hard=("-2 degC", "40 degC"), usual=("2 degC", "34 degC"),
        reading="seawater_in",
        help="Water at the intake, a hand's depth down: a thermometer in a fresh bucket.",
    )  # fmt: skip
    salinity: Quantity = quantity(
        "salinity", "32 g/kg ± 5 g/kg", given="± 1 g/kg", hard=("0 g/kg", "42 g/kg"),
        help="Salt in the water: open sea 35 g/kg, a river mouth 10 to 25, a lake 0; the equation of"
        " state ends at 42.",
    )  # fmt: skip

    @field_validator("timezone")
    @classmethod
    def _known_timezone(cls, value: str) -> str:
        if not value:
            return value
        from zoneinfo import ZoneInfo, available_timezones

        try:
            ZoneInfo(value)
        except (KeyError, ValueError, OSError):
            near = get_close_matches(value, available_timezones(), 1, cutoff=0.6)
            hint = f' (did you mean "{near[0]}"?)' if near else ""
            raise ValueError(
                f'"{shown(value)}" is not a time zone{hint}; accepted is a name such as "America/New_York"'
            ) from None
        return value

    def assumed_parts(self, given: Mapping[str, Any]) -> Iterable[str]:
        """What an owner should know was taken for granted."""
        if "latitude" not in given:
            yield "site.latitude: not stated; a coast at 32 degrees north is assumed"


class WeatherTable(Table):
    """The day (or days) asked about: by its high, low and dew point, or from a weather file."""

    date: Date | None = text(
        None, help="The day; silent, the 21st of the hottest month (July north, January south)."
    )
    days: Quantity = quantity(
        "number", "1", hard=("1", "14"),
        help="How many whole days in a row are asked about: of a weather file from that date on (silent, its hottest"
        " run of days), else the same day again and again.",
    )  # fmt: skip
    high: Quantity = quantity(
        "temperature", "± 3 degC", compute=f"{_ASSUMED}:high_over_seawater", given="± 1 degC",
        hard=("-20 degC", "55 degC"), usual=("10 degC", "46 degC"),
        help="The day's highest air temperature in the shade: forecast, or a thermometer out of the sun.",
    )  # fmt: skip
    low: Quantity = quantity(
        "temperature", "± 2 degC", compute=f"{_ASSUMED}:low_under_high", given="± 1 degC",
        hard=("-30 degC", "45 degC"), usual=("0 degC", "36 degC"),
        help="The lowest air temperature, toward dawn; silent, 7 °C below the high.",
    )  # fmt: skip
    dew_point: Quantity = quantity(
        "temperature", "± 2 degC", compute=f"{_ASSUMED}:dew_point_under_low", given="± 1 degC",
        hard=("-30 degC", "35 degC"), usual=("-5 degC", "30 degC"),
        help="How damp the air is; forecasts give it. It changes little through a day.",
    )  # fmt: skip
    wet_bulb: Quantity = quantity(
        "temperature", None, given="± 1 degC", hard=("-20 degC", "38 degC"), usual=("0 degC", "32 degC"),
        help="Instead of dew_point: wet-bulb temperature at the hottest hour.",
    )  # fmt: skip
    humidity: Quantity = quantity(
        "share", None, given="± 4 %", hard=("2 %", "100 %"), usual=("10 %", "95 %"),
        help="Instead of dew_point: relative humidity outside at the hottest hour.",
    )  # fmt: skip
    sky: Sky = choice("hazy", help="clear, hazy, partly_cloudy, cloudy or overcast, over the day.")
    clearness: Quantity = quantity(
        "share", "± 10 %", compute=f"{_ASSUMED}:clearness_of_sky", hard=("5 %", "100 %"),
        help="Share of a cloudless day's sunshine that arrives; silent, it follows from sky.",
    )  # fmt: skip
    wind: Quantity = quantity(
        "wind", "5 knots ± 3 knots", given="± 30 %", hard=("0.2 knots", "60 knots"),
        usual=("0.5 knots", "30 knots"),
        help="Mean wind over the deck where she lies; a marina has half of what is forecast.",
    )  # fmt: skip
    file: str = file_name(
        "",
        help="A weather file instead of high, low, dew_point and sky: EPW, TMY2, TMY3 or plain CSV.",
    )
    warmer_here: Quantity = quantity(
        "temperature_difference", "0 delta_degC ± 1.5 delta_degC", hard=("-10 delta_degC", "10 delta_degC"),
        help="With a file: how much warmer the air is at the berth than at the file's station.",
    )  # fmt: skip
    wind_here: Quantity = quantity(
        "share", "60 % ± 20 %", given="± 10 %", hard=("5 %", "100 %"),
        help="With a file: share of the station's wind (10 m up, open ground) that reaches the deck.",
    )  # fmt: skip

    @field_validator("days")
    @classmethod
    def _days_without_spread(cls, value: Measure | None) -> Measure | None:
        if value is not None and value.half_si > 0.0:
            raise ValueError(
                f'"{shown(value.text)}": a number of days has no spread; accepted is "1" to "14"'
            )
        return value

    @field_validator("date")
    @classmethod
    def _sane_date(cls, value: Date | None) -> Date | None:
        if value is not None and not 1950 <= value.year <= 2099:
            raise ValueError(f'"{value.isoformat()}" is out of range; accepted is a day of 1950 to 2099')
        return value

    def assumed_parts(self, given: Mapping[str, Any]) -> Iterable[str]:
        """What an owner should know was taken for granted."""
        if "date" in given and "high" not in given and "file" not in given:
            yield (
                "weather.high: not stated; 4 °C above the seawater is assumed, which suits a"
                " settled summer day"
            )
