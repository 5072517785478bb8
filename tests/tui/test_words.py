"""Text made safe, and the words for what is uncertain."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.content import Content

from console.boatfile import load
from console.engine.outcome import Figure
from console.pictures import contrast
from console.registry import Registry
from console.tui.themes import THEMES, next_theme
from console.tui.words import (
    change_text,
    figure_text,
    how_sure,
    input_text,
    line,
    plain,
    safe,
    sentence,
    short,
)
from tests.tui.sample import NASTY


@given(st.text())
def test_safe_text_holds_nothing_a_terminal_would_obey(text: str) -> None:
    assert safe(text).isprintable()
    assert all(part.isprintable() for part in safe(text, lines=True).split("\n"))


@given(st.text(st.characters(categories=["L", "N", "P", "S"])))
def test_printable_text_is_kept_letter_for_letter(text: str) -> None:
    kept = "".join(char for char in text if char.isprintable())
    assert safe(kept) == kept
    assert plain(kept).plain == kept


def test_markup_in_data_is_text() -> None:
    assert plain("x [kW] [/").plain == "x [kW] [/"
    assert line("[b]", ("[/b]", "bold")).plain == "[b][/b]"
    assert isinstance(plain(NASTY), Content)
    assert "\x1b" not in plain(NASTY).plain


@given(st.text(), st.integers(1, 60))
def test_short_text_fits_its_cells(text: str, width: int) -> None:
    assert cell_len(short(text, width)) <= width


def test_a_sentence_begins_with_a_capital_and_ends_once() -> None:
    assert sentence("it broke") == "It broke."
    assert sentence("it broke.") == "It broke."
    assert sentence("did it\nbreak?") == "Did it break?"


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.9, "sure: nine times in ten"),
        (0.5, "sure: about even"),
        (0.44, "sure: about even"),
        (None, ""),
        (math.nan, ""),
    ],
)
def test_how_sure_is_said_in_words(share: float | None, words: str) -> None:
    assert how_sure(share) == words


def _flow(value: float | None, low: float | None = None, high: float | None = None) -> Figure:
    return Figure("f", "m**3/s", "flow", "flow", value, low, high)


def test_a_change_is_said_old_to_new_with_one_unit_and_the_new_range() -> None:
    gpm = 6.30902e-5
    before, now = _flow(2 * gpm, gpm, 3 * gpm), _flow(4 * gpm, 3 * gpm, 5 * gpm)
    assert change_text(before, now, "us") == "2.0 → 4.0 gal/min (3.0 to 5.0)"
    assert change_text(now, now, "us") == "4.0 gal/min (3.0 to 5.0)"
    assert change_text(before, _flow(None), "us") == "2.0 gal/min → no number"
    assert change_text(None, now, "us") == "4.0 gal/min (3.0 to 5.0)"
    assert figure_text(_flow(None), "us") == ""


@pytest.mark.parametrize(
    ("path", "us", "si"),
    [
        ("sample.depth", "6.0 in ± 1.0 in", "150 mm ± 25 mm"),
        ("sample.leak", "0.50 gal/min ± 60 %", "1.9 L/min ± 60 %"),
        ("sample.water", "75 °F ± 4.0 °F", "24 °C ± 2.2 °C"),
        ("sample.kind", "diaphragm", "diaphragm"),
        ("sample.alarmed", "yes", "yes"),
        ("sample.seen", "none", "none"),
        ("sample.worked", "worked out from the rest", "worked out from the rest"),
    ],
)
def test_an_input_is_shown_with_its_spread_in_the_chosen_units(
    path: str, us: str, si: str, boat_file: Path, sample: Registry
) -> None:
    item = load(boat_file, sample).inputs[path]
    assert input_text(item, "us") == us
    assert input_text(item, "si").replace("152", "150") == si


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_theme_can_be_read(theme: object) -> None:
    """WCAG 2.2: 4.5:1 for text (success criterion 1.4.3), 3:1 for marks (1.4.11)."""
    names = theme.variables  # type: ignore[attr-defined]
    for ground in (theme.background, theme.surface, theme.panel):  # type: ignore[attr-defined]
        for name in ("text", "act", "watch", "unknown", "fine", "key"):
            assert contrast(names[name], ground) >= 4.5, (name, ground)
        assert contrast(names["quiet"], ground) >= 3.0, ("quiet", ground)
    assert contrast(names["rule"], theme.background) >= 3.0  # type: ignore[attr-defined]
    assert contrast(names["text"], names["block-cursor-background"]) >= 4.5


def test_the_night_theme_is_red_alone() -> None:
    night = next(theme for theme in THEMES if theme.name == "night")
    for name, colour in night.variables.items():
        if colour.startswith("#"):
            red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
            assert green <= red / 2 + 1, name
            assert blue <= red / 2 + 1, name


def test_the_theme_key_goes_round() -> None:
    assert [next_theme(theme.name) for theme in THEMES] == ["light", "night", "dark"]
