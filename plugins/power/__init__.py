"""The power plugin's wiring: shore power, the battery bank, the sun, and the wires between."""

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
)


@hookimpl
def boat_sections() -> Iterable[Section]:
    amps = FirstFact(
        "shore.inlet_current", "How many amps is the shore inlet?", "30 A", "stamped on it, by the cord"
    )
    trips = Complaint("shore", "The dock breaker trips", ("power.inlet",))
    yield Section(
        "power",
        "plugins.power.section:Power",
        "Shore power and batteries",
        first_facts=(amps,),
        complaints=(trips,),
    )


@hookimpl
def boat_estimates() -> Iterable[Estimate]:
    from plugins.power.records import ESTIMATES
    from plugins.power.records_asks import ASKS

    yield from ESTIMATES
    yield from ASKS


@hookimpl
def boat_readings() -> Iterable[Reading]:
    from plugins.power.readings import READINGS

    yield from READINGS


@hookimpl
def boat_changes() -> Iterable[Change]:
    from plugins.power.changes import CHANGES

    yield from CHANGES


@hookimpl
def boat_questions() -> Iterable[Question]:
    from plugins.power.questions import QUESTIONS

    yield from QUESTIONS


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.power.cautions import CAUTIONS

    yield from CAUTIONS
