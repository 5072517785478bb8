"""What a guided check shows of a consultation: plain records in words, made away from the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from console.boatfile import Boat
from console.contract import Caution, Reading
from console.inference import telling
from console.inference.aftermath import Told
from console.inference.consultation import Consultation, Diagnosis
from console.inference.next_step import LEAST_BITS, NextReading, best, gains
from console.inference.readings import Given, Taken
from console.inference.verdict import CANNOT_TELL, Challenge, Group
from console.quantities import System, shown

SHOWN = 0.005
"""A cause less likely than this has no bar of its own."""
ROUGH = 40.0
"""Effective rows below which the shares are told to be rough."""
MUCH, SOME = 0.4, 0.12
"""Bits from which a reading is said to tell much, or something."""


@dataclass(frozen=True, slots=True)
class Bet:
    """A cause, and how likely it is."""

    key: str
    title: str
    chance: float
    severity: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to do if it is this: cautions first, then the work, then what it gives and what proves it."""

    key: str
    title: str
    notes: str
    cautions: tuple[Caution, ...]
    work: str
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Try:
    """A remedy that is test and cure in one."""

    key: str
    title: str
    minutes: float
    chance: float


@dataclass(frozen=True, slots=True)
class Look:
    """What the readings tell, in words. ``settled``: nothing finer follows; only then are there remedies.

    ``following`` is the one reading to take next, ``ranked`` all that can be taken, the most telling
    for its minutes first; ``barred`` those that something found forbids.
    """

    system: System
    settled: bool
    verdict: str
    named: bool
    chance: float
    bets: tuple[Bet, ...]
    others: int
    groups: tuple[str, ...]
    doubt: str
    following: NextReading | None
    action: Try | None
    ranked: tuple[NextReading, ...]
    barred: tuple[Reading, ...]
    taken: tuple[Taken, ...]
    remedies: tuple[Remedy, ...] = ()
    note: str = ""
    rough: bool = False
    unwell: tuple[str, ...] = ()

    @property
    def ended(self) -> bool:
        """Whether no further reading would tell enough: it knows, or says that it cannot."""
        return self.settled and self.following is None

    def chance_of(self, key: str) -> float:
        """How likely a cause is."""
        return next((bet.chance for bet in self.bets if bet.key == key), 0.0)


class Consulting:
    """A consultation kept between questions, for one thread at a time."""

    def __init__(self, boat: Boat, complaint: str) -> None:
        self.boat, self.complaint = boat, complaint
        self.busy = False
        self._consultation: Consultation | None = None
        self._given: tuple[Given, ...] = ()
        self._cannot: frozenset[str] = frozenset()
        self._stop: Callable[[], bool] = lambda: False

    def looks(
        self, given: Sequence[Given], cannot: frozenset[str], later: frozenset[str], system: System,
        stop: Callable[[], bool],
    ) -> Iterator[Look]:  # fmt: skip
        """What can be said at once, then what holds when all is drawn.

        Raises `ReadingError`, and `Cancelled` as soon as ``stop`` says so.
        """
        self.busy, self._stop = True, stop
        try:
            c = self._agreed(tuple(given), cannot)
            known = c.result()
            if not known.settled:
                yield self._look(c, known, later, system)
                known = c.settle()
            yield self._look(c, known, later, system)
        except BaseException as error:
            if isinstance(error, ValueError):
                self._consultation = None
            raise
        finally:
            self.busy = False

    def _agreed(self, given: tuple[Given, ...], cannot: frozenset[str]) -> Consultation:
        """The consultation with these readings and no other."""
        c = self._consultation
        if c is None:
            c = Consultation(
                self.boat, self.complaint, given, cannot=cannot, cancelled=lambda: self._stop()
            )
        else:
            gone = {name for name, text in self._given if (name, text) not in given}
            kept = [pair for pair in self._given if pair[0] not in gone]
            for name in sorted(gone):
                c.remove(name)
            for pair in given:
                if pair not in kept:
                    c.add(*pair)
            for name in sorted(self._cannot - cannot):
                c.can(name)
            for name in sorted(cannot - self._cannot):
                c.cannot(name)
        self._consultation, self._given, self._cannot = c, given, cannot
        return c

    def _look(self, c: Consultation, found: Diagnosis, later: frozenset[str], system: System) -> Look:
        names = frozenset(each.name for each in found.taken)
        free, barred = c.open_readings()
        following = found.next_reading
        ranked: tuple[NextReading, ...] = ()
        put_off = following is not None and not following.again and following.reading.name in later
        if found.settled or put_off:
            ranked = tuple(gains(c.posterior(), free, names))
        if put_off:
            following = best([each for each in ranked if each.reading.name not in later]) or following
        told = telling.told_of(c, found, system) if found.settled else {}
        bets = []
        for key, (chance, _) in found.presence.items():
            if chance >= SHOWN:
                change, more = c.causes[key].change, told.get(key)
                severity, why = (more.severity or "", more.why) if more else ("", change.why)
                bets.append(Bet(key, change.title, chance, severity, why))
        acting = None
        if found.next_action is not None:
            change = found.next_action.cause.change
            acting = Try(change.key, change.title, change.minutes, found.next_action.chance)
        return Look(
            system, found.settled, telling.verdict_words(c, found), found.verdict != CANNOT_TELL, found.chance,
            tuple(bets), len(found.presence) - len(bets), tuple(group_words(c, each) for each in found.inseparable),
            doubt_words(c, found.challenged) if found.challenged else "", following, acting, ranked,
            tuple(reading for name, reading in barred.items() if name not in self._cannot), found.taken,
            _remedies(c, found, told, system) if found.settled else (),
            telling.note_text(c, found, system) if found.settled else "",
            found.effective < ROUGH and bool(found.taken),
            tuple(f"{each.plugin.replace('_', ' ')}: {each.error}" for each in found.unwell),
        )  # fmt: skip


def _remedies(
    c: Consultation, found: Diagnosis, told: dict[str, Told], system: System
) -> tuple[Remedy, ...]:
    made = []
    for key in telling.remedy_order(c, found):
        change, more = c.causes[key].change, told.get(key)
        notes = [f"about {change.minutes:.0f} min"] if change.minutes else []
        notes += ["licensed hands"] if change.who == "licensed" else ["your own hands"]
        notes += ["at a haul-out"] if change.where == "hauled_out" else []
        after = telling.repair_words(c, key, more.repair if more else None, system)
        cautions = telling.cautions(c, change.hazards)
        made.append(Remedy(key, change.title, ", ".join(notes), cautions, change.remedy, tuple(after)))
    return tuple(made)


def _listed(words: Sequence[str], joint: str) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {joint} {words[-1]}"


def group_words(c: Consultation, group: Group) -> str:
    """Causes that look the same from here, and what would part them."""
    names = _listed([_small(c.causes[key].change.title) for key in group.keys], "and")
    if group.test is None:
        return (
            f"These look the same from here: {names}. No reading of your own parts them; a technician's "
            "gauges or a repair would."
        )
    return (
        f"These look the same from here: {names}. What would part them is {_small(group.test.title)}, which "
        "you cannot take or should not now."
    )


def doubt_words(c: Consultation, doubt: Challenge) -> str:
    """Readings of which one must be wrong, and what to check."""
    readings = [c.forward.readings[n][1] for n in doubt.readings if n in c.forward.readings]
    if not readings:
        return "This does not add up: no cause explains these readings together. Take them again."
    names = _listed([_small(each.title) for each in readings], "and")
    tools = list(dict.fromkeys(each.instrument.replace("_", " ") for each in readings if each.instrument))
    check = f"Check the {_listed(tools, 'or')}, and take it again." if tools else "Look again."
    beside = f"{names} beside the others" if len(readings) == 1 else f"{names}, whatever the cause"
    return f"This does not add up: {beside}. {check}"


def telling_words(gain: NextReading) -> str:
    """How much a reading would tell."""
    if gain.bits >= MUCH:
        return "tells much"
    return (
        "tells something"
        if gain.bits >= SOME
        else "tells little"
        if gain.bits >= LEAST_BITS
        else "tells nothing new"
    )


def _small(title: str) -> str:
    text = shown(title, 120)
    return f"{text[:1].lower()}{text[1:]}"
