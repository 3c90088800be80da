"""How deep shapes reach into a window, which may have any form.

Depth   of a place inside: its distance to the window's edge [mm]; outside: that distance, negative.
Core    the window with every edge moved inward by a depth: all that lies at least so deep. A shape reaches no deeper
        than that if it keeps off the core. So nothing has to be known of the window's form, bays or none.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.arrays import Array
from gasketcut.shape.outlines import shrunk_pieces

CLOSE = 0.0002
"""mm to which a depth is narrowed down."""

_LOST = 0.0006
"""mm: no core that is left out as a sliver of less area than GRID is wider to either side of its middle."""

Shapes = NDArray[np.object_]


class Deepest(NamedTuple):
    """A bound on the depth [mm] that is at most _LOST and CLOSE too high, whose it is, and the place."""

    depth: float
    number: int
    place: Array


class Window:
    """A window, made ready to be asked often."""

    def __init__(self, polygon: Polygon) -> None:
        self.polygon = polygon
        self.ring = polygon.exterior
        shapely.prepare(polygon)
        shapely.prepare(self.ring)

    def depths(self, places: Array) -> Array:
        """Of each place, shape (n, 2) to (n,)."""
        away = shapely.distance(self.ring, shapely.points(places))
        inside = shapely.contains_xy(self.polygon, places[:, 0], places[:, 1])
        result: Array = np.where(inside, away, -away)
        return result

    def reaching(self, shapes: Shapes, depth: float) -> NDArray[np.bool_]:
        """Which shapes may reach at least so deep?"""
        if depth <= 0:
            near: NDArray[np.bool_] = shapely.distance(self.polygon, shapes) <= -depth
            return near
        return _touched(shapes, self._core(depth))

    def deepest(self, shapes: Shapes) -> Deepest:
        """Of all shapes, at least one."""
        away = shapely.distance(self.polygon, shapes)
        first = int(np.argmin(away))
        if away[first] > 0:
            place = shapely.get_coordinates(shapely.shortest_line(shapes[first], self.polygon))[0]
            return Deepest(-float(away[first]), first, place)
        among = np.flatnonzero(away == 0)
        low, step, high = 0.0, 0.05, np.inf
        while high - low > CLOSE:
            tried = low + step if high == np.inf else (low + high) / 2
            good = _touched(shapes[among], self._core(tried))
            if good.any():
                low, step, among = tried, step * 2, among[good]
            else:
                high = tried
        core = shapely.MultiPolygon(self._core(low)) if low > 0 else self.polygon
        parts: Any = shapely.intersection(shapes[among], core)
        number = int(np.argmax(shapely.area(parts)))
        place = shapely.get_coordinates(shapely.point_on_surface(parts[number]))
        if not len(place):
            place = shapely.get_coordinates(shapely.shortest_line(shapes[among[number]], core))
        return Deepest(high + _LOST, int(among[number]), place[0])

    def _core(self, depth: float) -> list[Polygon]:
        return shrunk_pieces(self.polygon, depth)


def _touched(shapes: Shapes, cores: list[Polygon]) -> NDArray[np.bool_]:
    found = np.zeros(len(shapes), dtype=bool)
    for core in cores:
        shapely.prepare(core)
        found |= shapely.intersects(core, shapes)
    return found


def as_shapes(shape: BaseGeometry) -> Shapes:
    """Its parts, as an array."""
    return np.asarray(shapely.get_parts(shape))
