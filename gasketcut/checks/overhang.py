"""Does the sheet stand into a port or passage, and how far back from it does it end?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import FlangeOpening, Part
from gasketcut.shape.nearest import distances
from gasketcut.shape.outlines import pieces, union
from gasketcut.tolerances import CHORD, READ_BACK

COARSE = 0.1
"""mm between points of the covered edge at first; then CHORD about the deepest of them."""

FAR_BACK = 1.5
"""mm from the window's edge to the sheet's: beyond it the pocket costs sealing land for nothing. Our choice."""


def overhangs(part: Part) -> Iterator[Finding]:
    """For each window: a stop where the sheet covers some of it, else how far back the sheet stands; and a stop where
    the window reaches over the part's edge."""
    for metal in part.flange_openings:
        covered = union(pieces(part.solid.intersection(metal.shape)))
        depth, at = _deepest(covered, metal.shape)
        inside = metal.shape.within(part.outer)
        if depth > READ_BACK:
            yield Finding(
                rule="overhang",
                weight="stop",
                part=part.name,
                at=at,
                found=depth,
                wanted=0.0,
                text=f"the sheet hangs {both(depth)} into {metal.role} '{metal.name}', over {covered.area:.2f} mm2",
                do=f"open the part there, or give '{metal.name}' cut = true",
            )
        elif inside:
            yield _set_back(part, metal)
        if not inside:
            yield _outside(part, metal)


def _deepest(covered: BaseGeometry, window: Polygon) -> tuple[float, tuple[float, float] | None]:
    """How far the covered area reaches into the window from its edge, and where.

    The deepest point lies on the edge of what is covered, or is the window's own innermost point.
    """
    if covered.is_empty or covered.area <= CHORD * CHORD:
        return 0.0, None
    edge = covered.boundary
    best, at = _deepest_on(shapely.get_coordinates(shapely.segmentize(edge, COARSE)), window)
    near = edge.intersection(shapely.box(at[0] - COARSE, at[1] - COARSE, at[0] + COARSE, at[1] + COARSE))
    best, at = _deepest_on(np.vstack([[at], shapely.get_coordinates(shapely.segmentize(near, CHORD))]), window)
    x, y = shapely.get_coordinates(shapely.maximum_inscribed_circle(window, tolerance=CHORD))[0]
    innermost = shapely.Point(x, y)
    depth = float(window.exterior.distance(innermost))
    return (depth, (float(x), float(y))) if depth > best and covered.intersects(innermost) else (best, at)


def _deepest_on(places: NDArray[np.float64], window: Polygon) -> tuple[float, tuple[float, float]]:
    ring = np.asarray(window.exterior.coords)[:, :2]
    inside = shapely.intersects_xy(window, places[:, 0], places[:, 1])
    depths = np.where(inside, distances(places, [ring]), 0.0)
    deepest = int(np.argmax(depths))
    return float(depths[deepest]), (float(places[deepest][0]), float(places[deepest][1]))


def _set_back(part: Part, metal: FlangeOpening) -> Finding:
    """By the nearest sheet; a window that opens into the bore has none beside it there."""
    gap = float(part.solid.distance(metal.shape))
    place = nearest_points(metal.shape, part.solid)[0]
    near = gap if gap > CHORD else 0.0
    far = near > FAR_BACK
    return Finding(
        rule="set-back",
        weight="warn" if far else "note",
        part=part.name,
        at=(place.x, place.y),
        found=near,
        wanted=None,
        text=f"{metal.role} '{metal.name}' is clear; the sheet stands back {both(near)} or more",
        do="make the opening smaller: the pocket costs sealing land" if far else "nothing",
    )


def _outside(part: Part, metal: FlangeOpening) -> Finding:
    x, y = metal.shape.representative_point().coords[0]
    return Finding(
        rule="passage",
        weight="stop",
        part=part.name,
        at=(float(x), float(y)),
        text=f"{metal.role} '{metal.name}' lies partly outside the part: nothing seals it there",
        do="make the outline larger, or check where the window is",
    )
