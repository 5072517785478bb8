"""From what the owner typed to readings in SI; one clear sentence when that cannot be."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from console.boatfile import Boat, BoatFileError
from console.boatfile.errors import nearest
from console.contract import Reading
from console.quantities import STYLES, Measure, QuantityError, parse_measure, shown, style_of

Given = tuple[str, str]
"""A reading as it was typed: its name, and what was read."""

COLDEST, HOTTEST = 223.15, 423.15
"""K: no owner's thermometer aboard reads beyond."""

_LASTING = re.compile(r"^(?P<amount>.+?)\s+(?:in|over|per)\s+(?P<time>[\d.,]+\s*\S+.*)$", re.I)
_INTO = re.compile(r"^(?P<time>.+?)\s+(?:for|into|to fill)\s+(?P<container>\d.*)$", re.I)
_AMPS = re.compile(r"[\d.,\s]+(?:a|amps?)\b(?!\s*[*·-]?\s*h).*", re.I)
CONTAINER = "container"
ALL = 99
"""A misspelt reading is answered with every name: the command line shows them nowhere else."""


class ReadingError(ValueError):
    """A reading that cannot be taken; the message is one sentence."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading taken: ``value`` in SI, or the ``choice``."""

    reading: Reading
    owner: str
    text: str
    value: float = 0.0
    choice: str = ""

    @property
    def name(self) -> str:
        return self.reading.name


def readings_for(boat: Boat, complaint: str) -> dict[str, tuple[str, Reading]]:
    """Every reading by name, with its owner; the complaint's own declaration before another's."""
    found: dict[str, tuple[str, Reading]] = {}
    for owner, reading in boat.registry.readings:
        held = found.get(reading.name)
        if held is None or (complaint in reading.complaints and complaint not in held[1].complaints):
            found[reading.name] = (owner, reading)
    return found


def complaints_of(boat: Boat) -> tuple[str, ...]:
    """The complaints any cause aboard belongs to, in the plugins' order; none of a table not aboard."""
    named = dict.fromkeys(c.complaint for _, c in boat.registry.changes if c.kind == "cause")
    return tuple(complaint for complaint in named if complaint not in boat.absent)


def complaint_of(boat: Boat, names: Iterable[str]) -> str:
    """The complaint most of the readings speak to; the first one when they tell nothing."""
    known = complaints_of(boat)
    if not known:
        raise ReadingError("no plugin that is loaded knows a cause of anything")
    wanted = set(names)
    votes = {
        complaint: len({
            reading.name for _, reading in boat.registry.readings
            if reading.name in wanted and complaint in reading.complaints
        })
        for complaint in known
    }  # fmt: skip
    return max(known, key=lambda complaint: votes[complaint])


def take_all(
    boat: Boat, given: Iterable[Given], complaint: str = ""
) -> tuple[Boat, str, tuple[Taken, ...]]:
    """Everything given, in whatever order: the boat with facts about her in place, the complaint,
    and the readings sorted by name.

    Raises `ReadingError` with one sentence.
    """
    pairs = [(name.strip(), text.strip().strip('"').strip()) for name, text in given]
    if complaint in boat.absent:
        raise ReadingError(f"[{complaint}] is not aboard: the boat file has no such table to complain of")
    if complaint and complaint not in complaints_of(boat):
        raise ReadingError(
            f'there is no complaint "{shown(complaint)}"{nearest(complaint, complaints_of(boat))}'
        )
    complaint = complaint or complaint_of(boat, (name for name, _ in pairs))
    known = readings_for(boat, complaint)
    taken: dict[tuple[str, str], Taken] = {}
    facts: dict[str, str] = {}
    for name, text in pairs:
        into = _INTO.match(text)
        if name in known and known[name][1].unit == "s" and into:
            text = into["time"]
            _fact(boat, CONTAINER, into["container"], facts, known)
        if name not in known:
            _fact(boat, name, text, facts, known)
            continue
        made = take(boat, complaint, name, text)
        several = made.reading.role == "event"
        key = (name, made.choice if several else "")
        other = taken.get(key)
        if other is not None and (other.value, other.choice) != (made.value, made.choice):
            raise ReadingError(
                f'{name} is given twice, "{shown(other.text)}" and "{shown(text)}"; give the one you trust'
            )
        taken[key] = made
    for path, text in sorted(facts.items()):
        try:
            boat = boat.with_edit(path, text)
        except BoatFileError as error:
            raise ReadingError(f"{path}: {error.sentence}") from None
    return boat, complaint, tuple(taken[key] for key in sorted(taken))


def _fact(
    boat: Boat, name: str, text: str, facts: dict[str, str], known: Mapping[str, tuple[str, Reading]]
) -> None:
    """A name that is no reading may be a fact of the boat: the container the water is timed with."""
    paths = [path for path in boat.inputs if path == name or path.rsplit(".", 1)[-1] == name]
    exact = [path for path in paths if path == name]
    if len(exact or paths) != 1:
        raise ReadingError(f'there is no reading "{shown(name)}"{nearest(name, [*known, CONTAINER], ALL)}')
    path = (exact or paths)[0]
    if facts.setdefault(path, text) != text:
        raise ReadingError(f"{name} is given twice; give the one you trust")


def take(boat: Boat, complaint: str, name: str, text: str) -> Taken:
    """One reading. Raises `ReadingError` with one sentence."""
    known = readings_for(boat, complaint)
    if name not in known:
        raise ReadingError(f'there is no reading "{shown(name)}"{nearest(name, known, ALL)}')
    owner, reading = known[name]
    if reading.choices:
        word = "_".join(text.lower().replace("-", " ").replace("_", " ").split())
        if word not in reading.choices:
            raise ReadingError(
                f'{name}: given is "{shown(text)}"; accepted is {", ".join(reading.choices)}'
                f"{_near(word, reading.choices)}"
            )
        return Taken(reading, owner, text, choice=word)
    if not reading.unit:
        return Taken(reading, owner, text, choice=name)
    try:
        return Taken(reading, owner, text, value=_value(boat, reading, text))
    except QuantityError as error:
        raise ReadingError(f"{name}: {error}") from None


def _near(word: str, choices: Iterable[str]) -> str:
    said = nearest(word, choices)
    return said if "did you mean" in said else ""


def _value(boat: Boat, reading: Reading, text: str) -> float:
    style = style_of(reading.unit, reading.style)
    if reading.over.startswith("since:"):
        return _rate(boat, reading, style, text)
    lasting = _LASTING.match(text) if reading.over == "day" else None
    amount = text if lasting is None else lasting["amount"]
    if style == "amp_hours_per_day" and _AMPS.fullmatch(amount):
        raise QuantityError(f'"{shown(text)}" is amps, and amp-hours are asked for; accepted is "45 Ah"')
    try:
        measure = parse_measure(amount, style)
    except QuantityError:
        if reading.over != "day":
            raise
        measure = _of_a_day(amount, style)
    _plausible(reading, measure)
    return measure.value


def _of_a_day(text: str, style: str) -> Measure:
    """A day's reading whose "a day" was left out: 36 Ah, as the logbook takes it too."""
    try:
        return parse_measure(re.sub(r"\s*(?=±|\+/-|$)", "/day ", text, count=1).strip(), style)
    except QuantityError:
        return parse_measure(text, style)  # raises, in words for what was written


def _rate(boat: Boat, reading: Reading, style: str, text: str) -> float:
    """What gathered since an event, as a rate: an amount in a time, or a rate outright."""
    lasting = _LASTING.match(text)
    if lasting is not None:
        amount = parse_measure(lasting["amount"], style)
        seconds = parse_measure(lasting["time"], "days").value
        if seconds <= 0:
            raise QuantityError("in no time at all; give the days since it was last done")
        _plausible(reading, amount)
        return amount.value / seconds
    rate = next(
        (
            given.style
            for _, estimate in boat.registry.estimates
            for given in estimate.gives
            if given.name == reading.predicts and given.style
        ),
        "",
    )
    try:
        measure = parse_measure(text, rate or style)
    except QuantityError:
        measure = None
    if measure is None or not rate:
        example = STYLES[style].example
        raise QuantityError(f'"{shown(text)}" says not in how many days; accepted is "{example} in 7 days"')
    return measure.value


def _plausible(reading: Reading, measure: Measure) -> None:
    style = STYLES[measure.style]
    value = measure.value
    if style.unit == "K" and not COLDEST <= value <= HOTTEST:
        raise QuantityError(f'"{shown(measure.text)}" is no temperature found aboard; is the unit right?')
    if style.law == "fraction" and not 0 <= value <= 1:
        raise QuantityError(f'"{shown(measure.text)}" is outside 0 to 100 %')
    if style.law == "scale" and (value < 0 or (value == 0 and style.unit == "s")):
        raise QuantityError(f'"{shown(measure.text)}" must be more than nothing')
