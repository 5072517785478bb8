"""A `Change` switched on: the inputs it names, altered, draw by draw on the same base draws."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from console.boatfile import Boat
from console.boatfile.errors import nearest
from console.boatfile.inputs import Input
from console.contract import Alter, Change
from console.engine.draws import column
from console.engine.run import aboard
from console.engine.views import Draws
from console.guard import GuardError, Unwell
from console.quantities import QuantityError, parse_measure

Array = NDArray[np.float64]
Named = tuple[str, Change]
"""A change and the plugin it belongs to."""


def key_of(owner: str, change: Change) -> str:
    """The name of a change over all plugins: ``climate.low_refrigerant``."""
    return f"{change.complaint or owner}.{change.key}"


def reached(boat: Boat, path: str) -> str | None:
    """The input an alter's path means on this boat; None when there is none."""
    if path in boat.inputs:
        return path
    parts = path.split(".")
    for at in range(1, len(parts) - 1):
        items = boat.item_paths.get(".".join(parts[:at]))
        if items is None:
            continue
        tail = ".".join(parts[at + 1 :])
        for item in items:
            part = boat.inputs.get(f"{item}.part")
            named = parts[at] == "*" or (part is not None and part.value == parts[at])
            if named and f"{item}.{tail}" in boat.inputs:
                return f"{item}.{tail}"
    return None


def severity_of(owner: str, change: Change, boat: Boat, draws: int) -> Array | None:
    """The draws of a change's severity, shape (draws + 1,); None when it has none."""
    if not change.severity:
        return None
    style, law, hard = "ratio", "scale", (0.0, np.inf)
    for alter in change.alters:
        path = reached(boat, alter.path)
        if alter.by == "severity" and path is not None:
            style, law, hard = _amount(boat.inputs[path], alter.how, change.severity)
            break
    return _column(
        owner, change, f"change:{key_of(owner, change)}", change.severity, draws, style, law, hard
    )


def altered(
    base: Draws, changes: Iterable[Named], severities: dict[str, Array] | None = None
) -> Draws | None:
    """The draws with some changes switched on together; None when they reach no input aboard.

    ``severities`` replaces the draws (draws + 1,) of a change's severity, by `key_of`. The
    draws of everything else are those of ``base``. Raises `GuardError` naming the plugin whose
    change cannot be read.
    """
    boat, alters = base.boat, dict[str, list[Callable[[Array], Array]]]()
    inputs: dict[str, Input] = {}
    for owner, change in changes:
        if change.about and not aboard(boat, change.about):
            continue
        given = (severities or {}).get(key_of(owner, change))
        severity = given if given is not None else severity_of(owner, change, boat, base.draws)
        for alter in change.alters:
            path = reached(boat, alter.path)
            if path is None:
                continue
            entry = boat.inputs[path]
            if entry.kind == "quantity":
                made = _alter(owner, change, alter, entry, severity, base.draws)
                alters.setdefault(path, []).append(made)
            else:
                inputs[path] = replace(entry, value=_word(owner, change, alter, entry), text=alter.by)
    if not alters and not inputs:
        return None
    changed = replace(boat, inputs={**boat.inputs, **inputs}) if inputs else boat
    return Draws(changed, base.draws, before=base, altered={p: _chain(each) for p, each in alters.items()})


def _chain(steps: list[Callable[[Array], Array]]) -> Callable[[Array], Array]:
    def all_of_them(values: Array) -> Array:
        for step in steps:
            values = step(values)
        return values

    return all_of_them


def _alter(
    owner: str, change: Change, alter: Alter, entry: Input, severity: Array | None, draws: int
) -> Callable[[Array], Array]:
    if alter.by == "severity":
        if severity is None:
            raise _unwell(owner, change, f"alters {entry.path} by its severity, and has none")
        by = severity
    else:
        style, law, hard = _amount(entry, alter.how, alter.by)
        seed = f"change:{key_of(owner, change)}:{entry.path}"
        by = _column(owner, change, seed, alter.by, draws, style, law, hard)
    match alter.how:
        case "set":
            return lambda values: np.broadcast_to(by, values.shape)
        case "scale":
            return lambda values: values * by
        case "add":
            return lambda values: values + by


def _amount(entry: Input, how: str, text: str) -> tuple[str, str, tuple[float, float]]:
    """Style, law and limits of the amount by which an input is altered."""
    if how == "set":
        return entry.style, entry.law, entry.hard
    if how == "add":
        style = "temperature_difference" if entry.style == "temperature" else entry.style
        return style, "plain", (-np.inf, np.inf)
    if "%" not in re.split(r"±|\+/?-", text, maxsplit=1)[0]:  # of the value, not of its spread
        return "ratio", "scale", (0.0, np.inf)
    value = parse_measure(text, "percent").value
    return ("share", "fraction", (0.0, 1.0)) if value <= 1 else ("percent", "plain", (0.0, np.inf))


def _column(
    owner: str, change: Change, seed: str, text: str, draws: int, style: str, law: str,
    hard: tuple[float, float],
) -> Array:  # fmt: skip
    try:
        signed = "signed_number" if style in ("number", "ratio") and text.strip().startswith("-") else style
        measure = parse_measure(text, signed)
    except QuantityError as error:
        raise _unwell(owner, change, str(error)) from None
    return column(seed, draws, measure.value, measure.half_si, law, hard)


def _word(owner: str, change: Change, alter: Alter, entry: Input) -> object:
    if alter.how != "set":
        raise _unwell(owner, change, f"can only set {entry.path}, which is no quantity")
    match entry.kind:
        case "choice":
            if alter.by not in entry.choices:
                hint = nearest(alter.by, entry.choices)
                raise _unwell(owner, change, f"sets {entry.path} to {alter.by}{hint}")
            return alter.by
        case "flag":
            return alter.by == "yes"
        case "list":
            return [each.strip() for each in alter.by.split(",") if each.strip()]
        case _:
            return alter.by


def _unwell(owner: str, change: Change, sentence: str) -> GuardError:
    return GuardError(Unwell(owner, f"change {change.key}", sentence))


def of_kind(boat: Boat, kind: str, complaint: str | None = None) -> tuple[Named, ...]:
    """The changes of a kind (and of a complaint) whose table is aboard, in the plugins' order."""
    return tuple(
        (owner, change) for owner, change in boat.registry.changes
        if change.kind == kind and (complaint is None or change.complaint == complaint)
        and (not change.about or aboard(boat, change.about))
    )  # fmt: skip


__all__ = ["Named", "altered", "key_of", "of_kind", "reached", "severity_of"]
