"""A plugin's picture, drawn in cells for the room there is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual.events import Resize
from textual.widgets import Static

from console.contract import Picture
from console.tui.guarded import Guarded
from console.tui.words import line

if TYPE_CHECKING:
    from console.tui.app import ConsoleApp

WIDEST = 110
TALL = 16


class PictureView(Guarded, Static):
    """Draws one picture record, again whenever its width, the units or the theme change."""

    def __init__(self, picture: Picture) -> None:
        super().__init__("", markup=False, classes="picture")
        self.picture = picture
        self._drawn: tuple[object, ...] = ()

    def on_mount(self) -> None:
        self.app.theme_changed_signal.subscribe(self, lambda _theme: self.redraw())

    def on_resize(self, _event: Resize) -> None:
        self.redraw()

    def show(self, picture: Picture) -> None:
        """Draw another picture in the same place."""
        self.picture = picture
        self.redraw()

    def redraw(self) -> None:
        """Draw it, unless this very picture stands there already."""
        app: ConsoleApp = self.app  # type: ignore[assignment]
        width = min(self.size.width, WIDEST)
        if width < 10:
            return
        wanted = (self.picture, width, app.system, app.theme)
        if wanted == self._drawn:
            return
        self._drawn = wanted
        from console.pictures import draw, rows_wanted
        from console.pictures.palettes import PALETTES

        try:
            height = rows_wanted(self.picture, width, TALL, app.system, app.ascii_only)
            rows = draw(self.picture, width, height, app.system, PALETTES[app.theme], app.ascii_only)
        except Exception as error:
            app.note_trouble(error)
            self.update(line(("This picture could not be drawn; the numbers above stand.", "$quiet")))
            return
        self.update(Text("\n").join(rows))
