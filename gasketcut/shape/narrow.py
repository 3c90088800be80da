"""The narrowest places of a sheet: smallest hole, narrowest web.

Web    sheet between two cuts: between two edges of the part, or a neck where one edge comes near itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon
from shapely.ops import nearest_points

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour
from gasketcut.shape.outlines import shrunk_pieces

_FINE = 0.01  # mm to which an opening's widest disc and a neck are found: a tenth of what limits are given to


@dataclass(frozen=True, slots=True)
class Narrow:
    """A width [mm] and where it is."""

    width: float
    at: Point


def smallest_hole(openings: Iterable[Contour]) -> Narrow | None:
    """The smallest hole: its diameter, or of an opening that is not round the widest disc that goes through."""
    return min(map(width_of, openings), key=lambda one: one.width, default=None)


def width_of(opening: Contour) -> Narrow:
    """The widest disc that goes through the opening."""
    if isinstance(opening, Circle):
        return Narrow(2 * opening.radius, opening.center)
    spoke = shapely.maximum_inscribed_circle(Polygon(opening.flattened()), _FINE)
    (x0, y0), _ = spoke.coords
    return Narrow(2 * float(spoke.length), (float(x0), float(y0)))


def smallest_web(solid: Polygon) -> Narrow | None:
    """The narrowest sheet between two edges, or the narrowest neck if that is narrower; None if there is neither."""
    web = _between_edges(solid)
    # A neck is sought only as far as it matters: below the web, or else below half the part's shorter side.
    left, low, right, high = solid.bounds
    limit = web.width if web else min(right - left, high - low) / 2
    return neck(solid, limit) or web


def _between_edges(solid: Polygon) -> Narrow | None:
    rings = [solid.exterior, *solid.interiors]
    if len(rings) < 2:
        return None
    shapely.prepare(rings)
    boxes: Any = shapely.box(*shapely.bounds(rings).T)
    tree = shapely.STRtree(boxes)
    one, other = tree.query_nearest(boxes, exclusive=True, all_matches=False)
    near = float(_apart(rings, one, other).min())
    # No two rings whose boxes are farther apart than that can be nearer.
    one, other = tree.query(boxes, predicate="dwithin", distance=near)
    one, other = one[one < other], other[one < other]
    apart = _apart(rings, one, other)
    nearest = np.lexsort((other, one, apart))[0]
    return Narrow(float(apart[nearest]), _middle(rings[one[nearest]], rings[other[nearest]]))


def _apart(rings: Sequence[LinearRing], one: Any, other: Any) -> Array:
    found = np.array(rings, dtype=object)
    return np.asarray(shapely.distance(found[one], found[other]))


def neck(solid: Polygon, limit: float) -> Narrow | None:
    """The narrowest neck under `limit` [mm]: what falls apart when every edge moves in by half of it."""
    low, high = 0.0, limit - _FINE  # so far from it that chords of concentric edges do not break the rest up
    if high <= 0 or len(shrunk_pieces(solid, high / 2)) < 2:
        return None
    while high - low > _FINE:
        middle = (low + high) / 2
        low, high = (low, middle) if len(shrunk_pieces(solid, middle / 2)) > 1 else (middle, high)
    pieces = shrunk_pieces(solid, high / 2)
    pairs = [(one, other) for at, one in enumerate(pieces) for other in pieces[at + 1 :]]
    one, other = min(pairs, key=lambda pair: float(pair[0].distance(pair[1])))
    return Narrow(high, _middle(one, other))


def _middle(one: LinearRing | Polygon, other: LinearRing | Polygon) -> Point:
    a, b = nearest_points(one, other)
    return (a.x + b.x) / 2, (a.y + b.y) / 2
