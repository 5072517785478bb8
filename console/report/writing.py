"""Writing the page: all of it or nothing, and never over a file that is no page of ours."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from console.quantities import shown
from console.report.page import MARK


class ReportError(ValueError):
    """The page cannot be written there; the message is one clear sentence."""


def check_target(path: Path) -> None:
    """Refuse a place where a page would destroy something: a boat file, a log, a folder."""
    if path.suffix.lower() in (".toml", ".csv", ".epw", ".tm2"):
        raise ReportError(
            f"{shown(path.name)} is the name of a boat's own file; end the page's name in .html"
        )
    if path.is_dir():
        raise ReportError(f"{shown(path.name)} is a folder; name a file in it, ending in .html")
    if not path.parent.is_dir():
        raise ReportError(
            f"{shown(path.name)}: there is no folder {shown(path.parent, 120)} to write it in"
        )
    if not path.exists():
        return
    try:
        with path.open("rb") as file:
            begun = file.read(4096)
    except OSError as error:
        raise ReportError(
            f"{shown(path.name)} cannot be looked at ({shown(error.strerror or error)})"
        ) from None
    if begun.strip() and MARK.encode() not in begun:
        raise ReportError(
            f"{shown(path.name)} is there already and is no page of this program; it stays as it is, name another"
        )


def write_report(path: Path, page: str) -> None:
    """Write the page atomically: a temporary file beside it, fsync, rename. Raises `ReportError`."""
    check_target(path)
    target = path.resolve() if path.is_symlink() else path
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(page)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o644)
        os.replace(temporary, target)
    except OSError as error:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        reason = shown(error.strerror or error)
        raise ReportError(
            f"{shown(path.name)} could not be written ({reason}); nothing was changed"
        ) from None
