"""An inked flange pressed on paper, or a drawing of a gasket: thin lines of ink in place of filled metal.

outside   the ink is where metal was: its far edges count, outward at the outline and towards the hole at an opening.
middle    the line was drawn along the edge: its middle counts.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import Silhouette, nearest_on
from gasketcut.capture.image.picture_file import PictureError

Ink = Literal["outside", "middle"]

_WIDEST = 0.12
"""Of the outline's smaller side: a broader band of ink is no line. Our choice."""


def from_ink(silhouettes: tuple[Silhouette, ...], ink: Ink) -> tuple[Silhouette, ...]:
    """The parts that the lines stand for: outlines with the lines inside them; raise `PictureError` for no lines."""
    lines = [silhouette for silhouette in silhouettes if silhouette.inner]
    left, found = list(lines), []
    while left:
        outline = left.pop(0)  # largest first
        outside, inside = outline.outer, max(outline.inner, key=lambda ring: Polygon(ring).area)
        gap = _gap(outside, inside)
        if gap > _WIDEST * float(np.ptp(outside, axis=0).min()):
            continue
        room = Polygon(inside)
        is_held = [bool(room.contains(shapely.Point(one.outer[0]))) for one in left]
        held = [one for one, inside_it in zip(left, is_held, strict=True) if inside_it]
        left = [one for one, inside_it in zip(left, is_held, strict=True) if not inside_it]
        openings = []
        for one in held:
            within = max(one.inner, key=lambda ring: Polygon(ring).area)
            openings.append(within if ink == "outside" else middle_line(one.outer, within))
        outer = outside if ink == "outside" else middle_line(outside, inside)
        found.append(Silhouette(outer, tuple(openings)))
    if not found:
        raise PictureError("no lines of ink in the picture; a filled part is traced without --ink")
    return tuple(found)


def middle_line(outside: Array, inside: Array) -> Array:
    """Half way from each point of the one ring to the nearest of the other."""
    result: Array = (outside + nearest_on(inside, outside)) / 2
    return result


def _gap(outside: Array, inside: Array) -> float:
    """How broad the line is, in the middle of its values."""
    return float(np.median(shapely.distance(shapely.points(outside), LinearRing(inside))))
