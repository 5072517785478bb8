"""The doors of the app: what opens which screen, by key, by palette and from one another."""

from __future__ import annotations

from console.tui.screens.base import DeskScreen
from console.tui.screens.home import HomeScreen
from console.tui.troubled import Troubled


class Doors(Troubled):
    """Opens screens over the boat on the desk; each is imported when it is first opened."""

    def _no_boat_yet(self) -> bool:
        if self.desk is None:
            self.say("The boat has not been read yet", "warning")
        return self.desk is None

    def action_help(self) -> None:
        from console.tui.screens.help import HelpScreen

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen())

    def action_boat(self) -> None:
        self.show_boat()

    def show_boat(self, path: str = "") -> None:
        """The boat screen, with the input at ``path`` in focus."""
        if self._no_boat_yet():
            return
        from console.tui.screens.boat import BoatScreen

        if isinstance(self.screen, BoatScreen):
            self.screen.go_to(path)
        else:
            self.push_screen(BoatScreen(path))

    def action_log(self) -> None:
        self.show_log()

    def show_log(self, name: str = "") -> None:
        """The log screen, with the reading ``name`` under the mark."""
        if self._no_boat_yet():
            return
        from console.tui.screens.log import LogScreen

        if not isinstance(self.screen, LogScreen):
            self.push_screen(LogScreen(name))

    def action_work(self) -> None:
        self.show_work()

    def show_work(self) -> None:
        """The work list."""
        if self._no_boat_yet():
            return
        from console.tui.screens.work import WorkScreen

        if not isinstance(self.screen, WorkScreen):
            self.push_screen(WorkScreen())

    def action_why(self) -> None:
        self.show_why()

    def show_why(self, question: str = "") -> None:
        """The guided check: of the complaint a card belongs to, or asked which."""
        if self._no_boat_yet():
            return
        from console.tui.screens.check_list import WhyScreen

        if not isinstance(self.screen, WhyScreen):
            self.push_screen(WhyScreen(question))

    def show_check(self, complaint: str) -> None:
        """The guided check of one complaint."""
        if self._no_boat_yet() or not complaint:
            return
        from console.tui.screens.check import CheckScreen

        if not isinstance(self.screen, CheckScreen):
            self.push_screen(CheckScreen(complaint))

    def action_verdict(self) -> None:
        self.show_verdict()

    def show_verdict(self) -> None:
        """Whether the last repair helped."""
        if self._no_boat_yet():
            return
        from console.tui.screens.verdict import VerdictScreen

        if not isinstance(self.screen, VerdictScreen):
            self.push_screen(VerdictScreen())

    def action_compare(self) -> None:
        self.show_compare()

    def show_compare(self) -> None:
        """Two versions of the boat side by side."""
        if self._no_boat_yet():
            return
        from console.tui.screens.compare import CompareScreen

        if not isinstance(self.screen, CompareScreen):
            self.push_screen(CompareScreen())

    def action_own_boat(self) -> None:
        self.show_own_boat()

    def show_own_boat(self) -> None:
        """The questions that begin a boat file of the owner's own."""
        if self._no_boat_yet():
            return
        if self.desk is not None and self.desk.unsaved:
            self.say("This boat has edits that are not saved: Ctrl+S saves them, Ctrl+Z takes them back")
            return
        from console.tui.screens.first_run import FirstRunScreen

        while isinstance(self.screen, DeskScreen) and not isinstance(self.screen, HomeScreen):
            self.pop_screen()
        self.push_screen(FirstRunScreen())

    def show_card(self, key: str) -> None:
        """Open one question's card."""
        from console.tui.screens.card import CardScreen

        while isinstance(self.screen, DeskScreen) and not isinstance(self.screen, HomeScreen):
            self.pop_screen()
        self.push_screen(CardScreen(key))
