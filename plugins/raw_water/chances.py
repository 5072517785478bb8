"""How likely each look of the line is, draw by draw, from what the line is like.

All widths here are judgement: common practice, no source. No entry is ever impossible, for an
owner may misread, and a row adds to one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from plugins.raw_water.build import LINE, first_of, part_of

if TYPE_CHECKING:
    from console.contract import Array, Run

_FLOOR = 0.01


def _rows(*columns: Array | float) -> Array:
    made = np.stack(np.broadcast_arrays(*(np.asarray(column, dtype=float) for column in columns)), axis=-1)
    made = made.reshape(-1, len(columns)) + _FLOOR
    return np.asarray(made / made.sum(axis=-1, keepdims=True))


def _near(value: Array, centre: float, width: float) -> Array:
    return np.asarray(np.exp(-0.5 * np.square((value - centre) / width)))


def _rise(value: Array, middle: float, width: float) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip((value - middle) / width, -60, 60))))


def strainer(run: Run) -> Array:
    """clean, third, half, packed, dirty: by the basket's blocked share."""
    blocked = run.number(f"{first_of(run, 'strainer')}.blocked")
    dirty = _rise(blocked, 0.35, 0.1)
    return _rows(
        _near(blocked, 0.0, 0.15), _near(blocked, 0.33, 0.15), _near(blocked, 0.55, 0.15),
        _rise(blocked, 0.8, 0.06), 0.5 * dirty,
    )  # fmt: skip


def seacock(run: Run) -> Array:
    """open, partly, stiff: by how far its handle stands open."""
    opening = run.number(f"{first_of(run, 'seacock')}.open_share")
    wide = _rise(opening, 0.85, 0.04)
    return _rows(0.9 * wide, 1.0 - wide, 0.1 + 0.1 * (1.0 - wide))


def hose_look(run: Run) -> Array:
    """clear, pinched, cannot_see: by the narrowest kink. A third of the runs cannot be seen."""
    widths = [run.number(f"{item}.open_width") for item in run.items(LINE) if part_of(run, item) == "hose"]
    narrow = widths[0]
    for width in widths[1:]:
        narrow = np.minimum(narrow, width)
    pinched = 1.0 - _rise(narrow, 0.7, 0.08)
    return _rows(0.67 * (1.0 - pinched), 0.67 * pinched, 0.33)


def bubbles(run: Run) -> Array:
    """none, some, many: by the air drawn in with the water."""
    air = run.number(f"{first_of(run, 'pump')}.suction_air")
    some, many = _rise(air, 0.01, 0.004), _rise(air, 0.05, 0.012)
    return _rows(1.0 - some, some * (1.0 - many) + 0.05, many)


def intake_gush(run: Run) -> Array:
    """strong, weak, none: by the open share of intake and seacock together, as areas."""
    opening = (1.0 - run.number(f"{first_of(run, 'intake')}.blocked")) * run.number(
        f"{first_of(run, 'seacock')}.open_share"
    )
    strong, nothing = _rise(opening, 0.4, 0.08), 1.0 - _rise(opening, 0.06, 0.02)
    return _rows(strong, (1.0 - strong) * (1.0 - nothing), nothing)


def overboard_stream(run: Run) -> Array:
    """full, weak, pulsing, none: by the flow share, and by whether the pump stops or draws air."""
    share = run.figure("raw_water.flow_share").mean(axis=-1, keepdims=True)
    pump = first_of(run, "pump")
    stopped, air = run.number(f"{pump}.stopped"), run.number(f"{pump}.suction_air")
    fitful = np.maximum(stopped * (1.0 - stopped) * 4.0, _rise(air, 0.03, 0.01))
    full, nothing = _rise(share, 0.72, 0.07), 1.0 - _rise(share, 0.04, 0.015)
    steady = 1.0 - 0.8 * fitful
    return _rows(full * steady, (1.0 - full) * (1.0 - nothing) * steady, 0.8 * fitful, nothing)


def pump_sound(run: Run) -> Array:
    """normal, racing, humming, grinding, silent: by air in it, wear, and whether it stands still."""
    pump = first_of(run, "pump")
    stopped, wear = run.number(f"{pump}.stopped"), run.number(f"{pump}.wear")
    air = np.maximum(run.number(f"{pump}.air"), np.minimum(run.number(f"{pump}.suction_air") / 0.12, 1.0))
    racing = _rise(air, 0.5, 0.12)
    worn = _rise(wear, 0.4, 0.1)
    turns = 1.0 - stopped
    return _rows(
        turns * (1.0 - racing) * (1.0 - 0.4 * worn), turns * racing, 0.5 * stopped,
        turns * (1.0 - racing) * 0.4 * worn, 0.5 * stopped,
    )  # fmt: skip
