"""What is wrong with a line, each in one sentence."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any


def quoted(given: Any) -> str:
    """What was given, safe to print: escaped, one line, not too long."""
    word = str(given)
    return word if word.isidentifier() and len(word) <= 40 else repr(given)[:40]


def listed(words: list[str]) -> str:
    """Words as a list is said: ``"a, b and c"``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def no_such_field(part: str, key: str, fields: Mapping[str, Sequence[str]]) -> str:
    """A field the part does not have; ``fields`` are those of every part."""
    owners = [name for name, known in fields.items() if key in known]
    near = get_close_matches(key, fields[part], 1)
    article = "an" if part[0] in "aio" else "a"
    sentence = f"{article} {part} has no field {quoted(key)}"
    if near:
        return f"{sentence}; did you mean {near[0]}?"
    if owners:
        return f"{sentence}; it belongs to {listed(owners)}"
    return f"{sentence}; accepted are {', '.join(fields[part])}"


def no_such_part(number: int, part: Any, parts: Sequence[str]) -> str:
    """A part that is not known, or that is missing."""
    accepted = ", ".join(parts)
    if part is None:
        return f"item {number} of the line does not say its part; accepted is part = one of {accepted}"
    near = get_close_matches(str(part), parts, 1)
    hint = f"did you mean {near[0]}?" if near else f"accepted are {accepted}"
    return f"item {number} of the line: there is no part {quoted(part)}; {hint}"


def too_many(parts: Sequence[str]) -> str:
    """A line with a second one of what there can be one of; empty when it is none such."""
    for part, why in (
        ("pump", "it has one pump; describe the line of each pump in a file of its own"),
        ("intake", "the water comes in by one intake"),
        ("overboard", "the water leaves by one overboard"),
    ):
        count = sum(1 for one in parts if one == part)
        if count > 1:
            return f"the line lists {count} of {part}; {why}"
    if "overboard" in parts and parts[-1] != "overboard":
        return f"the line goes on to a {parts[-1]} after the overboard; list the parts in the order the water goes"
    if "intake" in parts and parts[0] != "intake":
        return f"the line begins with a {parts[0]} before the intake; list the parts in the order the water goes"
    return ""


def bad_curve(points: Sequence[tuple[float, float]], max_head: float | None, max_flow: float | None) -> str:
    """What is wrong with the points (m³/s, m) of a pump's curve; empty when nothing is."""
    if not points:
        return ""
    ends = [*([(0.0, max_head)] if max_head is not None else []), *([(max_flow, 0.0)] if max_flow else [])]
    lowest, highest = min(points), max(points)
    if max_head is not None and lowest[0] > 0 and max_head <= lowest[1]:
        return "its max_head is not above the first point of its curve; the head at no flow is the largest"
    if max_head is not None and lowest[0] <= 0 and abs(max_head - lowest[1]) > 0.02 * max_head:
        return "its max_head and its curve's head at no flow differ; give one of the two"
    if max_flow is not None and highest[1] > 0 and max_flow <= highest[0]:
        return "its max_flow is not beyond the last point of its curve; the flow at no head is the largest"
    distinct = sorted(set(points) | {end for end in ends if lowest[0] > 0 or end[0] > 0})
    if len(distinct) < 2:
        return "its curve has one point; give two or more, or max_head and max_flow beside it"
    for (flow, head), (more, less) in itertools.pairwise(distinct):
        if more <= flow:
            return "its curve has two heads at one flow; give each flow once"
        if less >= head:
            return "its curve does not fall: a pump gives less head at more flow, so look at the order of the two"
    return ""
