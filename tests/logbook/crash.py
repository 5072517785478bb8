"""A writer that is killed: writes one entry after another, or whole files, and says when each is safe.

``python -m tests.logbook.crash BOOK add|import START``: a line ``done N`` follows each write that
was acknowledged. A file holds `ROWS` entries.
"""

from __future__ import annotations

import itertools
import os
import random
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from console.logbook import Entry, Logbook

ROWS = 40
START = datetime(2026, 1, 1, tzinfo=UTC)


def entry(number: int) -> Entry:
    """Entry ``number``: its value says which it is."""
    at = START + timedelta(minutes=number)
    return Entry(at, "fill_time", float(number), str(number), "s", si_unit="s", note="n" * (number % 300))


def numbers(kind: str, write: int) -> list[int]:
    """The numbers of the entries of one write."""
    return [write] if kind == "add" else [write * ROWS + row for row in range(ROWS)]


def work(path: Path, kind: str, start: int) -> None:
    """Write until killed."""
    with Logbook(path) as book:
        for write in itertools.count(start):
            book.add(entry(number) for number in numbers(kind, write))
            os.write(1, f"done {write}\n".encode())


def kill_and_look(path: Path, kind: str, start: int, seed: int) -> int:
    """Let a writer run, kill it at a random moment, and look; the number of the next write.

    Asserts that the file opens, that every acknowledged entry is there, once, and that of a
    write that was cut off there is all or nothing.
    """
    writer = subprocess.Popen(
        [sys.executable, "-m", "tests.logbook.crash", str(path), kind, str(start)], stdout=subprocess.PIPE
    )
    assert writer.stdout is not None
    writer.stdout.readline()  # it is at work: the moment is random within writes, not within the start
    time.sleep(random.Random(seed).uniform(0, 0.05))
    writer.send_signal(signal.SIGKILL)
    said = writer.communicate()[0].decode()
    assert writer.returncode == -signal.SIGKILL
    acknowledged = [
        start,
        *(int(line.split()[1]) for line in said.splitlines() if line.startswith("done ")),
    ]
    with Logbook(path) as book:
        found = [int(each.value) for each in book.readings() if isinstance(each.value, float)]
    assert len(found) == len(set(found)), "doubled"
    there = set(found)
    for write in range(max(acknowledged) + 1):
        assert there >= set(numbers(kind, write)), f"write {write} was acknowledged and is not there"
    rest = there - {number for write in range(max(acknowledged) + 1) for number in numbers(kind, write)}
    assert rest in (set(), set(numbers(kind, max(acknowledged) + 1))), "half a write"
    return max(acknowledged) + (2 if rest else 1)


if __name__ == "__main__":
    work(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
