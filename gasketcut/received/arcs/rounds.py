"""Circles that came as many short lines."""

from __future__ import annotations

import numpy as np

from gasketcut.shape.circlefit import fit_circle, off_circle, off_vertices
from gasketcut.shape.loop import Circle, Loop

FEWEST = 12
"""Corners of what may be a circle: nuts and flanges have six or eight. Ours."""

_OFF = 0.002  # of the radius, or 0.005 mm: how far a corner may lie off
_TURN = 2.5  # no edge spans more than this times its even share


def as_circle(loop: Loop) -> tuple[Circle, float] | None:
    """The circle that the loop of straight lines stands for, and how far the lines are off it [mm]; None if none."""
    if len(loop.points) < FEWEST or any(loop.bulges):
        return None
    points = np.array(loop.points)
    fitted = fit_circle(points)
    if fitted is None or fitted.radius <= 0:
        return None
    if off_vertices(fitted, points) > max(_OFF * fitted.radius, 0.005):
        return None
    turns = np.unwrap(np.arctan2(points[:, 1] - fitted.y, points[:, 0] - fitted.x))
    steps = np.diff(np.append(turns, turns[0] + np.sign(turns[-1] - turns[0]) * 2 * np.pi))
    even = 2 * np.pi / len(points)
    if np.abs(np.abs(steps.sum()) - 2 * np.pi) > 1e-6 or (np.abs(steps) > _TURN * even).any():
        return None
    if not ((steps > 0).all() or (steps < 0).all()):
        return None
    closed = np.vstack([points, points[:1]])
    return Circle((fitted.x, fitted.y), fitted.radius), off_circle(fitted, closed)
