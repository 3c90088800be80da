"""Arcs as segments; splines and ellipses as chords, close enough to put arcs through them again."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import acos, atan2, ceil, cos, degrees, hypot, pi, radians, sin, tan

from gasketcut.plane import Point
from gasketcut.received.arcs.spline_arcs import as_segments
from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.plane import Plane
from gasketcut.received.reading.tags import LARGEST_NUMBER
from gasketcut.shape.loop import Segment

CHORDS = 0.0005
"""How far a chord may lie off its curve [mm]."""

_NEAR = 1e-9
_MOST_CHORDS = 5000
_STEEPEST = 1e6


def arc_segments(center: Point, radius: float, first: float, span: float) -> list[Segment]:
    """Counter-clockwise from the direction `first` over `span` [deg], in pieces of at most half a circle."""
    count = max(1, ceil(span / 180.0 - 1e-12))
    turns = [radians(first + span * step / count) for step in range(count + 1)]
    points = [(center[0] + radius * cos(turn), center[1] + radius * sin(turn)) for turn in turns]
    if span == 360.0:
        points[-1] = points[0]
    bulge = tan(radians(span / count) / 4)
    return [Segment(start, end, bulge) for start, end in pairwise(points)]


def polyline_segments(start: Point, end: Point, bulge: float, plane: Plane) -> list[Segment]:
    """One edge of a polyline, `end` already placed and `start` too; arcs of more than half a circle in two."""
    if abs(bulge) > _STEEPEST:
        raise ValueError(f"bulge {bulge:g}")
    turned = -bulge if plane.turns_over else bulge
    segment = Segment(start, end, turned if abs(turned) > _NEAR else 0.0)
    return list(segment.halves()) if abs(turned) > 1 + _NEAR else [segment]


def without_repeats(vertices: list[tuple[float, float, float]], *, closed: bool) -> list[tuple[float, float, float]]:
    """Each vertex that lies on the next one dropped: its edge has no length."""
    kept = [one for one, after in pairwise(vertices) if not near(one, after)]
    if vertices and not (closed and kept and near(vertices[-1], vertices[0])):
        kept.append(vertices[-1])
    return kept


def near(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    """Whether they are one place but for rounding."""
    return abs(a[0] - b[0]) < _NEAR and abs(a[1] - b[1]) < _NEAR


def ellipse_points(center: Point, major: Point, ratio: float, first: float, last: float) -> list[Point]:
    """From one parameter to another [deg]; the smaller axis is `ratio` of the major one, on its left."""
    size, span = hypot(*major), radians(last - first)
    step = 2 * acos(max(-1.0, 1 - CHORDS / 4 / size)) if size > CHORDS else 1.0
    count = min(_MOST_CHORDS, max(8, ceil(abs(span) / step)))
    turns = [radians(first) + span * number / count for number in range(count + 1)]
    (x, y), (ax, ay) = center, major
    return [
        (x + ax * cos(t) - ay * ratio * sin(t), y + ay * cos(t) + ax * ratio * sin(t))
        for t in turns
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Curve:
    """Chords, and whether it closes; `exact` are lines and arcs that it is in truth, empty if it is a free curve."""

    points: list[Point]
    closed: bool
    exact: list[Segment]


def ellipse_of(numbers: EntityNumbers) -> Curve:
    """An ELLIPSE, which may be a circle."""
    ratio = numbers.number(40, 1.0) * (-1.0 if numbers.below else 1.0)
    first, last = numbers.number(41), numbers.number(42, 2 * pi)
    span = (last - first) % (2 * pi)
    whole = span < _NEAR or 2 * pi - span < _NEAR
    span = 2 * pi if whole else span
    center, major = numbers.xy(10), numbers.xy(11)
    points = ellipse_points(center, major, ratio, degrees(first), degrees(first + span))
    if abs(abs(ratio) - 1) > _NEAR:
        return Curve(points, whole, [])
    begins = atan2(major[1], major[0]) + (first if ratio > 0 else -(first + span))
    exact = arc_segments(center, hypot(*major), degrees(begins), 360.0 if whole else degrees(span))
    return Curve(points, whole, exact)


def spline_of(numbers: EntityNumbers, scale: float) -> Curve:
    """A SPLINE; raise ValueError for numbers that make none."""
    from ezdxf.math import BSpline, fit_points_to_cad_cv

    control = list(zip(numbers.every(10), numbers.every(20), strict=False))
    fits = list(zip(numbers.every(11), numbers.every(21), strict=False))
    flags, degree = numbers.integer(70) or 0, numbers.integer(71) or 3
    knots, weights = numbers.every(40), numbers.every(41)
    extent = max((abs(n) for point in (*control, *fits) for n in point), default=0.0)
    try:
        if len(control) > degree:
            curve = BSpline(control, degree + 1, knots or None, weights or None)
        elif len(fits) > 1:
            curve = fit_points_to_cad_cv(fits)
        else:
            raise ValueError(f"{len(control)} control points for degree {degree}")
        distance = max(CHORDS / scale, extent * 1e-7)
        points = [(point.x, point.y) for point in curve.flattening(distance, segments=8)]
    except (ArithmeticError, IndexError, TypeError, AttributeError) as error:
        raise ValueError("the spline's control points, knots or weights do not belong together") from error
    if not all(abs(x) < LARGEST_NUMBER and abs(y) < LARGEST_NUMBER for x, y in points):
        raise ValueError("the spline runs to infinity")
    gap = hypot(points[0][0] - points[-1][0], points[0][1] - points[-1][1])
    return Curve(points, bool(flags & 1) or gap * scale < _NEAR, as_segments(curve) or [])
