"""A closed ring of points of shape (n, 2), the first not repeated."""

from __future__ import annotations

import numpy as np

from gasketcut.arrays import Array


def signed_area(ring: Array) -> float:
    """Inside a closed ring [mm2]; positive when counter-clockwise."""
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def cyclic(points: Array, first: int, last: int) -> Array:
    """From one to another, both among them, over the end of the ring if need be."""
    return points[first : last + 1] if last >= first else np.vstack([points[first:], points[: last + 1]])
