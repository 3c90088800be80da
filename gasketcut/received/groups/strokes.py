"""The straight edges of what is drawn and does not close by itself: what dimensions, crosses and tables are made of.

Stroke   one such edge.
Free     an end at which nothing else ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from gasketcut.arrays import Array, Integers
from gasketcut.received.reading.drawn_lines import DrawnLine

TOUCH = 0.01
"""Ends nearer than this meet [mm]: programs that explode a dimension round to less."""

_MOST_EDGES = 12
"""Edges of a polyline that may still belong to a dimension or a table; ours."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Ends (n, 2, 2) [mm]: stroke, which end, x and y; `owner` (n,) the place in the list of drawn lines; `free`
    (n, 2); `meeting` (n, 2) how many ends of strokes lie where each does, its own too."""

    ends: Array
    owner: Integers
    free: NDArray[np.bool_]
    meeting: Integers
    tree: shapely.STRtree

    @property
    def along(self) -> Array:
        """Unit vectors from the first end to the second, (n, 2)."""
        way: Array = self.ends[:, 1] - self.ends[:, 0]
        result: Array = way / np.maximum(np.hypot(*way.T), 1e-12)[:, None]
        return result

    @property
    def length(self) -> Array:
        result: Array = np.hypot(*(self.ends[:, 1] - self.ends[:, 0]).T)
        return result

    def near(self, place: Array, distance: float) -> Integers:
        """Strokes that come as near to a place as that, in their order."""
        found = self.tree.query(shapely.Point(place[0], place[1]), predicate="dwithin", distance=distance)
        return np.sort(np.asarray(found, dtype=np.int64))

    def ending_at(self, place: Array) -> list[tuple[int, int]]:
        """Strokes that end there, and with which end."""
        return [
            (int(one), side)
            for one in self.near(place, TOUCH)
            for side in (0, 1)
            if np.hypot(*(self.ends[one, side] - place)) <= TOUCH
        ]


def strokes_of(lines: Sequence[DrawnLine]) -> Strokes:
    """Strokes of open lines with few edges; their ends are free if no other line, arcs and closed ones too, has a
    vertex there."""
    rows: list[tuple[tuple[float, float], tuple[float, float]]] = []
    owner: list[int] = []
    vertices: list[tuple[float, float]] = []
    for number, line in enumerate(lines):
        if line.circle is None and not line.curve:
            vertices += [one.start for one in line.segments]
            if not line.closed:
                vertices.append(line.segments[-1].end)
        if not line.closed and not line.curve and len(line.segments) <= _MOST_EDGES:
            straight = [one for one in line.segments if one.bulge == 0]
            rows += [(one.start, one.end) for one in straight]
            owner += [number] * len(straight)
    ends = np.array(rows, dtype=float).reshape(-1, 2, 2)
    flat = ends.reshape(-1, 2)
    free = _meeting(flat, np.array(vertices, dtype=float).reshape(-1, 2)) <= 1
    tree = shapely.STRtree(np.array(shapely.linestrings(ends)))
    meeting = _meeting(flat, flat).reshape(-1, 2)
    return Strokes(ends, np.array(owner, dtype=np.int64), free.reshape(-1, 2), meeting, tree)


def _meeting(ends: Array, vertices: Array) -> Integers:
    """How many of the vertices lie where each end does.

    By cells of twice TOUCH, laid four ways: what lies within TOUCH shares one of them.
    """
    most = np.zeros(len(ends), dtype=np.int64)
    for shift in ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)):
        cells = np.floor(np.vstack([ends, vertices]) / (2 * TOUCH) + shift)
        _, which, counts = np.unique(cells @ np.array([1.0, 1j]), return_inverse=True, return_counts=True)
        asked = np.bincount(which[: len(ends)], minlength=len(counts))
        most = np.maximum(most, (counts - asked)[which[: len(ends)]])
    return most
