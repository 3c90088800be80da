"""A mirroring about a line, or a turn about a point: what takes the plane onto itself and keeps every length."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

import numpy as np

from gasketcut.arrays import Array


@dataclass(frozen=True, slots=True)
class Isometry:
    """A mirroring about the line through `middle` at `angle` [rad], or a turn by it."""

    angle: float
    middle: tuple[float, float]
    mirror: bool

    def of(self, points: Array) -> Array:
        """Shape (n, 2) to the same."""
        turn = 2 * self.angle if self.mirror else self.angle
        c, s = cos(turn), sin(turn)
        matrix = [[c, s], [s, -c]] if self.mirror else [[c, s], [-s, c]]
        result: Array = (points - self.middle) @ np.array(matrix) + self.middle
        return result

    @property
    def back(self) -> Isometry:
        """The isometry that undoes it."""
        return self if self.mirror else Isometry(-self.angle, self.middle, mirror=False)
