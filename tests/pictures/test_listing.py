from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.contract import Listing, ListRow, Urgency
from console.pictures import PALETTES, rows_wanted, summary
from console.pictures.listing import shared_widths
from console.pictures.urgency import ASCII_MARKS, COLOURS, MARKS, WORDS
from console.tui.words import URGENCY_MARKS, URGENCY_WORDS
from tests.pictures.reading import Drawn
from tests.pictures.samples import JOBS

WIDTHS = pytest.mark.parametrize("width", [24, 30, 44, 56, 70, 110])


def whole(picture: Listing, width: int, **more: object) -> Drawn:
    return Drawn(picture, width, rows_wanted(picture, width, 16, "si"), **more)  # type: ignore[arg-type]


def words_of(drawn: Drawn) -> list[str]:
    return drawn.text.replace(":", " ").split()


@WIDTHS
def test_no_word_of_a_list_is_lost_at_any_width(width: int) -> None:
    found = words_of(whole(JOBS, width))
    for row in JOBS.rows:
        for cell in row.cells:
            for word in cell.replace(":", " ").split():
                assert word in found, (word, width)
    assert "…" not in found


@given(st.lists(st.lists(st.text("abcd ", max_size=60), min_size=1, max_size=5), min_size=1, max_size=6),
       st.integers(24, 120))  # fmt: skip
def test_every_letter_of_any_list_is_drawn(rows: list[list[str]], width: int) -> None:
    picture = Listing("T", (), tuple(ListRow(tuple(row)) for row in rows))
    drawn = whole(picture, width)
    assert sorted("".join(drawn.lines[1:]).replace(" ", "")) == sorted(
        "".join(text for row in rows for text in row).replace(" ", "")
    )


@WIDTHS
def test_each_row_begins_with_the_mark_of_its_urgency(width: int) -> None:
    drawn = whole(JOBS, width)
    begun = [line[0] for line in drawn.lines[1:] if line and line[0] in "■▲?●○"]
    assert begun[:5] == ["■", "▲", "?", "●", "○"]


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_marks_differ_in_shape_and_are_explained_in_words(palette: object) -> None:
    drawn = whole(JOBS, 70, palette=palette)
    for urgency in Urgency:
        assert f"{MARKS[urgency]} {WORDS[urgency]}" in drawn.text
        row = next(
            cells
            for line, cells in zip(drawn.lines, drawn.rows, strict=True)
            if line.startswith(MARKS[urgency])
        )
        assert row[0].fore == drawn.palette.colour(COLOURS[urgency])
    assert len(set(MARKS.values())) == len(set(ASCII_MARKS.values())) == len(Urgency)


def test_the_marks_are_those_of_the_screens() -> None:
    assert MARKS == URGENCY_MARKS
    assert {u: w.lower() for u, w in URGENCY_WORDS.items()} == WORDS


def test_columns_stand_under_their_heads() -> None:
    drawn = whole(JOBS, 110)
    for head, cell in (("gives back", "0.6 gal/min"), ("time", "40 min"), ("who", "you, gloves on")):
        column = drawn.lines[1].index(head)
        assert drawn.lines[drawn.row_with(cell)].index(cell) == column


def test_rows_without_room_are_counted() -> None:
    drawn = Drawn(JOBS, 110, 6)
    assert len(drawn.lines) == 6
    assert "and 3 more" in drawn.text
    assert "Clean the sea strainer" in drawn.text


def test_the_sentence_says_how_many_and_the_worst() -> None:
    said = summary(JOBS, "us")
    assert "5 rows" in said
    assert "1 act now" in said
    assert said.index("Clean the sea strainer") > 0


def test_a_list_without_urgency_has_no_column_for_marks() -> None:
    plain = dataclasses.replace(JOBS, rows=tuple(dataclasses.replace(r, urgency=None) for r in JOBS.rows))
    assert whole(plain, 110).lines[1].startswith("job")


@given(st.lists(st.floats(0, 80), min_size=1, max_size=6), st.floats(0, 200))
def test_shared_widths_fill_no_more_than_the_room(natural: list[float], room: float) -> None:
    least = [min(n, 12.0) for n in natural]
    widths = shared_widths(natural, least, room)
    if widths is None:
        assert sum(least) > room
        return
    assert sum(widths) <= room + 1e-6 or widths == natural
    assert all(m - 1e-9 <= w <= n + 1e-9 for w, n, m in zip(widths, natural, least, strict=True))
