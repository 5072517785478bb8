"""Writing a file beside the logbook: all of it or nothing, and no file is replaced unasked."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from console.logbook.entry import LogError
from console.quantities import shown


class ThereAlready(LogError):
    """The file is there and may be replaced only when the owner says so."""


def write_file(text: str, path: Path, replace: bool = False) -> None:
    """Write a text file atomically. Raises `LogError`; what was there stays then."""
    if path.is_dir():
        raise LogError(f"{shown(path, 120)} is a folder; add a file name")
    if path.exists() and not replace:
        raise ThereAlready(f"{shown(path, 120)} is there already")
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        why = shown(error.strerror or error, 80)
        raise LogError(f"{shown(path, 120)} could not be written ({why}); what was there stays") from None
