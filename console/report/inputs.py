"""What the answers rest on: every input with its value, its spread and where it came from."""

from __future__ import annotations

from collections.abc import Sequence

from console.boatfile import Boat
from console.boatfile.inputs import Input
from console.quantities import System
from console.report.html import rows, tag, text
from console.wording import ORIGIN_MARKS, Numbers, input_name, input_text

ORIGIN_WORDS = {
    "measured": "measured aboard",
    "given": "given in the boat file",
    "assumed": "assumed: a usual value with a wide range",
}


def inputs_html(boat: Boat, numbers: Numbers, system: System) -> str:
    """The owner's own inputs by section, then what was assumed."""
    own = [item for item in boat.inputs.values() if item.origin != "assumed"]
    assumed = [item for item in boat.inputs.values() if item.origin == "assumed"]
    legend = "   ".join(f"{ORIGIN_MARKS[origin]} {words}" for origin, words in ORIGIN_WORDS.items())
    return (
        tag("h2", "What it rests on", id="inputs")
        + tag(
            "p", text(f"{len(own)} inputs are your own, {len(assumed)} are assumed. {legend}."), cls="quiet"
        )
        + (_by_section(own, boat, numbers, system) if own else tag("p", "Nothing yet.", cls="quiet"))
        + tag("h2", "What was assumed", id="assumed")
        + tag(
            "p",
            "Whatever the boat file does not say. A measurement in its place narrows the ranges.",
            cls="quiet",
        )
        + _by_section(assumed, boat, numbers, system)
    )


def _by_section(items: Sequence[Input], boat: Boat, numbers: Numbers, system: System) -> str:
    titles = {section.key: section.title for _, section in boat.registry.sections}
    out = []
    for key in dict.fromkeys(item.section for item in items):
        own = [item for item in items if item.section == key]
        if key in boat.absent:
            continue  # what is not aboard rests on nothing
        table = rows(
            [
                (
                    text(input_name(item)),
                    tag("strong", text(input_text(item, system, numbers))),
                    text(f"{ORIGIN_MARKS[item.origin]} {item.origin}"),
                )
                for item in own
            ],
            ("what", "value", "origin"),
        )
        name = text(titles.get(key, key.replace("_", " ")))
        out += [tag("div", tag("h3", name), table, cls="wide inputs")]
    return "".join(out)
