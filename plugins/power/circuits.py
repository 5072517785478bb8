"""The estimate of the listed wire runs: drop, heat, volts at the end, and the size that will do."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from console.contract import Run
from plugins.power import consumers, wire
from plugins.power.tables import LOWEST_VOLTS, RELAY_COIL_CURRENT, RELAY_FEED

Array = NDArray[np.float64]
Figures = Mapping[str, Array]

CRITICAL_DROP = 0.03
PRACTICE_DROP = 0.10
"""Share of the nominal volts that may be lost: what must not fail, and the rest (ABYC E-11)."""
LARGEST = 1e-2
"""m²: a size nobody sells stands for one that several conductors must share."""


def drops(run: Run) -> Figures:
    """Voltage drop and heat of each listed run, out and back, with the bank at its lowest.

    What a circuit feeds holds its watts, so at the lowest voltage it takes more amps than its label.
    What it carries as it lies is the least of what the owner states and, where the insulation is
    known, the table's.
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
        limit = carries(run, path)
        if limit is not None:
            figures[f"power.circuit_limit.{key}"] = limit
            figures[f"power.circuit_load.{key}"] = run.number(f"{path}.current") / limit
        volts = allowed * nominal
        if run.has(f"{path}.least_voltage"):
            needed = run.number(f"{path}.least_voltage")
            figures[f"power.circuit_spare.{key}"] = lowest - drop - needed
            figures[f"power.circuit_relay.{key}"] = _by_relay(run, path, amps, lowest) - needed
            # Where the bank itself falls below what is needed no size of wire helps: practice stands.
            left = lowest - needed
            volts = np.where(left > 0, np.minimum(volts, left), volts)
        area = wire.required_area(amps, length, volts, warm)
        rating = run.text(f"{path}.insulation", "unknown")
        if rating != "unknown":
            lies = run.number(f"{path}.bundled", 1.0), bool(run.value(f"{path}.engine_space", False))
            area = np.maximum(area, wire.heat_area(run.number(f"{path}.current"), rating, *lies))
        figures[f"power.circuit_area.{key}"] = np.minimum(area, LARGEST)
    return figures


def carries(run: Run, path: str) -> Array | None:
    """Amps a listed run may carry as it lies; None when nothing is known of it."""
    known: list[Array] = []
    if run.has(f"{path}.current_limit"):
        known.append(run.number(f"{path}.current_limit"))
    rating = run.text(f"{path}.insulation", "unknown")
    if rating != "unknown":
        lies = run.number(f"{path}.bundled", 1.0), bool(run.value(f"{path}.engine_space", False))
        known.append(wire.allowable_current(run.number(f"{path}.gauge"), rating, *lies))
    return None if not known else np.asarray(known[0] if len(known) == 1 else np.minimum(*known))


def _by_relay(run: Run, path: str, amps: Array, lowest: Array) -> Array:
    """The lesser of two: volts at what is switched, fed by a relay beside the battery through the same
    size of wire, and volts at the relay's coil at the end of the long run."""
    gauge, warm = run.number(f"{path}.gauge"), run.number(f"{path}.temperature")
    fed = lowest - wire.voltage_drop(amps, RELAY_FEED, gauge, warm)
    coil = lowest - wire.voltage_drop(RELAY_COIL_CURRENT, run.number(f"{path}.length"), gauge, warm)
    return np.minimum(fed, coil)


def on_bus_bar(run: Run) -> Array:
    """Amps of all listed circuits at once."""
    return sum((run.number(f"{path}.current") for path in run.items("power.circuit")), np.zeros((1, 1)))
