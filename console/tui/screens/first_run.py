"""The first run: a few questions, each skippable, make a boat file of the owner's own."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.boatfile import BoatFileError
from console.desk import Desk
from console.first_boat import Ask, Said, Without, begun, first_asks
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.screens.dialogs import LeaveScreen, SaveScreen
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.moves import MovesView
from console.tui.widgets.title import TitleBar
from console.tui.words import line, lines_of, plain, sentence

FILE = "my-boat.toml"
NEW = "your own boat"
SKIP, ABSENT, TAKE, BACK, SAVE, LATER = "skip", "absent", "take", "back", "save", "later"
WORD = "word:"
DONE = "That is all. Everything else is assumed until you know better."
LIST_TALLEST = 6


class FirstRunScreen(DeskScreen):
    """One question at a time, and beside it what the console can say already."""

    CSS_PATH = "../first_run.tcss"
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "leave", "Leave"),
        Binding("shift+tab,ctrl+z", "before", "Question before", key_display="⇧Tab"),
        Binding("ctrl+s", "save", "Save"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._asks: tuple[Ask, ...] = ()
        self._said: dict[str, Said] = {}
        self._at = 0
        self._old: Desk | None = None
        self._old_system = self.host.system

    def compose(self) -> ComposeResult:
        yield TitleBar()
        with Horizontal(id="first-columns"):
            with VerticalScroll(id="first-left", can_focus=False):
                yield Static("", markup=False, id="first-head")
                yield Static("", markup=False, id="first-list")
                with Vertical(id="first-ask"):
                    yield Static("", markup=False, id="first-how")
                    yield TextInput(id="first-text", compact=True)
                    yield Static("", markup=False, id="first-said")
                    yield OptionList(id="first-ways", compact=True, markup=False)
            with VerticalScroll(id="first-right", can_focus=False):
                yield MovesView(id="first-moves")
        yield KeyLine()

    def on_mount(self) -> None:
        app = self.host
        self._old, self._old_system = app.desk, app.system
        self._asks = first_asks(app.registry)
        app.change_desk(Desk(begun(app.registry, self._asks, {}), None, NEW))
        self._ask()

    # --- what is shown ----------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        self._show_list()
        desk = self.host.desk
        if desk is not None:
            self.query_one(MovesView).show(
                desk.moves(), self.host.system, desk.now.best is not None, self.size.width >= WIDE
            )

    def on_resize(self) -> None:
        self.show()

    def _show_list(self) -> None:
        count = {5: "five"}.get(len(self._asks), str(len(self._asks)))
        self.query_one("#first-head", Static).update(
            lines_of([
                line((f"Your own boat, from {count} questions", "bold")),
                line(("Skip what you do not know. The answers fill in as you go.", "$quiet")),
            ])
        )  # fmt: skip
        rows = []
        for number, ask in enumerate(self._asks):
            said = self._said.get(ask.path)
            here = number == self._at
            mark = ("▸ ", "bold $key") if here else ("✓ " if said is not None else "  ", "$fine")
            answer = said.value if isinstance(said, Without) else (said or "")
            rows.append(
                line(
                    mark,
                    (ask.fact.ask, "bold" if here else ""),
                    "  ",
                    (answer, "bold" if isinstance(said, str) else "$quiet"),
                )
            )
        self.query_one("#first-list", Static).update(lines_of(rows))

    def _ask(self) -> None:
        """Put the question that is next, or what can be done once all are answered."""
        ask = self._asks[self._at] if self._at < len(self._asks) else None
        how, field = self.query_one("#first-how", Static), self.query_one("#first-text", TextInput)
        self.query_one("#first-said", Static).display = False
        words = ask.item.choices if ask else ()
        field.display = ask is not None and not words
        ways = [(f"{WORD}{word}", word.replace("_", " ").capitalize()) for word in words]
        if ask is None:
            how.update(line(DONE))
            ways += [(SAVE, "Save her in a file"), (LATER, "Look at the answers first, and save later")]
        else:
            how.update(line(self._how(ask)))
            ways += [] if words else [(TAKE, "Take what is typed")]
            ways.append((SKIP, "Skip: I do not know"))
            ways += [(ABSENT, "There is none aboard")] if ask.absentable else []
        ways += [(BACK, "The question before")] if self._at else []
        listing = self.query_one("#first-ways", OptionList)
        listing.clear_options()
        listing.add_options([Option(plain(text), id=key) for key, text in ways])
        listing.styles.height = min(len(ways), LIST_TALLEST)
        listing.highlighted = 0
        said = self._said.get(ask.path) if ask else None
        if ask is not None and not words:
            field.value = said if isinstance(said, str) else ""
            field.cursor_position = len(field.value)
            self.set_focus(field)
        else:
            if isinstance(said, str) and said in words:
                listing.highlighted = words.index(said)
            self.set_focus(listing)
        self._show_list()

    def _how(self, ask: Ask) -> str:
        if ask.item.kind != "quantity":
            return sentence(ask.item.help)
        return f"{sentence(ask.item.help)} Any unit, such as {ask.fact.example}."

    # --- answering --------------------------------------------------------------------------

    @on(TextInput.Submitted, "#first-text")
    def _entered(self, event: TextInput.Submitted) -> None:
        self._answer(event.value.strip() or Without.UNKNOWN)

    @on(OptionList.OptionSelected, "#first-ways")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        way = event.option_id or ""
        if way.startswith(WORD):
            self._answer(way.removeprefix(WORD))
        elif way == TAKE:
            self._answer(self.query_one("#first-text", TextInput).value.strip() or Without.UNKNOWN)
        elif way == SKIP:
            self._answer(Without.UNKNOWN)
        elif way == ABSENT:
            self._answer(Without.ABSENT)
        elif way == BACK:
            self.action_before()
        elif way == SAVE:
            self.action_save()
        elif way == LATER:
            self._finish("")

    def _answer(self, said: Said) -> None:
        app = self.host
        if self._at >= len(self._asks) or app.desk is None:
            return
        ask = self._asks[self._at]
        try:
            boat = begun(app.registry, self._asks, {**self._said, ask.path: said})
        except BoatFileError as error:
            told = self.query_one("#first-said", Static)
            told.display = True
            told.update(line(("✕ " + sentence(error.sentence), "bold $act")))
            return
        self._said[ask.path] = said
        if app.chosen_system is None and isinstance(said, str):
            from console.results import system_of

            system = system_of(boat)
            if system != app.system:
                app.system = system
                app.desk.forget_before()
        if app.desk.begin(boat, ask.path):
            app.ask_answers()
        self._at += 1
        self._ask()
        if self._at == len(self._asks):
            self.action_save()

    def action_before(self) -> None:
        """Go back to the question before."""
        if self._at:
            self._at -= 1
            self._ask()

    # --- the end ----------------------------------------------------------------------------

    def action_save(self) -> None:
        """Ask where the boat is to be saved."""
        if self.host.desk is not None:
            self.app.push_screen(SaveScreen(self.host.desk, FILE), self._saved)

    def _saved(self, where: str | None) -> None:
        if where:
            self._finish(f"Saved to {where}")

    def _finish(self, note: str) -> None:
        app = self.host
        app.path = app.desk.home if app.desk else None
        self.app.pop_screen()
        app.say(note or "This is your own boat now; Ctrl+S saves her")

    def action_leave(self) -> None:
        """Go back to the boat that was on the desk; ask first when something was answered."""
        if any(isinstance(said, str) for said in self._said.values()):
            self.app.push_screen(LeaveScreen("Your own boat"), self._leaving)
        else:
            self._leaving("leave")

    def _leaving(self, wish: str | None) -> None:
        app = self.host
        if wish == "save":
            self.action_save()
        elif wish == "leave":
            app.system = self._old_system
            self.app.pop_screen()
            app.change_desk(self._old)
