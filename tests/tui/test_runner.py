"""The one worker: newest wins, stale words are not heard, a hung task is left behind."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator

import pytest
from textual.message import Message

from console.tui.messages import Failed, Progress
from console.tui.runner import Runner, Ticket


class Heard(list[Message]):
    """What the runner posted, and a way to wait for it."""

    def wait(self, true: Callable[[], object], seconds: float = 5.0) -> None:
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, list(self)
            time.sleep(0.005)


@pytest.fixture
def heard() -> Heard:
    return Heard()


@pytest.fixture
def runner(heard: Heard) -> Iterator[Runner]:
    made = Runner(heard.append, limit=0.2, patience=0.1)
    yield made
    made.stop()


def say(word: str) -> Callable[[Ticket], None]:
    return lambda ticket: ticket.post(Progress(ticket.run, word, None))


def words(heard: Heard) -> list[str]:
    return [message.doing for message in heard if isinstance(message, Progress)]


def test_a_task_runs_in_a_daemon_thread_of_its_own(runner: Runner, heard: Heard) -> None:
    threads: list[threading.Thread] = []
    runner.ask(lambda _: threads.append(threading.current_thread()))
    heard.wait(lambda: threads)
    assert threads[0] is not threading.current_thread()
    assert threads[0].daemon


def test_the_newest_task_wins_and_those_between_never_run(runner: Runner, heard: Heard) -> None:
    gate, started = threading.Event(), threading.Event()

    def first(_: Ticket) -> None:
        started.set()
        gate.wait(5)

    runner.ask(first)
    assert started.wait(5)
    for word in ("first", "second", "newest"):
        runner.ask(say(word))
    gate.set()
    heard.wait(lambda: words(heard))
    time.sleep(0.05)
    assert words(heard) == ["newest"]


def test_a_stale_task_is_told_and_not_heard(runner: Runner, heard: Heard) -> None:
    started, told = threading.Event(), threading.Event()

    def slow(ticket: Ticket) -> None:
        started.set()
        while not ticket.stale():
            time.sleep(0.002)
        ticket.post(Progress(ticket.run, "stale", None))
        told.set()

    runner.ask(slow)
    assert started.wait(5)
    runner.ask(say("fresh"))
    assert told.wait(5)
    heard.wait(lambda: words(heard))
    assert words(heard) == ["fresh"]


def test_an_error_is_one_message_and_the_next_task_runs(runner: Runner, heard: Heard) -> None:
    def fails(_: Ticket) -> None:
        raise SystemExit("x [kW] [/")

    run = runner.ask(fails)
    heard.wait(lambda: heard)
    assert isinstance(heard[0], Failed)
    assert heard[0].run == run
    assert "x [kW] [/" in heard[0].why
    runner.ask(say("after"))
    heard.wait(lambda: "after" in words(heard))


def test_a_task_that_hangs_is_given_up_and_said(runner: Runner, heard: Heard) -> None:
    gate = threading.Event()
    runner.ask(lambda _: gate.wait(30) and None)
    heard.wait(runner.watch)
    assert any(isinstance(message, Failed) for message in heard)
    runner.ask(say("after"))
    heard.wait(lambda: "after" in words(heard))
    gate.set()


def test_a_newer_task_does_not_wait_long_for_a_hung_stale_one(runner: Runner, heard: Heard) -> None:
    gate = threading.Event()
    runner.limit = 60
    runner.ask(lambda _: gate.wait(30) and None)
    time.sleep(0.05)
    runner.ask(say("newer"))
    heard.wait(lambda: runner.watch() or "newer" in words(heard))
    heard.wait(lambda: "newer" in words(heard))
    gate.set()
    time.sleep(0.05)
    assert words(heard) == ["newer"]


def test_a_task_that_shows_signs_of_life_is_not_given_up(runner: Runner, heard: Heard) -> None:
    def long(ticket: Ticket) -> None:
        for _ in range(8):
            time.sleep(0.05)
            ticket.post(Progress(ticket.run, "on", None))
        ticket.post(Progress(ticket.run, "done", 1.0))

    runner.ask(long)
    heard.wait(lambda: runner.watch() or "done" in words(heard))
    assert not any(isinstance(message, Failed) for message in heard)


def test_a_task_that_said_it_takes_long_is_waited_for(runner: Runner, heard: Heard) -> None:
    def long(ticket: Ticket) -> None:
        ticket.allow(5)
        time.sleep(0.4)  # longer than the runner's own limit
        ticket.post(Progress(ticket.run, "done", 1.0))

    runner.ask(long)
    heard.wait(lambda: runner.watch() or "done" in words(heard))
    assert not any(isinstance(message, Failed) for message in heard)


def test_nothing_is_heard_after_the_end(runner: Runner, heard: Heard) -> None:
    gate = threading.Event()

    def late(ticket: Ticket) -> None:
        gate.wait(5)
        ticket.post(Progress(ticket.run, "late", None))

    runner.ask(late)
    runner.stop()
    gate.set()
    time.sleep(0.05)
    assert not heard
