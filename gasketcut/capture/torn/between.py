"""What two sound ends of an edge suggest lay between them: the one line or circle that both are part of, the curves
going on until they touch, an arc that runs smoothly into both, or two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, cos, dist, hypot, sqrt, tan

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line, line_through, off_curve
from gasketcut.capture.torn.stretch import Stretch
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit, fit_circle

_ONE = 1.5
"""In tolerances of the fit: how far points of two ends may lie off a line or circle that is to be both. Our choice."""

_TOUCH = 3.0
"""In tolerances: how near two curves have to come to touch; the same that a fit takes for touching."""

_SMOOTH = 0.17
"""rad; curves that meet under no more than this run into each other. Our choice."""

_ALIKE_TURN, _ALIKE_RADIUS = 0.26, 0.3
"""rad and mm within which other corners of the part are like this one. Our choice."""

_PARALLEL = 0.05
"""rad; edges that turn by less have no corner between them."""

_DETOUR = 2.5
"""Times as long as straight across: a way that is longer is no suggestion."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A curve between the ends: where it begins, and a place in its middle."""

    curve: Curve
    begin: Point
    middle: Point


@dataclass(frozen=True, slots=True)
class Between:
    """The curve before the gap, as it is now; what lies in it; the curve after it, None if it is the one before; where
    that begins; all of it in words."""

    before: Curve
    pieces: tuple[Piece, ...]
    after: Curve | None
    begin: Point
    words: str


def between(
    before: Stretch, after: Stretch, seen: tuple[Array, Array], others: Sequence[Stretch], tolerance: float
) -> Between:
    """What joins the end of `before` to the start of `after`.

    seen      : points of both, away from the gap, shapes (n, 2)
    others    : sound stretches of the part, whose corners may be like the one that is gone
    tolerance : of the fit [mm]
    """
    return (
        _one(before, after, seen, tolerance)
        or _touching(before, after, tolerance)
        or _corner(before, after, others)
        or _smooth(before, after)
        or straight(before, after)
    )


def straight(before: Stretch, after: Stretch) -> Between:
    """A straight line from end to end."""
    a, b = before.foot(before.end), after.foot(after.start)
    far = max(dist(a, b), 1e-9)
    line = Line(a[0], a[1], (b[0] - a[0]) / far, (b[1] - a[1]) / far)
    piece = Piece(line, a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    return Between(before.curve, (piece,), after.curve, b, f"straight across, {far:.2f} mm")


def _one(before: Stretch, after: Stretch, seen: tuple[Array, Array], tolerance: float) -> Between | None:
    """One line or one circle through the points of both."""
    if isinstance(before.curve, Line) is not isinstance(after.curve, Line):
        return None
    points = np.vstack(seen)
    curve: Curve | None = line_through(points) if isinstance(before.curve, Line) else fit_circle(points)
    if curve is None or float(np.quantile(off_curve(curve, points), 0.95)) > _ONE * tolerance:
        return None
    a, b = before.heading(before.end), after.heading(after.start)
    if isinstance(curve, Line):
        if a[0] * b[0] + a[1] * b[1] < 0:
            return None  # there and back
        words = "the straight edge goes on"
    else:
        if before.turn * after.turn < 0:
            return None
        words = f"the arc of radius {curve.radius:.2f} mm goes on"
    return Between(curve, (), None, after.end, words)


def _touching(before: Stretch, after: Stretch, tolerance: float) -> Between | None:
    """Both go on until they touch, smoothly."""
    a, b = before.curve, after.curve
    if isinstance(a, Line) and isinstance(b, Line):
        return None
    if isinstance(a, Fit) and isinstance(b, Fit):
        apart = hypot(b.x - a.x, b.y - a.y)
        miss = min(abs(apart - a.radius - b.radius), abs(abs(a.radius - b.radius) - apart))
        if apart < 1e-6 or miss > _TOUCH * tolerance:
            return None
        along = (apart**2 + a.radius**2 - b.radius**2) / (2 * apart)
        reach = a.radius if along > 0 else -a.radius
        at = a.x + (b.x - a.x) / apart * reach, a.y + (b.y - a.y) / apart * reach
    else:
        circle, stretch = (a, after) if isinstance(a, Fit) else (b, before)
        assert isinstance(circle, Fit)
        at = stretch.foot((circle.x, circle.y))
        if abs(hypot(at[0] - circle.x, at[1] - circle.y) - circle.radius) > _TOUCH * tolerance:
            return None
    one, other = before.heading(at), after.heading(at)
    if one[0] * other[0] + one[1] * other[1] < cos(_SMOOTH) or not _is_ahead(before, after, at):
        return None
    return Between(a, (), b, at, "both edges go on until they touch")


def _is_ahead(before: Stretch, after: Stretch, at: Point) -> bool:
    """Does the place lie beyond the end of the one, and in front of the start of the other?"""
    tolerance = 0.5  # mm; where a curve ends is not known to less
    (x, y), (u, v) = before.heading(before.end), after.heading(after.start)
    beyond = (at[0] - before.end[0]) * x + (at[1] - before.end[1]) * y
    ahead = (after.start[0] - at[0]) * u + (after.start[1] - at[1]) * v
    return beyond > -tolerance and ahead > -tolerance


def _corner(before: Stretch, after: Stretch, others: Sequence[Stretch]) -> Between | None:
    """The arc between two straight edges: of the radius of the part's other corners, else as large as they allow."""
    if not (isinstance(before.curve, Line) and isinstance(after.curve, Line)):
        return None
    a, b = before.foot(before.end), after.foot(after.start)
    t, u = before.heading(a), after.heading(b)
    cross, along = t[0] * u[1] - t[1] * u[0], t[0] * u[0] + t[1] * u[1]
    turn = acos(max(-1.0, min(1.0, along)))
    if turn < _PARALLEL or abs(cross) < 1e-3:
        return None
    one = ((b[0] - a[0]) * u[1] - (b[1] - a[1]) * u[0]) / cross
    other = ((b[0] - a[0]) * t[1] - (b[1] - a[1]) * t[0]) / cross
    arms = one, -other
    if min(arms) <= 1e-6:
        return None
    side = 1.0 if cross > 0 else -1.0
    known = _known_radius(turn * side, others)
    largest = min(arms) / tan(turn / 2)
    is_known = known is not None and known <= largest + _ALIKE_RADIUS
    radius = known if is_known and known is not None else largest
    reach = radius * tan(turn / 2)
    begin = (a[0] + (one - reach) * t[0], a[1] + (one - reach) * t[1])
    end = (begin[0] + reach * (t[0] + u[0]), begin[1] + reach * (t[1] + u[1]))
    x, y = begin[0] - side * radius * t[1], begin[1] + side * radius * t[0]
    tip = (begin[0] + reach * t[0], begin[1] + reach * t[1])
    far = hypot(tip[0] - x, tip[1] - y)
    middle = x + (tip[0] - x) / far * radius, y + (tip[1] - y) / far * radius
    why = "as the part's other corners" if is_known else "the largest that touches both edges"
    piece = Piece(Fit(x, y, radius), begin, middle)
    return Between(before.curve, (piece,), after.curve, end, f"a corner of radius {radius:.2f} mm, {why}")


def _known_radius(turn: float, others: Sequence[Stretch]) -> float | None:
    """Of the other corners that turn as far the same way, if they are alike."""
    radii = [one.curve.radius for one in others if isinstance(one.curve, Fit) and abs(one.turn - turn) <= _ALIKE_TURN]
    return float(np.mean(radii)) if radii and max(radii) - min(radii) <= _ALIKE_RADIUS else None


def _smooth(before: Stretch, after: Stretch) -> Between | None:
    """Two arcs, smooth where they begin, meet and end; one if that does. Both arms alike: common practice."""
    a, b = before.foot(before.end), after.foot(after.start)
    t, u = before.heading(a), after.heading(b)
    v = (b[0] - a[0], b[1] - a[1])
    square, straight_on = v[0] ** 2 + v[1] ** 2, 2 * (1 - t[0] * u[0] - t[1] * u[1])
    along = v[0] * (t[0] + u[0]) + v[1] * (t[1] + u[1])
    if straight_on > 1e-9:
        arm = (-along + sqrt(along**2 + straight_on * square)) / straight_on
    elif along > 1e-9:
        arm = square / (2 * along)
    else:
        return None
    joint = ((a[0] + b[0] + arm * (t[0] - u[0])) / 2, (a[1] + b[1] + arm * (t[1] - u[1])) / 2)
    first, last = _tangent_curve(a, t, joint), _tangent_curve(b, u, joint)
    ways = [_half(curve, begin, end) for curve, begin, end in ((first, a, joint), (last, joint, b))]
    if sum(length for _, length in ways) > _DETOUR * max(sqrt(square), 1e-9):
        return None
    radii = [f"{one.radius:.2f}" for one in (first, last) if isinstance(one, Fit)]
    if isinstance(first, Fit) and isinstance(last, Fit) and dist(first, last) < 0.02:
        piece = Piece(first, a, joint)
        return Between(before.curve, (piece,), after.curve, b, f"an arc of radius {radii[0]} mm, smooth at both ends")
    pieces = tuple(Piece(one, begin, way[0]) for one, begin, way in zip((first, last), (a, joint), ways, strict=True))
    words = f"arcs of radius {' and '.join(radii)} mm, smooth at both ends"
    return Between(before.curve, pieces, after.curve, b, words)


def _tangent_curve(at: Point, way: Point, through: Point) -> Curve:
    """The circle that leaves `at` that way and passes through the other place; a line if that lies straight ahead."""
    x, y = through[0] - at[0], through[1] - at[1]
    aside = -way[1] * x + way[0] * y
    if abs(aside) < 1e-5 * max(hypot(x, y), 1e-9):
        return Line(at[0], at[1], way[0], way[1])
    radius = (x * x + y * y) / (2 * aside)
    return Fit(at[0] - way[1] * radius, at[1] + way[0] * radius, abs(radius))


def _half(curve: Curve, begin: Point, end: Point) -> tuple[Point, float]:
    """The place half way along the shorter way round, and how long that is."""
    middle = ((begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2)
    if isinstance(curve, Line):
        return middle, dist(begin, end)
    x, y = middle[0] - curve.x, middle[1] - curve.y
    far = max(hypot(x, y), 1e-12)
    half = acos(max(-1.0, min(1.0, far / curve.radius)))
    return (curve.x + x / far * curve.radius, curve.y + y / far * curve.radius), 2 * half * curve.radius
