"""Which column of a spreadsheet or logger is what: asked once, and kept in the logbook."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.suggester import SuggestFromList
from textual.widgets import Input as TextInput
from textual.widgets import Static

from console.logbook import LogError
from console.logbook.entry import Unmapped
from console.logbook.mapping import Mapping, mapping_of
from console.tui.guarded import Guarded
from console.tui.words import line, lines_of, sentence, short

if TYPE_CHECKING:
    from console.logbook.desk import LogDesk

WHEN, TIME, NOTE = "when", "time of day", "note"
HINT = (
    f'Type "{WHEN}" at the column of the date, and what each other holds, with its unit: cabin air by the '
    "box, °F. Leave out what you do not need. → takes the grey suggestion. Enter keeps it, Esc goes back."
)


class MappingScreen(Guarded, ModalScreen[Mapping]):
    """A field for each column; what is typed there is kept under the file's name."""

    CSS_PATH = "../log.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def __init__(self, log: LogDesk, unmapped: Unmapped, name: str) -> None:
        super().__init__()
        self._desk, self._columns, self._call_it = log, unmapped.columns, name

    def compose(self) -> ComposeResult:
        titles = [word.title for word in self._desk.catalogue.words.values()]
        with Vertical(classes="dialog"):
            yield Static(line(("Which column is what?", "bold")), markup=False)
            with VerticalScroll(id="mapping-columns", can_focus=False):
                for number, (heading, sample) in enumerate(self._columns):
                    with Horizontal(classes="mapping-row"):
                        yield Static(
                            lines_of([line((short(heading, 26), "bold")), line((short(sample, 26), "$quiet"))]),
                            markup=False, classes="mapping-name",
                        )  # fmt: skip
                        yield TextInput(
                            WHEN if number == 0 else "", compact=True, id=f"mapping-{number}",
                            suggester=SuggestFromList([WHEN, TIME, NOTE, *titles], case_sensitive=False),
                        )  # fmt: skip
            yield Static(line((HINT, "$quiet")), markup=False, id="mapping-said")

    def on_mount(self) -> None:
        fields = self.query(TextInput)
        fields[min(1, len(fields) - 1)].focus()

    @on(TextInput.Submitted)
    async def _enter(self) -> None:
        try:
            mapping = self._mapping()
            await asyncio.to_thread(self._desk.keep_mapping, mapping)
        except LogError as error:
            self.query_one("#mapping-said", Static).update(line(("✕ ", "bold $act"), sentence(error)))
            return
        self.dismiss(mapping)

    def _mapping(self) -> Mapping:
        places = {WHEN: "", TIME: "", NOTE: ""}
        columns = []
        for (heading, _), field in zip(self._columns, self.query(TextInput), strict=True):
            typed = " ".join(field.value.split())
            if not typed:
                continue
            if typed.lower() in places:
                if places[typed.lower()]:
                    raise LogError(f"two columns are called {typed}")
                places[typed.lower()] = heading
            else:
                columns.append(f"{heading}={self._in_keys(typed)}")
        if not places[WHEN]:
            raise LogError(f'say which column has the date: type "{WHEN}" there')
        return mapping_of(
            self._call_it, places[WHEN], columns, self._desk.catalogue, places[TIME], places[NOTE]
        )

    def _in_keys(self, typed: str) -> str:
        """A title in plain words, with its unit behind it, as a mapping says it."""
        words = self._desk.catalogue.words.values()
        for word in sorted(words, key=lambda word: -len(word.title)):
            if typed.lower().startswith(word.title.lower()):
                unit = typed[len(word.title) :].strip(" ,()[]")
                return f"{word.name} {unit}".strip()
        name, _, unit = typed.rpartition(",")
        return f"{name.strip().replace(' ', '_')} {unit.strip()}" if name else typed
