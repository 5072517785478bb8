"""How likely each look of the box is, draw by draw, from what the box is like.

All widths here are judgement: common practice, no source. No entry is ever impossible, for an
owner may misread, and a row adds to one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from console.contract import Run

Array = NDArray[np.float64]

FLOOR = 0.01
FAN_STOPPED = 28.0
"""K of condensing above its air at which the fan is as likely still as turning."""


def _rows(*columns: Array | float) -> Array:
    made = np.stack(np.broadcast_arrays(*(np.asarray(c, dtype=np.float64) for c in columns)), axis=-1)
    made = made.reshape(-1, len(columns)) + FLOOR
    shares: Array = made / made.sum(axis=-1, keepdims=True)
    return shares


def _rise(value: Array, middle: float, width: float) -> Array:
    """From 0 to 1 about ``middle``, smoothly over a few ``width``."""
    risen: Array = 1.0 / (1.0 + np.exp(-np.clip((value - middle) / width, -60.0, 60.0)))
    return risen


def _mean(run: Run, name: str) -> Array:
    means: Array = run.figure(name).mean(axis=-1, keepdims=True)
    return means


def plate_frost(run: Run) -> Array:
    """none, part, all: by the share of the plate the refrigerant wets, and whether it runs."""
    wetted = _mean(run, "cold_box.wetted_share")
    bare = 1.0 - _rise(_mean(run, "cold_box.frost_rate") * 86_400.0, 0.5e-3, 0.2e-3)
    whole = _rise(wetted, 0.72, 0.06)
    return _rows(bare, (1.0 - bare) * (1.0 - whole), (1.0 - bare) * whole)


def compressor_runs(run: Run) -> Array:
    """continuous, cycling, tries_and_stops, off: by run share, and the volts it gets."""
    share, allowed = _mean(run, "cold_box.run_share"), _mean(run, "cold_box.volts_allow")
    always, stopped = _rise(share, 0.93, 0.02), 1.0 - _rise(allowed, 0.03, 0.01)
    resting = 1.0 - _rise(share, 0.02, 0.005)  # hardly ever needed, as full of ice or in the cold
    trying = (1.0 - stopped) * (1.0 - _rise(allowed, 0.9, 0.04))
    well = (1.0 - stopped) * (1.0 - trying)
    return _rows(
        well * always, well * (1.0 - always) * (1.0 - resting), trying + 0.5 * stopped,
        0.5 * stopped + well * resting,
    )  # fmt: skip


def condenser_fan(run: Run) -> Array:
    """turns, still: by how far it condenses above its air."""
    still = _rise(_mean(run, "cold_box.condensing_over_air"), FAN_STOPPED, 2.5)
    return _rows(1.0 - still, still)


def drain(run: Run) -> Array:
    """open, trapped, plugged: by how much of it is open, and what the file says of the rest."""
    is_open = _rise(_mean(run, "cold_box.drain_open"), 0.3, 0.07)
    trapped = {"trapped": 0.9, "plugged": 0.1}.get(run.text("cold_box.drain"), 0.5)
    return _rows(is_open, (1.0 - is_open) * trapped, (1.0 - is_open) * (1.0 - trapped))


def paper_slip(run: Run) -> Array:
    """holds, slips_some, slips_many: by the failing share of the edge."""
    failing = _mean(run, "cold_box.failing_share")
    some, many = _rise(failing, 0.06, 0.02), _rise(failing, 0.4, 0.07)
    return _rows(1.0 - some, some * (1.0 - many), some * many)
