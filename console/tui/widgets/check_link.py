"""The way from a card into the guided check."""

from __future__ import annotations

from textual.binding import Binding
from textual.message import Message
from textual.widgets import Static

from console.tui.guarded import Guarded
from console.tui.words import line


class CheckLink(Guarded, Static, can_focus=True):
    """Offers the check of what the card is about; Enter or a click goes there."""

    BINDINGS = [Binding("enter", "go", "Find out why")]  # noqa: RUF012

    class Go(Message):
        """The owner wants to find out why."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__("", markup=False, id=id)
        self.display = False

    def show(self, complaint: str) -> None:
        """Offer it for a complaint; ``""`` hides it."""
        self.display = bool(complaint)
        self.update(
            line(
                ("▸ Find out why: ", "bold $key"),
                complaint,
                ("  a guided check (", "$quiet"),
                ("y", "bold $key"),
                (")", "$quiet"),
            )
        )

    def action_go(self) -> None:
        self.post_message(self.Go())

    def on_click(self) -> None:
        self.post_message(self.Go())
