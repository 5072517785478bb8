"""Where in the file an input stands, and what room must be made for it."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from console.boatfile.edits import Edit, Step
from console.boatfile.errors import BoatFileError, nearest
from console.boatfile.flatten import inner_tables, item_tables
from console.fields import SPEC, Table
from console.guard import GuardError, guarded
from console.guard import load as load_reference
from console.quantities import Measure, shown

if TYPE_CHECKING:
    from console.boatfile.boat import Boat


def where_of(boat: Boat, path: str, before: tuple[Edit, ...]) -> tuple[Step, ...]:
    """Where in the file an input's path points, once ``before`` has been done."""
    written = {edit[1][:-1] for edit in before if edit[0] == "insert"}
    steps: list[Step] = []
    at = ""
    for part in path.split("."):
        parent, at = at, f"{at}.{part}" if at else part
        siblings = boat.item_paths.get(parent)
        if siblings is not None and at in siblings:
            place = siblings.index(at)
            if tuple(steps) not in written:
                # Among the items the file itself has.
                place = sum(1 for other in siblings[:place] if boat.tables[other]._lines is not None)
            steps.append(place)
        else:
            steps.append(part)
    return tuple(steps)


def room_for(boat: Boat, path: str, text: str) -> tuple[tuple[Edit, ...], Any]:
    """The edits that make room for an input in the file, and the value to write there."""
    parts = path.split(".")
    sections = {section.key: section for _, section in boat.registry.sections}
    if parts[0] not in sections:
        raise BoatFileError(f"there is no such input{nearest(path, boat.inputs)}", path=path)
    try:
        model: Any = guarded("", "section", load_reference, sections[parts[0]].model)
    except GuardError as failure:
        raise BoatFileError(f"the plugin is not working ({failure.unwell.error})", path=path) from None
    edits: list[Edit] = []
    at, index = parts[0], 1
    while index < len(parts):
        info = model.model_fields.get(parts[index])
        here = f"{at}.{parts[index]}"
        if info is None:
            raise BoatFileError(f"there is no such input{nearest(path, boat.inputs)}", path=path)
        items, inner = item_tables(info.annotation), inner_tables(info.annotation)
        if items:
            paths = boat.item_paths.get(here, ())
            chosen = f"{here}.{parts[index + 1]}" if index + 1 < len(parts) else ""
            if chosen not in paths:
                raise BoatFileError(f"there is no such item{nearest(chosen or path, paths)}", path=path)
            # An edit of one assumed item writes all assumed ones, so that they stay what they are.
            if boat.tables[chosen]._lines is None:
                edits.extend(
                    ("insert", (*here.split("."), place), _skeleton(boat.tables[item]))
                    for place, item in enumerate(paths)
                    if boat.tables[item]._lines is None
                )
            model, at, index = type(boat.tables[chosen]), chosen, index + 2
        elif inner:
            model, at, index = inner[0], here, index + 1
        else:
            if index != len(parts) - 1:
                raise BoatFileError(f"there is no such input{nearest(path, boat.inputs)}", path=path)
            return tuple(edits), _typed(info, text, path)
    raise BoatFileError("is a table, not an input; name one of its fields"
                        f"{nearest('', [p for p in boat.inputs if p.startswith(path + '.')])}", path=path)  # fmt: skip


def _skeleton(table: Table) -> dict[str, Any]:
    """What must be written of an assumed item so that it is the same item in the file."""
    written: dict[str, Any] = {}
    for name in type(table).model_fields:
        if name not in table.model_fields_set:
            continue
        value = getattr(table, name)
        if isinstance(value, Measure):
            written[name] = value.text
        elif isinstance(value, (str, bool, int, list, datetime.date)):
            written[name] = value
    return written


def _typed(info: Any, text: str, path: str) -> Any:
    extra = info.json_schema_extra
    annotation = str(info.annotation)
    if (isinstance(extra, dict) and SPEC in extra) or "Literal" in annotation:
        return text.strip()
    if "bool" in annotation:
        word = text.strip().lower()
        if word not in ("true", "yes", "on", "false", "no", "off"):
            raise BoatFileError(f'given is "{shown(text)}"; accepted is yes or no', path=path)
        return word in ("true", "yes", "on")
    if "date" in annotation:
        try:
            return datetime.date.fromisoformat(text.strip())
        except ValueError:
            raise BoatFileError(
                f'given is "{shown(text)}"; accepted is a date such as 2026-07-21', path=path
            ) from None
    if "list" in annotation:
        return [item.strip() for item in text.split(",") if item.strip()]
    return text
