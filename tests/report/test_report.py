"""The page: whole, safe, worst first, in the owner's units, and never over another file."""

from __future__ import annotations

import dataclasses
import os
import re
import subprocess
import sys
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from console.boatfile import Boat, load
from console.commands import cli
from console.contract import Bar, Bars
from console.engine import Outcome, Unwell, estimate
from console.engine.gains import Weighed, weigh
from console.pictures import DARK, LIGHT, contrast
from console.registry import discover
from console.report import ReportError, report_html, write_report
from console.report import writing as report_writing
from console.results import figure_text
from console.wording import sentence

BERTH = Path(__file__).resolve().parents[2] / "scenarios" / "marram.toml"
DAY = date(2026, 7, 4)
VOID = {"meta", "br", "hr", "img", "link", "input"}


class Page(HTMLParser):
    """A page read back: its elements in order, and every tag closed by its own end."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.said: list[str] = []
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, tag
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.said.append(data)

    @property
    def words(self) -> str:
        return " ".join(" ".join(self.said).split())


@pytest.fixture(scope="module")
def boat() -> Boat:
    return load(BERTH, discover())


@pytest.fixture(scope="module")
def outcome(boat: Boat) -> Outcome:
    return estimate(boat, 64, "us")


@pytest.fixture(scope="module")
def weighed(boat: Boat) -> Weighed:
    return weigh(boat, draws=16, pairs=False)


@pytest.fixture(scope="module")
def html(outcome: Outcome, weighed: Weighed) -> str:
    return report_html(outcome, "us", DAY, weighed)


def articles(html: str) -> list[str]:
    return re.findall(r"<article.*?</article>", html, re.S)


def test_the_page_is_whole_and_every_tag_is_closed(html: str) -> None:
    page = Page(html)
    assert html.startswith("<!DOCTYPE html>")
    assert [tag for tag, _ in page.tags].count("h1") == 1


def test_the_page_asks_the_network_for_nothing_and_runs_nothing(html: str) -> None:
    page = Page(html)
    assert not {tag for tag, _ in page.tags} & {"script", "link", "img", "iframe", "object", "base", "form"}
    for _, attributes in page.tags:
        assert not any(name.startswith("on") for name in attributes)
        for name in ("src", "href", "xlink:href", "data", "action"):
            assert (attributes.get(name) or "#").startswith("#")
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/2000/svg)", html)


def test_links_lead_to_places_on_the_page_and_no_name_is_used_twice(html: str) -> None:
    page = Page(html)
    names = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(names) == len(set(names))
    wanted = {(a.get("href") or "")[1:] for tag, a in page.tags if tag == "a"}
    assert wanted
    assert wanted <= set(names)


def test_answers_come_worst_first_with_verdict_number_and_range(html: str, outcome: Outcome) -> None:
    found = articles(html)
    assert len(found) == len(outcome.cards)
    urgencies = [card.answer.urgency for card in outcome.cards]
    assert urgencies == sorted(urgencies)
    for article, card in zip(found, outcome.cards, strict=True):
        said = Page(article).words
        assert card.question.title in said
        assert " ".join(sentence(card.answer.verdict).split()) in said
        if card.figure and card.figure.value is not None:
            assert figure_text(card.figure, "us") in said
            assert " to " in figure_text(card.figure, "us") or card.figure.style == "wire"


def test_the_first_page_has_every_verdict(html: str, outcome: Outcome) -> None:
    first = Page(html[html.index("<body>") + 6 : html.index("<article")]).words
    for card in outcome.cards:
        assert card.question.title in first
        assert " ".join(sentence(card.answer.verdict).split()) in first


def test_cautions_stand_before_the_step_and_before_what_would_help(html: str, outcome: Outcome) -> None:
    seen = 0
    for article, card in zip(articles(html), outcome.cards, strict=True):
        mind = article.find("Mind this first")
        if card.cautions:
            assert mind >= 0
            seen += 1
        for later in ('class="next"', "What would help"):
            if mind >= 0 and later in article:
                assert mind < article.index(later)
    assert seen > 3


def test_what_would_help_brings_its_own_cautions(html: str, weighed: Weighed, boat: Boat) -> None:
    texts = {key: caution.text for key, caution in boat.registry.cautions.items()}
    checked = 0
    for article in articles(html):
        _, _, helps = article.partition("What would help")
        said = Page(article).words
        for gain in weighed.gains:
            if f"<strong>{sentence(gain.title)}</strong>" in helps:
                for hazard in gain.changes[0].hazards:
                    assert " ".join(sentence(texts[hazard]).split()) in said
                    checked += 1
    assert checked > 3


def test_every_picture_of_every_answer_is_drawn(html: str, outcome: Outcome) -> None:
    wanted = [picture.title for card in outcome.cards for picture in card.answer.pictures]
    assert html.count("<svg ") == len(wanted) > 10
    assert "could not be drawn" not in html


def test_every_input_is_listed_with_where_it_came_from(html: str, boat: Boat) -> None:
    own, _, assumed = html[html.index('id="inputs"') :].partition('id="assumed"')
    for origin, part in (("measured", own), ("given", own), ("assumed", assumed)):
        wanted = sum(i.origin == origin and i.section not in boat.absent for i in boat.inputs.values())
        assert len(re.findall(rf"<td>[●◐○] {origin}</td>", part)) == wanted, origin
        assert len(re.findall(rf"<td>[●◐○] {origin}</td>", html)) == wanted, origin


def test_the_owners_units_are_used_throughout(html: str, boat: Boat) -> None:
    metric = report_html(estimate(boat, 0, "si"), "si", DAY)
    assert "gal/min" in html
    assert "BTU/h" in html
    page = Page(metric).words
    assert "L/min" in page
    # Help texts and cautions may name the other system too; what is computed may not.
    assert not re.search(r"\d (gal/min|BTU/h|knots)\b", page)


def test_the_same_run_gives_the_same_page(html: str, outcome: Outcome, weighed: Weighed) -> None:
    assert report_html(outcome, "us", DAY, weighed) == html


def test_warnings_and_who_is_not_working_are_said(outcome: Outcome) -> None:
    broken = dataclasses.replace(
        outcome, warnings=("the seawater is <hot>",), unwell=(Unwell("power", "estimate", "it fell over"),)
    )
    said = Page(report_html(broken, "us", DAY)).words
    assert "The seawater is <hot>." in said
    assert "power, estimate: it fell over" in said
    assert "Not working" not in Page(report_html(outcome, "us", DAY)).words or outcome.unwell


EVIL = "</style></title><script>alert(1)</script>\x1b[31m\u202e&amp;"


def test_text_from_files_and_plugins_is_text(outcome: Outcome) -> None:
    card = outcome.cards[0]
    evil_card = dataclasses.replace(
        card,
        question=dataclasses.replace(card.question, title=EVIL, key=EVIL, what=EVIL, number=EVIL),
        answer=dataclasses.replace(
            card.answer,
            verdict=EVIL,
            next=EVIL,
            pictures=(Bars(EVIL, "head", (Bar(EVIL, 1.0, note=EVIL),)),),
        ),
        missing=(EVIL,),
    )
    boat = outcome.boat.with_edit("boat.name", EVIL.replace("\x1b", "").replace("\u202e", ""))
    evil = dataclasses.replace(outcome, boat=boat, cards=(evil_card,), warnings=(EVIL,))
    html = report_html(evil, "us", DAY, None, (f"boat.name={EVIL}",))
    page = Page(html)
    assert "script" not in {tag for tag, _ in page.tags}
    assert "<script" not in html
    assert not re.search("[\x00-\x08\x0b-\x1f\u202e]", html)


def test_a_picture_that_cannot_be_drawn_leaves_the_answer_standing(outcome: Outcome) -> None:
    card = outcome.cards[0]
    broken = dataclasses.replace(card, answer=dataclasses.replace(card.answer, pictures=("no picture",)))  # type: ignore[arg-type]
    html = report_html(dataclasses.replace(outcome, cards=(broken,)), "us", DAY)
    assert "could not be drawn" in html
    assert " ".join(sentence(card.answer.verdict).split()) in Page(html).words


@pytest.mark.parametrize(("palette", "part"), [(LIGHT, 0), (DARK, 1)], ids=["light", "dark"])
def test_figures_and_verdicts_stand_at_four_and_a_half_to_one(
    html: str, palette: object, part: int
) -> None:
    roots = re.findall(r":root\{([^}]*)\}", html)
    colours = dict(re.findall(r"--(\w+):(#\w{6})", roots[part]))
    assert colours["background"] == palette.background  # type: ignore[attr-defined]
    for name in ("ink", "strong", "muted", "good", "warn", "bad"):
        assert contrast(colours[name], colours["background"]) >= 4.5


def test_paper_is_white_and_its_colours_are_the_light_ones(html: str) -> None:
    paper = html[html.rindex("@media print") :]
    colours = dict(re.findall(r"--(\w+):(#\w{6})", paper))
    assert colours["background"] == "#ffffff"
    assert colours["ink"] == LIGHT.ink
    assert ".pic .f-background{fill:#fff}" in paper


def test_a_report_brings_in_no_screens() -> None:
    code = (
        "import sys; import console.report; import console.commands.reporting; import console.pictures.svg.stack\n"
        "print([m for m in ('textual', 'matplotlib', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# --- the command, and the file ------------------------------------------------------------------


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(cli, ["report", *map(str, arguments)])
    return result.exit_code, result.output


def test_the_command_writes_a_page_and_says_where(tmp_path: Path) -> None:
    page = tmp_path / "boat.html"
    code, said = run(BERTH, "-o", page, "--draws", "0", "--units", "si", "--set", "boat.name=Sea Aster")
    assert code == 0, said
    assert "boat.html" in said
    html = page.read_text(encoding="utf-8")
    assert "<h1>Sea Aster</h1>" in html
    assert "Not the boat as it stands in its file." in html
    assert "boat.name=Sea Aster" in html
    assert "L/min" in html
    assert "no ranges were worked out" in html
    assert run(BERTH, "-o", page, "--draws", "0")[0] == 0, "a page of ours is replaced"
    assert "<h1>Marram</h1>" in page.read_text(encoding="utf-8")
    assert [each.name for each in tmp_path.iterdir()] == ["boat.html"]


@pytest.mark.parametrize("name", ["boat.toml", "boat.html", "log.csv", "notes"])
def test_a_file_that_is_no_page_is_never_overwritten(tmp_path: Path, name: str) -> None:
    target = tmp_path / name
    before = BERTH.read_bytes()
    target.write_bytes(before)
    code, said = run(BERTH, "-o", target, "--draws", "0")
    assert code != 0
    assert name in said
    assert "Traceback" not in said
    assert target.read_bytes() == before


def test_a_boat_files_name_is_refused_even_where_there_is_none(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match=r"end the page's name in \.html"):
        write_report(tmp_path / "new.toml", "page")
    assert list(tmp_path.iterdir()) == []


def test_a_link_to_a_boat_file_is_not_followed_over_it(tmp_path: Path) -> None:
    boat = tmp_path / "boat.toml"
    boat.write_bytes(BERTH.read_bytes())
    link = tmp_path / "page.html"
    link.symlink_to(boat)
    with pytest.raises(ReportError):
        write_report(link, "page")
    assert boat.read_bytes() == BERTH.read_bytes()


def test_a_folder_or_a_place_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="is a folder"):
        write_report(tmp_path, "page")
    with pytest.raises(ReportError, match="there is no folder"):
        write_report(tmp_path / "nowhere" / "page.html", "page")


def test_a_write_that_fails_leaves_the_old_page_whole(
    tmp_path: Path, html: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = tmp_path / "page.html"
    write_report(page, html)

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(report_writing.os, "fsync", full)
    with pytest.raises(ReportError, match="No space left"):
        write_report(page, html.replace("Marram", "Other"))
    assert page.read_text(encoding="utf-8") == html
    assert os.listdir(tmp_path) == ["page.html"]
