"""Where the property maps live: built once with CoolProp, kept in the user's cache.

A map is a handful of arrays under a key (``air``, ``seawater``, ``R410A-5K``). It is kept as an
``.npz`` of its own in ``user_cache_dir("boat-console")``, or where ``BOAT_CONSOLE_CACHE`` says.
The file's name and its contents carry the versions of the libraries and of the map, and a
checksum of every array: a file that is damaged, cut short or of another version is built again,
never trusted. A cache that cannot be written costs only the time to build.

Building takes from a few milliseconds to a few seconds (a mixture without an equation of state
of its own), and importing CoolProp about two. So a program with a screen asks `missing` (quick,
imports no CoolProp) and has `build_in_child` do the rest in a process of its own.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Map = Mapping[str, NDArray[np.float64]]
Progress = Callable[[str, float], None]

CACHE_VARIABLE = "BOAT_CONSOLE_CACHE"
MAP_VERSION = 1  # raise it whenever a builder changes what it stores
LIBRARIES = ("CoolProp", "gsw")
_LARGEST_FILE = 16_000_000  # bytes; the maps take less than one

_maps: dict[str, Map] = {}
_locks: dict[str, threading.Lock] = {}
_guard = threading.Lock()


class MapError(RuntimeError):
    """A map could not be built; the message is one sentence for the owner."""


def cache_folder() -> Path:
    """The folder of the maps (it need not exist yet)."""
    told = os.environ.get(CACHE_VARIABLE)
    if told:
        return Path(told).expanduser()
    import platformdirs

    return Path(platformdirs.user_cache_dir("boat-console"))


@cache
def _versions() -> str:
    """The versions a map depends on, read from the installed metadata: no library is imported."""
    from importlib.metadata import PackageNotFoundError, version

    parts = [f"map {MAP_VERSION}"]
    for library in LIBRARIES:
        try:
            parts.append(f"{library} {version(library)}")
        except PackageNotFoundError:
            parts.append(f"{library} none")
    return ", ".join(parts)


def _path(key: str) -> Path:
    tag = hashlib.sha256(_versions().encode()).hexdigest()[:8]
    return cache_folder() / f"{key}-{tag}.npz"


def _checksum(key: str, arrays: Map) -> str:
    digest = hashlib.sha256(f"{key}; {_versions()}".encode())
    for name in sorted(arrays):
        values = np.ascontiguousarray(arrays[name])
        digest.update(f"; {name} {values.dtype.str} {values.shape} ".encode())
        digest.update(values.tobytes())
    return digest.hexdigest()


def _read(key: str) -> Map | None:
    """The stored map, or None when there is none that can be trusted."""
    try:
        path = _path(key)
        if path.stat().st_size > _LARGEST_FILE:
            return None
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as file:
            arrays = {name: file[name] for name in file.files}
        stated = str(arrays.pop("checksum"))
    except Exception:  # zip, zlib, numpy and the file system each raise kinds of their own
        return None
    if stated != _checksum(key, arrays):
        return None
    for values in arrays.values():
        values.flags.writeable = False
    return arrays


def _write(key: str, arrays: Map) -> bool:
    """Keep the map: written beside its place, flushed, then renamed. False when it cannot be."""
    path = _path(key)
    temporary = ""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=f".{key}-", suffix=".part", dir=path.parent)
        with os.fdopen(handle, "wb") as file:  # mkstemp makes it private to the user
            np.savez(file, allow_pickle=False, **arrays, checksum=np.array(_checksum(key, arrays)))
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except OSError:
        if temporary:
            try:
                os.unlink(temporary)
            except OSError:
                pass
        return False
    return True


def load(key: str, build: Callable[[], Map]) -> Map:
    """The map ``key``: from memory, else from the cache, else built (and kept).

    Safe to call from several threads: each map is built once. Raises what ``build`` raises.
    """
    found = _maps.get(key)
    if found is not None:
        return found
    with _guard:
        lock = _locks.setdefault(key, threading.Lock())
    with lock:
        found = _maps.get(key) or _read(key)
        if found is None:
            found = {name: np.asarray(values, dtype=np.float64) for name, values in build().items()}
            for values in found.values():
                values.flags.writeable = False
            _write(key, found)
        _maps[key] = found
    return found


def _builders(refrigerants: Iterable[str]) -> dict[str, Callable[[], Map]]:
    """Key and builder of each map wanted: the two that always are, and the refrigerants'."""
    from console.properties import air, refrigerants as fluids, seawater

    wanted: dict[str, Callable[[], Map]] = {
        air.MAP_KEY: air.build_map,
        seawater.MAP_KEY: seawater.build_map,
    }
    for name in refrigerants:
        wanted.update([fluids.map_and_builder(name)])
    return wanted


def missing(refrigerants: Iterable[str] = ()) -> list[str]:
    """Keys of the maps that would have to be built. Imports no CoolProp; a few milliseconds.

    Raises `console.properties.refrigerants.UnknownRefrigerant`.
    """
    return [key for key in _builders(refrigerants) if key not in _maps and _read(key) is None]


def prepare(refrigerants: Iterable[str] = (), progress: Progress | None = None) -> None:
    """Build what is missing, here and now. ``progress(key, share)`` tells which map is next and
    what share of the work is behind; it ends with ``("", 1.0)``.

    Raises `console.properties.refrigerants.UnknownRefrigerant`.
    """
    wanted = _builders(refrigerants)
    for done, (key, build) in enumerate(wanted.items()):
        if progress:
            progress(key, done / len(wanted))
        load(key, build)
    if progress:
        progress("", 1.0)


def build_in_child(refrigerants: Iterable[str] = (), progress: Progress | None = None) -> None:
    """As `prepare`, but the building is done by a child process, so that this one stays quick.

    Call it from a worker thread: it waits for the child. When the cache cannot be written the
    child hands its maps over in a folder of its own. Raises `MapError` when the child fails and
    `console.properties.refrigerants.UnknownRefrigerant`.
    """
    names = list(refrigerants)
    wanted = _builders(names)
    if missing(names):
        with tempfile.TemporaryDirectory(prefix="boat-console-") as spare:
            folder = str(cache_folder()) if _writable(cache_folder()) else spare
            _run_child(names, folder, progress)
            for key in wanted:
                _adopt(key, Path(folder))
    for key, build in wanted.items():
        load(key, build)
    if progress:
        progress("", 1.0)


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _run_child(names: list[str], folder: str, progress: Progress | None) -> None:
    root = str(Path(__file__).parents[2])
    paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
    environment = {**os.environ, CACHE_VARIABLE: folder, "PYTHONPATH": os.pathsep.join(paths)}
    child = subprocess.Popen(
        [sys.executable, "-P", "-m", "console.properties", *names],
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    with child:
        assert child.stdout is not None
        assert child.stderr is not None
        said: list[str] = []
        reader = threading.Thread(target=lambda: said.extend(child.stderr or ()), daemon=True)
        reader.start()
        for line in child.stdout:
            try:
                key, share = json.loads(line)
            except ValueError:
                continue  # a library had something to say
            if progress and key:
                progress(str(key), float(share))
        code = child.wait()
        reader.join()
    if code:
        last = said[-1].strip() if said else f"exit {code}"
        raise MapError(f"the property maps could not be built: {last}")


def _adopt(key: str, folder: Path) -> None:
    """Take a map from the folder the child wrote to."""
    if key in _maps or folder == cache_folder():
        return
    told = os.environ.get(CACHE_VARIABLE)
    os.environ[CACHE_VARIABLE] = str(folder)
    try:
        found = _read(key)
    finally:
        if told is None:
            os.environ.pop(CACHE_VARIABLE, None)
        else:
            os.environ[CACHE_VARIABLE] = told
    if found is not None:
        _maps[key] = found
