"""What must be built once before the first numbers: property tables, the sun of a place and date.

Cheap to ask (nothing heavy is imported); the building itself runs in a child process.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable

from console.boatfile import Boat
from console.engine.views import Draws, InputView

Progress = Callable[[str, float], None]

SUN = "the day's sun"


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
    if needs_building(InputView(Draws(boat, 0))):
        wanted.append(SUN)
    return wanted


def prepare(boat: Boat, progress: Progress | None = None) -> None:
    """Build and store what is missing, telling ``progress`` what and how far (0 to 1)."""
    from console.environment.building import build_in_child
    from console.environment.weather_file import WeatherFileError
    from console.properties import store
    from console.properties.refrigerants import UnknownRefrigerant

    # What cannot be built is said by the estimate that needs it, in its place.
    with contextlib.suppress(store.MapError, UnknownRefrigerant):
        store.build_in_child(refrigerants(boat), progress)
    if progress:
        progress(SUN, 0.9)
    with contextlib.suppress(WeatherFileError):
        build_in_child(InputView(Draws(boat, 0)))
