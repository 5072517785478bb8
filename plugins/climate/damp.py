"""The cold surfaces of the cabin: which of them sweats first, and by how much."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.climate import surfaces, tables
from plugins.climate.cabin import CabinDay

Array = NDArray[np.float64]

SURFACES = ("duct", "grille", "glass", "hull", "locker")
"""What cabin air may condense on, in the order they are named when equally cold."""


def cold_surfaces(run: Run, day: CabinDay, wind: Array) -> dict[str, Array]:
    """Temperature of each surface the cabin's air touches, K, (draws, steps) or broadcastable.

    * ``duct``: skin of the insulated supply duct, and ``grille`` the bare end of it, while the unit
      runs; the air's temperature while it rests;
    * ``glass``: inner face of a single pane without sun on it (what it loses to a clear sky is left
      out: it may be a degree or two colder still), the air's temperature where there is no glass;
    * ``hull``: face of sole and lining over the underwater hull; ``locker``: the bare laminate in
      lockers and bilge, where cabin air reaches it through their vents.
    """
    air = day.temperature
    runs = day.run_share > 0.0
    film = tables.INSIDE_FILM["vertical"]
    sea = run.figure("weather.seawater_temperature")
    insulation = run.number("climate.hull_insulation")
    duct = surfaces.stream_surface_temperature(
        air, day.supply_temperature, run.number("climate.duct_insulation")
    )
    grille = surfaces.stream_surface_temperature(air, day.supply_temperature, 0.0)
    panes = ("glass_overhead", "glass_port", "glass_starboard", "glass_forward")
    glazed = sum(run.number(f"climate.{pane}") for pane in panes)
    through = surfaces.glass_transmittance(surfaces.outside_film_ashrae(wind))
    outdoor = run.figure("weather.outdoor_temperature")
    glass = surfaces.inside_surface_temperature(air, outdoor, through, film)
    sole = surfaces.hull_transmittance(insulation)
    return {
        "duct": np.where(runs, duct, air),
        "grille": np.where(runs, grille, air),
        "glass": np.where(glazed > 0.0, glass, air),
        "hull": surfaces.inside_surface_temperature(air, sea, sole, film),
        "locker": surfaces.locker_skin_temperature(air, sea, insulation),
    }
