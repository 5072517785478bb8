"""Published and customary numbers of the climate plugin, each with where it comes from.

SI throughout. "From memory" means that the edition and table are as remembered.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

# --- surfaces ---------------------------------------------------------------------------------

INSIDE_FILM: Final = MappingProxyType({"vertical": 8.29, "heat_up": 9.26, "heat_down": 6.13})
"""Still-air film coefficients indoors, W/(m²·K), emissivity 0.9 (ASHRAE Fundamentals, surface
conductances; also WAC 51-11-0526). A cooled cabin under a hot deck has heat flowing *down*."""

OUTSIDE_FILM_WINTER: Final = 34.0
"""Outside film at 6.7 m/s (15 mph), W/(m²·K) (ASHRAE Fundamentals; WAC 51-11-0526)."""

OUTSIDE_FILM_SUMMER: Final = 22.7
"""Outside film at 3.35 m/s (7.5 mph), W/(m²·K) (ASHRAE Fundamentals, from memory)."""

FILM_WINDS: Final = (3.35, 6.7)
"""The winds of the two films, m/s (7.5 and 15 mph)."""

SOL_AIR_FILM: Final = 17.0
"""The outside film ASHRAE's own sol-air tables are made with, W/(m²·K) (3.0 BTU/(h·ft²·°F))."""

LONG_WAVE_HORIZONTAL: Final = 68.0
"""ε·ΔR of a level surface that sees the whole clear sky, W/m²: the 4 K of ASHRAE's sol-air tables at
their film of 17 W/(m²·K) (63 in its text). A humid or cloudy sky takes less."""

ABSORPTANCE: Final = MappingProxyType({"light": 0.45, "medium": 0.65, "dark": 0.88, "teak": 0.75})
"""Share of sunshine a surface takes up. Light and dark are ASHRAE's sol-air pair (α/h_o 0.026
and 0.052 m²·K/W at 17 W/(m²·K)); medium lies between; weathered teak: common practice, no source."""

AWNING_LETS_THROUGH: Final = 0.2
"""Share of the sunshine that still reaches a deck under an awning: through the cloth, as its own
long-wave warmth, and from the side (common practice, no source)."""

# --- glass ------------------------------------------------------------------------------------

INCIDENCE_B0: Final = 0.10
"""Coefficient of the incidence angle modifier 1 - b0(1/cos θ - 1) for one clear cover
(ASHRAE 93; Duffie and Beckman eq. 6.17.10, from memory). Good to about 60°; fades to 0 beyond."""

DIFFUSE_MODIFIER: Final = 0.90
"""The modifier at 60°, the equivalent angle of diffuse light (Brandemuehl and Beckman 1980, from
memory), by the same formula."""

CURTAIN_LETS_IN: Final = 0.35
"""Share of the sun's heat that a light curtain or an inside screen still lets into the cabin
(common practice, no source; an outside cover lets in less)."""

COVER_LETS_IN: Final = 0.20
"""Share of the sun's heat that still comes through glass under a reflective cover outside (common
practice, no source)."""

GLASS_THICKNESS: Final = 0.008
GLASS_CONDUCTIVITY: Final = 0.19
"""Acrylic or polycarbonate of 8 mm, W/(m·K) (datasheet figure of cast acrylic, from memory)."""

# --- walls ------------------------------------------------------------------------------------

GRP_CONDUCTIVITY: Final = 0.30
"""Hand-laid glass-reinforced polyester, W/(m·K). EN ISO 10077-2 gives 0.40 for pultruded
profiles; boat laminate is usually quoted 0.20-0.35 (both from memory)."""

FOAM_CONDUCTIVITY: Final = 0.040
"""Foam, balsa core or foam-backed lining taken together, W/(m·K): extruded foam 0.026-0.035,
end-grain balsa 0.05-0.06 (from memory)."""

LINING_RESISTANCE: Final = 0.10
"""Air gap behind a headliner or ceiling, m²·K/W (ISO 6946 unventilated gap 0.11-0.18; half open
here, common practice)."""

LOCKER_RESISTANCE: Final = 0.30
"""Bilge, lockers and sole between the underwater hull and the cabin, m²·K/W: two more still-air
films and 12 mm of plywood at 0.13 W/(m·K) (EN ISO 10456)."""

LAMINATE_THICKNESS: Final = MappingProxyType({"roof": 0.008, "sides": 0.009, "hull": 0.015})
"""Laminate of an older 30-40 ft boat, m (common practice, no source)."""

AREAL_CAPACITY: Final = MappingProxyType({"roof": 22e3, "sides": 20e3, "hull": 30e3})
"""Heat capacity of the shell per area, J/(m²·K): laminate (1,800 kg/m³ × 1,200 J/(kg·K)) and
lining, by the thicknesses above."""

FURNISHINGS_FILM_AREA: Final = 12.0
"""Conductance between the air and what stands in it per volume of cabin, W/(m³·K): about 2.5 m²
of joinery, cushions and stores per m³ at 5 W/(m²·K) (common practice, no source)."""

AIR_CAPACITY_FACTOR: Final = 2.0
"""Thin things that follow the air within minutes (cloth, liner skin) count as air."""

# --- what people and things give ----------------------------------------------------------------

PEOPLE: Final = MappingProxyType(
    {"seated": (65.0, 30.0), "light": (70.0, 45.0), "office": (75.0, 55.0), "working": (80.0, 140.0)}
)
"""Heat of one person at 24 °C, W (sensible, latent): seated at rest; seated, very light work;
moderately active; light bench work. ASHRAE Fundamentals, Table 1 of the nonresidential
cooling-load chapter, adjusted for men and women."""

RADIANT_SHARE: Final = MappingProxyType({"people": 0.5, "equipment": 0.3, "sun": 0.9})
"""Share of a sensible gain that warms the furnishings first and the air later (after ASHRAE's
radiant time series chapter, from memory, rounded; sun includes what the air takes at blinds)."""

COOKING_LATENT_SHARE: Final = 0.35
"""Share of a burner's heat that ends as water vapour: steam, and the water of burnt gas
(common practice, no source)."""

# --- air ----------------------------------------------------------------------------------------

STACK_COEFFICIENT: Final = 0.0145
"""LBL stack coefficient of one storey, (m³/s)²/(m⁴·K): 0.000145 (L/s)²/(cm⁴·K) (ASHRAE
Fundamentals, residential infiltration, from memory). The effective leakage area is at 4 Pa."""

VENTILATOR_SHARE: Final = 0.40
"""What of a shut-up cabin's gaps are ventilators that can be shut (common practice, no source)."""

WIND_COEFFICIENT: Final = MappingProxyType(
    {"open": 0.0319, "light": 0.0246, "harbour": 0.0174, "sheltered": 0.0104, "enclosed": 0.0032}
)
"""LBL wind coefficients of one storey by shelter class 1..5, (m³/s)²/(m⁴·(m/s)²) (same table).

They hold for the wind of open ground. The console's wind is that over the deck, with the berth's
shelter already in it, so the first is used, and the others only say, by their roots, how much of
an open berth's wind each leaves over the deck."""

OPENING_AS_LEAKAGE: Final = 0.65
"""Effective leakage area (discharge coefficient 1) of an open hatch per area: a sharp orifice."""

BILGE_SEA_SHARE: Final = 0.6
"""How far the bilge's air has come from the outdoor air to the sea's temperature (common
practice, no source)."""

BILGE_HUMIDITY: Final = 0.90
"""Relative humidity the bilge's air does not pass, and is brought to when wet (same)."""

# --- air conditioner ----------------------------------------------------------------------------

RATED_RETURN_DRY_BULB: Final = 299.817
RATED_RETURN_WET_BULB: Final = 292.594
"""80 °F dry bulb, 67 °F wet bulb: the indoor state of AHRI 210/240 and ISO 13256-1's like."""

RATED_WATER_IN: Final = 302.594
RATED_WATER_RISE: Final = 5.5556
"""85 °F in, 10 °F warmer out: the customary rating of water-cooled condensers (eng-tips.com
thread 99316), with condensing at 105 °F."""

RATED_SUBCOOLING: Final = 5.0
"""K, with `RATED_SUPERHEAT`: usual for small units (common practice, no source)."""
RATED_SUPERHEAT: Final = 5.0

HERMETIC_SHARE: Final = 0.95
"""Share of the compressor's electric power that leaves with the refrigerant and so with the
water; the rest warms the locker the compressor stands in."""

CLEARANCE: Final = 0.04
EXPANSION_EXPONENT: Final = 1.15
"""Volumetric efficiency 1 - c((p2/p1)^(1/n) - 1) of a small hermetic compressor (clearance-volume
formula, Gosney, Principles of Refrigeration, from memory; c of a rolling-piston or scroll)."""

EFFICIENCY_CURVATURE: Final = 0.15
"""Loss of overall efficiency per (ln(ratio/rated ratio))² on both sides of the rating pressure
ratio: 7 % at half or double (typical of compressor maps, from memory)."""

COPPER_LOSS, CORE_LOSS, RATED_SLIP = 0.10, 0.05, 0.035
"""Motor losses per shaft power at rated volts, and slip. They give at 90 % of rated volts about
what NEMA MG 1's table of voltage variation gives: efficiency -1.5 points, speed -1 %, amps +11 to
+13 % (from memory)."""

LEAST_VOLTS: Final = 0.80
"""Share of the label's volts below which the compressor does not run (controllers and contactors
drop out; makers allow ±10 %; from memory)."""

MOST_VOLTS: Final = 1.25
"""Share above which it must not run: its motor saturates and burns (makers allow ±10 %; from
memory). A 115 V unit on 230 V, not a dock on its best day."""

WATER_FILM_SHARE: Final = 0.5
"""Share of the condenser's resistance on the water side at rating (tube-in-tube coil)."""

WATER_FILM_EXPONENT: Final = 0.8
"""Turbulent film with flow (Dittus-Boelter). Below about a sixth of rated flow the tube goes
laminar and the true film is lower still; the unit has tripped by then."""

CONDENSER_TRANSMITTANCE: Final = 2800.0
"""Clean U of a tube-in-tube condenser, W/(m²·K) (2,000-4,000; from memory). It sets the area on
which a scale resistance acts."""

AIR_FILM_EXPONENT: Final = 0.5
"""Air-side film with flow over plate fins (0.4-0.6, from memory)."""

BLOWER_VOLTS_EXPONENT: Final = 0.5
"""Air of a small blower with the volts below its rating: its permanent-split-capacitor motor slips far
(some speed controls do no more than lower its volts; exponent common practice, no source)."""

AIR_PATH_SHARE: Final = MappingProxyType({"filter": 0.2, "coil": 0.4, "duct": 0.4})
"""How the blower's pressure is spent when everything is clean (common practice, no source)."""

WETTED_EXPONENT, STARVED_FLOW_EXPONENT = 1.3, 0.4
"""Too little refrigerant: wetted share of the coil ~ charge^1.3, mass flow ~ charge^0.4. Fitted
in a trial so that half the charge gives an evaporating temperature near freezing, about two
thirds of the heat rejected and three quarters of the amps; no published source."""

OVERCHARGE_LOSS: Final = 1.5
"""Share of the condenser drowned per share of refrigerant too much (common practice, no source)."""

LOW_PRESSURE_BAND = 6.0
"""How far below the evaporating temperature at which the low-pressure switch opens the unit no
longer runs at all, K (common practice, no source)."""

MOST_STARTS, SHORT_STARTS = 3.0, 10.0
"""Starts an hour at half load (thermostats 2.5-3.1, Henderson and Rengarajan 1996, from memory), and
when only a restart delay of some minutes holds the compressor (common practice, no source)."""

START_MULTIPLE_SOFT: Final = 2.1
"""Starting over running current with a soft start: 1.8-2.5 (trawlerforum.com post 678997 and from
memory)."""

# --- frost on the coil ---------------------------------------------------------------------------

FACE_VELOCITY: Final = 2.2
"""Air on the face of a coil, m/s (400-450 ft/min; common practice, no source)."""

COIL_DEPTH: Final = 0.066
"""Three rows of tube, m (common practice, no source)."""

COIL_VOID: Final = 0.90
"""Share of the coil's volume that is air (fins and tubes fill a tenth; common practice)."""

FROST_DENSITY: Final = 300.0
"""Frost on a coil near freezing in humid air, kg/m³ (150-500; Hayashi's form gives 374 at -2 °C)."""

FUSION: Final = 334e3
"""Heat of fusion of ice, J/kg."""

STILL_THAW: Final = 0.10
"""What of the moved air's warmth reaches the ice with the fan stopped (common practice, no source)."""

# --- the cabin's comfort ------------------------------------------------------------------------------

SHORT: Final = 0.5
"""K above what the thermostat holds, running without a stop, that counts as falling short."""

# --- ducts ------------------------------------------------------------------------------------------

DUCT_FILM: Final = 18.0
"""Film inside a supply duct, W/(m²·K): Dittus-Boelter at 4 m/s in 100 mm."""

# --- rules of thumb, shown beside the estimate and never used in it ------------------------------

RULE_PER_VOLUME: Final = 14 * 0.293071 / 0.0283168
"""14 BTU/h per cubic foot, in W/m³ (practical-sailor.com 45_6 and dealers' pages; 10-19 seen)."""

RULE_PER_AREA: Final = 100 * 0.293071 / 0.09290304
"""100 BTU/h per square foot of floor, in W/m² (practical-sailor.com 45_6, which tells of a boat that
was happy with a third of it)."""

RULE_SPLIT: Final = (15 / 1.8, 20 / 1.8)
"""The fixed rule for the air drop, 15 to 20 °F, in K (soundingsonline.com/boat-shop/keep-it-cool)."""

# --- water vapour ---------------------------------------------------------------------------------

VAPORISATION: Final = 2.454e6
"""Latent heat of water at 20 °C, J/kg (ASHRAE Fundamentals ch. 1)."""

AIR_HEAT: Final = 1006.0
VAPOUR_HEAT: Final = 1860.0
LIQUID_HEAT: Final = 4186.0
"""Specific heats of dry air, water vapour and water, J/(kg·K) (ASHRAE Fundamentals ch. 1)."""

FIRST_HUMIDITY: Final = 0.60
"""Relative humidity from which the search for the cabin's own begins; it moves no answer."""

BUFFER_MASS: Final = 12.0
"""Water taken up by wood, cloth and paper per humidity ratio and volume of cabin, kg/m³: about
ten times the air's own (moisture buffer of furnished rooms 5-15 times, from memory)."""

WET_STATE: Final = (297.15, 0.60)
"""The cabin (K, relative humidity) at which wet things give off the stated evaporation. Elsewhere it
goes with the saturated humidity ratio at the air's temperature less the air's own (Dalton)."""

CONDENSING_FILM: Final = 3.5
"""Convective part of the film on an upright pane, W/(m²·K) (8.29 less radiation; ASHRAE)."""

LEWIS_FACTOR: Final = 0.90
"""h/(h_m·c_p) = Le^(2/3) of water vapour in air, Le = 0.85."""

BUFFER_HOURS: Final = 5.0
"""Time constant of that exchange, h (from memory)."""
