"""The table [cold_box] of the boat file: what the owner may say of the ice box."""

from __future__ import annotations

from typing import Literal

from console.fields import Quantity, Table, choice, quantity, table
from plugins.cold_box.section_measured import Melt, Week

_DEFAULTS = "plugins.cold_box.defaults:"


class Inside(Table):
    """The box's inside, liner to liner."""

    length: Quantity = quantity(
        "short_length", "22 in ± 20 %", given="± 3 %", hard=("4 in", "96 in"), usual=("10 in", "48 in"),
        help="Inside length, liner to liner, along its longer side; a tape measure.",
    )  # fmt: skip
    width: Quantity = quantity(
        "short_length", "18 in ± 20 %", given="± 3 %", hard=("4 in", "96 in"), usual=("8 in", "48 in"),
        help="Inside width, liner to liner, across its shorter side.",
    )  # fmt: skip
    depth: Quantity = quantity(
        "short_length", "20 in ± 20 %", given="± 3 %", hard=("4 in", "72 in"), usual=("10 in", "48 in"),
        help="Inside depth, from the floor of the box up to the lid (a door: to the ceiling).",
    )  # fmt: skip


class Seal(Table):
    """The gasket of the lid or door."""

    failing_share: Quantity = quantity(
        "share", "20 % ± 20 %", given="± 10 %", hard=("0 %", "100 %"),
        help="How much of the edge lets a slip of paper pull free: shut the lid on a banknote and tug, "
        "hand's breadth by hand's breadth, all the way round, latched and cold. Clean the gasket first.",
    )  # fmt: skip
    gap: Quantity = quantity(
        "short_length", "1 mm ± 100 %", given="± 40 %", hard=("0 mm", "20 mm"), usual=("0.2 mm", "5 mm"),
        help="How wide the gap is where the paper pulls free; stack slips till one holds, ten sheets of "
        "paper are 1 mm.",
    )  # fmt: skip
    missing_share: Quantity = quantity(
        "share", "0 %", given="± 3 %", hard=("0 %", "100 %"), usual=("0 %", "50 %"),
        help="How much of the edge has no gasket at all: foam gone, torn or never there. Not counted above.",
    )  # fmt: skip
    missing_gap: Quantity = quantity(
        "short_length", "4 mm ± 50 %", given="± 30 %", hard=("0 mm", "30 mm"), usual=("1 mm", "12 mm"),
        help="How wide the gap is where the gasket is gone; a pencil is 7 mm.",
    )  # fmt: skip
    path: Quantity = quantity(
        "short_length", "15 mm ± 50 %", given="± 20 %", hard=("2 mm", "100 mm"), usual=("5 mm", "60 mm"),
        help="How far air must go through the seal from cabin to box: the width of gasket that touches.",
    )  # fmt: skip
    slope: Quantity = quantity(
        "short_length", "10 mm ± 8 mm", hard=("1 mm", "300 mm"), usual=("1 mm", "80 mm"),
        help="A lid: how much higher one edge lies than the other as the boat floats. A door has its "
        "own height and does not use it.",
    )  # fmt: skip
    breathing: Quantity = quantity(
        "per_day", "1 per day ± 70 %", hard=("0 per day", "500 per day"), usual=("0.2 per day", "5 per day"),
        help="How often a day the box's whole air is pumped in and out as it warms and cools and the "
        "boat moves; nobody measures it, leave it be.",
    )  # fmt: skip
    # Rooms of sitting people are 0.1 to 0.25 m/s, with fans 0.8 (ISO 7730, ASHRAE 55, from memory); a cabin
    # has open hatches, fans and an air conditioner's stream. Its square drives the air, so the spread is wide:
    # 0.15 to 0.63 m/s, a factor of 18 in pressure. Common practice, no source, for a lid in a cabin.
    draught: Quantity = quantity(
        "speed", "0.3 m/s ± 80 %", given="± 40 %", hard=("0 m/s", "10 m/s"), usual=("0.05 m/s", "2 m/s"),
        help="How fast cabin air moves past the lid or door, day and night: 0.1 m/s in a shut, still cabin, "
        "0.3 lived in, 1 with a fan or the air conditioner's grille upon it. It drives air through a slack seal.",
    )  # fmt: skip


class Drain(Table):
    """The hole in the floor of the box."""

    open_share: Quantity = quantity(
        "share", "± 0 %", compute=_DEFAULTS + "drain_open_share", hard=("0 %", "100 %"),
        help="How much of the drain is open to the bilge; by itself all of it when the drain is open, "
        "none when it is trapped or plugged.",
    )  # fmt: skip
    bore: Quantity = quantity(
        "short_length", "20 mm ± 20 %", given="± 5 %", hard=("3 mm", "60 mm"), usual=("8 mm", "40 mm"),
        help="Inside diameter of the drain.",
    )  # fmt: skip
    drop: Quantity = quantity(
        "short_length", "12 in ± 50 %", given="± 10 %", hard=("1 in", "72 in"), usual=("2 in", "48 in"),
        help="How far the drain's hose goes down below the floor of the box.",
    )  # fmt: skip


class Plate(Table):
    """The evaporator plate and its frost."""

    area: Quantity = quantity(
        "small_area", "700 in**2 ± 35 %", given="± 10 %", hard=("20 in**2", "4000 in**2"),
        usual=("150 in**2", "1500 in**2"),
        help="All of the plate that frosts, both faces of it where air reaches both.",
    )  # fmt: skip
    film: Quantity = quantity(
        "transmittance", "5 W/m2/K ± 35 %", hard=("1 W/m2/K", "60 W/m2/K"),
        usual=("2.5 W/m2/K", "20 W/m2/K"),
        help="How well air gives its heat to the plate: still air about 4, a small stirring fan 8 to 12.",
    )  # fmt: skip
    offset: Quantity = quantity(
        "temperature_difference", "3 C ± 2 C", hard=("0 C", "15 C"), usual=("0 C", "8 C"),
        help="How far the refrigerant boils below the plate's own temperature; a technician's gauge tells.",
    )  # fmt: skip
    frost: Quantity = quantity(
        "short_length", "2 mm ± 1 mm", given="± 25 %", hard=("0 mm", "60 mm"), usual=("0 mm", "15 mm"),
        reading="frost_thickness",
        help="Frost on the plate now: stand a ruler on it, never a knife; the mean of a few places.",
    )  # fmt: skip
    frost_limit: Quantity = quantity(
        "short_length", "6 mm", hard=("1 mm", "50 mm"), usual=("3 mm", "12 mm"),
        help="Frost at which you defrost; a quarter inch (6 mm) is common practice.",
    )  # fmt: skip
    frost_density: Quantity = quantity(
        "density", "220 kg/m3 ± 70 %", given="± 20 %", hard=("50 kg/m3", "600 kg/m3"),
        usual=("80 kg/m3", "500 kg/m3"),
        help="How dense the frost is: fluffy 100, an old hard crust 400. Grams of melt-water over area "
        "times thickness tells; without it, days to defrost stay a wide guess.",
    )  # fmt: skip
    frost_conductivity: Quantity = quantity(
        "ratio", "1 ± 40 %", hard=("0.2", "5"), usual=("0.5", "2"),
        help="Frost's conductivity against the mean of three published laws, which differ by half.",
    )  # fmt: skip


class Machine(Table):
    """The compressor and what cools it."""

    refrigerant: Literal["R134a", "R1234yf", "R600a", "R290"] = choice(
        "R134a", help="From the compressor's label. R600a and R290 burn."
    )
    voltage: Quantity = quantity(
        "voltage", "12 V", hard=("6 V", "60 V"), usual=("12 V", "48 V"),
        help="The system it hangs on: 12 or 24 V.",
    )  # fmt: skip
    battery_voltage: Quantity = quantity(
        "voltage", "± 3 %", compute=_DEFAULTS + "battery_voltage", given="± 1 %", hard=("5 V", "70 V"),
        reading="battery_voltage",
        help="Volts on the battery's own posts while the compressor runs; a multimeter.",
    )  # fmt: skip
    feed_voltage: Quantity = quantity(
        "voltage", "± 1.5 %", compute=_DEFAULTS + "feed_voltage", given="± 1 %", hard=("5 V", "70 V"),
        reading="terminal_voltage",
        help="Volts on the compressor's own terminals while it runs; a multimeter.",
    )  # fmt: skip
    cut_out: Quantity = quantity(
        "voltage", "± 4 %", compute=_DEFAULTS + "cut_out_voltage", given="± 1 %", hard=("4 V", "60 V"),
        help="Volts at its terminals below which its electronics stop it; in its manual.",
    )  # fmt: skip
    control: Literal["fixed", "variable"] = choice(
        "fixed", help="Runs at one speed and cycles, or sets its own speed."
    )
    slowest_speed: Quantity = quantity(
        "share", "57 % ± 10 %", hard=("10 %", "100 %"), usual=("30 %", "100 %"),
        help="A variable one's slowest speed as a share of its fastest (2,000 of 3,500 turns is 57 %).",
    )  # fmt: skip
    current: Quantity = quantity(
        "current", "± 25 %", compute=_DEFAULTS + "running_current", given="± 8 %", hard=("0.2 A", "60 A"),
        usual=("1 A", "12 A"),
        help="Amps while it runs steadily (a variable one: flat out), box cold, from the battery "
        "monitor or panel; not the label's most.",
    )  # fmt: skip
    capacity: Quantity = quantity(
        "heat", None, given="± 10 %", hard=("5 W", "2000 W"), usual=("20 W", "400 W"),
        help="Rated cooling from the data sheet, if you have it; leave it out otherwise.",
    )  # fmt: skip
    capacity_at: Literal["ashrae_lbp", "cecomaf", "en12900_lbp", "en12900_mbp"] = choice(
        "ashrae_lbp", help="The rating point the data sheet gives that cooling at."
    )
    efficiency: Quantity = quantity(
        "share", "47 % ± 10 %", hard=("10 %", "90 %"), usual=("25 %", "70 %"),
        help="Ideal compression work over electric power, motor and electronics included; worn ones lose it.",
    )  # fmt: skip
    efficiency_fall: Quantity = quantity(
        "ratio", "0.09 ± 90 %", hard=("0", "0.5"), usual=("0", "0.3"),
        help="How that efficiency falls away from a pressure ratio of 5; leave it be.",
    )  # fmt: skip
    charge: Quantity = quantity(
        "share", "100 % ± 5 %", hard=("10 %", "100 %"),
        help="Refrigerant left, as a share of the right charge; a plate frosted only in part says it is low.",
    )  # fmt: skip
    cooled_by: Literal["air", "water"] = choice("air", help="What cools its condenser: air, or seawater.")
    locker_rise: Quantity = quantity(
        "temperature_difference", "3 C ± 3 C", given="± 2 C", hard=("-20 C", "40 C"), usual=("0 C", "20 C"),
        help="How much warmer the air at the condenser is than the cabin, running: a thermometer in the "
        "locker. Seawater-cooled ones do not use it.",
    )  # fmt: skip
    approach: Quantity = quantity(
        "temperature_difference", "15 C ± 6 C", hard=("2 C", "50 C"), usual=("6 C", "30 C"),
        help="How far above its air or water the refrigerant condenses; dust and a dead fan raise it.",
    )  # fmt: skip


class Divider(Table):
    """A wall that makes the box a freezer, with the plate, and a fridge it spills over into."""

    freezer_share: Quantity = quantity(
        "share", "33 % ± 10 %", given="± 3 %", hard=("5 %", "95 %"), usual=("15 %", "70 %"),
        help="How much of the box is the freezer's side, the one with the plate; a third is usual.",
    )  # fmt: skip
    insulation: Quantity = quantity(
        "short_length", "2 in ± 40 %", given="± 10 %", hard=("0 in", "8 in"), usual=("0.5 in", "4 in"),
        help="Thickness of insulation in the divider.",
    )  # fmt: skip
    holes: Quantity = quantity(
        "small_area", "4 in**2 ± 50 %", given="± 10 %", hard=("0 in**2", "400 in**2"),
        usual=("0.5 in**2", "60 in**2"),
        help="All the holes and slits in the divider together, low and high.",
    )  # fmt: skip
    holes_apart: Quantity = quantity(
        "short_length", "8 in ± 40 %", given="± 10 %", hard=("0.5 in", "60 in"), usual=("2 in", "36 in"),
        help="How much higher the upper holes are than the lower ones; one row of holes: its own height.",
    )  # fmt: skip
    fan_flow: Quantity = quantity(
        "air_flow", "8 cfm ± 60 %", given="± 30 %", hard=("0 cfm", "200 cfm"), usual=("0 cfm", "40 cfm"),
        help="Air the divider's fan moves while it turns; 0 without a fan. Most have one: holes alone "
        "seldom keep the fridge's side cold enough.",
    )  # fmt: skip
    fan_current: Quantity = quantity(
        "current", "0.1 A ± 50 %", given="± 15 %", hard=("0 A", "5 A"),
        help="Amps of the divider's fan while it turns.",
    )  # fmt: skip
    fridge_set_point: Quantity = quantity(
        "temperature", "38 F ± 2 F", given="± 1 F", hard=("28 F", "60 F"), usual=("34 F", "44 F"),
        help="Where the fan's thermostat holds the fridge's side.",
    )  # fmt: skip
    freezer_use: Quantity = quantity(
        "share", "20 % ± 15 %", given="± 10 %", hard=("0 %", "100 %"),
        help="How much of the opening, and of the warm food, is the freezer's.",
    )  # fmt: skip


class ColdBox(Table):
    """The ice box or refrigerator. A table that is here but empty is an average converted box."""

    opening: Literal["lid", "door"] = choice("lid", help="Opens upward by a lid, or in front by a door.")
    drain: Literal["open", "trapped", "plugged"] = choice(
        "plugged", help="The drain in its floor: open to the bilge, through a water trap, or plugged."
    )
    inside: Inside = table(Inside, help="The box's inside, liner to liner.")
    opening_width: Quantity = quantity(
        "short_length", "± 15 %", compute=_DEFAULTS + "opening_width", given="± 3 %",
        hard=("2 in", "96 in"), usual=("8 in", "40 in"),
        help="Width of the lid or door opening.",
    )  # fmt: skip
    opening_height: Quantity = quantity(
        "short_length", "± 15 %", compute=_DEFAULTS + "opening_height", given="± 3 %",
        hard=("2 in", "96 in"), usual=("8 in", "40 in"),
        help="A door: from sill to top. A lid: its other side.",
    )  # fmt: skip
    insulation: Quantity = quantity(
        "short_length", "3 in ± 50 %", given="± 10 %", hard=("0.4 in", "12 in"), usual=("1 in", "8 in"),
        help="Thickness of insulation in the walls; measure at the drain or a pipe hole, or tap and guess.",
    )  # fmt: skip
    lid_insulation: Quantity = quantity(
        "short_length", "± 35 %", compute=_DEFAULTS + "lid_insulation", given="± 15 %",
        hard=("0 in", "12 in"), usual=("0.5 in", "6 in"),
        help="Thickness of insulation in the lid or door; often half the walls', and none in a bare board.",
    )  # fmt: skip
    insulation_kind: Literal[
        "unknown", "extruded_polystyrene", "bead_polystyrene", "urethane", "cork", "glass_fibre"
    ] = choice("unknown", help="What it is made of, where you can see a cut edge.")
    conductivity: Quantity = quantity(
        "conductivity", "± 12 %", compute=_DEFAULTS + "dry_conductivity", given="± 5 %",
        hard=("0.004 W/m/K", "0.3 W/m/K"), usual=("0.015 W/m/K", "0.1 W/m/K"),
        help="Of the insulation, dry and aged; by itself from its kind. R 5 an inch is 0.029 W/m/K.",
    )  # fmt: skip
    wet_share: Quantity = quantity(
        "share", "15 % ± 20 %", given="± 15 %", hard=("0 %", "100 %"),
        help="How much of the insulation is waterlogged: sweating or cold patches outside, a heavy lid, "
        "a wet core at a drilled hole.",
    )  # fmt: skip
    bridges: Quantity = quantity(
        "percent", "20 % ± 12 %", hard=("0 %", "150 %"), usual=("0 %", "80 %"),
        help="What frames, screws and pipe holes add to the heat through the walls.",
    )  # fmt: skip
    edge_loss: Quantity = quantity(
        "conductivity", "0.05 W/m/K ± 60 %", hard=("0 W/m/K", "0.5 W/m/K"),
        usual=("0.02 W/m/K", "0.15 W/m/K"),
        help="Heat that creeps in along each metre of the lid's edge by the gasket and frame alone.",
    )  # fmt: skip
    hull_side_share: Quantity = quantity(
        "share", "20 % ± 15 %", given="± 5 %", hard=("0 %", "100 %"),
        help="How much of the four sides lies against the hull: a whole one of four is about a quarter.",
    )  # fmt: skip
    hull_below_water: Quantity = quantity(
        "share", "40 % ± 30 %", given="± 10 %", hard=("0 %", "100 %"),
        help="How much of that hull side is below the waterline.",
    )  # fmt: skip
    hull_side: Literal["port", "starboard"] = choice("port", help="Which side of the boat the box lies on.")
    hull_absorptance: Quantity = quantity(
        "share", "35 % ± 15 %", given="± 5 %", hard=("2 %", "98 %"),
        help="How much sunshine the topside soaks up: white 25 %, grey 60 %, dark blue 85 %.",
    )  # fmt: skip
    set_point: Quantity = quantity(
        "temperature", "39 F ± 2 F", given="± 1 F", hard=("-25 F", "60 F"), usual=("-5 F", "46 F"),
        help="What the box is held at; a thermometer in a glass of water in the middle of it overnight.",
    )  # fmt: skip
    fill_share: Quantity = quantity(
        "share", "50 % ± 25 %", given="± 15 %", hard=("0 %", "95 %"),
        help="How full it is, of food and drink.",
    )  # fmt: skip
    openings: Quantity = quantity(
        "per_day", "11 per day ± 80 %", given="± 25 %", hard=("0 per day", "500 per day"),
        usual=("2 per day", "60 per day"), reading="box_openings",
        help="How often a day it is opened; a pencil mark on the lid each time.",
    )  # fmt: skip
    open_seconds: Quantity = quantity(
        "seconds", "15 s ± 60 %", hard=("1 s", "600 s"), usual=("3 s", "120 s"),
        help="A door: how long it stands open each time. A lid does not use it.",
    )  # fmt: skip
    door_flow: Quantity = quantity(
        "share", "68 % ± 15 %", hard=("5 %", "100 %"),
        help="A door: air exchange measured on real doors against the formula's; leave it be.",
    )  # fmt: skip
    swap_share: Quantity = quantity(
        "share", "30 % ± 15 %", hard=("0 %", "100 %"),
        help="A lid: how much of the box's air each opening stirs out; the rest lies there, being cold.",
    )  # fmt: skip
    warm_food: Quantity = quantity(
        "mass_per_day", "1.5 kg/day ± 60 %", given="± 25 %", hard=("0 kg/day", "100 kg/day"),
        usual=("0 kg/day", "15 kg/day"),
        help="Food and drink put in warm, a day on average; a litre weighs a kilogram. A freezer freezes it "
        "as well: leave out what is frozen when it goes in.",
    )  # fmt: skip
    ice: Quantity = quantity(
        "mass_per_day", "0 kg/day", given="± 10 %", hard=("0 kg/day", "50 kg/day"),
        usual=("0 kg/day", "12 kg/day"),
        help="Ice brought aboard and put in it, a day on average; its melt-water is not counted.",
    )  # fmt: skip
    food_water: Quantity = quantity(
        "mass_per_day", "2 g/day ± 2 g/day", hard=("0 g/day", "500 g/day"), usual=("0 g/day", "60 g/day"),
        help="Water that uncovered food gives to the air, and so to the plate; next to none when covered.",
    )  # fmt: skip
    cabin_rise: Quantity = quantity(
        "temperature_difference", "2 C ± 3 C", hard=("-20 C", "25 C"), usual=("-10 C", "10 C"),
        help="How much warmer the cabin is than outdoors, over the day; used when nothing else tells "
        "the cabin's temperature.",
    )  # fmt: skip
    seal: Seal = table(Seal, help="The gasket of the lid or door.")
    drain_pipe: Drain = table(Drain, help="The hole in the floor of the box and its hose.")
    plate: Plate = table(Plate, help="The evaporator plate and its frost.")
    compressor: Machine = table(Machine, help="The compressor and what cools it.")
    divider: Divider | None = table(
        Divider, help="A divider into freezer and fridge; leave it out for one compartment. Then set_point is "
        "the freezer's.", when_absent="not_aboard",
    )  # fmt: skip
    week: Week | None = table(
        Week,
        help="A week of amp-hours and temperatures: fits the walls to this box.",
        when_absent="not_aboard",
    )
    melt: Melt | None = table(
        Melt, help="The melt-water of one defrost: fits the leak to this box.", when_absent="not_aboard"
    )
