"""The only place a unit string is parsed or a number is dressed for reading.

Our grammar splits ``number unit ± spread``; pint sees the unit alone (whole texts mislead it:
``1 1/8 in``, ``84 F``, ``30 amps``). Everything leaves here as SI floats.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from typing import Any, Literal

from console.unit_factors import FACTORS

System = Literal["us", "si"]
Law = Literal["scale", "fraction", "plain"]


class QuantityError(ValueError):
    """A quantity that cannot be read; the message is one clear sentence."""


@dataclass(frozen=True, slots=True)
class Style:
    """A dimension and how it is dressed.

    ``unit`` is the SI unit, ``us`` and ``si`` the units shown; ``law`` is how a spread is
    distributed (positive scale: log-normal; share of one: logit-normal; the rest: normal).
    ``example`` is what an error message offers.
    """

    unit: str
    us: str
    si: str
    law: Law
    example: str
    what: str


STYLES: dict[str, Style] = {
    "length": Style("m", "ft", "m", "scale", "36 ft", "a length"),
    "short_length": Style("m", "in", "mm", "scale", "3/4 in", "a length"),
    "height": Style("m", "ft", "m", "plain", "8 in", "a height"),
    "short_height": Style("m", "in", "mm", "plain", "8 in", "a height"),
    "head": Style("m", "ft", "m", "scale", "14 ft", "a head of water"),
    "area": Style("m**2", "ft**2", "m**2", "scale", "12 ft**2", "an area"),
    "small_area": Style("m**2", "in**2", "cm**2", "scale", "200 in**2", "an area"),
    "volume": Style("m**3", "gal", "L", "scale", "10 L", "a volume"),
    "space": Style("m**3", "ft**3", "m**3", "scale", "900 cu ft", "a volume"),
    "flow": Style("m**3/s", "gal/min", "L/min", "scale", "3.5 gpm", "a flow"),
    "air_flow": Style("m**3/s", "ft**3/min", "m**3/h", "scale", "450 cfm", "an air flow"),
    "air_per_day": Style("m**3/s", "ft**3/day", "m**3/day", "scale", "1.5 m3/day", "an air flow"),
    "speed": Style("m/s", "ft/s", "m/s", "scale", "3 ft/s", "a speed"),
    "wind": Style("m/s", "knot", "m/s", "scale", "6 knots", "a wind speed"),
    "pressure": Style("Pa", "psi", "kPa", "scale", "2.2 psi", "a pressure"),
    "temperature": Style("K", "degF", "degC", "plain", "84 F", "a temperature"),
    "temperature_difference": Style(
        "delta_degC", "delta_degF", "delta_degC", "plain", "10 F", "a temperature difference"
    ),
    "heat": Style("W", "BTU/h", "W", "scale", "16000 Btu/h", "a heat rate"),
    "net_heat": Style("W", "BTU/h", "W", "plain", "2000 Btu/h", "a heat rate"),
    "power": Style("W", "W", "W", "scale", "1500 W", "a power"),
    "energy_per_day": Style("W", "kWh/day", "kWh/day", "scale", "12 kWh/day", "energy a day"),
    "energy": Style("J", "kWh", "kWh", "scale", "5 kWh", "an energy"),
    "irradiance": Style("W/m**2", "W/m**2", "W/m**2", "scale", "900 W/m2", "sunshine"),
    "current": Style("A", "A", "A", "scale", "12.2 A", "a current"),
    "leakage": Style("A", "mA", "mA", "scale", "5 mA", "a leakage current"),
    "tariff": Style("1/J", "1/kWh", "1/kWh", "scale", "0.30 per kWh", "a price of energy"),
    "cost_per_day": Style("1/s", "1/day", "1/day", "scale", "3 per day", "a cost a day"),
    "amp_hours_per_day": Style(
        "A", "A*h/day", "A*h/day", "scale", "45 A*h/day", "amp-hours a day"
    ),
    "charge": Style("C", "A*h", "A*h", "scale", "300 A*h", "a battery capacity"),
    "voltage": Style("V", "V", "V", "scale", "12 V", "a voltage"),
    "resistance": Style("ohm", "mohm", "mohm", "scale", "20 mOhm", "a resistance"),
    "frequency": Style("Hz", "Hz", "Hz", "scale", "60 Hz", "a frequency"),
    "wire": Style("m**2", "AWG", "mm**2", "scale", "10 AWG", "a wire size"),
    "seconds": Style("s", "s", "s", "scale", "47 s", "a time"),
    "minutes": Style("s", "min", "min", "scale", "10 min", "a time"),
    "hours": Style("s", "h", "h", "scale", "12 h", "a time"),
    "days": Style("s", "day", "day", "scale", "14 days", "a time"),
    "hours_per_day": Style("1", "h/day", "h/day", "scale", "12 h/day", "hours a day"),
    "per_day": Style("1/s", "1/day", "1/day", "scale", "11 per day", "a number of times a day"),
    "share_per_day": Style("1/s", "%/day", "%/day", "scale", "2 %/day", "a share a day"),
    "mass": Style("kg", "g", "g", "scale", "350 g", "a mass"),
    "mass_per_day": Style("kg/s", "g/day", "g/day", "scale", "60 g/day", "a mass a day"),
    "mass_per_hour": Style("kg/s", "lb/h", "kg/h", "scale", "2 kg/h", "a mass an hour"),
    "thickness_per_day": Style("m/s", "in/day", "mm/day", "scale", "0.3 mm/day", "growth a day"),
    "humidity_ratio": Style("1", "g/kg", "g/kg", "scale", "15 g/kg", "a humidity ratio"),
    "salinity": Style("kg/kg", "g/kg", "g/kg", "scale", "35 g/kg", "a salinity"),
    "share": Style("1", "%", "%", "fraction", "30 %", "a share"),
    "percent": Style("1", "%", "%", "plain", "3 %", "a percentage"),
    "ratio": Style("1", "", "", "scale", "5.5", "a ratio"),
    "money": Style("1", "", "", "scale", "40", "an amount of money"),
    "number": Style("1", "", "", "scale", "2", "a number"),
    "signed_number": Style("1", "", "", "plain", "0.5", "a number"),
    "angle": Style("rad", "deg", "deg", "plain", "210 deg", "an angle"),
    "heat_capacity": Style("J/K", "BTU/delta_degF", "kJ/K", "scale", "2000 kJ/K", "a heat capacity"),
    "conductance": Style("W/K", "BTU/h/delta_degF", "W/K", "scale", "1.2 W/K", "a conductance"),
    "conductivity": Style(
        "W/m/K", "BTU*in/h/ft**2/delta_degF", "W/m/K", "scale", "0.03 W/m/K", "a conductivity"
    ),
    "transmittance": Style(
        "W/m**2/K", "BTU/h/ft**2/delta_degF", "W/m**2/K", "scale", "5 W/m2/K", "a U-value"
    ),
    "fouling": Style(
        "m**2*K/W", "h*ft**2*delta_degF/BTU", "m**2*K/W", "scale", "0.0002 m2*K/W",
        "a fouling resistance",
    ),
    "density": Style("kg/m**3", "lb/ft**3", "kg/m**3", "scale", "200 kg/m3", "a density"),
}  # fmt: skip

_DEFAULT_STYLE = {
    "m": "length", "m**2": "area", "m**3": "volume", "m**3/s": "flow", "m/s": "speed",
    "Pa": "pressure", "K": "temperature", "delta_degC": "temperature_difference", "W": "power",
    "J": "energy", "W/m**2": "irradiance", "A": "current", "C": "charge", "V": "voltage",
    "ohm": "resistance", "Hz": "frequency", "s": "seconds", "1/s": "per_day", "kg": "mass",
    "kg/s": "mass_per_hour", "1": "number", "kg/kg": "humidity_ratio", "rad": "angle",
    "W/K": "conductance", "W/m/K": "conductivity", "W/m**2/K": "transmittance",
    "m**2*K/W": "fouling", "kg/m**3": "density",
}  # fmt: skip


def style_of(unit: str, style: str = "") -> str:
    """The style key to dress a figure of SI ``unit`` with; KeyError when there is none."""
    key = style or _DEFAULT_STYLE[unit]
    if STYLES[key].unit != unit and unit not in ("1", "kg/kg"):
        raise KeyError(f"style {key} is of {STYLES[key].unit}, not {unit}")
    return key


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as the owner wrote it, and in SI.

    ``half`` is the half-width of the central 90 %: SI, or relative to the value when
    ``relative``; None when no spread was written.
    """

    text: str
    style: str
    value: float
    half: float | None = None
    relative: bool = False

    @property
    def half_si(self) -> float:
        """The half-width in SI (0 when no spread was written)."""
        if self.half is None:
            return 0.0
        return abs(self.value) * self.half if self.relative else self.half


_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = re.compile(
    r"(?P<sign>[-+]?)\s*(?:"
    r"(?:(?P<whole>\d{1,6})\s+)?(?P<top>\d{1,6})\s*/\s*(?P<bottom>\d{1,6})(?![\d.,])"
    r"|(?P<grouped>\d{1,3}(?:,\d{3})+(?:\.\d+)?)(?![\d,])"
    r"|(?P<plain>(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,3})?)(?![\d,])"
    r")"
)
_UNIT = re.compile(r"(?:1/)?[A-Za-zµμΩ°%][A-Za-zµμΩ°%0-9_ .*/^()²³·\-]*|")
_GAUGE = re.compile(r"(?:(?P<aught>[1-4])/0|(?P<zeros>0{1,4})|(?P<n>\d{1,2}))\s*(?:awg|gauge)$", re.I)

# The owner's spellings, by the style's unit where one would be misread, else everywhere.
_ALIASES_BY_UNIT: dict[str, dict[str, str]] = {
    "K": {
        "f": "degF", "c": "degC", "k": "kelvin", "°f": "degF", "°c": "degC", "deg f": "degF",
        "deg c": "degC", "degf": "degF", "degc": "degC", "fahrenheit": "degF", "celsius": "degC",
    },
    "delta_degC": {
        "f": "delta_degF", "c": "delta_degC", "k": "delta_degC", "°f": "delta_degF",
        "°c": "delta_degC", "deg f": "delta_degF", "deg c": "delta_degC", "degf": "delta_degF",
        "degc": "delta_degC", "delta_degf": "delta_degF", "delta_degc": "delta_degC",
        "fahrenheit": "delta_degF", "celsius": "delta_degC",
    },
    "W": {"ton": "ton_of_refrigeration", "tons": "ton_of_refrigeration", "hp": "horsepower"},
    "rad": {"°": "degree", "deg": "degree", "degrees": "degree"},
    # Water caught in a cup or a jug, by its volume.
    "kg/s": {
        "l/h": "kg/h", "l/hr": "kg/h", "litres/h": "kg/h", "ml/h": "g/h", "gal/h": "gallon_of_water/h",
        "gph": "gallon_of_water/h", "quart/h": "quart_of_water/h", "l/day": "kg/day", "ml/day": "g/day",
    },
    "1/s": {"per day": "1/day", "a day": "1/day", "/day": "1/day", "times/day": "1/day"},
    "1/J": {"per kwh": "1/kWh", "/kwh": "1/kWh", "a kwh": "1/kWh"},
    "kg": {"ml": "g", "l": "kg", "litre": "kg", "litres": "kg"},  # water in a jug: a millilitre is a gram
    "kg/kg": {"ppt": "g/kg", "psu": "g/kg", "g/l": "g/kg"},
    "1": {"h": "hour/day", "hours": "hour/day", "h a day": "hour/day", "hours a day": "hour/day"},
}  # fmt: skip
_ALIASES: dict[str, str] = {
    "gpm": "gal/min", "gph": "gal/h", "us gal/min": "gal/min", "l/min": "L/min", "lpm": "L/min",
    "l/h": "L/h", "l": "L", "litre": "L", "litres": "L", "gal": "gal", "us gal": "gal",
    "imp gal": "imperial_gallon", "quart": "quart", "cfm": "ft**3/min",
    "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "a": "A", "volt": "V", "volts": "V",
    "v": "V", "watt": "W", "watts": "W", "w": "W", "kw": "kW", "ah": "A*h", "amp hours": "A*h",
    "amp-hours": "A*h", "ah/day": "A*h/day", "kwh": "kWh", "wh": "Wh", "kwh/day": "kWh/day",
    "btu/h": "BTU/h", "btu/hr": "BTU/h", "btuh": "BTU/h", "btu": "BTU/h", "kbtu/h": "kBTU/h",
    "in": "inch", "\"": "inch", "inches": "inch", "ft": "ft", "feet": "ft", "foot": "ft",
    "cu ft": "ft**3", "cuft": "ft**3", "cubic feet": "ft**3", "ft3": "ft**3", "sq ft": "ft**2",
    "ft2": "ft**2", "sq in": "inch**2", "in2": "inch**2", "in3": "inch**3", "mm2": "mm**2",
    "cm2": "cm**2", "m2": "m**2", "m3": "m**3", "m3/h": "m**3/h", "m3/day": "m**3/day",
    "m3/s": "m**3/s", "mohm": "mohm", "milliohm": "mohm", "ohms": "ohm", "hz": "Hz",
    "sec": "s", "secs": "s", "seconds": "s", "min": "min", "mins": "min", "hr": "h", "hrs": "h",
    "d": "day", "days": "day", "knots": "knot", "kn": "knot", "kt": "knot", "kts": "knot",
    "mph": "mile/hour", "kmh": "km/h", "g/d": "g/day", "percent": "%", "per cent": "%",
    "kpa": "kPa", "mbar": "mbar", "hpa": "hPa", "pa": "Pa", "inhg": "inHg",
    "w/m2": "W/m**2", "w/k": "W/K", "w/m/k": "W/m/K", "w/m2/k": "W/m**2/K",
    "m2*k/w": "m**2*K/W", "kg/m3": "kg/m**3", "lb": "lb", "lbs": "lb", "deg": "degree",
    "h/day": "hour/day", "hours/day": "hour/day",
}  # fmt: skip


@cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(on_redefinition="ignore")
    registry.define("kBTU = 1000 * BTU")
    registry.define("kBtu = 1000 * BTU")
    registry.define("gallon_of_water = 3.785411784 * kilogram")
    registry.define("quart_of_water = gallon_of_water / 4")
    return registry


def _canonical(unit: str, style: Style) -> str:
    """Our spelling of what the owner wrote, for pint to read."""
    unit = unit.strip().replace("²", "**2").replace("³", "**3").replace("·", "*")
    unit = unit.replace("µ", "u").replace("μ", "u").replace("Ω", "ohm").replace("^", "**")
    key = " ".join(unit.lower().split())
    by_unit = _ALIASES_BY_UNIT.get(style.unit, {})
    if key in by_unit:
        return by_unit[key]
    return _ALIASES.get(key, unit)


def _to_si(unit: str, si_unit: str) -> tuple[float, float]:
    """Factor and offset from ``unit`` to ``si_unit``; QuantityError when they do not match."""
    return FACTORS.get((unit, si_unit)) or _pint_to_si(unit, si_unit)


@cache
def _pint_to_si(unit: str, si_unit: str) -> tuple[float, float]:
    registry = _registry()
    try:
        parsed = registry.parse_units(unit)
        if si_unit in ("K", "delta_degC"):
            zero = registry.Quantity(0.0, parsed).to(si_unit).magnitude
            one = registry.Quantity(1.0, parsed).to(si_unit).magnitude
            return float(one - zero), float(zero)
        factor = registry.Quantity(1.0, parsed).to(si_unit).magnitude
    except Exception as error:  # pint raises a family of its own, and parser errors besides
        raise QuantityError(type(error).__name__) from None
    return float(factor), 0.0


def wire_area(gauge: float) -> float:
    """Cross-section (m²) of American Wire Gauge ``gauge`` (0 is 1/0, -1 is 2/0 ...).

    d = 0.127 mm · 92^((36-n)/39), ASTM B258. Nominal solid conductor.
    """
    diameter: float = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter**2


def wire_gauge(area: float) -> str:
    """The nearest American Wire Gauge to a cross-section (m²), as it is written."""
    n = round(36 - 39 * math.log(math.sqrt(area * 4 / math.pi) / 0.127e-3) / math.log(92))
    return f"{1 - n}/0 AWG" if n <= 0 else f"{n} AWG"


def _split_number(text: str) -> tuple[float, str] | None:
    match = _NUMBER.match(text)
    if not match:
        return None
    parts = match.groupdict()
    if parts["top"]:
        if int(parts["bottom"]) == 0:
            return None
        value = int(parts["whole"] or 0) + int(parts["top"]) / int(parts["bottom"])
    else:
        value = float((parts["grouped"] or parts["plain"]).replace(",", ""))
    return (-value if parts["sign"] == "-" else value), text[match.end() :].strip()


def _accepted(style: Style) -> str:
    spread = "± 2 F" if style.unit in ("K", "delta_degC") else "± 10 %"
    return f'"{style.example}", or with a spread "{style.example} {spread}"'


def shown(text: object, limit: int = 40) -> str:
    """What was given, safe to print: one line, no control characters, not too long."""
    line = "".join(c if c.isprintable() else "?" for c in str(text))
    return line if len(line) <= limit else line[: limit - 1] + "…"


def parse_measure(given: object, style_key: str) -> Measure:
    """Read what the owner wrote as a quantity of the style.

    Raises `QuantityError` with one sentence saying what was given and what is accepted.
    """
    style = STYLES[style_key]
    if isinstance(given, bool) or not isinstance(given, (str, int, float)):
        raise QuantityError(
            f"{shown(given)!r} is not {style.what}; accepted is text such as {_accepted(style)}"
        )
    if not isinstance(given, str):
        if style.us == "" and math.isfinite(given):
            return Measure(str(given), style_key, float(given))
        raise QuantityError(
            f"{shown(given)} has no unit; accepted is text with a unit such as {_accepted(style)}"
        )
    text = given.strip().replace("−", "-").replace("+/-", "±").replace("+-", "±")
    for sign, plain in _VULGAR.items():
        text = text.replace(sign, " " + plain)
    text = text.strip()
    wrong = f'"{shown(given)}" is not {style.what}; accepted is {_accepted(style)}'
    if len(text) > 80:
        raise QuantityError(wrong)
    main, mark, spread = text.partition("±")
    gauge = _GAUGE.match(main.strip()) if style_key == "wire" else None
    if gauge:
        n = 1 - int(gauge["aught"]) if gauge["aught"] else (
            1 - len(gauge["zeros"]) if gauge["zeros"] else int(gauge["n"]))  # fmt: skip
        if n > 40:
            raise QuantityError(wrong)
        value, unit = wire_area(n), "m**2"
    else:
        split = _split_number(main.strip())
        if split is None:
            raise QuantityError(wrong)
        number, unit = split
        if not unit and mark and style.us:  # "84 ± 3 F": the unit stands behind the spread
            tail = _split_number(spread.strip())
            unit = tail[1] if tail else ""
            if _canonical(unit, style) == "%" and style.unit != "1":
                raise QuantityError(f'"{shown(given)}" has no unit; accepted is {_accepted(style)}')
        factor, offset = _unit_factor(unit, style, given)
        value = number * factor + offset
    half, relative = None, False
    if mark:
        half, relative = _spread(spread.strip(), unit, style, given)
    if not math.isfinite(value):
        raise QuantityError(wrong)
    return Measure(text, style_key, value, half, relative)


def _unit_factor(unit: str, style: Style, given: str) -> tuple[float, float]:
    if not unit:
        if style.us == "":
            return 1.0, 0.0
        raise QuantityError(f'"{shown(given)}" has no unit; accepted is {_accepted(style)}')
    if len(unit) > 30 or not _UNIT.fullmatch(unit):
        raise QuantityError(f'"{shown(given)}" is not {style.what}; accepted is {_accepted(style)}')
    try:
        return _to_si(_canonical(unit, style), style.unit)
    except QuantityError as error:
        known = [*_ALIASES, *_ALIASES_BY_UNIT.get(style.unit, {})]
        near = get_close_matches(unit.lower(), known, 1) if str(error) != "DimensionalityError" else []
        hint = f' (did you mean "{near[0]}"?)' if near else ""
        raise QuantityError(
            f'"{shown(given)}": "{shown(unit)}" is not a unit of {_bare(style.what)}{hint};'
            f" accepted is {_accepted(style)}"
        ) from None


def _bare(what: str) -> str:
    """What a quantity is, without its article; some have none (sunshine, amp-hours a day)."""
    return what.removeprefix("an ").removeprefix("a ")


def _spread(spread: str, unit: str, style: Style, given: str) -> tuple[float, bool]:
    split = _split_number(spread)
    if split is None or not 0 <= split[0] < 1e12:
        raise QuantityError(f'"{shown(given)}": the spread is not a number; accepted is {_accepted(style)}')
    size, spread_unit = split
    percent = _canonical(spread_unit, style) == "%"
    if percent and _canonical(unit, style) != "%":
        if style.unit in ("K", "delta_degC"):
            raise QuantityError(
                f'"{shown(given)}": a spread in % has no meaning on a temperature; accepted is '
                f"{_accepted(style)}"
            )
        return size / 100, True
    # A difference of temperatures has no offset.
    against = STYLES["temperature_difference"] if style.unit == "K" else style
    factor, _ = _unit_factor(spread_unit or unit, against, given)
    return size * factor, False


# --- dressing -------------------------------------------------------------------------------

_PRETTY = {
    "degF": "°F", "degC": "°C", "delta_degF": "°F", "delta_degC": "°C", "BTU/h": "BTU/h",
    "A*h": "Ah", "A*h/day": "Ah/day", "ft**2": "ft²", "m**2": "m²", "ft**3": "ft³",
    "m**3": "m³", "in**2": "in²", "cm**2": "cm²", "mm**2": "mm²", "mohm": "mΩ", "deg": "°",
    "ft**3/min": "ft³/min", "m**3/h": "m³/h", "ft**3/day": "ft³/day", "m**3/day": "m³/day",
    "knot": "knots", "W/m**2": "W/m²", "day": "days", "1/day": "a day", "1/kWh": "a kWh", "h/day": "h a day",
    "%/day": "% a day", "BTU/h/delta_degF": "BTU/h·°F", "W/m**2/K": "W/m²·K",
    "BTU/h/ft**2/delta_degF": "BTU/h·ft²·°F", "BTU*in/h/ft**2/delta_degF": "BTU·in/h·ft²·°F",
    "W/m/K": "W/m·K", "kg/m**3": "kg/m³", "lb/ft**3": "lb/ft³", "m**2*K/W": "m²K/W",
    "h*ft**2*delta_degF/BTU": "h·ft²·°F/BTU",
}  # fmt: skip


def shown_unit(style_key: str, system: System) -> str:
    """The unit a style is shown in, in ASCII, as `parse_measure` reads it back."""
    style = STYLES[style_key]
    return style.us if system == "us" else style.si


def pretty_unit(style_key: str, system: System) -> str:
    """The unit a style is shown in, for reading."""
    unit = shown_unit(style_key, system)
    return _PRETTY.get(unit, unit)


def convert(value: Any, style_key: str, system: System) -> Any:
    """SI value or array to the unit the style is shown in."""
    unit = shown_unit(style_key, system)
    if unit == "AWG":
        unit = "mm**2"
    if not unit:
        return value
    factor, offset = _to_si(unit, STYLES[style_key].unit)
    return (value - offset) / factor


def convert_difference(value: float, style_key: str, system: System) -> float:
    """A difference of two SI values to the unit shown: one of temperatures has no offset."""
    return float(convert(value, style_key, system)) - float(convert(0.0, style_key, system))


def number_text(value: float, digits: int = 3) -> str:
    """Two or three significant digits, never in scientific notation, never ``-0``."""
    if not math.isfinite(value):
        return "–"
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    if rounded == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(rounded)))  # 9.96 became 10
    if places <= 0:
        return f"{int(rounded):,}" if abs(rounded) >= 10_000 else f"{int(rounded)}"
    text = f"{rounded:.{min(places, 8)}f}"
    if float(text) == 0:  # less than the eighth place, of either sign
        return "0"
    return text.rstrip("0").rstrip(".") if abs(rounded) < 1e-3 else text


_WHOLE = ("temperature",)
"""Styles said in whole units: nobody reads tenths of a degree off a cabin."""

_TENTHS = ("temperature_difference",)
"""Styles said to a tenth at the finest: no thermometer aboard tells more."""

_THREE = ("voltage", "angle")
"""Styles said with three digits: 11.8 V is not 12 V, nor 32.1° a neighbour of 32°."""


def say(value: float, style_key: str, system: System) -> str:
    """A number with its unit, dressed for reading."""
    if style_key == "wire":
        return (
            wire_gauge(value) if system == "us" and 0 < value < 1 else f"{number_text(value * 1e6, 2)} mm²"
        )
    shown_value = float(convert(value, style_key, system))
    unit = pretty_unit(style_key, system)
    if style_key in _WHOLE and 10 <= abs(shown_value) < math.inf:
        figure = f"{round(shown_value)}"
    elif style_key in _TENTHS and abs(shown_value) < 1:
        figure = number_text(round(shown_value, 1), 1)
    else:
        few = abs(shown_value) < 100 and style_key not in _THREE
        counted = style_key in ("number", "money") and shown_value.is_integer()  # two people, not 2.0
        figure = f"{int(shown_value)}" if counted else number_text(shown_value, 2 if few else 3)
    joint = "" if unit in ("°",) else " "
    return f"{figure}{joint}{unit}".strip()


def say_range(value: float, low: float, high: float, style_key: str, system: System) -> str:
    """Nominal with its range: ``"2.1 gal/min (1.7 to 2.6)"``."""
    text = say(value, style_key, system)
    if style_key == "wire":
        return text
    unit = pretty_unit(style_key, system)
    low_text, high_text = (say(edge, style_key, system).removesuffix(unit).strip() for edge in (low, high))
    return f"{text} ({low_text} to {high_text})"
