"""Asks for the boat file to compare with."""

from __future__ import annotations

import asyncio
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

from console.boatfile import Boat, BoatFileError, load
from console.tui.guarded import Guarded
from console.tui.words import line, plain, sentence

if TYPE_CHECKING:
    from console.registry import Registry

MOST_FILES = 30
TALLEST = 8


class OtherBoatScreen(Guarded, ModalScreen[Boat]):
    """A field for a file name, and the boat files nearby to point at."""

    CSS_PATH = "../compare.tcss"
    BINDINGS = [Binding("escape", "dismiss", "Back")]  # noqa: RUF012

    def __init__(self, home: Path | None, registry: Registry) -> None:
        super().__init__()
        self._folder = home.parent if home else Path.cwd()
        self._registry = registry
        self._near = boat_files(self._folder, home)

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(line(("Compare with which boat file?", "bold")), markup=False)
            yield TextInput(f"{self._folder}/", id="other-path", compact=True)
            if self._near:
                listing = OptionList(
                    *(Option(plain(path.name)) for path in self._near), id="other-near", compact=True
                )
                listing.styles.height = min(len(self._near), TALLEST)
                yield listing
            yield Static(
                line(("Enter takes it, Tab goes to the files nearby, Esc goes back.", "$quiet")),
                markup=False, id="other-said",
            )  # fmt: skip

    def on_mount(self) -> None:
        field = self.query_one(TextInput)
        (self.query_one(OptionList) if self._near else field).focus()
        field.cursor_position = len(field.value)

    @on(TextInput.Submitted)
    async def _named(self, event: TextInput.Submitted) -> None:
        try:
            path = Path(event.value.strip()).expanduser()
        except RuntimeError:
            self._tell("there is no such home folder; type the whole path")
            return
        await self._take(path)

    @on(OptionList.OptionSelected)
    async def _pointed(self, event: OptionList.OptionSelected) -> None:
        await self._take(self._near[event.option_index])

    async def _take(self, path: Path) -> None:
        try:
            boat = await asyncio.to_thread(load, path, self._registry)
        except BoatFileError as error:
            self._tell(error)
            return
        self.dismiss(boat)

    def _tell(self, why: object) -> None:
        self.query_one("#other-said", Static).update(line(("✕ " + sentence(why), "bold $act")))


def boat_files(folder: Path, home: Path | None) -> list[Path]:
    """The boat files of a folder but the one on the desk, by name."""
    try:
        found = sorted(path for path in folder.iterdir() if path.suffix == ".toml" and path != home)
    except OSError:
        return []
    return [path for path in found if _says_a_boat(path)][:MOST_FILES]


def _says_a_boat(path: Path) -> bool:
    try:
        with path.open(encoding="utf-8") as file:
            return any(row.startswith(("[boat", "format =")) for row in file.read(20_000).splitlines())
    except (OSError, UnicodeDecodeError):
        return False
