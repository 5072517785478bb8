"""The way from the bank to a thing: converters one after the other, walked by one function.

A load is the energy at its terminals; what it costs the bank depends on the path alone. Arrays
broadcast; watts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from console.contract import Run
from plugins.power.bank import converter_input
from plugins.power.tables import (
    APPLIANCE_CHARGER_EFFICIENCY,
    INVERTER_EFFICIENCY,
    INVERTER_IDLE,
    STAGE_EFFICIENCY,
    STAGE_IDLE,
)

Array = NDArray[np.float64]

WAYS = ("direct", "regulated_12", "regulated_24", "inverter", "inverter_charger")
"""Every way a thing can hang on the bank."""

REGULATED = ("regulated_12", "regulated_24", "inverter", "inverter_charger")
"""Those whose volts do not follow the bank's."""


@dataclass(frozen=True)
class Converter:
    """One converter: what it takes with nothing on it (W), and what comes out of what goes in."""

    name: str
    efficiency: Array | float
    idle: Array | float = 0.0


def input_power(output: ArrayLike, path: Sequence[Converter]) -> Array:
    """Watts at the bank for ``output`` watts at the end of ``path``, whose first is next to the bank.

    Walked from the far end: each takes its idle and what it gives over its efficiency. Raises
    ValueError for one that gives more than it takes.
    """
    watts = np.asarray(output, dtype=float)
    for converter in reversed(path):
        if np.any(np.asarray(converter.efficiency) > 1.0) or np.any(
            np.asarray(converter.efficiency) <= 0.0
        ):
            raise ValueError(f"a {converter.name} cannot give more than it takes, nor nothing of it")
        watts = converter_input(watts, converter.efficiency, converter.idle)
    return watts


def inverter_efficiency(run: Run) -> Array:
    """Of the inverter aboard, else of a usual one."""
    return run.number("power.inverter.efficiency", INVERTER_EFFICIENCY)


def path_of(run: Run, way: str, idle: bool = True) -> tuple[Converter, ...]:
    """The converters of a way, on this boat. Without ``idle`` the inverter's own draw is left out:
    where several hang on one it is counted once."""
    stage = Converter("stage", STAGE_EFFICIENCY, STAGE_IDLE)
    drawn = run.number("power.inverter.idle", INVERTER_IDLE) if idle else 0.0
    inverter = Converter("inverter", inverter_efficiency(run), drawn)
    plug_in = Converter("charger", APPLIANCE_CHARGER_EFFICIENCY)
    return {
        "direct": (),
        "regulated_12": (stage,),
        "regulated_24": (stage,),
        "inverter": (inverter,),
        "inverter_charger": (inverter, plug_in),
    }[way]


def way_of(run: Run, path: str) -> str:
    """How a listed load hangs on the bank: as listed, or by a charger of its own from the bank's volts
    where those behind the inverter are exchanged for one."""
    way = run.text(f"{path}.path", "direct")
    exchanged = run.text("power.plug_in_chargers", "as_listed") == "from_the_bank"
    return "regulated_12" if way == "inverter_charger" and exchanged else way
