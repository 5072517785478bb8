"""The raw-water line: is the water getting through, where is it lost, when is the strainer due?

Wiring only; every record is declared in a module that imports nothing but the contract.
"""

from collections.abc import Iterable

from console.contract import Caution, Change, Estimate, Join, Question, Reading, Section, State, hookimpl

_HERE = "plugins.raw_water"
_ADD = "[climate] for the unit, or [[raw_water.line]] for its water"


@hookimpl
def boat_sections() -> Iterable[Section]:
    yield Section("raw_water", f"{_HERE}.section:RawWater", "Raw water", assumed_with="climate")


@hookimpl
def boat_estimates() -> Iterable[Estimate | State]:
    from plugins.raw_water.figures import ESTIMATES

    yield from ESTIMATES
    yield State(
        "raw_water.line.strainer.blocked", "raw_water.blocking_rate", "cleaned_strainer",
        due="raw_water.days_to_clean", title="Clean the strainer", fits=("raw_water.fouling_pace",),
    )  # fmt: skip


@hookimpl
def boat_readings() -> Iterable[Reading]:
    from plugins.raw_water.readings import READINGS

    return READINGS


@hookimpl
def boat_changes() -> Iterable[Change]:
    from plugins.raw_water.changes import CHANGES

    return CHANGES


@hookimpl
def boat_questions() -> Iterable[Question | Join]:
    yield Question(
        "raw_water.flow", "Is the water getting through?", f"{_HERE}.questions:is_water_getting_through",
        needs=("raw_water.flow", "raw_water.flow_share", "raw_water.regain.strainer"),
        number="of seawater",
        about="raw_water", add_line=_ADD,
        what="the seawater flow, as a share of what the clean line would pass",
    )  # fmt: skip
    yield Question(
        "raw_water.strainer", "When is the strainer due?", f"{_HERE}.strainer_question:when_is_strainer_due",
        needs=("raw_water.days_to_clean", "raw_water.flow_share", "raw_water.share_after_cleaning"),
        number="until it is due",
        about="raw_water", add_line=_ADD,
        what="the days until growth in the basket brings the flow down to your limit",
    )  # fmt: skip


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.raw_water.cautions import CAUTIONS

    return CAUTIONS
