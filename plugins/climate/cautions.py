"""Hazards of living with and working on an air conditioner. Local codes and licensed hands first."""

from console.contract import Caution

CAUTIONS = (
    Caution(
        "carbon_monoxide",
        "Carbon monoxide kills without smell, from your own engine or generator or a neighbour's. Never run a "
        "portable generator on or in the boat for the air conditioner. An alarm in every space where someone "
        "sleeps, cooks, steers or washes. The unit must never draw engine-room or bilge air: it blows it on the "
        "bunks. Alarm or headache: everyone out, then look.",
        0,
        "ABYC A-24, UL 2034, ISO 12133 (check the current edition)",
        "abycinc.org/co-detectors-on-boats; rest common practice",
    ),
    Caution(
        "mains",
        "Mains can kill. Switch off at the post and unplug before a cover comes off; a thermostat starts the unit "
        "at any moment, and capacitors stay charged after that. Inside the panel or the unit is work for a marine "
        "electrician. Never defeat a device that trips.",
        0,
        "ABYC E-11, ISO 13297, NEC 555, IEC 60364-7-709 and local code",
        "common practice, no source",
    ),
    Caution(
        "heat_illness",
        "A closed cabin in the sun can pass 120 °F (49 °C) within hours when the unit trips. Never leave pets, "
        "infants or frail people to an air conditioner alone; no set-point makes it safe. Confusion, slurred "
        "speech, collapse or very hot skin, sweating or not, is an emergency: cool them and call the local "
        "emergency number.",
        0,
        "national weather service heat index; local emergency number",
        "yachtforums.com post 340858; New York City heat advisory text",
    ),
    Caution(
        "refrigerant",
        "Refrigerant is for licensed people: venting it is against the law, and topping up without finding the "
        "leak is bad practice. No amount is given here.",
        1,
        "US Clean Air Act s.608, 40 CFR 82 subpart F; EU F-gas Regulation 2024/573; ASHRAE 15 and 34",
        "nepis.epa.gov P100PI7C",
    ),
    Caution(
        "flammable_refrigerant",
        "This refrigerant burns (class A2L). No flame, heat gun, brush motor or pick near the unit; leaked gas "
        "sinks into bilge and lockers: air them before any switch is thrown.",
        0,
        "ASHRAE 15 and 34, the unit's manual",
        "from memory",
    ),
    Caution(
        "refrigerant_may_burn",
        "Read the label before anyone opens it: R32 and R454B burn weakly (class A2L), R290 and R600a burn well (A3). "
        "With those no flame, heat gun, brush motor or pick near; leaked gas sinks into bilge and lockers: air them.",
        0,
        "ASHRAE 15 and 34, the unit's manual",
        "from memory",
    ),
    Caution(
        "hot_and_sharp",
        "Breaker off before the filter comes out to look at the coil: the blower and the fins cut, and the "
        "discharge pipe and compressor pass 150 °F (65 °C).",
        1,
        "the unit's manual",
        "common practice, no source",
    ),
    Caution(
        "trip_resets",
        "After a high-pressure trip at most two resets, five minutes apart, then stop and look at the water. "
        "Never bypass a switch.",
        1,
        "the unit's manual",
        "common practice, no source",
    ),
    Caution(
        "condensation",
        "In a humid harbour do not set it below about 75 °F (24 °C): cold ducts, grilles and hull sweat and grow "
        "mould. Keep the air under 60 % humidity, insulate ducts, drain the pan; a fan left on blows the pan's "
        "water back.",
        2,
        "ASHRAE 62.1 and 160, EPA mould guidance",
        "sailboatowners.com thread 95108; rest from memory",
    ),
    Caution(
        "left_running",
        "Left running unattended, a clogged strainer burns it out and its seawater hose can flood the boat: leave "
        "it off with the seacock shut, or have it looked at weekly.",
        1,
        "",
        "sailboatowners.com thread 41511; yachtforums.com post 340858",
    ),
)
