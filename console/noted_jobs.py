"""The table [jobs] of the boat file: what a job costs and when it is due, as the owner noted it.

An item either belongs to a job of the console's own list (``job`` is its key there) or is a job
of the owner's own, which then has a name alone.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from console.fields import Quantity, Table, quantity, tables, text

if TYPE_CHECKING:
    from console.boatfile import Boat

LIST = "jobs.job"
Field = Literal["cost", "due"]


class NotedJob(Table):
    """One job, and what the owner noted of it."""

    name: str = text("", help="What is to be done, in your own words.")
    job: str = text(
        "", help="The console's key of it on the work list; silent for a job of your own that is not there."
    )
    cost: Quantity = quantity(
        "money", None, hard=("0", "1000000"), usual=("0", "20000"),
        help="What it costs in your own money, parts and hands together: 40, or 40 ± 10.",
    )  # fmt: skip
    due: datetime.date | None = text(None, help="The day by which it is to be done, such as 2027-04-01.")


class JobsTable(Table):
    """Jobs with a cost or a day noted, one ``[[jobs.job]]`` each."""

    job: list[NotedJob] = tables(help="A job, what it costs and by when it is to be done.")


@dataclass(frozen=True, slots=True)
class Noted:
    """What the owner noted of one job; ``path`` is its item in the boat file, ``key`` "" for his own."""

    path: str
    name: str
    key: str
    cost: float | None
    cost_text: str
    due: datetime.date | None


def noted(boat: Boat) -> tuple[Noted, ...]:
    """Every job the boat file says something of, in its order."""
    made = []
    for path in boat.item_paths.get(LIST, ()):
        words = {name: boat.inputs.get(f"{path}.{name}") for name in ("name", "job", "cost", "due")}
        value = {name: entry.value if entry else None for name, entry in words.items()}
        cost = words["cost"]
        made.append(
            Noted(
                path, str(value["name"] or value["job"] or ""), str(value["job"] or ""), value["cost"],
                cost.text if cost else "", value["due"],
            )
        )  # fmt: skip
    return tuple(made)


def with_note(boat: Boat, key: str, name: str, field: Field, typed: str) -> Boat:
    """The boat with a cost or a day noted of the job ``key`` (or of the owner's own of that name).

    Nothing typed takes the note away. Raises `BoatFileError` with one sentence.
    """
    found = next((each for each in noted(boat) if (each.key == key if key else each.name == name)), None)
    if not typed.strip():
        return boat if found is None else boat.without(f"{found.path}.{field}")
    if found is None:
        boat = boat.with_item(LIST, {"name": name, **({"job": key} if key else {})})
        found = noted(boat)[-1]
    return boat.with_edit(f"{found.path}.{field}", typed.strip())


__all__ = ["Field", "JobsTable", "Noted", "NotedJob", "noted", "with_note"]
