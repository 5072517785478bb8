"""The table [power] of the boat file."""

from __future__ import annotations

from typing import Literal

from pydantic import field_validator

from console.fields import Quantity, Table, choice, quantity, table, tables, text
from plugins.power.loads import clock_intervals
from plugins.power.section_asks import Anchor, Ask, Away, Leakage

_DEFAULTS = "plugins.power.defaults:"


def _checked_hours(value: list[str]) -> list[str]:
    clock_intervals(value)
    return value


class Load(Table):
    """Something that runs, on shore or on the bank."""

    name: str = text("load", help="What you call it.")
    power: Quantity = quantity(
        "power", "100 W ± 60 %", given="± 10 %", hard=("0 W", "20000 W"), usual=("1 W", "3500 W"),
        help="What it takes while it is on, from its label (a charger's label says what it can take).",
    )  # fmt: skip
    current: Quantity = quantity(
        "current", None, given="± 5 %", hard=("0 A", "300 A"), usual=("0.05 A", "60 A"),
        help="Its running amps, if the label says amps: at mains volts on shore or behind an inverter, "
        "else at the volts of its path (12 or 24). Leave it out when you know the watts.",
    )  # fmt: skip
    hours: list[str] = text(
        [], help='When it may be on, local clock: ["06:00-07:00", "22:00-02:00"]; empty is all day.'
    )
    when: Literal["as_listed", "night"] = choice(
        "as_listed", help="night moves those hours, all together, so that the first begins at 03:00."
    )
    share: Quantity = quantity(
        "share", "85 % ± 15 %", hard=("0 %", "100 %"),
        help="How much of those hours it is truly on (a thermostat, a cycle); a water heater is often "
        "on for half an hour of its hour.",
    )  # fmt: skip
    energy: Quantity = quantity(
        "energy", None, given="± 10 %", hard=("0 Wh", "100 kWh"), usual=("1 Wh", "10 kWh"),
        help="What it takes until it is full, for a thing charged at constant current: it starts at its "
        "first hour and stops when it has this.",
    )  # fmt: skip
    where: Literal["shore", "bank"] = choice("shore", help="On shore power, or on the battery bank.")
    path: Literal["direct", "regulated_12", "regulated_24", "inverter", "inverter_charger"] = choice(
        "direct",
        help="How it hangs on the bank: direct, behind a regulated 12 V or 24 V stage, behind the "
        "inverter, or by its own plug-in charger behind the inverter.",
    )
    supply: Literal["any", "steady"] = choice(
        "any", help="steady when it wants a steady voltage: a bank swings from 11.5 to 14.6 V."
    )
    kind: Literal["heater", "motor", "electronics"] = choice(
        "electronics",
        help="heater for an element (its amps fall with the volts), motor, or electronics (theirs rise).",
    )
    lamp: Literal["no", "filament", "halogen", "fluorescent", "led"] = choice(
        "no", help="What kind of lamps its watts are of, if it is lamps."
    )
    leg: Literal["one", "two", "both"] = choice(
        "one", help="Which leg of a two-leg (240/120 V) inlet it is on; both for a 240 V load."
    )
    cabin_heat_share: Quantity = quantity(
        "share", "70 % ± 20 %", hard=("0 %", "100 %"),
        help="How much of what it takes ends as heat in the cabin: nearly all of a light's, little of a "
        "water heater's whose hot water goes down the drain.",
    )  # fmt: skip

    _hours = field_validator("hours")(_checked_hours)


class Charger(Table):
    """The charger that stands between shore and the bank."""

    current: Quantity = quantity(
        "current", "40 A ± 40 %", given="± 5 %", hard=("0.5 A", "500 A"), usual=("5 A", "200 A"),
        help="The most it gives the bank, from its label.",
    )  # fmt: skip
    efficiency: Quantity = quantity(
        "share", "85 % ± 6 %", hard=("30 %", "99 %"), usual=("70 %", "96 %"),
        help="What comes out of what goes in; an old transformer 75 %, a modern one 90 %.",
    )  # fmt: skip
    power_factor: Quantity = quantity(
        "share", "85 % ± 13 %", hard=("30 %", "100 %"),
        help="Its power factor, from the label: an old one 0.6 to 0.7 (60 to 70 %), a corrected one 0.98.",
    )  # fmt: skip
    leg: Literal["one", "two"] = choice("two", help="Which leg of a two-leg inlet it is on.")


class Shore(Table):
    """The way from the post on the dock to the boat's own panel."""

    legs: Literal["one", "two"] = choice(
        "one", help="two for a 240/120 V inlet with two hot wires (50 A, four prongs), else one."
    )
    voltage: Quantity = quantity(
        "voltage", "± 7 %", given="± 3 %", compute=_DEFAULTS + "shore_voltage",
        hard=("60 V", "280 V"), usual=("100 V", "250 V"),
        help="Volts at the post while the dock is busy, one leg (of a two-leg post both together will "
        "do too): the panel meter with your own loads off. 117 V or 228 V is usual.",
    )  # fmt: skip
    frequency: Quantity = quantity(
        "frequency", None, hard=("40 Hz", "70 Hz"), usual=("49 Hz", "61 Hz"),
        help="The dock's frequency, 50 or 60 Hz, where it is not what your labels say; motors and pumps "
        "run at its pace.",
    )  # fmt: skip
    inlet_current: Quantity = quantity(
        "current", None, compute=_DEFAULTS + "inlet_current", hard=("1 A", "200 A"), usual=("10 A", "63 A"),
        help="Rating of the inlet on the boat, stamped on it: 30 A at 120 V or 16 A at 230 V is usual.",
    )  # fmt: skip
    post_breaker: Quantity = quantity(
        "current", None, compute=_DEFAULTS + "post_breaker", hard=("1 A", "200 A"), usual=("5 A", "100 A"),
        help="The breaker at the post, each leg. Silent: the inlet's size, but 10 A behind a 16 A socket "
        "of 230 V.",
    )  # fmt: skip
    main_breaker: Quantity = quantity(
        "current", None, compute=_DEFAULTS + "main_breaker", hard=("1 A", "200 A"), usual=("5 A", "100 A"),
        help="The boat's own main breaker, each leg. Silent: the inlet's size.",
    )  # fmt: skip
    adapter_current: Quantity = quantity(
        "current", None, hard=("1 A", "200 A"), usual=("5 A", "100 A"),
        help="Rating of the smallest plug of an adapter between post and cord, if there is one: a 15 A "
        "outlet behind a 30 A cord holds 15 A.",
    )  # fmt: skip
    cord_gauge: Quantity = quantity(
        "wire", None, compute=_DEFAULTS + "cord_area", hard=("0.5 mm2", "120 mm2"),
        usual=("1.5 mm2", "35 mm2"),
        help="Wire size of the shore cord, printed on its jacket (10 AWG, 2.5 mm2).",
    )  # fmt: skip
    cord_current: Quantity = quantity(
        "current", None, compute=_DEFAULTS + "cord_rating", hard=("1 A", "200 A"), usual=("10 A", "100 A"),
        help="Rating of the cord from its label. Silent: what a cord of its wire size is sold with.",
    )  # fmt: skip
    cord_length: Quantity = quantity(
        "length", "50 ft ± 10 ft", given="± 5 %", hard=("0.5 m", "200 m"), usual=("3 m", "60 m"),
        help="Length of the shore cord, both cords if there are two.",
    )  # fmt: skip
    cord_temperature: Quantity = quantity(
        "temperature", "40 degC ± 12 degC", given="± 5 degC", hard=("-30 degC", "120 degC"),
        help="How warm the copper of the cord is: warm to the hand in the sun and under load is 40 to 50 C.",
    )  # fmt: skip
    dock_resistance: Quantity = quantity(
        "resistance", "60 mohm ± 70 %", given="± 20 %", hard=("0 mohm", "5000 mohm"),
        usual=("5 mohm", "400 mohm"),
        help="What the dock's own wiring takes, out and back: the fall in volts at the post when you "
        "switch on a known load, divided by its amps (1 V at 12 A is 80 mohm).",
    )  # fmt: skip
    contact_resistance: Quantity = quantity(
        "resistance", "14 mohm ± 350 %", given="± 20 %", hard=("0 mohm", "2000 mohm"),
        usual=("1 mohm", "200 mohm"),
        help="What plug and inlet contacts take, all together. Unknown unless an electrician measured it: "
        "2 mohm when clean, 100 when burnt. Feeling the plug after an hour of load is the test.",
    )  # fmt: skip
    tariff: Quantity = quantity(
        "tariff", None, hard=("0 per kWh", "1000 per kWh"), usual=("0.02 per kWh", "5 per kWh"),
        help="What the dock asks for a kilowatt-hour, in your own money: 0.32 per kWh.",
    )  # fmt: skip
    money: str = text("", help="What your money is called, to be said beside the cost: dollars, euro.")


class Bank(Table):
    """The battery bank that feeds the boat."""

    capacity: Quantity = quantity(
        "charge", "300 A*h ± 40 %", given="± 3 %", hard=("1 A*h", "10000 A*h"),
        usual=("50 A*h", "1500 A*h"),
        help="Amp-hours on the labels at the bank's own voltage (20-hour rate): two 6 V of 200 Ah in "
        "series are 200 Ah of 12 V.",
    )  # fmt: skip
    chemistry: Literal["lead", "lithium"] = choice(
        "lead", help="lead (flooded, gel, AGM) or lithium (iron phosphate)."
    )
    voltage: Quantity = quantity(
        "voltage", "12 V", hard=("6 V", "60 V"), usual=("12 V", "48 V"),
        help="Nominal voltage of the bank: 12 or 24 V (lithium labelled 12.8 or 25.6 V counts as those).",
    )  # fmt: skip
    health: Quantity = quantity(
        "share", "85 % ± 13 %", hard=("5 %", "100 %"),
        help="What age has left of the label's capacity; a five-year-old lead bank is often at 70 %.",
    )  # fmt: skip
    usable_share: Quantity = quantity(
        "share", "± 10 %", compute=_DEFAULTS + "usable_share", hard=("5 %", "100 %"),
        help="How much of it you are willing to use: 45 % of lead, 80 % of lithium is usual.",
    )  # fmt: skip
    peukert: Quantity = quantity(
        "ratio", "± 4 %", compute=_DEFAULTS + "peukert_exponent", hard=("1", "1.6"), usual=("1", "1.4"),
        help="How much a hard discharge costs: Peukert's exponent, 1.2 for lead, nearly 1 for lithium.",
    )  # fmt: skip
    charge_efficiency: Quantity = quantity(
        "share", "± 4 %", compute=_DEFAULTS + "charge_efficiency", hard=("30 %", "100 %"),
        help="Amp-hours you get back of those put in: 85 % lead, 96 % lithium.",
    )  # fmt: skip
    state_at_sunset: Quantity = quantity(
        "share", "92 % ± 8 %", given="± 4 %", hard=("0 %", "100 %"),
        help="How full the bank is when the sun goes down: the battery monitor, or rest volts of lead.",
    )  # fmt: skip
    recharge: Quantity = quantity(
        "share", "0 % ± 20 %", given="± 5 %", hard=("0 %", "100 %"),
        help="How much of the bank must be put back from shore on this day, after coming in: 0 when you "
        "have been plugged in.",
    )  # fmt: skip
    recharge_from: str = text("17:00", help="When you plug in with that low bank, local clock.")
    current_limit: Quantity = quantity(
        "current", None, hard=("1 A", "5000 A"), usual=("30 A", "500 A"),
        help="The most the bank may give for long: its battery management system, main fuse or cable, "
        "whichever is least.",
    )  # fmt: skip

    @field_validator("recharge_from")
    @classmethod
    def _clock(cls, value: str) -> str:
        first = value.strip()
        try:
            clock_intervals([f"{first}-{'00:01' if first != '00:01' else '00:02'}"])
        except ValueError:
            raise ValueError(
                f'"{value[:20]}" is not a time of day; accepted is "HH:MM" such as "17:00"'
            ) from None
        return first


class Solar(Table):
    """Panels on a boat that swings."""

    peak_power: Quantity = quantity(
        "power", "200 W ± 40 %", given="± 3 %", hard=("0 W", "20000 W"), usual=("20 W", "3000 W"),
        help="Rated watts of all panels together, from their labels.",
    )  # fmt: skip
    tilt: Quantity = quantity(
        "angle", "0 deg", given="± 3 deg", hard=("0 deg", "90 deg"), usual=("0 deg", "45 deg"),
        help="How far they are tilted from level; at anchor the boat swings, so no bearing is asked.",
    )  # fmt: skip
    shading: Quantity = quantity(
        "share", "15 % ± 12 %", hard=("0 %", "100 %"),
        help="What mast, boom and rigging take over the day; a little shade on one cell takes much.",
    )  # fmt: skip
    efficiency: Quantity = quantity(
        "share", "78 % ± 10 %", hard=("5 %", "100 %"),
        help="What controller, wiring, dirt, salt and age leave: 75 to 90 %.",
    )  # fmt: skip
    sky: Quantity = quantity(
        "ratio", "1 ± 0.4", given="± 0.1", hard=("0", "3"), usual=("0.1", "1.5"),
        help="Tomorrow's sun against the day in [weather]: 1 is the same, 0.4 a dull day.",
    )  # fmt: skip


class Inverter(Table):
    """Mains from the bank."""

    power: Quantity = quantity(
        "power", "1500 W ± 40 %", given="± 3 %", hard=("10 W", "20000 W"), usual=("100 W", "6000 W"),
        help="What it gives for long, from its label.",
    )  # fmt: skip
    efficiency: Quantity = quantity(
        "share", "88 % ± 6 %", hard=("30 %", "99 %"), usual=("75 %", "96 %"),
        help="What comes out of what goes in near its rating, its idle draw apart.",
    )  # fmt: skip
    idle: Quantity = quantity(
        "power", "12 W ± 90 %", given="± 20 %", hard=("0 W", "500 W"), usual=("1 W", "60 W"),
        help="What it takes from the bank with nothing on: its amps at the battery monitor times volts.",
    )  # fmt: skip
    left_on: bool = text(True, help="Whether it stays on all day; else only with what it feeds.")
    air_conditioner: bool = text(False, help="Whether the air conditioner runs from it at anchor.")
    air_conditioner_hours: list[str] = text(
        [], help='When, if it does: ["21:00-06:00"]; empty is whenever the thermostat asks.'
    )

    _hours = field_validator("air_conditioner_hours")(_checked_hours)


class Circuit(Table):
    """One wire run from the panel or the bank to what it feeds, and back."""

    name: str = text("circuit", help="What you call it.")
    current: Quantity = quantity(
        "current", "5 A ± 40 %", given="± 5 %", hard=("0.01 A", "2000 A"), usual=("0.1 A", "300 A"),
        help="Amps it carries, from the label of what it feeds.",
    )  # fmt: skip
    length: Quantity = quantity(
        "length", "20 ft ± 30 %", given="± 5 %", hard=("0.05 m", "200 m"), usual=("0.3 m", "40 m"),
        help="Length of the run one way, as the wire lies; the way back is counted for you.",
    )  # fmt: skip
    gauge: Quantity = quantity(
        "wire", "12 AWG ± 10 %", given="± 10 %", hard=("0.2 mm2", "150 mm2"), usual=("0.5 mm2", "120 mm2"),
        help="Wire size, printed on its jacket (12 AWG, 4 mm2).",
    )  # fmt: skip
    current_limit: Quantity = quantity(
        "current", None, hard=("0.1 A", "2000 A"), usual=("1 A", "500 A"),
        help="What that wire may carry as it lies (bundled, in an engine space), from its standard's "
        "table; without it the drop alone is checked, not the heat.",
    )  # fmt: skip
    insulation: Literal["unknown", "60C", "75C", "80C", "90C", "105C", "125C"] = choice(
        "unknown",
        help="Temperature rating printed on its insulation: boat cable is 105C. With it the heat is checked.",
    )
    bundled: Quantity = quantity(
        "number", None, hard=("1", "100"), usual=("1", "40"),
        help="How many current-carrying wires lie in its bundle, itself and its return too.",
    )  # fmt: skip
    engine_space: bool = text(False, help="Whether any of it lies in an engine space.")
    temperature: Quantity = quantity(
        "temperature", "40 degC ± 12 degC", given="± 3 degC", hard=("-30 degC", "150 degC"),
        help="How warm its copper is: cabin air and a little, 60 C or more in an engine space.",
    )  # fmt: skip
    least_voltage: Quantity = quantity(
        "voltage", None, hard=("1 V", "60 V"), usual=("8 V", "24 V"),
        help="Volts that what it feeds must have: a solenoid's pull-in voltage, a compressor's cut-out.",
    )  # fmt: skip
    critical: bool = text(
        False, help="yes for what must not fail: bilge pump, navigation, the ice box (3 % instead of 10 %)."
    )


class Power(Table):
    """Shore power, the bank, and what hangs on them.

    A silent file has a small always-on draw, a galley and the heat of what is always warm; set any of
    them to 0 to take it away. Everything else runs only if it is listed.
    """

    always_on: Quantity = quantity(
        "amp_hours_per_day", "10 A*h/day ± 100 %", given="± 20 %", hard=("0 A*h/day", "1000 A*h/day"),
        usual=("0 A*h/day", "60 A*h/day"),
        help="What is always on at 12 V (gas alarm, monitors, radio memory, router): the battery "
        "monitor's amps with everything off that you can switch off, times 24.",
    )  # fmt: skip
    galley: Quantity = quantity(
        "energy_per_day", "1 kWh/day ± 60 %", given="± 20 %", hard=("0 kWh/day", "40 kWh/day"),
        usual=("0 kWh/day", "6 kWh/day"),
        help="What cooking takes a day, in the hours of meals: kettle, toaster, hot plate.",
    )  # fmt: skip
    galley_power: Quantity = quantity(
        "power", "1500 W ± 20 %", given="± 10 %", hard=("0 W", "10000 W"), usual=("500 W", "4000 W"),
        help="What the galley takes while it is on (a kettle 1500 W at 120 V, 2000 to 3000 at 230 V).",
    )  # fmt: skip
    galley_fuel: Literal["electric", "gas"] = choice(
        "electric", help="electric when you cook on shore power; gas cooks with heat alone, no amps."
    )
    unlisted_current: Quantity = quantity(
        "current", "0 A", given="± 20 %", hard=("0 A", "200 A"), usual=("0 A", "60 A"),
        help="Amps of what may be on for minutes on shore power and is not listed: hair dryer, heater, tool.",
    )  # fmt: skip
    supply_share: Quantity = quantity(
        "share", "100 %", given="± 2 %", hard=("30 %", "100 %"),
        help="What is left of the usual volts of the supply; less on a bad day of the dock.",
    )  # fmt: skip
    start_ratio: Quantity = quantity(
        "ratio", "1", given="± 10 %", hard=("0.05", "10"), usual=("0.2", "2"),
        help="The air conditioner's start against what its own table makes of it: more when it labours for seconds.",
    )  # fmt: skip
    lamps: Literal["as_listed", "led"] = choice(
        "as_listed", help="led counts all listed lamps as LED of the same light."
    )
    hot_water: Literal["as_listed", "night"] = choice(
        "as_listed", help="night runs every listed water heater from 03:00 instead of at its own hours."
    )
    plug_in_chargers: Literal["as_listed", "from_the_bank"] = choice(
        "as_listed",
        help="from_the_bank counts the plug-in chargers behind the inverter as chargers from the bank's own volts.",
    )
    standing_heat: Quantity = quantity(
        "heat", "60 W ± 70 %", given="± 20 %", hard=("0 W", "3000 W"), usual=("0 W", "400 W"),
        help="Heat of what is warm all day in the cabin: charger, ice box compressor, lights.",
    )  # fmt: skip
    bus_bar_rating: Quantity = quantity(
        "current", None, hard=("1 A", "5000 A"), usual=("30 A", "600 A"),
        help="Rating of the bus bar the listed circuits share.",
    )  # fmt: skip
    load: list[Load] = tables(help="What runs by hours, on shore or on the bank.")
    circuit: list[Circuit] = tables(help="Wire runs to check for voltage drop and heat.")
    charger: Charger = table(Charger, help="The battery charger on shore power.")
    away: Away = table(Away, help="Leaving the boat at the dock.")
    anchor: Anchor = table(Anchor, help="Casting off for the anchorage.")
    leakage: Leakage = table(Leakage, help="Currents to ground, and the dock's device.")
    ask: Ask = table(Ask, help="One thing more on the bank tonight.")
    shore: Shore | None = table(
        Shore, help="The shore power inlet; leave it out for a boat at anchor.", when_absent="not_aboard"
    )
    bank: Bank | None = table(Bank, help="The battery bank.", when_absent="not_aboard")
    solar: Solar | None = table(Solar, help="Solar panels.", when_absent="not_aboard")
    inverter: Inverter | None = table(Inverter, help="The inverter.", when_absent="not_aboard")
