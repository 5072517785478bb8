"""The program with screens: the boat on the desk, the one worker, and the keys that hold everywhere.

Before the first paint only Textual, the contract and the plugins' wiring are imported. Numbers,
units, files and the plugins' physics come in with the worker's first task.
"""

from __future__ import annotations

import asyncio
import contextlib
import gc
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import App
from textual.binding import Binding
from textual.command import Provider
from textual.screen import Screen
from textual.theme import Theme

from console.tui import tasks
from console.tui.doors import Doors
from console.tui.messages import Answered, Failed, FromRun, Helped, Opened, Progress, Unreadable, Worked
from console.tui.runner import Runner, Task
from console.tui.screens.base import DeskScreen
from console.tui.screens.home import HomeScreen
from console.tui.themes import THEMES, next_theme
from console.tui.troubled import KEPT
from console.tui.words import Numbers

if TYPE_CHECKING:
    from console.desk import Desk, Step
    from console.engine.outcome import Card, Outcome
    from console.quantities import System
    from console.registry import Registry

DRAWS = 256
WATCH_SECONDS = 0.5


def _commands() -> type[Provider]:
    from console.tui.commands import ConsoleCommands

    return ConsoleCommands


class ConsoleApp(Doors):
    """The console. ``run`` returns a sentence to print once the screen is gone, or None."""

    TITLE = "boat console"
    CSS_PATH = "console.tcss"
    COMMANDS = {_commands}  # noqa: RUF012
    BINDINGS = [  # noqa: RUF012
        Binding("u", "units", "Units"),
        Binding("t", "next_theme", "Theme"),
        Binding("question_mark,f1", "help", "Help", key_display="?"),
        Binding("l", "log", "The log", show=False),
        Binding("v", "verdict", "Did the repair help?", show=False),
        Binding("w", "work", "Work list", show=False),
        Binding("c", "compare", "Compare", show=False),
        Binding("ctrl+s", "save", "Save", show=False),
        Binding("ctrl+q", "quit", "Leave", show=False, priority=True),
    ]

    def __init__(
        self, path: Path | None = None, *, registry: Registry | None = None,
        system: System | None = None, theme: str = "dark", draws: int = DRAWS,
    ) -> None:  # fmt: skip
        super().__init__()
        for each in THEMES:
            self.register_theme(each)
        # Set without Textual's watcher, which would read every stylesheet twice at the start.
        self.set_reactive(App.theme, theme)
        self._invalidate_css()
        self.stylesheet.set_variables(self.get_css_variables())
        self.path = path
        self.chosen_system = system
        self.system: System = system or "us"
        self.draws = draws
        self.runner = Runner(self.post_message)
        self.unreadable = ""
        self.doing = "reading the boat"
        self.ascii_only = "utf" not in (getattr(sys.__stdout__, "encoding", None) or "utf-8").lower()
        self._wiring = registry

    @property
    def registry(self) -> Registry:
        """The plugins' wiring, found at the first call."""
        if self._wiring is None:
            from console.registry import discover

            self._wiring = discover()
        return self._wiring

    def get_theme(self, theme_name: str) -> Theme | None:
        # Textual asks for each line it draws, and merges all themes anew for each question.
        return next((each for each in THEMES if each.name == theme_name), None) or super().get_theme(
            theme_name
        )

    # --- starting and stopping --------------------------------------------------------------

    def get_default_screen(self) -> Screen[Any]:
        return HomeScreen()

    def on_mount(self) -> None:
        self.call_after_refresh(self.first_painted)

    def first_painted(self) -> None:
        """The questions stand on the screen: now the slow part may begin."""
        self.painted = True
        gc.enable()
        self.set_interval(WATCH_SECONDS, self.runner.watch)
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, getattr(signal, "SIGHUP", None)):
            if number is not None:
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(number, self._told_to_end)
        self.open_boat(self.path)

    def open_boat(self, path: Path | None) -> None:
        """Read a boat file (the bundled one without a path) and answer its questions."""
        self.path = path
        self.desk = None
        self.unreadable = ""
        self.doing = "reading the boat"
        self.tell()
        self.runner.ask(tasks.open_boat(path, self.registry))

    def change_desk(self, desk: Desk | None) -> None:
        """Put another boat on the desk; what was being worked out for the one before is dropped."""
        self.desk = desk
        self.doing = ""
        self.runner.ask(lambda _ticket: None)
        if desk is not None and desk.now.fine is None:
            self.ask_answers()
        self.tell()

    def ask_answers(self) -> None:
        """Have the boat on the desk answered anew; anything older is dropped."""
        if self.desk is None:
            return
        self.doing = "working out the numbers"
        self.runner.ask(tasks.answer(self.desk.boat, self.system, self.draws, self.desk.known))
        self.tell()

    def ask_helps(self, question: str) -> None:
        """Have weighed what would help with a question, once the answers are there."""
        desk = self.desk
        if desk is None or desk.now.fine is None or question in desk.now.helps or self.doing:
            return
        self.doing = "working out what would help"
        self.runner.ask(tasks.weigh_helps(desk.boat, question))
        self.tell_state()

    def ask_beside(self, task: Task, doing: str) -> None:
        """Have something worked out beside the answers, once those are there; it posts `Worked`."""
        if self.desk is None or self.desk.now.fine is None or self.doing:
            return
        self.doing = doing
        self.runner.ask(task)
        self.tell_state()

    def give_up(self, doing: str) -> bool:
        """Stop what is worked out beside the answers, if it is still ``doing`` that; whether it was."""
        if not self.doing.startswith(doing):
            return False
        self.doing = ""
        self.runner.ask(lambda _ticket: None)
        self.tell_state()
        return True

    def try_on(self, keys: tuple[str, ...], title: str) -> None:
        """Put some changes on the boat and answer anew."""
        if self.desk is None:
            return
        try:
            done = self.desk.try_on(keys, self.system)
        except Exception as error:
            self.say(str(error), "error")
            return
        if done:
            self.say(f"On the boat now: {title}. Ctrl+Z takes it back")
            self.ask_answers()

    def exit(self, result: str | None = None, return_code: int = 0, message: Any = None) -> None:
        self.runner.stop()
        super().exit(result, return_code, message)

    async def action_quit(self) -> None:
        if self.desk is None or not self.desk.unsaved:
            self.exit()
            return
        from console.tui.screens.dialogs import LeaveScreen

        if not isinstance(self.screen, LeaveScreen):
            self.push_screen(LeaveScreen(self.desk.boat.name), self._leaving)

    def _leaving(self, wish: str | None) -> None:
        if wish == "leave":
            self.exit()
        elif wish == "save":
            self.save(then_leave=True)

    def _told_to_end(self) -> None:
        kept = self.keep_edits()
        self.exit(f"The console was told to end; your edits are in {kept}." if kept else None)

    # --- what the worker says ---------------------------------------------------------------

    def _current(self, message: FromRun) -> bool:
        return message.run == self.runner.newest

    @on(Opened)
    def _opened(self, message: Opened) -> None:
        if not self._current(message):
            return
        self.desk = message.desk
        if self.chosen_system is None:
            self.system = message.system
        kept = message.desk.home.with_suffix(KEPT) if message.desk.home else None
        if kept is not None and kept.exists():
            self.say(
                f"Edits of an earlier time are in {kept.name}; open that file to go on with them", "warning"
            )
        self.ask_answers()

    @on(Unreadable)
    def _not_readable(self, message: Unreadable) -> None:
        if self._current(message):
            self.unreadable = message.why
            self.doing = ""
            self.tell()

    @on(Answered)
    def _answered(self, message: Answered) -> None:
        if not self._current(message) or self.desk is None or not self.desk.note(message.outcome):
            return
        self.doing = "" if message.last else "working out the ranges"
        if message.last or self.desk.now.fine is None:
            self.tell()
        else:
            self.tell_state()  # the same boat in other units: its ranges stay until the new ones are there

    @on(Helped)
    def _helped(self, message: Helped) -> None:
        if self._current(message) and self.desk is not None:
            self.desk.note_helps(message.boat, message.question, message.weighed)
            self.doing = ""
            self.tell()

    @on(Worked)
    def _worked(self, message: Worked) -> None:
        if self._current(message) and self.desk is not None:
            message.keep(self.desk)
            self.doing = "" if message.last else self.doing
            self.tell()

    @on(Progress)
    def _progress(self, message: Progress) -> None:
        if self._current(message):
            share = "" if message.share is None else f", {message.share * 100:.0f} %"
            self.doing = f"{message.doing}{share}"
            self.tell_state()

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if self._current(message):
            self.doing = ""
            self.say(message.why, "error")
            self.tell_state()

    def _desk_screen(self) -> DeskScreen | None:
        """The uppermost screen that shows something of the desk; those below wait their turn."""
        for screen in reversed(self.screen_stack):
            if isinstance(screen, DeskScreen):
                return screen if screen.is_mounted else None
        return None

    def tell(self) -> None:
        """Let the screen repaint what it shows of the desk."""
        screen = self._desk_screen()
        if screen is not None:
            screen.show()

    def tell_state(self) -> None:
        """Let the screen repaint its title line alone."""
        screen = self._desk_screen()
        if screen is not None:
            screen.show_title()

    # --- what the screens ask ---------------------------------------------------------------

    @property
    def outcome(self) -> Outcome | None:
        """The newest answers there are."""
        return self.desk.latest if self.desk else None

    @property
    def numbers(self) -> Numbers:
        """The numbers of every input in the newest run."""
        outcome = self.outcome
        return outcome.numbers if outcome else {}

    def card(self, key: str) -> Card | None:
        """The answer to a question, by its key."""
        outcome = self.outcome
        if outcome is None:
            return None
        return next((card for card in outcome.cards if card.question.key == key), None)

    def why_unwell(self, plugin: str) -> str:
        """Why a plugin is not working, in one sentence; ``""`` when it is well."""
        outcome = self.outcome
        known = [*(outcome.unwell if outcome else ()), *self.registry.failures]
        return next((each.error for each in known if each.plugin == plugin), "")

    def edit(self, path: str, text: str) -> None:
        """Put what the owner typed; raises `BoatFileError` with one sentence."""
        if self.desk is not None and self.desk.edit(path, text):
            self.ask_answers()

    def assume(self, path: str) -> None:
        """Take the owner's value away; raises `BoatFileError` with one sentence."""
        if self.desk is not None and self.desk.back_to_assumed(path):
            self.ask_answers()

    def put_aboard(self, path: str) -> None:
        """Add a table that is not aboard; raises `BoatFileError` with one sentence."""
        if self.desk is not None and self.desk.put_aboard(path):
            self.ask_answers()

    def step_back(self) -> Step | None:
        """Undo, and answer anew."""
        step = self.desk.undo() if self.desk else None
        if step:
            self.ask_answers()
        return step

    def step_forth(self) -> Step | None:
        """Redo, and answer anew."""
        step = self.desk.redo() if self.desk else None
        if step:
            self.ask_answers()
        return step

    # --- keys that hold everywhere ----------------------------------------------------------

    def action_units(self) -> None:
        self.system = self.chosen_system = "us" if self.system == "si" else "si"
        if self.desk is not None:
            self.desk.forget_before()
        self.ask_answers()

    def action_next_theme(self) -> None:
        self.theme = next_theme(self.theme)

    def action_save(self) -> None:
        self.save()

    def save(self, then_leave: bool = False) -> None:
        """Save to the boat's file; ask where when it has none."""
        desk = self.desk
        if desk is None:
            return
        if desk.home is None or desk.in_the_way(desk.home):
            from console.tui.screens.dialogs import SaveScreen

            self.push_screen(SaveScreen(desk), lambda saved: self._saved(saved, then_leave))
            return
        try:
            desk.save(desk.home)
        except Exception as error:
            self.say(str(error), "error")
            return
        self._saved(str(desk.home), then_leave)

    def _saved(self, where: str | None, then_leave: bool) -> None:
        if not where:
            return
        if then_leave:
            self.exit(f"Saved to {where}.")
            return
        self.say(f"Saved to {where}")
        self.tell()


def make_app(
    path: Path | None = None, *, registry: Registry | None = None, system: System | None = None,
    theme: str = "dark", draws: int = DRAWS,
) -> ConsoleApp:  # fmt: skip
    """The console for a boat file, or for the bundled demo boat: one factory for program and tests."""
    return ConsoleApp(path, registry=registry, system=system, theme=theme, draws=draws)
