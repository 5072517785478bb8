"""A guided check as the owner goes through it, without a screen: what was said, set aside, and seen.

It stays on the desk, so that a check left in the middle is found there again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from console.wording import safe

if TYPE_CHECKING:
    from console.boatfile import Boat
    from console.contract import Reading
    from console.inference.job_sheet import Sheet
    from console.inference.look import Consulting, Look
    from console.inference.readings import Taken
    from console.logbook import Entry
    from console.quantities import System
    from console.registry import Registry

CONTAINER = "container"
SINCE = "since:"


@dataclass(frozen=True, slots=True)
class Said:
    """One answer: a choice, or a number with its unit. ``beside`` is what else it needs to be told with:
    the container it was timed with, or the days it gathered in."""

    name: str
    value: str
    beside: str = ""
    joint: str = ""
    at: datetime = field(default_factory=lambda: datetime.now(UTC), compare=False)

    @property
    def text(self) -> str:
        """The reading as it is weighed: ``"75 s for 2 gal"``."""
        return f"{self.value} {self.joint} {self.beside}" if self.beside else self.value


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be weighed; two equal ones give the same look."""

    given: tuple[Said, ...] = ()
    cannot: tuple[str, ...] = ()
    later: tuple[str, ...] = ()


class Check:
    """The guided check of one complaint on one boat."""

    def __init__(self, boat: Boat, complaint: str, title: str) -> None:
        self.boat, self.complaint, self.title = boat, complaint, title
        self.wish = Wish()
        self.asked = ""
        """The reading the owner picked; empty: what the check would ask."""
        self.look: Look | None = None
        self.before: Look | None = None
        self.failed = ""
        self.held = False
        """Whether the owner stopped the weighing."""
        self.reasons: dict[str, str] = {}
        """Why a reading is not taken: ``unknown`` or ``unreachable``."""
        self.logged: set[Said] = set()
        self.sheets: dict[tuple[str, str], Sheet] = {}
        self.consulting: Consulting | None = None
        self.weighing: object = None
        """What was last given to be weighed."""
        self._weighed: tuple[Wish, str] | None = None
        self._past: list[Wish] = []

    # --- what the owner says ------------------------------------------------------------------

    def _put(self, wish: Wish) -> None:
        if wish == self.wish:
            return
        self.before = self.look or self.before
        self.wish, self.failed, self.held = wish, "", False

    def _answer(self, wish: Wish) -> None:
        if wish != self.wish:
            self._past.append(self.wish)
        self.asked = ""
        self._put(wish)

    def _without(self, *names: str) -> Wish:
        wish = self.wish
        given = tuple(each for each in wish.given if each.name not in names)
        return Wish(given, _less(wish.cannot, names), _less(wish.later, names))

    def say(self, *said: Said) -> None:
        """Readings taken, in place of earlier ones of the same names.

        The same value once more is a value confirmed: it is not asked a third time.
        """
        for name in {each.name for each in said}:
            if self.said_of(name) == tuple(each for each in said if each.name == name):
                self.cannot(name, "confirmed", keep=True)
                return
        wish = self._without(*(each.name for each in said))
        self._answer(Wish((*wish.given, *said), wish.cannot, wish.later))

    def take_back(self, name: str) -> None:
        """Forget what was said of a reading, be it a value or that it cannot be taken."""
        self._answer(self._without(name))

    def cannot(self, name: str, why: str = "unreachable", keep: bool = False) -> None:
        """The owner does not know, or cannot take it: it is not asked again.

        ``keep``: what was read before stands; it only cannot be taken once more.
        """
        self.reasons[name] = why
        wish = self._without(name)
        given = self.wish.given if keep else wish.given
        self._answer(Wish(given, (*wish.cannot, name), wish.later))

    def put_off(self, name: str) -> None:
        """Ask something else first."""
        wish = self.wish
        self._answer(Wish(wish.given, wish.cannot, (*_less(wish.later, (name,)), name)))

    def undo(self) -> bool:
        """Take the last answer back; False when there is none."""
        if not self._past:
            return False
        self.asked = ""
        self._put(self._past.pop())
        return True

    def afresh(self) -> None:
        """Start again, after something was mended, say."""
        self.logged = set()
        self._answer(Wish())

    def said_of(self, name: str) -> tuple[Said, ...]:
        """What was said of a reading."""
        return tuple(each for each in self.wish.given if each.name == name)

    # --- what was made of it ------------------------------------------------------------------

    def due(self, system: System) -> bool:
        """Whether there is something to weigh that was not weighed yet."""
        done = self._weighed == (self.wish, system) and (self.failed or (self.look and self.look.settled))
        return not done and not self.held

    def fresh(self) -> bool:
        """Whether the look there is belongs to what was said (it may still become finer)."""
        return self._weighed is not None and self._weighed[0] == self.wish and self.look is not None

    def note(self, look: Look, wish: Wish) -> None:
        """Take a look; one of other answers is dropped."""
        if wish == self.wish:
            self.look, self.failed, self._weighed = look, "", (wish, look.system)

    def fail(self, why: str, wish: Wish, system: System) -> None:
        """It could not be weighed, and why in one sentence."""
        if wish == self.wish:
            self.failed, self._weighed = why, (wish, system)

    # --- readings -----------------------------------------------------------------------------

    def reading(self, name: str) -> Reading | None:
        """A reading of this check by its name."""
        from console.inference.readings import readings_for

        known = readings_for(self.boat, self.complaint).get(name)
        return known[1] if known else None


def _less(names: tuple[str, ...], gone: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in gone)


# --- complaints ---------------------------------------------------------------------------------


def complaints(boat: Boat) -> dict[str, str]:
    """What can be complained of aboard: a title for each complaint that causes are known for."""
    from console.inference.readings import complaints_of

    titles = {each.key: each.title for _, section in boat.registry.sections for each in section.complaints}
    sections = {section.key: section.title for _, section in boat.registry.sections}
    return {key: titles.get(key) or f"{sections.get(key, _plain(key))}: not as it should be"
            for key in complaints_of(boat)}  # fmt: skip


def complaint_on(registry: Registry, question: str) -> str:
    """The complaint whose check a card offers; ``""`` when there is none."""
    for _, section in registry.sections:
        for each in section.complaints:
            if question in each.questions:
                return each.key
    return ""


def _plain(key: str) -> str:
    words = safe(key).replace("_", " ")
    return words[:1].upper() + words[1:]


# --- what is typed ------------------------------------------------------------------------------


def unit_of(style: str, system: System) -> str:
    """The unit a bare number is taken in."""
    from console.quantities import QuantityError, parse_measure, pretty_unit, shown_unit

    pretty = pretty_unit(style, system)
    try:
        parse_measure(f"0.5 {pretty}", style)
    except QuantityError:
        return shown_unit(style, system)
    return pretty


@dataclass(frozen=True, slots=True)
class Beside:
    """The second field of a reading: what it is asked as, its unit, what stands in it, how it is joined."""

    label: str
    unit: str
    text: str
    joint: str


def beside_of(boat: Boat, reading: Reading, system: System) -> Beside | None:
    """The second thing a reading must be told with; None when it stands alone."""
    from console.quantities import say

    if reading.over.startswith(SINCE):
        event = reading.over.removeprefix(SINCE)
        title = next((r.title for _, r in boat.registry.readings if r.name == event), _plain(event))
        return Beside(f"Days since: {title[:1].lower()}{title[1:]}", "days", "", "in")
    paths = [path for path in boat.inputs if path.rsplit(".", 1)[-1] == CONTAINER]
    if reading.unit == "s" and len(paths) == 1:
        entry = boat.inputs[paths[0]]
        if entry.measure is not None:
            return Beside(
                "Timed with",
                unit_of(entry.style, system),
                say(entry.measure.value, entry.style, system),
                "for",
            )
    return None


def said(
    boat: Boat, complaint: str, reading: Reading, value: str, beside: str, system: System
) -> tuple[Said, Taken]:  # fmt: skip
    """What was typed, as it is weighed; a bare number has the owner's unit.

    Raises `ReadingError` with one sentence that names no key.
    """
    from console.inference.readings import ReadingError, take_all
    from console.logbook.catalogue import parts_of
    from console.quantities import style_of

    value = " ".join(value.split())
    second = beside_of(boat, reading, system)
    if reading.unit and value and not parts_of(value)[1]:
        value = f"{value} {unit_of(style_of(reading.unit, reading.style), system)}"
    made = Said(reading.name, value)
    beside = " ".join(beside.split())
    if second is not None and beside and beside != second.text:
        if not parts_of(beside)[1]:
            beside = f"{beside} {second.unit}"
        made = Said(reading.name, value, beside, second.joint)
    if second is not None and second.unit == "days" and not made.beside and " in " not in value:
        raise ReadingError("say also in how many days it gathered")
    try:
        _, _, taken = take_all(boat, [(made.name, made.text)], complaint)
    except ReadingError as error:
        raise ReadingError(
            str(error).removeprefix(f"{reading.name}: ").replace("; did you mean", ", did you mean")
        ) from None
    return made, next(each for each in taken if each.name == reading.name)


def entries(check: Check, home_log: object, system: System) -> tuple[list[Entry], list[str]]:
    """What of this check can be written into the log, and the titles of what cannot."""
    from console.logbook import LogError
    from console.logbook.desk import LogDesk

    assert isinstance(home_log, LogDesk)
    made, left = [], []
    for each in check.wish.given:
        if each in check.logged:
            continue
        word = home_log.catalogue.words.get(each.name)
        reading = check.reading(each.name)
        title = reading.title if reading else _plain(each.name)
        if (
            word is None
            or each.joint == "for"
            or (each.value == "none" and reading and reading.role == "event")
        ):
            left.append(title)
            continue
        when = each.at.astimezone(home_log.zone).strftime("%Y-%m-%d %H:%M")
        try:
            made.append(home_log.understand(word, each.value, when, "", system))
        except LogError:
            left.append(title)
    return made, left
