"""A toy with a repairable leak, and logs of it: what is caught each day goes with leak and damp."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import numpy as np

from console.boatfile import Boat, loads
from console.contract import Alter, Change, Effect, Estimate, Given, Need, Reading, Section, State
from console.fields import Quantity, Table, quantity
from console.logbook.entry import Entries, Entry
from tests import toy

DAY = 86400.0
UTC = datetime.UTC
HALF_LEFT = [10.4, 9.7, 10.9, 10.1, 9.2, 10.6, 9.9, 10.3, 7.7, 5.1, 5.4, 4.8, 5.2, 4.6, 5.3, 5.0]
START = datetime.datetime(2026, 7, 1, 12, tzinfo=UTC)


class Still(Table):
    leak: Quantity = quantity(
        "mass_per_day", "10 g/day ± 50 %", hard=("0 g/day", "1e6 g/day"), help="Guess."
    )
    opened: Quantity = quantity(
        "per_day", "10 per day ± 5 %", hard=("0 per day", "1000 per day"), help="Count."
    )
    crust: Quantity = quantity("mass", "0 g ± 0 g", hard=("0 g", "1e6 g"), help="Weigh.")


def damp(run):
    return {"still.damp": 0.6 + 0 * run.number("still.leak")}


def rate(run):
    opened = run.number("still.opened") * 1e-4  # a tenth of a gram each
    crust = 1.0 - np.clip(run.number("still.crust") - 0.2, 0.0, 0.9)  # kg; the first 200 g do no harm
    return {"still.rate": (run.number("still.leak") * run.figure("still.damp") / 0.6 + opened) * crust,
            "still.leaking": run.number("still.leak") + 0 * run.figure("still.damp")}  # fmt: skip


def still_boat(text: str = "", *, period: str = "", own: str = "± 10 %") -> Boat:
    """A boat with the toy aboard."""
    module = toy.module(Still=Still, damp=damp, rate=rate).__name__
    mine = ("still",)
    entry = toy.plugin(
        "still",
        boat_sections=lambda: [Section("still", f"{module}:Still", "The still")],
        boat_estimates=lambda: [
            Estimate("still.damp", f"{module}:damp", (), (Given("still.damp", "1", "damp", style="share"),),
                     stateful=True),
            Estimate("still.rate", f"{module}:rate", (Need("still.damp", "1"),),
                     (Given("still.rate", "kg/s", "what is caught", style="mass_per_day"),
                      Given("still.leaking", "kg/s", "what leaks", style="mass_per_day"))),
            State("still.crust", "still.rate", "scraped"),
        ],
        boat_readings=lambda: [
            Reading("caught", "Caught in a day", "Weigh it.", 5, "evidence", unit="kg/s", style="mass_per_day",
                    predicts="still.rate", own_error=own, over="day", complaints=mine, period_error=period),
            Reading("jug", "Caught since it was emptied", "Weigh it.", 5, "evidence", unit="kg", style="mass",
                    predicts="still.rate", own_error=own, over="since:emptied", complaints=mine),
            Reading("damp", "How damp it is", "Read it.", 1, "condition", unit="1", style="share",
                    predicts="still.damp", instrument="dial", shared_error="± 3 %", complaints=mine),
            Reading("openings", "Times opened", "Count.", 1, "evidence", unit="1/s", style="per_day",
                    sets="still.opened", over="day", complaints=mine),
            Reading("emptied", "Emptied", "Note it.", 1, "event"),
            Reading("scraped", "Scraped", "Note it.", 1, "event"),
            Reading("repair", "Repaired", "Note it.", 1, "event", choices=("patch",)),
        ],
        boat_changes=lambda: [
            Change("patch", "repair", "The patch", (Alter("still.leak", "scale", "severity"),),
                   severity="0.7 ± 160 %", complaint="still",
                   effects=(Effect("still.leaking"),)),
        ],
    )  # fmt: skip
    return loads(text, toy.registry(entry))


def entry(day: float, reading: str, value: float | str = "", event: bool = False) -> Entry:
    """One line of the log, ``day`` days after the first noon."""
    at = START + datetime.timedelta(days=day)
    return Entry(at, reading, value, str(value), "", event=event)


def log_of(
    caught: Sequence[float], repaired: float, damp_read: Sequence[float] | None = None, *more: Entry
) -> Entries:
    """A log of what was caught each day (g/day), repaired at noon of a day; damp and openings as ever."""
    damp_read = [0.6] * len(caught) if damp_read is None else damp_read
    more = (*more, *(entry(k + 0.1, "openings", 10 / DAY) for k in range(len(caught))))
    rows = [entry(k, "caught", value * 1e-3 / DAY) for k, value in enumerate(caught)]
    rows += [entry(k, "damp", value) for k, value in enumerate(damp_read)]
    return Entries((*rows, *more, entry(repaired, "repair", "patch", True)))
