"""A change put on the boat itself: the edits an owner would type to have it."""

from __future__ import annotations

from collections.abc import Sequence

from console.boatfile import Boat
from console.boatfile.inputs import Input
from console.engine.changes import Named, altered, reached
from console.engine.views import Draws
from console.quantities import System, convert, convert_difference, shown_unit


def with_changes(boat: Boat, changes: Sequence[Named], system: System) -> Boat:
    """The boat with some changes made, each altered input at its nominal value.

    An input that is scaled or moved keeps its own spread. Raises `GuardError` when a change
    cannot be read and `BoatFileError` when the boat refuses it.
    """
    columns = altered(Draws(boat, 0), changes)
    if columns is None:
        return boat
    made = boat
    for path in dict.fromkeys(
        found for _, change in changes for alter in change.alters if (found := reached(boat, alter.path))
    ):
        entry = columns.boat.inputs[path]
        if entry.kind == "quantity":
            value = float(columns.number(path)[0, 0])
            set_to = any(
                alter.how == "set" and reached(boat, alter.path) == path
                for _, change in changes for alter in change.alters
            )  # fmt: skip
            text = _text(value, entry, system, spread=not set_to)
        else:
            text = entry.text
        made = made.with_edit(path, text)
    return made


def _text(value: float, entry: Input, system: System, spread: bool) -> str:
    unit = shown_unit(entry.style, system)
    if unit == "AWG":
        system, unit = "si", "mm**2"
    text = f"{float(convert(value, entry.style, system)):.6g} {unit}".strip()
    measure = entry.measure
    if not spread or measure is None or not measure.half:
        return text
    if measure.relative:
        return f"{text} ± {measure.half * 100:.4g} %"
    half = convert_difference(measure.half, entry.style, system)
    return f"{text} ± {half:.4g} {unit}".strip()
