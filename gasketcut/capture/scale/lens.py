"""From places in a photograph to places on a flat sheet: the lens first, then the plane's perspective.

Twelve numbers: eight of the perspective, two radial terms, and where the lens has its middle. Places in the photograph
count from the picture's middle in halves of its longer side. Source of the model: the usual pinhole camera with radial
distortion (any text on photogrammetry). The lens' middle is free as real ones sit off the picture's: on published
photographs of a chessboard that takes a third off the error (tests/capture/test_real_photos.py).
"""

from __future__ import annotations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.measure.least_squares import solved

_OFF_MIDDLE = 0.05
"""Of half the longer side, by which a lens' middle may be off the picture's. Our choice."""

_READ = 0.02
"""mm by which a dot's middle may be read wrong: what the lens' middle is weighed against. Our choice."""


def straight(corners: Array, ends: Array) -> Array:
    """The numbers that take four places in the photograph to four on the sheet through a lens that bends nothing."""
    return np.concatenate([_homography(corners, ends), np.zeros(4)])


def _homography(a: Array, b: Array) -> Array:
    """Eight numbers that take four points to four others."""
    rows, right = [], []
    for (x, y), (u, v) in zip(a, b, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    found: Array = np.linalg.solve(np.array(rows), np.array(right))
    return found


def mapped(numbers: Array, points: Array) -> Array:
    """Places on the sheet; shapes (12,) and (n, 2)."""
    a = numbers
    off = points - a[10:12]
    square = np.sum(off**2, axis=1)
    x, y = (off * (1 + a[8] * square + a[9] * square**2)[:, None]).T
    below = a[6] * x + a[7] * y + 1
    return np.column_stack([(a[0] * x + a[1] * y + a[2]) / below, (a[3] * x + a[4] * y + a[5]) / below])


def unmapped(numbers: Array, places: Array) -> Array:
    """Points in the photograph that are mapped to these places on the sheet; shapes (12,) and (n, 2)."""
    plane = np.array([[*numbers[:3]], [*numbers[3:6]], [numbers[6], numbers[7], 1.0]])
    x, y, below = np.linalg.inv(plane) @ np.column_stack([places, np.ones(len(places))]).T
    straight_on = np.column_stack([x / below, y / below])
    off = straight_on
    for _ in range(30):  # lenses bend by a few hundredths, so each round takes off most of what is left
        square = np.sum(off**2, axis=1)[:, None]
        off = straight_on / (1 + numbers[8] * square + numbers[9] * square**2)
    result: Array = off + numbers[10:12]
    return result


def improved(numbers: Array, points: Array, wanted: Array) -> tuple[Array, float]:
    """One step of Gauss-Newton towards `mapped(numbers, points) == wanted` [mm], and how large it was.

    The lens' middle is held near the picture's as far as the points leave it open.
    """

    def off(tried: Array) -> Array:
        return np.concatenate([(mapped(tried, points) - wanted).ravel(), _READ / _OFF_MIDDLE * tried[10:12]])

    found = solved(off, numbers, steps=1)
    return found.numbers, float(np.max(np.abs(found.step) / np.maximum(1.0, np.abs(numbers))))
