"""The cards of the cabin's climate."""

from console.contract import Question

_HERE = "plugins.climate"

QUESTIONS = (
    Question(
        "climate.keeping_up", "Can it keep the cabin cool?", f"{_HERE}.questions:can_it_keep_cool",
        needs=("climate.cabin_temperature", "climate.cooling_load", "climate.unit_capacity", "climate.run_share"),
        about="climate", add_line="[climate]", number="warmest in the cabin",
        what="how warm the cabin gets, hour by hour, against what the thermostat is set to",
    ),
    Question(
        "climate.air_drop", "Is the air it blows cold enough?", f"{_HERE}.air_drop:is_air_cold_enough",
        needs=("climate.expected_split", "climate.air_split", "climate.return_humidity"),
        about="climate", add_line="[climate]", number="air drop in good order",
        what="how far a unit in good order cools the air that passes it, in this air and water",
    ),
    Question(
        "climate.damp", "Does it stay dry inside?", f"{_HERE}.dampness:does_it_stay_dry",
        needs=("climate.dry_margin", "climate.cabin_humidity", "climate.cabin_dew_point"),
        about="climate", add_line="[climate]", number="coldest surface over the dew point",
        what="what sweats, when, and whether the air is damp enough for mould",
    ),
)  # fmt: skip
