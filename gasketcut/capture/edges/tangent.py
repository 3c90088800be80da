"""Arcs that run smoothly into straight edges on both sides: their radius by the edges too, not by the short arc alone.

In a noisy scan a quarter of a circle of 9 mm gives its radius to some 0.03 mm; held between its edges, to 0.003 mm.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line
from gasketcut.shape.circlefit import Fit

_PARALLEL = 0.1
"""Sine of the angle between two edges under which they do not hold a circle."""

_WORSE = 12.0
"""By how many times a free number's worth of squares the held circle may do worse and still be meant. Our choice."""

_LEAST = 0.002
"""mm, root mean square, that never speaks against it: the picture's own faults."""


def held(curves: Sequence[Curve], runs: Sequence[Array]) -> list[Curve]:
    """Each arc between two lines made to touch both, where its points allow that.

    runs : points of each curve, without those near its ends; shapes (n, 2)
    """
    made = list(curves)
    for n, curve in enumerate(curves):
        before, after = curves[n - 1], curves[(n + 1) % len(curves)]
        if isinstance(curve, Fit) and isinstance(before, Line) and isinstance(after, Line) and before is not after:
            made[n] = _between(curve, before, after, runs[n]) or curve
    return made


def _between(free: Fit, before: Line, after: Line, points: Array) -> Fit | None:
    """The circle that touches both lines and fits best; None if the points speak against it."""
    normals = np.array([(before.dy, -before.dx), (after.dy, -after.dx)])
    if abs(float(np.linalg.det(normals))) < _PARALLEL:
        return None
    sides = normals @ (free.x, free.y) - np.sum(normals * [(before.x, before.y), (after.x, after.y)], axis=1)
    corner = np.linalg.solve(normals, np.sum(normals * [(before.x, before.y), (after.x, after.y)], axis=1))
    way = np.linalg.solve(normals, np.sign(sides))  # the middle is at corner + radius * way
    radius = free.radius
    for _ in range(20):
        spokes = points - (corner + radius * way)
        far = np.hypot(*spokes.T)
        slope = -(spokes @ way) / far - 1
        step = -float(slope @ (far - radius)) / float(slope @ slope)
        radius += step
        if abs(step) < 1e-9:
            break
    if not 0 < radius < 4 * free.radius:
        return None
    x, y = corner + radius * way
    off_held = np.hypot(*(points - (x, y)).T) - radius
    off_free = np.hypot(*(points - (free.x, free.y)).T) - free.radius
    lost = float(off_held @ off_held - off_free @ off_free)
    allowed = max(2 * _WORSE * float(off_free @ off_free) / max(len(points) - 3, 1), len(points) * _LEAST**2)
    return Fit(float(x), float(y), radius) if lost <= allowed else None
