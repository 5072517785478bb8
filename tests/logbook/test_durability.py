"""Pulled plugs, full disks, and files that are not what they should be: a sentence, and nothing lost."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import stat
import subprocess
import sys
import textwrap
import threading
from pathlib import Path

import pytest

from console.logbook import Logbook, LogError
from console.logbook.schema import VERSION
from tests.logbook.conftest import reading
from tests.logbook.crash import kill_and_look

KILLS = 12


@pytest.mark.parametrize("kind", ["add", "import"])
def test_a_killed_writer_loses_nothing_acknowledged_and_doubles_nothing(tmp_path: Path, kind: str) -> None:
    path, write = tmp_path / "killed.log.sqlite", 0
    for seed in range(KILLS):
        write = kill_and_look(path, kind, write, seed)
    assert write >= KILLS


def filled(path: Path, count: int = 30) -> list[float]:
    """A closed logbook with entries; their values."""
    with Logbook(path) as book:
        book.add(reading(float(n), n, "x" * 200) for n in range(count))
        return sorted(float(e.value) for e in book.readings())


def values(path: Path) -> list[float]:
    with Logbook(path) as book:
        return sorted(float(e.value) for e in book.readings())


def refused(path: Path) -> str:
    """The sentence with which a file is refused, which stays as it was to the byte."""
    before = path.read_bytes()
    with pytest.raises(LogError) as error, Logbook(path, patience=0.1) as book:
        book.add([reading(999, 59)])
    assert path.read_bytes() == before
    said = str(error.value)
    assert "\n" not in said
    assert path.name in said
    return said


def test_a_file_that_is_no_logbook_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "notes.log.sqlite"
    path.write_text("my notes, not a database, and quite a few of them too\n" * 40)
    assert "damaged" in refused(path)


def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.log.sqlite"
    with sqlite3.connect(path) as raw:
        raw.execute("CREATE TABLE theirs (x)")
    assert "not a boat's logbook" in refused(path)


def test_a_damaged_logbook_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "hurt.log.sqlite"
    filled(path)
    data = bytearray(path.read_bytes())
    random.seed(1)
    data[4096 * 2 :] = bytes(random.randrange(256) for _ in range(len(data) - 4096 * 2))
    path.write_bytes(bytes(data))
    assert "damaged" in refused(path)


def test_a_logbook_cut_short_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "short.log.sqlite"
    filled(path, 300)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    assert "damaged" in refused(path)


def test_a_logbook_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "new.log.sqlite"
    filled(path)
    with sqlite3.connect(path) as raw:
        raw.execute(f"PRAGMA user_version = {VERSION + 1}")
    raw.close()
    assert "newer boat-console" in refused(path)


def test_a_locked_logbook_is_said_and_works_when_it_is_free_again(tmp_path: Path) -> None:
    path = tmp_path / "locked.log.sqlite"
    there = filled(path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("BEGIN IMMEDIATE")
    with Logbook(path, patience=0.1) as book:
        assert len(book.readings()) == len(there)  # reading goes on
        with pytest.raises(LogError, match="another program; nothing was written"):
            book.add([reading(999, 59)])
        raw.execute("ROLLBACK")
        book.add([reading(999, 59)])
    raw.close()
    assert values(path) == [*there, 999.0]


def test_a_full_file_system_loses_nothing_and_works_when_there_is_room(tmp_path: Path) -> None:
    path = tmp_path / "full.log.sqlite"
    there = filled(path)
    with Logbook(path) as book:
        assert book._db is not None
        pages = book._db.execute("PRAGMA page_count").fetchone()[0]
        book._db.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(LogError, match="the disk is full, so nothing was written"):
            book.add(reading(1000.0 + n, n, "y" * 1000) for n in range(100))
        assert len(book.readings()) == len(there)
        book._db.execute("PRAGMA max_page_count = 1000000")
        book.add([reading(999, 59)])
    assert values(path) == [*there, 999.0]


WRITER = """
    import resource, sys
    from console.logbook import Logbook, LogError
    from tests.logbook.conftest import reading
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, resource.RLIM_INFINITY))
    with Logbook(sys.argv[1]) as book:
        for n in range(10_000):
            try:
                book.add([reading(float(n), n % 60, f"{n} " + "z" * 500)])
            except LogError as error:
                print("refused", error)
                break
            print("done", n)
"""


def test_a_disk_that_refuses_a_write_loses_nothing_acknowledged(tmp_path: Path) -> None:
    path = tmp_path / "quota.log.sqlite"
    ran = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(WRITER), str(path)],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    lines = ran.stdout.splitlines()
    assert "the disk refused" in lines[-1] or "the disk is full" in lines[-1]
    done = [float(line.split()[1]) for line in lines if line.startswith("done")]
    assert len(done) > 20
    assert values(path) == done


READER = """
    import os, sys
    from console.logbook import Logbook, LogError
    from tests.logbook.conftest import reading
    if os.getuid() == 0:  # whom no permission binds
        os.setgid(65534); os.setuid(65534)
    with Logbook(sys.argv[1]) as book:
        print("read", len(book.readings()))
        try:
            book.add([reading(999, 59)])
        except LogError as error:
            print("refused", error)
"""


@pytest.mark.parametrize("folder_too", [False, True])
def test_a_read_only_logbook_can_be_read_and_is_not_lost(folder_too: bool) -> None:
    folder = Path("/tmp") / f"logbook-{os.getpid()}-{folder_too}"
    folder.mkdir(mode=0o777)
    try:
        folder.chmod(0o777)
        path = folder / "kept.log.sqlite"
        filled(path)
        path.chmod(stat.S_IRUSR | stat.S_IRGRP | stat.S_IROTH)
        if folder_too:
            folder.chmod(0o555)
        before = path.read_bytes()
        ran = subprocess.run(
            [sys.executable, "-c", textwrap.dedent(READER), str(path)],
            capture_output=True, text=True, timeout=60, check=False, env={**os.environ, "HOME": "/nonexistent"},
        )  # fmt: skip
        assert ran.stdout.splitlines()[:1] == ["read 30"], ran.stdout + ran.stderr
        assert "read-only" in ran.stdout
        assert path.read_bytes() == before
    finally:
        folder.chmod(0o777)
        shutil.rmtree(folder)


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="there is no folder"), Logbook(tmp_path / "no" / "x.sqlite") as book:
        book.add([reading()])


def test_many_writers_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    path = tmp_path / "many.log.sqlite"
    troubles: list[BaseException] = []

    def work(which: int) -> None:
        try:
            with Logbook(path, patience=30) as book:
                for n in range(20):
                    book.add([reading(1000.0 * which + n, n), reading(-1.0 - n, n)])
        except BaseException as error:
            troubles.append(error)

    threads = [threading.Thread(target=work, args=(which,)) for which in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert troubles == []
    own = [1000.0 * which + n for which in range(4) for n in range(20)]
    assert values(path) == sorted([*own, *(-1.0 - n for n in range(20))])
