"""A circle through points, and how far points and chord midpoints lie off it."""

from __future__ import annotations

from math import hypot, sqrt
from typing import NamedTuple

import numpy as np

from gasketcut.arrays import Array


class Fit(NamedTuple):
    """A circle in plain floats: what the inner loops of tracing work on."""

    x: float
    y: float
    radius: float


def fit_circle(points: Array) -> Fit | None:
    """Algebraic least-squares circle (Kasa), exact for points on a circle; None for points on a line.

    points : shape (n, 2) [mm]
    """
    middle = np.add.reduce(points) / len(points)  # half the time of mean(), and this is the inner loop
    x, y = (points - middle).T
    sxx, syy, sxy = float(x @ x), float(y @ y), float(x @ y)
    z = x * x + y * y
    sxz, syz = float(x @ z), float(y @ z)
    determinant = sxx * syy - sxy * sxy
    if determinant <= 1e-14 * (sxx + syy) ** 2:
        return None
    cx, cy = (sxz * syy - syz * sxy) / (2 * determinant), (syz * sxx - sxz * sxy) / (2 * determinant)
    radius = sqrt(cx * cx + cy * cy + float(np.add.reduce(z)) / len(points))
    # Rounded far below anything of use, so that a processor that sums in another order gives the same file.
    return Fit(round(cx + float(middle[0]), 9), round(cy + float(middle[1]), 9), round(radius, 9))


def off_circle(fitted: Fit, chain: Array) -> float:
    """The greatest distance from the vertices and the chord midpoints of the chain to the circle [mm]."""
    middles = (chain[:-1] + chain[1:]) / 2
    spokes = np.vstack([chain, middles]) - (fitted.x, fitted.y)
    return float(np.max(np.abs(np.hypot(spokes[:, 0], spokes[:, 1]) - fitted.radius)))


def off_vertices(fitted: Fit, points: Array) -> float:
    """The greatest distance from the points to the circle [mm]."""
    return float(np.max(np.abs(np.hypot(points[:, 0] - fitted.x, points[:, 1] - fitted.y) - fitted.radius)))


def circle_through(a: Array, b: Array, c: Array) -> Fit | None:
    """The circle through three points, or None if they lie on a line."""
    (bx, by), (cx, cy) = (b - a).tolist(), (c - a).tolist()
    double = 2 * (bx * cy - by * cx)
    if abs(double) < 1e-15:
        return None
    p, q = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * p - by * q) / double, (bx * q - cx * p) / double
    return Fit(float(a[0]) + x, float(a[1]) + y, hypot(x, y))


def off_chain(point: tuple[float, float], chain: Array) -> float:
    """The distance from a point to the chain's edges [mm]."""
    start, along = chain[:-1], np.diff(chain, axis=0)
    share = np.sum((point - start) * along, axis=1) / np.maximum(np.sum(along * along, axis=1), 1e-18)
    off = point - start - np.clip(share, 0.0, 1.0)[:, None] * along
    return float(np.min(np.hypot(off[:, 0], off[:, 1])))


def off_line(chain: Array) -> float:
    """The greatest distance from the inner vertices of the chain to the line between its ends [mm]."""
    chord = chain[-1] - chain[0]
    inner = chain[1:-1] - chain[0]
    return float(np.max(np.abs(cross(chord, inner)) / hypot(*chord))) if len(inner) else 0.0


def cross(a: Array, b: Array) -> Array:
    """Third component of the cross product of plane vectors, shape (..., 2)."""
    result: Array = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return result
