"""From validated tables to the flat table of inputs, each with its path and origin."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from console.boatfile.inputs import Input, Origin
from console.fields import FILE, SPEC, Table
from console.quantities import STYLES, Measure, parse_measure, say

PARSE_CACHE = 4096


@lru_cache(PARSE_CACHE)
def measure(text: str, style: str) -> Measure:
    """A quantity from a field's declaration, parsed once."""
    return parse_measure(text, style)


@lru_cache(PARSE_CACHE)
def declared_spread(text: str, style: str) -> tuple[float, bool]:
    """Half-width and whether it is relative, from ``"± 20 %"`` or ``"20 %"``."""
    spread = text.strip().removeprefix("±").strip()
    probe = parse_measure(f"1 {STYLES[style].si} ± {spread}".replace("1  ±", "1 ±"), style)
    return (probe.half or 0.0), probe.relative


def slug(name: str) -> str:
    """The key a name becomes in paths."""
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")


def _members(annotation: Any) -> tuple[Any, ...]:
    """The members of a union (``X | None``, an annotated union too), else the type itself."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, UnionType):
        return tuple(inner for option in get_args(annotation) for inner in _members(option))
    return (annotation,)


def inner_tables(annotation: Any) -> tuple[type[Table], ...]:
    """The table classes a field may hold itself; empty when it holds none."""
    return tuple(o for o in _members(annotation) if isinstance(o, type) and issubclass(o, Table))


def item_tables(annotation: Any) -> tuple[type[Table], ...]:
    """The table classes of the items of a ``list[...]`` field; empty when it is no such list."""
    for option in _members(annotation):
        if get_origin(option) is list and get_args(option):
            return inner_tables(get_args(option)[0])
    return ()


def item_keys(items: list[Table], field: str) -> list[str]:
    """Keys of a list's items: the slug of the name, else the part, else the field; then _2."""
    keys: list[str] = []
    for item in items:
        name = getattr(item, "name", None)
        part = getattr(item, "part", None)
        base = slug(str(name)) if name else ""
        key = base or (slug(str(part)) if part else field)
        count, candidate = 1, key
        while candidate in keys:
            count += 1
            candidate = f"{key}_{count}"
        keys.append(candidate)
    return keys


def _choices(annotation: Any) -> tuple[str, ...]:
    for option in _members(annotation):
        if get_origin(option) is Literal:
            return tuple(str(value) for value in get_args(option))
    return ()


def _label(path: str) -> str:
    return path.rsplit(".", 1)[-1].replace("_", " ")


def beside(folder: Path, named: str) -> str:
    """A file the owner names, from the folder of the boat file."""
    try:
        return str((folder / Path(named).expanduser()).absolute())
    except (RuntimeError, ValueError):  # no such home folder
        return str((folder / named).absolute())


class Flat:
    """The flat table under construction: inputs, items of lists, tables, and what is absent."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or Path()
        self.inputs: dict[str, Input] = {}
        self.items: dict[str, tuple[str, ...]] = {}
        self.tables: dict[str, Table] = {}
        self.absent: set[str] = set()

    def add(self, table: Table, path: str, section: str) -> None:
        """Walk a table and everything in it."""
        self.tables[path] = table
        for field, info in type(table).model_fields.items():
            value = getattr(table, field)
            here = f"{path}.{field}"
            extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
            if SPEC in extra:
                made = self._quantity(table, field, here, section, extra[SPEC], info.description or "")
                if made:
                    self.inputs[here] = made
                continue
            if item_tables(info.annotation):
                keys = item_keys(value or [], field)
                self.items[here] = tuple(f"{here}.{key}" for key in keys)
                for key, item in zip(keys, value or [], strict=True):
                    self.add(item, f"{here}.{key}", section)
                continue
            if inner_tables(info.annotation):
                if value is None:
                    self.absent.add(here)
                else:
                    self.add(value, here, section)
                continue
            self.inputs[here] = self._word(table, field, here, section, value, info)

    def _word(self, table: Table, field: str, path: str, section: str, value: Any, info: Any) -> Input:
        choices = _choices(info.annotation)
        kind: Any = "choice" if choices else "text"
        if isinstance(value, bool) or info.annotation is bool:
            kind = "flag"
        elif isinstance(value, list):
            kind = "list"
        elif "date" in str(info.annotation):
            kind = "date"
        text = ", ".join(map(str, value)) if isinstance(value, list) else (
            "" if value is None else ("yes" if value is True else "no" if value is False else str(value)))  # fmt: skip
        if value and isinstance(info.json_schema_extra, dict) and FILE in info.json_schema_extra:
            value = beside(self.folder, str(value))
        return Input(
            path, section, _label(path), kind, "given" if table.stated(field) else "assumed",
            info.description or "", text, value, choices=choices, line=table.line_of(field),
        )  # fmt: skip

    @staticmethod
    def _quantity(
        table: Table, field: str, path: str, section: str, spec: Any, help_text: str
    ) -> Input | None:
        style = spec["style"]
        written: Measure | None = getattr(table, field)
        origin: Origin = "assumed"
        if table.stated(field):
            origin = "measured" if spec["measured"] else "given"
        compute, spread = "", 0.0
        if written is not None:
            found = written
            if found.half is None and spec["given"]:
                half, relative = declared_spread(spec["given"], style)
                found = Measure(found.text, style, found.value, half, relative)
        elif spec["compute"]:
            compute = spec["compute"]
            half, relative = declared_spread(spec["default"] or "± 0 %", style)
            # A computed default carries its spread as a measure of nothing.
            found = Measure("", style, 0.0, half, relative)
            spread = half
        elif spec["default"] is None:
            return None
        else:
            found = measure(spec["default"], style)
        hard = tuple(measure(limit, style).value for limit in spec["hard"])
        usual = tuple(measure(limit, style).value for limit in spec["usual"]) or hard
        return Input(
            path, section, _label(path), "quantity", origin, help_text, found.text,
            found.value, style, found, compute, spread, (hard[0], hard[1]), (usual[0], usual[1]),
            line=table.line_of(field),
        )  # fmt: skip


def check_limits(entry: Input) -> tuple[str, str]:
    """(error, warning) of a quantity against its hard and usual limits; empty when it is fine."""
    if entry.measure is None or entry.compute or entry.origin == "assumed":
        return "", ""
    value = entry.measure.value
    low, high = entry.hard

    def between(a: float, b: float) -> str:
        return f"{_say(a, entry)} to {_say(b, entry)}"

    room = 1e-9 * max(abs(low), abs(high), 1e-12)
    if not low - room <= value <= high + room:
        return f'given is "{entry.measure.text}"; accepted is {between(low, high)}', ""
    low, high = entry.usual
    if not low - room <= value <= high + room:
        return "", f'{entry.path}: "{entry.measure.text}" is unusual; usual is {between(low, high)}'
    return "", ""


def _say(value: float, entry: Input) -> str:
    """A limit in the unit system the owner wrote in, as near as can be told."""
    text = entry.measure.text if entry.measure else ""
    us = any(mark in f" {text} " for mark in (" F", " ft", " in", " gal", " gpm", " psi", "tu/h", "AWG"))
    return say(value, entry.style, "us" if us else "si")
