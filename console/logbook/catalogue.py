"""What may be logged: every reading and event the loaded plugins declare, by its one name."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from console.logbook.entry import Entry, LogError
from console.logbook.times import Moment
from console.quantities import STYLES, Measure, QuantityError, parse_measure, shown, style_of

if TYPE_CHECKING:
    from console.contract import Reading
    from console.registry import Registry

LONGEST_NOTE = 2000
_SPREAD = re.compile(r"±|\+/-|\+-")
_LEADING_NUMBER = re.compile(r"[-+−]?[\d.,/ \u00bc-\u00be\u2150-\u215e]*\d?(?:[eE][-+]?\d+(?![A-Za-z]))?")


class NoValue(LogError):
    """There is nothing written where a value should be: a gap."""


@dataclass(frozen=True, slots=True)
class Word:
    """A reading or an event that may be logged, and which plugins declare it."""

    name: str
    title: str
    how: str
    event: bool
    unit: str = ""
    style: str = ""
    choices: tuple[str, ...] = ()
    owners: tuple[str, ...] = ()
    over: str = "instant"
    minutes: float = 0.0
    hazards: tuple[str, ...] = ()

    @property
    def numeric(self) -> bool:
        """Whether its value is a number with a unit."""
        return bool(self.unit)

    def accepted(self) -> str:
        """What its value looks like, in words."""
        if self.numeric:
            return f"a number with its unit such as {STYLES[self.style].example}"
        return " or ".join(self.choices) if self.choices else "nothing, or a few words"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The words of the log, by name."""

    words: Mapping[str, Word]

    def word(self, name: str) -> Word:
        """The word of a name. Raises `LogError` with the nearest one."""
        found = self.words.get(name) or self.words.get(plain_name(name))
        if found is None:
            given = shown(name) or "nothing"
            near = get_close_matches(plain_name(name), self.words, 1)
            hint = f"; did you mean {near[0]}?" if near else f"; there are {', '.join(sorted(self.words))}"
            raise LogError(f"there is no reading or event {given}{hint}")
        return found

    def entry(self, name: str, value: str, unit: str, when: Moment, note: str = "") -> Entry:
        """The entry of what was written. Raises `LogError` with one sentence.

        ``value`` may hold the unit (``"47 s"``), or stand beside it; it may hold a spread
        (``"47 ± 1"``). `NoValue` is raised when a reading has none.
        """
        word = self.word(name)
        blank = Entry(when.at, word.name, "", "", "", None, clean(note, LONGEST_NOTE), when.day, word.event)
        given, unit = clean(value), clean(unit)
        if word.numeric:
            return _measured(word, blank, given, unit)
        if unit:
            raise LogError(f'{word.name} has no unit, and given is "{shown(unit)}"')
        if not given and not word.event:
            raise NoValue(f"{word.name} has no value; accepted is {word.accepted()}")
        if word.choices and given:
            choice = plain_name(given)
            if choice not in word.choices:
                near = get_close_matches(choice, word.choices, 1)
                hint = f" (did you mean {near[0]}?)" if near else ""
                raise LogError(f'{word.name} is "{shown(given)}"{hint}; accepted is {word.accepted()}')
            return replace(blank, value=choice, written=choice)
        return replace(blank, value=given, written=given)


def _measured(word: Word, blank: Entry, given: str, unit: str) -> Entry:
    if not given:
        raise NoValue(f"{word.name} has no value; accepted is {word.accepted()}")
    number, own, spread = parts_of(given, unit)
    if own and unit and own != unit:
        raise LogError(f'{word.name} is "{shown(given)}" and its unit "{shown(unit)}"; leave one of them')
    unit = unit or own
    spread = spread.removesuffix(unit).strip() if unit != "%" else spread
    text = f"{number} {unit}".strip() + (f" ± {spread}" if spread else "")
    measure = _measure(word, number, unit, spread)
    law = STYLES[word.style].law
    if law == "fraction" and not 0 <= measure.value <= 1:
        raise LogError(f'{word.name} is "{shown(text)}"; accepted is 0 % to 100 %')
    if (law == "scale" and measure.value < 0) or (STYLES[word.style].unit == "K" and measure.value <= 0):
        raise LogError(f'{word.name} is "{shown(text)}", which is less than nothing')
    written = f"{number} ± {spread}" if spread else number
    half = None if measure.half is None else float(measure.half_si)
    return replace(
        blank, value=float(measure.value), written=written, unit=unit, error=half, si_unit=word.unit
    )


def _measure(word: Word, number: str, unit: str, spread: str) -> Measure:
    """The quantity; of a day's reading "a day" may be left out (36 Ah, 11 times)."""
    if word.style == "amp_hours_per_day" and unit.lower() in ("a", "amp", "amps"):
        raise LogError(f'{word.name} is in amp-hours, and given is "{shown(number)} {shown(unit)}"; '
                       f"accepted is {STYLES[word.style].example}")  # fmt: skip
    behind = f" ± {spread}" if spread else ""
    try:
        return parse_measure(f"{number} {unit}".strip() + behind, word.style)
    except QuantityError as first:
        if word.over == "day":
            a_day = f"{unit}/day" if unit else "per day"
            with contextlib.suppress(QuantityError):
                return parse_measure(f"{number} {a_day}{behind}", word.style)
        raise LogError(f"{word.name}: {first}") from None


def parts_of(text: str, unit_beside: str = "") -> tuple[str, str, str]:
    """A value as written in its number, its unit and its spread (each may be empty)."""
    halves = _SPREAD.split(text, maxsplit=1)
    main, spread = halves[0].strip(), halves[1].strip() if len(halves) > 1 else ""
    found = _LEADING_NUMBER.match(main)
    at = found.end() if found else 0
    number, unit = main[:at].strip(), main[at:].strip()
    if not unit and not unit_beside and spread:  # "84 ± 3 F": the unit stands behind the spread
        found = _LEADING_NUMBER.match(spread)
        tail = spread[found.end() :].strip() if found else ""
        if tail and tail != "%":
            unit, spread = tail, spread.removesuffix(tail).strip()
    return number, unit, spread


def plain_name(text: str) -> str:
    """A name as it is spelt in files: ``"Cabin air"`` is ``cabin_air``."""
    return re.sub(r"[\s_-]+", "_", text.strip().lower())


def clean(text: str, limit: int = 200) -> str:
    """Text on one line without control characters: what a log holds."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    if len(line) > limit:
        raise LogError(f'"{shown(line)}" is longer than {limit} letters; shorten it')
    return line


def catalogue_of(registry: Registry) -> Catalogue:
    """The words the loaded plugins declare; one that several declare is one word."""
    words: dict[str, Word] = {}
    for owner, reading in registry.readings:
        made = _word(owner, reading)
        there = words.get(reading.name)
        if there is None:
            words[reading.name] = made
        else:
            choices = tuple(dict.fromkeys((*there.choices, *made.choices)))
            words[reading.name] = replace(there, owners=(*there.owners, owner), choices=choices)
    return Catalogue(words)


def _word(owner: str, reading: Reading) -> Word:
    style = style_of(reading.unit, reading.style) if reading.unit else ""
    return Word(
        reading.name, reading.title, reading.how, reading.role == "event", reading.unit, style,
        reading.choices, (owner,), reading.over, reading.minutes, reading.hazards,
    )  # fmt: skip
