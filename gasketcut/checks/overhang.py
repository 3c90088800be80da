"""Does the sheet stand into a port or passage as it is drawn, and how far back from it does it end?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from gasketcut.arrays import Array
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import FlangeOpening, Part
from gasketcut.plane import Point
from gasketcut.shape.nearest import distances
from gasketcut.shape.outlines import pieces, union
from gasketcut.tolerances import CHORD, READ_BACK

if TYPE_CHECKING:
    from gasketcut.checks.subject import Subject

COARSE = 0.1
"""mm between points of the covered edge at first; then CHORD about the deepest of them."""

FAR_BACK = 1.5
"""mm from the window's edge to the sheet's: beyond it the pocket costs sealing land for nothing. Our choice."""


@dataclass(frozen=True, slots=True)
class AsDrawn:
    """One window and the sheet where it is drawn.

    depth    how far the sheet reaches into the window [mm], and where; 0 if it does not
    covered  area of the window under the sheet [mm2]
    gap      from the window to the nearest sheet [mm]; a window that opens into the bore has none beside it there
    near     the place on the window's edge that is nearest to the sheet
    inside   does all of the window lie within the part's outline?
    """

    depth: float
    at: Point | None
    covered: float
    gap: float
    near: Point
    inside: bool

    @property
    def hangs_in(self) -> bool:
        """More than a file's own tolerance."""
        return self.depth > READ_BACK


def as_drawn(part: Part, window: FlangeOpening) -> AsDrawn:
    """The window against the sheet, without any motion."""
    covered = union(pieces(part.solid.intersection(window.shape)))
    depth, at = _deepest(covered, window.shape)
    gap = float(part.solid.distance(window.shape))
    place = nearest_points(window.shape, part.solid)[0]
    return AsDrawn(
        depth, at, float(covered.area), gap if gap > CHORD else 0.0, (place.x, place.y), window.shape.within(part.outer)
    )


def overhang(subject: Subject) -> Iterator[Finding]:
    """For each window: a stop where the sheet covers some of it, else how far back the sheet stands; and a stop where
    the window reaches over the part's edge."""
    name = subject.part.name
    for one in subject.clearances:
        window, drawn = one.window, one.drawn
        if drawn.hangs_in:
            yield Finding(
                rule="overhang",
                weight="stop",
                part=name,
                at=drawn.at,
                found=drawn.depth,
                wanted=0.0,
                text=f"the sheet hangs {both(drawn.depth)} into {window.role} '{window.name}', over "
                f"{drawn.covered:.2f} mm2",
                do=f"open the part there, or give '{window.name}' cut = true",
            )
        elif drawn.inside:
            yield _set_back(name, window, drawn)
        if not drawn.inside:
            yield _outside(name, window)


def _deepest(covered: BaseGeometry, window: Polygon) -> tuple[float, Point | None]:
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


def _deepest_on(places: Array, window: Polygon) -> tuple[float, Point]:
    ring = np.asarray(window.exterior.coords)[:, :2]
    inside = shapely.intersects_xy(window, places[:, 0], places[:, 1])
    depths = np.where(inside, distances(places, [ring]), 0.0)
    deepest = int(np.argmax(depths))
    return float(depths[deepest]), (float(places[deepest][0]), float(places[deepest][1]))


def _set_back(part: str, window: FlangeOpening, drawn: AsDrawn) -> Finding:
    far = drawn.gap > FAR_BACK
    return Finding(
        rule="set-back",
        weight="warn" if far else "note",
        part=part,
        at=drawn.near,
        found=drawn.gap,
        wanted=None,
        text=f"{window.role} '{window.name}' is clear; the sheet stands back {both(drawn.gap)} or more",
        do="make the opening smaller: the pocket costs sealing land" if far else "nothing",
    )


def _outside(part: str, window: FlangeOpening) -> Finding:
    x, y = window.shape.representative_point().coords[0]
    return Finding(
        rule="passage",
        weight="stop",
        part=part,
        at=(float(x), float(y)),
        text=f"{window.role} '{window.name}' lies partly outside the part: nothing seals it there",
        do="make the outline larger, or check where the window is",
    )
