"""The power plugin's wiring: shore power, the battery bank, the sun, and the wires between."""

from collections.abc import Iterable

from console.contract import Caution, Estimate, Question, Section, hookimpl


@hookimpl
def boat_sections() -> Iterable[Section]:
    yield Section("power", "plugins.power.section:Power", "Shore power and batteries")


@hookimpl
def boat_estimates() -> Iterable[Estimate]:
    from plugins.power.records import ESTIMATES

    yield from ESTIMATES


@hookimpl
def boat_questions() -> Iterable[Question]:
    from plugins.power.records import QUESTIONS

    yield from QUESTIONS


@hookimpl
def boat_cautions() -> Iterable[Caution]:
    from plugins.power.cautions import CAUTIONS

    yield from CAUTIONS
