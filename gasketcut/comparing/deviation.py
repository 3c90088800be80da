"""The largest deviation between two closed lines: how far off the other the point of either that is farthest lies.

Source of the measure: F. Hausdorff, Grundzuege der Mengenlehre, 1914; here of both ways the larger.

Edge by edge a bound is kept: to one straight edge the distance along a straight line is convex, so largest at an end;
and nowhere does it change by more than one goes along. Edges that may still hold the largest are halved until the bound
is within CLOSE of what was found.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.edges import FLAT, Edges
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle

CLOSE = 0.0005
"""mm from the deviation found to its bound; with the short lines for arcs on both sides it is good to ACCURACY."""

ACCURACY = CLOSE + 2 * FLAT
"""mm; a tenth of the last digit that a caliper shows."""

_MOST_HALVINGS = 40


@dataclass(frozen=True, slots=True)
class Deviation:
    """The distance [mm], and the point of one of the two lines where it is."""

    size: float
    at: Point


def between(first: Array, second: Array) -> Deviation:
    """Of two closed rings of points, (n, 2) and (m, 2), to within ACCURACY of the contours that they stand for."""
    there = _one_way(first, Edges.of([second]))
    back = _one_way(second, Edges.of([first]))
    return max(there, back, key=lambda one: one.size)


def between_circles(first: Circle, second: Circle) -> Deviation:
    """Exact: the distance of the middles and the difference of the radii add up on the far side of the larger one.

    >>> between_circles(Circle((0, 0), 4.0), Circle((3.0, 0), 5.0))
    Deviation(size=4.0, at=(8.0, 0.0))
    """
    (x, y), (u, v) = first.center, second.center
    apart = hypot(u - x, v - y)
    way = ((u - x) / apart, (v - y) / apart) if apart > 0 else (1.0, 0.0)
    out = apart + second.radius if second.radius >= first.radius else -first.radius
    return Deviation(apart + abs(first.radius - second.radius), (x + out * way[0], y + out * way[1]))


def _one_way(ring: Array, edges: Edges) -> Deviation:
    """The point of the ring that is farthest from the edges."""
    start, end = ring, np.roll(ring, -1, axis=0)
    best, at = -1.0, ring[0]
    for _ in range(_MOST_HALVINGS):
        middle = (start + end) / 2
        half = np.hypot(*(end - start).T) / 2
        bound = np.full(len(start), np.inf)
        for places in (start, middle, end):
            nearest = edges.nearest(places)
            here = edges.distance(places, nearest)
            if here.max() > best:
                best, at = float(here.max()), places[int(np.argmax(here))]
            over_ends = np.maximum(edges.distance(start, nearest), edges.distance(end, nearest))
            along = here + (half if places is middle else 2 * half)
            bound = np.minimum(bound, np.minimum(over_ends, along))
        left = bound > best + CLOSE
        if not left.any():
            break
        start, middle, end = start[left], middle[left], end[left]
        start, end = np.vstack([start, middle]), np.vstack([middle, end])
    return Deviation(best, (float(at[0]), float(at[1])))
