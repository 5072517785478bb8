"""A toy plugin with a model in closed form: water runs through a pipe past a heater.

flow = clean × (1 - blocked); rise = heat × strength / (flow × c). What it knows of its causes can be
worked out without the console, which is what the tests do.
"""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from console.boatfile import Boat, loads
from console.contract import Alter, Caution, Change, Effect, Estimate, Given, Need, Part, Reading, Section
from console.fields import Quantity, Table, choice, quantity
from tests import toy

HEAT = 4.18e6
"""J/(m³·K)."""


class Still(Table):
    clean: Quantity = quantity("flow", "10 L/min ± 20 %", hard=("0.1 L/min", "100 L/min"), help="Clean.")
    blocked: Quantity = quantity("share", "0 %", hard=("0 %", "99 %"), help="Share of the pipe shut.")
    heat: Quantity = quantity("power", "5 kW ± 15 %", hard=("10 W", "90 kW"), help="The heater's label.")
    strength: Quantity = quantity("share", "100 %", hard=("1 %", "100 %"), help="What is left of it.")
    sensor: Quantity = quantity("share", "100 %", hard=("1 %", "100 %"), help="Moves nothing measured.")
    water: Quantity = quantity(
        "temperature", "20 degC ± 3 degC", hard=("0 degC", "60 degC"), help="What goes in."
    )
    demand: Quantity = quantity("power", "4 kW ± 40 %", hard=("0 W", "90 kW"), help="What is wanted.")
    container: Quantity = quantity("volume", "10 L", hard=("1 L", "50 L"), help="What it is timed with.")
    kind: Literal["plain", "coated"] = choice("plain", help="Coated heaters take a third less.")


def flowing(run: Any) -> dict[str, Any]:
    flow = run.number("still.clean") * (1 - run.number("still.blocked"))
    return {
        "still.flow": flow,
        "still.fill_time": run.number("still.container") / flow,
        "still.water_in": run.number("still.water"),
    }


def heating(run: Any) -> dict[str, Any]:
    power = run.number("still.heat") * run.number("still.strength")
    if run.text("still.kind") == "coated":
        power = power * 0.66
    rise = power / (run.figure("still.flow") * HEAT)
    short = np.clip((run.number("still.demand") - power) / 1000.0, 0.0, 1.0)
    return {
        "still.rise": rise,
        "still.water_out": run.figure("still.water_in") + rise,
        "still.short": short,
        "still.enough": 1.0 - short,
    }


def look(run: Any) -> Any:
    """clear, dirty: by the blocked share, floored."""
    shut = np.clip(run.number("still.blocked"), 0.02, 0.98)
    return np.concatenate([1 - shut, shut], axis=1)


_HERE = "tests.inference.heater"
ESTIMATES = (
    Estimate(
        "still.flowing", f"{_HERE}:flowing", (),
        (
            Given("still.flow", "m**3/s", "flow", "flow"),
            Given("still.fill_time", "s", "seconds to fill the bucket", "seconds"),
            Given("still.water_in", "K", "water going in"),
        ),
    ),
    Estimate(
        "still.heating", f"{_HERE}:heating",
        (Need("still.flow", "m**3/s"), Need("still.water_in", "K")),
        (
            Given("still.rise", "delta_degC", "warming of the water"),
            Given("still.water_out", "K", "water coming out"),
            Given("still.short", "1", "how far it falls short", "share"),
            Given("still.enough", "1", "how far it is enough", "share"),
        ),
    ),
)  # fmt: skip
_STILL = ("still",)
READINGS = (
    Reading("flow", "Flow", "A meter.", 4, "evidence", unit="m**3/s", style="flow", predicts="still.flow",
            instrument="meter", shared_error="± 3 %", own_error="± 4 %", complaints=_STILL),
    Reading("fill_time", "Seconds to fill", "A bucket.", 4, "evidence", unit="s", style="seconds",
            predicts="still.fill_time", instrument="bucket", own_error="± 6 %", complaints=_STILL),
    Reading("water_in", "Water in", "A probe.", 3, "condition", unit="K", style="temperature",
            predicts="still.water_in", instrument="probe", shared_error="± 0.8 C", own_error="± 0.2 C",
            complaints=_STILL),
    Reading("water_out", "Water out", "A probe.", 3, "evidence", unit="K", style="temperature",
            predicts="still.water_out", instrument="probe", shared_error="± 0.8 C", own_error="± 0.3 C",
            model_error="± 0.4 C", complaints=_STILL),
    Reading("look", "The pipe's look", "A torch.", 1, "evidence", choices=("clear", "dirty"),
            chances=f"{_HERE}:look", hazards=("opens_the_pipe",), complaints=_STILL),
    Reading("valve", "The valve", "Its handle.", 1, "evidence", choices=("free", "stiff"),
            chances=f"{_HERE}:even", forbids=(("stiff", "opens_the_pipe"),), complaints=_STILL),
    Reading("lately", "What happened", "Remember.", 1, "event", choices=("none", "storm", "service"),
            complaints=_STILL),
)  # fmt: skip
CAUSES = (
    Change("blocked_pipe", "cause", "The pipe is blocked", (Alter("still.blocked", "set", "severity"),),
           severity="50 % ± 25 %", prior=0.4, complaint="still", odds={"storm": 5.0},
           remedy="Shut the valve. Clean it.", minutes=20, needs=(Part("brush", "{still.clean}"),),
           proof=("fill_time", "as when clean"), hazards=("opens_the_pipe",), about="still",
           effects=(Effect("still.flow", "more"),)),
    Change("weak_heater", "cause", "The heater is weak", (Alter("still.strength", "set", "severity"),),
           severity="50 % ± 20 %", prior=0.3, complaint="still", remedy="Call a licensed hand.",
           who="licensed", minutes=60, about="still"),
    Change("coated", "cause", "The heater is coated", (Alter("still.kind", "set", "coated"),), prior=0.1,
           complaint="still", remedy="Descale it.", minutes=90, about="still"),
    Change("too_small", "cause", "More is wanted than it gives", (), prior=0.1, complaint="still",
           weighed_by="still.short", remedy="Want less.", about="still"),
    Change("all_well", "cause", "Nothing is wrong", (), prior=0.1, complaint="still",
           weighed_by="still.enough", remedy="Leave it.", about="still"),
)  # fmt: skip
CAUTIONS = (Caution("opens_the_pipe", "Power off, valve shut and confirmed.", 1),)


def even(run: Any) -> Any:
    return np.full((run.draws, 2), 0.5)


def entry(causes: tuple[Change, ...] = CAUSES) -> Any:
    """The plugin, as it would be found installed."""
    return toy.plugin(
        "still",
        boat_sections=lambda: [Section("still", f"{_HERE}:Still", "The still")],
        boat_estimates=lambda: ESTIMATES,
        boat_readings=lambda: READINGS,
        boat_changes=lambda: causes,
        boat_cautions=lambda: CAUTIONS,
    )


def boat(text: str = "", causes: tuple[Change, ...] = CAUSES) -> Boat:
    """A boat with nothing but the still aboard."""
    return loads(text, toy.registry(entry(causes)))
