"""The edges of a part that was cut, as a picture shows them.

Ring     points along an edge [mm], (n, 2), y up, the first not repeated.
Sigma    a standard deviation; of the scale relative, of all else in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import LinearRing

from gasketcut.arrays import Array
from gasketcut.comparing.scale_sigma import sigma_by_scale
from gasketcut.shape.loop import Circle, Contour, Loop, Outline

ROUGH = 0.02
"""mm; our choice: what lies on a drawing this well is settled closer by all of its points."""

_AVERAGED = 3
"""Points along a ring over which its noise is averaged; at 300 dpi 0.2 mm."""


@dataclass(frozen=True, eq=False)
class CutEdge:
    """One edge; `circle` where it is round, and then `sigma` of its diameter, all that makes it unsure in that."""

    ring: Array
    circle: Circle | None = None
    sigma: float = 0.0

    @cached_property
    def points(self) -> Array:
        """The ring with its noise averaged over a few neighbours."""
        whole = np.vstack([self.ring[-(_AVERAGED // 2) :], self.ring, self.ring[: _AVERAGED // 2]])
        along = np.cumsum(np.vstack([np.zeros((1, 2)), whole]), axis=0)
        result: Array = (along[_AVERAGED:] - along[:-_AVERAGED]) / _AVERAGED
        return result

    @cached_property
    def noise(self) -> float:
        """Sigma of such a point [mm], by how far it lies off the middle of its neighbours."""
        points = self.points
        before, after = np.roll(points, _AVERAGED, axis=0), np.roll(points, -_AVERAGED, axis=0)
        second, chord = points - (before + after) / 2, after - before
        off = (second[:, 0] * chord[:, 1] - second[:, 1] * chord[:, 0]) / np.maximum(np.hypot(*chord.T), 1e-12)
        return float(1.4826 * np.median(np.abs(off)) / 1.5**0.5)

    @property
    def contour(self) -> Contour:
        """The circle, or the points joined by straight lines."""
        return self.circle or _joined(self.points)

    @property
    def rough(self) -> Contour:
        """The same with as few points as keep it within ROUGH."""
        return self.circle or _joined(shapely.get_coordinates(shapely.simplify(LinearRing(self.points), ROUGH))[:-1])


@dataclass(frozen=True, eq=False)
class CutEdges:
    """Of one part.

    scale : covariance (3, 3) of the scale's relative errors along the picture's x and y, and of the angle [rad] by
            which its rows are not square to its columns
    shift : sigma of where the edges lie outwards, all round alike: the level of light at which they are taken
    row   : sigma of a straight edge along the picture's rows, more than that: how it cuts the pixels
    """

    outer: CutEdge
    inner: tuple[CutEdge, ...]
    scale: Array
    shift: float
    row: float

    @cached_property
    def outline(self) -> Outline:
        """As contours, roughly: enough to find how the part lies."""
        return Outline(self.outer.rough, tuple(one.rough for one in self.inner), 0.0)

    def sigma_of_place(self, place: Array, way: Array) -> float:
        """By the scale alone, along a way of length 1, of a place so far from the middle [mm]; both as the picture has
        them."""
        return sigma_by_scale(self.scale, place, way)

    def sigma_of_length(self, way: Array) -> float:
        """By the scale alone, of a length along a way of length 1, relative."""
        return self.sigma_of_place(way, way)

    @property
    def worst_scale(self) -> float:
        """Relative sigma of the less sure of both scales."""
        return float(np.sqrt(max(self.scale[0, 0], self.scale[1, 1])))

    def __iter__(self) -> Iterator[CutEdge]:
        yield self.outer
        yield from self.inner


def _joined(points: Array) -> Loop:
    return Loop(tuple((x, y) for x, y in points.tolist()), (0.0,) * len(points))
