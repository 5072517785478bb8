"""NumPy's own broadcasting and clipping, without their overhead on a day's two dozen values."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def spread(value: ArrayLike, shape: tuple[int, ...]) -> Array:
    """``value`` broadcast to ``shape``; as it is where it has that shape. Read-only otherwise."""
    array = np.asarray(value, dtype=np.float64)
    return array if array.shape == shape else np.broadcast_to(array, shape)


def bounded(value: ArrayLike, low: ArrayLike, high: ArrayLike) -> Array:
    """``value`` held from ``low`` to ``high``; NaN stays NaN."""
    return np.asarray(np.minimum(np.maximum(value, low), high))
