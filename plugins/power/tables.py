"""Published coefficients and trade practice of the power plugin, each with its owner."""

from __future__ import annotations

import math
from typing import Final

# --- copper ---------------------------------------------------------------------------------

COPPER_RESISTIVITY_20: Final = 1.7241e-8
"""Resistivity of annealed copper at 20 °C, ohm·m: the international standard, 100 % IACS
(IEC 60028)."""

COPPER_TEMPERATURE_COEFFICIENT_20: Final = 0.00393
"""Relative rise of copper's resistance per kelvin, referred to 20 °C (IEC 60028)."""

STRANDING: Final = 1.0213
"""What the lay of the strands adds to a conductor's resistance.

Fitted to NEC (NFPA 70) chapter 9 table 8, uncoated stranded copper at 75 °C: with it the table's
18 AWG to 4/0 are met within 0.4 %; a solid conductor has 1."""

CIRCULAR_MIL: Final = math.pi / 4 * 0.0254e-3**2
"""A circular mil, m²."""

FOOT: Final = 0.3048

E11_CONSTANT: Final = 10.75
"""Ohm·circular mil per foot in the voltage-drop sizing CM = K I L / E (ABYC E-11, ISO 10133,
from memory). It is the copper of about 30 °C."""

E11_TEMPERATURE: Final = 303.15

SAE_MINIMUM_AREA: Final[dict[str, float]] = {
    "18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343, "8": 14810, "6": 24538,
    "4": 37360, "2": 62450, "1": 77790, "1/0": 98980, "2/0": 125100, "3/0": 158600, "4/0": 205500,
}  # fmt: skip
"""Least area of a conductor sold under a gauge, circular mils (SAE J378, J1127, J1128 as in
ABYC E-11, from memory): up to 12 % less copper than the gauge's nominal area."""

METRIC_SIZES: Final = (
    0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0,
)  # fmt: skip
"""Nominal areas of stranded copper sold in metric sizes, mm² (IEC 60228, from memory)."""

GAUGE_NUMBER: Final = (18.0, 16.0, 14.0, 12.0, 10.0, 8.0, 6.0, 4.0, 3.0, 2.0, 1.0, 0.0, -1.0, -2.0, -3.0)
AMPACITY: Final[dict[str, tuple[float, ...]]] = {
    "60C": (10, 15, 20, 25, 40, 55, 80, 105, 120, 140, 165, 195, 225, 260, 300),
    "75C": (10, 15, 20, 25, 40, 65, 95, 125, 145, 170, 195, 230, 265, 310, 360),
    "80C": (15, 20, 25, 35, 50, 70, 100, 130, 150, 175, 210, 245, 285, 330, 385),
    "90C": (20, 25, 30, 40, 55, 70, 100, 135, 155, 180, 210, 245, 285, 330, 385),
    "105C": (20, 25, 35, 45, 60, 80, 120, 160, 180, 210, 245, 285, 330, 385, 445),
    "125C": (25, 30, 40, 50, 70, 90, 125, 170, 195, 225, 265, 305, 355, 410, 475),
}
"""Allowable amperes of single conductors below 50 V by gauge (1/0 is 0, 4/0 is -3) and insulation
rating, outside engine spaces: 33 CFR 183.425 table 5, the same as in ABYC E-11. From memory, so the
size that comes of it is to be checked in the current edition."""

ENGINE_SPACE: Final[dict[str, float]] = {
    "60C": 0.58, "75C": 0.75, "80C": 0.78, "90C": 0.82, "105C": 0.85, "125C": 0.89,
}  # fmt: skip
"""What an engine space leaves of it (the same table's correction factors, from memory)."""

BUNDLE_COUNT: Final = (1.0, 2.0, 3.0, 4.0, 7.0, 25.0)
BUNDLE_SHARE: Final = (1.0, 1.0, 0.70, 0.60, 0.50, 0.40)
"""What is left of it from so many current-carrying conductors in one bundle or sheath (ABYC E-11,
from memory: 3, 4 to 6, 7 to 24, 25 and more)."""

RELAY_COIL_CURRENT: Final = 0.15
RELAY_FEED: Final = 1.0
"""A 12 V relay's coil, A, and the way from the battery by the relay to what it switches, m one way
(no source: a usual coil of 80 ohm, and a relay beside the battery)."""

# --- shore ----------------------------------------------------------------------------------

CONTINUOUS_SHARE: Final = 0.80
"""A load of three hours or more: 80 % of the rating. NEC 210.19 and 210.20 (the 125 % rule), from
memory. A US rule; elsewhere the console keeps the same line as its own caution."""

CONTINUOUS_SECONDS: Final = 3 * 3600.0

CORD_RATINGS: Final[tuple[tuple[float, float], ...]] = (
    (1.0e-6, 10.0), (1.5e-6, 13.0), (2.5e-6, 16.0), (3.31e-6, 20.0), (5.26e-6, 30.0),
    (6.0e-6, 32.0), (8.36e-6, 40.0), (13.3e-6, 50.0), (16.0e-6, 63.0), (33.6e-6, 100.0),
)  # fmt: skip
"""Conductor area of a shore cord (m²) and the rating it is sold with (A): 14 to 2 AWG and 1 to
16 mm². Common practice, from memory; the label on the cord is better."""

IEC_INLETS: Final = (16.0, 32.0, 63.0)
"""Ratings (A) that only 230 V inlets have (IEC 60309, from memory)."""

NOMINAL_120: Final = 120.0
NOMINAL_230: Final = 230.0
SPLIT: Final = 160.0
"""Between the two nominal voltages: below it a leg is of the 120 V kind."""

DOCK_VOLTAGE_120: Final = 117.0
DOCK_VOLTAGE_230: Final = 228.0
"""Volts at the post while the dock is busy (common practice, no source; 106 to 123, 212 to 240)."""

LOW_VOLTAGE_SHARE: Final = 0.90
STOP_VOLTAGE_SHARE: Final = 0.867
"""Of the nominal voltage: below the first warn (108 of 120 V), below the second stop motors (104).
Common practice, no source, from memory."""

START_VOLTAGE_SHARE: Final = 0.80
"""Of the nominal voltage: below it a compressor may hum and not start. From memory."""

INSTANT_TRIP_MULTIPLE: Final = 5.0
"""A thermal-magnetic breaker lets a start of less than this many times its rating pass (5 to 10
times is usual for the instantaneous trip; from memory)."""

QUICK_TRIP_MULTIPLE: Final = 1.45
"""From this many times its rating a breaker trips within the hour, at twice within a minute or two;
between 1 and this it may hold for hours and go when it is warm (IEC 60898: 1.13 and 1.45; UL 489:
1.35; from memory)."""

CONTACT_WARM: Final = 3.0
CONTACT_HOT: Final = 10.0
"""Watts in plug and inlet that a hand finds warm, and hot (no source: 24 A through 20 mohm is 12 W)."""

POWER_FACTOR: Final[dict[str, float]] = {"heater": 1.0, "motor": 0.85, "electronics": 0.90}
"""Power factor by kind of load (from memory): an element has 1, a small motor 0.7 to 0.95, a
modern supply 0.6 to 0.99."""

DIVERSITY: Final = 0.5
"""Of the label amps of all but the largest thing, how much to count at once. Common practice, no
source; shown beside the answer, never used for it."""

UNLISTED_SHARE: Final = 0.1
"""How much of the time what is not listed is on (a kettle's minutes; no source)."""

MEALS: Final[tuple[tuple[float, float], ...]] = ((7.0, 8.0), (12.5, 13.0), (18.0, 19.5))
"""Clock hours in which the galley is taken to cook (no source: a guess at a household's day)."""

# --- batteries ------------------------------------------------------------------------------

SWING: Final = (11.8, 14.4)
"""Volts of a 12 V bank from well used to absorbing (common practice, no source)."""

FULL_ENOUGH: Final = 0.98
"""A lead bank whose current has tapered away is as good as full (no source)."""

RATED_HOURS: Final = 20.0
"""The rate at which a lead bank's capacity is stated, hours to empty."""

REST_STATE: Final[dict[str, tuple[float, ...]]] = {
    "lead": (0.0, 0.25, 0.50, 0.75, 1.0),
    "lithium": (0.0, 0.10, 0.20, 0.50, 0.80, 1.0),
}
REST_VOLTS: Final[dict[str, tuple[float, ...]]] = {
    "lead": (11.89, 12.06, 12.24, 12.45, 12.65),
    "lithium": (11.6, 12.8, 12.95, 13.1, 13.25, 13.4),
}
"""Rest voltage of a 12 V bank by state of charge at 25 °C. Flooded lead acid: the BCI handbook's
table; lithium iron phosphate: four cells in series. Both from memory."""

LOWEST_VOLTS: Final[dict[str, float]] = {"lead": 11.5, "lithium": 12.0}
"""A 12 V bank near its end and under load, from memory."""

WORKING_VOLTS: Final[dict[str, float]] = {"lead": 12.5, "lithium": 13.2}
"""A 12 V bank in the middle of its use, from memory: what amp-hours are counted at."""

CHARGING_VOLTS: Final[dict[str, float]] = {"lead": 13.8, "lithium": 13.8}
"""A 12 V bank while it is charged (float 13.2 to 13.6, absorption 14.2 to 14.7; from memory)."""

LEAD_ACCEPTANCE_SECONDS: Final = 5400.0
"""A lead bank takes at most what would fill the rest in this time, so that the current tapers as
it fills: 13 % of the capacity at 80 % charge (from memory; 10 to 25 % is usual)."""

BANK_DEFAULTS: Final[dict[str, dict[str, float]]] = {
    "lead": {"usable": 0.45, "peukert": 1.20, "efficiency": 0.85},
    "lithium": {"usable": 0.80, "peukert": 1.02, "efficiency": 0.96},
}
"""Share of the capacity that may be used, Peukert exponent and charge efficiency by chemistry
(common practice, no source: usable 30 to 50 % lead, 70 to 90 % lithium iron phosphate)."""

# --- converters -----------------------------------------------------------------------------

STAGE_EFFICIENCY: Final = 0.90
STAGE_IDLE: Final = 0.4
"""A regulated 12 V or 24 V stage: efficiency (85 to 95 %) and idle draw, W (10 to 60 mA). From
memory."""

INVERTER_EFFICIENCY: Final = 0.88
INVERTER_IDLE: Final = 12.0
"""An inverter that is used but not described: efficiency (80 to 94 %) and idle draw, W (0.3 to
2.5 A at 12 V). Common practice, no source; 93 to 94 % was measured on one."""

APPLIANCE_CHARGER_EFFICIENCY: Final = 0.85
"""The plug-in charger behind an inverter (from memory)."""

EFFICACY: Final[dict[str, float]] = {"filament": 12.0, "halogen": 18.0, "fluorescent": 55.0, "led": 90.0}
"""Lumens per watt of small 12 V lamps (filament 8 to 15, halogen 15 to 22, fluorescent 45 to 65,
LED 70 to 110; from memory): equal light is watts in the inverse ratio."""

NIGHT_START: Final = 3.0
"""The clock hour a load is moved to when it is moved to the night."""

TANKS: Final = ("water heater", "hot water", "boiler", "calorifier", "immersion", "geyser")
NO_TANKS: Final = ("kettle", "pump")
"""Words in the name of a listed load that heats a tank, and of one that does not for all that."""

# --- sun ------------------------------------------------------------------------------------

STANDARD_IRRADIANCE: Final = 1000.0
STANDARD_CELL: Final = 298.15
"""Conditions of a panel's rating: 1000 W/m² and cells of 25 °C (IEC 61215)."""

NOCT: Final = 320.15
"""Cells at 800 W/m² and 20 °C air on an open rack, K (47 °C; from memory, 45 to 48 is usual). A
panel that lies on the deck runs hotter."""

CELL_COEFFICIENT: Final = -0.004
"""Relative change of power per kelvin of cell temperature, crystalline silicon (-0.35 to -0.5 %;
from memory)."""

# --- ground faults and trips ----------------------------------------------------------------

RESIDUAL_BAND: Final = 0.75
"""A residual-current device trips between half its rating and its rating (IEC 61008-1, from memory):
the middle of that."""

RESIDUAL_WIDTH: Final = 0.15
"""Its spread, as of a logarithm."""

DRY_SHARE: Final = 0.15
"""Of what a wet cord or inlet leaks, how much is left when it is dry (no source)."""

DOCK_NEUTRAL_CURRENT: Final = 0.5
"""Amps of other boats' neutral current that find their way through a joined neutral and ground with
nothing on aboard (no source: half a volt of neutral over an ohm of loop)."""

HOLD_MULTIPLE, HOLD_WIDTH = 1.15, 0.07
"""Of its rating, the load at which half of all breakers go within an hour, and the spread of that as
of a logarithm (IEC 60898: none at 1.13, all at 1.45; UL 489: all at 1.35 within the hour; from memory)."""

START_MULTIPLE, START_WIDTH = 6.5, 0.22
"""The same for a start's moment (instantaneous trip of 5 to 10 times; from memory)."""

WORN_STRENGTH, WORN_WIDTH, WORN_TRIPS = 0.45, 0.07, 0.6
"""A device that is left with so much of its rating also goes by itself, so often (no source)."""
