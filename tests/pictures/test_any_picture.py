"""What holds for every kind of picture, at any size and with any values."""

from __future__ import annotations

import dataclasses
import math
import subprocess
import sys
import time
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from console.contract import (
    AirChart,
    AirState,
    Arrow,
    Bar,
    Bars,
    Curve,
    CutBox,
    Distribution,
    LinePart,
    Listing,
    ListRow,
    Picture,
    Series,
    Stack,
    Timeline,
    Urgency,
    WaterLine,
)
from console.pictures import DARK, PALETTES, draw, summary
from console.quantities import STYLES
from tests.pictures.reading import Drawn, cells_of
from tests.pictures.samples import SAMPLES

EVERY = pytest.mark.parametrize("name", SAMPLES)
SIZES = pytest.mark.parametrize(
    ("width", "height"), [(76, 10), (116, 16), (160, 50), (40, 8), (30, 3), (1, 1)]
)
HOSTILE = "x kW] [/ [bold red]a\x1b[31m\r\n\t\u202e漢字é\u0301 [°F] [%]"

VALUES = st.one_of(
    st.floats(-1e6, 1e6),
    st.sampled_from([0.0, -0.0, math.nan, math.inf, -math.inf, 1e-320, 1e-12, 1e29, 1e300, -1e300]),
)
LABELS = st.one_of(st.text(max_size=30), st.just(HOSTILE), st.just(""))
STYLE = st.sampled_from([*STYLES, "no_such_style"])


def rows(count: int) -> st.SearchStrategy[tuple[float, ...]]:
    return st.lists(VALUES, min_size=0, max_size=count).map(tuple)


def constant_or(count: int) -> st.SearchStrategy[tuple[float, ...]]:
    return st.one_of(rows(count), VALUES.map(lambda value: (value,) * count))


SERIES = st.builds(Series, LABELS, constant_or(26), st.one_of(st.just(()), constant_or(26)),
                   st.one_of(st.just(()), constant_or(26)))  # fmt: skip
MANY_SERIES = st.lists(SERIES, max_size=5).map(tuple)
HOUR_ROWS = st.one_of(st.just(tuple(h + 0.5 for h in range(24))), constant_or(24), st.just((12.0,)))
TIME = st.floats(1.7e9, 1.9e9)
TIMES = st.one_of(st.lists(TIME, max_size=26).map(tuple), rows(26))
ZONES = st.sampled_from(
    ["UTC", "America/New_York", "Australia/Lord_Howe", "Europe", "../etc/passwd", "no/zone"]
)
PICTURES: st.SearchStrategy[Picture] = st.one_of(
    st.builds(Stack, LABELS, STYLE, HOUR_ROWS, MANY_SERIES, MANY_SERIES, rows(5), LABELS),
    st.builds(Bars, LABELS, STYLE,
              st.lists(st.builds(Bar, LABELS, VALUES, st.none() | VALUES, st.none() | VALUES, LABELS), max_size=12)
              .map(tuple)),
    st.builds(WaterLine, LABELS,
              st.lists(st.builds(LinePart, LABELS, st.sampled_from(["intake", "hose", "kink", "pump", "overboard",
                                                                    "strainer", "what"]), VALUES, VALUES, LABELS),
                       max_size=30).map(tuple), VALUES, VALUES),
    st.builds(CutBox, LABELS, STYLE, st.sampled_from(["lid", "door"]),
              st.lists(st.builds(Arrow, st.sampled_from(["lid", "front", "hull", "sides", "bottom", "drain",
                                                         "inside"]), LABELS, VALUES,
                                 st.sampled_from(["heat", "vapour"])), max_size=14).map(tuple),
              VALUES, VALUES, VALUES, VALUES, VALUES),
    st.builds(Curve, LABELS, STYLE | st.just("clock"), STYLE, constant_or(26), MANY_SERIES, LABELS, LABELS,
              st.lists(st.tuples(LABELS, VALUES), max_size=3).map(tuple)),
    st.builds(Distribution, LABELS, STYLE, MANY_SERIES, st.none() | st.tuples(LABELS, VALUES)),
    st.builds(AirChart, LABELS,
              st.lists(st.builds(AirState, LABELS, VALUES | st.floats(250, 330), VALUES | st.floats(0, 0.05)),
                       max_size=12).map(tuple),
              st.lists(st.tuples(st.integers(-2, 12), st.integers(-2, 12)), max_size=5).map(tuple),
              VALUES | st.just(101325.0)),
    st.builds(Listing, LABELS, st.lists(LABELS, max_size=5).map(tuple),
              st.lists(st.builds(ListRow, st.lists(LABELS | st.text("ab ", max_size=90), max_size=6).map(tuple),
                                 st.none() | st.sampled_from(Urgency)), max_size=12).map(tuple), LABELS),
    st.builds(Timeline, LABELS, STYLE, TIMES, MANY_SERIES,
              st.lists(st.tuples(VALUES | TIME, LABELS), max_size=6).map(tuple), LABELS | ZONES),
)  # fmt: skip


def check_fits(picture: Picture, width: int, height: int, **more: Any) -> list[str]:
    """Draw, and hold what every drawing must hold."""
    texts = draw(picture, width, height, more.pop("system", "si"), more.pop("palette", DARK), **more)
    assert len(texts) <= max(height, 0)
    for text in texts:
        assert text.cell_len <= width
        assert text.plain.isprintable()
        assert len(cells_of(text, DARK)) == text.cell_len
    return [text.plain for text in texts]


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(
    PICTURES, st.integers(-1, 130), st.integers(-1, 30), st.sampled_from(["us", "si"]),
    st.sampled_from(list(PALETTES.values())), st.booleans(),
)  # fmt: skip
def test_any_picture_of_any_values_fits_its_size_and_raises_nothing(
    picture: Picture, width: int, height: int, system: str, palette: Any, ascii_only: bool
) -> None:
    lines = check_fits(picture, width, height, system=system, palette=palette, ascii_only=ascii_only)
    if ascii_only:
        assert all(line.isascii() for line in lines)


@EVERY
@SIZES
def test_every_picture_fits_every_size(name: str, width: int, height: int) -> None:
    assert check_fits(SAMPLES[name], width, height)


@EVERY
@pytest.mark.parametrize(("width", "height"), [(76, 10), (116, 16)])
def test_a_plain_terminal_gets_ascii_alone(name: str, width: int, height: int) -> None:
    lines = check_fits(SAMPLES[name], width, height, ascii_only=True)
    assert all(line.isascii() for line in lines)


@EVERY
def test_a_picture_without_room_says_its_sentence(name: str) -> None:
    lines = check_fits(SAMPLES[name], 120, 1, system="us")
    said = summary(SAMPLES[name], "us")
    assert lines == [said] or (lines[0].endswith("…") and said.startswith(lines[0][:-1].rstrip()))


@EVERY
def test_the_sentence_begins_with_the_title_and_says_a_number(name: str) -> None:
    said = summary(SAMPLES[name], "si")
    assert said.startswith(f"{SAMPLES[name].title}: ")
    assert any(char.isdigit() for char in said)


@EVERY
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_the_same_picture_is_the_same_in_every_palette_but_for_colour(name: str, palette: Any) -> None:
    assert Drawn(SAMPLES[name], 116, 16, palette).lines == Drawn(SAMPLES[name], 116, 16).lines


@EVERY
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_every_colour_drawn_is_the_palettes_own(name: str, palette: Any) -> None:
    names = ("background", "ink", "strong", "muted", "good", "warn", "bad", "water", "frost", "wall", "heat",
             "vapour", "line", "rest")  # fmt: skip
    own = {getattr(palette, n) for n in names} | set(palette.fills) | set(palette.curves) | {""}
    for row in Drawn(SAMPLES[name], 116, 16, palette).rows:
        assert {cell.fore for cell in row} | {cell.back for cell in row} <= own


@EVERY
@pytest.mark.parametrize("width", [76, 116])
def test_text_from_records_comes_out_as_text(name: str, width: int) -> None:
    picture: Any = SAMPLES[name]
    hostile = dataclasses.replace(picture, title=HOSTILE)
    for field in ("layers", "lines", "series", "groups", "bars", "parts", "arrows", "states"):
        if hasattr(picture, field):
            items = tuple(dataclasses.replace(item, label=HOSTILE) for item in getattr(picture, field))
            hostile = dataclasses.replace(hostile, **{field: items})
    if hasattr(picture, "rows"):
        hostile = dataclasses.replace(hostile, heads=(HOSTILE, HOSTILE),
                                      rows=tuple(ListRow((HOSTILE, HOSTILE), r.urgency) for r in picture.rows))  # fmt: skip
    lines = check_fits(hostile, width, 16)
    assert lines[0].startswith("x kW] [/ [bold red]a?[31m")
    assert not any("\x1b" in line or "\u202e" in line for line in lines)
    assert sum("[/" in line for line in lines) > 1
    assert width < 100 or "漢字é" in lines[0]


def test_what_is_no_picture_is_refused() -> None:
    with pytest.raises(KeyError):
        draw("no picture", 76, 10, "si", DARK)  # type: ignore[arg-type]


@EVERY
def test_drawing_takes_no_more_than_a_few_milliseconds(name: str) -> None:
    draw(SAMPLES[name], 116, 20, "us", DARK)  # imports and unit factors come once
    best = math.inf
    for _ in range(30):
        began = time.process_time()  # our own time, whatever else the machine is doing
        draw(SAMPLES[name], 116, 20, "us", DARK)
        best = min(best, time.process_time() - began)
    assert best < 0.005


def test_importing_pictures_brings_in_nothing_heavy() -> None:
    code = (
        "import sys; import console.pictures; "
        "print([m for m in ('numpy', 'textual', 'rich', 'pint', 'matplotlib', 'textual_plot') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_drawing_never_brings_in_the_screens() -> None:
    code = (
        "import sys; from console.pictures import draw, DARK; from tests.pictures.samples import SAMPLES\n"
        "for picture in SAMPLES.values(): draw(picture, 116, 16, 'us', DARK)\n"
        "print([m for m in ('textual', 'matplotlib', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
