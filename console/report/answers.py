"""The answers on a page, worst first: each with its number, its cautions, its step and its reasons."""

from __future__ import annotations

from collections.abc import Sequence

from console.boatfile import Boat
from console.contract import Caution, Picture, Urgency
from console.engine import Card, Driver
from console.engine.estimate import cautions_for
from console.engine.gains import Gain
from console.pictures.svg import draw_svg
from console.pictures.urgency import MARKS, WORDS
from console.quantities import System, say
from console.report.html import rows, tag, text
from console.results import figure_text, moved_text
from console.wording import ORIGIN_MARKS, Numbers, how_sure, input_name, input_text, sentence

MOST_HELPS = 5
MOST_EFFECTS = 4
_WIDTH = 760


def badge(urgency: Urgency) -> str:
    """The mark and the word that say how bad the news is."""
    return tag("span", f"{MARKS[urgency]} {text(WORDS[urgency])}", cls=f"badge {urgency.name.lower()}")


def anchor(card: Card) -> str:
    """The name of an answer's place on the page."""
    return "answer-" + "".join(
        char if char.isalnum() and char.isascii() else "-" for char in card.question.key
    )


def number_html(card: Card, system: System) -> str:
    """The answer's number with its range, what it is, and how sure the verdict is."""
    if card.figure is None or card.figure.value is None:
        sure = how_sure(card.answer.sure)
        return tag("p", text(sentence(sure)), cls="quiet") if sure else ""
    words = [card.question.number, how_sure(card.answer.sure) if card.figure.low is not None else ""]
    beside = "; ".join(word for word in words if word)
    small = f" <small>{text(beside)}</small>" if beside else ""
    return tag("p", text(figure_text(card.figure, system)) + small, cls="number")


def contents(cards: Sequence[Card], system: System) -> str:
    """The first page: every question with its verdict, each leading to its answer."""
    items = []
    for card in cards:
        head = tag("a", tag("strong", text(card.question.title)), href=f"#{anchor(card)}")
        verdict = tag("div", text(sentence(card.answer.verdict)))
        items.append(
            tag(
                "li",
                badge(Urgency(card.answer.urgency)),
                tag("div", head, verdict, number_html(card, system)),
            )
        )
    return tag("ul", *items, cls="first")


def answer_html(
    card: Card, boat: Boat, numbers: Numbers, system: System, gains: Sequence[Gain], weighed: bool
) -> str:
    """One answer, whole."""
    answer = card.answer
    mine = [g for g in gains if any(card.question.key in change.questions for change in g.changes)][
        :MOST_HELPS
    ]
    hazards = [key for gain in mine for change in gain.changes for key in change.hazards]
    more = [c for c in cautions_for(boat.registry.cautions, hazards) if c not in card.cautions]
    parts = [
        badge(Urgency(answer.urgency)),
        tag("h2", text(card.question.title)),
        tag("p", text(sentence(answer.verdict)), cls="verdict"),
        number_html(card, system),
    ]
    if card.figure is not None and card.figure.meaning:
        tail = "; the range holds it nine times in ten" if card.figure.low is not None else ""
        parts.append(tag("p", text(sentence(card.figure.meaning.rstrip(".") + tail)), cls="quiet"))
    if card.question.what:
        parts.append(tag("p", text(sentence(card.question.what)), cls="quiet"))
    parts += [tag("p", text(sentence(missing)), cls="quiet") for missing in card.missing]
    parts.append(_mind((*card.cautions, *more)))
    if answer.next:
        parts.append(tag("div", tag("strong", "Next: "), text(sentence(answer.next)), cls="next"))
    if answer.reasons:
        items = [tag("li", _share(each.share), text(sentence(each.text))) for each in answer.reasons]
        parts += [tag("h3", "Why"), tag("ul", *items, cls="why")]
    parts += [_figure(picture, system) for picture in answer.pictures]
    if mine:
        parts += [tag("h3", "What would help"), tag("ul", *(_gain(g, system) for g in mine), cls="helps")]
    elif weighed and answer.urgency in (Urgency.ACT, Urgency.WATCH):
        parts.append(tag("p", "Nothing that can be worked out here would make it better.", cls="quiet"))
    if card.drivers:
        items = [_driver(driver, boat, numbers, system) for driver in card.drivers]
        how = "The bar is the share of the range that comes from it: measure the longest first."
        parts += [
            tag("h3", "What would sharpen this"),
            tag("p", how, cls="quiet"),
            tag("ul", *items, cls="why"),
        ]
    return tag("article", *parts, id=anchor(card))


def _mind(cautions: Sequence[Caution]) -> str:
    if not cautions:
        return ""
    items = [
        tag(
            "li",
            text(sentence(c.text)),
            " " + tag("span", text(f"({c.defer_to})"), cls="quiet") if c.defer_to else "",
        )
        for c in cautions
    ]
    last = tag("p", "Local codes and licensed practice come before anything said here.", cls="quiet")
    return tag("div", tag("h3", "⚠ Mind this first"), tag("ul", *items), last, cls="mind")


def _share(share: float | None) -> str:
    if share is None or not 0 <= share <= 1:
        return ""
    said = f"{round(100 * share)} %"
    return tag("span", tag("i", style=f"width:{100 * share:.0f}%"), cls="share", title=said, role="img",
               **{"aria-label": said}) + f"{said}: "  # fmt: skip


def _figure(picture: Picture, system: System) -> str:
    try:
        drawn = draw_svg(picture, system, width=_WIDTH, embedded=True)
    except Exception:  # a plugin's record may hold anything; the words around it stand
        return tag("p", "This picture could not be drawn; the numbers above stand.", cls="quiet")
    return tag("figure", drawn)


def _gain(gain: Gain, system: System) -> str:
    change = gain.changes[0]
    minutes = sum(each.minutes for each in gain.changes)
    notes = [say(minutes * 60.0, "minutes", system)] if minutes else []
    notes += ["licensed hands"] if any(c.who == "licensed" for c in gain.changes) else []
    notes += ["hauled out"] if any(c.where == "hauled_out" for c in gain.changes) else []
    head = tag("strong", text(sentence(gain.title)))
    head += " " + tag("span", text(", ".join(notes)), cls="quiet") if notes else ""
    why = tag("div", text(sentence(change.why)), cls="quiet") if change.why else ""
    first, *rest = gain.effects
    shown = [first, *(d for d in rest if say(d.before, d.style, system) != say(d.after, d.style, system))]
    table = rows(
        [
            (text(d.meaning.rstrip(".")), tag("strong", text(moved_text(d, system))))
            for d in shown[:MOST_EFFECTS]
        ],
        (),
    )
    return tag("li", head, why, table)


def _driver(driver: Driver, boat: Boat, numbers: Numbers, system: System) -> str:
    item = boat.inputs.get(driver.path)
    if item is None:
        return ""
    way = "more of it raises the number" if driver.sign > 0 else "more of it lowers the number"
    titles = {section.key: section.title for _, section in boat.registry.sections}
    name = f"{titles.get(item.section, item.section)}: {input_name(item)}"
    note = f"{ORIGIN_MARKS[item.origin]} {item.origin}; {way}"
    return tag(
        "li", _share(driver.share), tag("strong", text(name)), " ",
        text(input_text(item, system, numbers)), " ", tag("span", text(note), cls="quiet"),
        tag("div", text(sentence(item.help)), cls="quiet") if item.help else "",
    )  # fmt: skip
