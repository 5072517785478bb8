"""What goes wrong with the supply and at the dock, and what would help with shore power and the bank.

Every cause acts on an input that stands in a silent file too. A trip is information: nothing here is
found by opening a panel, and no device is ever defeated. Priors and odds: from memory, no source.
"""

from console.contract import Alter, Change, Effect, Part

_SHORE = "shore"
_MAINS = ("mains_work", "shock_in_the_water")
_LEAKS = ("ground_fault_trip", *_MAINS)
_DOCK = "ABYC E-11, NEC 555 and local code"

_INLET = ("power.inlet",)
_ANCHOR = ("power.anchor",)

LOW_VOLTAGE = Change(
    "low_voltage", "cause", "The dock's voltage is low", (Alter("power.supply_share", "set", "severity"),),
    severity="86 % ± 5 %", prior=0.04, complaint="climate", odds={"moved_berth": 2.0, "storm": 1.5},
    why="On low volts motors draw more amps and give less; a compressor may hum and not start.",
    remedy="Shed the water heater and the galley first, then stop the air conditioner below 104 V (of 120) or 200 V "
    "(of 230). Feel plug and inlet; tell the dock's office, and try another post. A bad contact or a long thin cord "
    "does the same on your side.",
    minutes=10, proof=("supply_voltage", "within a tenth of the label's volts, under load"),
    hazards=("inlet_overheating", "mains_work"),
)  # fmt: skip

DOCK_CAUSES = (
    Change(
        "overload", "cause", "Too much is on at once",
        (Alter("power.unlisted_current", "set", "severity"),), severity="16 A ± 50 %", prior=0.30,
        complaint=_SHORE, odds={"stowed": 1.2},
        why="A breaker goes some minutes after the load passes it, sooner when it is warm; nothing is broken.",
        remedy="Find which two must not run together on the card of the inlet, move one of them to another hour, and "
        "feel plug and inlet with the back of a dry hand before you load them again.",
        minutes=5, proof=("light_load", "holds"), hazards=("inlet_overheating", *_MAINS),
    ),
    Change(
        "start_current", "cause", "The air conditioner's start is too much for the breaker",
        (Alter("power.start_ratio", "set", "severity"),), severity="4 ± 25 %", prior=0.10,
        complaint=_SHORE, odds={"idle_weeks": 1.3},
        why="It goes at the very moment the compressor starts, or hums for seconds; low volts and a tired start "
        "capacitor make it labour.",
        remedy="Wait five minutes between tries; start it with nothing else on. Have a qualified person look at "
        "capacitor and soft starter: a capacitor stays charged after it is switched off.",
        who="licensed", minutes=60, proof=("unit_alone", "holds"), hazards=_MAINS,
    ),
    Change(
        "heater_leakage", "cause", "The water heater's element leaks to ground",
        (Alter("power.leakage.heater", "set", "severity"),), severity="90 mA ± 80 %", prior=0.20,
        complaint=_SHORE, odds={"idle_weeks": 1.5},
        why="A cracked sheath lets water to the wire; a ground-fault device sees the difference. The commonest of all.",
        remedy="Leave its breaker off. A qualified person measures and replaces the element, tank drained and mains "
        f"unplugged ({_DOCK}).",
        who="licensed", minutes=90, needs=(Part("heater element", "volts and watts as on its label"),),
        proof=("heater_alone", "holds"), hazards=_LEAKS,
    ),
    Change(
        "compressor_leakage", "cause", "The air conditioner's compressor leaks to ground",
        (Alter("power.leakage.compressor", "set", "severity"),), severity="70 mA ± 80 %", prior=0.10,
        complaint=_SHORE, odds={"serviced": 1.2},
        why="Over 4 mA round hot and neutral with the compressor running is a fault to trace.",
        remedy="Leave its breaker off. A qualified person measures the leakage with a clamp, and finds whether it is "
        f"the compressor, the pump or a wet plug ({_DOCK}).",
        who="licensed", minutes=90, proof=("unit_alone", "holds"), hazards=_LEAKS,
    ),
    Change(
        "neutral_ground_joined", "cause", "Neutral and ground are joined on board",
        (Alter("power.leakage.neutral_joined", "set", "severity"),), severity="30 % ± 20 %", prior=0.12,
        complaint=_SHORE, odds={"serviced": 3.0, "moved_berth": 2.0},
        why="Part of every current comes back by the ground, which on a boat is also the water. Older docks did "
        "not look for it; a post with a ground-fault device goes at once.",
        remedy="Stay unplugged until a qualified marine electrician has found where they are joined: a household "
        f"appliance, an inverter's own relay, a wrongly wired panel ({_DOCK}).",
        who="licensed", minutes=120, proof=("branches_off", "holds"), hazards=_LEAKS,
    ),
    Change(
        "wet_cord_or_inlet", "cause", "Cord, plug or inlet is wet or burnt",
        (
            Alter("power.leakage.cord", "set", "severity"),
            Alter("power.shore.contact_resistance", "scale", "3 ± 50 %"),
        ),
        severity="150 mA ± 90 %", prior=0.13, complaint=_SHORE, odds={"storm": 4.0, "moved_berth": 1.3},
        why="Salt water bridges the pins; it goes with everything on board off, and more after rain.",
        remedy="Post breaker off, unplug at the dock end first. Dry, look for green, black or melted parts; replace "
        "cord end and inlet together if you see any. Never tape over, and never lay a live cord on the dock.",
        minutes=30, proof=("main_off", "holds"), hazards=("inlet_overheating", *_LEAKS),
    ),
    Change(
        "dock_device", "cause", "The dock's own device is worn out",
        (Alter("power.leakage.device_strength", "set", "severity"),), severity="36 % ± 14 %", prior=0.08,
        complaint=_SHORE, odds={"moved_berth": 2.0, "storm": 1.2},
        why="A breaker or ground-fault device that has tripped often goes at a part of its rating, or by itself; "
        "on another post the same boat holds.",
        remedy="Tell the dock's office and use another post until theirs is replaced. The post is not yours to open.",
        who="licensed", minutes=10, proof=("other_post", "holds"), hazards=_LEAKS,
    ),
)  # fmt: skip

_LASTING = Effect("power.shore_continuous")
_TOGETHER = Effect("power.shore_together")
_DAWN = Effect("power.dawn_state_of_charge", "more")
_AMP_HOURS = Effect("power.dc_amp_hours_per_day")

ACTIONS = (
    Change(
        "heat_water_at_night", "action", "Run the water heater from 03:00",
        (Alter("power.hot_water", "set", "night"),),
        why="The heaviest timed load moves out of the evening, when the air conditioner and the galley are on.",
        remedy="A timer rated for the load's current, fitted by a qualified person, or the breaker by hand.",
        minutes=5, effects=(_LASTING, Effect("power.shore_peak"), Effect("power.inlet_voltage", "more")),
        questions=_INLET, hazards=("mains_work",), about="power.shore",
    ),
    Change(
        "soft_start", "action", "Fit a soft starter to the air conditioner",
        (Alter("climate.soft_start", "set", "yes"),),
        why="It takes more than half off the start, so that the volts dip less and a small breaker rides it.",
        remedy="Matched to the compressor and wired by a qualified person.", who="licensed", minutes=90,
        needs=(Part("soft starter", "for a compressor of {climate.current}"),),
        effects=(Effect("power.start_peak"), Effect("power.start_voltage", "more")),
        questions=_INLET, hazards=("mains_work",), about="power.shore",
    ),
    Change(
        "thicker_cord", "action", "Use a shore cord two gauges thicker",
        (Alter("power.shore.cord_gauge", "scale", "1.59"),),
        why="Less is lost in the cord. The inlet, its plug and the breakers hold no more than before.",
        remedy="A listed cord of the inlet's own plug, no adapters.", minutes=5,
        effects=(Effect("power.inlet_voltage", "more"), Effect("power.energy_per_day")),
        questions=_INLET, hazards=("inlet_overheating",), about="power.shore",
    ),
    Change(
        "shorter_cord", "action", "Use a shore cord of half the length",
        (Alter("power.shore.cord_length", "scale", "0.5"),),
        why="Half of what the cord takes, and half of its leakage.", remedy="No coils: a coiled cord cooks itself.",
        minutes=5, effects=(Effect("power.inlet_voltage", "more"), Effect("power.energy_per_day")),
        questions=_INLET, hazards=("inlet_overheating",), about="power.shore",
    ),
    Change(
        "new_contacts", "action", "Replace plug and inlet together",
        (Alter("power.shore.contact_resistance", "set", "3 mohm ± 60 %"),),
        why="Clean tight contacts make little heat; what yours are is unknown until felt.",
        remedy="A qualified person, mains unplugged at the dock; both halves, or the old one spoils the new.",
        who="licensed", minutes=60, needs=(Part("inlet and cord end", "{power.shore.inlet_current}"),),
        effects=(Effect("power.contact_heat"), Effect("power.inlet_voltage", "more")),
        questions=_INLET, hazards=("inlet_overheating", "mains_work"), about="power.shore",
    ),
    Change(
        "led_lamps", "action", "Change the lamps for LED of the same light", (Alter("power.lamps", "set", "led"),),
        why="A fifth to an eighth of a filament's watts for the same light.",
        remedy="LED made for 10 to 30 V: a bank swings, and a cheap one dies at charging volts or jams the radio.",
        minutes=30, effects=(_AMP_HOURS, _DAWN), questions=_ANCHOR, hazards=("batteries",),
    ),
    Change(
        "charge_from_the_bank", "action", "Charge from the bank's own volts instead of through the inverter",
        (Alter("power.plug_in_chargers", "set", "from_the_bank"), Alter("power.inverter.left_on", "set", "no")),
        why="One converter instead of two, and the inverter may be off.",
        remedy="A fused charger for 12 or 24 V of the thing's own voltage.", minutes=20,
        effects=(_AMP_HOURS, _DAWN), questions=_ANCHOR, hazards=("batteries",), about="power.bank",
    ),
    Change(
        "inverter_off", "action", "Switch the inverter off when nothing hangs on it",
        (Alter("power.inverter.left_on", "set", "no"),),
        why="Its idle draw goes on all day: 12 to 48 Ah of it on a usual one.", remedy="At its own switch.",
        minutes=1, effects=(_AMP_HOURS, _DAWN), questions=_ANCHOR, about="power.inverter",
    ),
    Change(
        "clear_the_panels", "action", "Take the shade off the panels",
        (Alter("power.solar.shading", "scale", "0.5"),),
        why="A rope's shade on one cell takes far more than its own area.",
        remedy="Swing the boom out and tie it, move what hangs above them, and wash the salt off.", minutes=10,
        effects=(Effect("power.solar_amp_hours_per_day", "more"), Effect("power.recovery", "more")),
        questions=_ANCHOR, about="power.solar",
    ),
    Change(
        "more_panels", "action", "Add a 100 W panel", (Alter("power.solar.peak_power", "add", "100 W"),),
        why="More goes back each day, on dull days too.",
        remedy="Fused at the bank, its controller for the sum.", minutes=240,
        needs=(Part("panel", "100 W"), Part("controller", "for all panels together")),
        effects=(Effect("power.recovery", "more"), _DAWN), questions=_ANCHOR, hazards=("batteries",),
        about="power.solar",
    ),
    Change(
        "larger_bank", "action", "Half as much again of battery", (Alter("power.bank.capacity", "scale", "1.5"),),
        why="The same night takes a smaller share, and lead gives more at a slow rate. It is no larger sun.",
        remedy="Of one kind and age; new ones beside old ones fall to the old. Fuse and cables for the larger bank.",
        minutes=180, effects=(_DAWN, Effect("power.bank_hours", "more")), questions=_ANCHOR,
        hazards=("batteries",), about="power.bank",
    ),
    Change(
        "lithium_bank", "action", "A lithium bank of the same amp-hours",
        (
            Alter("power.bank.chemistry", "set", "lithium"),
            Alter("power.bank.health", "set", "98 %"),
        ),
        why="More of it may be used, and it takes back nearly all that is put in.",
        remedy="With its own management system, fuse, charger and alternator protection, by a qualified person.",
        who="licensed", minutes=480, effects=(Effect("power.bank_hours", "more"), Effect("power.recovery", "more")),
        questions=_ANCHOR, hazards=("batteries",), about="power.bank",
    ),
)  # fmt: skip

CHANGES = (LOW_VOLTAGE, *DOCK_CAUSES, *ACTIONS)
