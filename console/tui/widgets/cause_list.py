"""What it may be: a bar for each cause, with how it moved since the last answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from console.tui.guarded import Guarded
from console.tui.words import line, lines_of, short

if TYPE_CHECKING:
    from console.inference.look import Look

BAR = 14
KEPT, GAINED, LOST, EMPTY = "█", "▓", "░", " "
ASCII = ("#", "+", "-", ".")
FIGURES = 12


def percent(chance: float) -> str:
    """A chance as text."""
    return "<1" if 0 < chance < 0.005 else f"{100 * chance:.0f}"


def bar_of(now: float, was: float | None, width: int = BAR, ascii_only: bool = False) -> Content:
    """What stayed, what came to it, and what it lost since the last answer; each in its own shape."""
    kept_mark, gained_mark, lost_mark, empty = ASCII if ascii_only else (KEPT, GAINED, LOST, EMPTY)
    before = now if was is None else was
    there, then = round(now * width), round(before * width)
    there = max(there, 1) if now >= 0.005 else there
    kept = min(there, then) if was is not None else there
    gained, lost = max(there - kept, 0), max(then - there, 0)
    return line(
        (kept_mark * kept, "$key"), (gained_mark * gained, "bold $watch"), (lost_mark * lost, "$quiet"),
        empty * max(width - kept - gained - lost, 0),
    )  # fmt: skip


def figures_of(now: float, was: float | None, ascii_only: bool = False) -> str:
    """``"22 → 61 %"``, or ``"61 %"`` when it stayed."""
    if was is None or percent(was) == percent(now):
        return f"{percent(now)} %"
    return f"{percent(was)} {'->' if ascii_only else '→'} {percent(now)} %"


class CauseList(Guarded, OptionList):
    """Causes, the likeliest first; Enter or a click on one tells of it and what to do."""

    BINDINGS = [Binding("enter", "select", "What to do")]  # noqa: RUF012

    class Chosen(Message):
        """The owner wants to know more of a cause."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id, markup=False, compact=True)
        self._shown: object = None

    def show(self, look: Look | None, before: Look | None, ascii_only: bool, two_lines: bool) -> None:
        """Write the bars anew."""
        width = max(self.size.width - 2, 30)
        now = (look, before, ascii_only, two_lines, width)
        if now == self._shown:
            return
        self._shown = now
        marked = self.highlighted
        options = []
        for bet in look.bets if look else ():
            was = before.chance_of(bet.key) if before else None
            bar = bar_of(bet.chance, was, BAR, ascii_only)
            figures = figures_of(bet.chance, was, ascii_only)
            moved = was is not None and percent(was) != percent(bet.chance)
            text = (figures.rjust(FIGURES), "bold" if moved else "")
            if two_lines:
                row = lines_of([line(short(bet.title, width)), line("  ", bar, text)])
            else:
                row = line(bar, text, "  ", short(bet.title, width - BAR - FIGURES - 2))
            options.append(Option(row, id=bet.key))
        self.clear_options()
        self.add_options(options)
        if look is not None and look.others:
            rest = f"and {look.others} more, each under 1 %"
            self.add_option(Option(line((rest, "$quiet")), disabled=True))
        if marked is not None and options:
            self.highlighted = min(marked, len(options) - 1)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_id:
            self.post_message(self.Chosen(event.option_id))
