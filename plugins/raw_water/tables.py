"""Published coefficients and practice figures of the raw-water line, each with its source."""

from __future__ import annotations

import numpy as np

GRAVITY = 9.80665
"""Standard acceleration of gravity, m/s² (ISO 80000-3)."""

ATMOSPHERE = 101_325.0
"""Standard atmosphere, Pa (ISO 2533)."""

# --- loss coefficients ----------------------------------------------------------------------

ENTRANCE_FLUSH = 0.5
"""Sharp-edged entrance flush with the hull. Crane TP-410 p. A-29; Miller and Rennels give 0.57."""

EXIT = 1.0
"""Loss of the whole velocity head at an outlet (Borda-Carnot; Crane TP-410 p. A-29)."""

ELBOW_90_MULTIPLE = 30.0
"""K of a standard 90 degree elbow in multiples of f_T. Crane TP-410 p. A-30."""

BALL_VALVE_MULTIPLE = 3.0
"""K of a full-bore ball valve, wide open, in multiples of f_T. Crane TP-410 p. A-28."""

CRANE_STEEL_ROUGHNESS = 4.572e-5
"""Roughness (m) of the commercial steel pipe f_T is defined for. Crane TP-410, 0.00015 ft."""

SMOOTH_PLASTIC_ROUGHNESS = 1.52e-6
"""Roughness (m) of drawn tubing and new plastic. Moody (1944), 0.0015 mm."""

SCREEN_OPEN_SHARE = np.array(
    [
        0.05,
        0.10,
        0.15,
        0.20,
        0.25,
        0.30,
        0.35,
        0.40,
        0.45,
        0.50,
        0.55,
        0.60,
        0.65,
        0.70,
        0.75,
        0.80,
        0.85,
        0.90,
    ]
)
SCREEN_LOSS = np.array(
    [1000.0, 250.0, 85.0, 52.0, 30.0, 17.0, 11.0, 7.7, 5.5, 3.8, 2.8, 2.0, 1.5, 1.1, 0.78, 0.53, 0.35, 0.08]
)  # fmt: skip
"""Loss of a square-edged perforated plate on its approach velocity, by open share.

Blevins, Applied Fluid Dynamics Handbook (1984), as tabled in the fluids library.
"""

CONTRACTION_AREA_RATIO = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
CONTRACTION_COEFFICIENT = np.array(
    [0.617, 0.624, 0.632, 0.643, 0.659, 0.681, 0.712, 0.755, 0.813, 0.892, 1.0]
)
"""Weisbach's coefficient of contraction of a sharp-edged narrowing, by area ratio.

From memory of the table in Streeter, Fluid Mechanics; the end at a ratio of 0 is its limit.
"""

COCK_ANGLE = np.radians(
    [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 82.0]
)
COCK_LOSS = np.array(
    [0.01, 0.05, 0.29, 0.75, 1.56, 3.10, 5.47, 9.68, 17.3, 31.2, 52.6, 106.0, 206.0, 486.0, 1.0e6]
)  # fmt: skip
"""Loss of a quarter-turn cock in a round pipe by the angle it is closed, on the pipe's velocity.

Weisbach's cock experiments, from memory of engineers' handbooks. He found it shut at 82°; the
first and the last entries are ours, so that it can be read from wide open to shut.
"""

# --- pump -----------------------------------------------------------------------------------

PRIME_LOST_AT = 0.12
"""Share of air by volume in the drawn water at which a small centrifugal pump loses its prime.

From memory of pump handbooks: a few per cent hurt, about a tenth ends it.
"""

# --- air in falling legs --------------------------------------------------------------------

FULL_LEG_FROUDE = 1.075
"""V/√(gD) from which water sweeps the air out of a leg falling straight down.

0.25 √(sin θ) + 0.825 at θ = 90°: Wisner, Mohsen and Kouwen, Removal of air from water lines by
hydraulic means, J. Hydraulics Division ASCE 101 (1975), from memory. A leg that slopes clears a
little sooner (0.825 when level); the steepest is taken for all.
"""

# --- scale ----------------------------------------------------------------------------------

SCALE_CONDUCTIVITY = 1.0
"""Conductivity (W/m·K) of a wet film of scale and slime in a seawater tube; own estimate.

Slime is near 0.6, hard carbonate scale near 2 (from memory). With it 0.09 mm is the seawater
fouling resistance of 0.000088 m²·K/W usual in exchanger practice (TEMA, from memory).
"""

# --- fouling of the strainer ----------------------------------------------------------------

BASE_INTERVAL = 14 * 86_400.0
"""Time (s) from clean to due at 25 °C, 12 h a day, in an average marina. Common practice,
no source; intervals from two days to six weeks are reported."""

BASE_TEMPERATURE = 298.15
DOUBLING = 10.0
"""Growth about doubles for each 10 K ..."""

GROWTH_STOPS = 305.15
""" ... and gains no more above about 32 °C, where most organisms stop."""

DUE_BLOCKED_SHARE = 0.9
"""Blocked share of the basket at the end of the base interval; own estimate.

A basket with a few bores of open area takes a quarter of the flow when some nine tenths shut.
"""

SITE_INTERVAL = {"clean": 2.0, "average": 1.0, "weedy": 0.4, "jellyfish": 0.15}
"""Multiples of the interval by what drifts past. Common practice, no source."""

GROWN_AFTER_CLEANING = 0.95
"""Share of the clean flow that a cleaning should bring back; less, and the blockage is elsewhere.
Common practice, no source."""

# --- sizing ---------------------------------------------------------------------------------

GALLON_PER_MINUTE = 6.30902e-5
BTU_PER_HOUR = 0.2930711

CLEAN_FLOW_PER_WATT = 0.28 * GALLON_PER_MINUTE / (1000 * BTU_PER_HOUR)
"""Clean seawater flow (m³/s) per watt of label capacity: 0.28 gal/min per 1,000 BTU/h.

Owners' forum, about 200 gal/h per ton; band 0.20 to 0.38.
"""

FREE_FLOW_MULTIPLE = 2.8
"""Free flow of a usual pump in multiples of the clean flow; own estimate.

Chosen so that the average line, whole and clean, passes 0.28 gal/min per 1,000 BTU/h.
"""

USUAL_CAPACITY = 16_000 * BTU_PER_HOUR
"""Label capacity (W) of the unit of a 34-footer (owners' forum)."""

USUAL_BORE = 0.015875
"""5/8 in hose, usual up to 16,000 BTU/h (from memory)."""
