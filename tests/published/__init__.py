"""Published values as data, and how a test reads them."""

import tomllib
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def rows(group: str) -> dict[str, dict[str, Any]]:
    """The rows of ``tests/published/<group>.toml`` by id."""
    with open(HERE / f"{group}.toml", "rb") as file:
        return {row["id"]: row for row in tomllib.load(file)["row"]}


NOTED: dict[str, float] = {}
"""Of each value compared so far: how far off it was, as a share; told when the tests are done."""


def note(name: str, value: float, expected: float) -> None:
    """Remember how far ``value`` is from ``expected``, for the tests' own output."""
    if expected:
        NOTED[name] = float(value) / float(expected) - 1.0


def agrees(row: dict[str, Any], value: float) -> bool:
    """Whether ``value`` (in the row's unit) is within the row's own tolerance; it is noted."""
    expected, tolerance = row["expected"], row["tolerance"]
    if isinstance(expected, int | float) and not isinstance(expected, bool):
        note(row["id"], value, expected)
    if tolerance.get("range"):
        return bool(expected[0] <= value <= expected[1])
    if tolerance.get("exact"):
        return bool(value == expected)
    room = tolerance.get("rel", 0) * abs(expected) + tolerance.get("abs", 0)
    return bool(abs(value - expected) <= room)
