"""Did unkinking help? The line's own repair, weighed by the log's verdict over the raw-water model."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from console.boatfile import Boat
from console.inference.repairs import judge
from console.logbook import read_csv

Read = Callable[[str], Boat]

BOAT = '[raw_water]\ncontainer = "10 L"\n'
BEFORE, AFTER = ("2026-07-01", "2026-07-04", "2026-07-07"), ("2026-07-09", "2026-07-12", "2026-07-15")


def log(folder: Path, before: tuple[int, ...], after: tuple[int, ...]) -> Path:
    """A bucket timed on days the basket was cleaned, and work on the line between."""
    lines = ["at,reading,value,unit,note"]
    for days, seconds in ((BEFORE, before), (AFTER, after)):
        for day, taken in zip(days, seconds, strict=True):
            lines += [f"{day}T09:00,cleaned_strainer,,,", f"{day}T14:00,fill_time,{taken},s,"]
    path = folder / "log.csv"
    path.write_text("\n".join([*lines, "2026-07-08,repair,line,,", ""]), "utf-8")
    return path


@pytest.mark.parametrize(
    ("after", "word"), [((29, 30, 29), "helped"), ((44, 42, 43), "no detectable change")]
)
def test_the_bucket_before_and_after_says_whether_work_on_the_line_helped(
    read: Read, tmp_path: Path, after: tuple[int, ...], word: str
) -> None:
    boat = read(BOAT)
    made = judge(boat, read_csv(log(tmp_path, (43, 44, 42), after), boat))
    assert made.verdict == word
    assert made.size > 100
    assert made.figure == "raw_water.restriction"
    if word == "helped":
        assert made.change[2] < -0.2
