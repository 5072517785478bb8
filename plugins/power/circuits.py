"""The estimate of the listed wire runs: drop, heat, volts at the end, and the size that will do."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power import consumers, wire
from plugins.power.tables import LOWEST_VOLTS

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

CRITICAL_DROP = 0.03
PRACTICE_DROP = 0.10
"""Share of the nominal volts that may be lost: what must not fail, and the rest (ABYC E-11)."""


def drops(run: Run) -> Figures:
    """Voltage drop of each listed run, out and back, with the bank at its lowest.

    What a circuit feeds holds its watts, so at the lowest voltage it takes more amps than its label.
    """
    nominal = consumers.bank_nominal(run)
    lowest = LOWEST_VOLTS[consumers.bank_chemistry(run)] * nominal / 12.0
    figures: dict[str, Array] = {}
    for path in run.items("power.circuit"):
        key = path.rsplit(".", 1)[-1]
        amps = run.number(f"{path}.current") * nominal / lowest
        length, warm = run.number(f"{path}.length"), run.number(f"{path}.temperature")
        drop = wire.voltage_drop(amps, length, run.number(f"{path}.gauge"), warm)
        allowed = CRITICAL_DROP if run.value(f"{path}.critical", False) else PRACTICE_DROP
        figures[f"power.circuit_drop.{key}"] = drop / nominal
        figures[f"power.circuit_voltage.{key}"] = lowest - drop
        if run.has(f"{path}.current_limit"):
            figures[f"power.circuit_load.{key}"] = run.number(f"{path}.current") / run.number(
                f"{path}.current_limit"
            )
        if run.has(f"{path}.least_voltage"):
            figures[f"power.circuit_spare.{key}"] = lowest - drop - run.number(f"{path}.least_voltage")
        volts = allowed * nominal
        if run.has(f"{path}.least_voltage"):
            # Where the bank itself falls below what is needed no size of wire helps: practice stands.
            left = lowest - run.number(f"{path}.least_voltage")
            volts = np.where(left > 0, np.minimum(volts, left), volts)
        figures[f"power.circuit_area.{key}"] = wire.required_area(amps, length, volts, warm)
    return figures


def on_bus_bar(run: Run) -> Array:
    """Amps of all listed circuits at once."""
    return sum((run.number(f"{path}.current") for path in run.items("power.circuit")), np.zeros((1, 1)))
