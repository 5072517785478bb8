"""Long titles: broken over rows, never cut while there are rows."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from console.pictures import DARK, draw, rows_wanted
from console.pictures.words import cells
from tests.pictures.reading import Drawn
from tests.pictures.samples import SAMPLES

LONG = "What the cabin takes in over the whole of a hot July day with the awning down and the hatches open"


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("width", [56, 60, 76, 116])
def test_a_long_title_is_broken_not_cut(name: str, width: int) -> None:
    picture: Any = dataclasses.replace(SAMPLES[name], title=LONG)  # type: ignore[arg-type]
    height = rows_wanted(picture, width, 16, "us")
    drawn = Drawn(picture, width, height, system="us")
    begun = " ".join(" ".join(drawn.lines[:3]).split())
    for word in LONG.split():
        assert word in begun.replace(",", " ").replace(":", " ").split(), word
    assert len(drawn.lines) <= height


@pytest.mark.parametrize("name", SAMPLES)
def test_a_short_title_takes_one_row_as_before(name: str) -> None:
    picture: Any = dataclasses.replace(SAMPLES[name], title="Short")  # type: ignore[arg-type]
    assert Drawn(picture, 76, 16).lines[0].startswith("Short")
    assert "Short" not in Drawn(picture, 76, 16).lines[1]


def test_with_too_few_rows_the_picture_comes_before_the_title() -> None:
    picture: Any = dataclasses.replace(SAMPLES["charge"], title=LONG)  # type: ignore[arg-type]
    lines = [text.plain for text in draw(picture, 56, 6, "us", DARK)]
    assert lines[0].endswith("…") or cells(lines[0]) <= 56
    assert any("┤" in line for line in lines)
