"""The ice box: what it costs, how it frosts, and when it is due. Wiring only.

Every record is declared in a module that imports nothing but the contract.
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
    State,
    hookimpl,
)


@hookimpl
def boat_sections() -> Iterable[Section]:
    opening = FirstFact(
        "opening", "Has the ice box a lid or a door?", "lid", "a lid opens upward, a door in front"
    )
    cards = ("cold_box.cost", "cold_box.defrost")
    complaint = Complaint("cold_box", "The ice box is not cold enough, or takes too much", cards)
    yield Section(
        "cold_box",
        "plugins.cold_box.section:ColdBox",
        "Ice box",
        "not_aboard",
        (opening,),
        complaints=(complaint,),
    )


@hookimpl
def boat_estimates() -> Iterable[Estimate | State]:
    from plugins.cold_box.records import ESTIMATES

    yield from ESTIMATES
    yield State(
        "cold_box.plate.frost", "cold_box.frost_thickness_rate", "defrosted",
        due="cold_box.days_to_defrost", title="Defrost the plate",
    )  # fmt: skip


@hookimpl
def boat_readings() -> Iterable[Reading]:
    from plugins.cold_box.readings import READINGS

    return READINGS


@hookimpl
def boat_changes() -> Iterable[Change]:
    from plugins.cold_box.changes import CHANGES

    return CHANGES


@hookimpl
def boat_questions() -> Iterable[Question]:
    from plugins.cold_box.records import QUESTIONS

    return QUESTIONS


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.cold_box.cautions import CAUTIONS

    return CAUTIONS
