"""The cabin's heat gain, hour by hour, by where it comes in.

Every gain is what holding the set-point would take *because of that component*: the boat's stores
(deck, topsides, hull, furnishings) delay and flatten it, and since the network is linear the
components add up to the whole. A figure is sensible (warms the air) or latent (water vapour to be
wrung out). Axes (draws, steps); inputs (draws, 1).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.environment.sun import plane_irradiance
from console.properties import air
from plugins.climate import surfaces, tables
from plugins.climate.arrays import bounded, spread
from plugins.climate.exchange import within_air
from plugins.climate.thermal import lagged_mean

Array = NDArray[np.float64]

COMPONENTS = (
    "roof", "sides", "hull", "glass_sun", "glass_air", "people", "equipment", "fresh_air", "bilge_air",
)  # fmt: skip
"""The parts of the load, outside in."""

FORWARD_TILT = np.radians(60.0)
_TILTS = np.array([0.0, 0.5 * np.pi, 0.5 * np.pi, FORWARD_TILT])


@dataclass(frozen=True, slots=True)
class Outside:
    """Weather and sea, (draws, steps): K, kg/kg, m/s, W/m², rad."""

    temperature: Array
    humidity_ratio: Array
    wind: Array
    direct_normal: Array
    diffuse: Array
    zenith: Array
    azimuth: Array
    sea: Array


@dataclass(frozen=True, slots=True)
class Shell:
    """What encloses the cabin, (draws, 1): m², m, shares 0..1; ``heading`` rad."""

    heading: Array
    volume: Array
    roof_area: Array
    side_area: Array
    hull_area: Array
    roof_insulation: Array
    side_insulation: Array
    hull_insulation: Array
    deck_absorptance: Array
    side_absorptance: Array
    awning: Array
    glass_overhead: Array
    glass_port: Array
    glass_starboard: Array
    glass_forward: Array
    solar_heat_gain: Array
    curtained: Array
    covered: Array
    deck_sun: Array
    leakage_area: Array
    hatch_open: Array
    wind_coefficient: float
    furnishings_capacity: Array


@dataclass(frozen=True, slots=True)
class Inside:
    """What goes on in the cabin, (draws, 1) or (draws, steps): K, W, kg/s, shares 0..1.

    ``target`` is the air temperature the thermostat really holds, ``held_humidity`` the relative
    humidity the load is reckoned at. ``cooking`` is a burner's heat in each step, ``evaporation``
    the water wet things give off in the state of `tables.WET_STATE`, ``bilge_flow`` the bilge air drawn into the return while the
    fan runs (dry kg/s), ``bilge_warmth`` K what that is above `bilge_air`'s mean. ``cycling`` is the cooling (W) of a unit whose fan stops with its
    compressor, None when the fan always runs.
    """

    target: Array
    held_humidity: Array
    people: Array
    activity: str
    equipment: Array
    cooking: Array
    evaporation: Array
    bilge_flow: Array
    cycling: Array | None = None
    bilge_warmth: Array | float = 0.0


@dataclass(frozen=True, slots=True)
class Loads:
    """Gains by component, and what the cabin's own balances need.

    ``sensible`` and ``latent``: W by component, (draws, steps). ``fresh_flow`` and
    ``bilge_flow`` dry kg/s with their humidity ratios; ``vapour`` kg/s given off by people and stove,
    ``wetting`` kg/s that wet things give off per humidity ratio the air is short of saturation,
    ``dries_off`` kg/s of it in the state the load is reckoned at.
    ``capacity`` (draws, 5) J/K, ``to_air`` (draws, 4) and ``to_outside`` (draws, 5) W/K are the
    network: air, furnishings, roof, sides, hull. ``pane_area`` m² of glass, ``pane_share`` of the
    way from cabin to ``outdoor`` air at which its inner face stands without sun.
    """

    sensible: dict[str, Array]
    latent: dict[str, Array]
    fresh_flow: Array
    fresh_humidity_ratio: Array
    bilge_flow: Array
    bilge_temperature: Array
    bilge_humidity_ratio: Array
    vapour: Array
    wetting: Array
    dries_off: Array
    pane_area: Array
    pane_share: Array
    outdoor: Array
    capacity: Array
    to_air: Array
    to_outside: Array

    def of(self, component: str) -> Array:
        """Sensible and latent together, W."""
        return self.sensible[component] + self.latent[component]

    @property
    def sensible_total(self) -> Array:
        """All sensible gains, W."""
        return np.asarray(sum(self.sensible.values()), dtype=np.float64)

    @property
    def total(self) -> Array:
        """The cooling load, W."""
        return self.sensible_total + np.asarray(sum(self.latent.values()), dtype=np.float64)


def people_heat(count: Array, activity: str) -> tuple[Array, Array]:
    """Sensible and latent heat of people, W (ASHRAE Fundamentals, Table 1, at 24 °C).

    KeyError for an activity that is not in `tables.PEOPLE`.
    """
    sensible, latent = tables.PEOPLE[activity]
    return count * sensible, count * latent


def air_heat(
    flow: Array, temperature: Array, humidity_ratio: Array, inside: Array, inside_ratio: Array
) -> tuple[Array, Array]:
    """Sensible and latent heat brought in by air, W; ``flow`` in kg of dry air a second.

    m(1006 + 1860 W)(t_o - t_i) and m·L·(W_o - W_i), L = 2.454 MJ/kg (Hundy, Trott and Welch ex.
    23.2 takes 2.44, ASHRAE's latent factor 2.50): together what a coil at 10 °C takes, the enthalpy
    difference less that of its condensate, within 2 % between 10 and 40 °C.
    """
    heat = tables.AIR_HEAT + tables.VAPOUR_HEAT * humidity_ratio
    return flow * heat * (temperature - inside), flow * tables.VAPORISATION * (
        humidity_ratio - inside_ratio
    )


def bilge_air(
    temperature: Array, humidity_ratio: Array, sea: Array, warmth: Array | float = 0.0
) -> tuple[Array, Array]:
    """State of the air in the bilge and lockers: temperature K and humidity ratio.

    Outdoor air brought most of the way to the sea's temperature over wet surfaces, and ``warmth`` K
    above that where lockers and liner lie under a sunny deck: its humidity
    is the outdoor air's, at least what 90 % of saturation gives when the bilge is cooler, never
    more than that (common practice, no source).
    """
    mixed = temperature + tables.BILGE_SEA_SHARE * (sea - temperature)
    warmed = within_air(mixed + warmth)
    most = tables.BILGE_HUMIDITY * air.saturation_humidity_ratio(
        np.stack(np.broadcast_arrays(mixed, warmed))
    )
    return warmed, np.minimum(np.minimum(np.maximum(humidity_ratio, 0.8 * most[0]), most[0]), most[1])


def wetting_of(evaporation: Array) -> Array:
    """Conductance of the cabin's wet things to vapour, kg/s per humidity ratio.

    ``evaporation`` is what they give off at `tables.WET_STATE`. What dries off goes with the
    saturated humidity ratio less the air's own (Dalton): nothing in saturated air, a third as much
    at 5 °C and the same relative humidity.
    """
    temperature, share = tables.WET_STATE
    short = air.saturation_humidity_ratio(temperature) - air.humidity_ratio(temperature, share)
    return evaporation / short


def component_loads(outside: Outside, shell: Shell, inside: Inside, step: float, periodic: bool) -> Loads:
    """The cooling load by component, and the network and moisture drivers that go with it.

    ``step`` seconds; ``periodic`` when the steps are one day that repeats. The outside film is
    hourly in the sol-air temperature, and its mean over the steps in the U-values, so that the
    network stays linear. Latent gains of outside air drier than the cabin dry it at most to the
    point where they carry off what is given off inside: the latent load is never below zero.
    """
    target = inside.target
    film = surfaces.outside_film_ashrae(outside.wind)
    film_mean = film.mean(axis=-1, keepdims=True)
    u_roof = surfaces.deck_transmittance(shell.roof_insulation, film_mean)
    u_side = surfaces.side_transmittance(shell.side_insulation, film_mean)
    u_hull = surfaces.hull_transmittance(shell.hull_insulation)
    u_glass = surfaces.glass_transmittance(film_mean)
    u_hatch = surfaces.glass_transmittance(film_mean, level=True)

    shade = surfaces.shaded(shell.awning) * shell.deck_sun
    # Deck, port, starboard and bow at once.
    quarter = 0.5 * np.pi
    facing = np.stack([shell.heading, shell.heading - quarter, shell.heading + quarter, shell.heading])
    direct, diffuse = plane_irradiance(
        _TILTS[:, None, None],
        facing,
        outside.zenith,
        outside.azimuth,
        outside.direct_normal,
        outside.diffuse,
    )
    deck_direct, port_direct, starboard_direct, bow_direct = direct
    deck_diffuse, port_diffuse, starboard_diffuse, bow_diffuse = diffuse
    deck_sun = (deck_direct + deck_diffuse) * shade
    side_sun = 0.5 * (port_direct + port_diffuse + starboard_direct + starboard_diffuse)

    roof_air = surfaces.sol_air_temperature(
        outside.temperature, deck_sun, shell.deck_absorptance, film,
        tables.LONG_WAVE_HORIZONTAL / film * (1.0 - shell.awning),
    )  # fmt: skip
    side_air = surfaces.sol_air_temperature(
        outside.temperature, side_sun, shell.side_absorptance, film, 0.0
    )

    def glass(direct: Array, diffuse: Array) -> Array:
        return surfaces.glass_solar_gain(direct, diffuse, outside.direct_normal, shell.solar_heat_gain)

    sun_in = (
        shell.glass_overhead * shade * glass(deck_direct, deck_diffuse)
        + shell.glass_port * glass(port_direct, port_diffuse)
        + shell.glass_starboard * glass(starboard_direct, starboard_diffuse)
        + shell.glass_forward * glass(bow_direct, bow_diffuse)
    ) * surfaces.screened(shell.curtained, shell.covered)

    person_sensible, person_latent = people_heat(inside.people, inside.activity)
    cooking_latent = tables.COOKING_LATENT_SHARE * inside.cooking
    vapour = (person_latent + cooking_latent) / tables.VAPORISATION
    inside_ratio = air.humidity_ratio(target, inside.held_humidity)
    wetting = wetting_of(inside.evaporation)
    dries_off = wetting * (air.saturation_humidity_ratio(target) - inside_ratio)
    appliances = inside.equipment + inside.cooking - cooking_latent

    shape = np.broadcast_shapes(outside.temperature.shape, target.shape, appliances.shape, sun_in.shape)

    # Stores: each wall's heat capacity in the middle of its resistance, the furnishings on the air.
    walls = np.stack([u_roof * shell.roof_area, u_side * shell.side_area, u_hull * shell.hull_area])
    wall_capacity = np.stack(
        [
            shell.roof_area * tables.AREAL_CAPACITY["roof"],
            shell.side_area * tables.AREAL_CAPACITY["sides"],
            shell.hull_area * tables.AREAL_CAPACITY["hull"],
        ]
    )
    to_furnishings = shell.volume * tables.FURNISHINGS_FILM_AREA
    furnishings_time = shell.furnishings_capacity / to_furnishings
    # A wall that is not there is a very small one.
    walls, wall_capacity = np.broadcast_arrays(np.maximum(walls, 1e-3), np.maximum(wall_capacity, 1.0))
    radiant = tables.RADIANT_SHARE
    forcing = np.stack(
        [
            spread(walls[0] * (roof_air - target), shape),
            spread(walls[1] * (side_air - target), shape),
            spread(walls[2] * (outside.sea - target), shape),
            spread(radiant["sun"] * sun_in, shape),
            spread(radiant["equipment"] * appliances, shape),
        ]
    )
    times = np.stack(
        [
            *(spread(c / (4.0 * w), (shape[0], 1)) for c, w in zip(wall_capacity, walls, strict=True)),
            *([spread(furnishings_time, (shape[0], 1))] * 2),
        ]
    )
    roof, sides, hull, sun_later, appliances_later = lagged_mean(forcing, times, step, periodic)

    glass_conductance = (
        shell.glass_overhead * u_hatch
        + (shell.glass_port + shell.glass_starboard + shell.glass_forward) * u_glass
    )
    opening = shell.leakage_area + tables.OPENING_AS_LEAKAGE * shell.hatch_open * shell.glass_overhead
    flow = surfaces.leakage_flow_lbl(
        opening,
        outside.temperature - target,
        outside.wind,
        tables.STACK_COEFFICIENT,
        shell.wind_coefficient,
    )
    fresh_flow = flow / air.specific_volume(outside.temperature, outside.humidity_ratio)
    fresh = air_heat(fresh_flow, outside.temperature, outside.humidity_ratio, target, inside_ratio)
    bilge_temperature, bilge_ratio = bilge_air(
        outside.temperature, outside.humidity_ratio, outside.sea, inside.bilge_warmth
    )
    evaporation = dries_off * tables.VAPORISATION
    given_off = vapour * tables.VAPORISATION + evaporation
    glass_air = glass_conductance * (outside.temperature - target)
    sun_now = sun_later + (1.0 - radiant["sun"]) * sun_in
    appliances_now = appliances_later + (1.0 - radiant["equipment"]) * appliances
    bilge_flow = inside.bilge_flow
    bilge = air_heat(bilge_flow, bilge_temperature, bilge_ratio, target, inside_ratio)
    if inside.cycling is not None:
        # The fan draws bilge air only while it runs: the load's share of the cooling.
        rest = roof + sides + hull + sun_now + glass_air + person_sensible + appliances_now + fresh[0]
        rest = rest + np.maximum(given_off + fresh[1], 0.0) - evaporation
        left = np.maximum(inside.cycling - bilge[0] - bilge[1], 1.0)
        running = bounded(rest / left, 0.0, 1.0)
        bilge_flow, bilge = bilge_flow * running, (bilge[0] * running, bilge[1] * running)
    brought = fresh[1] + bilge[1]
    limit = np.where(brought < -given_off, -given_off / np.where(brought < 0.0, brought, -1.0), 1.0)
    sensible = {
        "roof": roof,
        "sides": sides,
        "hull": hull,
        "glass_sun": sun_now,
        "glass_air": glass_air,
        "people": person_sensible,
        # What evaporates inside takes its heat from the air: no load, but less dry and more wet.
        "equipment": appliances_now - evaporation,
        "fresh_air": fresh[0],
        "bilge_air": bilge[0],
    }
    nothing = np.zeros_like(target)
    latent = {name: nothing for name in COMPONENTS} | {
        "people": person_latent,
        "equipment": cooking_latent + evaporation,
        "fresh_air": fresh[1] * limit,
        "bilge_air": bilge[1] * limit,
    }

    rows = shape[0]

    def column(value: Array) -> Array:
        return spread(value, (rows, 1))[:, 0]

    air_capacity = tables.AIR_CAPACITY_FACTOR * shell.volume * tables.AIR_HEAT * 1.19
    capacity = np.stack(
        [column(air_capacity), column(shell.furnishings_capacity), *(column(c) for c in wall_capacity)],
        axis=1,
    )
    wall_columns = [column(w) for w in walls]
    direct = glass_conductance + tables.AIR_HEAT * (fresh_flow + bilge_flow).mean(axis=-1, keepdims=True)
    to_air = np.stack([column(to_furnishings), *(2.0 * w for w in wall_columns)], axis=1)
    to_outside = np.stack([column(direct), np.zeros(rows), *(2.0 * w for w in wall_columns)], axis=1)
    panes = shell.glass_overhead + shell.glass_port + shell.glass_starboard + shell.glass_forward
    return Loads(
        sensible, latent, fresh_flow, outside.humidity_ratio, bilge_flow, bilge_temperature, bilge_ratio, vapour,
        wetting, dries_off, panes, u_glass / tables.INSIDE_FILM["vertical"], outside.temperature, capacity, to_air, to_outside,
    )  # fmt: skip
