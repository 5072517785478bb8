"""A small plugin a stranger might write, found and run exactly as a real one is.

It has a question of every urgency, one that fails, every kind of input, and text that would be
markup if anything on the way took it for that.
"""

from collections.abc import Iterator

from console.contract import (
    Alter,
    Caution,
    Change,
    Effect,
    Estimate,
    FirstFact,
    Given,
    Join,
    Question,
    Reading,
    Section,
    hookimpl,
)

NASTY = "x [kW] [/ \x1b[31m\x07"
HERE = "tests.tui.sample.parts"


@hookimpl
def boat_sections() -> Iterator[Section]:
    yield Section(
        "sample", f"{HERE}:Sample", "Bilge [pump] of the sample",
        first_facts=(
            FirstFact("kind", f"Which pump is it {NASTY}?", "diaphragm", "its plate [says] so"),
            FirstFact("second.power", "What does the second pump take?", "60 W", "from its label"),
        ),
    )  # fmt: skip


@hookimpl
def boat_estimates() -> Iterator[Estimate]:
    yield Estimate(
        "bilge", f"{HERE}:bilge", (),
        (
            Given("sample.inflow", "m**3/s", f"water that comes in {NASTY}", "flow"),
            Given("sample.run_share", "1", "share of the hour the pump runs", "share", daily="largest"),
            Given("sample.temperature", "K", "water in the bilge", "temperature"),
        ),
    )  # fmt: skip


@hookimpl
def boat_questions() -> Iterator[Question | Join]:
    yield Question("sample.fine", "Is the bilge cool?", f"{HERE}:fine", ("sample.temperature",))
    yield Question("sample.watch", f"Does the pump keep up {NASTY}?", f"{HERE}:watch", ("sample.run_share",),
                   what="The pump should rest for half of every hour.")  # fmt: skip
    yield Question("sample.act", "Is water coming in?", f"{HERE}:act", ("sample.inflow",))
    yield Question("sample.unknown", "Where does it come from?", f"{HERE}:unknown", ("sample.inflow",))
    yield Question("sample.broken", "Is this plugin well?", f"{HERE}:broken", ("sample.inflow",))
    yield Question("sample.absent", "How is the second pump?", f"{HERE}:fine", (), about="sample.second",
                   add_line='[sample.second]')  # fmt: skip


@hookimpl
def boat_changes() -> Iterator[Change]:
    less = (Effect("sample.inflow"), Effect("sample.run_share"))
    card = ("sample.act",)
    yield Change("tighten", "action", f"Tighten the gland {NASTY}", (Alter("sample.leak", "scale", "0.5 ± 0.1"),),
                 minutes=20, effects=less, questions=card)  # fmt: skip
    yield Change("bail", "action", "Bail it out", (Alter("sample.depth", "scale", "0.25"),),
                 minutes=10, effects=less, questions=card, who="licensed")  # fmt: skip
    yield Change("open", "action", "Open it wider", (Alter("sample.leak", "scale", "2"),),
                 effects=less, questions=card)  # fmt: skip


@hookimpl
def boat_readings() -> Iterator[Reading]:
    yield Reading("bilge_depth", f"Depth by the ruler {NASTY}", f"Stand a ruler in it {NASTY}.", 2, "evidence",
                  unit="m", style="short_length", hazards=("sample_mains", "sample_seacock"))  # fmt: skip
    yield Reading("bilge_water", "Water in the bilge", "A thermometer.", 2, "condition", unit="K",
                  style="temperature")  # fmt: skip
    yield Reading(
        "bilge_smell", "The smell of it", "Bend down.", 1, "evidence", choices=("none", "salt", "fuel")
    )
    yield Reading("bilge_pumped", "Pumped out", "Write it when it was dry.", 1, "event")


@hookimpl
def boat_cautions() -> Iterator[Caution]:
    yield Caution(
        "sample_mains", "Breaker off and plug out before a hand goes near the pump [mains].", 1, "ABYC E-11"
    )
    yield Caution("sample_seacock", "Seacock shut before a hose is loosened.", 0)
    yield Caution("sample_unused", "This one is of no concern here.", 0)
