"""The paper sheet: one page a system, everything on it, nothing cut off."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import pytest

from console.boatfile import Boat
from console.logbook import LogError
from console.logbook.catalogue import catalogue_of
from console.logbook.sheet import (
    HEIGHT,
    WIDTH,
    Sheet,
    SheetRow,
    sheet_html,
    sheet_of,
    sheet_text,
    systems,
)

VOID = {"meta"}


class Tags(HTMLParser):
    """Checks that tags nest; gathers the words."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def pages(boat: Boat) -> list[Sheet]:
    return [sheet_of(boat, key, "us") for key in systems(boat)]


def test_every_system_with_readings_has_a_page(boat: Boat) -> None:
    assert {"cold_box", "raw_water"} <= set(systems(boat))


def test_a_page_of_text_fits_on_paper_and_names_every_reading(boat: Boat) -> None:
    words = catalogue_of(boat.registry).words.values()
    for sheet in pages(boat):
        lines = sheet_text(sheet).splitlines()
        assert len(lines) <= HEIGHT, sheet.system
        assert max(map(len, lines)) <= WIDTH
        text = "\n".join(lines)
        for word in words:
            if sheet.key in word.owners and not word.event:
                assert word.title[:28] in text, word.name
            if sheet.key in word.owners and word.event:
                assert word.title in " ".join(text.split())
        for caution in sheet.cautions:
            assert caution in " ".join(text.split()).replace("\n", " ")


def test_a_page_says_the_units_the_owner_reads(boat: Boat) -> None:
    assert "°F" in sheet_text(sheet_of(boat, "cold_box", "us"))
    assert "°C" in sheet_text(sheet_of(boat, "cold_box", "si"))


def test_the_html_is_whole_and_fetches_nothing_and_has_a_page_each(boat: Boat) -> None:
    text = sheet_html(pages(boat))
    tags = Tags()
    tags.feed(text)
    assert tags.open == []
    assert text.count("<section>") == len(systems(boat))
    assert "http" not in text
    assert "src=" not in text
    for sheet in pages(boat):
        for row in sheet.rows:
            assert row.title in "".join(tags.words)


def test_the_rows_of_the_html_fit_the_height_of_the_paper(boat: Boat) -> None:
    import re

    for sheet in pages(boat):
        heights = [
            float(found)
            for found in re.findall(r"height:([\d.]+)mm", sheet_html([sheet]).split("<section>")[1])
        ]
        assert sum(heights) < 240, sheet.system


def test_a_boats_name_is_text_in_html(boat: Boat) -> None:
    sheet = replace(pages(boat)[0], boat="<script>x</script>", rows=(SheetRow("<b>", "&"),))
    assert "<script>" not in sheet_html([sheet])
    assert "<b>" not in sheet_html([sheet])


def test_an_unknown_system_is_refused_with_those_there_are(boat: Boat) -> None:
    with pytest.raises(LogError, match="cold_box"):
        sheet_of(boat, "sails", "us")
