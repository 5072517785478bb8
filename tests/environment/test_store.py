"""Tables in the cache: never trusted, never needed."""

import os
from pathlib import Path

import numpy as np
import pytest

from console.environment import store

KEY = {"what": "sun", "map": 1, "latitude": 32.1}


def test_a_table_comes_back_as_it_was_stored():
    table = np.random.default_rng(1).normal(size=(5, 24))
    assert store.save_table(KEY, table)
    assert np.array_equal(store.load_table(KEY), table)


def test_another_key_does_not_find_it():
    store.save_table(KEY, np.ones(3))
    assert store.load_table({**KEY, "latitude": 32.2}) is None


@pytest.mark.parametrize("at", [0, 40, 60, -1])
def test_a_table_with_one_byte_changed_is_passed_over(at: int):
    store.save_table(KEY, np.ones(30))
    path = store.table_path(KEY)
    raw = bytearray(path.read_bytes())
    raw[at] ^= 0x01
    path.write_bytes(raw)
    assert store.load_table(KEY) is None


@pytest.mark.parametrize("content", [b"", b"short", b"\0" * 500], ids=["empty", "short", "zeros"])
def test_a_file_that_is_no_table_is_passed_over(content: bytes):
    store.save_table(KEY, np.ones(3))
    store.table_path(KEY).write_bytes(content)
    assert store.load_table(KEY) is None


def test_a_table_moved_to_another_keys_place_is_passed_over():
    other = {**KEY, "latitude": 40.0}
    store.save_table(KEY, np.ones(3))
    os.replace(store.table_path(KEY), store.table_path(other))
    assert store.load_table(other) is None


def test_a_cache_that_cannot_be_made_is_said_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BOAT_CONSOLE_CACHE", str(tmp_path / "file" / "cache"))
    assert store.save_table(KEY, np.ones(3)) is False
    assert store.load_table(KEY) is None


def test_nothing_but_the_table_is_left_in_the_folder(cache: Path):
    store.save_table(KEY, np.ones(3))
    store.save_table(KEY, np.zeros(3))
    assert [p.name for p in (cache / "environment").iterdir()] == [store.table_path(KEY).name]
