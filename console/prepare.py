"""What must be built once before the first numbers: property tables, the sun of a place and day,
the days of a weather file.

Cheap to ask (nothing heavy is imported); the building itself runs in a child process.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import TYPE_CHECKING

from console.boatfile import Boat

if TYPE_CHECKING:
    from console.contract import Run

Progress = Callable[[str, float], None]

WEATHER = "sun and weather"


def refrigerants(boat: Boat) -> list[str]:
    """The refrigerants named anywhere among the inputs."""
    return sorted({
        str(entry.value)
        for path, entry in boat.inputs.items()
        if path.rsplit(".", 1)[-1] == "refrigerant" and entry.value
    })  # fmt: skip


def missing(boat: Boat) -> list[str]:
    """What is not stored yet, in words; empty when everything is there."""
    from console.environment.estimates import needs_building
    from console.properties import store

    wanted = list(store.missing(refrigerants(boat)))
    return [*wanted, WEATHER] if needs_building(_inputs(boat)) else wanted


def prepare(boat: Boat, progress: Progress | None = None) -> None:
    """Build and store what is missing.

    A weather file that cannot be read is left to the run, which says in one sentence why.
    """
    from console.environment.building import build_in_child
    from console.properties import store

    store.build_in_child(refrigerants(boat), progress)
    if progress:
        progress(WEATHER, 0.9)
    with contextlib.suppress(ValueError):
        build_in_child(_inputs(boat))
    if progress:
        progress("", 1.0)


def _inputs(boat: Boat) -> Run:
    """The boat's nominal inputs, as a run shows them to a default's function."""
    from console.engine.run import Draws, InputView

    return InputView(Draws(boat, 0))
