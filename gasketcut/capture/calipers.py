"""Caliper readings held against a traced part: they put its scale right and show the reading that does not agree.

Model   a reading is the distance of two centres, each way with its own scale, and radii as the jaws touched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np
from numpy.typing import NDArray

from gasketcut.capture.picture_file import PictureError
from gasketcut.job.model import Distance
from gasketcut.measure.network import SIGNS
from gasketcut.shape.loop import Circle

Numbers = NDArray[np.float64]

_DOUBTED = 4.0
"""Standard deviations beyond which a reading is left out and named. Our choice."""

_TRACED = 0.01
"""mm by which a traced distance may be off beside the scale: noise of the picture. Measured."""


@dataclass(frozen=True, slots=True)
class Compared:
    """A reading beside what the picture gives with the scale put right, and the difference [mm]."""

    name: str
    read: float
    traced: float

    @property
    def off(self) -> float:
        return self.traced - self.read


@dataclass(frozen=True, slots=True)
class Calipered:
    """By how much the picture's scales have to grow, how sure that is, every reading, and those left out."""

    fx: float
    fy: float
    sigma: float
    rows: tuple[Compared, ...]
    doubted: tuple[Compared, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """For the user."""
        drift = (
            f"by calipers the scale grows {(self.fx - 1) * 100:+.2f} % along and {(self.fy - 1) * 100:+.2f} % across"
        )
        worst = max(self.rows, key=lambda row: abs(row.off))
        said = [f"{drift}; then {len(self.rows)} readings agree within {abs(worst.off):.3f} mm ({worst.name})"]
        said += [
            f"reading {row.name} of {row.read:.2f} mm does not agree: the picture has {row.traced:.2f}; take it again"
            for row in self.doubted
        ]
        return tuple(said)


def calipered(holes: dict[str, Circle], distances: Sequence[Distance], sigma: float) -> Calipered:
    """Hold the readings against the holes by name; raise `PictureError` for names that are not there.

    sigma : of the picture's scale so far, relative
    """
    for one in distances:
        for name in (one.first, one.second):
            if name not in holes:
                raise PictureError(f"there is no hole {name} in the picture; known are {', '.join(holes) or 'none'}")
    if not distances:
        raise PictureError("the job has no [[measure.distance]]")
    used = list(distances)
    doubted: list[Distance] = []
    while True:
        numbers, spread = _fitted(holes, used, sigma)
        off = [(_predicted(holes, one, numbers) - one.reading.value) / _doubt(one) for one in used]
        worst = int(np.argmax(np.abs(off)))
        if abs(off[worst]) <= _DOUBTED or len(used) < 3:
            break
        doubted.append(used.pop(worst))
    return Calipered(
        float(numbers[0]),
        float(numbers[1]),
        max(spread, 1e-4),
        tuple(_row(holes, one, numbers) for one in used),
        tuple(_row(holes, one, numbers) for one in doubted),
    )


def _fitted(holes: dict[str, Circle], distances: Sequence[Distance], sigma: float) -> tuple[Numbers, float]:
    """Both scales by least squares; where readings say nothing of one of them it stays near the other."""
    numbers = np.array([1.0, 1.0])
    for _ in range(6):
        rows, right = [], []
        for one in distances:
            weight = 1 / _doubt(one)
            here = _predicted(holes, one, numbers)
            slopes = []
            for n in range(2):
                moved = numbers.copy()
                moved[n] += 1e-6
                slopes.append((_predicted(holes, one, moved) - here) / 1e-6)
            rows.append([slope * weight for slope in slopes])
            right.append((one.reading.value - here) * weight)
        for prior, value in (((1.0, 0.0), 1 - numbers[0]), ((0.0, 1.0), 1 - numbers[1])):
            rows.append([number / max(10 * sigma, 0.02) for number in prior])
            right.append(value / max(10 * sigma, 0.02))
        rows.append([1 / 0.005, -1 / 0.005])  # a scanner's two ways differ by half a per cent or less
        right.append((numbers[1] - numbers[0]) / 0.005)
        matrix = np.array(rows)
        step, *_ = np.linalg.lstsq(matrix, np.array(right), rcond=None)
        numbers = numbers + step
    spread = np.linalg.inv(matrix.T @ matrix)
    return numbers, sqrt(float(max(spread[0, 0], spread[1, 1])))


def _doubt(one: Distance) -> float:
    return hypot(one.reading.sigma or 0.02, _TRACED)


def _predicted(holes: dict[str, Circle], one: Distance, numbers: Numbers) -> float:
    a, b = holes[one.first], holes[one.second]
    first, second = SIGNS[one.over]
    apart = hypot(numbers[0] * (b.center[0] - a.center[0]), numbers[1] * (b.center[1] - a.center[1]))
    return float(apart + (first * a.radius + second * b.radius) * (numbers[0] + numbers[1]) / 2)


def _row(holes: dict[str, Circle], one: Distance, numbers: Numbers) -> Compared:
    name = f"{one.first}-{one.second} {one.over}"
    return Compared(name, one.reading.value, _predicted(holes, one, numbers))
