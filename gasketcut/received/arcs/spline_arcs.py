"""Splines that are lines and arcs all along: what a program writes that knows nothing else.

Between two knots a spline is one curve. If each of these is a straight line or an arc, its numbers come back exactly,
and the contour needs no tracing.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2, hypot, pi, tan
from typing import TYPE_CHECKING

import numpy as np

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit, circle_through
from gasketcut.shape.loop import Segment

if TYPE_CHECKING:
    from ezdxf.math import BSpline

_SAMPLES = 9
_OFF = 1e-7
"""Of the curve's size: how far a point may lie off. What a rational spline leaves is rounding; a cubic that only looks
like an arc is off by a thousand times that."""

_MOST_SPANS = 2000


def as_segments(curve: BSpline) -> list[Segment] | None:
    """Lines and arcs in place of the whole spline, in its own numbers; None if any part of it is neither."""
    knots = np.unique(np.array(curve.knots()))
    if len(knots) < 2 or len(knots) > _MOST_SPANS:
        return None
    segments: list[Segment] = []
    for start, end in pairwise(knots.tolist()):
        points = np.array([(point.x, point.y) for point in curve.points(np.linspace(start, end, _SAMPLES))])
        found = _segments(points)
        if found is None:
            return None
        segments += found
    return segments or None


def _segments(points: Array) -> list[Segment] | None:
    """Of one curve; two for an arc of more than half a circle, none for one without length."""
    size = float(np.hypot(*(points - points[0]).T).max())
    if not size < 1e12:
        return None
    if size == 0:
        return []
    first, last = _point(points[0]), _point(points[-1])
    chord = hypot(last[0] - first[0], last[1] - first[1])
    if chord > 0.5 * size and _is_straight(points, size, chord):
        return [Segment(first, last, 0.0)]
    arc = circle_through(points[0], points[_SAMPLES // 3], points[2 * _SAMPLES // 3])
    if arc is None or arc.radius > 1e4 * size:
        return None
    spokes = points - (arc.x, arc.y)
    if float(np.abs(np.hypot(*spokes.T) - arc.radius).max()) > _OFF * size:
        return None
    turns = np.unwrap(np.arctan2(spokes[:, 1], spokes[:, 0]))
    steps = np.diff(turns)
    if not ((steps > 0).all() or (steps < 0).all()) or abs(turns[-1] - turns[0]) > 2 * pi + 1e-9:
        return None
    return _arcs(first, last, arc, float(turns[-1] - turns[0]))


def _is_straight(points: Array, size: float, chord: float) -> bool:
    along = (points[-1] - points[0]) / chord
    aside = points - points[0]
    off = np.abs(aside[:, 0] * along[1] - aside[:, 1] * along[0])
    ahead = aside @ along
    return bool(off.max() <= _OFF * size and (np.diff(ahead) > 0).all())


def _arcs(first: Point, last: Point, arc: Fit, sweep: float) -> list[Segment]:
    if abs(sweep) <= pi * (1 + 1e-9):
        return [Segment(first, last, tan(sweep / 4))]
    turn = atan2(first[1] - arc.y, first[0] - arc.x) + sweep / 2
    middle = (arc.x + arc.radius * np.cos(turn), arc.y + arc.radius * np.sin(turn))
    bulge = tan(sweep / 8)
    return [Segment(first, middle, bulge), Segment(middle, last, bulge)]


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])
