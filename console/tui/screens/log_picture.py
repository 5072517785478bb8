"""One reading over its days, on the whole screen."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen

from console.contract import Picture
from console.tui.guarded import Guarded
from console.tui.widgets.picture import PictureView


class LogPictureScreen(Guarded, ModalScreen[None]):
    """The picture alone; Esc closes it."""

    CSS_PATH = "../dialogs.tcss"
    BINDINGS = [Binding("escape,g,q,enter", "dismiss", "Close")]  # noqa: RUF012

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self._picture = picture

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog log-picture"), VerticalScroll(id="log-picture-scroll"):
            yield PictureView(self._picture)

    def on_mount(self) -> None:
        self.query_one("#log-picture-scroll").focus()
