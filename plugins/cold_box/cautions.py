"""Hazards around an ice box. The usual cautions; local codes and certified hands come first."""

from console.contract import Caution

CAUTIONS = (
    Caution(
        "food_too_warm",
        "Perishable food above 40 °F (4 °C) for more than two hours (one hour when the air is above 90 °F) is "
        "thrown away, not tasted. Freezer food that has gone soft is used at once or thrown away.",
        1,
        "USDA and FDA food-safety guidance, or your own country's",
        "USDA/FDA guidance, from memory",
    ),
    Caution(
        "never_chip_ice",
        "Never chip ice off the plate with a knife, pick or screwdriver: a hole through the plate loses the "
        "refrigerant and usually the plate. Switch off, let it thaw with the lid open, or spray water and "
        "take the melt away with a sponge; dry everything before shutting it.",
        2,
        "",
        "themarinesurveyors.com, refrigeration 101; common practice",
    ),
    Caution(
        "mains_near_melt_water",
        "No mains heater, hair dryer or extension lead over a wet box: water, mains and a hand on metal is how "
        "people are electrocuted. A pan of warm (not boiling) water does it.",
        0,
        "ABYC E-11, ISO 13297, local electrical code",
        "common practice, no source",
    ),
    Caution(
        "flammable_refrigerant",
        "Look at the compressor's label: R600a and R290 burn readily (class A3), R1234yf weakly (A2L), and the gas "
        "sinks into bilge and lockers. With these no flame, no heat gun, no sparking tool or brush motor near it, and "
        "with any nothing sharp near the plate. If you smell or suspect a leak, all off at the battery switch only if "
        "that is well away from it, air the boat, and get out.",
        0,
        "ASHRAE 15 and 34, ISO 5149, the maker's manual",
        "ASHRAE 34; common practice",
    ),
    Caution(
        "refrigerant",
        "Refrigerant is for certified people with gauges: venting it is against the law, and a top-up without a "
        "search for the leak only hides it. Check air, frost and volts first; those are yours.",
        1,
        "US Clean Air Act s.608 and 40 CFR 82 subpart F; EU Regulation 2024/573",
        "nepis.epa.gov P100PI7C; from memory",
    ),
    Caution(
        "drain_to_bilge",
        "A box's drain that ends in the bilge or joins another drain can bring gas, fuel vapour or dirty water "
        "back to the food. Plug it or give it a water trap, refill the trap when it dries out or slops, and "
        "never tee it into a sink or a bilge pump's hose.",
        1,
        "ABYC H-22, local rules",
        "owners' reports; common practice",
    ),
    Caution(
        "locker_work",
        "Tie the locker lid open, air it, and tell someone you are in there.",
        2,
        "",
        "common practice, no source",
    ),
    Caution(
        "battery",
        "A battery welds a spanner or a ring to a wrist: rings off, one lead at a time, never across its posts. Lead "
        "ones give off gas that explodes: no spark, no flame, air. Take the fuse or main switch off before a feed is undone.",
        1,
        "ABYC E-11 and E-10, ISO 13297",
        "common practice; from memory",
    ),
    Caution(
        "hot_machine",
        "The compressor and its discharge pipe are hot enough to burn, and its fan starts by itself: switch it "
        "off at its breaker before brushing dust from the condenser.",
        2,
        "",
        "common practice, no source",
    ),
)
