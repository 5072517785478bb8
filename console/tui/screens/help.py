"""Help: what the keys do and what the words mean."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from console.tui.guarded import Guarded
from console.tui.widgets.title import Heading
from console.tui.words import line

KEYS = (
    ("Everywhere", (
        ("↑ ↓ ← →  Tab", "move; the mouse works too"),
        ("Enter", "open or edit what is marked"),
        ("Esc", "back, and out of an edit without changing anything"),
        ("u", "switch between US and SI units"),
        ("y", "why? a guided check of what is wrong, one question at a time"),
        ("b  l  w  c", "the boat, the log, the work list, compare two versions"),
        ("m", "on the questions: a boat file of your own, from a few questions"),
        ("t", "dark, light, and red for the night watch"),
        ("Ctrl+S", "save the boat (nothing is saved before)"),
        ("Ctrl+P", "everything by name"),
        ("?  F1", "this page"),
        ("q  Ctrl+Q", "leave"),
    )),
    ("On a card", (
        ("n  p", "next card, card before"),
        ("Tab, Enter", "go to an input that would sharpen the answer"),
    )),
    ("On the boat", (
        ("Enter", "edit in any unit: 2 ft ± 3 in, 84 F, 35 % ± 10 %"),
        ("/", "find an input by a part of its name"),
        ("Del", "forget your value: back to what is assumed"),
        ("Ctrl+Z  Ctrl+Y", "undo, redo"),
    )),
    ("In the guided check", (
        ("1 2 3  Enter", "answer; a number may have any unit"),
        ("d  n  s", "cannot tell, cannot reach it, ask something else first"),
        ("r  v", "your readings; what it comes to, job sheet and note"),
        ("x  Ctrl+Z", "stop the weighing, take the last answer back"),
    )),
    ("On the work list", (
        ("Enter", "open a job sheet; on it, try the job on the boat"),
        ("m", "rank by time, or by the money you noted"),
        ("c  d  a", "note what a job costs, when it is due, a job of your own"),
    )),
    ("Comparing", (
        ("f  e  o", "with the file, with before the last edit, with another boat file"),
    )),
    ("On the log", (
        ("Enter", "write down what is marked; on what was written, put it right"),
        ("Tab", "from the readings to what was written"),
        ("Del", "make an entry void, or let it count again; nothing is ever lost"),
        ("i  x  p", "read a CSV file in, write one, print the paper sheet"),
    )),
)  # fmt: skip

WORDS = (
    ("2.1 gal/min (1.7 to 2.6)", "the likeliest number, and the range that holds it nine times in ten"),
    ("● measured", "you read it on the boat"),
    ("◐ given", "you stated it: a label, a ruler, a drawing"),
    ("○ assumed", "a usual value with a wide range; replace it to sharpen the answers"),
    ("■ ACT NOW", "it fails, or is about to"),
    ("▲ WATCH", "it holds for now, with little room"),
    ("? NOT KNOWN", "the facts do not tell"),
    ("● FINE", "nothing to do"),
    ("○ NOT ABOARD", "the boat file does not mention it"),
)


LIMITS = (
    "It computes from what you tell it and says how sure it is. It is guidance, not a survey. Mains, "
    "gas, refrigerant, batteries and anything below the waterline can hurt: local codes and licensed "
    "practice come first."
)


class HelpRow(Horizontal):
    """A word or a key, and beside it what it means."""

    def __init__(self, word: str, meaning: str) -> None:
        super().__init__(classes="help-row")
        self._word, self._meaning = word, meaning

    def compose(self) -> ComposeResult:
        yield Static(line((self._word, "bold")), markup=False, classes="help-word")
        yield Static(line(self._meaning), markup=False, classes="help-meaning")


class HelpScreen(Guarded, ModalScreen[None]):
    """One scrolling page; Esc closes it."""

    CSS_PATH = "../dialogs.tcss"
    BINDINGS = [Binding("escape,question_mark,f1,q,enter", "dismiss", "Close")]  # noqa: RUF012

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog help"), VerticalScroll(id="help-scroll"):
            yield Heading("What you are looking at")
            for word, meaning in WORDS:
                yield HelpRow(word, meaning)
            for title, keys in KEYS:
                yield Heading(title, classes="help-part")
                for key, does in keys:
                    yield HelpRow(key, does)
            yield Heading("What the console cannot know", classes="help-part")
            yield Static(line(LIMITS), markup=False)

    def on_mount(self) -> None:
        self.query_one("#help-scroll").focus()
