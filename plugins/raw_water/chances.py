"""How likely each look of the line is, draw by draw, from the figures of what the line is like.

All widths here are judgement: common practice, no source. No entry is ever impossible, for an
owner may misread, and a row adds to one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from console.contract import Array, Run

_FLOOR = 0.01


def _rows(*columns: Array | float) -> Array:
    made = np.stack(np.broadcast_arrays(*(np.asarray(column, dtype=float) for column in columns)), axis=-1)
    made = np.maximum(made.reshape(-1, len(columns)), _FLOOR)
    made = made / made.sum(axis=-1, keepdims=True)
    made = np.maximum(made, _FLOOR)  # what the division took below the floor
    return np.asarray(made / made.sum(axis=-1, keepdims=True))


def _figure(run: Run, name: str) -> Array:
    return np.asarray(run.figure(f"raw_water.{name}").mean(axis=-1, keepdims=True))


def _near(value: Array, centre: float, width: float) -> Array:
    return np.asarray(np.exp(-0.5 * np.square((value - centre) / width)))


def _rise(value: Array, middle: float, width: float) -> Array:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip((value - middle) / width, -60, 60))))


def strainer(run: Run) -> Array:
    """clean, third, half, packed, dirty: by the basket's blocked share."""
    blocked = _figure(run, "basket_shut")
    dirty = _rise(blocked, 0.35, 0.1)
    return _rows(
        _near(blocked, 0.0, 0.15), _near(blocked, 0.33, 0.15), _near(blocked, 0.55, 0.15),
        _rise(blocked, 0.8, 0.06), 0.5 * dirty,
    )  # fmt: skip


def seacock(run: Run) -> Array:
    """open, partly, stiff: by how far its handle stands open."""
    wide = _rise(_figure(run, "seacock_opening"), 0.85, 0.04)
    return _rows(0.9 * wide, 1.0 - wide, 0.1 + 0.1 * (1.0 - wide))


def hose_look(run: Run) -> Array:
    """clear, pinched, cannot_see: by the narrowest kink. A third of the runs cannot be seen."""
    pinched = 1.0 - _rise(_figure(run, "narrowest_hose"), 0.7, 0.08)
    return _rows(0.67 * (1.0 - pinched), 0.67 * pinched, 0.33)


def bubbles(run: Run) -> Array:
    """none, some, many: by the air drawn in with the water."""
    air = _figure(run, "drawn_air")
    some, many = _rise(air, 0.01, 0.004), _rise(air, 0.05, 0.012)
    return _rows(1.0 - some, some * (1.0 - many) + 0.05, many)


def intake_gush(run: Run) -> Array:
    """strong, weak, none: by what comes in through intake and seacock against the clean line's."""
    share = _figure(run, "gush_share")
    strong, nothing = _rise(share, 0.6, 0.06), 1.0 - _rise(share, 0.06, 0.02)
    return _rows(strong, (1.0 - strong) * (1.0 - nothing), nothing)


def overboard_stream(run: Run) -> Array:
    """full, weak, pulsing, none: by the flow share, and by whether the pump stops or draws air."""
    share = _figure(run, "flow_share")
    stopped, air = _figure(run, "pump_still"), _figure(run, "drawn_air")
    fitful = np.maximum(stopped * (1.0 - stopped) * 4.0, _rise(air, 0.03, 0.01))
    full, nothing = _rise(share, 0.72, 0.07), 1.0 - _rise(share, 0.04, 0.015)
    steady = 1.0 - 0.8 * fitful
    return _rows(
        full * steady, (1.0 - full) * (1.0 - nothing) * steady, 0.8 * fitful * (1.0 - nothing), nothing
    )


def pump_sound(run: Run) -> Array:
    """normal, racing, humming, grinding, silent: by air in it, wear, and whether it stands still."""
    stopped, wear = _figure(run, "pump_still"), _figure(run, "pump_wear")
    air = np.maximum(_figure(run, "pump_air"), np.minimum(_figure(run, "drawn_air") / 0.12, 1.0))
    racing = _rise(air, 0.5, 0.12)
    worn = _rise(wear, 0.4, 0.1)
    turns = 1.0 - stopped
    return _rows(
        turns * (1.0 - racing) * (1.0 - 0.4 * worn), turns * racing, 0.5 * stopped,
        turns * (1.0 - racing) * 0.4 * worn, 0.5 * stopped,
    )  # fmt: skip


def after_cleaning(run: Run) -> Array:
    """restored, unchanged: by what a clean basket would bring back, and how much that is.

    Practice calls it restored at 0.95 of the clean flow; a bucket tells it to some 6 %.
    """
    share = _figure(run, "share_after_cleaning")
    gained = share - _figure(run, "flow_share")
    restored = _rise(share, 0.85, 0.04) * _rise(gained, 0.1, 0.025)
    return _rows(restored, 1.0 - restored)
