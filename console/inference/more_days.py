"""How many more days like those logged would settle it, by the linear model about the posterior."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from console.inference.log_model import LogModel
from console.inference.weigh_log import LogPosterior

Array = NDArray[np.float64]

MOST_MORE_DAYS = 120
FINE = 201


def days_needed(
    model: LogModel, found: LogPosterior, ratio: Array, p_same: float, decides: float, sure: float
) -> int | None:
    """How many more days after the repair would settle it; None when days alone never would.

    The scatter of single readings shrinks with their number, what a period shares does not. The days to
    come are taken to say what those there have said: the estimate stays where it is and grows sharper,
    for "the same" and "changed" alike.
    """
    log = np.log(np.maximum(ratio, 1e-9))
    centre = float(found.weights @ log)
    target = log - centre
    spread = math.sqrt(max(float(found.weights @ np.square(target)), 1e-12))
    if spread < 1e-6 or found.at.shape[1] == 0 or model.repair is None:
        return None
    slope = found.at - found.weights @ found.at
    said = np.log(np.maximum(found.said, 1e-30))
    said = said - found.weights @ said
    weighed = (slope * found.weights[:, None]).T
    design = weighed @ slope + 1e-9 * np.eye(slope.shape[1])
    gain = np.linalg.solve(design, weighed @ np.column_stack([target, said]))
    direction, readings = gain[:, 0], gain[:, 1:]
    noise = model.shown.scatters / np.maximum(np.abs(model.shown.values), 1e-30)
    shared = np.array([model.shown.moves(name) for name in found.names])
    length = max(float(model.log.seconds @ model.log.later) / 86400.0, 1.0)
    later = np.array([each.later >= 0.5 for each in model.evidence])
    sizes = np.log(np.maximum(model.severity(np.linspace(-2.5, 2.5, FINE)), 1e-9))
    usual, width = float(sizes[FINE // 2]), max(abs(float(sizes[-1] - sizes[0])) / 5.0, 1e-3)

    def sigma_after(more: int) -> float:
        rows = (readings + shared) / noise * np.sqrt(1.0 + later * more / length)
        # (I + R R')^-1 by way of the few readings, not the many latents.
        inner = np.linalg.solve(np.eye(len(noise)) + rows.T @ rows, rows.T @ direction)
        return math.sqrt(max(float(direction @ direction - (rows.T @ direction) @ inner), 1e-12))

    def error_of(sigma: float) -> float:
        return math.sqrt(1.0 / max(1.0 / sigma**2 - 1.0 / width**2, 1e-6))

    def odds(seen: float, error: float) -> float:
        """Log odds of "the same" by one normal estimate."""
        total = math.hypot(error, width)
        off = (seen - usual) / total
        return 0.5 * off**2 - 0.5 * (seen / error) ** 2 + math.log(total / error)

    start = sigma_after(0)
    error = error_of(start)
    seen = error**2 * (centre / start**2 - usual / width**2)
    now = math.log(max(p_same, 1e-12) / max(1.0 - p_same, 1e-12)) - odds(seen, error)

    def settled(more: int) -> bool:
        sharper = error_of(sigma_after(more))
        left = 1.0 / (1.0 / sharper**2 + 1.0 / width**2)
        mean = left * (seen / sharper**2 + usual / width**2)
        same = 1.0 / (1.0 + math.exp(-max(-500.0, min(500.0, now + odds(seen, sharper)))))
        root = math.sqrt(2.0 * left)
        helped = (1 - same) * 0.5 * math.erfc((mean - math.log(1 - decides)) / root)
        worse = (1 - same) * 0.5 * math.erfc((math.log(1 + decides) - mean) / root)
        return max(helped, worse, 1.0 - helped - worse) >= sure

    if not settled(MOST_MORE_DAYS):
        return None
    least, most = 0, MOST_MORE_DAYS
    while most - least > 1:
        middle = (least + most) // 2
        least, most = (least, middle) if settled(middle) else (middle, most)
    return most
