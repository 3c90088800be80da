"""Caliper readings held against a traced part: they put its scale right and show the reading that does not agree, or
the hole, where a gasket is torn or stretched.

Model   a reading is the distance of two centres, each way with its own scale, and radii as the jaws touched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.job.model import Distance
from gasketcut.measure.network import SIGNS
from gasketcut.shape.loop import Circle

_DOUBTED = 4.0
"""Standard deviations beyond which a reading is left out and named. Our choice."""

_ALONE = 0.35
"""Sine of the least angle between readings that place a hole. Our choice."""

_CLEARLY = 9.0
"""Sum of squares, in standard deviations, by which one hole must explain the readings better than any other: three of
them. Our choice."""

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
class Moved:
    """A hole that all its readings put elsewhere than the picture does, by so much along x and y [mm]."""

    hole: str
    dx: float
    dy: float
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Calipered:
    """By how much the picture's scales have to grow, how sure that is, every reading, those left out, and a hole that
    does not lie where its readings put it."""

    fx: float
    fy: float
    sigma: float
    rows: tuple[Compared, ...]
    doubted: tuple[Compared, ...]
    moved: Moved | None = None

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
        if self.moved is not None:
            one = self.moved
            said.append(
                f"hole {one.hole} does not agree: {', '.join(one.readings)} put it {hypot(one.dx, one.dy):.2f} mm from "
                "where the picture has it; torn or stretched there, or the readings share a fault"
            )
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
    whole = _without_doubted(holes, list(distances), sigma)
    if len(whole.doubted) < 2:
        return whole
    return _one_hole_moved(holes, distances, sigma) or whole


def _without_doubted(holes: dict[str, Circle], used: list[Distance], sigma: float) -> Calipered:
    """Leaves out the reading that agrees worst until all do."""
    doubted: list[Distance] = []
    while True:
        numbers, spread = _fitted(holes, used, sigma)
        off = _off(holes, used, numbers)
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


def _off(holes: dict[str, Circle], distances: Sequence[Distance], numbers: Array) -> Array:
    """In standard deviations."""
    return np.array([(_predicted(holes, one, numbers) - one.reading.value) / _doubt(one) for one in distances])


def _one_hole_moved(holes: dict[str, Circle], distances: Sequence[Distance], sigma: float) -> Calipered | None:
    """The hole by whose place all readings agree best; None if there is none, or another does nearly as well."""
    agreeing: list[tuple[float, Calipered]] = []
    for name in holes:
        own = [one for one in distances if name in (one.first, one.second)]
        rest = [one for one in distances if one not in own]
        if len(own) < 2 or len(rest) < 2:
            continue
        by_rest = _without_doubted(holes, rest, sigma)
        if by_rest.doubted:
            continue
        numbers = np.array([by_rest.fx, by_rest.fy])
        shift = _shift(holes, name, own, numbers)
        if shift is None:
            continue
        there = _shifted(holes, name, shift)
        off = _off(there, distances, numbers)
        if float(np.max(np.abs(off))) <= _DOUBTED:
            rows = tuple(_row(there, one, numbers) for one in distances)
            names = tuple(_row(there, one, numbers).name for one in own)
            moved = Moved(name, float(shift[0] * numbers[0]), float(shift[1] * numbers[1]), names)
            agreeing.append((float(off @ off), Calipered(by_rest.fx, by_rest.fy, by_rest.sigma, rows, (), moved)))
    agreeing.sort(key=lambda one: one[0])
    if not agreeing or (len(agreeing) > 1 and agreeing[1][0] - agreeing[0][0] < _CLEARLY):
        return None
    return agreeing[0][1]


def _shifted(holes: dict[str, Circle], name: str, shift: Array) -> dict[str, Circle]:
    old = holes[name]
    return {**holes, name: Circle((old.center[0] + float(shift[0]), old.center[1] + float(shift[1])), old.radius)}


def _shift(holes: dict[str, Circle], name: str, own: list[Distance], numbers: Array) -> Array | None:
    """By how much the hole has to move for its readings, least squares; None if they all lie one way."""
    shift = np.zeros(2)
    for _ in range(8):
        here = _off(_shifted(holes, name, shift), own, numbers)
        slopes = [
            (_off(_shifted(holes, name, shift + step), own, numbers) - here) / 1e-6
            for step in (np.array([1e-6, 0.0]), np.array([0.0, 1e-6]))
        ]
        matrix = np.column_stack(slopes)
        spread = np.linalg.svd(matrix, compute_uv=False)
        if spread[1] < _ALONE * spread[0]:
            return None
        step, *_ = np.linalg.lstsq(matrix, -here, rcond=None)
        shift = shift + step
    return shift


def _fitted(holes: dict[str, Circle], distances: Sequence[Distance], sigma: float) -> tuple[Array, float]:
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


def _predicted(holes: dict[str, Circle], one: Distance, numbers: Array) -> float:
    a, b = holes[one.first], holes[one.second]
    first, second = SIGNS[one.over]
    apart = hypot(numbers[0] * (b.center[0] - a.center[0]), numbers[1] * (b.center[1] - a.center[1]))
    return float(apart + (first * a.radius + second * b.radius) * (numbers[0] + numbers[1]) / 2)


def _row(holes: dict[str, Circle], one: Distance, numbers: Array) -> Compared:
    name = f"{one.first}-{one.second} {one.over}"
    return Compared(name, one.reading.value, _predicted(holes, one, numbers))
