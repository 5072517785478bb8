"""Maps are built once, kept privately and never believed when damaged."""

import io
import os
import stat
import subprocess
import sys
import threading
import time
import zipfile
from pathlib import Path

import numpy as np
import pytest

from console.properties import refrigerants, store

ROOT = Path(store.__file__).parents[2]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty cache folder and an empty memory, put back afterwards."""
    monkeypatch.setenv(store.CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(store, "_maps", {})
    return tmp_path / "cache"


class Builder:
    """Counts how often it is asked."""

    def __init__(self, wait=0.0):
        self.built, self.wait = 0, wait

    def __call__(self):
        self.built += 1
        time.sleep(self.wait)
        return {"a": np.arange(500.0), "b": np.array([[1.5, np.pi], [0.0, -2.0]])}


def kept(folder):
    (path,) = folder.glob("*.npz")
    return path


def forget():
    store._maps.clear()


def test_a_map_is_built_once_and_then_read_back(folder):
    build = Builder()
    first = store.load("thing", build)
    forget()
    second = store.load("thing", build)
    assert build.built == 1
    assert first is not second
    assert sorted(second) == ["a", "b"]
    assert all((first[name] == second[name]).all() for name in first)


def test_a_map_in_memory_is_not_read_again(folder):
    build = Builder()
    first = store.load("thing", build)
    kept(folder).unlink()
    assert store.load("thing", build) is first


def test_a_map_cannot_be_written_to(folder):
    for _ in range(2):
        arrays = store.load("thing", Builder())
        with pytest.raises(ValueError, match="read-only"):
            arrays["a"][0] = 1.0
        forget()


def test_a_map_is_private_and_leaves_no_scraps(folder):
    store.load("thing", Builder())
    assert stat.S_IMODE(kept(folder).stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert [path.name for path in folder.iterdir()] == [kept(folder).name]


def rewritten(path, change):
    """The file with its arrays changed but the old checksum and a sound zip."""
    with np.load(path) as file:
        arrays = {name: file[name] for name in file.files}
    change(arrays)
    with open(path, "wb") as out:
        np.savez(out, **arrays)


def flipped_at(share):
    def flip(path):
        data = bytearray(path.read_bytes())
        data[int(share * (len(data) - 1))] ^= 0x10
        path.write_bytes(data)

    return flip


def one_value_off(path):
    rewritten(path, lambda arrays: arrays["a"].__setitem__(3, 3.0000001))


def one_more_array(path):
    rewritten(path, lambda arrays: arrays.update(c=np.zeros(2)))


def no_checksum(path):
    rewritten(path, lambda arrays: arrays.pop("checksum"))


def other_shape(path):
    rewritten(path, lambda arrays: arrays.update(a=arrays["a"].reshape(2, 250)))


def pickled(path):
    rewritten(path, lambda arrays: arrays.update(a=np.array([{"x": 1}], dtype=object)))


def too_large(path):
    with open(path, "ab") as out:
        out.truncate(store._LARGEST_FILE + 1)


def a_zip_of_something_else(path):
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("checksum.npy", b"\x93NUMPY nonsense")


def a_folder(path):
    path.unlink()
    path.mkdir()


DAMAGE = {
    **{f"a bit flipped at {share:.0%}": flipped_at(share) for share in np.linspace(0.0, 1.0, 12)},
    "cut in half": lambda path: path.write_bytes(path.read_bytes()[: path.stat().st_size // 2]),
    "cut by a byte": lambda path: path.write_bytes(path.read_bytes()[:-1]),
    "empty": lambda path: path.write_bytes(b""),
    "noise": lambda path: path.write_bytes(np.random.default_rng(0).bytes(3000)),
    "one value off": one_value_off,
    "one array more": one_more_array,
    "no checksum": no_checksum,
    "other shape": other_shape,
    "pickled": pickled,
    "too large": too_large,
    "a zip of something else": a_zip_of_something_else,
    "a folder": a_folder,
}


@pytest.mark.parametrize("how", DAMAGE)
def test_a_damaged_map_is_never_believed(folder, how):
    build = Builder()
    sound = store.load("thing", build)
    DAMAGE[how](kept(folder))
    forget()
    found = store.load("thing", build)
    assert sorted(found) == ["a", "b"]
    assert all((found[name] == sound[name]).all() for name in sound)
    if "flipped" not in how:  # a bit of the zip's own padding (a date) may change nothing
        assert build.built == 2


def test_a_damaged_map_is_replaced(folder):
    build = Builder()
    store.load("thing", build)
    kept(folder).write_bytes(b"damaged")
    for _ in range(2):
        forget()
        store.load("thing", build)
    assert build.built == 2


def test_another_maps_file_under_this_name_is_not_believed(folder):
    build = Builder()
    store.load("thing", build)
    kept(folder).rename(store._path("other"))
    forget()
    store.load("other", build)
    assert build.built == 2


def test_a_map_of_other_library_versions_is_built_again(folder, monkeypatch):
    build = Builder()
    store.load("thing", build)
    forget()
    stale = kept(folder).read_bytes()
    monkeypatch.setattr(store, "_versions", lambda: "map 1, CoolProp 6.0, gsw 3.0")
    store.load("thing", build)
    assert build.built == 2
    forget()
    store._path("thing").write_bytes(stale)  # even under the right name
    store.load("thing", build)
    assert build.built == 3


def test_versions_come_from_the_libraries():
    import CoolProp
    import gsw

    assert f"CoolProp {CoolProp.__version__}" in store._versions()
    assert f"gsw {gsw.__version__}" in store._versions()


def test_a_cache_that_cannot_be_written_still_serves(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv(store.CACHE_VARIABLE, str(tmp_path / "file" / "cache"))
    monkeypatch.setattr(store, "_maps", {})
    build = Builder()
    assert store.load("thing", build)["a"][3] == 3.0
    assert store.load("thing", build)["a"][3] == 3.0
    assert build.built == 1


def test_a_write_cut_short_leaves_the_old_map_and_no_scraps(folder, monkeypatch):
    store.load("thing", Builder())
    before = kept(folder).read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    store._write("thing", {"a": np.ones(9)})
    assert [path.read_bytes() for path in folder.iterdir()] == [before]


def test_a_map_is_on_the_disk_before_it_takes_its_place(folder, monkeypatch):
    order = []
    for name in ("fsync", "replace"):
        real = getattr(os, name)
        monkeypatch.setattr(os, name, lambda *a, name=name, real=real: (order.append(name), real(*a))[1])
    store.load("thing", Builder())
    assert order == ["fsync", "replace"]


class Trap:
    """Unpickling it would run what a stranger put in the file."""

    def __reduce__(self):
        return (os.mkdir, (os.environ["TRAP"],))


def test_a_pickle_in_the_file_is_never_opened(folder, tmp_path, monkeypatch):
    monkeypatch.setenv("TRAP", str(tmp_path / "sprung"))
    store.load("thing", Builder())
    rewritten(kept(folder), lambda arrays: arrays.update(a=np.array([Trap()], dtype=object)))
    forget()
    assert store.load("thing", Builder())["a"][3] == 3.0
    assert not (tmp_path / "sprung").exists()


def test_threads_that_ask_at_once_build_once(folder):
    build = Builder(wait=0.05)
    found = []
    threads = [threading.Thread(target=lambda: found.append(store.load("thing", build))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert build.built == 1
    assert all(arrays is found[0] for arrays in found)


def test_a_builder_that_fails_says_so_and_is_asked_again(folder):
    def fail():
        raise store.MapError("no map today")

    with pytest.raises(store.MapError, match="no map today"):
        store.load("thing", fail)
    assert store.load("thing", Builder())["a"][1] == 1.0


def test_missing_names_what_prepare_then_builds(folder):
    wanted = ["r-600a", "R600A"]
    assert store.missing(wanted) == ["air", "seawater", "R600a-5K"]
    told = []
    store.prepare(wanted, lambda key, share: told.append((key, round(share, 2))))
    assert told == [("air", 0.0), ("seawater", 0.33), ("R600a-5K", 0.67), ("", 1.0)]
    assert store.missing(wanted) == []
    forget()
    assert store.missing(wanted) == []


def test_a_damaged_map_counts_as_missing(folder):
    store.prepare()
    store._path("seawater").write_bytes(b"damaged")
    forget()
    assert store.missing() == ["seawater"]


def test_an_unknown_refrigerant_is_refused_before_anything_is_built(folder):
    for ask in (store.missing, store.prepare, store.build_in_child):
        with pytest.raises(refrigerants.UnknownRefrigerant):
            ask(["R134a", "R12"])
    assert not folder.exists()


# --- in a process of its own -------------------------------------------------------------------------


def run(code, cache, cwd, **environment):
    """A fresh interpreter, in a folder of its own, with this cache."""
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(ROOT)!r})\n{code}"],
        env={**os.environ, store.CACHE_VARIABLE: str(cache), **environment},
        cwd=cwd,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


HEAVY = "print([m for m in ('CoolProp', 'gsw', 'scipy', 'pvlib', 'pandas', 'pint') if m in sys.modules])"


def test_importing_the_properties_imports_no_heavy_library(tmp_path):
    code = (
        "from console.properties import air, air_map, air_tables, refrigerants, refrigerant_map\n"
        "from console.properties import seawater, seawater_map, store, tables\n"
        "print(store.missing(['R410A', 'R454B']))\n" + HEAVY
    )
    assert run(code, tmp_path / "cache", tmp_path).splitlines() == [
        "['air', 'seawater', 'R410A-5K', 'R454B-5K']",
        "[]",
    ]


def test_a_child_builds_and_this_process_never_imports_coolprop(tmp_path):
    code = (
        "from console.properties import air, refrigerants, seawater, store\n"
        "store.build_in_child(['R32'], lambda key, share: print(key, round(share, 2)))\n"
        "print(round(float(air.humidity_ratio(298.15, 0.5)), 4), round(float(seawater.density(288.15, 0.035))))\n"
        "print(round(float(refrigerants.refrigerant('R32').pressure(278.15)), -3))\n" + HEAVY
    )
    lines = run(code, tmp_path / "cache", tmp_path).splitlines()
    assert lines == ["air 0.0", "seawater 0.33", "R32-5K 0.67", " 1.0", "0.0099 1026", "951000.0", "[]"]
    assert len(list((tmp_path / "cache").glob("*.npz"))) == 3
    # And the next process only reads.
    again = "from console.properties import store\nprint(store.missing(['R32']))\n" + HEAVY
    assert run(again, tmp_path / "cache", tmp_path).splitlines() == ["[]", "[]"]


def test_a_child_hands_its_maps_over_when_the_cache_cannot_be_written(tmp_path):
    (tmp_path / "file").write_text("in the way")
    code = (
        "from console.properties import air, store\n"
        "store.build_in_child([])\nprint(store.missing())\nprint(round(float(air.humidity_ratio(298.15, 0.5)), 4))\n"
        + HEAVY
    )
    assert run(code, tmp_path / "file" / "cache", tmp_path, TMPDIR=str(tmp_path)).splitlines() == [
        "[]",
        "0.0099",
        "[]",
    ]
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_child_that_fails_says_why_in_one_sentence(tmp_path):
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "CoolProp.py").write_text("raise ImportError('no such library aboard')")
    code = (
        "from console.properties import store\n"
        "try: store.build_in_child([])\n"
        "except store.MapError as error: print(error)\n"
    )
    said = run(code, tmp_path / "cache", tmp_path, PYTHONPATH=str(tmp_path / "broken"))
    assert said == "the property maps could not be built: ImportError: no such library aboard\n"


def test_the_child_does_not_import_from_the_folder_the_owner_stands_in(tmp_path):
    (tmp_path / "numpy.py").write_text("raise SystemExit('wrong numpy')")
    done = subprocess.run(
        [sys.executable, "-P", "-c", f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
         "from console.properties import store\nstore.build_in_child([])\nprint('built')"],
        env={**os.environ, store.CACHE_VARIABLE: str(tmp_path / "cache")}, cwd=tmp_path,
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert (done.stdout, done.returncode) == ("built\n", 0), done.stderr


def test_the_stored_file_is_a_plain_npz(folder):
    store.load("thing", Builder())
    with np.load(io.BytesIO(kept(folder).read_bytes()), allow_pickle=False) as file:
        assert sorted(file.files) == ["a", "b", "checksum"]
