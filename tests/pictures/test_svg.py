"""The SVG twins: well-formed, safe, and every mark where its number says."""

from __future__ import annotations

import dataclasses
import itertools
import math
import re
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from console.contract import ListRow, Picture
from console.pictures import DARK, LIGHT, PALETTES, Palette, contrast, summary
from console.pictures.svg import draw_svg
from console.pictures.svg.style import page_style
from tests.pictures.samples import (
    AIR,
    BUCKETS,
    CABIN_HEAT,
    CAUSES,
    CHARGE,
    FLOWS,
    ICE_BOX,
    JOBS,
    LOSSES,
    SAMPLES,
    SHORE_CURRENT,
    WATER,
)
from tests.pictures.test_any_picture import HOSTILE, PICTURES

EVERY = pytest.mark.parametrize("name", SAMPLES)
_NS = "{http://www.w3.org/2000/svg}"
SHAPES = {"svg", "title", "desc", "style", "rect", "circle", "line", "polyline", "polygon", "text"}


class Sheet:
    """An SVG read back."""

    def __init__(
        self, picture: Picture, system: str = "si", width: int = 720, palette: Palette = LIGHT
    ) -> None:
        self.text = draw_svg(picture, system, palette, width)  # type: ignore[arg-type]
        self.root = ElementTree.fromstring(self.text)

    def all(self, tag: str, *classes: str) -> list[ElementTree.Element]:
        return [e for e in self.root.iter(_NS + tag) if set(classes) <= set(e.get("class", "").split())]

    def said(self, text: str) -> ElementTree.Element:
        found = [e for e in self.all("text") if e.text == text]
        assert found, f"{text!r} is not among {[e.text for e in self.all('text')]}"
        return found[0]

    @property
    def words(self) -> str:
        return "\n".join(e.text or "" for e in self.all("text"))


def at(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def points(element: ElementTree.Element) -> np.ndarray[Any, Any]:
    return np.array([[float(v) for v in p.split(",")] for p in element.get("points", "").split()])


def ticks(sheet: Sheet, upright: bool) -> tuple[float, float]:
    """Slope and offset that turn a number of an axis into a coordinate, from its written ticks."""
    found: dict[float, list[tuple[float, float]]] = {}
    for e in sheet.all("text", "f-muted"):
        text = (e.text or "").replace(",", "")
        if re.fullmatch(r"-?\d+(\.\d+)?", text) and (upright == (e.get("text-anchor") != "middle")):
            where = at(e, "y") - 4 if upright else at(e, "x")
            found.setdefault(at(e, "x" if upright else "y"), []).append((float(text), where))
    best = max(found.values(), key=len)
    slope, offset = np.polyfit(*zip(*best, strict=True), 1)
    return float(slope), float(offset)


def numbers_in(root: ElementTree.Element) -> Iterator[float]:
    for element in root.iter():
        for name in ("x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "width", "height"):
            if element.get(name) is not None:
                yield float(element.get(name, ""))
        for pair in element.get("points", "").split():
            yield from map(float, pair.split(","))


def check_sound(text: str) -> None:
    root = ElementTree.fromstring(text)
    assert {e.tag.removeprefix(_NS) for e in root.iter()} <= SHAPES
    assert all(math.isfinite(v) and abs(v) < 1e5 for v in numbers_in(root))
    width, height = (float(v) for v in root.get("viewBox", "").split()[2:])
    for element in root.iter(_NS + "text"):
        assert -1 <= at(element, "x") <= width + 1
        assert 0 <= at(element, "y") <= height + 1
        assert (element.text or "").isprintable()
    for element in root.iter(_NS + "rect"):
        assert at(element, "x") + at(element, "width") <= width + 1
    assert not any("id" in e.attrib or "href" in e.attrib for e in root.iter())


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(
    PICTURES,
    st.integers(1, 1200),
    st.sampled_from(["us", "si"]),
    st.sampled_from([None, *PALETTES.values()]),
)
def test_any_picture_of_any_values_is_well_formed_and_finite(
    picture: Picture, width: int, system: str, palette: Any
) -> None:
    text = draw_svg(picture, system, palette, width)  # type: ignore[arg-type]
    check_sound(text)
    assert text == draw_svg(picture, system, palette, width)  # type: ignore[arg-type]


@EVERY
@pytest.mark.parametrize("width", [320, 400, 560, 720, 1000])
def test_every_picture_is_sound_at_every_width(name: str, width: int) -> None:
    text = draw_svg(SAMPLES[name], "us", LIGHT, width)
    check_sound(text)
    root = ElementTree.fromstring(text)
    assert float(root.get("width", "")) == width
    box = [float(v) for v in root.get("viewBox", "").split()]
    assert box[3] / box[2] == pytest.approx(float(root.get("height", "")) / width, rel=0.01)


@EVERY
def test_it_says_its_title_and_its_sentence_to_those_who_listen(name: str) -> None:
    sheet = Sheet(SAMPLES[name])
    assert sheet.root.get("role") == "img"
    assert sheet.root.findtext(f"{_NS}title") == SAMPLES[name].title
    assert sheet.root.findtext(f"{_NS}desc") == summary(SAMPLES[name], "si")
    assert sheet.root.get("aria-label") == summary(SAMPLES[name], "si")


@EVERY
def test_text_from_records_comes_out_as_text(name: str) -> None:
    evil = "</text><script>alert(1)</script>&\x00\x1b[31m\u202e\"'"
    picture: Any = SAMPLES[name]
    hostile = dataclasses.replace(picture, title=evil)
    for field in ("layers", "lines", "series", "groups", "bars", "parts", "arrows", "states"):
        if hasattr(picture, field):
            items = tuple(dataclasses.replace(item, label=evil) for item in getattr(picture, field))
            hostile = dataclasses.replace(hostile, **{field: items})
    if hasattr(picture, "rows"):
        rows = tuple(ListRow((evil, HOSTILE), row.urgency) for row in picture.rows)
        hostile = dataclasses.replace(hostile, heads=(evil, evil), rows=rows)
    text = draw_svg(hostile, "us", LIGHT, 720)
    check_sound(text)
    assert "<script" not in text
    assert not re.search(r"[\x00-\x08\x0b-\x1f\u202e]", text)
    assert "&lt;script&gt;" in text


def _colours(css: str, name: str) -> str:
    found = re.search(rf"\.f-{name}{{fill:(#[0-9a-f]{{6}})}}", css)
    assert found, name
    return found[1]


@EVERY
@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_every_figure_stands_at_four_and_a_half_to_one(name: str, palette: Palette) -> None:
    sheet = Sheet(SAMPLES[name], palette=palette)
    css = sheet.root.findtext(f"{_NS}style") or ""
    ground = _colours(css, "background")
    assert ground == palette.background
    for element in sheet.all("text"):
        (fill,) = (c for c in element.get("class", "").split() if c.startswith("f-"))
        if fill != "f-background":
            assert contrast(_colours(css, fill[2:]), ground) >= 4.5, (fill, element.text)
            continue
        # Written on a shape: the last one drawn that holds the place.
        under = _fill_under(sheet, element)
        assert contrast(_colours(css, under), ground) >= 4.5 or len(element.text or "") == 1, (
            under,
            element.text,
        )


def _fill_under(sheet: Sheet, text: ElementTree.Element) -> str:
    x, y = at(text, "x"), at(text, "y") - 4
    found = ""
    for e in sheet.root.iter():
        if e is text:
            break
        fill = next((c[2:] for c in e.get("class", "").split() if c.startswith("f-")), "")
        tag = e.tag.removeprefix(_NS)
        if tag == "rect":
            inside = at(e, "x") <= x <= at(e, "x") + at(e, "width") and at(e, "y") <= y <= at(e, "y") + at(
                e, "height"
            )
        elif tag == "circle":
            inside = math.hypot(at(e, "cx") - x, at(e, "cy") - y) <= at(e, "r")
        elif tag == "polygon":
            inside = _inside(points(e), x, y)
        else:
            continue
        found = fill if inside and fill else found
    return found


def _inside(outline: np.ndarray[Any, Any], x: float, y: float) -> bool:
    crossings = 0
    for (x1, y1), (x2, y2) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            crossings += 1
    return crossings % 2 == 1


def test_a_page_has_light_colours_on_paper_and_dark_ones_on_a_dark_screen() -> None:
    css = page_style()
    light, dark = css.split("@media screen and (prefers-color-scheme:dark)")
    assert _colours(light, "ink") == LIGHT.ink
    assert _colours(dark, "ink") == DARK.ink
    whole = draw_svg(CAUSES, "si")
    assert f"<style>{css}</style>" in whole
    assert "<style" not in draw_svg(CAUSES, "si", embedded=True)
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/2000/svg)", whole)


def test_every_class_drawn_has_its_rule() -> None:
    css = page_style()
    for picture in SAMPLES.values():
        for name in set(re.findall(r'class="([^"]*)"', draw_svg(picture, "us", embedded=True))):
            for each in name.split():
                assert each in ("pic",) or re.search(rf"\.{each}\b", css), each


# --- values placed right ----------------------------------------------------------------------


def test_layers_of_a_stack_lie_on_each_other_at_their_values() -> None:
    sheet = Sheet(SHORE_CURRENT)
    slope, offset = ticks(sheet, upright=True)
    areas = [points(e) for e in sheet.all("polygon")]
    ground = areas[0]  # the air conditioner runs all day
    hours = np.array(SHORE_CURRENT.hours)
    left, right = ground[:, 0].min(), ground[:, 0].max()
    x = left + hours / 24 * (right - left)
    half = len(ground) // 2
    tops = np.interp(x, ground[:half, 0], (ground[:half, 1] - offset) / slope)
    assert tops == pytest.approx(np.array(SHORE_CURRENT.layers[0].values), abs=0.05)
    highest = min(a[:, 1].min() for a in areas)
    total = np.sum([layer.values for layer in SHORE_CURRENT.layers], axis=0).max()
    assert (highest - offset) / slope == pytest.approx(total, abs=0.1)


def test_a_layer_stands_on_the_one_under_it() -> None:
    areas = [points(e) for e in Sheet(SHORE_CURRENT).all("polygon")]
    ground = areas[0]
    charger = next(a for a in areas if len(a) == len(ground) and a is not ground)  # it runs all day too
    half = len(ground) // 2
    foot = charger[half:][::-1]
    early = foot[:, 0] < ground[:, 0].min() + 0.15 * np.ptp(ground[:, 0])  # before the heater comes on
    assert early.sum() > 5
    assert foot[early, 1] == pytest.approx(ground[:half][early, 1], abs=0.05)


def test_the_lines_of_a_stack_lie_at_their_values_and_the_marks_under_their_hours() -> None:
    sheet = Sheet(SHORE_CURRENT)
    slope, offset = ticks(sheet, upright=True)
    levels = [(points(e)[0, 1] - offset) / slope for e in sheet.all("polyline", "s-line")]
    assert levels == pytest.approx([30.0, 24.0], abs=0.1)
    (band,) = sheet.all("rect", "f-bad")
    across, start = ticks_of_hours(sheet)
    assert (at(band, "x") - start) / across == pytest.approx(18.0, abs=0.1)
    assert at(band, "width") / across == pytest.approx(2.0, abs=0.1)


def ticks_of_hours(sheet: Sheet) -> tuple[float, float]:
    found = [(float((e.text or "")[:2]), at(e, "x")) for e in sheet.all("text", "f-muted")
             if re.fullmatch(r"\d\d(:00)?", e.text or "") and e.get("text-anchor") == "middle"]  # fmt: skip
    inner = [(h, x) for h, x in found if 0 < h < 24]  # the end ones may be moved into the sheet
    slope, offset = np.polyfit(*zip(*inner, strict=True), 1)
    return float(slope), float(offset)


def test_a_line_that_heat_crosses_has_its_capacity_over_it() -> None:
    sheet = Sheet(CABIN_HEAT, "us")
    assert "unit's capacity" in sheet.words
    assert "short of capacity" in sheet.words
    assert "Heat coming into the cabin, BTU/h" in sheet.words


def test_bars_are_as_long_as_their_values_from_one_zero() -> None:
    sheet = Sheet(LOSSES)
    bars = sheet.all("rect", "f-fill0")
    values = [bar.value for bar in LOSSES.bars]
    per = [at(b, "width") / abs(v) for b, v in zip(bars, values, strict=True)]
    assert per == pytest.approx([per[0]] * len(per), rel=0.01)
    zero = at(bars[0], "x")
    assert [at(b, "x") for b in bars[:5]] == pytest.approx([zero] * 5)
    assert at(bars[5], "x") + at(bars[5], "width") == pytest.approx(zero, abs=0.02)


def test_a_whisker_reaches_from_low_to_high() -> None:
    sheet = Sheet(LOSSES)
    bar = sheet.all("rect", "f-fill0")[0]
    per = at(bar, "width") / LOSSES.bars[0].value
    zero = at(bar, "x")
    (level, *_) = [e for e in sheet.all("line", "s-line") if at(e, "y1") == at(e, "y2")]
    assert (at(level, "x1") - zero) / per == pytest.approx(0.8, abs=0.01)
    assert (at(level, "x2") - zero) / per == pytest.approx(1.9, abs=0.01)


def test_shares_are_of_the_whole() -> None:
    sheet = Sheet(CAUSES)
    bar, track = sheet.all("rect", "f-fill0")[0], sheet.all("rect", "s-muted")[0]
    assert at(bar, "width") / at(track, "width") == pytest.approx(0.62, abs=0.002)


def test_the_line_lies_at_its_heights_about_the_waterline() -> None:
    sheet = Sheet(WATER)
    route = points(sheet.all("polyline", "s-line")[0])
    level = at(next(e for e in sheet.all("line", "s-water")), "y1")
    (hull,) = sheet.all("polyline", "s-wall")
    inner, outer = points(hull)[:, 0].min() + 14, points(hull)[:, 0].max() - 14
    slot = (outer - inner) / len(WATER.parts)
    found = []
    for index in range(len(WATER.parts)):
        middle = inner + (index + 0.5) * slot
        for (x1, y1), (x2, y2) in itertools.pairwise(route):
            if y1 == y2 and x1 - 0.01 <= middle <= x2 + 0.01:
                found.append(level - y1)
                break
    heights = np.array([part.height for part in WATER.parts])
    slope = np.polyfit(heights, found, 1)[0]
    assert found == pytest.approx(heights * slope, abs=0.1)
    assert slope > 100


def test_each_loss_is_as_wide_as_it_is() -> None:
    sheet = Sheet(WATER)
    top = max(at(e, "y") for e in sheet.all("rect", "f-bad"))
    strip = [e for e in sheet.all("rect") if at(e, "y") == top]
    losses = [part.loss for part in WATER.parts if part.loss > 0]
    assert len(strip) == len(losses)  # all the head is spent
    per = at(strip[2], "width") / 1.25
    assert [at(e, "width") / per for e in strip] == pytest.approx(losses, abs=0.01)
    ends = [at(e, "x") + at(e, "width") for e in strip]
    assert [at(e, "x") for e in strip[1:]] == pytest.approx(ends[:-1], abs=0.02)


def test_head_that_is_left_stays_open_in_the_strip() -> None:
    sheet = Sheet(dataclasses.replace(WATER, head_available=6.4))
    assert "3.2 m left" in sheet.words
    strip_top = max(at(e, "y") for e in sheet.all("rect", "f-bad"))
    rest = [e for e in sheet.all("rect", "s-muted") if at(e, "y") == strip_top]
    assert at(rest[0], "width") == pytest.approx((720 - 8) / 2, abs=1)


def test_parts_left_out_still_take_their_head() -> None:
    hoses = tuple(dataclasses.replace(WATER.parts[4], loss=0.01) for _ in range(60))
    sheet = Sheet(dataclasses.replace(WATER, parts=(*WATER.parts[:-1], *hoses, WATER.parts[-1])))
    (others,) = sheet.all("rect", "f-rest")
    kinked = max((e for e in sheet.all("rect", "f-bad")), key=lambda e: at(e, "width"))
    shown = sum("hose to pump" in (e.text or "") for e in sheet.all("text"))
    assert shown < 61
    assert at(others, "width") / at(kinked, "width") == pytest.approx(
        (3.8 - sum_shown(sheet)) / 1.25, abs=0.02
    )


def sum_shown(sheet: Sheet) -> float:
    top = max(at(e, "y") for e in sheet.all("rect", "f-bad"))
    own = [e for e in sheet.all("rect") if at(e, "y") == top and "f-rest" not in e.get("class", "")]
    kinked = max(at(e, "width") for e in own)
    return sum(at(e, "width") for e in own) / kinked * 1.25


def test_arrows_into_the_box_are_as_thick_as_what_they_carry_and_point_in() -> None:
    sheet = Sheet(ICE_BOX)
    thick = []
    for e in sheet.all("polygon", "f-heat"):
        outline = points(e)
        begin = outline[[0, 6]]
        thick.append(float(np.hypot(*(begin[0] - begin[1]))))
    values = [a.value for a in ICE_BOX.arrows if a.what == "heat" and a.face != "inside"]
    order = {face: [a.value for a in ICE_BOX.arrows if a.what == "heat" and a.face == face] for face in
             ("lid", "hull", "front", "sides", "bottom", "drain")}  # fmt: skip
    drawn = [v for face in order.values() for v in face]
    assert sorted(drawn) == sorted(values)
    assert thick == pytest.approx([13.0 * v / max(values) for v in drawn], abs=0.1)
    box = sheet.all("rect", "f-wall")[0]
    for e in sheet.all("polygon", "f-heat"):
        tip = points(e)[3]
        assert at(box, "x") <= tip[0] <= at(box, "x") + at(box, "width")
        assert at(box, "y") <= tip[1] <= at(box, "y") + at(box, "height")


def test_heat_that_leaves_the_box_points_out() -> None:
    out = dataclasses.replace(ICE_BOX, arrows=(dataclasses.replace(ICE_BOX.arrows[0], value=-4.0),))
    sheet = Sheet(out)
    tip = points(sheet.all("polygon", "f-heat")[0])[3]
    assert tip[1] < at(sheet.all("rect", "f-wall")[0], "y")


def test_frost_is_as_thick_as_its_share_of_the_limit() -> None:
    sheet = Sheet(ICE_BOX)
    (frost,) = sheet.all("rect", "f-frost")
    (limit,) = sheet.all("line", "s-warn")
    assert at(frost, "width") / (at(limit, "x1") - at(frost, "x")) == pytest.approx(0.5, abs=0.01)


def test_a_curve_passes_through_its_values_and_its_limit_lies_at_its_own() -> None:
    sheet = Sheet(CHARGE)
    up, foot = ticks(sheet, upright=True)
    across, start = ticks(sheet, upright=False)
    usual = next(points(e) for e in sheet.all("polyline", "s-curve0"))
    hours, share = (usual[:, 0] - start) / across, (usual[:, 1] - foot) / up
    assert np.interp([0, 6, 18, 24], hours, share) == pytest.approx([90, 78.75, 56.25, 45], abs=0.3)
    limit = next(e for e in sheet.all("line", "s-warn"))
    assert (at(limit, "y1") - foot) / up == pytest.approx(50.0, abs=0.2)
    band = points(sheet.all("polygon", "f-curve0")[0])
    assert (band[:, 1].max() - foot) / up == pytest.approx(33.0, abs=0.3)


def test_distributions_peak_where_their_draws_lie_and_their_middles_stand_on_the_median() -> None:
    sheet = Sheet(FLOWS)
    across, start = ticks(sheet, upright=False)
    for number, group in enumerate(FLOWS.groups):
        litres = np.array(group.values) * 60_000
        outline = points(sheet.all("polygon", f"f-curve{number}")[0])
        peak = (outline[outline[:, 1].argmin(), 0] - start) / across
        assert abs(peak - np.median(litres)) < 0.5 * litres.std()
        dot = sheet.all("circle", "f-strong")[number]
        assert (at(dot, "cx") - start) / across == pytest.approx(np.median(litres), rel=0.01)
    limit = sheet.all("line", "s-warn")[0]
    assert (at(limit, "x1") - start) / across == pytest.approx(1.9e-4 * 60_000, rel=0.01)


def test_states_of_air_stand_at_their_temperature_and_humidity() -> None:
    sheet = Sheet(AIR)
    up, foot = ticks(sheet, upright=True)
    across, start = ticks(sheet, upright=False)
    for number, state in enumerate(AIR.states):
        dot = next(e for e in sheet.all("circle", f"f-curve{number}") if at(e, "cx") > 20)
        assert (at(dot, "cx") - start) / across == pytest.approx(state.temperature - 273.15, abs=0.1)
        assert (at(dot, "cy") - foot) / up == pytest.approx(1000 * state.humidity_ratio, abs=0.1)


def test_no_curve_of_the_air_chart_leaves_its_frame() -> None:
    sheet = Sheet(AIR)
    top = min(at(e, "y1") for e in sheet.all("line"))
    for e in sheet.all("polyline"):
        assert points(e)[:, 1].min() >= top - 0.02


def test_readings_stand_at_their_time_and_value_with_their_range() -> None:
    sheet = Sheet(BUCKETS)
    up, foot = ticks(sheet, upright=True)
    dots = [e for e in sheet.all("circle", "f-curve0") if at(e, "cy") < 280]
    dots.sort(key=lambda e: at(e, "cx"))
    x = np.array([at(e, "cx") for e in dots[:8]])
    assert [(at(e, "cy") - foot) / up for e in dots[:8]] == pytest.approx(BUCKETS.series[0].values, abs=0.1)
    slope = np.polyfit(BUCKETS.at, x, 1)
    assert x == pytest.approx(np.polyval(slope, BUCKETS.at), abs=0.1)
    bars = [e for e in sheet.all("line", "s-curve0") if at(e, "x1") == at(e, "x2")]
    assert [abs(at(e, "y1") - at(e, "y2")) / abs(up) for e in bars] == pytest.approx([3.0] * 8, abs=0.05)
    events = [e for e in sheet.all("line", "s-warn")]
    wanted = [np.polyval(slope, when) for when, _ in BUCKETS.events]
    assert [at(e, "x1") for e in events] == pytest.approx(wanted, abs=0.1)


@pytest.mark.parametrize("width", [320, 720])
def test_no_word_of_a_list_is_lost(width: int) -> None:
    words = Sheet(JOBS, width=width).words.replace(":", " ").split()
    for row in JOBS.rows:
        for cell in row.cells:
            assert set(cell.replace(":", " ").split()) <= set(words)


@EVERY
def test_the_page_says_the_numbers_the_cells_say(name: str) -> None:
    """Both twins take their words from one place: every number of the sentence is on the page too."""
    said = re.findall(r"\d[\d.,]* (?:gal/min|ft|BTU/h|°F|%)", summary(SAMPLES[name], "us"))
    shown = Sheet(SAMPLES[name], "us").words
    if name not in ("charge", "air states"):  # their sentence says ends of curves, drawn, not written
        for number in said:
            assert number in shown or number.replace(" BTU/h", "") in shown, number
