"""Every figure that is stated of a traced part, with its uncertainty: by noise, by the level of light, by the scale."""

from __future__ import annotations

from itertools import combinations
from math import dist, hypot, sqrt

from gasketcut.capture.edges.fitted_edge import FittedEdge
from gasketcut.capture.measured import Measured
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced_part import TracedHole, TracedPart, TracedWindow
from gasketcut.shape.loop import Circle, Contour, Outline

_LONG = 8.0
"""Pixels; of a shorter straight edge too little lies along a row to count. Our choice."""

_OF_A_SIDE = 0.6
"""Of a point's noise, by which a fitted side is off where the box touches it: at an end of some ten points. Set so that
simulated scans hold."""

_SKEWED = 1e-3
"""Radians by which a contour is put out of square to see what its box makes of it."""


def scales(scale: Scale | Photo) -> tuple[Measured, Measured]:
    """mm for a pixel along x and along y."""
    spread = scale.spread
    return Measured(scale.sx, scale.sx * sqrt(spread.xx)), Measured(scale.sy, scale.sy * sqrt(spread.yy))


_BY_NOISE = 4.0
"""Times the noise, by which the farthest of some hundred points is off. Source: any table of normal odds."""

_TORN = 0.08
"""mm off the edge beyond which it is no misfit. Our choice."""


def diameter(part: TracedPart, hole: TracedHole) -> Measured:
    """Of a round hole."""
    sure, width = part.uncertainty, 2 * hole.circle.radius
    return Measured(width, hypot(2 * hole.noise, 2 * sure.shift, width * sure.scale.round))


def place(part: TracedPart, hole: TracedHole) -> tuple[Measured, Measured]:
    """Of a hole's middle about the middle of the outline's box, along x and y."""
    x, y = hole.circle.center
    by_scale = part.uncertainty.scale.of_place(x, y)
    own = hypot(_middle_noise(hole), _middle_of(part, part.outline))
    return Measured(x, hypot(own, by_scale[0])), Measured(y, hypot(own, by_scale[1]))


def distance(part: TracedPart, first: TracedHole, second: TracedHole) -> Measured:
    """Between the middles of two holes: a shift of all edges does not enter."""
    (x, y), (u, v) = first.circle.center, second.circle.center
    own = hypot(_middle_noise(first), _middle_noise(second))
    return Measured(dist((x, y), (u, v)), hypot(own, part.uncertainty.scale.of_length(u - x, v - y)))


def distances(part: TracedPart) -> tuple[tuple[TracedHole, TracedHole, Measured], ...]:
    """Between every two holes."""
    return tuple((a, b, distance(part, a, b)) for a, b in combinations(part.holes, 2))


def size(part: TracedPart) -> tuple[Measured, Measured]:
    """Of the outline's box, along x and y."""
    return _box(part, part.outline)


def window_size(part: TracedPart, window: TracedWindow) -> tuple[Measured, Measured]:
    """Of the box round a window, along x and y."""
    return _box(part, window.edge)


def window_place(part: TracedPart, window: TracedWindow) -> tuple[Measured, Measured]:
    """Of the middle of a window's box about the middle of the outline's."""
    x, y = window.middle
    by_scale = part.uncertainty.scale.of_place(x, y)
    own = hypot(_middle_of(part, window.edge), _middle_of(part, part.outline))
    return Measured(x, hypot(own, by_scale[0])), Measured(y, hypot(own, by_scale[1]))


def area(part: TracedPart, contour: Contour) -> Measured:
    """Inside a contour [mm2]."""
    sure, found = part.uncertainty, contour.area
    return Measured(found, hypot(contour.length * sure.shift, 2 * found * sure.scale.round))


def _middle_noise(hole: TracedHole) -> float:
    # A mean of n points' distances along one way: cos^2 of each counts, which is a half.
    return sqrt(2) * hole.noise


def _middle_of(part: TracedPart, edge: FittedEdge) -> float:
    """Half of what two opposite sides are off: a shift moves them apart, not aside."""
    return _opposite(part, edge) / 2


def _opposite(part: TracedPart, edge: FittedEdge) -> float:
    """Of the distance between two opposite sides, but for what shifts all edges."""
    ripple = part.uncertainty.ripple if _along_rows(edge.contour, part.uncertainty.pixel) else 0.0
    return sqrt(2) * hypot(ripple, _OF_A_SIDE * edge.noise, _misfit(edge))


def _misfit(edge: FittedEdge) -> float:
    """Of a side, where lines and arcs run farther off the edge than noise explains: equally likely anywhere up to that.
    What is farther off is a tear, which is asked about."""
    beyond = max(0.0, edge.deviation - _BY_NOISE * edge.noise) if edge.runs is not None else 0.0
    return min(beyond, _TORN) / sqrt(3)


def _along_rows(contour: Contour, pixel: float) -> bool:
    """Whether a straight edge leaves no row or column of pixels from end to end."""
    if isinstance(contour, Circle):
        return False
    straight = [one for one in contour.segments() if not one.bulge]
    return any(
        min(abs(one.end[0] - one.start[0]), abs(one.end[1] - one.start[1])) < pixel and one.chord > _LONG * pixel
        for one in straight
    )


def _box(part: TracedPart, edge: FittedEdge) -> tuple[Measured, Measured]:
    sure = part.uncertainty
    left, low, right, high = Outline(edge.contour, (), 0.0).bounds
    own = hypot(2 * sure.shift, _opposite(part, edge))
    out_of_square = _widened(edge.contour) * sure.scale.skew
    width, height = right - left, high - low
    return (
        Measured(width, hypot(own, width * sqrt(sure.scale.xx), out_of_square)),
        Measured(height, hypot(own, height * sqrt(sure.scale.yy))),
    )


def _widened(contour: Contour) -> float:
    """mm by which the contour's box grows along x for a radian out of square."""
    if isinstance(contour, Circle):
        return 0.0
    points = contour.flattened(0.01)
    plain = max(x for x, _ in points) - min(x for x, _ in points)
    changes = []
    for skew in (_SKEWED, -_SKEWED):
        leaning = [x + skew * y for x, y in points]
        changes.append((max(leaning) - min(leaning) - plain) / _SKEWED)
    return hypot(*changes) / sqrt(2)
