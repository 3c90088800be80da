"""A closed ring of vertices split into the longest runs that one line or one arc can stand for."""

from __future__ import annotations

from math import hypot, radians

import numpy as np

from gasketcut.shape.circlefit import Array, Fit, cross, fit_circle, off_circle
from gasketcut.tolerances import LARGEST_RADIUS, LEAST_SWEEP_DEG, STRAIGHT

FEWEST = 5
"""Vertices of an arc run: two knots and three between them."""


def cleaned(points: Array) -> Array:
    """Drop the repeated end, doubled vertices, and vertices on a straight line between their neighbours."""
    if len(points) > 1 and np.allclose(points[0], points[-1], rtol=0, atol=1e-9):
        points = points[:-1]
    keep = np.hypot(*(points - np.roll(points, 1, axis=0)).T) > 1e-9
    points = points[keep]
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    along = after - before
    length = np.hypot(along[:, 0], along[:, 1])
    off = np.abs(cross(along, points - before)) / np.maximum(length, 1e-12)
    ahead = np.sum((points - before) * along, axis=1)
    straight = (off < STRAIGHT / 10) & (ahead > 0) & (ahead < length**2)
    # Never drop two neighbours in one pass: a fine arc would lose every other vertex and more.
    straight &= ~np.roll(straight, 1)
    return points[~straight] if straight.any() and (~straight).sum() >= 3 else points


def first_knot(points: Array, fit: float) -> int:
    """The end of the longest run that starts at vertex 0: a true knot, which vertex 0 itself need not be."""
    return _run_end(np.vstack([points, points[:1]]), 0, len(points), fit) % len(points)


def runs_of(points: Array, fit: float) -> list[tuple[int, int]]:
    """Split the closed ring, from vertex 0 on, into the longest runs; each as first and last vertex."""
    count = len(points)
    closed = np.vstack([points, points[:1]])
    runs = []
    at = 0
    while at < count:
        end = _run_end(closed, at, count, fit)
        runs.append((at, end))
        at = end
    return runs


def _run_end(closed: Array, at: int, limit: int, fit: float) -> int:
    return _longest_arc(closed, at, limit, fit) or _longest_line(closed, at, limit)


def _longest_arc(points: Array, at: int, limit: int, fit: float) -> int | None:
    """The last vertex of the longest arc that starts at `at`, or None. Doubling, then halving: n log n in all."""

    def fits(end: int) -> bool:
        return end <= limit and arc_of(points[at : end + 1], fit, least_sweep=0.0) is not None

    if at + FEWEST - 1 > limit or not _may_be_arc(points[at : at + FEWEST], fit) or not fits(at + FEWEST - 1):
        return None
    good, step = at + FEWEST - 1, FEWEST
    while fits(good + step):
        good += step
        step *= 2
    while step > 0:
        if fits(good + step):
            good += step
        else:
            step //= 2
    return good if arc_of(points[at : good + 1], fit) is not None else None


def _longest_line(points: Array, at: int, limit: int) -> int:
    end = at + 1
    while end + 1 <= limit:
        chord = points[end + 1] - points[at]
        length = hypot(chord[0], chord[1])
        inner = points[at + 1 : end + 1] - points[at]
        along = inner @ chord
        if length == 0 or np.any(np.abs(cross(chord, inner)) > STRAIGHT * length):
            break
        if np.any(along < 0) or np.any(along > length**2):
            break
        end += 1
    return end


def _may_be_arc(five: Array, fit: float) -> bool:
    """A quick no in plain floats: the circle through vertices 1, 3 and 5 must pass near 2 and 4 and turn one way."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy), (ex, ey) = five.tolist()
    turns = (
        (bx - ax) * (cy - by) - (by - ay) * (cx - bx),
        (cx - bx) * (dy - cy) - (cy - by) * (dx - cx),
        (dx - cx) * (ey - dy) - (dy - cy) * (ex - dx),
    )
    if not (min(turns) > 0 or max(turns) < 0):
        return False
    double = 2 * ((cx - ax) * (ey - ay) - (cy - ay) * (ex - ax))
    if double == 0:
        return False
    p, q = (cx - ax) ** 2 + (cy - ay) ** 2, (ex - ax) ** 2 + (ey - ay) ** 2
    x, y = ((ey - ay) * p - (cy - ay) * q) / double, ((cx - ax) * q - (ex - ax) * p) / double
    radius = hypot(x, y)
    slack = 4 * fit
    return all(abs(hypot(px - ax - x, py - ay - y) - radius) <= slack for px, py in ((bx, by), (dx, dy)))


def arc_of(run: Array, fit: float, least_sweep: float = LEAST_SWEEP_DEG) -> Fit | None:
    """The arc that stands for the run, or None.

    least_sweep : degrees; a run that turns less is noise on a line, though it may grow into an arc
    """
    fitted = fit_circle(run[1:-1])
    if fitted is None or fitted.radius > LARGEST_RADIUS or off_circle(fitted, run) > fit:
        return None
    spokes = run - (fitted.x, fitted.y)
    steps = np.arctan2(cross(spokes[:-1], spokes[1:]), np.sum(spokes[:-1] * spokes[1:], axis=1))
    if not (np.all(steps > 0) or np.all(steps < 0)):
        return None
    sweep = abs(float(steps.sum()))
    return fitted if radians(least_sweep) <= sweep < 2 * np.pi - 1e-6 else None
