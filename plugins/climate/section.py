"""The ``[climate]`` table: the air conditioner's label, its state, and the cabin it serves."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from console.fields import Quantity, Table, choice, quantity, text

_DEFAULTS = "plugins.climate.defaults"
_BTU_H = 0.29307107
LEAST_EER, MOST_EER = 2.0, 28.0
"""BTU/h per volt-ampere that capacity and amps may leave: above lies Carnot's limit between the rated 45
and 105 °F (28.7)."""


class Climate(Table):
    """A seawater-cooled air conditioner and its cabin. Empty means the average one."""

    # --- the label ------------------------------------------------------------------------------
    capacity: Quantity = quantity(
        "heat", "14000 Btu/h ± 25 %", hard=("2000 Btu/h", "60000 Btu/h"),
        usual=("4000 Btu/h", "24000 Btu/h"),
        help="Cooling capacity, from the label on the unit or its manual.",
    )  # fmt: skip
    delivered_share: Quantity = quantity(
        "share", "90 % ± 8 %", hard=("40 %", "100 %"), usual=("75 %", "100 %"),
        help="What the unit really delivers of its label; small marine units have no agreed rating"
        " standard. Leave it unless it was measured.",
    )  # fmt: skip
    current: Quantity = quantity(
        "current", "± 17 %", compute=f"{_DEFAULTS}:running_current", hard=("0.8 A", "80 A"),
        usual=("2 A", "25 A"), given="± 7 %",
        help="Running amps of compressor and fan, from the label (not the locked-rotor amps, LRA).",
    )  # fmt: skip
    eer: Quantity = quantity(
        "ratio", None, hard=("3", "25"), usual=("7", "18"), given="± 7 %",
        help="Energy efficiency ratio from the label, BTU/h per watt, if it states one; it then"
        " stands before the amps.",
    )  # fmt: skip
    voltage: Quantity = quantity(
        "voltage", "± 0 %", compute=f"{_DEFAULTS}:label_voltage", hard=("90 V", "260 V"),
        usual=("100 V", "240 V"), help="Rated voltage, from the label.",
    )  # fmt: skip
    frequency: Quantity = quantity(
        "frequency", "± 0 %", compute=f"{_DEFAULTS}:dock_frequency", hard=("45 Hz", "65 Hz"), usual=("50 Hz", "60 Hz"),
        help="Rated frequency, from the label.",
    )  # fmt: skip
    supply_frequency: Quantity = quantity(
        "frequency", "± 0 %", compute=f"{_DEFAULTS}:dock_frequency", hard=("45 Hz", "65 Hz"), usual=("50 Hz", "60 Hz"),
        help="The dock's frequency: 60 Hz in the Americas, 50 Hz nearly everywhere else.",
    )  # fmt: skip
    refrigerant: Literal["R410A", "R32", "R454B", "R407C", "R22", "R134a"] = choice(
        "R410A", help="Refrigerant, from the label. Older units have R22."
    )
    trip_temperature: Quantity = quantity(
        "temperature", "146 F ± 4 F", hard=("115 F", "150 F"), usual=("135 F", "150 F"),
        help="Condensing temperature at which the high-pressure switch opens: about 600 psi with"
        " R410A, 410 with R22. Leave it unless a technician wrote it down.",
    )  # fmt: skip
    low_pressure_trip: Quantity = quantity(
        "temperature", "8 F ± 12 F", hard=("-25 F", "30 F"), usual=("-10 F", "25 F"),
        help="Evaporating temperature at which the low-pressure switch opens: 40 to 80 psi with R410A,"
        " 25 to 40 with R22. Leave it unless a technician wrote it down.",
    )  # fmt: skip
    power_factor: Quantity = quantity(
        "share", "94 % ± 4 %", hard=("50 %", "100 %"), usual=("80 %", "100 %"),
        help="Watts over volts times amps; a run capacitor keeps it high.",
    )  # fmt: skip
    start_multiple: Quantity = quantity(
        "ratio", "5.5 ± 35 %", hard=("1", "10"), usual=("3", "7"),
        help="Locked-rotor amps (LRA on the label) over running amps.",
    )  # fmt: skip
    locked_rotor: Quantity = quantity(
        "current", None, hard=("3 A", "400 A"), usual=("10 A", "150 A"), given="± 7 %",
        help="Locked-rotor amps, LRA on the label; it then stands before the multiple.",
    )  # fmt: skip
    soft_start: bool = text(False, help="Whether a soft starter is fitted to the compressor.")

    # --- air and water side as built --------------------------------------------------------------
    set_point: Quantity = quantity(
        "temperature", "75 F", hard=("50 F", "95 F"), usual=("68 F", "84 F"),
        help="What its thermostat is set to.",
    )  # fmt: skip
    precool: Quantity = quantity(
        "temperature_difference", "0 F", hard=("0 F", "20 F"), usual=("0 F", "8 F"),
        help="How far below the set-point the cabin is cooled ahead of the heat, in the hours of precool_hours.",
    )  # fmt: skip
    precool_hours: list[str] = text(
        ["03:00-08:00"], help="When it is cooled below the set-point, if at all."
    )
    fan: Literal["always", "with_compressor"] = choice(
        "with_compressor",
        help="Whether the fan stops with the compressor or runs on (it then blows the pan's water back).",
    )
    airflow: Quantity = quantity(
        "air_flow", "± 28 %", compute=f"{_DEFAULTS}:air_flow", hard=("40 cfm", "3000 cfm"),
        usual=("120 cfm", "900 cfm"), help="Air through the unit when clean, from its manual.",
    )  # fmt: skip
    fan_power: Quantity = quantity(
        "power", "± 40 %", compute=f"{_DEFAULTS}:fan_power", hard=("5 W", "500 W"),
        help="What the unit's blower draws.",
    )  # fmt: skip
    pump_power: Quantity = quantity(
        "power", "± 40 %", compute=f"{_DEFAULTS}:pump_power", hard=("0 W", "1500 W"),
        help="What the seawater pump draws, from its label.",
    )  # fmt: skip
    coil_bypass: Quantity = quantity(
        "share", "15 % ± 8 %", hard=("2 %", "60 %"), usual=("5 %", "35 %"),
        help="Share of the air that passes the clean cold coil untouched; built in.",
    )  # fmt: skip
    rated_evaporating: Quantity = quantity(
        "temperature", "45 F ± 2 F", hard=("33 F", "60 F"), usual=("38 F", "52 F"),
        help="Evaporating temperature at the rating point; built in.",
    )  # fmt: skip
    rated_condensing: Quantity = quantity(
        "temperature", "105 F ± 3 F", hard=("98 F", "125 F"), usual=("100 F", "115 F"),
        help="Condensing temperature at the rating point, with 85 F seawater; built in.",
    )  # fmt: skip

    # --- state ------------------------------------------------------------------------------------
    airflow_share: Quantity = quantity(
        "share", "100 %", hard=("5 %", "100 %"), usual=("50 %", "100 %"),
        help="What the blower still moves of its air, apart from filter, ice and ducts.",
    )  # fmt: skip
    filter_blocked: Quantity = quantity(
        "share", "10 % ± 10 %", hard=("0 %", "98 %"), usual=("0 %", "60 %"),
        help="Share of the return filter that is clogged; look through it at a lamp.",
    )  # fmt: skip
    duct_restriction: Quantity = quantity(
        "share", "10 % ± 10 %", hard=("0 %", "98 %"), usual=("0 %", "60 %"),
        help="Share of the duct's opening lost to kinks, crushed runs and shut grilles.",
    )  # fmt: skip
    iced_share: Quantity = quantity(
        "share", "0 %", hard=("0 %", "98 %"), usual=("0 %", "80 %"),
        help="Share of the coil's face under ice; breaker off, then look behind the filter.",
    )  # fmt: skip
    charge: Quantity = quantity(
        "percent", "100 % ± 3 %", hard=("15 %", "150 %"), usual=("60 %", "120 %"),
        help="Refrigerant in the unit, of the right amount. Only a licensed technician can tell.",
    )  # fmt: skip
    return_from_bilge: Quantity = quantity(
        "share", "5 % ± 5 %", hard=("0 %", "95 %"), usual=("0 %", "40 %"),
        help="Share of the return air drawn from bilge and lockers past gaps round the unit.",
    )  # fmt: skip
    bilge_warmth: Quantity = quantity(
        "temperature_difference", "0 F ± 6 F", hard=("-20 F", "40 F"), usual=("-8 F", "20 F"),
        help="What the air of bilge, lockers and behind the lining is above the mean of sea and outside air;"
        " the liner under a sunny deck is much warmer.",
    )  # fmt: skip
    supply_recirculated: Quantity = quantity(
        "share", "3 % ± 3 %", hard=("0 %", "60 %"), usual=("0 %", "30 %"),
        help="Share of the cold air that goes straight back into the return.",
    )  # fmt: skip
    thermostat_offset: Quantity = quantity(
        "temperature_difference", "0 F ± 1.5 F", hard=("-20 F", "20 F"), usual=("-6 F", "6 F"),
        help="What the thermostat reads above the cabin's air (negative: it stands in the cold stream).",
    )  # fmt: skip

    # --- the cabin --------------------------------------------------------------------------------
    cabin_volume: Quantity = quantity(
        "space", "± 25 %", compute=f"{_DEFAULTS}:cabin_volume", hard=("100 cu ft", "10000 cu ft"),
        usual=("400 cu ft", "2500 cu ft"), help="Volume of the cooled cabin.",
    )  # fmt: skip
    held_humidity: Quantity = quantity(
        "share", "60 % ± 15 %", hard=("20 %", "95 %"), usual=("40 %", "75 %"),
        help="Relative humidity at which the cooling load is reckoned; cooled cabins lie at 45 to 75 %.",
        reading="cabin_humidity",
    )  # fmt: skip
    people: Quantity = quantity(
        "number", "2 ± 0.8", hard=("0", "20"), usual=("0", "8"), help="People aboard, on average over the day.",
    )  # fmt: skip
    activity: Literal["seated", "light", "office", "working"] = choice(
        "light", help="What they do: seated at rest, light (reading, galley), office, working hard."
    )
    cooking_power: Quantity = quantity(
        "power", "800 W ± 50 %", hard=("0 W", "8000 W"), usual=("0 W", "4000 W"),
        help="Heat of the burners while they burn; one gas burner gives 0.8 to 2 kW.",
    )  # fmt: skip
    cooking_hours: list[str] = text(["07:00-07:15", "18:00-18:30"], help="When the stove burns.")
    evaporation: Quantity = quantity(
        "mass_per_day", "1500 g/day ± 60 %", hard=("0 g/day", "50000 g/day"), usual=("0 g/day", "10000 g/day"),
        help="Water that dries off inside in a day at 75 F and 60 %: washing, wet gear, damp lockers. In"
        " colder or damper air less does.",
    )  # fmt: skip
    awning: Quantity = quantity(
        "share", "0 %", hard=("0 %", "100 %"), help="Share of the deck over the cabin under an awning.",
    )  # fmt: skip
    hatch_open: Quantity = quantity(
        "share", "0 % ± 2 %", hard=("0 %", "100 %"), usual=("0 %", "30 %"),
        help="Share of the deck hatches' opening left open, cracks of bad seals included.",
    )  # fmt: skip
    leakage_area: Quantity = quantity(
        "small_area", "± 60 %", compute=f"{_DEFAULTS}:leakage_area", hard=("0 cm2", "10000 cm2"),
        usual=("30 cm2", "1500 cm2"),
        help="All gaps of the shut-up cabin taken together: companionway, ventilators, lockers.",
    )  # fmt: skip
    vents_shut: Quantity = quantity(
        "share", "0 %", hard=("0 %", "100 %"),
        help="Share of the ventilators shut or plugged; taken as two fifths of all gaps.",
    )  # fmt: skip
    berth: Literal["open", "light", "harbour", "sheltered", "enclosed"] = choice(
        "harbour",
        help="How open to the wind she lies: open anchorage ... harbour ... covered basin. It shifts"
        " the wind that is assumed; a wind you state is taken as it is.",
    )
    glass_overhead: Quantity = quantity(
        "area", "± 40 %", compute=f"{_DEFAULTS}:overhead_glass", hard=("0 ft**2", "200 ft**2"),
        usual=("1 ft**2", "40 ft**2"), help="Glass of deck hatches and skylights.",
    )  # fmt: skip
    glass_port: Quantity = quantity(
        "area", "± 40 %", compute=f"{_DEFAULTS}:side_glass", hard=("0 ft**2", "200 ft**2"),
        usual=("0 ft**2", "40 ft**2"), help="Glass of windows and port-lights, port side.",
    )  # fmt: skip
    glass_starboard: Quantity = quantity(
        "area", "± 40 %", compute=f"{_DEFAULTS}:side_glass", hard=("0 ft**2", "200 ft**2"),
        usual=("0 ft**2", "40 ft**2"), help="Glass of windows and port-lights, starboard side.",
    )  # fmt: skip
    glass_forward: Quantity = quantity(
        "area", "0.5 ft**2 ± 60 %", hard=("0 ft**2", "200 ft**2"), usual=("0 ft**2", "40 ft**2"),
        help="Glass that looks over the bow.",
    )  # fmt: skip
    glass_solar_gain: Quantity = quantity(
        "share", "65 % ± 15 %", hard=("5 %", "90 %"), usual=("20 %", "87 %"),
        help="Share of the sun's heat the glass lets in: 86 % clear, 60 % smoked acrylic, 25 % with a"
        " reflective film or an outside cover.",
    )  # fmt: skip
    glass_covered: Quantity = quantity(
        "share", "0 %", hard=("0 %", "100 %"),
        help="Share of the glass under a reflective cover outside.",
    )  # fmt: skip
    glass_curtained: Quantity = quantity(
        "share", "20 % ± 20 %", hard=("0 %", "100 %"), help="Share of the glass with a curtain or screen inside.",
    )  # fmt: skip
    deck_sun: Quantity = quantity(
        "share", "100 %", hard=("0 %", "100 %"), usual=("20 %", "100 %"),
        help="Share of the sun that reaches deck and hatches past other shade than the awning: trees, a"
        " shed, the boom's cover.",
    )  # fmt: skip
    deck_absorptance: Quantity = quantity(
        "share", "± 20 %", compute=f"{_DEFAULTS}:deck_absorptance", hard=("10 %", "97 %"),
        help="Share of the sun the deck takes up; from its colour.",
    )  # fmt: skip
    topside_colour: Literal["light", "medium", "dark", "teak"] = choice(
        "light", help="Colour of the topsides."
    )
    roof_insulation: Quantity = quantity(
        "short_length", "1/2 in ± 50 %", hard=("0 in", "8 in"), usual=("0 in", "3 in"),
        help="Foam or balsa core in or under deck and coach-roof, thickness.",
    )  # fmt: skip
    side_insulation: Quantity = quantity(
        "short_length", "1/8 in ± 80 %", hard=("0 in", "8 in"), usual=("0 in", "3 in"),
        help="Foam behind the lining of topsides and coach-roof sides, thickness.",
    )  # fmt: skip
    hull_insulation: Quantity = quantity(
        "short_length", "1/16 in ± 80 %", hard=("0 in", "8 in"), usual=("0 in", "3 in"),
        help="Foam or core of the hull below the waterline, thickness.",
    )  # fmt: skip
    duct_insulation: Quantity = quantity(
        "short_length", "1/4 in ± 60 %", hard=("0 in", "3 in"), usual=("0 in", "1 in"),
        help="Insulation round the supply ducts, thickness; bare ducts sweat.",
    )  # fmt: skip
    roof_area: Quantity = quantity(
        "area", "± 20 %", compute=f"{_DEFAULTS}:roof_area", hard=("5 ft**2", "3000 ft**2"),
        help="Deck and coach-roof over the cabin.",
    )  # fmt: skip
    side_area: Quantity = quantity(
        "area", "± 20 %", compute=f"{_DEFAULTS}:side_area", hard=("5 ft**2", "3000 ft**2"),
        help="Topsides and coach-roof sides of the cabin, both sides.",
    )  # fmt: skip
    hull_area: Quantity = quantity(
        "area", "± 20 %", compute=f"{_DEFAULTS}:hull_area", hard=("0 ft**2", "3000 ft**2"),
        help="Underwater hull below the cabin.",
    )  # fmt: skip
    furnishings_capacity: Quantity = quantity(
        "heat_capacity", "± 40 %", compute=f"{_DEFAULTS}:furnishings_capacity", hard=("50 kJ/K", "50000 kJ/K"),
        help="Heat stored per degree by joinery, cushions and stores.",
    )  # fmt: skip

    @model_validator(mode="after")
    def _label_agrees_with_itself(self) -> Climate:
        """Refuse a label whose capacity and amps leave an efficiency no such unit has."""
        if self.capacity is None or self.current is None or self.voltage is None:
            return self
        if self.current.value <= 0.0 or self.voltage.value <= 0.0:
            return self  # the fields' own limits say what is wrong
        ratio = self.capacity.value / _BTU_H / (self.current.value * self.voltage.value)
        if not LEAST_EER <= ratio <= MOST_EER:
            raise ValueError(
                f"capacity, current and voltage leave {ratio:.1f} BTU/h for each volt-ampere, which no such unit"
                f" has; accepted is a label between {LEAST_EER:g} and {MOST_EER:g}"
            )
        return self
