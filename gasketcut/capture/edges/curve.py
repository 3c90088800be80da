"""What an outline is made of: straight lines and arcs, as they are fitted to points."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, sin

import numpy as np

from gasketcut.arrays import Array
from gasketcut.shape.circlefit import Fit


@dataclass(frozen=True, slots=True)
class Line:
    """A point on it and its direction, of length 1."""

    x: float
    y: float
    dx: float
    dy: float

    def off(self, points: Array) -> Array:
        result: Array = (points[:, 0] - self.x) * self.dy - (points[:, 1] - self.y) * self.dx
        return result


Curve = Line | Fit


def line_through(points: Array) -> Line:
    """The line of least squares through points of shape (n, 2)."""
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    turn = 0.5 * atan2(2 * float(x @ y), float(x @ x - y @ y))
    return Line(float(middle[0]), float(middle[1]), cos(turn), sin(turn))


def off_curve(curve: Curve, points: Array) -> Array:
    """How far each point lies off the curve, never negative."""
    if isinstance(curve, Line):
        return np.abs(curve.off(points))
    result: Array = np.abs(np.hypot(points[:, 0] - curve.x, points[:, 1] - curve.y) - curve.radius)
    return result
