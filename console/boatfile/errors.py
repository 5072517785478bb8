"""Bad input, said in one sentence: file, line, field, what was given, what is accepted."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from console.quantities import shown


class BoatFileError(ValueError):
    """A boat file (or an edit of one) that cannot be used; the message is one sentence."""

    def __init__(self, sentence: str, *, file: str = "", line: int = 0, path: str = "") -> None:
        where = shown(file, 80)
        if line:
            where = f"{where}, line {line}" if where else f"line {line}"
        parts = [part for part in (where, shown(path, 120) if path else "", sentence) if part]
        super().__init__(": ".join(parts))
        self.sentence = sentence
        self.path = path
        self.line = line


NEAR = 0.7
"""How alike a name must be to be taken for a slip: below it the hint misleads more than the list."""


def nearest(name: str, known: Any, most: int = 12) -> str:
    """``"; did you mean x?"``, or up to ``most`` of what there is to choose from."""
    names = [str(item) for item in known]
    near = get_close_matches(name, names, 1, NEAR)
    if near:
        return f"; did you mean {near[0]}?"
    few = ", ".join(sorted(names)[:most]) + (", …" if len(names) > most else "")
    return f"; accepted are {few}" if few else ""


def sentence_from_pydantic(details: dict[str, Any], known: list[str], last: str) -> str:
    """One sentence for the first thing pydantic found wrong."""
    kind, given, context = details["type"], details.get("input"), details.get("ctx") or {}
    if kind == "extra_forbidden":
        return f"there is no field {shown(last)}{nearest(last, known)}"
    if kind == "value_error":
        return str(context.get("error", details.get("msg", ""))).strip()
    if kind == "literal_error":
        return (
            f"given is {_quoted(given)}; accepted is {str(context['expected']).replace(chr(39), chr(34))}"
        )
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return f"given is {_quoted(given)}; accepted is a table of fields"
    if kind == "list_type":
        return f"given is {_quoted(given)}; accepted is a list"
    if kind == "string_type":
        return f"given is {_quoted(given)}; accepted is text in quotes"
    if kind == "missing":
        return f"{shown(last)} is missing"
    if kind.startswith("bool"):
        return f"given is {_quoted(given)}; accepted is true or false"
    if kind.startswith("date"):
        return f"given is {_quoted(given)}; accepted is a date such as 2026-07-21"
    message = shown(details.get("msg", kind), 120)
    return f"given is {_quoted(given)}; {message[:1].lower()}{message[1:]}"


def _quoted(given: Any) -> str:
    if isinstance(given, str):
        return f'"{shown(given)}"'
    if isinstance(given, dict):
        return "a table"
    if isinstance(given, list):
        return "a list"
    return shown(given)
