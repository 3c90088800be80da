"""A noisy closed ring of points to lines and arcs: the longest runs that noise allows, then each fitted again.

`shape/arcs.py` does this for polygons of our own, whose vertices lie on the curves. Here every point is off by noise:
runs are judged by the spread about a least-squares line or circle, their ends are moved to where the neighbours' curves
meet, and curves that all but touch are made to.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, tan

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line, line_through, off_curve
from gasketcut.capture.edges.tangent import held
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit, fit_circle
from gasketcut.shape.longest_run import longest_run
from gasketcut.shape.loop import Loop

_FEWEST = 6
"""Fewest points of a run that can be distinguished from noise."""

_SPECK = 0.5
"""mm that dust at the edge may stand out. Our choice."""

_TRIM = 0.15
"""Of a run at either end that may belong to its neighbour."""

_STRAY, _NO_STRAY = 6.0, 0.01
"""How far a point may be off its curve and not be dust: in medians of what is usual, and at the least in mm."""

_HALF = pi * 1.02
"""What turns a little more than half a circle is meant to be one: the end of a slot. Our choice."""

_FLATTEST = 2000.0
"""mm; an arc of larger radius is a line."""


@dataclass(frozen=True, slots=True)
class Runs:
    """A closed chain of curves: where each begins as seen, a point seen in its middle, and the tolerance [mm]."""

    curves: tuple[Curve, ...]
    knots: tuple[Point, ...]
    middles: tuple[Point, ...]
    tolerance: float

    def moved(self, dx: float, dy: float) -> Runs:
        curves = tuple(
            replace(one, x=one.x + dx, y=one.y + dy)
            if isinstance(one, Line)
            else Fit(one.x + dx, one.y + dy, one.radius)
            for one in self.curves
        )
        knots, middles = (tuple((x + dx, y + dy) for x, y in points) for points in (self.knots, self.middles))
        return Runs(curves, knots, middles, self.tolerance)

    def joints(self) -> tuple[Point, ...]:
        """Where each curve meets the one before it."""
        return tuple(
            _joint(self.curves[n - 1], curve, self.knots[n], self.tolerance) for n, curve in enumerate(self.curves)
        )

    def loop(self) -> Loop:
        """The curves cut off where they meet; an arc of more than half a circle is split in its middle."""
        joints = self.joints()
        points: list[Point] = []
        bulges: list[float] = []
        for n, curve in enumerate(self.curves):
            start, end = joints[n], joints[(n + 1) % len(joints)]
            sweep = swept(curve, start, end, self.middles[n])
            points.append(start)
            if isinstance(curve, Fit) and abs(sweep) > _HALF:
                half = atan2(start[1] - curve.y, start[0] - curve.x) + sweep / 2
                points.append((curve.x + curve.radius * cos(half), curve.y + curve.radius * sin(half)))
                bulges += [tan(sweep / 8)] * 2
            else:
                bulges.append(max(-1.0, min(1.0, tan(sweep / 4))))
        return Loop(tuple(points), tuple(bulges))


def noisy_runs(points: Array, tolerance: float) -> Runs | None:
    """The ring as lines and arcs; None if it has fewer than two runs.

    points    : shape (n, 2), evenly spaced [mm]
    tolerance : how far a point may lie off its line or arc [mm]
    """
    count = len(points)
    start = _good_start(points, tolerance)
    ring = np.roll(points, -start, axis=0)
    closed = np.vstack([ring, ring])
    knots = [0]
    while knots[-1] < count:
        knots.append(min(_reach(closed, knots[-1], count, tolerance), count))
    if len(knots) < 3:
        return None
    for _ in range(4):
        curves = [_fitted(closed[a : b + 1]) for a, b in pairwise(knots)]
        moved = _moved(closed, knots, curves, count)
        if moved == knots:
            break
        knots = moved
    stretches = [_inner(closed[a : b + 1]) for a, b in pairwise(knots)]
    curves = held([_fitted(closed[a : b + 1]) for a, b in pairwise(knots)], stretches)
    return Runs(
        tuple(curves),
        tuple(_point(closed[knot]) for knot in knots[:-1]),
        tuple(_point(closed[(a + b) // 2]) for a, b in pairwise(knots)),
        tolerance,
    )


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])


def _good_start(points: Array, tolerance: float) -> int:
    """The end of the longest run among some: a true knot, near enough."""
    count = len(points)
    closed = np.vstack([points, points])
    best, at = 0, 0
    for begin in range(0, count, max(1, count // 24)):
        end = _reach(closed, begin, begin + count, tolerance)
        if end - begin > best:
            best, at = end - begin, end % count
    return at


def _reach(closed: Array, start: int, last: int, tolerance: float) -> int:
    """The last point up to which one line or arc holds from `start`."""
    good, limit = min(_FEWEST, last - start), last - start
    return start + longest_run(good, limit, lambda end: _holds(closed[start : start + end + 1], tolerance))


def _holds(points: Array, tolerance: float) -> bool:
    if _within(line_through(points).off(points), tolerance):
        return True
    circle = fit_circle(points)
    if circle is None or circle.radius > _FLATTEST:
        return False
    spokes = points - (circle.x, circle.y)
    if not _within(np.hypot(*spokes.T) - circle.radius, tolerance):
        return False
    turn = np.unwrap(np.arctan2(spokes[:, 1], spokes[:, 0]))
    return bool(abs(turn[-1] - turn[0]) < 1.9 * pi)


def _within(off: Array, tolerance: float) -> bool:
    """But for a speck at the edge: a few points, and never where the run would end."""
    stray = np.abs(off) > tolerance
    return not stray[-3:].any() and int(stray.sum()) <= 2 + len(off) // 100 and float(np.max(np.abs(off))) < _SPECK


def _inner(points: Array) -> Array:
    """Without those at the ends that may belong to a neighbour, and without dust."""
    cut = int(len(points) * _TRIM)
    inner = points[cut : len(points) - cut] if len(points) - 2 * cut >= _FEWEST else points
    circle = fit_circle(inner)
    either = [off_curve(line_through(inner), inner), *([off_curve(circle, inner)] if circle is not None else [])]
    off = min(either, key=lambda one: float(np.median(one)))
    near = off <= max(_STRAY * float(np.median(off)), _NO_STRAY)
    return inner[near] if near.sum() >= max(_FEWEST, 0.8 * len(inner)) else inner


def _fitted(points: Array) -> Curve:
    """A line if it does as well as a circle, allowing for the circle's third number."""
    inner = _inner(points)
    line, circle = line_through(inner), fit_circle(inner)
    if circle is None or circle.radius > _FLATTEST:
        return line
    off_line = float(np.sum(line.off(inner) ** 2))
    off_circle = float(np.sum((np.hypot(*(inner - (circle.x, circle.y)).T) - circle.radius) ** 2))
    chord = hypot(*(inner[-1] - inner[0]))
    sagitta = chord * chord / (8 * circle.radius)
    count = len(inner)
    # An arc must lower the sum of squares well beyond what a free number does, and bow by more than noise does.
    worth = off_line - off_circle > 12 * off_circle / max(count - 3, 1)
    return circle if worth and sagitta > 0.015 else line


def _moved(closed: Array, knots: list[int], curves: list[Curve], count: int) -> list[int]:
    """Each knot to where the squares of both neighbours' distances are least; the first one stays a whole turn off the
    last."""
    made = list(knots)
    for n in range(1, len(knots) - 1):
        low, high = made[n - 1] + 2, knots[n + 1] - 2
        if high <= low:
            continue
        reach = max(4, (knots[n + 1] - made[n - 1]) // 4)
        low, high = max(low, knots[n] - reach), min(high, knots[n] + reach)
        made[n] = _best(closed, low, high, curves[n - 1], curves[n])
    reach = max(4, min(knots[1], count - knots[-2]) // 4)
    shift = _best(closed, count - reach, count + reach, curves[-1], curves[0]) - count
    if shift and made[1] > shift + 2 and made[-2] < count + shift - 2 and shift > 0:
        made[0], made[-1] = shift, count + shift
    return made


def _best(closed: Array, low: int, high: int, before: Curve, after: Curve) -> int:
    stretch = closed[low : high + 1]
    if len(stretch) < 2:
        return low
    a, b = off_curve(before, stretch) ** 2, off_curve(after, stretch) ** 2
    cost = np.concatenate([[0.0], np.cumsum(a)]) + np.concatenate([np.cumsum(b[::-1])[::-1], [0.0]])
    return low + min(int(np.argmin(cost)), len(stretch) - 1)


def _joint(a: Curve, b: Curve, knot: Point, tolerance: float) -> Point:
    """Where the curves meet near the knot; where they all but touch, the middle between them there."""
    if isinstance(a, Line) and isinstance(b, Line):
        across = a.dx * b.dy - a.dy * b.dx
        if abs(across) < 1e-3:
            return knot
        share = ((b.x - a.x) * b.dy - (b.y - a.y) * b.dx) / across
        return a.x + share * a.dx, a.y + share * a.dy
    if isinstance(a, Line) or isinstance(b, Line):
        line, circle = (a, b) if isinstance(a, Line) else (b, a)
        assert isinstance(line, Line)
        assert isinstance(circle, Fit)
        share = (circle.x - line.x) * line.dx + (circle.y - line.y) * line.dy
        foot = (line.x + share * line.dx, line.y + share * line.dy)
        away = hypot(foot[0] - circle.x, foot[1] - circle.y)
        if abs(away - circle.radius) <= 3 * tolerance and away > 0:
            pull = (away + circle.radius) / 2 / away
            return circle.x + (foot[0] - circle.x) * pull, circle.y + (foot[1] - circle.y) * pull
        if away > circle.radius:
            return knot
        half = (circle.radius**2 - away**2) ** 0.5
        ends = [(foot[0] + s * half * line.dx, foot[1] + s * half * line.dy) for s in (1, -1)]
        return _nearer(ends, knot)
    dx, dy = b.x - a.x, b.y - a.y
    apart = hypot(dx, dy)
    if apart < 1e-6:
        return knot
    miss = max(apart - a.radius - b.radius, abs(a.radius - b.radius) - apart)
    along = (apart**2 + a.radius**2 - b.radius**2) / (2 * apart)
    if abs(miss) <= 3 * tolerance:
        reach = a.radius if along > 0 else -a.radius
        return a.x + dx / apart * reach, a.y + dy / apart * reach
    if miss > 0:
        return knot
    half = (a.radius**2 - along**2) ** 0.5
    x, y = a.x + dx / apart * along, a.y + dy / apart * along
    return _nearer([(x - s * half * dy / apart, y + s * half * dx / apart) for s in (1, -1)], knot)


def _nearer(ends: list[Point], knot: Point) -> Point:
    return min(ends, key=lambda end: hypot(end[0] - knot[0], end[1] - knot[1]))


def swept(curve: Curve, start: Point, end: Point, seen: Point) -> float:
    """Turn of the arc from joint to joint through the middle of the fitted one [rad]; 0 for a line."""
    if isinstance(curve, Line):
        return 0.0
    first = atan2(start[1] - curve.y, start[0] - curve.x)
    last = atan2(end[1] - curve.y, end[0] - curve.x)
    through = atan2(seen[1] - curve.y, seen[0] - curve.x)
    span = (last - first) % (2 * pi)
    return span - 2 * pi if (through - first) % (2 * pi) > span else span
