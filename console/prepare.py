"""What must be built once before the first numbers: property tables, the sun of a place and date.

Cheap to ask (nothing heavy is imported); the building itself runs in a child process.
"""

from __future__ import annotations

from collections.abc import Callable

from console.boatfile import Boat

Progress = Callable[[str, float], None]


def refrigerants(boat: Boat) -> list[str]:
    """The refrigerants named anywhere among the inputs."""
    return sorted({
        str(entry.value)
        for path, entry in boat.inputs.items()
        if path.rsplit(".", 1)[-1] == "refrigerant" and entry.value
    })  # fmt: skip


def missing(boat: Boat) -> list[str]:
    """What is not stored yet, in words; empty when everything is there."""
    from console.properties import store

    return list(store.missing(refrigerants(boat)))


def prepare(boat: Boat, progress: Progress | None = None) -> None:
    """Build and store what is missing."""
    from console.properties import store

    store.build_in_child(refrigerants(boat), progress)
