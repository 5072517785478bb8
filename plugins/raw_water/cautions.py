"""Hazards of work on the raw-water line. The usual cautions; local codes and licensed hands first."""

from console.contract import Caution

CAUTIONS = (
    Caution(
        "below_waterline",
        "Opening a strainer or hose below the waterline can sink the boat. Pump breaker off, seacock shut "
        "and confirmed (no dribble with the lid cracked), a soft plug and a bucket at hand, the strainer lid "
        "never left off, a look for weeps afterwards. Never force a stiff or corroded valve; with one, or with "
        "its handle off, have it seen to first and never work alone. A 3/4 in hole 18 in down lets in about 8 gallons "
        "a minute.",
        0,
        "ABYC H-27, ISO 9093 (check the current edition)",
        "common practice, no source",
    ),
    Caution(
        "marina_diving",
        "Do not swim or dive to clear a hull fitting in a marina with shore power: stray current kills without "
        "warning. Use a rod, a back-flush from inside, a haul-out or a professional.",
        0,
        "ABYC E-11, NFPA 303, NEC 555 and the marina's own rules",
        "boats.com; tradeonlytoday.com on electric shock drowning",
    ),
    Caution(
        "wet_mains_pump",
        "The pump is on mains in a wet locker. Switch off at the post and unplug before a hose is loosened or the "
        "pump touched; a thermostat can start it at any moment. Its capacitor stays charged after that: leave "
        "the electrical side to a marine electrician.",
        0,
        "ABYC E-11, ISO 13297, local electrical code",
        "common practice, no source",
    ),
    Caution(
        "seacock_left_open",
        "A seacock left open for the air conditioner can sink an empty boat when a hose lets go. Shut it when "
        "you leave, or have the boat looked at weekly.",
        1,
        "ABYC H-27, ISO 9093",
        "owners' reports; common practice",
    ),
    Caution(
        "dry_pump",
        "Stop a pump that runs dry at once. After a high-pressure trip at most two resets, five minutes apart, "
        "then stop; never bypass a switch.",
        1,
        "the unit's manual",
        "common practice, no source",
    ),
    Caution(
        "descaling_acid",
        "Descaler is acid: gloves, goggles, fresh air, never with chlorine. Ask what may go overboard where you lie.",
        1,
        "the product's safety data sheet, local discharge rules",
        "from memory",
    ),
    Caution(
        "dock_hose",
        "A dock hose on the boat's plumbing: never unattended, never clamped on with the strainer lid shut.",
        1,
        "",
        "common practice, no source",
    ),
    Caution(
        "freezing_water",
        "Water left in the unit, strainer or pump splits them in frost and floods the boat on the thaw: drain it, "
        "or shut the seacock.",
        1,
        "",
        "common practice, no source",
    ),
    Caution(
        "locker_work",
        "Tie the locker lid open, air it, and tell someone you are in there.",
        2,
        "",
        "common practice, no source",
    ),
)
