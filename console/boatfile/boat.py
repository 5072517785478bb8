"""The vessel scenario: read, validated, edited and saved without losing a byte of the owner's."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, MutableMapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

from pydantic import ValidationError

from console.boatfile.edits import Edit, apply, copy_tables, keeping_maker, plain_maker
from console.boatfile.errors import BoatFileError, nearest, sentence_from_pydantic
from console.boatfile.flatten import Flat, check_limits, inner_tables, item_tables
from console.boatfile.inputs import Input
from console.boatfile.lines import Located, locate
from console.boatfile.places import room_for, where_of
from console.fields import REFUSED, Table
from console.guard import GuardError, Unwell, guarded
from console.guard import load as load_reference
from console.quantities import shown
from console.registry import Registry

FORMAT = 1
LARGEST = 256 * 1024
DEEPEST = 24

Migration = Callable[[MutableMapping[str, Any]], None]
MIGRATIONS: dict[int, Migration] = {}
"""What turns format n into n + 1, in place; works on plain and on comment-keeping tables."""


@dataclass(frozen=True)
class Boat:
    """A boat file, validated; editing gives another Boat and leaves this one as it is."""

    source: str
    path: Path | None
    registry: Registry = field(repr=False)
    edits: tuple[Edit, ...] = ()
    raw: Located = field(default_factory=Located, repr=False)
    inputs: Mapping[str, Input] = field(default_factory=dict, repr=False)
    item_paths: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    tables: Mapping[str, Table] = field(default_factory=dict, repr=False)
    absent: frozenset[str] = frozenset()
    warnings: tuple[str, ...] = ()
    unwell: tuple[Unwell, ...] = ()

    @property
    def name(self) -> str:
        """The boat's name, or that of its file."""
        entry = self.inputs.get("boat.name")
        if entry and entry.value:
            return str(entry.value)
        return self.path.stem if self.path else "the boat"

    @cached_property
    def text(self) -> str:
        """The file as it would be saved: the owner's text with the edits in place."""
        if not self.edits:
            return self.source
        import tomlkit

        document = tomlkit.parse(self.source)
        for number in range(int(document.get("format", FORMAT)), FORMAT):
            MIGRATIONS[number](document)
        make = keeping_maker()
        for edit in self.edits:
            apply(document, edit, make)
        return tomlkit.dumps(document)

    def with_edit(self, path: str, text: str) -> Boat:
        """The boat with one input changed to what the owner typed.

        Raises `BoatFileError` with one sentence when there is no such input or it is refused.
        """
        edits, value = room_for(self, path, text)
        boat = _rebuild(self, (*edits, ("set", where_of(self, path, edits), value)))
        entry = boat.inputs.get(path)
        if entry is not None and entry.kind == "quantity" and entry.origin == "assumed":
            raise BoatFileError("the change did not reach the input", path=path)
        return boat

    def without(self, path: str) -> Boat:
        """The boat with one input back to what is assumed."""
        entry = self.inputs.get(path)
        if entry is None:
            raise BoatFileError(f"there is no such input{nearest(path, self.inputs)}", path=path)
        if entry.origin == "assumed":
            return self
        return _rebuild(self, (("remove", where_of(self, path, ()), None),))

    def with_table(self, path: str) -> Boat:
        """The boat with a table aboard that was not: empty, so the average one.

        Raises `BoatFileError` when there is no such table, or when it is aboard already.
        """
        if path not in self.absent:
            raise BoatFileError(f"there is no such table to add{nearest(path, self.absent)}", path=path)
        return _rebuild(self, (("table", tuple(path.split(".")), None),))

    def with_item(self, path: str, written: Mapping[str, Any]) -> Boat:
        """The boat with one more table in the list at ``path``, saying what is ``written``.

        Raises `BoatFileError` with one sentence.
        """
        there = sum(self.tables[item]._lines is not None for item in self.item_paths.get(path, ()))
        return _rebuild(self, (("insert", (*path.split("."), there), dict(written)),))

    def moved_to(self, path: Path) -> Boat:
        """The same boat at another place on the disk, with nothing left to save."""
        return replace(self, source=self.text, path=path, edits=())


# --- reading --------------------------------------------------------------------------------

_TOML_WORDS = (
    ("Cannot overwrite", "the same name stands twice"),
    ("Cannot declare", "the same table stands twice"),
    ("Invalid value", "a value that is no text in straight quotes, number or date"),
    ("Expected newline", "something follows the value: is the text in quotes?"),
    ("Illegal character '\\n'", "a quote is opened and not closed"),
    ("Unterminated string", "a quote is opened and not closed"),
    ("Expected '='", "no = after the name"),
)
"""What `tomllib` says of the slips people make with an editor, in plain words."""


def _toml_words(said: str) -> str:
    return next((words for start, words in _TOML_WORDS if said.startswith(start)), shown(said, 80))


def load(path: Path | str, registry: Registry) -> Boat:
    """Read and validate a boat file. Raises `BoatFileError` with one sentence."""
    path = Path(path)
    name = path.name
    try:
        if path.is_dir():
            raise BoatFileError("is a folder; accepted is a boat file (TOML)", file=name)
        with open(path, "rb") as file:
            content = file.read(LARGEST + 1)
    except BoatFileError:
        raise
    except FileNotFoundError:
        raise BoatFileError(
            f"there is no such file; looked in {shown(path.parent, 80)}", file=name
        ) from None
    except (OSError, ValueError) as error:
        raise BoatFileError(
            f"cannot be read ({shown(getattr(error, 'strerror', None) or error)})", file=name
        ) from None
    if len(content) > LARGEST:
        raise BoatFileError(f"is larger than {LARGEST // 1024} KiB; a boat file is a few pages", file=name)
    try:
        source = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BoatFileError("is not text in UTF-8; accepted is a boat file (TOML)", file=name) from None
    return loads(source, registry, path)


def loads(source: str, registry: Registry, path: Path | None = None) -> Boat:
    """Validate the text of a boat file. Raises `BoatFileError` with one sentence."""
    name = path.name if path else ""
    if "\0" in source:
        raise BoatFileError("is not text; accepted is a boat file (TOML)", file=name)
    if _depth(source) > DEEPEST:
        raise BoatFileError(f"is nested deeper than {DEEPEST} levels; a boat file needs three", file=name)
    try:
        data = tomllib.loads(source)
    except tomllib.TOMLDecodeError as error:
        text = str(error)
        where, line = text.rsplit("(at line ", 1) if "(at line " in text else (text.split(" (at")[0], "")
        number = int(line.split(",")[0]) if line[:1].isdigit() else max(1, len(source.splitlines()))
        raise BoatFileError(
            f"is not TOML here ({_toml_words(where.strip())}); accepted is field = \"value unit\"",
            file=name, line=number,
        ) from None  # fmt: skip
    except (RecursionError, ValueError) as error:
        raise BoatFileError(f"is not TOML ({shown(error, 60)})", file=name) from None
    number = data.get("format", FORMAT)
    if isinstance(number, bool) or not isinstance(number, int):
        raise BoatFileError(f"given is {shown(number)!r}; accepted is {FORMAT}", file=name, path="format")
    if number > FORMAT:
        raise BoatFileError(
            f"given is {number}, of a newer program; this one reads up to {FORMAT}",
            file=name,
            path="format",
        )
    if number < min(MIGRATIONS, default=FORMAT):
        raise BoatFileError(f"given is {number}; accepted is {FORMAT}", file=name, path="format")
    for old in range(number, FORMAT):
        MIGRATIONS[old](data)
    boat = Boat(source, path, registry)
    return _validated(boat, locate(data, source))


def _depth(source: str) -> int:
    """Deepest nesting of brackets; a bound, so strings count too."""
    deepest = depth = 0
    for char in source:
        if char in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif char in "]}":
            depth = max(0, depth - 1)
        elif char == "\n" and depth and deepest <= DEEPEST:
            continue
    dots = max((line.split("=")[0].count(".") for line in source.splitlines()), default=0)
    return max(deepest, dots)


def _validated(boat: Boat, raw: Located) -> Boat:
    name = boat.path.name if boat.path else ""
    flat = Flat(boat.path.parent if boat.path else None)
    warnings: list[str] = []
    unwell: list[Unwell] = []
    keys = [section.key for _, section in boat.registry.sections]
    kept = boat.registry.installed() | {plugin for plugin, _ in boat.registry.sections}
    for key, value in raw.items():
        if key == "format" or key in keys:
            continue
        if key in kept and isinstance(value, dict):
            warnings.append(f"[{key}] is kept as it is, but the plugin {key} is not loaded")
            continue
        what = "table" if isinstance(value, (dict, list)) else "field"
        raise BoatFileError(
            f"there is no {what} [{shown(key)}]{nearest(key, [*keys, 'format'])}",
            file=name, line=raw.lines.get(key, 0) or getattr(value, "line", 0),
        )  # fmt: skip
    for owner, section in boat.registry.sections:
        given = raw.get(section.key)
        alone = section.assumed_with in keys and section.assumed_with not in raw
        if given is None and (alone or section.when_absent == "not_aboard"):
            flat.absent.add(section.key)
            continue
        try:
            model = guarded(owner, "section", _table_class, section.model)
            if given is not None and not isinstance(given, dict):
                raise BoatFileError(
                    f"given is {shown(given)!r}; accepted is a table [{section.key}]",
                    file=name, line=raw.lines.get(section.key, 0), path=section.key,
                )  # fmt: skip
            table = guarded(owner, "section", _made, model, given)
            if isinstance(table, _Refusal):
                raise _refused(table, model, given or Located(), section.key, name)
            flat.add(table, section.key, section.key)
            warnings.extend(_assumed_parts(owner, table, given))
        except GuardError as failure:
            unwell.append(failure.unwell)
    for entry in flat.inputs.values():
        if entry.kind != "quantity":
            continue
        error, warning = check_limits(entry)
        if error:
            raise BoatFileError(error, file=name, line=entry.line, path=entry.path)
        if warning:
            warnings.append(warning)
    return replace(
        boat, raw=raw, inputs=flat.inputs, item_paths=flat.items, tables=flat.tables,
        absent=frozenset(flat.absent), warnings=tuple(warnings), unwell=tuple(unwell),
    )  # fmt: skip


@dataclass(frozen=True)
class _Refusal:
    """What pydantic found, and the tables of the file it was in, innermost first."""

    error: ValidationError
    tables: tuple[Any, ...]


def _table_class(reference: str) -> type[Table]:
    found = load_reference(reference)
    if not (isinstance(found, type) and issubclass(found, Table)):
        raise TypeError(f"{reference} is no subclass of console.fields.Table")
    return found


def _made(model: type[Table], given: Any) -> Table | _Refusal:
    # A ValidationError is the owner's, not the plugin's: it must not mark the plugin unwell.
    token = REFUSED.set([])
    try:
        return model.model_validate(given if given is not None else {})
    except ValidationError as error:
        return _Refusal(error, tuple(REFUSED.get()))
    finally:
        REFUSED.reset(token)


def _assumed_parts(owner: str, table: Table, given: Any) -> list[str]:
    say = getattr(table, "assumed_parts", None)
    if say is None:
        return []
    return [str(line) for line in guarded(owner, "section", say, given or {})]


def _refused(refusal: _Refusal, model: type[Table], given: Any, section: str, file: str) -> BoatFileError:
    details: Any = refusal.error.errors()[0]
    # A section may put assumed items among the owner's: their place in the file is told by
    # identity, not by index.
    wrong = details["input"] if isinstance(details["input"], Located) else None
    inner = next(iter(refusal.tables), None)
    own = [table for table in (wrong, inner) if table is not None]
    place, table, line, names = given, model, getattr(given, "line", 0), [section]
    known: list[str] = []
    options: tuple[type[Table], ...] = ()
    for step in details["loc"]:
        if isinstance(step, int):
            items = place if isinstance(place, list) else []
            found = next((i for i, item in enumerate(items) if any(item is t for t in own)), None)
            step = step if found is None else found
            names[-1] = f"{names[-1]}[{step + 1}]"
            place = items[step] if step < len(items) else None
            line = getattr(place, "line", 0) or line
            continue
        branch = next((option for option in options if step in _words_of(option)), None)
        if branch is not None:
            table, known, options = branch, list(branch.model_fields), ()
            continue  # a step of pydantic's own (a union's branch), not of the file
        names.append(str(step))
        line = getattr(place, "lines", {}).get(step, 0) or line
        known = list(table.model_fields)
        info = table.model_fields.get(str(step))
        options = (inner_tables(info.annotation) or item_tables(info.annotation)) if info else ()
        table = options[0] if options else table
        place = place.get(step) if isinstance(place, dict) else None
        line = getattr(place, "line", 0) or line
    last = names[-1]
    if details["type"] in ("extra_forbidden", "missing") and len(names) > 1:
        names = names[:-1]
    sentence = sentence_from_pydantic(details, known, last)
    return BoatFileError(sentence, file=file, line=line, path=".".join(names))


def _words_of(table: type[Table]) -> set[str]:
    """The words that choose this table among the branches of a union."""
    return {
        str(word)
        for info in table.model_fields.values()
        if get_origin(info.annotation) is Literal
        for word in get_args(info.annotation)
    }


def _rebuild(boat: Boat, edits: tuple[Edit, ...]) -> Boat:
    raw = copy_tables(boat.raw)
    for edit in edits:
        apply(raw, edit, plain_maker())
    return _validated(replace(boat, edits=(*boat.edits, *edits)), raw)


__all__ = ["Boat", "BoatFileError", "load", "loads"]
