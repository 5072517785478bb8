"""Rows with a bar: reasons and drivers, each share as long as it is."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from console.tui.guarded import Guarded
from console.tui.words import line

_EIGHTHS = " ▏▎▍▌▋▊▉"
BAR = 12


def bar(share: float, width: int = BAR, ascii_only: bool = False) -> str:
    """A share 0..1 as a bar of at most ``width`` cells, true to an eighth of a cell."""
    share = min(max(share, 0.0), 1.0)
    if ascii_only:
        return ("#" * round(share * width)).ljust(width, ".")
    eighths = round(share * width * 8)
    full, rest = divmod(eighths, 8)
    return ("█" * full + (_EIGHTHS[rest] if rest else "")).ljust(width)


def percent(share: float) -> str:
    """A share as text."""
    return "<1 %" if 0 < share < 0.01 else f"{share * 100:.0f} %"


class ShareRow(Horizontal):
    """A share as a bar and a figure, and beside it what it is a share of."""

    def __init__(self, share: float | None, text: Content, ascii_only: bool = False) -> None:
        super().__init__(classes="share-row")
        self._share = share
        self._text = text
        self._ascii = ascii_only

    def compose(self) -> ComposeResult:
        if self._share is None:
            left = line("")
        else:
            left = line((bar(self._share, BAR, self._ascii), "$key"), f" {percent(self._share):>5}")
        yield Static(left, markup=False, classes="share-bar")
        yield Static(self._text, markup=False, classes="share-text")


class DriverRow(Guarded, Horizontal, can_focus=True):
    """An input that would sharpen the answer; Enter goes to it on the boat."""

    BINDINGS = [Binding("enter", "go", "Change it")]  # noqa: RUF012

    class Go(Message):
        """The owner wants to change the input at ``path``."""

        def __init__(self, path: str) -> None:
            super().__init__()
            self.path = path

    def __init__(self, path: str, share: float, text: Content, ascii_only: bool = False) -> None:
        super().__init__(classes="share-row driver")
        self.path = path
        self._share = share
        self._text = text
        self._ascii = ascii_only

    def compose(self) -> ComposeResult:
        left = line((bar(self._share, BAR, self._ascii), "$key"), f" {percent(self._share):>5}")
        yield Static(left, markup=False, classes="share-bar")
        yield Static(self._text, markup=False, classes="share-text")

    def action_go(self) -> None:
        self.post_message(self.Go(self.path))

    def on_click(self) -> None:
        self.post_message(self.Go(self.path))
