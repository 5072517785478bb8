"""Edits of a boat file: the same operation on plain tables and on tomlkit's, which keep comments."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from console.boatfile.lines import Located

Step = str | int
Edit = tuple[str, tuple[Step, ...], Any]
"""("set" | "remove" | "insert" | "table", where in the file, what); "table" makes an empty one."""


def copy_tables(value: Any) -> Any:
    if isinstance(value, Located):
        return Located(
            {k: copy_tables(v) for k, v in value.items()}, line=value.line, lines=dict(value.lines)
        )
    if isinstance(value, dict):
        return {key: copy_tables(item) for key, item in value.items()}
    if isinstance(value, list):
        return [copy_tables(item) for item in value]
    return value


@dataclass(frozen=True)
class Maker:
    """How new tables and lists are made: plain ones, or tomlkit's that keep comments."""

    table: Callable[[], Any]
    tables: Callable[[], Any]
    inline: Callable[[], Any]
    dress: Callable[[Any], Any]


def plain_maker() -> Maker:
    return Maker(Located, list, Located, lambda value: value)


def keeping_maker() -> Maker:
    import tomlkit

    def dress(value: Any) -> Any:
        if not isinstance(value, list):
            return value
        array = tomlkit.array()
        for item in value:
            array.append(item)
        return array

    return Maker(tomlkit.table, tomlkit.aot, tomlkit.inline_table, dress)


def apply(root: Any, edit: Edit, make: Maker) -> None:
    """Carry out one edit on plain tables or on tomlkit's, which behave alike."""
    what, where, value = edit
    place = root
    for step, after in pairwise(where):
        if isinstance(step, str) and step not in place:
            place[step] = make.tables() if isinstance(after, int) else make.table()
            if isinstance(place, Located):
                place.lines.setdefault(step, 0)
        place = place[step]
    last = where[-1]
    if what == "remove":
        with contextlib.suppress(KeyError, IndexError):
            del place[last]
        if isinstance(place, Located):
            place.lines.pop(str(last), None)
        return
    if what == "insert":
        # An array written in line holds tables written in line.
        in_line = type(place).__name__ == "Array"
        item = make.inline() if in_line else make.table()
        for key, inside in value.items():
            item[key] = make.dress(inside)
            if isinstance(item, Located):
                item.lines[key] = 0
        place.insert(last, item)
        return
    if what == "table":
        place[last] = make.inline() if type(place).__name__ == "InlineTable" else make.table()
    else:
        place[last] = make.dress(value)
    if isinstance(place, Located):
        place.lines.setdefault(str(last), 0)
