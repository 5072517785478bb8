"""The prescription before a repair, as JSON and as text."""

from __future__ import annotations

from typing import Any

from console.boatfile import Boat
from console.contract import Caution
from console.inference.prescription import HALVED, Outlook, Plan
from console.quantities import shown


def plan_json(boat: Boat, made: Plan) -> dict[str, Any]:
    """The prescription as scripts read it; shares are 0..1."""
    return {
        "scenario": boat.name,
        "repair": made.repair,
        "days": made.days,
        "enough": made.enough,
        "true_change": HALVED - 1.0,
        "log": [
            {"reading": each.reading.name, "title": each.reading.title, "how": each.reading.how,
             "when": each.when, "minutes": each.reading.minutes}
            for each in made.asked
        ],
        "first": [{"event": each.name, "title": each.title, "how": each.how} for each in made.first],
        "outlook": [
            {"days": each.days, "finds_a_halving": each.finds, "finds_a_cut_to_a_fifth": each.finds_most, "sure_on_average": each.sure,
             "smallest_detectable_change": each.smallest}
            for each in made.outlooks
        ],
        "cautions": [{"key": each.key, "text": each.text} for each in cautions_of(boat, made)],
    }  # fmt: skip


def cautions_of(boat: Boat, made: Plan) -> list[Caution]:
    """The cautions of what is asked for, the worst first."""
    keys = {key for each in made.asked for key in each.reading.hazards}
    found = [caution for key, caution in boat.registry.cautions.items() if key in keys]
    return sorted(found, key=lambda each: each.rank)


def head_of(made: Plan) -> str:
    """The prescription in one sentence."""
    return (
        f"Log {made.days} days before and {made.days} after, mend nothing else meanwhile, then ask: "
        f"{outlook_words(_advised(made))}."
    )


def _advised(made: Plan) -> Outlook:
    return next(each for each in made.outlooks if each.days == made.days)


def outlook_words(each: Outlook) -> str:
    """What a log of such a length is worth, in words."""
    return (
        f"a true halving would be told for sure {_often(each.finds)}, one to a fifth "
        f"{_often(each.finds_most)}; the smallest gain it could show is about {100 * each.smallest:.0f} %"
    )


def _often(share: float) -> str:
    if share < 0.02:
        return "hardly ever"
    if share > 0.98:
        return "nearly always"
    return f"about {max(1, round(10 * share))} times in ten" if share >= 0.15 else (
        f"about one time in {round(1 / share)}"
    )  # fmt: skip


def steps_of(made: Plan) -> list[str]:
    """What to do and to log, one sentence each."""
    rows = [f"First: {each.title.lower()}. {each.how}" for each in made.first]
    return rows + [f"{each.reading.title}, {each.when}." for each in made.asked]


def plan_text(boat: Boat, made: Plan) -> str:
    """The prescription for reading."""
    lines = [f"{shown(boat.name, 60)}: {made.title.lower()}. {head_of(made)}"]
    cautions = cautions_of(boat, made)
    if cautions:
        lines += ["", *(f"! {caution.text}" for caution in cautions)]
    if made.first:
        lines += ["", "First, and write down that you did"]
        lines += [f"  - {each.title}: {each.how}" for each in made.first]
    lines += ["", "Log"]
    lines += [
        f"  - {each.reading.title} ({each.reading.name}), {each.when}. {each.reading.how}"
        for each in made.asked
    ]
    lines += ["", f'On the day of the repair write the event "repair" with the value {made.repair}.', ""]
    lines.append("How sure that would make it")
    lines += [f"  {each.days:>3} days each side: {outlook_words(each)}" for each in made.outlooks]
    if not made.enough:
        lines.append(
            "  More days alone will not make it surer: what a period shares (water lost or brought in) decides."
        )
    return "\n".join(lines)
