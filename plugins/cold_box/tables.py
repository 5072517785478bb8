"""Published coefficients of the ice box, each with its owner."""

from __future__ import annotations

ZERO_CELSIUS = 273.15
"""K."""

GRAVITY = 9.80665
"""m/s², standard gravity (CODATA)."""

STEFAN_BOLTZMANN = 5.670374419e-8
"""W/m²K⁴ (CODATA 2018)."""

# --- walls ----------------------------------------------------------------------------------

EDGE_SHAPE = 0.54
"""Shape factor of an edge per metre (Holman, Heat Transfer, table 3-1; Langmuir 1913)."""

CORNER_SHAPE = 0.15
"""Shape factor of a corner per metre of wall thickness (same table). Both hold when every
inside dimension exceeds one fifth of the wall's thickness."""

CONDUCTIVITY = {
    "unknown": 0.031,
    "extruded_polystyrene": 0.028,
    "bead_polystyrene": 0.0355,
    "urethane": 0.0255,
    "cork": 0.05,
    "glass_fibre": 0.043,
}
"""W/m·K of dry insulation as it is after years. Extruded and bead polystyrene, aged unfaced
urethane and glass fibre: ASHRAE Fundamentals ch. 26, mid-range, with some ageing; cork:
EN ISO 10456:2007 table 3. "unknown" is the middle of the foams boats are built with."""

PLYWOOD_CONDUCTIVITY = 0.13
"""W/m·K, plywood 500 kg/m³ (EN ISO 10456:2007 table 3)."""

LINER_THICKNESS = 12e-3
"""m of plywood and laminate on a lid, inside and out together. Common practice, no source."""

WET_CONDUCTIVITY = 0.10
"""W/m·K of waterlogged foam: R 1 to 3 per inch is 0.05 to 0.14. From memory."""

FILM_INSIDE = 8.29
"""W/m²K, still air on a vertical surface (ASHRAE Fundamentals ch. 26, table 1)."""

FILM_OUTSIDE = 22.7
"""W/m²K, summer, 3.4 m/s of wind (same table)."""

# --- air ------------------------------------------------------------------------------------

AIR_VISCOSITY = 1.80e-5
"""Pa·s, air at about 15 °C. ±4 % over 0..35 °C."""

VAPOUR_DIFFUSIVITY = 2.5e-5
"""m²/s, water vapour in air at about 20 °C."""

CRACK_LOSS = 1.5
"""Dynamic heads lost by a straight crack (Baker, Sharples & Ward 1987, Building and
Environment 22: C = 1.5 + bends)."""

OPENING_DISCHARGE = 0.65
"""Discharge coefficient of an opening (Brown & Solvason 1962; ASHRAE Fundamentals)."""

PHAM_OLIVER = 0.68
"""Door exchange measured, over that predicted (Pham & Oliver, 16th Int. Cong. Refrig. 1983)."""

DRAUGHT_COEFFICIENT = 0.6
"""Pressure between the edge a draught meets and the edge it leaves, in dynamic heads: half of a
free-standing body's +0.7 and -0.5 (ASHRAE Fundamentals ch. 24, from memory), for a lid or door
lies flush or nearly. The draught's own spread, squared, is far wider."""

LEAKAGE_PRESSURE = 4.0
"""Pa at which an effective leakage area is stated (ASHRAE Fundamentals)."""

# --- water ----------------------------------------------------------------------------------

DRY_AIR_HEAT = 1006.0
VAPOUR_HEAT = 1860.0
VAPORISATION_AT_ZERO = 2_501_000.0
"""J/kg·K, J/kg·K, J/kg: h = 1006 t + W (2,501,000 + 1860 t) (ASHRAE Fundamentals ch. 1)."""

LIQUID_HEAT = 4186.0
"""J/kg·K, water."""

ICE_AT_ZERO = -333_444.0
ICE_HEAT = 2090.0
"""J/kg and J/kg·K: enthalpy of ice from liquid water at 0 °C (IAPWS R10-06)."""

LEWIS = 0.845
"""α/D of moist air near 0 °C: 1.91e-5 / 2.26e-5."""

# --- frost ----------------------------------------------------------------------------------

LEAST_FROST_DENSITY = 50.0
"""kg/m³: Hayashi's formula falls to 4 at -18.6 °C, the edge of its data."""

MOST_FROST_DENSITY = 600.0
"""kg/m³: about where Yonko and Sepsy's conductivity ends (573)."""

MUSHY = 0.5
"""K over which a deposit passes from ice to drops; a numerical width."""

# --- contents -------------------------------------------------------------------------------

FOOD_HEAT = 3600.0
"""J/kg·K: between fresh meat (3.1 to 3.5) and drinks (4.18). ASHRAE Refrigeration, from memory."""

FROZEN_FOOD_HEAT = 1900.0
"""J/kg·K of it frozen. ASHRAE Refrigeration, from memory."""

FOOD_WATER = 0.75
FOOD_FREEZES = ZERO_CELSIUS - 1.5
"""Share of water in food, and K at which it begins to freeze: lean meat 0.75, -1.7 °C; fruit and
drinks more and a little warmer. ASHRAE Refrigeration ch. 19, from memory."""

FREEZES_OVER = 1.0
"""K over which freezing sets in, food by food. Common practice, no source."""

FOOD_DENSITY = 600.0
"""kg of food and drink per m³ of filled box, air between included. Common practice, no source."""

ICE_MELTS_OVER = 2.0
"""K over 0 °C at which a day's ice melts within its day. Common practice, no source."""

LINER_HEAT = 8e3
"""J/K of liner and plate that follow the box's temperature. Common practice, no source."""

# --- compressor -----------------------------------------------------------------------------

CLEARANCE = 0.04
EXPANSION = 1.1
"""Dead space as a share of the stroke, and the exponent of its re-expansion: small hermetic
reciprocating compressors, from memory."""

BEST_RATIO = 5.0
EFFICIENCY_FALL = 0.09
"""Pressure ratio at which a small hermetic compressor is at its best, and how its isentropic
efficiency falls off it: 1 - 0.09 ln²(r/5). Makes it 8 % worse at -25/55 °C than at -10/55, as data
sheets of such machines do. From memory; the box takes the 0.09 as an input with all of it as spread."""

SUBCOOLING = 2.0
"""K at the condenser's outlet. From memory."""

USUAL_EVAPORATING = ZERO_CELSIUS - 12.0
USUAL_CONDENSING = ZERO_CELSIUS + 45.0
"""K: the state at which an owner reads the running amps. Common practice, no source."""

USUAL_VOLTS = 1.05
"""A system's volts in use over its nominal volts: 12.6 of 12. Common practice, no source."""

USUAL_DROP = 0.02
"""Share of the volts a sound feed drops: under the 3 % of good practice."""

RATING_POINTS = {
    "ashrae_lbp": (-23.3, 54.4, 32.2, 32.2),
    "cecomaf": (-25.0, 55.0, 32.0, 55.0),
    "en12900_lbp": (-35.0, 40.0, 20.0, 40.0),
    "en12900_mbp": (-10.0, 45.0, 20.0, 45.0),
}
"""Evaporating, condensing, suction gas and liquid °C of a label's rated watts. From memory."""

RATED_OVER_CYCLE = {
    "R134a": {"ashrae_lbp": 1.338, "cecomaf": 1.102, "en12900_lbp": 1.054, "en12900_mbp": 1.018},
    "R1234yf": {"ashrae_lbp": 1.586, "cecomaf": 1.260, "en12900_lbp": 1.165, "en12900_mbp": 1.066},
    "R600a": {"ashrae_lbp": 1.364, "cecomaf": 1.141, "en12900_lbp": 1.087, "en12900_mbp": 1.036},
    "R290": {"ashrae_lbp": 1.357, "cecomaf": 1.113, "en12900_lbp": 1.060, "en12900_mbp": 1.020},
}
"""Cooling per m³ swept with the suction gas and liquid of a rating point, over that of the box's
own cycle (5 K of superheat, 2 K of subcooling) at the same two temperatures: a rating counts the
warming of the gas to a warm room, and ASHRAE's cools the liquid to it as well. CoolProp 8."""

WETTED_BY_CHARGE = 1.3
FLOW_BY_CHARGE = 0.4
"""Exponents of the refrigerant left: share of the plate it wets, and of the flow. Chosen to give
the part-frosted, colder plate and the low amps technicians describe. Common practice, no source: how
much a given loss of charge does is not known this well, only which way each thing moves."""

# --- contents' stillness ---------------------------------------------------------------------

FOOD_RULE = 2.0 * 3600.0
FOOD_RULE_HOT = 1.0 * 3600.0
HOT_AIR = ZERO_CELSIUS + 290.0 / 9.0
"""s above the line after which perishables are thrown away; the lesser where the air is above 90 °F
(K). USDA and FDA guidance, from memory."""

FREEZER_SOFT = ZERO_CELSIUS - 6.0
"""K at which freezer food goes soft. Common practice, no source."""

# --- food safety ----------------------------------------------------------------------------

FOOD_SAFE = ZERO_CELSIUS + 40.0 / 9.0
"""K: 40 °F. USDA and FDA: perishables above it for over two hours are thrown away."""

LONGEST_INTERVAL = 365 * 86_400.0
"""s: due dates beyond a year are said to be a year."""

# --- what was measured ------------------------------------------------------------------------

LEAST_WALLS, MOST_WALLS = 0.2, 5.0
LEAST_LEAK, MOST_LEAK = 0.02, 50.0
"""Between these the factors of a fit are sought; a reading beyond them is held at the edge, and said."""
