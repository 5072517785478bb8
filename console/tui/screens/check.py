"""The guided check: one question at a time, and what the answers so far make of each cause."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Input as TextInput
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from console.checking import Check
from console.contract import Caution
from console.inference.look import telling_words
from console.inference.next_step import NextReading
from console.tui.checks import DOING, ask_look, check_on
from console.tui.screens.base import WIDE, DeskScreen
from console.tui.screens.check_list import ReadingsScreen, said_rows
from console.tui.widgets.answers import Asking
from console.tui.widgets.cause_list import CauseList
from console.tui.widgets.keys import KeyLine
from console.tui.widgets.outcome import Outcome
from console.tui.widgets.pane import Pane
from console.tui.widgets.title import Heading, TitleBar
from console.tui.words import line, lines_of, sentence

WAITING = "Working out what to ask first."
WEIGHING = "Weighing what you said."
STOPPED = "Stopped. The shares are those of a first look; x goes on."
NUMBERS_FIRST = "The boat's own numbers come first; the check begins by itself."
NO_HOME = "This boat has no file yet, so it has no log. Save it first (Ctrl+S)"
KEEPS = 0.4
"""A question that stands stays, unless another is worth so much more for its minutes."""


class CheckScreen(DeskScreen):
    """A guided check of one complaint; it can be left and taken up again."""

    CSS_PATH = "../check.tcss"
    AUTO_FOCUS = ""
    BINDINGS = [  # noqa: RUF012
        Binding("escape", "back", "Back"),
        Binding("r", "readings", "Readings"),
        Binding("v", "outcome", "What now"),
        Binding("x", "hold", "Stop"),
        Binding("ctrl+z", "undo", "Undo"),
        Binding("c", "cautions", "Cautions in full", show=False),
        Binding("d", "aside('unknown')", "Cannot tell", show=False),
        Binding("n", "aside('unreachable')", "Cannot reach", show=False),
        Binding("s", "aside('later')", "Later", show=False),
    ]
    LETTERS = ("readings", "outcome", "hold", "cautions", "aside")

    def __init__(self, complaint: str) -> None:
        super().__init__()
        self.complaint = complaint
        self._outcome = False
        self._in_full = False
        self._standing: object = None
        self._question = ""

    def compose(self) -> ComposeResult:
        yield TitleBar()
        yield Static("", markup=False, id="check-head")
        with Horizontal(id="check-columns"):
            with Pane(id="check-pane"):
                yield Static("", markup=False, id="check-doubt")
                yield Vertical(id="check-body")
                yield Static("", markup=False, id="check-groups")
            with Vertical(id="check-beside"):
                yield Static("", markup=False, id="check-so-far")
                yield CauseList(id="check-causes")
                yield Heading("Your readings", id="check-said-title")
                yield OptionList(id="check-said", markup=False, compact=True)
        yield KeyLine()

    @property
    def check(self) -> Check | None:
        """The check, with the boat that is on the desk now."""
        desk = self.host.desk
        return check_on(desk, self.complaint) if desk else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if action in self.LETTERS and isinstance(self.focused, TextInput) and self.focused.value:
            return False  # there a letter is a letter
        check = self.check if action == "hold" else None
        return action != "hold" or (check is not None and (check.held or self.host.doing.startswith(DOING)))

    # --- what is shown ------------------------------------------------------------------------

    def show(self) -> None:
        super().show()
        check = self.check
        if check is not None:
            ask_look(self.host, check)
            self.call_later(self._paint)

    def show_title(self) -> None:
        super().show_title()
        if self.is_mounted:
            self._show_head()
            self.refresh_bindings()

    def on_resize(self) -> None:
        self.call_after_refresh(self._show_beside)

    def _show_head(self) -> None:
        check, doing = self.check, self.host.doing
        if check is None:
            return
        many = len({each.name for each in check.wish.given})
        aside = len([n for n in (*check.wish.cannot, *check.wish.later) if not check.said_of(n)])
        parts = [f"{many} reading{'s' if many != 1 else ''}"] + ([f"{aside} set aside"] if aside else [])
        state = sentence(doing).rstrip(".") + "…" if doing.startswith(DOING) else ", ".join(parts)
        self.query_one("#check-head", Static).update(line((check.title, "bold"), (f"   {state}", "$quiet")))

    async def _paint(self) -> None:
        check = self.check
        if check is None or not self.is_mounted:
            return
        self._show_head()
        self._show_beside()
        look = check.look
        doubt = self.query_one("#check-doubt", Static)
        doubt.display = bool(look and look.doubt)
        doubt.update(line(("✕ ", "bold $act"), (look.doubt if look else "", "bold")))
        groups = self.query_one("#check-groups", Static)
        groups.display = bool(look and look.groups)
        groups.update(lines_of([line(("≈ ", "bold $key"), each) for each in look.groups] if look else []))
        await self._show_body(check)

    def _show_beside(self) -> None:
        check = self.check
        if check is None:
            return
        app, look = self.host, check.look
        wide = self.size.width >= WIDE
        words = look.verdict if look else "What it may be"
        stale = "" if check.fresh() else "  …"
        self.query_one("#check-so-far", Static).update(line((words, "bold"), (stale, "$key")))
        self.query_one(CauseList).show(look, check.before, app.ascii_only, wide)
        listing = self.query_one("#check-said", OptionList)
        rows = said_rows(check, 50)
        at = listing.highlighted
        listing.clear_options()
        listing.add_options([Option(row, id=name) for name, row in rows])
        if rows and at is not None:
            listing.highlighted = min(at, len(rows) - 1)
        self.query_one("#check-said-title").display = wide and bool(rows)
        listing.display = wide and bool(rows)

    def _following(self, check: Check) -> NextReading | None:
        """What to ask: what the look says, unless the question that stands is nearly as good."""
        look = check.look
        if look is None or not check.fresh():
            return None
        following = look.following
        if following is not None and not following.again and self._question not in check.wish.later:
            for each in look.ranked:
                if each.reading.name == self._question and each.rate >= KEEPS * following.rate:
                    return each
        return following

    async def _show_body(self, check: Check) -> None:
        look, app = check.look, self.host
        following = self._following(check)
        picked = check.reading(check.asked) if check.asked else None
        reading = picked or (following.reading if following else None)
        ended = look is not None and look.ended and check.fresh()
        if check.failed:
            await self._stand(("failed", check.failed), lambda: _Note(check.failed, "bold $act"))
        elif look is not None and check.fresh() and (ended or self._outcome) and picked is None:
            desk = app.desk
            new = len([each for each in check.wish.given if each not in check.logged])
            home = desk is not None and desk.home is not None
            key: tuple[object, ...] = ("outcome", look, new, home, self._in_full)
            await self._stand(key, lambda: Outcome(look, new, home, self._in_full))
        elif reading is not None:
            again = following is not None and following.again and picked is None
            self._question = reading.name
            key = (
                "asking",
                reading.name,
                again,
                picked is not None,
                app.system,
                self._in_full,
                check.said_of(reading.name),
            )
            await self._stand(key, lambda: self._asking(check, reading.name, again, picked is not None))
        else:
            words = WAITING if look is None else WEIGHING
            first = app.desk is not None and app.desk.now.fine is None
            words = STOPPED if check.held else NUMBERS_FIRST if first else words
            await self._stand(("note", words), lambda: _Note(words, "$quiet"))

    def _asking(self, check: Check, name: str, again: bool, picked: bool) -> Widget:
        reading, look = check.reading(name), check.look
        assert reading is not None
        known = (*([look.following] if look.following else []), *look.ranked) if look else ()
        gain = next((each for each in known if each.reading.name == name), None)
        meta = f"about {reading.minutes:.0f} min" + (f", {telling_words(gain)}" if gain else "")
        mend = None
        if look is not None and look.action is not None and not picked:
            acting = look.action
            mend = (acting.key, f"{acting.title}, about {acting.minutes:.0f} min")
        cautions = self._cautions(reading.hazards)
        return Asking(check, reading, self.host.system, cautions, meta, again, picked, mend, self._in_full)

    def _cautions(self, hazards: tuple[str, ...]) -> tuple[Caution, ...]:
        from console.engine.estimate import cautions_for

        return cautions_for(self.host.registry.cautions, hazards)

    async def _stand(self, key: object, make: Callable[[], Widget]) -> None:
        """Put something into the body, unless it stands there already."""
        if key == self._standing:
            return
        self._standing = key
        body = self.query_one("#check-body", Vertical)
        held = self.focused
        inside = held is None or body in held.ancestors
        if inside:
            self.set_focus(None)  # else it would wander off to the bars
        with self.app.batch_update():
            await body.remove_children()
            made = make()
            await body.mount(made)
        pane = self.query_one("#check-pane", Pane)
        pane.scroll_home(animate=False)
        if isinstance(made, (Asking, Outcome)) and (inside or self.focused is None):
            made.focus_first()

    # --- what the owner says ------------------------------------------------------------------

    @on(Asking.Told)
    def _told(self, message: Asking.Told) -> None:
        check = self.check
        if check is not None:
            self._outcome, self._question = False, ""
            check.say(*message.answers)
            self.show()

    @on(Asking.Aside)
    def _set_aside(self, message: Asking.Aside) -> None:
        self._aside(message.name, message.why)

    def action_aside(self, why: str) -> None:
        """Answer the question that stands with nothing."""
        standing = self.query(Asking)
        if standing:
            self._aside(standing.first().reading.name, why)

    def _aside(self, name: str, why: str) -> None:
        check = self.check
        if check is None:
            return
        self._outcome, self._question = False, ""
        if why == "back":
            check.asked = ""
        elif why == "later":
            check.put_off(name)
        else:
            check.cannot(name, why, keep=any(each.again for each in self.query(Asking)))
        self.show()

    @on(Asking.Remedy)
    def _remedy(self, message: Asking.Remedy) -> None:
        self._open_cause(message.cause)

    @on(CauseList.Chosen)
    def _cause(self, message: CauseList.Chosen) -> None:
        self._open_cause(message.key)

    def _open_cause(self, key: str) -> None:
        from console.tui.screens.check_paper import PaperScreen

        check = self.check
        if check is not None:
            self.app.push_screen(PaperScreen(check, key))

    @on(OptionList.OptionSelected, "#check-said")
    def _said(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._pick(event.option_id or "")

    def _pick(self, name: str | None) -> None:
        check = self.check
        if check is not None and name:
            check.asked, self._outcome = name, False
        self.set_focus(None)
        self.show()

    @on(Outcome.Do)
    def _do(self, message: Outcome.Do) -> None:
        check, what = self.check, message.what
        if check is None:
            return
        if what.startswith("sheet:"):
            self._open_cause(what.removeprefix("sheet:"))
        elif what == "note":
            self._open_cause("")
        elif what == "pick":
            self.action_readings()
        elif what == "log":
            self.run_worker(self._log(check), exclusive=True, exit_on_error=False)
        elif what == "afresh":
            check.afresh()
            self._outcome, self._question = False, ""
            self.show()
        else:
            self._outcome, self._question = False, ""
            self.show()

    async def _log(self, check: Check) -> None:
        """Write what was read into the log, each at the time it was told."""
        from console.checking import entries
        from console.logbook import LogError
        from console.logbook.desk import LogDesk

        desk = self.host.desk
        if desk is None or desk.home is None:
            self.host.say(NO_HOME, "warning")
            return
        log = LogDesk(desk.boat, desk.home)
        made, left = entries(check, log, self.host.system)
        try:
            for entry in made:
                await asyncio.to_thread(log.write, entry)
        except LogError as error:
            self.host.say(str(error), "error")
            return
        check.logged |= set(check.wish.given)
        many = f"{len(made)} {'reading' if len(made) == 1 else 'readings'} written into the log"
        self.host.say(
            many + (f"; not these, which a log cannot hold so: {', '.join(left)}" if left else "")
        )
        self.show()

    # --- keys ---------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Out of a picked question or of the outcome first, then out of the check."""
        check = self.check
        if check is not None and check.asked:
            check.asked = ""
            self.show()
        elif self._outcome and check is not None and check.look is not None and not check.look.ended:
            self._outcome = False
            self.show()
        else:
            self.host.give_up(DOING)
            self.app.pop_screen()

    def action_readings(self) -> None:
        """The list of readings: to put right, to take back, to pick another."""
        check = self.check
        if check is not None:
            self.app.push_screen(ReadingsScreen(check), self._pick)

    def action_outcome(self) -> None:
        """What it comes to so far, and what can be done; again: back to the question."""
        check = self.check
        if check is not None:
            self._outcome, check.asked = not self._outcome, ""
            self.show()

    def action_cautions(self) -> None:
        """Each caution in full, or the worst alone."""
        self._in_full = not self._in_full
        self.show()

    def action_hold(self) -> None:
        """Stop the weighing, or go on with it."""
        check = self.check
        if check is None:
            return
        check.held = not check.held
        if check.held:
            self.host.give_up(DOING)
        self.show()

    def action_undo(self) -> None:
        """Take the last answer back."""
        check = self.check
        if check is not None:
            self._question = ""
            self.host.say(
                "The last answer is taken back" if check.undo() else "There is no answer to take back"
            )
            self.show()


class _Note(Static):
    """A sentence in place of a question."""

    def __init__(self, text: str, style: str) -> None:
        super().__init__(line((text, style)), markup=False)
