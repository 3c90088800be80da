"""What a caliper shows between holes and edges, as equations.

Place     a hole (x, y, diameter) or a straight edge of the part (direction, offset).
Reading   what the caliper showed over two places, and its standard deviation [mm].
Over      which edges the jaws touched: `inside` the near ones, `outside` the far ones, `centres` neither, and mixed.
Free      places and turns only matter against each other: three numbers of the whole network stay open.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, sin

import numpy as np

from gasketcut.arrays import Array
from gasketcut.job.model import CaliperReading, Over

SIGNS: dict[Over, tuple[int, int]] = {
    "centres": (0, 0),
    "inside": (-1, -1),
    "outside": (1, 1),
    "inside-outside": (-1, 1),
    "outside-inside": (1, -1),
}
"""By how many radii of the first and of the second hole the reading exceeds the centre distance."""


CRITICAL = 3.29
"""Normalised residual that chance exceeds once in a thousand readings (Baarda 1968)."""


@dataclass(frozen=True, slots=True)
class Network:
    """The unknowns in a row: x, y, diameter of each hole, then direction and offset of each edge."""

    holes: tuple[str, ...]
    edges: tuple[str, ...]
    distances: tuple[CaliperReading, ...]
    diameters: tuple[tuple[str, float, float], ...]
    """Name, diameter and standard deviation of each hole that was measured across."""

    @property
    def size(self) -> int:
        return 3 * len(self.holes) + 2 * len(self.edges)

    def column(self, name: str) -> int:
        """Where the place's unknowns start."""
        if name in self.holes:
            return 3 * self.holes.index(name)
        return 3 * len(self.holes) + 2 * self.edges.index(name)

    def observed(self) -> Array:
        """All readings, distances first, then diameters."""
        return np.array([one.reading.value for one in self.distances] + [value for _, value, _ in self.diameters])

    def sigmas(self) -> Array:
        """Their standard deviations."""
        return np.array([one.reading.sigma for one in self.distances] + [sigma for _, _, sigma in self.diameters])

    def predicted(self, unknowns: Array) -> tuple[Array, Array]:
        """What the readings would be, and how each changes with each unknown, shape (readings, unknowns)."""
        count = len(self.distances) + len(self.diameters)
        values, jacobian = np.zeros(count), np.zeros((count, self.size))
        for row, one in enumerate(self.distances):
            values[row] = self._distance(one, unknowns, jacobian[row])
        for row, (name, _, _) in enumerate(self.diameters, len(self.distances)):
            column = self.column(name) + 2
            values[row], jacobian[row, column] = unknowns[column], 1.0
        return values, jacobian

    def _distance(self, one: CaliperReading, unknowns: Array, row: Array) -> float:
        first, second = self.column(one.first), self.column(one.second)
        radii = SIGNS[one.over]
        if one.first in self.edges or one.second in self.edges:
            edge, hole, radius = (first, second, radii[1]) if one.first in self.edges else (second, first, radii[0])
            turn, offset = unknowns[edge : edge + 2]
            x, y, diameter = unknowns[hole : hole + 3]
            row[hole : hole + 3] = cos(turn), sin(turn), radius / 2
            row[edge], row[edge + 1] = -sin(turn) * x + cos(turn) * y, -1.0
            return float(cos(turn) * x + sin(turn) * y - offset + radius * diameter / 2)
        (x0, y0, d0), (x1, y1, d1) = unknowns[first : first + 3], unknowns[second : second + 3]
        away = max(hypot(x1 - x0, y1 - y0), 1e-9)
        ux, uy = (x1 - x0) / away, (y1 - y0) / away
        row[first : first + 3] += -ux, -uy, radii[0] / 2
        row[second : second + 3] += ux, uy, radii[1] / 2
        return float(away + radii[0] * d0 / 2 + radii[1] * d1 / 2)


@dataclass(frozen=True, slots=True)
class Adjusted:
    """A solved network: unknowns, weighted residuals, redundancy of each reading, covariance with the network free."""

    unknowns: Array
    residuals: Array
    redundancy: Array
    covariance: Array
    rank: int

    @property
    def chi2(self) -> float:
        return float(self.residuals @ self.residuals)

    @property
    def normalised(self) -> Array:
        """|v| / (s sqrt(r)): residuals in units of what they may be by chance; 0 where nothing checks the reading."""
        checked = self.redundancy > 1e-6
        return np.where(checked, np.abs(self.residuals) / np.sqrt(np.where(checked, self.redundancy, 1.0)), 0.0)


def adjust(network: Network, start: Array, steps: int = 60) -> Adjusted:
    """Least squares by damped Gauss-Newton steps of least length, from the start."""
    unknowns, weights, observed = start.copy(), 1 / network.sigmas(), network.observed()
    damping = 1e-3
    values, jacobian = network.predicted(unknowns)
    residuals = (observed - values) * weights
    for _ in range(steps):
        scaled = jacobian * weights[:, None]
        normal = scaled.T @ scaled
        step = np.linalg.lstsq(normal + damping * np.eye(len(normal)) * np.trace(normal) / len(normal),
                               scaled.T @ residuals, rcond=None)[0]  # fmt: skip
        trial = unknowns + step
        values, jacobian_there = network.predicted(trial)
        there = (observed - values) * weights
        if there @ there <= residuals @ residuals:
            done = float(np.max(np.abs(step))) < 1e-10
            unknowns, residuals, jacobian, damping = trial, there, jacobian_there, damping / 10
            if done:
                break
        else:
            damping *= 10
            if damping > 1e12:
                break
    scaled = jacobian * weights[:, None]
    inverse = np.linalg.pinv(scaled, rcond=1e-7)
    rank = int(np.linalg.matrix_rank(scaled, tol=1e-7 * max(1.0, float(np.linalg.norm(scaled, 2)))))
    return Adjusted(unknowns, residuals, 1 - np.sum(scaled * inverse.T, axis=1), inverse @ inverse.T, rank)
