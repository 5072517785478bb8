"""Files of the log: CSV in and out, and the paper sheet. Each asks for a file and does it."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.logbook import LogError
from console.logbook.entry import Doubt, Unmapped
from console.logbook.mapping import HowToRead, Mapping
from console.logbook.writing import ThereAlready
from console.tui.guarded import Guarded
from console.tui.words import line, plain, sentence

if TYPE_CHECKING:
    from console.logbook.desk import LogDesk
    from console.quantities import System


MOST_FILES = 30


class FileScreen(Guarded, ModalScreen[str]):
    """Asks for a file, does its work with it, and gives a sentence of what was done."""

    CSS_PATH = "../log.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012
    QUESTION = ""
    HINT = "Enter does it, Esc goes back."

    def __init__(self, file: Path) -> None:
        super().__init__()
        self._file = file
        self._agreed: Path | None = None
        self._busy = False

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(line((self.QUESTION, "bold")), markup=False)
            yield TextInput(str(self._file), id="file-path", compact=True)
            yield from self.compose_more()
            yield Static(line((self.HINT, "$quiet")), markup=False, id="file-said")

    def compose_more(self) -> ComposeResult:
        """What stands below the field."""
        yield from ()

    def on_mount(self) -> None:
        field = self.query_one(TextInput)
        field.focus()
        field.cursor_position = len(field.value)

    def tell(self, text: object) -> None:
        """Say below the field why it was not done."""
        self.query_one("#file-said", Static).update(line((sentence(text), "bold $act")))

    @on(TextInput.Submitted, "#file-path")
    async def _named(self, event: TextInput.Submitted) -> None:
        typed = event.value.strip()
        if not typed:
            self.tell("Type the name of a file")
            return
        try:
            path = Path(typed).expanduser()
        except RuntimeError:
            self.tell("There is no such home folder; type the whole path")
            return
        await self.go(path)

    async def go(self, path: Path) -> None:
        """Do it, and close with what was done; say why not otherwise."""
        if self._busy:
            return
        self._busy = True
        try:
            said = await asyncio.to_thread(self.act, path, self._agreed == path)
        except ThereAlready:
            self._agreed = path
            self.tell(f"{path.name} is there already; Enter once more replaces it, Esc goes back")
        except LogError as error:
            self.refused(path, error)
        else:
            self.dismiss(said)
        finally:
            self._busy = False

    def refused(self, path: Path, error: LogError) -> None:
        """The work could not be done."""
        self.tell(error)

    def act(self, path: Path, replace: bool) -> str:
        """The work, in a thread of its own. Raises `LogError`."""
        raise NotImplementedError


class LogFileScreen(FileScreen):
    """A file of the log."""

    def __init__(self, log: LogDesk, file: Path) -> None:
        super().__init__(file)
        self.log_desk = log


class ExportScreen(LogFileScreen):
    """Writes the log as CSV."""

    QUESTION = "Write the log as CSV, to which file?"

    def __init__(self, log: LogDesk) -> None:
        super().__init__(log, log.path.with_name(log.path.name.removesuffix(".sqlite") + ".csv"))

    def act(self, path: Path, replace: bool) -> str:
        count = self.log_desk.export(path, replace)
        return f"{count:,} {'entry' if count == 1 else 'entries'} written to {path.name}"


class SheetScreen(LogFileScreen):
    """Writes the paper sheets."""

    QUESTION = "Write the paper log sheets, to which file?"
    HINT = (
        "A page per system: .html prints from a browser, .txt is plain text. Enter writes, Esc goes back."
    )

    def __init__(self, log: LogDesk, system: System) -> None:
        super().__init__(
            log, log.path.with_name(log.path.name.removesuffix(".log.sqlite") + "-log-sheet.html")
        )
        self._system: System = system

    def act(self, path: Path, replace: bool) -> str:
        count = self.log_desk.sheet(path, self._system, replace)
        return f"{count} {'page' if count == 1 else 'pages'} written to {path.name}"


class ImportScreen(LogFileScreen):
    """Reads a CSV file in; asks what the file itself does not tell."""

    QUESTION = "Read which CSV file in?"
    HINT = "A spreadsheet, a temperature logger, or at,reading,value,unit,note. Enter reads, Esc goes back."

    def __init__(self, log: LogDesk) -> None:
        super().__init__(log, log.path.parent)
        self._how = HowToRead()
        self._wanted = ""
        self._near = _files_near(log.path.parent)

    def compose_more(self) -> ComposeResult:
        """The files that may be meant, to point at."""
        if self._near:
            listing = OptionList(
                *(Option(plain(path.name)) for path in self._near), id="files", compact=True
            )
            listing.styles.height = min(len(self._near), 6)
            yield listing

    @on(OptionList.OptionSelected, "#files")
    async def _pointed(self, event: OptionList.OptionSelected) -> None:
        path = self._near[event.option_index]
        self.query_one(TextInput).value = str(path)
        await self.go(path)

    def on_mount(self) -> None:
        super().on_mount()
        field = self.query_one(TextInput)
        field.value = f"{field.value}/"
        field.cursor_position = len(field.value)

    def act(self, path: Path, replace: bool) -> str:
        done = self.log_desk.import_file(path, self._how, self._wanted)
        warning = f" Worth a look: {done.warnings[0]}." if done.warnings else ""
        return done.said() + warning

    def refused(self, path: Path, error: LogError) -> None:
        if isinstance(error, Doubt):
            self.app.push_screen(DoubtScreen(error), lambda said: self._answered(path, error, said))
        elif isinstance(error, Unmapped):
            from console.tui.screens.log_mapping import MappingScreen

            self.app.push_screen(
                MappingScreen(self.log_desk, error, _slug(path)), lambda made: self._mapped(path, made)
            )
        else:
            self.tell(
                f"In {path.name}, {sentence(error)[:1].lower()}{sentence(error)[1:]} Nothing was written"
            )

    async def _answered(self, path: Path, doubt: Doubt, said: str | None) -> None:
        if not said:
            self.tell("Nothing was read; Enter asks again")
            return
        if doubt.ask == "map":
            self._wanted = said
        elif doubt.ask == "dates":
            self._how = HowToRead(said, self._how.decimal, self._how.zone)
        else:
            self._how = HowToRead(self._how.dates, said, self._how.zone)
        await self.go(path)

    async def _mapped(self, path: Path, mapping: Mapping | None) -> None:
        if mapping is None:
            self.tell("Nothing was read; Enter asks again")
            return
        self._wanted = mapping.name
        await self.go(path)


class DoubtScreen(Guarded, ModalScreen[str]):
    """Asks which of the ways a file can be read in is meant."""

    CSS_PATH = "../log.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def __init__(self, doubt: Doubt) -> None:
        super().__init__()
        self._doubt = doubt

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(line((sentence(self._doubt.sentence), "bold")), markup=False)
            yield OptionList(
                *(Option(plain(f"{said}: {meant}")) for said, meant in self._doubt.choices),
                id="doubt", compact=True,
            )  # fmt: skip

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._doubt.choices[event.option_index][0])


def _files_near(folder: Path) -> list[Path]:
    """Files beside the boat's that may hold readings, the newest first."""
    try:
        found = [path for path in folder.iterdir() if path.suffix.lower() in (".csv", ".tsv", ".txt")]
        return sorted(found, key=lambda path: path.stat().st_mtime, reverse=True)[:MOST_FILES]
    except OSError:
        return []


def _slug(path: Path) -> str:
    return re.sub(r"[^\w.-]+", "-", path.stem.lower())[:40].strip("-") or "logger"
