"""Rows with a bar: reasons and drivers, each share as long as it is."""

from __future__ import annotations

from collections.abc import Sequence

from textual.binding import Binding
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from console.tui.guarded import Guarded
from console.tui.words import line, lines_of

_EIGHTHS = " ▏▎▍▌▋▊▉"
BAR = 12
LEFT = 20
"""Columns of the bar and its figure; the text hangs beside them."""

Shared = tuple[float | None, Content]


def bar(share: float, width: int = BAR, ascii_only: bool = False) -> str:
    """A share 0..1 as a bar of at most ``width`` cells, true to an eighth of a cell."""
    share = min(max(share, 0.0), 1.0)
    if ascii_only:
        return ("#" * round(share * width)).ljust(width, ".")
    full, rest = divmod(round(share * width * 8), 8)
    return ("█" * full + (_EIGHTHS[rest] if rest else "")).ljust(width)


def percent(share: float) -> str:
    """A share as text."""
    return "<1 %" if 0 < share < 0.01 else f"{share * 100:.0f} %"


def hang(rows: Sequence[Shared], width: int, ascii_only: bool = False) -> list[Content]:
    """The rows as lines: the bar and its figure in front, the text wrapped beside them."""
    lines: list[Content] = []
    left = LEFT if any(share is not None for share, _ in rows) else 0
    for share, text in rows:
        front = line(" " * left)
        if share is not None:
            figure = f" {percent(share):>5}"
            front = line((bar(share, BAR, ascii_only), "$key"), figure.ljust(LEFT - BAR))
        for part in text.split("\n"):
            for piece in part.wrap(max(width - left, 10)):
                lines.append(Content.assemble(front, piece))
                front = line(" " * left)
    return lines


class ShareRows(Widget):
    """Shares as bars and figures, and beside each what it is a share of."""

    def __init__(
        self, rows: Sequence[Shared] = (), ascii_only: bool = False, id: str | None = None
    ) -> None:
        super().__init__(id=id)
        self._rows = tuple(rows)
        self._ascii = ascii_only

    def show(self, rows: Sequence[Shared]) -> None:
        """Write other rows."""
        if tuple(rows) != self._rows:
            self._rows = tuple(rows)
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(hang(self._rows, width, self._ascii))

    def render(self) -> Content:
        return lines_of(hang(self._rows, self.content_size.width, self._ascii))


class DriverRow(Guarded, ShareRows, can_focus=True):
    """An input that would sharpen the answer; Enter goes to it on the boat."""

    BINDINGS = [Binding("enter", "go", "Change it")]  # noqa: RUF012

    class Go(Message):
        """The owner wants to change the input at ``path``."""

        def __init__(self, path: str) -> None:
            super().__init__()
            self.path = path

    def __init__(self, path: str, share: float, text: Content, ascii_only: bool = False) -> None:
        super().__init__([(share, text)], ascii_only)
        self.path = path

    def action_go(self) -> None:
        self.post_message(self.Go(self.path))

    def on_click(self) -> None:
        self.post_message(self.Go(self.path))
