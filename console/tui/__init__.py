"""The screens. `run_console` opens them; tests build the app with `console.tui.app.make_app`."""

from __future__ import annotations

import gc
from pathlib import Path


def run_console(path: Path | None = None) -> str | None:
    """Open the console on a boat file, or on the bundled demo boat; a sentence to print afterwards.

    Nothing is thrown away before the first paint, so nothing is collected before it either.
    """
    gc.disable()
    try:
        from console.tui.app import make_app

        return make_app(path).run()
    finally:
        gc.enable()
