"""Calling a stranger's code: one failure is one record, and the rest goes on.

A call runs in a daemon thread of its own lane, so that a hang can be abandoned (Python cannot
kill a thread) without holding the program or its exit. With ``BOAT_CONSOLE_STRICT=1`` the
plugin's own error is raised instead, for whoever writes one.
"""

from __future__ import annotations

import importlib
import os
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeVar

T = TypeVar("T")

LIMIT = 5.0
"""Seconds a call may take; a run over many draws allows more."""


@dataclass(frozen=True, slots=True)
class Unwell:
    """A plugin that is not working, at which stage, and one sentence why."""

    plugin: str
    stage: str
    error: str


class GuardError(Exception):
    """A guarded call that failed; ``unwell`` is the record of it."""

    def __init__(self, unwell: Unwell) -> None:
        super().__init__(unwell.error)
        self.unwell = unwell


def strict() -> bool:
    """Whether the plugin author wants to see the traceback."""
    return os.environ.get("BOAT_CONSOLE_STRICT", "") == "1"


def one_line(text: object, limit: int = 200) -> str:
    """Text as one printable line, cut to ``limit``."""
    line = " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())
    return line if len(line) <= limit else line[: limit - 1] + "…"


def sentence_of(error: BaseException) -> str:
    """What went wrong, in one printable line."""
    text = one_line(error)
    name = type(error).__name__
    return f"{name}: {text}" if text else name


class Lane:
    """A daemon thread that makes calls one after another, each within a limit of seconds."""

    def __init__(self) -> None:
        self._jobs: queue.SimpleQueue[tuple[Callable[[], Any], list[Any], threading.Event]]
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def _start(self) -> None:
        self._jobs = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._work, args=(self._jobs,), daemon=True)
        self._thread.start()

    @staticmethod
    def _work(jobs: Any) -> None:
        while True:
            function, box, done = jobs.get()
            try:
                box.append(("value", function()))
            except BaseException as error:
                box.append(("error", error))
            done.set()

    def call(self, function: Callable[[], T], limit: float) -> T:
        """The function's value; its error; or `TimeoutError` after ``limit`` seconds."""
        with self._lock:
            if self._thread is None or not self._thread.is_alive():
                self._start()
            box: list[Any] = []
            done = threading.Event()
            self._jobs.put((function, box, done))
            if not done.wait(limit):
                self._thread = None  # abandoned: the next call gets a fresh thread
                raise TimeoutError(f"did not answer within {limit:g} s")
        kind, what = box[0]
        if kind == "error":
            raise what
        value: T = what
        return value


_LANES: dict[int, Lane] = {}


def _lane() -> Lane:
    # One lane for each thread that calls: two runs never wait for each other.
    return _LANES.setdefault(threading.get_ident(), Lane())


def guarded(
    plugin: str, stage: str, function: Callable[..., T], *arguments: Any, limit: float = LIMIT
) -> T:
    """The value of ``function(*arguments)``, or `GuardError` with the record of what went wrong."""
    try:
        return _lane().call(partial(function, *arguments), limit)
    except KeyboardInterrupt:
        raise
    except GuardError:
        raise
    except BaseException as error:
        if strict():
            raise
        raise GuardError(Unwell(plugin, stage, sentence_of(error))) from None


def load(reference: str) -> Any:
    """What ``"module:attribute"`` names. Raises whatever importing it raises."""
    module, _, attribute = reference.partition(":")
    found = importlib.import_module(module)
    for part in attribute.split("."):
        found = getattr(found, part)
    return found


def call(reference: str, *arguments: Any) -> Any:
    """Import what a record names and call it: one thing to guard."""
    return load(reference)(*arguments)
