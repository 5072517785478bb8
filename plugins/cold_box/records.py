"""The estimates and questions of the ice box, as records: needs, gives, and who computes them."""

from console.contract import Estimate, Given, Need, Question

_HERE = "plugins.cold_box"

_SURROUNDINGS = (
    Need("climate.cabin_temperature", "K", f"{_HERE}.defaults:cabin_temperature"),
    Need("climate.cabin_humidity", "1", f"{_HERE}.defaults:cabin_humidity"),
    Need("weather.outdoor_temperature", "K"),
    Need("weather.outdoor_humidity_ratio", "1"),
    Need("weather.seawater_temperature", "K"),
    Need("weather.direct_normal", "W/m**2"),
    Need("weather.diffuse_horizontal", "W/m**2"),
    Need("weather.sun_zenith", "rad"),
    Need("weather.sun_azimuth", "rad"),
)

_FITTED = (Need("cold_box.wall_factor", "1"), Need("cold_box.leak_factor", "1"))

_SHAPE = "Holman, Heat Transfer, table 3-1; ASHRAE films"
_CRACK = "Baker, Sharples & Ward 1987 crack flow; stack about a neutral level"
_FROST = "Lewis analogy; density as entered, 115 to 420 kg/m³ when not"
_CYCLE = "refrigerant property maps; clearance volumetric efficiency"


def _heat(name: str, meaning: str, source: str = "") -> Given:
    return Given(f"cold_box.{name}", "W", meaning, "net_heat", source=source)


def _air(name: str, meaning: str, source: str = _CRACK) -> Given:
    return Given(f"cold_box.{name}", "m**3/s", meaning, "air_per_day", source=source)


def _water(name: str, meaning: str) -> Given:
    return Given(f"cold_box.water.{name}", "kg/s", meaning, "mass_per_day", source=_FROST)


def _amps(name: str, meaning: str) -> Given:
    return Given(f"cold_box.amp_hours.{name}", "A", meaning, "amp_hours_per_day", source=_CYCLE)


ESTIMATES = (
    Estimate(
        "cold_box.fit", f"{_HERE}.fit:fit", about="cold_box", stateful=True, needs=_SURROUNDINGS,
        gives=(
            Given("cold_box.wall_factor", "1", "what the walls let in over what their sizes say, from your "
                  "week of amp-hours", "ratio", source="solved per draw for the week's amp-hours"),
            Given("cold_box.leak_factor", "1", "what leaks in over what the seal's gap says, from your "
                  "melt-water", "ratio", source="solved per draw for the melt-water"),
        ),
    ),
    Estimate(
        "cold_box.temperature", f"{_HERE}.estimates:temperature", about="cold_box", stateful=True,
        needs=(*_SURROUNDINGS, *_FITTED),
        gives=(
            Given("cold_box.box_temperature", "K", "temperature inside the ice box, its warmest hour",
                  "temperature", "largest", source="heat balance with the contents' heat capacity"),
            _heat("stored_heat", "heat the contents take up as the box warms"),
            Given("cold_box.wanted_share", "1", "share of the time it would have to run to hold; over 100 % it "
                  "cannot", "percent", "largest"),
            Given("cold_box.fridge_temperature", "K", "temperature of the fridge's side, its warmest hour",
                  "temperature", "largest", source="heat balance across the divider"),
        ),
    ),
    Estimate(
        "cold_box.crossing", f"{_HERE}.estimates:crossing", about="cold_box",
        needs=(
            *_SURROUNDINGS,
            *_FITTED,
            Need("cold_box.box_temperature", "K"),
            Need("cold_box.fridge_temperature", "K"),
            Need("cold_box.stored_heat", "W"),
        ),
        gives=(
            _heat("heat.walls", "heat through walls, lid and its edge", _SHAPE),
            _heat("heat.seal", "heat with air through the seal, its moisture included", _CRACK),
            _heat("heat.openings", "heat with air let in by opening it", "Gosney & Olama 1975 (door)"),
            _heat("heat.contents", "heat of warm food and drink, less ice put in"),
            _heat("heat.drain", "heat with air drawn through by the open drain", _CRACK),
            _heat("heat_total", "all heat into the ice box"),
            _heat("through.opening", "heat through the lid or door itself", _SHAPE),
            _heat("through.hull", "heat through the side against the hull", _SHAPE),
            _heat("through.sides", "heat through the other sides", _SHAPE),
            _heat("through.bottom", "heat through the bottom", _SHAPE),
            _air("air_exchange", "cabin air that gets into the box, all ways"),
            _air("air.seal", "cabin air through the seal"),
            _air("air.drain", "cabin air drawn through by the open drain"),
            _air("air.openings", "cabin air let in by opening it", "Gosney & Olama 1975 (door)"),
            _air("divider_air", "air exchanged through the divider", "orifices about a neutral level, and the fan"),
            _water("seal", "water that comes through the seal"),
            _water("drain", "water drawn in by the open drain"),
            _water("openings", "water let in by opening it"),
            _water("food", "water that food gives off"),
            _amps("walls", "amp-hours a day for heat through walls and lid"),
            _amps("seal", "amp-hours a day for air through the seal"),
            _amps("drain", "amp-hours a day for air drawn in by the open drain"),
            _amps("openings", "amp-hours a day for opening it"),
            _amps("contents", "amp-hours a day for warm food and drink"),
            Given("cold_box.conductance", "W/K", "conductance of all walls, lid and edge", "conductance",
                  source=_SHAPE),
            Given("cold_box.leakage_area", "m**2", "effective leakage area of the seal at 4 Pa",
                  "small_area", source="ASHRAE Fundamentals ch. 16"),
            Given("cold_box.humidity", "1", "relative humidity in the box", "share"),
            Given("cold_box.frost_rate", "kg/s", "frost that settles on the plate", "mass_per_day",
                  source=_FROST),
            Given("cold_box.drip_rate", "kg/s", "water that runs off plate and liner unfrozen",
                  "mass_per_day"),
            Given("cold_box.frost_thickness_rate", "m/s", "growth of the frost on the plate",
                  "thickness_per_day", source=_FROST),
            Given("cold_box.frost_density", "kg/m**3", "density of the frost, as used", "density"),
            Given("cold_box.young_frost_density", "kg/m**3", "density of hours-old frost by published formulas, "
                  "held at 50 and over", "density",
                  source="Hayashi et al. 1977 and Hermes et al. 2009, both beyond their range here"),
            Given("cold_box.days_to_defrost", "s", "days until the frost reaches your limit", "days"),
            Given("cold_box.frost_thickness", "m", "frost on the plate now", "short_length"),
            Given("cold_box.openings_per_day", "1/s", "times a day it is opened", "per_day"),
            Given("cold_box.terminal_voltage", "V", "volts at the compressor while it runs", "voltage"),
            Given("cold_box.battery_voltage", "V", "volts on the battery while it runs", "voltage"),
            Given("cold_box.volts_allow", "1", "share of the time its volts let it run", "share"),
            Given("cold_box.failing_share", "1", "share of the edge that lets a paper slip go", "share"),
            Given("cold_box.drain_open", "1", "how much of the drain is open", "share"),
            Given("cold_box.wetted_share", "1", "share of the plate the refrigerant reaches", "share",
                  source="common practice, no source"),
            Given("cold_box.condensing_over_air", "delta_degC", "how far it condenses above its air or water",
                  "temperature_difference"),
            Given("cold_box.locker_air", "K", "air going into the condenser", "temperature"),
            Given("cold_box.cabin_air", "K", "temperature of the cabin air around the ice box",
                  "temperature"),
            Given("cold_box.plate_temperature", "K", "temperature of the plate while it runs",
                  "temperature"),
            Given("cold_box.cooling", "W", "cooling while the compressor runs", "heat", source=_CYCLE),
            Given("cold_box.cooling_per_watt", "1", "cooling per watt of electricity while it runs", "ratio",
                  source=_CYCLE),
            Given("cold_box.run_share", "1", "share of the time the compressor runs", "share"),
            Given("cold_box.compressor_current", "A", "amps of the compressor while it runs", "current",
                  source=_CYCLE),
            Given("cold_box.amp_hours_per_day", "A", "amp-hours a day of the ice box",
                  "amp_hours_per_day"),
        ),
    ),
    Estimate(
        "cold_box.settled", f"{_HERE}.estimates:settled", about="cold_box",
        needs=(*_SURROUNDINGS, *_FITTED, Need("cold_box.box_temperature", "K")),
        gives=(
            Given("cold_box.settled_temperature", "K", "temperature the box would stay at", "temperature",
                  "largest", source="heat in against all the machine can lift"),
        ),
    ),
    Estimate(
        "cold_box.standing", f"{_HERE}.estimates:standing", about="cold_box",
        needs=(*_SURROUNDINGS, *_FITTED, Need("cold_box.box_temperature", "K"),
               Need("cold_box.fridge_temperature", "K")),
        gives=(
            Given("cold_box.hours_to_food_line", "s", "hours without power until the contents pass the food "
                  "line", "hours", "least", source="heat in with the machine off, contents' heat capacity"),
            Given("cold_box.hold_over", "s", "hours without power until food must be thrown away", "hours",
                  "least", source="USDA/FDA guidance: two hours over 40 °F, one in air above 90 °F"),
        ),
    ),
)  # fmt: skip

QUESTIONS = (
    Question(
        "cold_box.cost", "What is the ice box costing, and does it keep up?",
        f"{_HERE}.questions:what_it_costs", about="cold_box",
        needs=("cold_box.amp_hours_per_day", "cold_box.run_share", "cold_box.box_temperature",
               "cold_box.heat_total"),
        add_line='[cold_box] with opening = "lid" (or "door")',
        number="from the bank",
        what="amp-hours a day, and where the heat comes in",
    ),
    Question(
        "cold_box.defrost", "When is the ice box due for defrosting?",
        f"{_HERE}.questions:when_to_defrost", about="cold_box",
        needs=("cold_box.days_to_defrost", "cold_box.frost_rate", "cold_box.frost_thickness_rate"),
        add_line='[cold_box] with opening = "lid" (or "door")',
        number="until defrosting",
        what="days until the frost on the plate reaches your limit, and where the water comes from",
    ),
)  # fmt: skip
