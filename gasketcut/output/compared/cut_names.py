"""What the edges of a cut part are called: as the job's findings call what is cut there, else by where it lies."""

from __future__ import annotations

from math import dist

from shapely.geometry import Polygon

from gasketcut.comparing.cut.cut_comparison import CutComparison
from gasketcut.parts.part import Part
from gasketcut.plane import Point, place_text
from gasketcut.shape.loop import Circle

_SAME = 0.02
"""mm between the middles of a contour and of the polygon that it came from. Our choice."""


def edge_name(found: CutComparison, part: Part, edge: int) -> str:
    """Of an edge of the drawing, 0 the outline, from 1 the inner contours."""
    if edge == 0:
        return "outline"
    contour = found.drawn.inner[edge - 1]
    if isinstance(contour, Circle):
        return hole_name(part, contour.center)
    middle = Polygon(contour.flattened(0.01)).centroid
    return _cut_at(part, (middle.x, middle.y)) or f"opening at {place_text((middle.x, middle.y))}"


def hole_name(part: Part, at: Point) -> str:
    """Of a round hole."""
    return _cut_at(part, at) or f"hole at {place_text(at)}"


def _cut_at(part: Part, at: Point) -> str | None:
    says = (one.says for one in part.cuts if dist(one.shape.centroid.coords[0], at) < _SAME)
    name = next(says, None)
    return None if name is None else name.removeprefix("the ")
