"""A worn or torn gasket that was once its own mirror image: how far its halves differ, and their mean.

Axis    a line through the middle of the outline, by its direction in radians.
"""

from __future__ import annotations

from math import atan2, cos, degrees, pi, sin

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon

from gasketcut.capture.proposals import Proposal
from gasketcut.capture.rings import Array, nearest_on

_ALIKE = 0.8
"""mm by which halves may differ that are offered as one another's image. Our choice."""

_FEWEST = 400
"""Points of the ring that are compared."""


def mirrors_of(ring: Array, number: int) -> list[Proposal]:
    """Up to two axes, the better first, with how far the halves differ at most."""
    points = ring[:: max(1, len(ring) // _FEWEST)]
    middle = middle_of(ring)
    x, y = (points - middle).T
    main = 0.5 * atan2(2 * float(x @ y), float(x @ x - y @ y))
    found = []
    for start in (main, main + pi / 2):
        axis = _refined(points, ring, middle, start)
        worst = float(np.max(_apart(points, ring, middle, axis)))
        if worst < _ALIKE:
            turn = degrees(axis) % 180
            text = f"the halves on either side of a line at {turn:.1f} deg differ by {worst:.3f} mm at most: their mean"
            found.append((worst, Proposal("mirror", text, value=axis, part=number)))
    return [proposal for _, proposal in sorted(found, key=lambda one: one[0])]


def halved(ring: Array, other: Array, middle: Array, axis: float) -> Array:
    """Each point of the ring half way to the mirror image of `other`, which may be the ring itself."""
    result: Array = (ring + nearest_on(mirrored(other, middle, axis), ring)) / 2
    return result


def mirrored(points: Array, middle: Array, axis: float) -> Array:
    """The image about the line through `middle` in the direction `axis`."""
    c, s = cos(2 * axis), sin(2 * axis)
    result: Array = (points - middle) @ np.array([[c, s], [s, -c]]) + middle
    return result


def middle_of(ring: Array) -> Array:
    """Where the axis goes through: the middle of the area."""
    centre = Polygon(ring).centroid
    return np.array([centre.x, centre.y])


def _apart(points: Array, ring: Array, middle: Array, axis: float) -> Array:
    image = LinearRing(mirrored(ring, middle, axis))
    return np.asarray(shapely.distance(shapely.points(points), image), dtype=float)


def _refined(points: Array, ring: Array, middle: Array, start: float) -> float:
    """The direction near `start` at which the halves differ least in the mean square, by narrowing down."""
    low, high = start - 0.1, start + 0.1
    for _ in range(5):
        tried = np.linspace(low, high, 9)
        costs = [float(np.mean(_apart(points, ring, middle, float(axis)) ** 2)) for axis in tried]
        best = int(np.argmin(costs))
        step = (high - low) / 8
        low, high = float(tried[best]) - step, float(tried[best]) + step
    return (low + high) / 2
