"""Gaskets with ragged bites taken out of them, as a scanner would see them."""

import numpy as np

from tests.scans import gasket

SIDE = [(-6, 34), (-5, 30.5), (-3.4, 31), (-2, 28.9), (0.3, 29.6), (1.8, 28.7), (3.1, 30.2), (4.4, 29.8), (5.2, 34)]
"""Out of the upper side, 3.3 mm deep."""

CORNER = [(17, 34), (19.5, 30.6), (21.2, 31), (22, 29.2), (24.2, 28.8), (24, 26.5), (26.4, 25.8), (26.9, 23.2),
          (28.6, 22.4), (34, 20), (34, 34)]  # fmt: skip
"""The upper right corner, through its hole."""

BORE = [(-24, -3), (-24.6, -2.1), (-26, -1.2), (-25.1, 0.5), (-26.2, 1.7), (-24.5, 2.9), (-22, 4), (-20, 0)]
"""Out of the bore, to the left."""


def polygon(u, v, corners):
    """Signed distance, negative inside."""
    ends = np.array(corners, dtype=float)
    far, inside = np.full(np.shape(u), np.inf), np.zeros(np.shape(u), dtype=bool)
    for (x, y), (p, q) in zip(ends, np.roll(ends, -1, axis=0), strict=True):
        dx, dy = p - x, q - y
        share = np.clip(((u - x) * dx + (v - y) * dy) / (dx * dx + dy * dy), 0, 1)
        far = np.minimum(far, np.hypot(u - x - share * dx, v - y - share * dy))
        if dy:
            inside ^= ((y > v) != (q > v)) & (u < dx * (v - y) / dy + x)
    return np.where(inside, -far, far)


def bitten(*bites, shape=gasket):
    """The shape less the polygons."""

    def torn(u, v):
        distance = shape(u, v)
        for one in bites:
            distance = np.maximum(distance, -polygon(u, v, one))
        return distance

    return torn
