"""The line of a boat whose file lists none, or not all of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

WHOLE_LINE: tuple[dict[str, str], ...] = (
    {"part": "intake"},
    {"part": "seacock"},
    {"part": "hose", "name": "seacock to strainer", "length": "3 ft ± 50 %"},
    {"part": "strainer"},
    {"part": "hose", "name": "strainer to pump", "length": "2 ft ± 50 %"},
    {"part": "pump"},
    {"part": "hose", "name": "pump to unit", "length": "8 ft ± 50 %"},
    {"part": "condenser"},
    {"part": "hose", "name": "unit to overboard", "length": "8 ft ± 50 %"},
    {"part": "overboard"},
)
"""The line of a boat whose file has none."""

_SUCTION = ("intake", "seacock", "strainer")


def part_of(item: Any) -> str:
    """Which part an item is: as the file has it, or as already read."""
    return str(item.get("part", "") if isinstance(item, Mapping) else getattr(item, "part", ""))


def completed_line(given: list[Any]) -> list[Any]:
    """The owner's line with what it lacks put in its place; an empty one becomes `WHOLE_LINE`.

    The owner's own items stay the same objects, in the same order. Every line gets an intake, a
    seacock, a strainer, at least one hose, a pump, a condenser and an overboard, so that each
    fault has a part to act on. Hoses are the owner's to state: none is added to those there are.
    """
    if not given:
        return [dict(item) for item in WHOLE_LINE]
    line = list(given)

    def there(part: str) -> bool:
        return any(part_of(item) == part for item in line)

    def after_last(*parts: str) -> int:
        return max((place + 1 for place, item in enumerate(line) if part_of(item) in parts), default=0)

    def after_hose(place: int) -> int:
        return place + 1 if place < len(line) and part_of(line[place]) == "hose" else place

    if not there("intake"):
        line.insert(0, {"part": "intake"})
    if not there("seacock"):
        line.insert(after_last("intake"), {"part": "seacock"})
    if not there("strainer"):
        line.insert(after_hose(after_last("seacock")), {"part": "strainer"})
    if not there("hose"):
        line.insert(after_last("seacock"), {"part": "hose"})
    if not there("pump"):
        line.insert(after_last(*_SUCTION), {"part": "pump"})
    if not there("condenser"):
        line.insert(after_hose(after_last("pump")), {"part": "condenser"})
    if not there("overboard"):
        line.append({"part": "overboard"})
    return line
