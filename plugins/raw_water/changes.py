"""What goes wrong on the raw-water line, what would help, and what a repair of it changes.

Every cause acts on inputs that stand in every boat and starts where a healthy one ends; what each
reading would then be is computed, never written here. They stand in the order a technician looks:
strainer, hull side, hoses, air, pump, and the coil once the flow is good.

Weights before any reading are those of a call to a boat that cools poorly (from memory: strainer 30
in a hundred, through-hull, seacock and hose 15, air lock and pump 13, scaled coil 10). Severities
and odds of events are common practice, no source.
"""

from __future__ import annotations

from console.contract import Alter, Change, Effect, Part

_LINE = "raw_water.line"
_FLOW = ("raw_water.flow",)
_BOTH = ("raw_water.flow", "raw_water.strainer")
_WINS = (
    Effect("raw_water.flow", "more"),
    Effect("raw_water.flow_share", "more"),
    Effect("raw_water.fill_time", "less"),
)
_WET = ("below_waterline", "wet_mains_pump", "locker_work")
_PLUG = Part("soft plug, bucket and torch")
_CLAMPS = Part("hose clamps", "for a hose of {raw_water.line.hose.bore}", 4)
_HOSE = Part(
    "reinforced suction hose", "{raw_water.line.hose.bore} bore, {raw_water.line.hose.length} long"
)

CAUSES = (
    Change(
        "clogged_strainer", "cause", "The strainer is clogged",
        (Alter(f"{_LINE}.strainer.blocked", "set", "severity"),), severity="96.5 % ± 2.5 %",
        prior=0.30, complaint="climate",
        odds={"cleaned_strainer": 0.15, "idle_weeks": 1.5, "moved_berth": 1.5, "storm": 3.0, "grounded": 2.0},
        why="Weed, shell or jellyfish shut the basket: less water, it leaves warmer, and the unit works against more "
        "pressure. By far the commonest.",
        remedy="Pump's breaker off: a thermostat starts it without warning. Shut the seacock, crack the lid and see that "
        "it does not dribble. Lift the basket out, brush it inside and out, look at the bowl and the lid's seal. Refit "
        "with the handle in place so that the basket cannot float up. Open the seacock, look for weeps, then the "
        "breaker on.",
        minutes=15, needs=(_PLUG, Part("lid seal", "for a strainer of {raw_water.line.strainer.bore}"), Part("brush")),
        proof=("after_cleaning", "restored: at least 95 % of the clean flow"), hazards=(*_WET, "seacock_left_open"),
        effects=_WINS, about="raw_water",
    ),
    Change(
        "fouled_intake", "cause", "The intake is fouled on the hull side",
        (Alter(f"{_LINE}.intake.blocked", "set", "severity"),), severity="86 % ± 9 %",
        prior=0.09, complaint="climate",
        odds={"idle_weeks": 2.5, "storm": 2.0, "moved_berth": 1.5, "grounded": 4.0, "launched": 0.4},
        why="Barnacles, grass or a bag before the hole: little water with a clean strainer, and a weak gush with its lid "
        "off.",
        remedy="First the gush look, with its cautions. Then from inside: breaker off, seacock shut, hose off, a rod or "
        "a back-flush through the open valve with a plug at hand. Do not dive in a marina. If it will not clear, a "
        "professional or the next haul-out.",
        minutes=45, needs=(_PLUG, Part("rod or dock hose with adapter", "for {raw_water.line.intake.bore}")),
        proof=("intake_gush", "strong"), hazards=("marina_diving", *_WET, "dock_hose"), effects=_WINS, about="raw_water",
    ),
    Change(
        "seacock_part_shut", "cause", "The seacock is not fully open",
        (Alter(f"{_LINE}.seacock.open_share", "set", "severity"),), severity="36 % ± 10 %",
        prior=0.03, complaint="climate",
        odds={"cleaned_strainer": 4.0, "serviced": 3.0, "launched": 4.0, "stowed": 2.0},
        why="It was not turned all the way after work or a launch, or something stowed leans on its handle.",
        remedy="Look at the handle: it should lie in line with the hose. Turn it by hand, without force. If it is stiff "
        "or corroded leave it as it is, and have it serviced at the next haul-out; never work on it alone.",
        minutes=2, proof=("overboard_stream", "full"), hazards=("below_waterline",), effects=_WINS, about="raw_water",
    ),
    Change(
        "kinked_hose", "cause", "A hose is kinked or collapsed",
        (
            Alter(f"{_LINE}.hose.open_width", "set", "severity"),
            # Which of the hoses is not known: as likely in each as it is long.
            Alter("raw_water.trial.kink_place", "set", "50 % ± 45 %"),
        ),
        severity="8 % ± 4 %", prior=0.03, complaint="climate",
        odds={"stowed": 6.0, "serviced": 3.0, "cleaned_strainer": 1.5, "idle_weeks": 0.6},
        why="The flow fell all at once, after stowing or work: something presses on a hose, or its inner wall has let go.",
        remedy="Follow each hose with a torch and a hand, behind what was stowed last. Move what pinches it, or lay it in "
        "a wider bend. A hose that has folded folds again: breaker off, seacock shut, renew it with reinforced hose, "
        "two clamps at each end below the waterline, then look for weeps.",
        minutes=30, needs=(_HOSE, _CLAMPS, _PLUG), proof=("overboard_stream", "full"), hazards=_WET, effects=_WINS,
        about="raw_water",
    ),
    Change(
        "air_lock", "cause", "The pump is locked by air",
        (Alter(f"{_LINE}.pump.air", "set", "severity"),), severity="100 % ± 35 %",
        prior=0.05, complaint="climate",
        odds={"launched": 10.0, "sailed": 4.0, "cleaned_strainer": 3.0, "serviced": 4.0, "grounded": 3.0,
              "idle_weeks": 0.7},
        why="The pump spins and sounds dry, the strainer is full, and no water comes: after a haul-out, a sail, chop or "
        "work on the strainer.",
        remedy="Stop it at once, it must not run dry. Breaker off, seacock shut. Loosen the pump's discharge hose; with "
        "a hand on the seacock open it a crack until water comes without bubbles, and tighten the hose. Or, the seacock "
        "still shut and the strainer's lid off, fill the line with a dock hose held to the overboard, and close the lid "
        "before the seacock is opened. Seacock open, look for weeps, breaker on. If it comes again, look for a hose that goes down again before it climbs.",
        minutes=20, needs=(_PLUG, Part("screwdriver or nut driver for the clamps")),
        proof=("overboard_stream", "full"), hazards=("dry_pump", *_WET, "dock_hose"), effects=_WINS, about="raw_water",
    ),
    Change(
        "suction_air_leak", "cause", "Air is drawn in on the suction side",
        (Alter(f"{_LINE}.pump.suction_air", "set", "severity"),), severity="8.5 % ± 2.5 %",
        prior=0.02, complaint="climate",
        odds={"cleaned_strainer": 3.0, "serviced": 3.0, "launched": 1.5, "stowed": 1.3},
        why="A lid seal, a clamp or a split above the water lets air in while the pump sucks: bubbles in the bowl and a "
        "pulsing stream, and it loses its prime again and again.",
        remedy="Watch the bowl while it runs. Breaker off, seacock shut: clean and grease the lid's seal, renew it if it is "
        "flat, tighten the clamps from the seacock to the pump. Open, look for weeps, run it and watch the bowl again.",
        minutes=30, needs=(Part("lid seal", "for a strainer of {raw_water.line.strainer.bore}"), _CLAMPS),
        proof=("bubbles", "none"), hazards=(*_WET, "dry_pump"), effects=_WINS, about="raw_water",
    ),
    Change(
        "worn_pump", "cause", "The pump is worn",
        (Alter(f"{_LINE}.pump.wear", "set", "severity"),), severity="52 % ± 15 %",
        prior=0.03, complaint="climate", odds={"grounded": 2.0, "storm": 1.2, "serviced": 0.6, "launched": 0.8},
        why="An eaten wheel or a magnet that slips: a good gush, less water, and once it has lost its prime it does not "
        "find it again.",
        remedy="First be sure of strainer, intake and hoses. Breaker off at the post and unplugged, seacock shut. Time a "
        "bucket at the pump's own outlet against its label; open the head, look at wheel and housing, renew what is "
        "worn. The motor's wiring is a marine electrician's.",
        minutes=60,
        needs=(Part("wheel or pump head", "{raw_water.line.pump.max_flow} at {raw_water.line.pump.max_head}"), _PLUG),
        proof=("fill_time", "as quick as your clean bucket"), hazards=_WET, effects=_WINS, about="raw_water",
    ),
    Change(
        "dead_pump", "cause", "The pump, or the relay that starts it, is dead",
        (Alter(f"{_LINE}.pump.stopped", "set", "severity"),), severity="100 % ± 2 %",
        prior=0.02, complaint="climate", odds={"idle_weeks": 3.0, "launched": 1.5, "serviced": 1.5},
        why="No water, and the pump is silent, hums or is hot: a seized wheel, its capacitor, its relay or its fuse.",
        remedy="Unit off. Look at the breaker. Feel, with the breaker off, whether the pump is hot. A wheel that sits "
        "fast after weeks idle may be freed by a marine electrician or renewed; capacitor, relay and wiring are theirs, "
        "and stay charged after isolation.",
        who="licensed", minutes=60, proof=("pump_sound", "normal"), hazards=("wet_mains_pump", "locker_work", "dry_pump"),
        needs=(Part("pump", "{raw_water.line.pump.max_flow} at {raw_water.line.pump.max_head}"),), effects=_WINS,
        about="raw_water",
    ),
    Change(
        "intermittent_pump", "cause", "The pump runs only now and then",
        (Alter(f"{_LINE}.pump.stopped", "set", "severity"),), severity="50 % ± 22 %",
        prior=0.01, complaint="climate", odds={"serviced": 2.0, "sailed": 1.3},
        why="A relay, a plug or a board that lets go when warm or shaken: the stream comes and goes while the unit runs.",
        remedy="Listen for half an hour and note when it stops. Leave panel and plug alone while it is live: a marine "
        "electrician looks for the warm contact, and exchanges the relay.",
        who="licensed", minutes=60, proof=("overboard_stream", "full"), hazards=("wet_mains_pump", "locker_work"),
        effects=_WINS, about="raw_water",
    ),
    Change(
        "scaled_condenser", "cause", "The seawater coil is scaled",
        (Alter(f"{_LINE}.condenser.scale", "set", "severity"),), severity="0.8 mm ± 40 %",
        prior=0.10, complaint="climate", odds={"idle_weeks": 1.5, "serviced": 0.5},
        why="Scale and slime keep the heat from good water: normal flow, many amps, trips in the hot afternoon, and it "
        "came over seasons. Without gauges it looks like too much refrigerant.",
        remedy="Only when the flow is good. Breaker off, seacock shut. Circulate descaler through the coil alone, from a "
        "bucket with a small pump, for 30 to 45 minutes; flush with fresh water, catch what must not go overboard. "
        "Refit, open, look for weeps.",
        minutes=90, needs=(Part("descaler"), Part("small pump and two hoses", "for {raw_water.line.condenser.bore}")),
        proof=("unit_current", "as on its label in this water"), hazards=("descaling_acid", *_WET),
        effects=(Effect("raw_water.scale_resistance", "less"), *_WINS), about="raw_water",
    ),
)  # fmt: skip


def _job(
    key: str, title: str, alters: tuple[Alter, ...], minutes: float, remedy: str, hazards: tuple[str, ...] = _WET,
    **more: object,
) -> Change:  # fmt: skip
    """A job tried on paper, judged by the flow."""
    questions = _BOTH if key == "clean_strainer" else _FLOW
    return Change(
        key, "action", title, alters, minutes=minutes, remedy=remedy, hazards=hazards, effects=_WINS,
        questions=questions, about="raw_water", **more,  # type: ignore[arg-type]
    )  # fmt: skip


def _put(path: str, value: str) -> Alter:
    return Alter(path, "set", value)


ACTIONS = (
    _job(
        "clean_strainer", "Clean the strainer", (_put(f"{_LINE}.strainer.blocked", "0 %"),), 15,
        "Pump's breaker off, seacock shut and seen not to dribble, lid off, basket out and brushed, lid on, open, look "
        "for weeps.",
        (*_WET, "seacock_left_open"), proof=("after_cleaning", "restored"),
    ),
    _job(
        "open_seacock", "Open the seacock fully", (_put(f"{_LINE}.seacock.open_share", "100 %"),), 2,
        "Turn it by hand until it lies in line with the hose; never force a stiff one.", ("below_waterline",),
        proof=("overboard_stream", "full"),
    ),
    _job(
        "clear_intake", "Clear the intake", (_put(f"{_LINE}.intake.blocked", "0 %"),), 45,
        "From inside with a rod or a back-flush, plug at hand; not by diving in a marina.",
        ("marina_diving", *_WET, "dock_hose"), proof=("intake_gush", "strong"),
    ),
    _job(
        "straighten_hoses", "Straighten every kinked hose", (_put("raw_water.trial.kinks_left", "0 %"),), 30,
        "Follow each hose, move what pinches it, renew one that has folded.", needs=(_HOSE, _CLAMPS),
        proof=("hose_look", "clear"),
    ),
    _job(
        "let_air_out", "Let the air out of the pump", (_put(f"{_LINE}.pump.air", "0 %"),), 20,
        "Breaker off, loosen the pump's discharge hose until water comes without bubbles, tighten it.",
        ("dry_pump", *_WET), proof=("overboard_stream", "full"),
    ),
    _job(
        "seal_suction", "Seal the suction side", (_put(f"{_LINE}.pump.suction_air", "0 %"),), 30,
        "Breaker off, seacock shut: lid seal cleaned or renewed, clamps from the seacock to the pump tightened.",
        needs=(_CLAMPS,), proof=("bubbles", "none"),
    ),
    _job(
        "renew_pump", "Renew the pump's wheel, or the pump",
        (_put(f"{_LINE}.pump.wear", "0 %"), _put(f"{_LINE}.pump.stopped", "0 %")), 60,
        "Breaker off at the post and unplugged, seacock shut; a like pump, its head turned toward the flow.",
        needs=(Part("pump", "{raw_water.line.pump.max_flow} at {raw_water.line.pump.max_head}"),),
        proof=("fill_time", "as quick as its label would have it"),
    ),
    _job(
        "descale_coil", "Descale the coil", (_put(f"{_LINE}.condenser.scale", "0 mm"),), 90,
        "Circulate descaler through the coil alone for 30 to 45 minutes, flush with fresh water.",
        ("descaling_acid", *_WET),
    ),
    _job(
        "larger_hose", "Renew the hoses one size larger",
        (_put("raw_water.trial.hose_size", "1.2"), _put("raw_water.trial.kinks_left", "0 %")), 240,
        "One size up is not wasted; double clamps below the waterline, rising all the way, few bends. In a wide hose "
        "with a weak pump more grows, for the water is slow.",
        needs=(_CLAMPS,),
    ),
    _job(
        "lay_hoses_rising", "Lay the hoses without dips and humps", (_put("raw_water.trial.dips_left", "0 %"),), 60,
        "Rising from the seacock over strainer and pump to the unit, one high spot there, then falling all the way.",
    ),
    _job(
        "lower_outlet", "Lower the overboard outlet to 8 in above the water", (_put(f"{_LINE}.overboard.height", "8 in"),),
        240,
        "A new hole in the topsides is a yard's work; keep it above the water, where the stream can be seen.",
        where="hauled_out",
    ),
)  # fmt: skip

REPAIRS = (
    Change(
        "line", "repair", "Work on the raw-water line",
        (Alter("raw_water.line_loss", "scale", "severity"),), severity="1 ± 150 %", complaint="climate",
        why="What the line takes at the clean flow, before and after: a kink straightened, a hose renewed, a coil "
        "descaled. The strainer has its own log and is not counted here.",
        remedy="Time the bucket three times or more before and after, ten minutes after the start, the basket clean each "
        "time.",
        proof=("fill_time", "fewer seconds than before"), hazards=_WET,
        effects=(Effect("raw_water.restriction", "less"), *_WINS), about="raw_water",
    ),
)  # fmt: skip

CHANGES = (*CAUSES, *ACTIONS, *REPAIRS)
