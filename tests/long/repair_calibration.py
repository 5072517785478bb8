"""How often the verdict on a repaired seal is right, over invented boxes; the table of DEVELOPERS.md.

``python -m tests.long.repair_calibration [--logs N] [--only WORDS]`` prints it. The boxes are those of
`tests.inference.ice_box`, which share nothing with the model that judges them.
"""

from __future__ import annotations

import argparse
import json
import zlib
from dataclasses import dataclass
from pathlib import Path

from console.boatfile import Boat, loads
from console.inference.repairs import judge
from console.registry import discover
from tests.inference.ice_box import BOAT, HALVED, ROWS, Row, log_of_box


@dataclass
class Tally:
    """Of one kind of log: how often the range held the truth, and what was said."""

    logs: int = 0
    held: int = 0
    changed: int = 0
    held_changed: int = 0
    unchanged: int = 0
    false_helped: int = 0
    helped: int = 0
    right_helped: int = 0
    worse: int = 0
    refused: int = 0

    def add(self, truth: float, said: str, low: float, high: float, size: float) -> None:
        """Count one log."""
        change = truth - 1.0
        held = low - 1e-9 <= change <= high + 1e-9
        self.logs += 1
        self.held += held
        if change:
            self.changed += 1
            self.held_changed += held
        none = change > -0.2
        self.unchanged += none
        self.helped += said == "helped"
        self.false_helped += none and said == "helped"
        self.right_helped += not none and said == "helped"
        self.worse += said == "got worse" and change < 0.2
        self.refused += size < 100


def seed_of(row: Row, number: int) -> int:
    """The same log for the same row and number, today and tomorrow."""
    return zlib.crc32(row.name.encode()) % 100_000 * 1000 + number


def run(boat: Boat, row: Row, logs: int, ratio: float | None = None, tell: Path | None = None) -> Tally:
    """Judge so many logs of a row."""
    made = Tally()
    for number in range(logs):
        truth = log_of_box(row, seed_of(row, number), ratio)
        found = judge(boat, truth.entries)
        made.add(truth.ratio, found.verdict, found.change[1], found.change[2], found.size)
        if tell is not None:
            with tell.open("a") as file:
                file.write(json.dumps([row.name, number, truth.ratio, found.verdict, found.probability_helped,
                                       found.probability_same, *found.change, found.size]) + "\n")  # fmt: skip
    return made


def line(row: Row, made: Tally, power: bool) -> str:
    """A row of the table."""
    held = f"{made.held / made.logs:.0%}"
    false = f"{made.false_helped} of {made.unchanged}" if made.unchanged else "-"
    found = f"{made.right_helped} of {made.logs - made.unchanged}" if made.logs > made.unchanged else "-"
    return f"| {row.name} | {made.logs} | {'-' if power else held} | {false} | {made.worse} | {found} | {made.refused} |"


HEAD = (
    "| logs | number | 90 % range holds the truth | false *helped* | false *got worse* | "
    "found of those better by a fifth or more | refused |\n|---|---|---|---|---|---|---|"
)


def boat_judged() -> Boat:
    """The boat whose logs these are taken to be."""
    return loads(BOAT, discover())


def main() -> None:
    """Print the table, row by row."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--logs", type=int, default=200)
    asked.add_argument("--only", default="")
    asked.add_argument(
        "--tell", type=Path, default=None, help="a file to which each log's verdict is added"
    )
    given = asked.parse_args()
    boat = boat_judged()
    print(HEAD, flush=True)
    for row in ROWS:
        if given.only in row.name:
            print(line(row, run(boat, row, given.logs, tell=given.tell), False), flush=True)
    for row, ratio in HALVED:
        if given.only in row.name:
            print(line(row, run(boat, row, given.logs, ratio, given.tell), True), flush=True)


if __name__ == "__main__":
    main()
