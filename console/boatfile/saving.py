"""Writing the boat file: all of it or nothing, and never a lost byte."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from console.boatfile.errors import BoatFileError
from console.quantities import shown

if TYPE_CHECKING:
    from console.boatfile.boat import Boat


def save(boat: Boat, path: Path | str | None = None) -> Boat:
    """Write the boat's text atomically: a temporary file beside it, fsync, rename.

    Gives the boat as saved. Raises `BoatFileError` when the disk refuses; the old file stays.
    """
    target = Path(path) if path is not None else boat.path
    if target is None:
        raise BoatFileError("there is no file to save to; name one")
    target = target.resolve() if target.is_symlink() else target
    temporary = ""
    try:
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(boat.text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, mode)
        os.replace(temporary, target)
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
    except OSError as error:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        raise BoatFileError(
            f"could not be saved ({shown(error.strerror or error)}); nothing was lost, the old file stays",
            file=target.name,
        ) from None
    return boat.moved_to(target)
