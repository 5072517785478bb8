"""What an owner can do about the heat and the damp, as changes of inputs; what each gives is run.

Every one is shown with its wet cost: the least margin of the coldest surface over the dew point,
and the hours below it. The strainer and the hose are the water line's to declare.

How far an action goes (an awning never covers all, a curtain never fits) is common practice, no
source.
"""

from console.contract import Alter, Change, Effect, Part

COOL = "climate.keeping_up"
DAMP = "climate.damp"

_WET = (Effect("climate.dry_margin", "more"), Effect("climate.damp_hours"))
_DAY = (Effect("climate.shortfall"), Effect("climate.cabin_temperature"), Effect("climate.energy"), *_WET)
_LESS_HEAT = (Effect("climate.cooling_load"), *_DAY)
_MORE_COLD = (Effect("climate.unit_capacity", "more"), *_DAY)
_AHEAD = (Effect("climate.shortfall"), Effect("climate.cabin_temperature"), Effect("climate.energy"), *_WET)
_COOLER = (
    Effect("climate.cabin_temperature"),
    Effect("climate.shortfall"),
    Effect("climate.energy"),
    *_WET,
)
_DRIER = (*_WET, Effect("climate.cabin_humidity"), Effect("climate.energy"))

ACTIONS = (
    Change(
        "rig_awning", "action", "Rig an awning over deck and hatches",
        (Alter("climate.awning", "set", "90 % ± 10 %"),),
        why="Shade keeps the sun off the deck and out of the hatches before it is heat inside.",
        remedy="Rig it clear of the deck so that air moves under it, before the sun is on her; down before a squall.",
        minutes=20, needs=(Part("awning or deck tarp"), Part("lashings")),
        effects=_LESS_HEAT, questions=(COOL,), about="climate",
    ),
    Change(
        "cover_glass", "action", "Cover hatches and windows outside with something that reflects",
        (Alter("climate.glass_covered", "set", "90 % ± 10 %"),),
        why="Sun stopped outside the glass never comes in; a curtain inside lets a third of it stay.",
        remedy="Snap or lash pale, reflecting covers over hatches and windows. Leave one hatch you can get out of.",
        minutes=10, needs=(Part("reflective cover", "to fit each hatch and window"),),
        effects=_LESS_HEAT, questions=(COOL,), about="climate",
    ),
    Change(
        "draw_curtains", "action", "Draw the curtains and hatch screens",
        (Alter("climate.glass_curtained", "set", "100 %"),),
        why="What the cloth catches still warms the cabin, but less of it.",
        remedy="Pale side out, on the sunny side first.", minutes=2,
        effects=_LESS_HEAT, questions=(COOL,), about="climate",
    ),
    Change(
        "shut_hatches", "action", "Shut hatches, boards and ventilators while it runs",
        (Alter("climate.hatch_open", "set", "0 %"), Alter("climate.vents_shut", "set", "90 % ± 15 %")),
        why="Hot wet air let in is heat and water to be wrung out again.",
        remedy="Shut the hatches, put the boards in, turn or plug the ventilators. Never with a stove, heater or engine "
        "burning aboard; open them again when the unit is off.",
        minutes=3, effects=(*_LESS_HEAT, Effect("climate.cabin_humidity")), questions=(COOL, DAMP),
        hazards=("carbon_monoxide",), about="climate",
    ),
    Change(
        "close_bilge_gaps", "action", "Close the gaps through which the return draws bilge air",
        (Alter("climate.return_from_bilge", "set", "1 % ± 1 %"),),
        why="Air from bilge and lockers is warm, wet and may carry fumes.",
        remedy="Tape and foam round the unit and its return, so that it can only breathe through the grille.",
        minutes=45, needs=(Part("foil tape"), Part("foam strip")),
        effects=_LESS_HEAT, questions=(COOL, DAMP), hazards=("carbon_monoxide", "hot_and_sharp"), about="climate",
    ),
    Change(
        "clean_filter", "action", "Clean the return filter",
        (Alter("climate.filter_blocked", "set", "0 %"),),
        why="More air over the coil takes up more heat, and keeps the coil from freezing.",
        remedy="Breaker off. Take it out, wash it, dry it, put it back the same way round; look for a second one on "
        "the coil.",
        minutes=10, effects=_MORE_COLD, questions=(COOL,), hazards=("hot_and_sharp", "mains"), about="climate",
    ),
    Change(
        "open_ducts", "action", "Straighten the ducts and open every grille",
        (Alter("climate.duct_restriction", "set", "0 %"),),
        why="A crushed duct or a shut grille costs air as a dirty filter does.",
        remedy="Follow each duct through the lockers, pull out what lies on it, cut kinks short, open the grilles.",
        minutes=40, effects=_MORE_COLD, questions=(COOL,), about="climate",
    ),
    Change(
        "cool_ahead", "action", "Cool her down at night, ahead of the heat",
        (Alter("climate.precool", "set", "4 F ± 1 F"),),
        why="Joinery and stores that start the day cold take up some of the afternoon.",
        remedy="Set the thermostat lower from the small hours until the sun is up, then back. It costs power; "
        "watch the damp beside it.",
        minutes=2, effects=_AHEAD, questions=(COOL,), hazards=("condensation",), about="climate",
    ),
    Change(
        "set_warmer", "action", "Set the thermostat 3 °F (1.7 °C) warmer",
        (Alter("climate.set_point", "add", "3 F"),),
        why="Every degree less between inside and outside is less heat in.",
        remedy="A fan on the skin makes up for about as much. It also runs less and so dries less: with a wet cabin the "
        "grilles may sweat more, not less. The damp is beside it.", minutes=1,
        effects=(Effect("climate.cooling_load"), Effect("climate.shortfall"), Effect("climate.energy"), *_WET),
        questions=(COOL,), about="climate", wish=True,
    ),
    Change(
        "set_cooler", "action", "Set the thermostat 3 °F (1.7 °C) cooler",
        (Alter("climate.set_point", "add", "-3 F"),),
        why="It only helps where the unit has cooling in hand.",
        remedy="Look at the damp beside it: grilles and ducts get colder and the air drier; which of them wins is in the "
        "numbers. Wet grilles grow mould.",
        minutes=1,
        effects=_COOLER, questions=(COOL,), hazards=("condensation",), about="climate", wish=True,
    ),
    Change(
        "fewer_people", "action", "Half the people out of the cabin in the heat",
        (Alter("climate.people", "scale", "50 %"),),
        why="Each gives off as much heat as a bright old lamp, and a cup of water every two hours.",
        remedy="Under the awning, with water to drink.",
        effects=_LESS_HEAT, questions=(COOL,), about="climate",
    ),
    Change(
        "cook_outside", "action", "Cook outside",
        (Alter("climate.cooking_power", "set", "0 W"),),
        why="A burner puts out as much heat as half the unit takes, a third of it as steam.",
        remedy="On the rail or ashore, well clear of awning, petrol and gas bottle.",
        effects=_LESS_HEAT, questions=(COOL, DAMP), about="climate",
    ),
    Change(
        "stop_the_fan", "action", "Let the fan stop with the compressor",
        (Alter("climate.fan", "set", "with_compressor"),),
        why="A fan left on blows the water off the wet coil and pan back into the cabin.",
        remedy="In the thermostat's menu: fan on automatic.", minutes=2,
        effects=_DRIER, questions=(DAMP,), about="climate",
    ),
    Change(
        "insulate_ducts", "action", "Put an inch of insulation round the supply ducts",
        (Alter("climate.duct_insulation", "set", "1 in ± 20 %"),),
        why="A bare duct sweats into the lockers it passes.",
        remedy="Sleeve or wrap them whole, joints taped, so that no wet air comes to the cold skin.",
        minutes=120, needs=(Part("duct sleeve"), Part("foil tape")),
        effects=(Effect("climate.surface.duct", "more"), *_WET), questions=(DAMP,), about="climate",
    ),
    Change(
        "dry_out", "action", "Get the wet out: washing, gear, a wet bilge",
        (Alter("climate.evaporation", "scale", "40 %"),),
        why="What dries inside is wrung out again by the unit, or by the coldest wall.",
        remedy="Dry ashore or on deck, sponge the bilge, empty the pan.", minutes=30,
        effects=_DRIER, questions=(DAMP,), about="climate",
    ),
)  # fmt: skip
"""The actions of the air conditioner and its cabin."""

REPAIRS = (
    Change(
        "awning", "repair", "Did the awning help the cabin?",
        (Alter("climate.deck_sun", "scale", "severity"),), severity="60 % ± 35 %",
        why="The share of the sun that reaches deck and hatches, against what reached them before.",
        effects=_LESS_HEAT, questions=(COOL,), about="climate",
    ),
)  # fmt: skip
"""What a log before and after can be asked about."""
