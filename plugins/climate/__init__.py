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
    from plugins.climate.cards import QUESTIONS

    return QUESTIONS


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.climate.cautions import CAUTIONS

    return CAUTIONS
