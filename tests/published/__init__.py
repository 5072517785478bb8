"""Published values as data, and how a test reads them."""

import tomllib
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def rows(group: str) -> dict[str, dict[str, Any]]:
    """The rows of ``tests/published/<group>.toml`` by id."""
    with open(HERE / f"{group}.toml", "rb") as file:
        return {row["id"]: row for row in tomllib.load(file)["row"]}


def agrees(row: dict[str, Any], value: float) -> bool:
    """Whether ``value`` (in the row's unit) is within the row's own tolerance."""
    expected, tolerance = row["expected"], row["tolerance"]
    if tolerance.get("range"):
        return bool(expected[0] <= value <= expected[1])
    if tolerance.get("exact"):
        return bool(value == expected)
    room = tolerance.get("rel", 0) * abs(expected) + tolerance.get("abs", 0)
    return bool(abs(value - expected) <= room)
