"""The JSON Schema of the boat file, for editors that complete and check as you type."""

from __future__ import annotations

from typing import Any

from console.contract import Section
from console.guard import GuardError, guarded
from console.guard import load as load_reference
from console.registry import Registry


def _schema_of(section: Section) -> dict[str, Any]:
    made: dict[str, Any] = load_reference(section.model).model_json_schema(
        ref_template=f"#/$defs/{section.key}.{{model}}"
    )
    return made


def json_schema(registry: Registry) -> dict[str, Any]:
    """One schema over the tables of all loaded plugins."""
    properties: dict[str, Any] = {"format": {"const": 1, "description": "Version of the file's format."}}
    definitions: dict[str, Any] = {}
    for owner, section in registry.sections:
        try:
            made = guarded(owner, "schema", _schema_of, section)
        except GuardError:
            continue
        for name, inner in made.pop("$defs", {}).items():
            definitions[f"{section.key}.{name}"] = inner
        definitions[section.key] = made
        properties[section.key] = {"$ref": f"#/$defs/{section.key}"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Boat file",
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
        "$defs": definitions,
    }
