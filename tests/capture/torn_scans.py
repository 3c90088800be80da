"""Gaskets with ragged bites taken out of them, as a scanner would see them."""

import numpy as np

from tests.scans import gasket, rounded

SIDE = [(-6, 34), (-5, 30.5), (-3.4, 31), (-2, 28.9), (0.3, 29.6), (1.8, 28.7), (3.1, 30.2), (4.4, 29.8), (5.2, 34)]
"""Out of the upper side, 3.3 mm deep."""

CORNER = [(17, 34), (19.5, 30.6), (21.2, 31), (22, 29.2), (24.2, 28.8), (24, 26.5), (26.4, 25.8), (26.9, 23.2),
          (28.6, 22.4), (34, 20), (34, 34)]  # fmt: skip
"""The upper right corner, through its hole."""

BORE = [(-24, -3), (-24.6, -2.1), (-26, -1.2), (-25.1, 0.5), (-26.2, 1.7), (-24.5, 2.9), (-22, 4), (-20, 0)]
"""Out of the bore, to the left."""

LOBE = [(-9, 40), (-9, 26), (-6.2, 24.2), (-4, 25.4), (-2.1, 23.4), (0.4, 24.9), (2.2, 23), (4.6, 24.6), (6.9, 22.9),
        (12, 24), (12, 40)]  # fmt: skip
"""The upper one of three lobes, with its hole."""

EAR = [(10, 30), (11.5, 20.3), (14, 19.2), (16.2, 20.7), (19.2, 18.9), (22, 20.2), (30, 17), (30, 30)]
"""The upper one of two, through its hole."""

QUARTER = [(12, 30), (14, 26), (17, 25), (18, 22), (21.5, 20.4), (23, 17), (25, 16.2), (30, 10), (30, 30)]
"""A corner of a square, through its hole."""

WINDOW = [(21, 30), (22, 20.2), (24.5, 19), (26.2, 15.4), (28.6, 14.3), (30.1, 12.6), (33.4, 11.8), (34.2, 8.9),
          (45, 6), (45, 30)]  # fmt: skip
"""The upper right corner of a plate, through its window."""


def plate(u, v):
    """72 x 44 mm with a bore of 16 and two windows of 8 x 6 in its upper half, so that only one mirror keeps them."""
    distance = np.maximum(rounded(u, v, 72, 44, 6), 8 - np.hypot(u, v))
    for way in (1, -1):
        distance = np.maximum(distance, -rounded(u - way * 28, v - 14, 8, 6, 1))
    return distance


def lobes(u, v):
    """Three lobes of 8 mm, 24 mm out, with holes of 6 mm, about a disc of 22 mm with a bore of 30: no two halves alike,
    as each lobe has a smaller one of 4 mm on its left."""
    distance = np.hypot(u, v) - 22.0
    for n in range(3):
        a, b = np.radians(90 + 120 * n), np.radians(130 + 120 * n)
        distance = np.minimum(distance, np.hypot(u - 24 * np.cos(a), v - 24 * np.sin(a)) - 8.0)
        distance = np.minimum(distance, np.hypot(u - 23 * np.cos(b), v - 23 * np.sin(b)) - 4.0)
    for n in range(3):
        a = np.radians(90 + 120 * n)
        distance = np.maximum(distance, 3.0 - np.hypot(u - 24 * np.cos(a), v - 24 * np.sin(a)))
    return np.maximum(distance, 15.0 - np.hypot(u, v))


def square(u, v):
    """56 mm, with a hole in each corner: its own image by a quarter of a turn, and by four mirrors."""
    distance = rounded(u, v, 56, 56, 7)
    for x, y in ((-21, -21), (-21, 21), (21, -21), (21, 21)):
        distance = np.maximum(distance, 2.75 - np.hypot(u - x, v - y))
    return np.maximum(distance, 18 - np.hypot(u, v))


def crank(u, v):
    """Its own image by half a turn, and by no mirror."""
    distance = rounded(u, v, 50, 26, 6)
    for way in (1, -1):
        distance = np.minimum(distance, rounded(u - way * 19, v - way * 15, 12, 18, 5))
    for way in (1, -1):
        distance = np.maximum(distance, 2.2 - np.hypot(u - way * 19, v - way * 19))
    return np.maximum(distance, 8 - np.hypot(u, v))


def one_ear(u, v):
    """A ring that has one ear, and was made so."""
    distance = np.minimum(np.hypot(u, v) - 24, np.hypot(u - 26, v) - 6)
    return np.maximum(np.maximum(distance, 2.5 - np.hypot(u - 26, v)), 16 - np.hypot(u, v))


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
