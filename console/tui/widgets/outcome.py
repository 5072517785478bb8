"""Where a guided check ends: what it is, how bad, what can be done, and by whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static

from console.tui.guarded import Guarded
from console.tui.widgets.answers import AnswerList, caution_lines
from console.tui.words import line, lines_of, sentence

if TYPE_CHECKING:
    from console.inference.look import Look, Remedy

KNOWS = "That is as sure as it gets. Nothing else you can take would change it much."
CANNOT = "It cannot tell from what you can read: nothing else you can take would part the causes."
SO_FAR = "This is where it stands; there is more that would settle it."
ROUGH = "These readings are so sharp together that the shares are rough."
LAST = "Guidance, not a survey; local codes and licensed practice come before anything said here."


class Outcome(Guarded, Vertical):
    """The verdict, what can be done with it, and the remedies with their cautions."""

    class Do(Message):
        """The owner wants something done: ``sheet:CAUSE``, ``note``, ``log``, ``on``, ``pick``, ``afresh``."""

        def __init__(self, what: str) -> None:
            super().__init__()
            self.what = what

    def __init__(self, look: Look, to_log: int, has_home: bool, in_full: bool) -> None:
        super().__init__(classes="result")
        self.look, self._to_log, self._has_home, self._in_full = look, to_log, has_home, in_full

    def compose(self) -> ComposeResult:
        look = self.look
        yield Static(lines_of(self._head()), markup=False, id="result-verdict")
        yield AnswerList(self._doings(), id="result-doings")
        for number, remedy in enumerate(look.remedies, 1):
            yield Static(line((f"{number}. If it is this: {remedy.title}", "bold"), (f"  {remedy.notes}", "$quiet")),
                         markup=False)  # fmt: skip
            if remedy.cautions:
                rows = caution_lines(remedy.cautions, self._in_full)
                yield Static(lines_of(rows), markup=False, classes="cautions")
            yield Static(lines_of(self._work(remedy)), markup=False)
        yield Static(line((LAST, "$quiet")), markup=False)

    def _head(self) -> list[Content]:
        look = self.look
        end = (KNOWS if look.named else CANNOT) if look.ended else SO_FAR
        rows = [line((sentence(look.verdict), "bold")), line((end, "$quiet"))]
        first = look.bets[0] if look.bets else None
        if look.named and first is not None:
            if first.severity:
                rows.append(line(("How bad: ", "bold $key"), sentence(first.severity)))
            if first.why:
                rows.append(line(("Why: ", "bold $key"), sentence(first.why)))
        if look.rough:
            rows.append(line((ROUGH, "$quiet")))
        rows += [line(("✕ Not working: ", "bold $unknown"), sentence(each)) for each in look.unwell]
        return rows

    @staticmethod
    def _work(remedy: Remedy) -> list[Content]:
        rows = [line(sentence(remedy.work))]
        rows += [line((sentence(each), "$quiet")) for each in remedy.after]
        return [*rows, line("")]

    def _doings(self) -> list[tuple[str, Content]]:
        rows: list[tuple[str, str, str]] = []
        if self.look.following is not None:
            rows.append(("on", "Go on: ", f"{self.look.following.reading.title}?"))
        for remedy in self.look.remedies[:3]:
            rows.append((f"sheet:{remedy.key}", "Job sheet: ", remedy.title))
        rows.append(("note", "Note for the technician", ""))
        if self._to_log:
            many = "the reading" if self._to_log == 1 else f"the {self._to_log} readings"
            where = "" if self._has_home else "  once the boat has a file (Ctrl+S)"
            rows.append(("log", f"Write {many} into the log", where))
        rows.append(("pick", "Your readings: put one right, or take another", ""))
        rows.append(("afresh", "Start afresh", "  after something was mended"))
        return [
            (key, line((f"{number} " if number < 10 else "  ", "bold $key"), (what, "bold"), more))
            for number, (key, what, more) in enumerate(rows, 1)
        ]

    def focus_first(self) -> None:
        """Go to what can be done."""
        self.screen.set_focus(self.query_one(AnswerList), scroll_visible=False)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Do(event.option_id or ""))
