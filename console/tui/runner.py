"""The one worker: a daemon thread where everything slow and everything foreign happens.

The newest task wins: it waits for the running one to notice that it is stale, and a task that
neither ends nor shows a sign of life is abandoned with its thread. Nothing a stale task says
is heard, because each message carries the number of its run.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from textual.message import Message

from console.tui.messages import Failed

Post = Callable[[Message], object]


class Ticket:
    """What a task holds: its run number, a way to speak, and whether it still matters."""

    def __init__(self, run: int, runner: Runner) -> None:
        self.run = run
        self._runner = runner
        self.seen = time.monotonic()
        self.limit: float | None = None

    def stale(self) -> bool:
        """Whether a newer task was asked for (then stop as soon as possible)."""
        return self.run != self._runner.newest

    def alive(self) -> None:
        """A sign of life: long work calls it now and then, so as not to be given up."""
        self.seen = time.monotonic()

    def allow(self, seconds: float | None) -> None:
        """May be silent for so long from now on (None: the runner's own limit)."""
        self.limit = seconds
        self.alive()

    def post(self, message: Message) -> None:
        """Say something to the app, unless nobody wants to hear it any more."""
        self.alive()
        if not self.stale():
            self._runner.post(message)


Task = Callable[[Ticket], None]


class Runner:
    """Runs the newest task in a thread of its own, and gives up on one that hangs.

    ``limit`` is how many seconds the current task may be silent, ``patience`` how long a newer
    one waits for a stale one. Somebody must call `watch` now and then.
    """

    def __init__(self, post: Post, limit: float = 30.0, patience: float = 3.0) -> None:
        self.post = post
        self.limit = limit
        self.patience = patience
        self.newest = 0
        self._lock = threading.Condition()
        self._waiting: tuple[Ticket, Task] | None = None
        self._running: Ticket | None = None
        self._stale_since = 0.0
        self._generation = 0
        self._closed = False

    @property
    def busy(self) -> bool:
        """Whether a task runs or waits."""
        with self._lock:
            return self._running is not None or self._waiting is not None

    def ask(self, task: Task) -> int:
        """Run ``task`` as soon as possible, instead of any other; its run number."""
        with self._lock:
            self.newest += 1
            ticket = Ticket(self.newest, self)
            self._waiting = (ticket, task)
            self._stale_since = time.monotonic()
            if self._generation == 0:
                self._start()
            self._lock.notify_all()
            return ticket.run

    def stop(self) -> None:
        """Make every task stale and let the thread end."""
        with self._lock:
            self.newest += 1
            self._waiting = None
            self._closed = True
            self._lock.notify_all()

    def watch(self) -> bool:
        """Abandon a task that hangs; whether one was abandoned."""
        with self._lock:
            ticket = self._running
            if ticket is None or self._closed:
                return False
            now = time.monotonic()
            if ticket.run == self.newest:
                hung = now - ticket.seen > (self.limit if ticket.limit is None else ticket.limit)
            else:
                hung = now - max(self._stale_since, ticket.seen) > self.patience
            if not hung:
                return False
            current = ticket.run == self.newest
            self._running = None
            self._start()
        if current:
            self.post(
                Failed(
                    ticket.run, "The numbers did not come and were given up. Change something to try again."
                )
            )
        return True

    def _start(self) -> None:
        # A thread cannot be killed: a hung one is left behind, and knows that it is.
        self._generation += 1
        threading.Thread(
            target=self._work, args=(self._generation,), name="boat-console-runner", daemon=True
        ).start()

    def _work(self, generation: int) -> None:
        while True:
            with self._lock:
                while self._waiting is None and not self._closed and generation == self._generation:
                    self._lock.wait()
                if self._closed or generation != self._generation or self._waiting is None:
                    return
                ticket, task = self._waiting
                self._waiting = None
                self._running = ticket
                ticket.alive()
            try:
                task(ticket)
            except BaseException as error:
                why = f"The numbers could not be worked out ({type(error).__name__}: {error})"
                ticket.post(Failed(ticket.run, why))
            with self._lock:
                if generation != self._generation:
                    return
                self._running = None
