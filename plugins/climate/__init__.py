"""The cabin's climate: what heat comes in, what the air conditioner takes out, does it keep up?

Wiring only; every record is declared in a module that imports nothing but the contract.
"""

from collections.abc import Iterable

from console.contract import (
    Caution,
    Change,
    Complaint,
    Estimate,
    FirstFact,
    Question,
    Reading,
    Section,
    hookimpl,
)  # fmt: skip

_HERE = "plugins.climate"


@hookimpl
def boat_sections() -> Iterable[Section]:
    label = FirstFact(
        "capacity", "What is the air conditioner's capacity?", "16000 Btu/h", "from its label"
    )
    cards = ("climate.keeping_up", "climate.air_drop", "raw_water.flow")
    poorly = (Complaint("climate", "The air conditioner cools poorly", cards),)
    yield Section("climate", f"{_HERE}.section:Climate", "Air conditioner", "not_aboard", (label,), complaints=poorly)  # fmt: skip


@hookimpl
def boat_estimates() -> Iterable[Estimate]:
    from plugins.climate.figures import ESTIMATES

    return ESTIMATES


@hookimpl
def boat_readings() -> Iterable[Reading]:
    from plugins.climate.readings import READINGS

    return READINGS


@hookimpl
def boat_changes() -> Iterable[Change]:
    from plugins.climate.actions import ACTIONS, REPAIRS
    from plugins.climate.changes import CAUSES

    return (*CAUSES, *ACTIONS, *REPAIRS)


@hookimpl
def boat_questions() -> Iterable[Question]:
    yield Question(
        "climate.keeping_up", "Can it keep the cabin cool?", f"{_HERE}.questions:can_it_keep_cool",
        needs=("climate.cabin_temperature", "climate.cooling_load", "climate.unit_capacity", "climate.run_share"),
        about="climate", add_line="[climate]", number="warmest in the cabin",
        what="how warm the cabin gets, hour by hour, against what the thermostat is set to",
    )  # fmt: skip
    yield Question(
        "climate.air_drop", "Is the air it blows cold enough?", f"{_HERE}.air_drop:is_air_cold_enough",
        needs=("climate.expected_split", "climate.air_split", "climate.return_humidity"),
        about="climate", add_line="[climate]", number="air drop in good order",
        what="how far a unit in good order cools the air that passes it, in this air and water",
    )  # fmt: skip
    yield Question(
        "climate.damp", "Does it stay dry inside?", f"{_HERE}.dampness:does_it_stay_dry",
        needs=("climate.dry_margin", "climate.cabin_humidity", "climate.cabin_dew_point"),
        about="climate", add_line="[climate]", number="coldest surface over the dew point",
        what="what sweats, when, and whether the air is damp enough for mould",
    )  # fmt: skip


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.climate.cautions import CAUTIONS

    return CAUTIONS
