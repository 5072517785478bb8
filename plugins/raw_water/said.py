"""What both cards start from: does the bucket add up, what would each job give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from console.contract import Answer, Urgency
from plugins.raw_water.geometry import LINE
from plugins.raw_water.words import FAULTS, LOOK_FIRST, Fault

if TYPE_CHECKING:
    from console.contract import Array, Findings

BEYOND_LABEL = 1.4
"""Times the pump's largest flow beyond which a bucket is doubted: a label is seldom a third short."""


def does_not_add_up(found: Findings) -> Answer | None:
    """The answer when the bucket fills faster than the pump could fill it with no line at all."""
    most = float(found.daily("raw_water.free_flow")[0])
    for path in ("raw_water.fill_time", "raw_water.fill_time_now"):
        if not found.given(path):
            continue
        bucket = float(found.number("raw_water.container")[0] / found.number(path)[0])
        if bucket > BEYOND_LABEL * most:
            return Answer(
                f"Does not add up: the bucket says {found.say(bucket, 'flow')}, and the pump gives "
                f"{found.say(most, 'flow')} with nothing in its way.", Urgency.UNKNOWN,
                next="Check the bucket's size and its seconds, then the pump's label; until then nothing is claimed.",
            )  # fmt: skip
    return None


def part_at(found: Findings, part: str) -> str:
    """Path of the first item of a part."""
    return next(item for item in found.items(LINE) if found.text(f"{item}.part") == part)


def regained(found: Findings) -> list[tuple[str, Array]]:
    """(fault, flow it would give back in every draw), the largest first; none that gives nothing."""
    gains = [(name.rsplit(".", 1)[-1], found.daily(name)) for name in found.family("raw_water.regain")]
    clean = float(found.daily("raw_water.clean_flow")[0])
    worth = [(fault, rows) for fault, rows in gains if float(rows[0]) > 0.01 * clean]
    return sorted(worth, key=lambda pair: -float(pair[1][0]))


def both_regained(found: Findings) -> tuple[tuple[str, str], Array] | None:
    """The two jobs that give back most together, the better one first, and what they give."""
    for name in found.family("raw_water.regain_both"):
        one, other = name.rsplit(".", 1)[-1].split("_and_")
        alone = {job: float(found.daily(f"raw_water.regain.{job}")[0]) for job in (one, other)}
        first, second = sorted(alone, key=lambda job: -alone[job])
        return (first, second), found.daily(name)
    return None


def is_basket_seen(found: Findings) -> bool:
    """Whether the owner has said how the strainer's basket is."""
    return found.given(f"{part_at(found, 'strainer')}.blocked")


def search(found: Findings, fault: str) -> Fault:
    """What to do about a fault: the unexplained begins at the strainer, until that was looked at."""
    return LOOK_FIRST if fault == "rest" and not is_basket_seen(found) else FAULTS[fault]
