"""Where the property maps live: built once with CoolProp, kept in the user's cache.

A map is a handful of arrays under a key (``air``, ``seawater``, ``R410A-5K``). It is kept as an
``.npz`` of its own in ``user_cache_dir("boat-console")``, or where ``BOAT_CONSOLE_CACHE`` says.
The file carries the versions of the libraries and of the map, and a checksum over every array: a
file that is damaged, cut short or of another version is built again, never trusted. A cache that
cannot be written costs only the time to build.

Building takes a few tenths of a second a map, and importing CoolProp about two. So a program
with a screen asks `missing` (quick, imports no CoolProp) and has `build_in_child` do the rest in
a process of its own.
"""

from __future__ import annotations

import contextlib
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
MAP_VERSION = 6  # raise it whenever a builder changes what it stores
LIBRARIES = ("CoolProp", "gsw")
_LARGEST_FILE = 16_000_000  # bytes; the largest map takes less than a tenth of it

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
            parts.append(f"{library} unknown")
    return ", ".join(parts)


def _path(key: str, folder: Path | None = None) -> Path:
    tag = hashlib.sha256(_versions().encode()).hexdigest()[:8]
    return (folder or cache_folder()) / f"{key}-{tag}.npz"


def _checksum(key: str, arrays: Map) -> str:
    digest = hashlib.sha256(f"{key}; {_versions()}".encode())
    for name in sorted(arrays):
        values = np.ascontiguousarray(arrays[name])
        digest.update(f"; {name} {values.dtype.str} {values.shape} ".encode())
        digest.update(values.tobytes())
    return digest.hexdigest()


def _read(key: str, folder: Path | None = None) -> Map | None:
    """The stored map, or None when there is none that can be trusted."""
    try:
        path = _path(key, folder)
        if path.stat().st_size > _LARGEST_FILE:
            return None
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as file:
            arrays = {name: file[name] for name in file.files}
        stated = str(arrays.pop("checksum"))
        if stated != _checksum(key, arrays):
            return None
    except Exception:  # zip, zlib, numpy and the file system each raise kinds of their own
        return None
    return _frozen(arrays)


def _frozen(arrays: Mapping[str, NDArray[np.float64]]) -> Map:
    for values in arrays.values():
        values.flags.writeable = False
    return arrays


def _write(key: str, arrays: Map) -> None:
    """Keep the map: written beside its place, flushed, then renamed; or not, if it cannot be."""
    temporary = ""
    try:
        path = _path(key)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=f".{key}-", suffix=".part", dir=path.parent)
        with os.fdopen(handle, "wb") as file:  # mkstemp makes it the user's alone
            np.savez(file, allow_pickle=False, **arrays, checksum=np.array(_checksum(key, arrays)))
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except (OSError, RuntimeError):  # RuntimeError: there is no home folder
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


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
            built = build()
            found = _frozen({name: np.asarray(values, np.float64) for name, values in built.items()})
            _write(key, found)
        _maps[key] = found
    return found


def _builders(refrigerants: Iterable[str]) -> dict[str, Callable[[], Map]]:
    """Key and builder of each map wanted: the two that always are, and the refrigerants'."""
    from console.properties import air, seawater
    from console.properties import refrigerants as fluids

    wanted: dict[str, Callable[[], Map]] = {
        air.MAP_KEY: air.build_map,
        seawater.MAP_KEY: seawater.build_map,
    }
    for name in refrigerants:
        key, build = fluids.map_and_builder(name)
        wanted[key] = build
    return wanted


def missing(refrigerants: Iterable[str] = ()) -> list[str]:
    """Keys of the maps that would have to be built (air and seawater always are wanted).

    A few milliseconds, and no CoolProp. Raises `console.properties.refrigerants.UnknownRefrigerant`.
    """
    return [key for key in _builders(refrigerants) if key not in _maps and _read(key) is None]


def prepare(refrigerants: Iterable[str] = (), progress: Progress | None = None) -> None:
    """Build what is missing, here and now.

    ``progress(key, share)`` says which map is next and what share of the work is behind; it ends
    with ``("", 1.0)``. Raises `MapError` and `console.properties.refrigerants.UnknownRefrigerant`.
    """
    wanted = _builders(refrigerants)
    for done, (key, build) in enumerate(wanted.items()):
        if progress:
            progress(key, done / len(wanted))
        load(key, build)
    if progress:
        progress("", 1.0)


def build_in_child(refrigerants: Iterable[str] = (), progress: Progress | None = None) -> None:
    """As `prepare`, but built by a child process, so that the screen of this one stays quick.

    It waits for the child, so call it from a worker thread. When the cache cannot be written the
    child hands its maps over in a folder of its own. Raises as `prepare` does.
    """
    names = list(refrigerants)
    lacking = missing(names)
    if lacking:
        with tempfile.TemporaryDirectory(prefix="boat-console-") as spare:
            folder = cache_folder() if _writable(cache_folder()) else Path(spare)
            _run_child(names, folder, progress)
            for key in lacking:
                handed = _read(key, folder)
                if handed is None:
                    raise MapError(f'the property map "{key}" was built but cannot be read back')
                _maps[key] = handed
    if progress:
        progress("", 1.0)


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _run_child(names: list[str], folder: Path, progress: Progress | None) -> None:
    """Run `console.properties.__main__` with the cache at ``folder``, passing its progress on."""
    home = str(Path(__file__).parents[2])  # where this very package lies, installed or not
    paths = [home, *filter(None, [os.environ.get("PYTHONPATH")])]
    child = subprocess.Popen(
        # -P: never import from the folder the owner happens to stand in.
        [sys.executable, "-P", "-m", "console.properties", *names],
        env={**os.environ, CACHE_VARIABLE: str(folder), "PYTHONPATH": os.pathsep.join(paths)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    )
    last = ""
    with child:
        try:
            for line in child.stdout or ():
                told = _progress_in(line)
                if told is None:
                    last = line.strip() or last
                elif progress and told[0]:
                    progress(*told)
        except BaseException:  # the worker was cancelled: do not leave the child behind
            child.kill()
            raise
    if child.returncode:
        raise MapError(f"the property maps could not be built: {last or f'exit {child.returncode}'}")


def _progress_in(line: str) -> tuple[str, float] | None:
    """A line of progress, or None for anything else a library had to say."""
    try:
        key, share = json.loads(line)
        return str(key), float(share)
    except (ValueError, TypeError):
        return None
