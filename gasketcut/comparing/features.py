"""What an outline is recognised by when it is laid over another: its outer line and its holes.

Round hole  by its middle and diameter; a polygon or scanned line that is nearly a circle too.
Window      any other hole, by points along it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from math import sqrt

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.edges import Edges, evenly, ring_of
from gasketcut.shape.circlefit import fit_circle, off_vertices
from gasketcut.shape.loop import Circle, Contour, Outline

_ALONG = 480
"""Points along the outer line; ours: a hundred mm round has one every 0.2 mm."""

_ALONG_WINDOW = 48
_OFF_ROUND, _OFF_ROUND_SHARE = 0.02, 0.02
"""How far off a circle a round hole may be [mm, and of its radius]; ours: as a saw, a printer or a scan leaves it."""


@dataclass(frozen=True, slots=True)
class Hole:
    """`circle` if it is round; `contour` as it was drawn [mm]."""

    contour: Contour
    middle: tuple[float, float]
    circle: Circle | None

    @property
    def diameter(self) -> float | None:
        return 2 * self.circle.radius if self.circle else None


@dataclass(frozen=True)
class Features:
    """Everything worked out once of an outline."""

    outline: Outline
    holes: tuple[Hole, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "holes", tuple(_hole(one) for one in self.outline.inner))

    @cached_property
    def ring(self) -> Array:
        """The outer line, finely, (n, 2)."""
        return ring_of(self.outline.outer)

    @cached_property
    def along(self) -> Array:
        """Points at equal distances along the outer line and the windows, (n, 2)."""
        windows = [evenly(ring_of(one.contour), _ALONG_WINDOW) for one in self.holes if one.circle is None]
        return np.vstack([evenly(self.ring, _ALONG), *windows])

    @cached_property
    def edges(self) -> Edges:
        """Of the outer line and the windows."""
        return Edges.of([self.ring, *(ring_of(one.contour) for one in self.holes if one.circle is None)])

    @cached_property
    def middles(self) -> Array:
        """Of the round holes, (k, 2)."""
        return np.array([one.circle.center for one in self.holes if one.circle], dtype=float).reshape(-1, 2)

    @cached_property
    def diameters(self) -> Array:
        """Of the round holes, (k,)."""
        return np.array([2 * one.circle.radius for one in self.holes if one.circle], dtype=float)

    @cached_property
    def centre(self) -> Array:
        """Of the area within the outer line, (2,)."""
        return _centre(self.ring)

    @cached_property
    def size(self) -> float:
        """From corner to corner [mm]."""
        return float(np.hypot(*np.ptp(self.ring, axis=0)))

    @cached_property
    def spread(self) -> float:
        """How far the holes lie from the middle, root mean square [mm]."""
        if not self.holes:
            return 0.0
        off = np.array([one.middle for one in self.holes]) - self.centre
        return sqrt(float(np.mean(np.sum(off * off, axis=1))))


def _hole(contour: Contour) -> Hole:
    if isinstance(contour, Circle):
        return Hole(contour, contour.center, contour)
    ring = evenly(np.array(contour.flattened(0.002)), 4 * _ALONG_WINDOW)
    fitted = fit_circle(ring)
    if fitted is not None and off_vertices(fitted, ring) <= max(_OFF_ROUND, _OFF_ROUND_SHARE * fitted.radius):
        circle = Circle((fitted.x, fitted.y), fitted.radius)
        return Hole(contour, circle.center, circle)
    x, y = _centre(ring)
    return Hole(contour, (float(x), float(y)), None)


def _centre(ring: Array) -> Array:
    """Of the area within, (2,); about the first point, so that far from the origin no digits are lost."""
    local = ring - ring[0]
    after = np.roll(local, -1, axis=0)
    cross = local[:, 0] * after[:, 1] - after[:, 0] * local[:, 1]
    area = cross.sum() / 2
    if abs(area) < 1e-12:
        result: Array = ring.mean(axis=0)
        return result
    centre: Array = ring[0] + ((local + after) * cross[:, None]).sum(axis=0) / (6 * area)
    return centre
