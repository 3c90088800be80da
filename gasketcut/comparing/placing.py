"""How one drawing lies against another: turned over or not, turned, moved."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin

import numpy as np

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Loop


@dataclass(frozen=True, slots=True)
class Placing:
    """First mirrored left to right (x becomes -x), then turned about the origin [deg], then moved [mm]."""

    mirrored: bool = False
    turn: float = 0.0
    shift: Point = (0.0, 0.0)

    @classmethod
    def of(cls, matrix: Array, shift: Array) -> Placing:
        """The placing that takes p to `matrix` p + `shift`; the matrix keeps lengths."""
        mirrored = bool(matrix[0, 0] * matrix[1, 1] < matrix[0, 1] * matrix[1, 0])
        x, y = (-1 if mirrored else 1) * matrix[:, 0]
        return cls(mirrored, degrees(atan2(y, x)), (float(shift[0]), float(shift[1])))

    @property
    def matrix(self) -> Array:
        """Shape (2, 2)."""
        c, s = cos(radians(self.turn)), sin(radians(self.turn))
        x = -1.0 if self.mirrored else 1.0
        return np.array([[x * c, -s], [x * s, c]])

    def __call__(self, points: Array) -> Array:
        """Points, (n, 2), as they lie after it."""
        result: Array = points @ self.matrix.T + np.array(self.shift)
        return result

    def contour(self, one: Contour) -> Contour:
        """As it lies after it; what is mirrored turns the other way round."""
        if isinstance(one, Circle):
            ((x, y),) = self(np.array([one.center])).tolist()
            return Circle((x, y), one.radius)
        points = tuple((x, y) for x, y in self(np.array(one.points)).tolist())
        return Loop(points, tuple(-bulge if self.mirrored else bulge for bulge in one.bulges))

    @property
    def inverse(self) -> Placing:
        """The placing that takes everything back."""
        back = self.matrix.T
        return Placing.of(back, -back @ np.array(self.shift))
