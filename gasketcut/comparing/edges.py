"""The edges of contours as short straight lines, and which of them is nearest to a place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from gasketcut.arrays import Array, Integers
from gasketcut.shape.loop import Contour

FLAT = 0.0002
"""How far the short lines may lie off arcs and circles [mm]."""


@dataclass(frozen=True, slots=True)
class Edges:
    """`start` and `end` of each, (n, 2) [mm]."""

    start: Array
    end: Array
    tree: shapely.STRtree

    @classmethod
    def of(cls, rings: Sequence[Array]) -> Edges:
        """Of closed rings of points, (m, 2), the first not repeated."""
        start = np.vstack([*rings, np.zeros((0, 2))])
        end = np.vstack([*(np.roll(ring, -1, axis=0) for ring in rings), np.zeros((0, 2))])
        lines = np.array(shapely.linestrings(np.stack([start, end], axis=1)))
        return cls(start, end, shapely.STRtree(lines))

    def nearest(self, places: Array) -> Integers:
        """For each place, (m, 2), the number of the nearest edge."""
        asked = np.array(shapely.points(places))
        _, found = self.tree.query_nearest(asked, all_matches=False)
        return np.asarray(found, dtype=np.int64)

    def foot(self, places: Array, edge: Integers) -> Array:
        """The point of each edge that is nearest to the place beside it, (m, 2)."""
        start, way = self.start[edge], self.end[edge] - self.start[edge]
        size = np.maximum(np.sum(way * way, axis=1), 1e-30)
        share = np.clip(np.sum((places - start) * way, axis=1) / size, 0.0, 1.0)
        result: Array = start + way * share[:, None]
        return result

    def distance(self, places: Array, edge: Integers) -> Array:
        """From each place to the edge beside it [mm]."""
        result: Array = np.hypot(*(places - self.foot(places, edge)).T)
        return result


def ring_of(contour: Contour) -> Array:
    """Points of the contour, (n, 2), the first not repeated; the lines between lie within FLAT of it."""
    return np.array(contour.flattened(FLAT))


def evenly(ring: Array, count: int) -> Array:
    """So many points along a closed ring at equal distances, (count, 2)."""
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    places = along[-1] * np.arange(count) / count
    return np.column_stack([np.interp(places, along, closed[:, 0]), np.interp(places, along, closed[:, 1])])
