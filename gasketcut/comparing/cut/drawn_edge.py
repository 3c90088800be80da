"""One contour of the drawing, asked how far off it places lie: outwards, out of the material, is positive."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.comparing.edges import Edges, evenly, ring_of
from gasketcut.shape.loop import Contour


@dataclass(frozen=True, eq=False)
class Off:
    """Of each place the nearest point of the edge (n, 2), the way outwards there (n, 2), how far out it lies (n,)."""

    foot: Array
    way: Array
    out: Array


@dataclass(frozen=True, eq=False)
class DrawnEdge:
    """`is_outer`: the material lies within it; else round it."""

    contour: Contour
    is_outer: bool

    @cached_property
    def ring(self) -> Array:
        """Counter-clockwise, the first point not repeated."""
        ring = ring_of(self.contour)
        x, y = ring.T
        turns_left = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
        return ring if turns_left else ring[::-1]

    @cached_property
    def _edges(self) -> Edges:
        return Edges.of([self.ring])

    @cached_property
    def _within(self) -> Polygon:
        made = Polygon(self.ring)
        shapely.prepare(made)
        return made

    def off(self, places: Array) -> Off:
        """How far out each place lies."""
        nearest = self._edges.nearest(places)
        foot = self._edges.foot(places, nearest)
        along = self._edges.end[nearest] - self._edges.start[nearest]
        square = np.column_stack([along[:, 1], -along[:, 0]]) / np.maximum(np.hypot(*along.T), 1e-12)[:, None]
        gap = places - foot
        size = np.hypot(*gap.T)
        beyond = np.where(shapely.contains_xy(self._within, *places.T), -1.0, 1.0)
        way = np.where((size > 1e-6)[:, None], gap / np.maximum(size, 1e-12)[:, None] * beyond[:, None], square)
        out = size * beyond
        return Off(foot, way, out) if self.is_outer else Off(foot, -way, -out)

    def evenly(self, step: float) -> Array:
        """Places on it about so far apart [mm], (n, 2)."""
        return evenly(self.ring, max(24, round(self.contour.length / step)))
