"""How sure a scale is: by how much of a length it may be off along x, across, and out of square.

Model   a length that runs along (c, s), of length 1, is off by  c^2 ex + s^2 ey + c s g,  where ex and ey are the
        relative errors of the two scales, which may go together, and g the angle by which they are not square.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.scale_sigma import sigma_by_scale

SCANNER = 0.002
"""Of a length, along x and across each: what an uncalibrated scanner is off, 0.1 to 0.3 mm on 100 mm (ACRS 1997, five
desk-top scanners)."""

SQUARE = 0.0005
"""Radians by which a scanner's carriage runs out of square: 0.1 mm on 200 mm. Our choice."""


@dataclass(frozen=True, slots=True)
class ScaleSpread:
    """Variances of ex and of ey, and what they have in common; `skew` is the standard deviation of g [rad]."""

    xx: float
    yy: float
    xy: float = 0.0
    skew: float = SQUARE

    @property
    def worst(self) -> float:
        """Standard deviation of the less sure of both scales, relative."""
        return sqrt(max(self.xx, self.yy))

    @property
    def round(self) -> float:
        """Of the width of a round thing, which is the mean of all directions, relative."""
        return sqrt(max(self.xx + self.yy + 2 * self.xy, 0.0)) / 2

    @property
    def covariance(self) -> Array:
        """Of ex, ey and g, shape (3, 3)."""
        return np.array([[self.xx, self.xy, 0.0], [self.xy, self.yy, 0.0], [0.0, 0.0, self.skew**2]])

    def of_length(self, dx: float, dy: float) -> float:
        """Standard deviation [mm] of a length that runs so far along x and so far along y [mm].

        >>> round(ScaleSpread(0.002**2, 0.0, skew=0.0).of_length(100.0, 0.0), 6)
        0.2
        """
        length = hypot(dx, dy)
        return sigma_by_scale(self.covariance, (dx, dy), (dx / length, dy / length)) if length else 0.0

    def of_place(self, x: float, y: float) -> tuple[float, float]:
        """Standard deviations [mm] of where something lies that far from the middle; rows keep their direction."""
        return hypot(x * sqrt(self.xx), y * self.skew), abs(y) * sqrt(self.yy)

    def wider(self, times: float) -> ScaleSpread:
        """Each standard deviation so many times as large."""
        more = times**2
        return ScaleSpread(self.xx * more, self.yy * more, self.xy * more, self.skew * times)


def each(sigma: float, skew: float = SQUARE) -> ScaleSpread:
    """Both scales that sure, and nothing in common."""
    return ScaleSpread(sigma**2, sigma**2, 0.0, skew)


def alike(sigma: float, skew: float = 0.0) -> ScaleSpread:
    """One scale for both ways."""
    return ScaleSpread(sigma**2, sigma**2, sigma**2, skew)
