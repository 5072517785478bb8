"""What goes wrong with an ice box, what would help, and what a repair of its seal changes.

Every cause acts on inputs that stand in every box, and starts where a healthy one ends; what
each reading would then be is computed, never written here. They stand in the order a technician
looks: what is free and quick first, the refrigerant last. Weights before any reading are those of
a call to a box that is warm, costly or quick to frost: that a bad gasket or an open drain is the
commonest cause of fast icing is told (two technicians, a surveyor), the figures are from memory.
Severities and odds of events are common practice, no source.
"""

from __future__ import annotations

from console.contract import Alter, Change, Effect, Part

_COST, _FROST = "cold_box.cost", "cold_box.defrost"
_BOTH = (_COST, _FROST)
_WINS = (
    Effect("cold_box.amp_hours_per_day", "less"),
    Effect("cold_box.frost_rate", "less"),
    Effect("cold_box.days_to_defrost", "more"),
)
_DEFROSTING = ("mains_near_melt_water", "flammable_refrigerant", "never_chip_ice", "food_too_warm")
_SEAL = Part(
    "closed-cell gasket strip or bulb seal",
    "once round the opening: width {cold_box.opening_width}, height {cold_box.opening_height}",
)
_CLEANER = Part("paper slips, warm water and soap")

CAUSES = (
    Change(
        "thick_frost", "cause", "Thick frost on the plate",
        (Alter("cold_box.plate.frost", "set", "severity"),), severity="12 mm ± 5 mm",
        prior=0.13, complaint="cold_box", odds={"defrosted": 0.15, "idle_weeks": 1.3},
        why="Frost is poor insulation in the wrong place: the plate must be colder for the same heat, and the "
        "machine runs longer. Performance goes slowly and is noticed suddenly.",
        remedy="Food into a cooler. Switch off, lid open, and let it thaw, or spray water and take the melt up; catch "
        "it all in a jug and weigh it. Dry everything before shutting. Then find what frosted it so fast.",
        minutes=60, needs=(Part("jug, sponge and towels"),), proof=("plate_frost", "none"),
        hazards=_DEFROSTING, about="cold_box",
    ),
    Change(
        "open_drain", "cause", "The drain stands open",
        (Alter("cold_box.drain_pipe.open_share", "set", "severity"),), severity="85 % ± 12 %",
        prior=0.1, complaint="cold_box", odds={"drain_plugged": 0.1, "sailed": 1.5, "idle_weeks": 1.5},
        why="Cold air runs out below and draws cabin air in above, day and night: a chimney the wrong way up. A trap "
        "does the same when it has dried out or slopped empty.",
        remedy="Plug it, or fill its trap with water and look again next week. Then look at the seal: the drain can "
        "only draw what the seal lets in.",
        minutes=5, needs=(Part("plug", "for a drain of {cold_box.drain_pipe.bore}"),),
        proof=("drain", "plugged"), hazards=("drain_to_bilge",), about="cold_box",
    ),
    Change(
        "leaking_seal", "cause", "The lid or door does not seal",
        (
            Alter("cold_box.seal.failing_share", "set", "severity"),
            Alter("cold_box.seal.gap", "set", "2 mm ± 45 %"),
        ),
        severity="62 % ± 22 %",
        prior=0.2, complaint="cold_box", odds={"repair": 0.4, "serviced": 1.2, "idle_weeks": 1.1},
        why="Cabin air gets in and leaves its water on the plate. It costs more defrosting than amp-hours; a door "
        "leaks far more than a lid, for it has a top and a bottom.",
        remedy="Clean the gasket first: a loose spot may only be dirt. Go round with a slip of paper, latched and cold, "
        "and mark where it pulls free. Move latch and hinges there, or pack or renew the gasket. Foam strip lies flat "
        "within months; do not screw a warped lid tighter.",
        minutes=60, needs=(_CLEANER, _SEAL), proof=("paper_slip", "holds"), about="cold_box",
    ),
    Change(
        "many_openings", "cause", "It is opened very often",
        (Alter("cold_box.openings", "set", "severity"),), severity="45 per day ± 45 %",
        prior=0.06, complaint="cold_box", odds={"contents": 1.2},
        why="Each opening swaps a part of its air; a door swaps nearly all of it within seconds.",
        remedy="Drinks in a cooler of their own, what you reach for on top or in front, one opening for several things.",
        minutes=0, proof=("box_openings", "some ten a day"), about="cold_box",
    ),
    Change(
        "overloaded_box", "cause", "Too much warm food goes in",
        (
            Alter("cold_box.warm_food", "set", "severity"),
            Alter("cold_box.fill_share", "set", "85 % ± 8 %"),
        ),
        severity="10 kg/day ± 45 %",
        prior=0.08, complaint="cold_box", odds={"contents": 3.0},
        why="A crate of warm drinks is half a day of the machine's work. It comes down by itself, in its own time.",
        remedy="Wait a day before judging it. Chill drinks ashore, load in the evening, put in ice with a big shop.",
        minutes=5, proof=("box_temperature", "at its set-point a day later"), hazards=("food_too_warm",),
        about="cold_box",
    ),
    Change(
        "hot_condenser_space", "cause", "The condenser is short of cool air or water",
        (
            Alter("cold_box.compressor.locker_rise", "add", "severity"),
            Alter("cold_box.compressor.approach", "add", "9 C ± 8 C"),
        ),
        severity="12 C ± 6 C",
        prior=0.15, complaint="cold_box", odds={"stowed": 2.5, "serviced": 0.7, "sailed": 0.9},
        why="It breathes its own warm air, its fins are full of lint, its fan stands still, or a seawater coil is "
        "scaled. It condenses hot, lifts less and draws more.",
        remedy="Switched off, brush and vacuum the fins. See that the fan turns freely and starts with the compressor. "
        "Take out what was stowed before it; give the locker a way in low and a way out high.",
        minutes=30, needs=(Part("soft brush and vacuum cleaner"), Part("vent grilles", "two, a hand's breadth square")),
        proof=("locker_air", "within 5 °F (3 °C) of the cabin, running"), hazards=("hot_machine", "locker_work"),
        about="cold_box",
    ),
    Change(
        "low_feed_voltage", "cause", "Too few volts reach the compressor",
        (
            Alter("cold_box.compressor.feed_voltage", "scale", "severity"),
            Alter("cold_box.compressor.battery_voltage", "scale", "97 % ± 3 %"),
        ),
        severity="88 % ± 5 %",
        prior=0.1, complaint="cold_box", odds={"idle_weeks": 1.5, "stowed": 1.2, "serviced": 0.8},
        why="Its electronics stop it near the cut-out; it tries, sags and stops. A worn battery, a thin or long feed, "
        "one poor joint, and the refrigerator gets the blame.",
        remedy="Measure at the battery and at the compressor's own terminals as it starts. A drop between them is wire, "
        "joint, fuse or breaker: clean and crimp anew, or a heavier feed. No drop: charge or test the battery.",
        minutes=30, needs=(Part("multimeter"), Part("tinned cable and ring terminals", "for the feed's length and current")),
        proof=("terminal_voltage", "within 3 % of the battery's, starting"),
        hazards=("battery", "locker_work", "hot_machine"), about="cold_box",
    ),
    Change(
        "wet_insulation", "cause", "The insulation is waterlogged",
        (Alter("cold_box.wet_share", "set", "severity"),), severity="65 % ± 20 %",
        prior=0.08, complaint="cold_box", odds={"grounded": 1.2},
        why="Soaked foam insulates a third as well. Cold sweating patches outside, a lid gone heavy, a musty smell.",
        remedy="Feel round the outside on a damp day and mark cold patches; drill a small hole low down on the inside "
        "and look at the core. Foam seldom dries in place: cut out and renew what is soaked, seal the liner, and "
        "meanwhile line the inside with board.",
        minutes=480, needs=(Part("closed-cell foam board", "{cold_box.insulation} thick"), Part("resin or sealant for the liner")),
        proof=("amp_hours_per_day", "as the box was when new"), about="cold_box",
    ),
    Change(
        "low_refrigerant", "cause", "Too little refrigerant, or too little of it comes through",
        (Alter("cold_box.compressor.charge", "set", "severity"),), severity="52 % ± 18 %",
        prior=0.06, complaint="cold_box", odds={"serviced": 1.5, "defrosted": 1.3},
        why="Only a part of the plate frosts, it runs all the time, and the amps are low. A leak, a choked capillary "
        "and a worn compressor look the same without gauges. Chipped ice is how plates are holed.",
        remedy="First be sure of frost, air and volts. Look for oily spots at the joints. Then a certified technician "
        "finds the leak, mends it and weighs the charge in; hand over what was read.",
        who="licensed", minutes=180, proof=("plate_frost", "all"),
        hazards=("refrigerant", "flammable_refrigerant", "hot_machine"), about="cold_box",
    ),
    Change(
        "nothing_wrong", "cause", "Nothing is wrong with it",
        (),
        prior=0.09, complaint="cold_box",
        why="The readings are what this box gives in this air. The same box runs half the time in spring and three "
        "quarters in a hot, damp summer.",
        remedy="Leave it alone, and do not let refrigerant be added. Write these readings down: they are your own "
        "figures for when it is well.",
        about="cold_box",
    ),
)  # fmt: skip


def _action(key: str, title: str, alters: tuple[Alter, ...], why: str, minutes: float, needs: tuple[Part, ...] = (),
            hazards: tuple[str, ...] = (), questions: tuple[str, ...] = _BOTH, proof: tuple[str, str] = ("", ""),
            ) -> Change:  # fmt: skip
    return Change(
        key, "action", title, alters, why=why, minutes=minutes, needs=needs, hazards=hazards, effects=_WINS,
        questions=questions, proof=proof, about="cold_box",
    )  # fmt: skip


ACTIONS = (
    _action(
        "plug_drain", "Plug the drain, or fill its trap",
        (Alter("cold_box.drain_pipe.open_share", "scale", "2 % ± 2 %"),),
        "An open drain under a leaky lid is a chimney.", 5,
        (Part("plug", "for a drain of {cold_box.drain_pipe.bore}"),), ("drain_to_bilge",), proof=("drain", "plugged"),
    ),
    _action(
        "better_seal", "Renew the seal, so that hardly any paper pulls free",
        (
            Alter("cold_box.seal.failing_share", "scale", "12 % ± 10 %"),
            Alter("cold_box.seal.missing_share", "scale", "0 %"),
        ),
        "Most of its worth is less frost, not fewer amp-hours.", 60, (_CLEANER, _SEAL), proof=("paper_slip", "holds"),
    ),
    _action(
        "defrost", "Defrost the plate",
        (Alter("cold_box.plate.frost", "set", "0 mm"),),
        "Bare, it takes the same heat at a warmer plate, which costs less.", 60,
        (Part("jug, sponge and towels"),), _DEFROSTING, proof=("plate_frost", "none"),
    ),
    _action(
        "cool_the_condenser", "Brush the condenser and vent its locker",
        (
            Alter("cold_box.compressor.locker_rise", "scale", "30 % ± 20 %"),
            Alter("cold_box.compressor.approach", "scale", "88 % ± 8 %"),
        ),
        "Each degree cooler it breathes is a hundredth and more of its amp-hours.", 45,
        (Part("soft brush and vacuum cleaner"), Part("vent grilles")), ("hot_machine", "locker_work"), (_COST,),
        proof=("locker_air", "within 5 °F (3 °C) of the cabin, running"),
    ),
    _action(
        "fewer_openings", "Open it half as often",
        (Alter("cold_box.openings", "scale", "50 % ± 12 %"),),
        "Drinks in a cooler of their own, what you reach for on top.", 0, proof=("box_openings", "half of what it was"),
    ),
    _action(
        "pre_chill", "Chill food and drink before it goes in",
        (Alter("cold_box.warm_food", "scale", "35 % ± 15 %"),),
        "Warm drinks are the machine's largest single job.", 0, (), ("food_too_warm",), (_COST,),
    ),
    _action(
        "set_point_up", "Set it a degree Fahrenheit warmer, never over 40 °F",
        (Alter("cold_box.set_point", "add", "1 F"),),
        "Only where a thermometer in a glass of water says there is room under the food line.", 1, (),
        ("food_too_warm",), (_COST,), proof=("box_temperature", "under 40 °F (4 °C) after a night"),
    ),
    _action(
        "foam_on_lid", "Put an inch and a half of foam board on the lid or door",
        (Alter("cold_box.lid_insulation", "add", "1.5 in ± 10 %"),),
        "Lids are often half as thick as the walls.", 60,
        (Part("closed-cell foam board", "1 1/2 in thick; width {cold_box.opening_width}, height {cold_box.opening_height}"),),
        (), (_COST,),
    ),
    _action(
        "more_foam", "Line the box with an inch more foam",
        (Alter("cold_box.insulation", "add", "1 in ± 10 %"),),
        "The walls are the largest share of it in most boxes; inside it costs room, outside it costs a locker.", 480,
        (Part("closed-cell foam board", "1 in thick; for a box {cold_box.inside.length} long, "
              "{cold_box.inside.width} wide, {cold_box.inside.depth} deep"), Part("liner and sealant")), (), (_COST,),
    ),
    _action(
        "dry_insulation", "Dry out or renew the wet insulation",
        (Alter("cold_box.wet_share", "scale", "20 % ± 15 %"),),
        "Soaked foam insulates a third as well; it seldom dries in place.", 960,
        (Part("closed-cell foam board", "{cold_box.insulation} thick"),), (), (_COST,),
    ),
    _action(
        "shade_hull", "Hang a pale cloth over the topside by the box",
        (Alter("cold_box.hull_absorptance", "scale", "30 % ± 15 %"),),
        "Sun on the hull warms the wall behind it.", 10, (Part("pale cloth or reflective sheet"),), (), (_COST,),
    ),
    _action(
        "cover_food", "Cover wet food",
        (Alter("cold_box.food_water", "scale", "10 % ± 8 %"),),
        "What dries in the box is frost on the plate.", 2, (), (), (_FROST,),
    ),
)  # fmt: skip

REPAIRS = (
    Change(
        "seal", "repair", "The seal, repaired",
        (
            Alter("cold_box.seal.failing_share", "scale", "severity"),
            Alter("cold_box.seal.missing_share", "scale", "severity"),
            Alter("cold_box.seal.breathing", "scale", "severity"),
        ),
        why="What gets in while it is shut, after against before.",
        severity="0.7 ± 160 %",
        complaint="cold_box", effects=(Effect("cold_box.air.seal"), *_WINS), about="cold_box",
        flags="plugins.cold_box.log_flags:of_a_seal",
    ),
)  # fmt: skip

CHANGES = (*CAUSES, *ACTIONS, *REPAIRS)
