"""What every screen of the desk has."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.dom import DOMNode
from textual.screen import Screen

from console.tui.guarded import Guarded
from console.tui.widgets.title import TitleBar

if TYPE_CHECKING:
    from console.tui.app import ConsoleApp

WIDE = 110
"""Columns from which a screen has two columns."""


class DeskScreen(Guarded, Screen[None]):
    """A screen that shows something of the boat on the desk."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (WIDE, "-wide")]  # noqa: RUF012

    @property
    def host(self) -> ConsoleApp:
        """The app, as what it is."""
        return console_app(self)

    def on_screen_resume(self) -> None:
        self.show()

    def show(self) -> None:
        """Repaint everything that depends on the desk."""
        self.show_title()

    def show_title(self) -> None:
        """Repaint the title line."""
        app = self.host
        desk = app.desk
        bars = self.query(TitleBar)
        if not bars:
            return
        name = desk.boat.name if desk else (app.path.stem if app.path else "boat console")
        where = "" if desk is None else (desk.home.name if desk.home else desk.called)
        if desk is not None and desk.home is None and not desk.is_demo:
            name, where = desk.called, ""
        bars.first().show(name, where, desk is not None and desk.unsaved, app.doing, app.system)


def console_app(node: DOMNode) -> ConsoleApp:
    """The app a widget lives in, as what it is."""
    return cast("ConsoleApp", node.app)
