"""What the edges of a cut part are called: holes as the job's findings call them, the rest by where it lies."""

from __future__ import annotations

from math import dist

from gasketcut.comparing.cut.cut_comparison import CutComparison
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle

_SAME = 0.01  # mm


def edge_name(found: CutComparison, part: Part, edge: int) -> str:
    """Of an edge of the drawing, 0 the outline, from 1 the inner contours."""
    if edge == 0:
        return "outline"
    contour = found.drawn.inner[edge - 1]
    if isinstance(contour, Circle):
        return hole_name(part, contour.center)
    points = contour.flattened(0.1)
    xs, ys = zip(*points, strict=True)
    x, y = (round((min(row) + max(row)) / 2, 1) + 0.0 for row in (xs, ys))  # never -0
    return f"opening at ({x:.1f}, {y:.1f})"


def hole_name(part: Part, at: Point) -> str:
    """Of a round hole."""
    label = next((one.label for one in part.holes if dist(one.center, at) < _SAME), None)
    return label.removeprefix("the ") if label else f"hole at ({at[0]:g}, {at[1]:g})"
