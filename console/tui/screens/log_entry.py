"""One reading or event being written down, or put right: value, when, note."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.logbook import Entry, LogError
from console.logbook.catalogue import NoValue, Word
from console.logbook.telling import value_text
from console.tui.guarded import Guarded
from console.tui.words import line, plain, safe, sentence

if TYPE_CHECKING:
    from console.logbook.desk import LogDesk
    from console.quantities import System

HINT = "Enter writes it down · Tab goes to when and note · Esc leaves it"
WHENS = "now · today · yesterday 18:30 · 14:05 · 2026-07-21 · 2026-07-21 14:05"


@dataclass(frozen=True, slots=True)
class Written:
    """What came of it: in words, when it was, and whether it was a correction."""

    said: str
    when: str
    corrected: bool


class EntryScreen(Guarded, ModalScreen[Written]):
    """Big fields for a wet hand: what was read, when, and a note. What is typed is checked at once."""

    CSS_PATH = "../log.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def __init__(
        self, log: LogDesk, word: Word, system: System, when: str, old: Entry | None = None
    ) -> None:
        super().__init__()
        self._log, self._word, self._system, self._old = log, word, system, old
        self._when = when if old is None else old.at_text
        self._busy = False

    def compose(self) -> ComposeResult:
        word, old = self._word, self._old
        with Vertical(classes="dialog", id="entry"):
            yield Static(line((word.title, "bold"), ("   puts right what was written" if old else "", "$quiet")),
                         markup=False)  # fmt: skip
            if word.choices:
                listing = OptionList(*(Option(plain(each.replace("_", " "))) for each in word.choices),
                                     id="entry-choice", compact=True)  # fmt: skip
                listing.styles.height = min(len(word.choices), 8)
                yield listing
            else:
                with Horizontal(classes="entry-row"):
                    yield TextInput(safe(old.said) if old else "", id="entry-value",
                                    placeholder="" if word.numeric else "a few words, if you like")  # fmt: skip
                    yield Static(line((self._log.unit(word, self._system), "bold $key")), markup=False,
                                 id="entry-unit")  # fmt: skip
            with Horizontal(classes="entry-row"):
                yield Static(line(("When", "$quiet")), markup=False, classes="entry-label")
                yield TextInput(safe(self._when), id="entry-when", compact=True)
            with Horizontal(classes="entry-row"):
                yield Static(line(("Note", "$quiet")), markup=False, classes="entry-label")
                yield TextInput(safe(old.note) if old else "", id="entry-note", compact=True,
                                placeholder="if there is more to say")  # fmt: skip
            yield Static("", markup=False, id="entry-said")
            yield Static(line((HINT, "$quiet")), markup=False, id="entry-hint")

    def on_mount(self) -> None:
        first = self.query("#entry-choice, #entry-value").first()
        if isinstance(first, OptionList):
            old = self._old.value if self._old else ""
            first.highlighted = self._word.choices.index(str(old)) if old in self._word.choices else 0
        if isinstance(first, TextInput):
            first.select_all()
        self.set_focus(first)
        self._check()

    # --- what is typed ----------------------------------------------------------------------

    def _typed(self, name: str) -> str:
        return self.query_one(f"#entry-{name}", TextInput).value

    def _value(self) -> str:
        if not self._word.choices:
            return self._typed("value")
        listing = self.query_one("#entry-choice", OptionList)
        return self._word.choices[listing.highlighted or 0]

    def _understood(self) -> Entry:
        when, note, value = self._typed("when"), self._typed("note"), self._value()
        return self._log.understand(self._word, value, when, note, self._system)

    @on(TextInput.Changed)
    @on(OptionList.OptionHighlighted)
    def _check(self) -> None:
        try:
            entry = self._understood()
        except NoValue:
            unit = self._log.unit(self._word, self._system)
            self._say(line((f"Type the number; without a unit it is in {unit}." if unit else "Type the number.",
                            "$quiet")))  # fmt: skip
        except LogError as error:
            self._say(line(("✕ ", "bold $act"), sentence(error)))
        else:
            day = entry.at.strftime("%a %-d %b %Y") + ("" if entry.day else entry.at.strftime(", %H:%M"))
            value = value_text(entry)
            self._say(line(("✓ ", "bold $fine"), (value, "bold"), f"{'  on ' if value else 'On '}{day}"))

    def _say(self, text: Content) -> None:
        self.query_one("#entry-said", Static).update(text)
        focused = self.focused
        hint = WHENS if focused is not None and focused.id == "entry-when" else HINT
        self.query_one("#entry-hint", Static).update(line((hint, "$quiet")))

    def on_descendant_focus(self) -> None:
        self._check()

    # --- writing it down --------------------------------------------------------------------

    @on(TextInput.Submitted)
    @on(OptionList.OptionSelected)
    async def _enter(self) -> None:
        if self._busy:
            return
        try:
            entry = self._understood()
        except LogError as error:
            self._say(line(("✕ ", "bold $act"), sentence(error)))
            return
        self._busy = True  # a second Enter does not write it twice
        self._say(line(("Writing…", "$quiet")))
        try:
            said = await asyncio.to_thread(self._write, entry)
        except LogError as error:
            self._say(line(("✕ ", "bold $act"), sentence(error)))
            return
        finally:
            self._busy = False
        self.dismiss(Written(said, self._typed("when"), self._old is not None))

    def _write(self, entry: Entry) -> str:
        value = value_text(entry)
        what = f"{self._word.title}{', ' if value else ''}{value}"
        if self._old is not None:
            made = self._log.correct(self._old.id, entry)
            same = made.revision == self._old.revision
            return "Nothing was another; it stays as it was" if same else f"Put right: {what}"
        taken = self._log.write(entry)
        if taken.added:
            return f"Written: {what}"
        there = taken.known[0]
        if there.void:
            return "That was written before and is void; Del on it lets it count again"
        return f"That is written already (entry {there.id}); it was not doubled"
