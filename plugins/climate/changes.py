"""What goes wrong with the air conditioner itself and with the air it breathes.

Every cause acts on inputs that stand in every boat, and starts where a healthy one ends. What each
reading would then be is computed, never written here. Water and supply have their own causes.

``undersized`` and ``nothing_wrong`` alter nothing: they are one run of the boat as it is, split
draw by draw by whether that draw falls short (`weighed_by`: ``climate.falls_short`` goes from next to 0
where the cabin is held to next to 1 where its day's warmest hour is 2 K above, and to 0.8 where the
cabin that was read is 5 K above; ``climate.keeps_up`` is the rest). So a boat that keeps up leaves hardly
any weight to a unit that is too small.

Weights before any reading are those of a call to a boat that cools poorly (from memory: filter or
ice 12 in a hundred, ingress or load 10, refrigerant 4, other 2; the rest is water and supply).
Severities and odds of events are common practice, no source.
"""

from console.contract import Alter, Change, Part

_FILTER = Part("return filter", "to the size on its frame")

CAUSES = (
    Change(
        "blocked_air_filter", "cause", "The return filter or the coil behind it is clogged",
        (Alter("climate.filter_blocked", "set", "severity"),), severity="75 % ± 15 %",
        prior=0.08, complaint="climate",
        odds={"idle_weeks": 1.2, "serviced": 0.6},
        why="Little air comes through, and it is colder than it should be until the coil freezes.",
        remedy="Breaker off. Take the return filter out, look through it at a lamp, wash or replace it; then look at "
        "the coil behind it, and at a second filter on the coil, which is often forgotten. Brush the fins along "
        "their run, and see that nothing stowed stands before the grille.",
        minutes=15, needs=(_FILTER, Part("soft brush")), proof=("airflow", "strong"),
        hazards=("hot_and_sharp", "mains"), about="climate",
    ),
    Change(
        "iced_evaporator", "cause", "The cold coil is iced over",
        (Alter("climate.iced_share", "set", "severity"),), severity="80 % ± 12 %",
        prior=0.04, complaint="climate", odds={"idle_weeks": 0.8, "storm": 1.1},
        why="Ice shuts the coil: very little air, little heat taken, and it cuts out; a puddle after it stops.",
        remedy="Compressor off, fan on alone, an hour or two until the drip stops; catch the water. Then find why it "
        "froze: a clogged filter, a set-point too low for damp air, shut grilles; only last a lack of refrigerant.",
        minutes=90, needs=(Part("bucket and towels"),), proof=("evaporator_frost", "none"),
        hazards=("hot_and_sharp", "condensation"), about="climate",
    ),
    Change(
        "low_refrigerant", "cause", "Too little refrigerant, or too little of it comes through",
        (Alter("climate.charge", "set", "severity"),), severity="50 % ± 18 %",
        prior=0.035, complaint="climate", odds={"serviced": 1.5, "grounded": 1.2},
        why="Water and air flow as they should, but little heat is moved and the amps are low. A lack of "
        "refrigerant, a choked metering device and a failing compressor look the same without gauges.",
        remedy="First be sure of the water and the air. Then look for oily joints and call a licensed technician: find "
        "the leak, mend it, weigh the charge in. Hand over what was read.",
        who="licensed", minutes=180, proof=("supply_air", "as cold as the split expected in this air"),
        hazards=("refrigerant", "refrigerant_may_burn", "mains"), about="climate",
    ),
    Change(
        "overcharge", "cause", "Too much refrigerant, or air in it",
        (Alter("climate.charge", "set", "severity"),), severity="120 % ± 10 %",
        prior=0.005, complaint="climate", odds={"serviced": 12.0},
        why="It condenses hot and takes more amps with good water and air. Without gauges it looks like a scaled "
        "condenser; it comes after somebody had the system open.",
        remedy="Descale first if that is due. Then the licensed technician who was there last: recover, and weigh the "
        "charge in.",
        who="licensed", minutes=180, proof=("unit_current", "as on the label in this water"),
        hazards=("refrigerant", "refrigerant_may_burn", "mains"), about="climate",
    ),
    Change(
        "air_ingress", "cause", "The return breathes bilge or outside air",
        (Alter("climate.return_from_bilge", "set", "severity"),), severity="38 % ± 20 %",
        prior=0.04, complaint="climate", odds={"serviced": 1.5, "stowed": 1.5, "storm": 1.1},
        why="The air at the coil is warmer and wetter than the cabin's. The unit works well and drips a lot, and "
        "never catches up: a gap of an inch can be half the air.",
        remedy="Alarm for carbon monoxide first. Feel round the return grille and the locker for air coming out of the "
        "bilge or a vent; close gaps with foil tape and closed-cell foam, so that the grille is the only way in.",
        minutes=60, needs=(Part("foil tape and closed-cell foam"),), proof=("return_air", "as warm as the cabin, to 1 °C (2 °F)"),
        hazards=("carbon_monoxide",), about="climate",
    ),
    Change(
        "supply_short_circuit", "cause", "Cold air goes straight back into the return",
        (Alter("climate.supply_recirculated", "set", "severity"),), severity="28 % ± 14 %",
        prior=0.015, complaint="climate", odds={"stowed": 2.0, "serviced": 1.5},
        why="The return is colder than the cabin, so the unit thinks that it is done and starts and stops.",
        remedy="Find where supply air reaches the return: a grille beside it, a duct off its collar, a locker between "
        "them. Turn the louvres away, tape the collar, put a baffle between.",
        minutes=30, needs=(Part("foil tape"),), proof=("return_air", "as warm as the cabin, to 1 °C (2 °F)"),
        hazards=("hot_and_sharp",), about="climate",
    ),
    Change(
        "restricted_duct", "cause", "A duct is kinked, crushed, too long, or a grille is shut",
        (Alter("climate.duct_restriction", "set", "severity"),), severity="62 % ± 18 %",
        prior=0.02, complaint="climate", odds={"stowed": 3.0, "serviced": 1.5},
        why="Air is weak at some grilles and strong at others; at the unit it is colder than it should be.",
        remedy="Open every grille, follow each duct by hand: pull it taut, cut off what is too long, take kinks and "
        "crushed places out, move what was stowed on it. Each bend of ninety degrees costs about a seventh.",
        minutes=45, needs=(Part("insulated duct", "of the bore of the unit's outlet"), Part("clamps and foil tape")),
        proof=("airflow", "strong"), hazards=("hot_and_sharp",), about="climate",
    ),
    Change(
        "thermostat_location", "cause", "The thermostat feels other air than you do",
        (Alter("climate.thermostat_offset", "set", "severity"),), severity="-3 F ± 10 F",
        prior=0.015, complaint="climate", odds={"serviced": 2.0},
        why="In the cold stream it stops too soon and starts again within minutes; on a hot panel it never stops.",
        remedy="Hang a thermometer beside the panel and one where you sit, an hour. Move the sensor out of stream, sun and "
        "warm panels, or set what is left of the difference on the thermostat.",
        minutes=30, proof=("panel_air", "as warm as the cabin, to 1 °C (2 °F)"), hazards=("mains",), about="climate",
    ),
    Change(
        "undersized", "cause", "More heat comes in than it can carry",
        (), weighed_by="climate.falls_short",
        prior=0.05, complaint="climate",
        why="Everything reads as it should; by day more comes in than the unit takes out. Fine at night.",
        remedy="Less heat before more machine: awning and window covers, hatches shut, start before the sun is up, cook "
        "ashore. They may cut the load by a third to a half.",
        minutes=30, proof=("cabin_air", "at the set-point in the afternoon"), hazards=("heat_illness",), about="climate",
    ),
    Change(
        "nothing_wrong", "cause", "Nothing is wrong with it",
        (), weighed_by="climate.keeps_up",
        prior=0.05, complaint="climate",
        why="The readings are what this unit gives in this air and water; in damp air a small split is healthy.",
        remedy="Leave it alone, and do not let refrigerant be added. Write these readings down: they are your own "
        "figures for when it is well. A boat soaked with heat takes hours to come down.",
        minutes=5, proof=("supply_air", "as it is now"), about="climate",
    ),
)  # fmt: skip
