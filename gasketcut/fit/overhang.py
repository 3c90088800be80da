"""Does the sheet stand into a port or passage, and how far back from it does it end?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.shape.part import Metal, Part
from gasketcut.tolerances import CHORD, READ_BACK

FAR_BACK = 1.5
"""mm from the window's edge to the sheet's: beyond it the pocket costs sealing land for nothing. Our choice."""


def overhangs(part: Part) -> Iterator[Finding]:
    """One finding for each window: a stop where the sheet covers some of it, else how far back the sheet stands."""
    for metal in part.metal:
        covered = part.solid.intersection(metal.shape)
        depth, at = _deepest(covered, metal.shape)
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
        elif metal.shape.within(part.outer):
            yield from _set_back(part, metal)
        else:
            yield _outside(part, metal)


def _deepest(covered: BaseGeometry, window: Polygon) -> tuple[float, tuple[float, float] | None]:
    """How far the covered area reaches into the window from its edge, and where."""
    if covered.is_empty or covered.area <= CHORD * CHORD:
        return 0.0, None
    places = shapely.get_coordinates(covered)
    depths = np.asarray(shapely.distance(shapely.points(places), window.exterior))
    deepest = int(np.argmax(depths))
    best, at = float(depths[deepest]), (float(places[deepest][0]), float(places[deepest][1]))
    # A window that is covered altogether is deepest in its middle, where no vertex is.
    middle = shapely.maximum_inscribed_circle(covered) if isinstance(covered, Polygon) else None
    if middle is not None:
        x, y = middle.coords[0]
        depth = float(shapely.distance(shapely.Point(x, y), window.exterior))
        if depth > best:
            return depth, (float(x), float(y))
    return best, at


def _set_back(part: Part, metal: Metal) -> Iterator[Finding]:
    places = shapely.get_coordinates(metal.shape.exterior)
    gaps = np.asarray(shapely.distance(shapely.points(places), part.solid))
    least = int(np.argmin(gaps))  # a window that opens into the bore has no sheet beside it there: judge the near side
    gap = float(gaps[least])
    near = gap if gap > CHORD else 0.0
    far = near > FAR_BACK
    yield Finding(
        rule="set-back",
        weight="warn" if far else "note",
        part=part.name,
        at=(float(places[least][0]), float(places[least][1])),
        found=near,
        wanted=None,
        text=f"{metal.role} '{metal.name}' is clear; the sheet stands back {both(near)} or more",
        do="make the opening smaller: the pocket costs sealing land" if far else "nothing",
    )


def _outside(part: Part, metal: Metal) -> Finding:
    x, y = metal.shape.representative_point().coords[0]
    return Finding(
        rule="passage",
        weight="stop",
        part=part.name,
        at=(float(x), float(y)),
        text=f"{metal.role} '{metal.name}' lies partly outside the part: nothing seals it there",
        do="make the outline larger, or check where the window is",
    )
