"""Sun tables and parsed weather files, kept in the platform's cache folder.

A stored table is a convenience, never trusted: it carries its own key and a checksum, and one
that does not agree is passed over and rebuilt. A cache that cannot be read or written costs
time, nothing else. The folder may be deleted at any moment.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from console.properties.store import cache_folder

Key = Mapping[str, str | int | float]

_DIGEST = 32
_LARGEST = 64 * 1024 * 1024


def table_path(key: Key) -> Path:
    """The file a table of this key is kept in. ``key`` must have a ``"what"``."""
    name = hashlib.sha256(_key_bytes(key)).hexdigest()[:20]
    return cache_folder() / "environment" / f"{key['what']}-{name}.table"


def _key_bytes(key: Key) -> bytes:
    return json.dumps(dict(key), sort_keys=True).encode()


def load_table(key: Key) -> NDArray[Any] | None:
    """The stored table of this key, or None when there is none that can be trusted."""
    path = table_path(key)
    try:
        if path.stat().st_size > _LARGEST:
            return None
        raw = path.read_bytes()
    except OSError:
        return None
    body, label = raw[_DIGEST:], _key_bytes(key) + b"\n"
    if hashlib.sha256(body).digest() != raw[:_DIGEST] or not body.startswith(label):
        return None
    try:
        table: NDArray[Any] = np.load(io.BytesIO(body[len(label) :]), allow_pickle=False)
    except (ValueError, EOFError, OSError):
        return None
    return table


def save_table(key: Key, table: NDArray[Any]) -> bool:
    """Store a table whole or not at all; False when the cache cannot be written."""
    buffer = io.BytesIO()
    np.save(buffer, table, allow_pickle=False)
    body = _key_bytes(key) + b"\n" + buffer.getvalue()
    path = table_path(key)
    temporary = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".part-")
        with os.fdopen(handle, "wb") as file:
            file.write(hashlib.sha256(body).digest() + body)
        os.replace(temporary, path)
    except OSError:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        return False
    return True
