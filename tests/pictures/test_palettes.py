"""Contrast of every palette, by the formula of WCAG 2.2 (relative luminance, contrast ratio)."""

from __future__ import annotations

import pytest

from console.pictures import PALETTES, Palette, contrast
from console.pictures.palettes import MARK_CONTRAST, TEXT_CONTRAST, TEXT_NAMES, mark_names

ALL = pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)


def test_contrast_agrees_with_the_standard_at_its_ends() -> None:
    # WCAG 2.2: black on white is 21:1, a colour on itself 1:1. #767676 on white is the well-known
    # lightest grey that passes 4.5:1 (4.54).
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#336699", "#336699") == pytest.approx(1.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@ALL
def test_text_stands_at_four_and_a_half_to_one(palette: Palette) -> None:
    ratios = {name: contrast(palette.colour(name), palette.background) for name in TEXT_NAMES}
    assert {name: ratio for name, ratio in ratios.items() if ratio < TEXT_CONTRAST} == {}


@ALL
def test_marks_stand_at_three_to_one(palette: Palette) -> None:
    ratios = {name: contrast(palette.colour(name), palette.background) for name in mark_names(palette)}
    assert "fill0" in ratios
    assert "water" in ratios
    assert {name: ratio for name, ratio in ratios.items() if ratio < MARK_CONTRAST} == {}


@ALL
def test_neighbouring_areas_differ_in_lightness(palette: Palette) -> None:
    fills = palette.fills
    pairs = zip(fills, (*fills[1:], fills[0]), strict=True)
    assert min(contrast(one, other) for one, other in pairs) > 1.25


def test_the_night_palette_is_red_alone() -> None:
    night = PALETTES["night"]
    for name in (*TEXT_NAMES, *mark_names(night)):
        colour = night.colour(name)
        red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
        assert red > 1.7 * max(green, blue), name


def test_an_unknown_colour_name_is_refused() -> None:
    with pytest.raises(AttributeError):
        PALETTES["dark"].colour("puce")
    with pytest.raises(AttributeError):
        PALETTES["dark"].colour("ink3")


def test_where_hues_cannot_tell_the_place_of_an_area_does() -> None:
    night, dark = PALETTES["night"], PALETTES["dark"]
    assert night.colour("fill7@0") == night.fills[0]
    assert night.colour("fill7@1") == night.fills[1]
    assert dark.colour("fill7@0") == dark.colour("fill7@1") == dark.fills[7]
